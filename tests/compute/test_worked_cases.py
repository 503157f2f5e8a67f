"""Small plants as an engineer writes them, each figure against a second working: numpy and scipy, or a hand.

The volumes come from slices of the solid (scipy's quadrature), heights from its root finder, staged cycles from its
minimiser; water at 90 degC from IAPWS (70.182 kPa, 965.31 kg/m3). No figure comes from the library that the code calls.
"""

import math
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from scipy import integrate, optimize

from generator import compute, read
from generator.model.record import Outcome, Record
from generator.model.results import Results

G = 9.80665
HEAD = """
plant: {name: Test, document: {number: 1, status: draft, as_of: 2026-01-01}, RULES}
areas: {"1": {name: Area}}
liquids:
  water: {name: Water, chemistry: clean water, temperature: {lowest: 5 degC, highest: 60 degC}}
  hot: {name: Hot water, chemistry: pure water, temperature: {lowest: 40 degC, highest: 90 degC}}
modes: {auto: {name: AUTO, means: by itself}}
"""


def worked(folder: Path, rules: str, text: str) -> Results:
    file = folder / "plant.yml"
    file.write_text(HEAD.replace("RULES", rules) + text, encoding="utf-8")
    plant, mistakes = read.plant(file)
    assert plant is not None, mistakes
    return compute.results(plant, read.knowledge())


def value(outcome: Outcome | None) -> float:
    assert isinstance(outcome, Record), outcome
    return outcome.value


def close(outcome: Outcome | None, expected: float, within: float = 1e-6) -> bool:
    return value(outcome) == pytest.approx(expected, rel=within, abs=1e-9)


# ---- ends of lying cylinders: the depth of the end at each distance from the axis, cut into slices ---------------------


def lying(diameter: float, length: float, end: Callable[[float], float], level: float) -> float:
    radius = diameter / 2

    def surface(height: float) -> float:
        half = math.sqrt(max(radius**2 - height**2, 0.0))
        ends = integrate.quad(lambda y: end(min(radius, math.hypot(y, height))), 0, half, limit=200)[0] if half else 0.0
        return float(2 * half * length + 4 * ends)

    return float(integrate.quad(surface, -radius, level - radius, limit=200)[0])


def knuckled(diameter: float, dish: float, knuckle: float) -> Callable[[float], float]:
    """Depth of a torispherical end outside its tangent line."""
    big, small = dish * diameter, knuckle * diameter
    centre = diameter / 2 - small
    sunk = math.sqrt((big - small)**2 - centre**2)
    joint = centre * big / (big - small)
    return lambda r: math.sqrt(big**2 - r**2) - sunk if r <= joint else math.sqrt(max(small**2 - (r - centre)**2, 0.0))


def dished(radius: float, depth: float) -> Callable[[float], float]:
    sphere = (radius**2 + depth**2) / (2 * depth)
    return lambda r: math.sqrt(sphere**2 - r**2) - (sphere - depth)


@pytest.mark.parametrize(("shape", "size", "end", "level"), [
    ("hemispherical", (1.6, 4.0), lambda r: math.sqrt(0.64 - r * r), 0.37),
    ("torispherical, dish_radius: 1.0, knuckle_radius: 0.1", (2.2, 6.0), knuckled(2.2, 1.0, 0.1), 0.7),
    ("torispherical, dish_radius: 0.8, knuckle_radius: 0.154", (2.2, 6.0), knuckled(2.2, 0.8, 0.154), 1.9),
    ("conical, end_depth: 0.4 m", (1.8, 3.0), lambda r: 0.4 * (1 - r / 0.9), 1.3),
    ("shallow dished, end_depth: 300 mm", (2.0, 3.0), dished(1.0, 0.3), 0.45),
    ("2:1 ellipsoidal", (2.0, 3.0), lambda r: 0.5 * math.sqrt(1 - r * r), 1.5),
])
def test_a_lying_cylinder_with_any_ends(tmp_path: Path, shape: str, size: tuple[float, float],
                                        end: Callable[[float], float], level: float) -> None:
    diameter, length = size
    results = worked(tmp_path, "defaults: {}", f"""
tanks:
  T-1:
    area: "1"
    service: tank
    liquid: water
    datum: {{elevation: 0 m}}
    shape: {{kind: horizontal cylinder, diameter: {diameter} m, length: {length} m, ends: {shape}}}
""")
    vessel = results.tanks["T-1"].vessel
    assert vessel is not None
    volume = lying(diameter, length, end, level)
    assert vessel.volume_at(level) == pytest.approx(volume, rel=1e-6)
    assert vessel.level_at(volume) == pytest.approx(level, abs=1e-5)  # a hundredth of a millimetre


