"""Facts of what moves: pumps, valves, equipment behind the subject; and of the panels that feed it."""

from collections.abc import Iterator

from generator.compute.facts import NOTHING, Fact, Subject, joined, yes_no
from generator.compute.proofs_of_purpose import WARNS
from generator.compute.restart_times import restart_time
from generator.model.machine import Equipment, Pump, Valve
from generator.model.quantity import Voltage
from generator.model.scalar import Tag

STARTS = {"running": "start", "open": "open", "closed": "close", "stopped": "stop", "sounding": "sound"}
POWERED = ("mains", "uninterruptible", "control voltage", "battery")


def _pumps(subject: Subject) -> Iterator[tuple[Tag, Pump]]:
    for tag in dict.fromkeys(tag for tag, _, _ in subject.driven):
        if tag in subject.plant.pumps:
            yield tag, subject.plant.pumps[tag]


def _valves(subject: Subject) -> Iterator[tuple[Tag, Valve]]:
    for tag in dict.fromkeys(tag for tag, _, _ in subject.driven):
        if tag in subject.plant.valves:
            yield tag, subject.plant.valves[tag]


def _drives(subject: Subject, nouns: tuple[str, ...], states: tuple[str, ...], words: str) -> Fact:
    if subject.kind not in ("switch", "interlock"):
        return NOTHING
    found = [(tag, by) for tag, state, by in subject.driven if not _is_permissive(subject, by)
             and subject.plant.noun_of[tag] in nouns and (state in states or not states)]
    said = "; ".join(dict.fromkeys(f"{by} {words} {tag}" for tag, by in found))
    return yes_no(bool(found), said or f"it {words} one", "", "")


def _is_permissive(subject: Subject, by: str) -> bool:
    lock = subject.plant.interlocks.get(Tag(by))
    return lock is not None and lock.kind == "permissive"


def permits_start(subject: Subject) -> Fact:
    """Whether the point or interlock permits a machine to start or a valve to move, and moves nothing by that."""
    if subject.kind not in ("switch", "interlock"):
        return NOTHING
    found = dict.fromkeys(f"{by} permits {tag} to {STARTS.get(state, f'go {state}')}"
                          for tag, state, by in subject.driven if _is_permissive(subject, by))
    return yes_no(bool(found), "; ".join(found) or "it permits a start", "", "")


def starts_pump(subject: Subject) -> Fact:
    """Whether the point or interlock starts a pump."""
    return _drives(subject, ("pumps",), ("running", "on"), "starts")


def stops_pump(subject: Subject) -> Fact:
    """Whether the point or interlock stops a pump."""
    return _drives(subject, ("pumps",), ("stopped", "off"), "stops")


def moves_valve(subject: Subject) -> Fact:
    """Whether the point or interlock moves a valve."""
    return _drives(subject, ("valves",), (), "moves")


def _equipment(subject: Subject, kind: str) -> Fact:
    if subject.kind not in ("switch", "interlock"):
        return NOTHING
    found = [tag for tag, _, _ in subject.driven
             if tag in subject.plant.equipment and subject.plant.equipment[tag].kind == kind]
    return yes_no(bool(found), f"it acts on {', '.join(dict.fromkeys(found)) or f'a {kind}'}", "", "")


def drives_heater(subject: Subject) -> Fact:
    """Whether the point or interlock acts on a heater."""
    return _equipment(subject, "heater")


def drives_agitator(subject: Subject) -> Fact:
    """Whether the point or interlock acts on an agitator."""
    return _equipment(subject, "agitator")


def restarts_by_itself(subject: Subject) -> Fact:
    """Whether a machine behind the subject starts with nobody at the button, by the level or when power returns."""
    return joined(_restart(subject, tag) for tag, _, _ in subject.driven if tag not in subject.plant.valves)


def _restart(subject: Subject, tag: Tag) -> Fact:
    machine = subject.plant.pumps.get(tag) or subject.plant.equipment.get(tag)
    if machine is None or (isinstance(machine, Equipment) and machine.kind in WARNS):  # a horn that sounds again hurts nobody
        return NOTHING
    controls = subject.plant.controls_of_element[tag]
    if controls:
        return Fact({"yes": f"{', '.join(controls)} starts {tag} by the level"})
    noun = subject.plant.noun_of[tag]
    return yes_no(machine.restart.by_itself if machine.restart else None, f"{tag} restarts by itself",
                  f"restart of {tag} when power returns", f"{noun}/{tag}/restart")


def restart_delay(subject: Subject) -> Fact:
    """Whether such a machine waits before it restarts."""
    def delay(tag: Tag) -> Fact:
        after = restart_time(subject.plant, tag)
        if after is None:
            return Fact({"no": ""})
        return yes_no(after > 0, f"{tag} restarts {after:g} s after power returns", "", "")

    return joined(delay(tag) for tag, _, _ in subject.driven)


def check_valve(subject: Subject) -> Fact:
    """Whether a check valve holds the liquid when the pump stops; of a pump only."""
    if subject.kind != "pump":
        return NOTHING
    return joined(yes_no(pump.check_valve, f"{tag}: a check valve", "check valve",
                         f"pumps/{tag}/check_valve") for tag, pump in _pumps(subject))


