"""A plant maker: any number of tanks, each with five switches, three interlocks to two tanks, pumps and alarms. Invented, for size alone."""

from pathlib import Path

_PLANT = """\
plant:
  name: Made-up plant of {tanks} tanks
  document: {{number: BEN-LCP-001, status: draft, as_of: 2026-11-14}}
  defaults:
    accuracy: {{own: 10 mm, common: 5 mm}}
    operator_time: {{notice: 1 min, diagnose: 2 min, go: 2 min, act: 1 min, effect: 30 s}}
    test_interval: 12 months
    setpoint_step: 10 mm
    scan_time: 250 ms
    relay_time: 50 ms
areas:
{areas}
liquids:
  water: {{name: Water, density: {{lowest: 990 kg/m3, highest: 1000 kg/m3}}, hazards: [none]}}
modes: {{auto: {{name: AUTO, means: the controller decides}}, hand: {{name: HAND, means: a person decides}}}}
supplies: {{UPS-1: {{kind: uninterruptible, voltage: 230 V}}}}
attendance: {{room: {{name: Control room, present: day and night, always: yes}}}}
panels: {{{panels}}}
revisions:
  - {{revision: A, on: 2026-11-14, status: draft, why: made for measuring}}
"""

_TANK = """\
tanks:
  T-{n}:
    area: {area}
    service: Water tank {n}
    liquid: water
    datum: {{elevation: {elevation:.2f} m}}
    shape: {shape}
    duty: both
    levels: {{overflow: 3.80 m, rim: 4.00 m, normal_low: 1.20 m, normal_high: 2.80 m}}
    nozzles: {{N1: {{height: 3.50 m}}, N2: {{height: 0.60 m}}, N3: {{height: 0.20 m}}}}
streams:
  in_{n}: {{name: inflow, from: outside, into: T-{n}, flow: {{normal: 8 m3/h, highest: 15 m3/h}}, through: [XV-{n}]}}
  out_{n}: {{name: outflow, from: T-{n}, into: outside, flow: {{normal: 8 m3/h, highest: 18 m3/h}}, moved_by: P-{n}}}
instruments:
  LX-{n}A: {{tank: T-{n}, technology: side lever float, nozzle: N1, reach: {{lowest: 3.30 m, highest: 3.70 m}}, differential: 30 mm,
    response_time: 1 s, wiring: {{panel: LP-{area}, terminals: "1-2", supply: UPS-1, supervised: no}}}}
  LX-{n}B: {{tank: T-{n}, technology: side lever float, nozzle: N2, reach: {{lowest: 0.40 m, highest: 0.80 m}}, differential: 30 mm,
    response_time: 1 s, wiring: {{panel: LP-{area}, terminals: "3-4", supply: UPS-1, supervised: no}}}}
  LT-{n}: {{tank: T-{n}, technology: hydrostatic, nozzle: N3, range: {{lower: 0.20 m, upper: 4.00 m}}, signal: 4-20 mA,
    response_time: 2 s, differential: 20 mm, wiring: {{panel: LP-{area}, supply: UPS-1}}}}
switches:
  LSHH-{n}: {{in: LX-{n}A, acts: rising, role: trip, contact: {{at_the_point: opens, category: AC-15, voltage: 230 V, current: 2 A}},
    height: {{issued: 3.50 m, needs: [{{before: overflow, time: 2 min}}, {{above: LSH-{n}, by: 50 mm}}]}}}}
  LSH-{n}: {{in: LT-{n}, acts: rising, role: alarm, height: {{issued: 2.95 m, needs: [{{before: LSHH-{n}, time: 6 min}}]}}}}
  LSL-{n}: {{in: LT-{n}, acts: falling, role: alarm, height: {{issued: 1.10 m, needs: [{{before: LSLL-{n}, time: 5 min}}]}}}}
  LSLL-{n}: {{in: LX-{n}B, acts: falling, role: trip, contact: {{at_the_point: opens, category: AC-15, voltage: 230 V, current: 2 A}},
    height: {{issued: 0.60 m, needs: [{{submerges: P-{n}, by: 20 mm}}]}}}}
  LSM-{n}: {{in: LT-{n}, acts: rising, role: permissive, height: {{issued: 1.40 m, needs: [{{above: LSL-{n}, by: 50 mm}}]}}}}
pumps:
  P-{n}: {{area: {area}, service: Outflow pump, flow: 18 m3/h, panel: LP-{area}, supply: UPS-1, stop_time: 3 s,
    suction: {{tank: T-{n}, kind: side nozzle, height: 0.10 m, diameter: 100 mm}},
    motor: {{power: 3 kW, full_load_current: 6.5 A, starts: 10 per hour}}, restart: {{by_itself: no}}, feedback: {{by: run contact, within: 5 s}}}}
valves:
  XV-{n}: {{area: {area}, service: Inlet, kind: on-off, actuator: spring and air, fails: closed, closing_time: 5 s, panel: LP-{area},
    feedback: {{by: limit switch, within: 10 s}}}}
hazards:
  H-{n}: {{what: water leaves by the overflow, harms: equipment, begins_at: T-{n} overflow, safe_state: inflow stopped}}
interlocks:
  I-{n}: {{area: {area}, service: Overfill trip, kind: trip, hazard: H-{n}, when: LSHH-{n}, on_delay: 2 s, then: {{XV-{n}: closed}},
    live_in: [auto, hand], latch: {{survives_power_loss: yes}}, reset: {{at: [LP-{area}], by: operator, when: {{not: LSHH-{n}}}}},
    bypass: {{longest: 8 h, needs: shift lead, meanwhile: a person at the gauge, alarmed: yes}}, bad_signal: trips, by: controller}}
{more}alarms:
  LAHH-{n}: {{from: LSHH-{n}, text: T{n} HIGH HIGH, priority: high, means: the trip has acted, first: see that XV-{n} is closed, uses: [XV-{n}],
    confirm: LT-{n} does not rise, shown_at: [room], consequence: overflow}}
  LAH-{n}: {{from: LSH-{n}, text: T{n} HIGH, priority: medium, means: more comes than goes, first: start P-{n}, uses: [P-{n}], before: I-{n},
    confirm: LT-{n} falls, shown_at: [room], consequence: the trip acts}}
  LAL-{n}: {{from: LSL-{n}, text: T{n} LOW, priority: medium, means: less comes than goes, first: stop P-{n}, uses: [P-{n}],
    confirm: LT-{n} rises, shown_at: [room], consequence: the pump stops}}
tests:
  TP-{n}: {{covers: [LSHH-{n}, LSLL-{n}, I-{n}], method: wetted, steps: raise the level, passes: XV-{n} closes, last: 2026-06-01, by: fitter}}
"""