# ---- a lying tank whose datum lies over its bottom: needs, bands, trips ------------------------------------------------

LYING = """
tanks:
  T-1:
    area: "1"
    service: tank
    liquid: water
    datum: {elevation: 10 m, inside_bottom: -100 mm}
    shape: {kind: horizontal cylinder, diameter: 2 m, length: 5 m, ends: 2:1 ellipsoidal}
    levels: {overflow: 1.7 m, normal_low: 0.6 m, normal_high: 1.2 m}
    marks: {coil: {height: 0.3 m, what: coil}}
    waves: {peak_to_peak: 30 mm}
valves: {XV-1: {area: "1", service: inlet, kind: on-off, closing_time: 20 s}}
equipment: {H-1: {area: "1", service: heater, kind: heater}}
streams:
  in: {name: in, from: outside, into: T-1, flow: {highest: 12 m3/h}, through: [XV-1], drains_after_stop: 30 L}
  out: {name: out, from: T-1, into: outside, flow: {lowest: 1 m3/h, highest: 9 m3/h}}
instruments:
  LT-1: {tank: T-1, technology: differential pressure, signal: 4-20 mA, range: {lower: 0.1 m, upper: 1.8 m},
      accuracy: {own: 5 mm, common: 12 mm}}
  LX-1: {tank: T-1, technology: side lever float, accuracy: {own: 10 mm}, response_time: 1 s}
switches:
  LSL: {in: LT-1, acts: falling, role: alarm, height: {needs: [{before: LSLL, time: 4 min}, {covers: coil, by: 50 mm}]}}
  LSLL: {in: LX-1, acts: falling, role: trip, on_delay: 2 s, height: {issued: 0.40 m, needs: [{covers: coil, by: 50 mm}]}}
  LSH: {in: LT-1, acts: rising, role: alarm, height: {needs: [{at: 60 % of range}]}}
  LS: {in: LT-1, acts: falling, role: control, height: {needs: [{above: LSL, by: 40 mm}]}}
  LSHH: {in: LX-1, acts: rising, role: trip, height: {issued: 1.50 m, needs: [{gap_of: overfill-gap, below: overflow}]}}
hazards:
  HZ-1: {what: bare coil, harms: equipment, begins_at: T-1 coil, safe_state: heater off}
  HZ-2: {what: spill, harms: people, begins_at: T-1 overflow, safe_state: shut}
interlocks:
  I-1: {area: "1", service: low trip, kind: trip, hazard: HZ-1, when: LSLL, then: {H-1: "off"}, live_in: [auto], by: relays,
      logic_time: 50 ms}
  I-2: {area: "1", service: high trip, kind: trip, hazard: HZ-2, when: LSHH, then: {XV-1: closed}, live_in: [auto],
      by: relays, logic_time: 50 ms}
"""
FILLING, EMPTYING = 12 / 3600, 9 / 3600


@cache
def volume(level: float) -> float:
    return lying(2.0, 5.0, lambda r: 0.5 * math.sqrt(max(0.0, 1 - r * r)), level + 0.1)


def level_of(held: float) -> float:
    return float(optimize.brentq(lambda level: volume(level) - held, 0.0, 1.85, xtol=1e-9))