def heavy(subject: Subject) -> Fact:
    """Whether the pump needs lifting gear; of a pump only."""
    if subject.kind != "pump":
        return NOTHING
    return joined(yes_no(pump.heavy, f"{tag}: needs lifting gear", "its weight", f"pumps/{tag}/heavy")
                  for tag, pump in _pumps(subject))


def suction(subject: Subject) -> Fact:
    """Kind of the pump's inlet; of a pump only."""
    if subject.kind != "pump":
        return NOTHING
    return joined(Fact({inlet.kind: f"{tag}: {inlet.kind}"}) for tag, pump in _pumps(subject)
                  if (inlet := pump.inlet) is not None)


def actuator(subject: Subject) -> Fact:
    """What drives the valves behind the subject."""
    return joined(
        Fact(missing=((f"what drives {tag}", f"valves/{tag}/actuator"),)) if valve.actuator is None else
        Fact({valve.actuator: f"{tag}: {valve.actuator}"}) for tag, valve in _valves(subject) if valve.kind != "check")


def valve_fails(subject: Subject) -> Fact:
    """Where the valve goes without its drive; of a driven valve only."""
    if subject.kind != "valve":
        return NOTHING
    return joined(
        Fact(missing=((f"where {tag} goes without its drive", f"valves/{tag}/fails"),)) if valve.fails is None else
        Fact({valve.fails: f"{tag} fails {valve.fails}"}) for tag, valve in _valves(subject)
        if valve.kind in ("on-off", "control"))


# ---- electricity -----------------------------------------------------------------------------------------------------


def _against_limit(subject: Subject, voltages: list[tuple[str, Voltage]]) -> Fact:
    limit = subject.plant.plant.touch_voltage
    if limit is None:
        return Fact(missing=(("the voltage that the site treats as deadly", "plant/touch_voltage"),))
    above = [f"{where} {voltage.written}" for where, voltage in voltages if voltage.si > limit.si]
    if above:
        return Fact({"above": f"{', '.join(above)}; the site's limit is {limit.written}"})
    return Fact({"below": f"{', '.join(f'{where} {voltage.written}' for where, voltage in voltages)}"})


def panel_voltage(subject: Subject) -> Fact:
    """Whether the panel holds a supply above the voltage that the site treats as deadly."""
    def of(tag: Tag) -> Fact:
        panel = subject.plant.panels[tag]
        supplies = [one for one in panel.supplies if subject.plant.supplies[one].kind in POWERED]
        voltages = [(f"{tag}: {one}", voltage) for one in supplies if (voltage := subject.plant.supplies[one].voltage)]
        missing = [one for one in supplies if subject.plant.supplies[one].voltage is None]
        if not panel.supplies:
            return Fact(missing=((f"what is live in {tag}", f"panels/{tag}/supplies"),))
        known = _against_limit(subject, voltages) if voltages else NOTHING
        if missing and "above" not in known.values:
            return Fact(missing=((f"voltage of {', '.join(missing)}", f"supplies/{missing[0]}/voltage"),))
        return known

    if not subject.panels and subject.kind == "switch":
        return Fact(missing=(("the panel it is wired to", f"instruments/{subject.body_tag}/wiring"),))
    return joined(of(tag) for tag in subject.panels)


def motor_voltage(subject: Subject) -> Fact:
    """Whether the motor's voltage is above the voltage that the site treats as deadly; of a pump only."""
    if subject.kind != "pump":
        return NOTHING
    pump = subject.plant.pumps[Tag(subject.tag)]
    if pump.motor is None or pump.motor.voltage is None:
        return Fact(missing=(("voltage of the motor", f"pumps/{subject.tag}/motor/voltage"),))
    return _against_limit(subject, [(f"motor of {subject.tag}", pump.motor.voltage)])


def foreign_supply(subject: Subject) -> Fact:
    """Whether the loop is fed by a supply that is not among those of its panel."""
    wiring = subject.body.wiring if subject.body is not None else None
    if wiring is None or wiring.supply is None:
        return NOTHING
    own = subject.plant.panels[wiring.panel].supplies
    return yes_no(wiring.supply not in own, f"{wiring.supply} feeds it and is not one of {wiring.panel}", "", "")


def several_supplies(subject: Subject) -> Fact:
    """Whether more than one supply is live in the panel."""
    return joined(yes_no(len(supplies) > 1, f"{tag} holds {', '.join(supplies) or 'several supplies'}", "", "")
                  for tag in subject.panels if (supplies := subject.plant.panels[tag].supplies) is not None)


def battery(subject: Subject) -> Fact:
    """Whether a battery stands in the panel, or an uninterruptible supply in it has one."""
    def of(tag: Tag) -> Fact:
        panel = subject.plant.panels[tag]
        kept = [one for one in panel.supplies if subject.plant.supplies[one].kind in ("battery", "uninterruptible")]
        return yes_no(panel.battery or bool(kept), f"{tag}: {', '.join(kept) or 'a battery'}", "", "")

    return joined(of(tag) for tag in subject.panels)