_SECOND = """\
  J-{n}: {{area: {area}, service: Dry-running stop, kind: releasing interlock, because: protects the pump, when: LSLL-{n},
    then: {{P-{n}: stopped}}, live_in: [auto, hand], bad_signal: trips, by: controller}}
"""
_SHAPES = (
    "{kind: vertical cylinder, diameter: 3.0 m, height: 4.0 m}",
    "{kind: rectangular basin, length: 3.0 m, width: 2.4 m, height: 4.0 m}",
    "{kind: horizontal cylinder, diameter: 4.0 m, length: 3.0 m, ends: 2:1 ellipsoidal}",
)


def write(folder: Path, tanks: int) -> None:
    """Write a plant of so many tanks: five switches each, three interlocks to two tanks, forty tanks an area."""
    folder.mkdir(parents=True, exist_ok=True)
    areas = range(1, tanks // 40 + 2)
    names = "\n".join(f'  "{area}": {{name: Area number {area}}}' for area in areas)
    panels = ", ".join(f"LP-{area}: {{area: {area}, where: beside the tanks, supplies: [UPS-1]}}" for area in areas)
    (folder / "plant.yml").write_text(_PLANT.format(tanks=tanks, areas=names, panels=panels))
    for number in range(1, tanks + 1):
        area = (number - 1) // 40 + 1
        more = _SECOND.format(n=number, area=area) if number % 2 else ""
        (folder / f"t-{number}.yml").write_text(_TANK.format(
            n=number, area=area, elevation=100 + number % 7, shape=_SHAPES[number % 3], more=more))