def test_needs_and_trips_of_a_lying_tank(tmp_path: Path) -> None:
    rules = "rules_in_force: {overfill-gap: {where: all}}, defaults: {setpoint_step: 5 mm, relay_time: 60 ms}"
    results = worked(tmp_path, rules, LYING)
    points = results.setpoints
    low = points["LSL"].needs
    # the trip may act as early as 0.40 + 0.010 + wave 0.015; the alarm as late as 17 mm under its height
    assert close(low[0].limit, level_of(volume(0.425) + EMPTYING * 240) + 0.017)
    assert close(low[1].limit, 0.3 + 0.05 + 0.017)
    assert close(points["LSL"].proposed, math.ceil(value(low[0].limit) / 0.005) * 0.005)
    # it waits 2 s, and 1 s for its float: the level falls on, and a trough holds it up
    assert close(points["LSLL"].needs[0].limit, level_of(volume(0.35) + EMPTYING * 3) + 0.010 + 0.015)
    assert close(points["LSH"].needs[0].limit, 0.1 + 0.6 * 1.7)
    assert close(points["LS"].needs[0].limit, value(points["LSL"].proposed) + 0.04 + 0.005 + 0.015 + 0.005)  # one body
    asked = min(level_of(volume(1.7) - FILLING * 300), 1.7 - 0.075)
    assert close(points["LSHH"].needs[0].limit, level_of(volume(asked) - FILLING * 1) - 0.010)  # 1 s of its float
    assert close(points["LSHH"].volume, volume(1.5))
    assert close(points["LSHH"].percent_of_height, 1.6 / 2.0)
    low_trip, high_trip = results.trips["I-1"][0], results.trips["I-2"][0]
    assert close(low_trip.needed, 1 + 2 + 0.05 + 0.06)
    assert close(low_trip.available, (volume(0.375) - volume(0.3)) / EMPTYING)
    assert close(low_trip.overrun, 0.375 - level_of(volume(0.375) - EMPTYING * 3.11), 1e-5)
    needed = 1 + 0.05 + 0.06 + 20 + 0.030 / FILLING
    assert close(high_trip.needed, needed)
    assert close(high_trip.available, (volume(1.7) - volume(1.51)) / FILLING)
    assert close(high_trip.overrun, level_of(volume(1.51) + FILLING * needed) - 1.51, 1e-5)


# ---- three pumps in a well: height for the starts, stages, one pump out -----------------------------------------------

WELL = """
tanks:
  T-1: {area: "1", service: well, liquid: water, datum: {elevation: 1 m}, shape: {kind: rectangular basin, length: 3 m,
      width: 2 m, height: 5 m}}
streams: {in: {name: in, from: outside, into: T-1, flow: {lowest: 2 m3/h, highest: INFLOW}}}
pumps:
  P-1: PUMP
  P-2: PUMP
  P-3: PUMP
pump_groups: {GP-1: {name: pumps, pumps: [P-1, P-2, P-3], arrangement: duty/assist/standby, alternation: yes}}
instruments: {LX-1: {tank: T-1, technology: guide tube float, accuracy: {own: 10 mm, common: 5 mm}}}
switches:
  LSL: {in: LX-1, acts: falling, role: control, height: {issued: 1.00 m, needs: [{submerges: P-1, by: 100 mm}]}}
  LSH-1: {in: LX-1, acts: rising, role: control, height: {needs: [{cycling: GP-1, above: LSL}]}}
  LSH-2: {in: LX-1, acts: rising, role: control, height: {issued: 2.60 m}}
  LSH-3: {in: LX-1, acts: rising, role: control, height: {issued: 3.00 m}}
controls: {C-1: {kind: start and stop, area: "1", tank: T-1, moves: GP-1, starts: [LSH-1, LSH-2, LSH-3], stops: LSL}}
"""
PUMP = ("{area: '1', service: pump, flow: 60 m3/h, suction: {tank: T-1, kind: bell, height: 0.30 m, diameter: 200 mm}, "
        "motor: {power: 7.5 kW, voltage: 400 V, phases: '3', efficiency: 0.88, power_factor: 0.85, starts: 10 per hour}, "
        "stop_time: 5 s}")
FLOW = 60 / 3600


def well(folder: Path, inflow: str) -> Results:
    return worked(folder, "defaults: {}", WELL.replace("INFLOW", inflow).replace("PUMP", PUMP))


def test_starts_of_three_pumps_and_one_of_them_out(tmp_path: Path) -> None:
    results = well(tmp_path, "150 m3/h")
    start, cycles = results.setpoints["LSH-1"], results.cycling["C-1"]
    held = 360 * FLOW / 4  # USACE EI 11C201: V = t q / 4
    assert close(start.needs[0].limit, 1.00 + 0.01 + held / 6 + 0.01)  # start and stop hang on one body
    assert close(cycles.effective_volume, held)
    assert close(cycles.shortest_cycle, 360)
    parts = (held, 6 * (2.60 - 1.27), 6 * 0.40)

    def period(inflow: float, pumps: int) -> float:
        rising = sum(part / (inflow - number * FLOW) for number, part in enumerate(parts[:pumps]))
        return float(rising + sum(parts[:pumps]) / (pumps * FLOW - inflow))

    for pumps in (2, 3):
        ends = ((pumps - 1) * FLOW * 1.00001, min(150 / 3600, pumps * FLOW * 0.99999))
        found = optimize.minimize_scalar(period, bounds=ends, args=(pumps,), method="bounded", options={"xatol": 1e-12})
        assert close(cycles.stages[pumps - 2].shortest_cycle, found.fun, 1e-5)
    assert close(results.groups["GP-1"].one_out, 120 / 3600)
    assert close(results.pumps["P-1"].worked_current, 7500 / (math.sqrt(3) * 400 * 0.88 * 0.85))
    # ANSI/HI 9.8: S = D (1 + 2.3 Fr); then 5 s of run-down of the three pumps that the control starts, over 6 m2
    froude = FLOW / (math.pi * 0.04 / 4) / math.sqrt(G * 0.2)
    assert close(results.setpoints["LSL"].needs[0].limit, 0.30 + 0.2 * (1 + 2.3 * froude) + 0.1 + 3 * FLOW * 5 / 6 + 0.015)


def test_a_well_whose_inflow_never_reaches_half_a_pump_may_be_smaller(tmp_path: Path) -> None:
    inflow = 20 / 3600
    held = 360 / (1 / inflow + 1 / (FLOW - inflow))  # MIL-HDBK-1005/9A, equation 1
    assert close(well(tmp_path, "20 m3/h").setpoints["LSH-1"].needs[0].limit, 1.02 + held / 6)


# ---- suction head of hot water at altitude, range of a wet leg --------------------------------------------------------


def test_suction_head_of_hot_water_at_altitude(tmp_path: Path) -> None:
    results = worked(tmp_path, "atmosphere: 78 kPa abs, defaults: {}", """
tanks:
  T-1: {area: "1", service: tank, liquid: hot, datum: {elevation: 0 m}, shape: {kind: vertical cylinder, diameter: 2 m,
      height: 4 m}}
streams:
  in: {name: in, from: outside, into: T-1, flow: {highest: 10 m3/h}}
  out: {name: out, from: T-1, into: outside, flow: {highest: 20 m3/h}, moved_by: P-1}
pumps:
  P-1: {area: "1", service: pump, flow: 20 m3/h, suction: {tank: T-1, kind: bottom nozzle, height: -2.0 m, diameter: 100 mm},
      npsh_required: 2 m, npsh_margin: 0.5 m, suction_loss: 0.4 m, stop_time: 3 s}
instruments: {LX-1: {tank: T-1, technology: guide tube float, response_time: 1 s, accuracy: {own: 10 mm}}}
switches:
  LSL: {in: LX-1, acts: falling, role: control, height: {issued: 1.00 m}}
  LSH: {in: LX-1, acts: rising, role: control, height: {issued: 2.00 m}}
controls: {C-1: {kind: start and stop, area: "1", tank: T-1, moves: P-1, starts: [LSH], stops: LSL}}
""")
    rest = 1.00 - 0.010 - 20 / 3600 * (1 + 3) / math.pi
    pump = results.pumps["P-1"]
    assert close(pump.run_down_level, rest)
    assert close(pump.head_available, (78e3 - 70182) / (965.31 * G) + rest + 2.0 - 0.4, 1e-4)
    assert close(pump.head_spare, (78e3 - 70182) / (965.31 * G) + rest + 2.0 - 0.4 - 2.5, 1e-3)


def test_signed_range_of_a_transmitter_with_a_wet_leg_below_its_tap(tmp_path: Path) -> None:
    results = worked(tmp_path, "defaults: {accuracy: {own: 10 mm}}", """
tanks:
  T-1: {area: "1", service: tank, liquid: water, datum: {elevation: 0 m}, shape: {kind: vertical cylinder, diameter: 2 m,
      height: 6 m}}
instruments:
  LT-1: {tank: T-1, technology: differential pressure, signal: 4-20 mA, range: {lower: 0.5 m, upper: 4.5 m},
      taps: {at: 0.4 m, transmitter: -0.3 m, leg: filled, leg_top: 5.2 m, leg_density: 1020 kg/m3},
          calibration_density: 990 kg/m3}
switches: {LSH: {in: LT-1, acts: rising, role: alarm, height: {issued: 3.30 m}}}
""")
    made = results.transmitters["LT-1"]
    assert close(made.lower_range_value, G * (990 * 0.8 - 1020 * 5.5))
    assert close(made.upper_range_value, G * (990 * 4.8 - 1020 * 5.5))
    assert close(results.setpoints["LSH"].current, 0.004 + 0.016 * 0.7)
