"""Pumps and what runs them: rules 6.1 to 6.19."""

from generator.check.absences import missing_of
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import Group, OfControl, OfPump
from generator.check.words import flow, height, listed, mm, time
from generator.model.record import Absence
from generator.model.results import Band, Vessel
from generator.model.scalar import Tag

PRACTICE = "common practice, no source"
HAS_STOP = When("a stop point of a control stops it in the tank that it draws from", lambda pump: bool(pump.stop_tag))


@rule("6.1", "The pump does not start too often", scope="control", severity="error",
      basis="effective volume between the edges, V = t q / 4: USACE EI 11C201, MIL-HDBK-1005/9A",
      conditions=(When("it starts and stops pumps", lambda control: control.cycling is not None and (
          control.control.moves in control.context.plant.pumps
          or control.control.moves in control.context.plant.pump_groups)),),
      needs=("cycling.starts", "cycling.allowed"))
def starts_stay_within_the_limit(_control: OfControl, starts: float, allowed: float) -> Answer:
    """Compares the most starts in an hour, at the worst inflow, with what the motor or the adopted table allows.

    Each start heats the motor; the heat of the last one must be gone. The volume counts between the edges of the bands.
    Cure: a higher start, a lower stop, alternation, or a smaller pump.
    """
    said = f"{starts * 3600:.3g} starts an hour, allowed {allowed * 3600:.3g}"
    if starts <= allowed * (1 + 1e-9):
        return Pass(said)
    return Fail(said, f"{starts * 3600:.3g} of {allowed * 3600:.3g} starts an hour",
                "raise the start or lower the stop")


@rule("6.2", "The stop keeps the inlet covered", scope="pump", severity="by consequence",
      basis="ANSI/HI 9.8, submergence (constant from memory); run-down: common practice",
      conditions=(HAS_STOP,),
      needs=("stop.act", "result.lowest_level", "pump.stop_time", "tank_result.vessel"))
def stop_keeps_the_inlet_covered(pump: OfPump, act: Band, lowest: float, stop_time: float, vessel: Vessel) -> Answer:
    """Takes the lower edge of the stop, less what the pump still draws while it comes to rest, and compares it with the
    level that gives the submergence.

    Air at the inlet costs head first and the pump later. Cure: a higher stop, a wider bell, or less flow.
    """
    area = vessel.area_at(act.low)
    if area <= 0:
        return Fail(f"the stop can act as late as {height(act.low)}, where the tank is empty", "stop in an empty tank",
                    "raise the stop")
    room = act.low - pump.pump.flow.si * stop_time / area - lowest
    if room >= -1e-9:
        return Pass(f"{mm(room)} over the lowest level {height(lowest)}")
    return Fail(f"the level can fall {mm(-room)} below {height(lowest)}", f"{mm(-room)} too low", "raise the stop")


@rule("6.3", "The motor that the liquid cools stays covered", scope="pump", severity="warning", basis=PRACTICE,
      conditions=(HAS_STOP, When("the liquid cools the motor", lambda pump: (
          pump.pump.suction.kind == "submersible" and pump.pump.suction.motor_covered_to is not None))),
      needs=("stop.act", "pump.suction.motor_covered_to"))
def motor_stays_covered(_pump: OfPump, act: Band, cover: float) -> Answer:
    """Compares the lower edge of the stop with the height that must stay covered while the motor runs.

    Cure: a higher stop, or a motor with its own cooling.
    """
    room = act.low - cover
    if room >= -1e-9:
        return Pass(f"{mm(room)} over {height(cover)}")
    return Fail(f"it can run down to {mm(-room)} below {height(cover)}", f"{mm(-room)} bare", "raise the stop")


@rule("6.4", "A trip against running dry stands apart from the stop", scope="pump", severity="warning", basis=PRACTICE,
      conditions=(HAS_STOP,))
def dry_run_trip_stands_apart(pump: OfPump) -> Answer:
    """Asks for an interlock that stops the pump on a falling level through another body than the stop point.

    A stop float that sticks up lets the pump run until it is dry.
    Cure: a low trip on a body of its own, or a waiver with what protects the pump instead.
    """
    plant = pump.context.plant
    body = plant.switches[Tag(pump.stop_tag)].in_ if pump.stop_tag in plant.switches else ""
    for tag in plant.interlocks_of_effect[pump.tag]:
        lock = plant.interlocks[tag]
        states = {state for target, state in lock.then.items() if pump.tag in (target, *plant.members_of(target))}
        others = [cause for cause in lock.when.tags() if cause in plant.switches
                  and plant.switches[cause].acts == "falling" and plant.switches[cause].in_ != body]
        if states & {"stopped", "off"} and others:
            return Pass(f"{tag} by {listed(others)}")
    return Fail("no interlock stops it on a falling level by another body", "no dry-run trip apart from the stop",
                "add a low trip on a body of its own")


@rule("6.5", "The group carries the peak with one pump out", scope="group", severity="by consequence",
      basis="utility practice for stations that must not overflow", conditions=(
          When("the group empties a tank that liquid comes into by itself", lambda group: bool(_emptied(group))),))
def group_carries_the_peak(group: Group) -> Answer:
    """Adds the flows of all pumps but the largest and compares with the streams of the worst filling of the tank.

    One pump is out for repair on the day of the storm. Cure: another pump, or larger ones.
    """
    flows = [pump.flow.si for pump in group.pumps]
    left = sum(flows) - max(flows)
    for tank in _emptied(group):
        filling = group.context.results.tanks[tank].filling
        if isinstance(filling, Absence):
            return Missing(missing_of(filling))
        places = {group.context.plant.streams[tag].flow.highest.place for tag in group.context.plant.inflows_of[tank]}
        peak = sum(one.value for one in filling.inputs if one.source in places)
        if left < peak - 1e-12:
            return Fail(f"{flow(left)} with one pump out, {flow(peak)} comes into {tank}",
                        f"{flow(left)} of {flow(peak)}", "add capacity", also=(tank,))
    return Pass(f"{flow(left)} with one pump out")


def _emptied(group: Group) -> list[str]:
    plant = group.context.plant
    tanks = dict.fromkeys(pump.suction.tank for pump in group.pumps)
    return [tank for tank in tanks if plant.inflows_of[tank] and plant.tanks[tank].duty == "emptied"]


@rule("6.6", "Alternation counts only for two equal pumps in a small station", scope="control", severity="warning",
      published="alternation-credit", basis="USACE EI 11C201 (1 March 1997), chapter 7", conditions=(
          When("it runs a group that takes turns", lambda control: (
              (group := control.context.plant.pump_groups.get(control.control.moves)) is not None
              and group.alternation)),))
def alternation_counts_for_equal_pumps(control: OfControl) -> Answer:
    """Asks for two pumps of one flow, below 45 L/s together, where half the volume is taken as enough.

    Pumps that differ do not share the starts evenly, and with one pump out nothing is shared.
    Cure: equal pumps, or no credit.
    """
    plant = control.context.plant
    flows = [plant.pumps[tag].flow.si for tag in plant.members_of(control.control.moves)]
    if len(flows) != 2 or len(set(flows)) != 1:
        return Fail(f"{len(flows)} pumps of {len(set(flows))} flows", f"{len(flows)} pumps, {len(set(flows))} flows",
                    "do not count alternation")
    if sum(flows) >= 0.045:
        return Fail(f"the station moves {flow(sum(flows))}", f"{flow(sum(flows))}", "do not count alternation")
    return Pass("two equal pumps")


@rule("6.7", "The time to air at the inlet is known", scope="pump", severity="note", basis=PRACTICE,
      conditions=(HAS_STOP,), needs=("result.air_time",))
def time_to_air_is_known(_pump: OfPump, air: float) -> Answer:
    """Asks how long the pump may run on after a stop that failed before air reaches its inlet.

    Whoever answers the low alarm has that long. Less than ten seconds is no time for anybody.
    Cure: a higher stop.
    """
    return Pass(time(air)) if air >= 10 else Fail(f"only {time(air)}", f"{time(air)} to air", "raise the stop")


@rule("6.8", "The most starts of the motor are stated", scope="pump", severity="warning", basis=PRACTICE, conditions=(
    When("a start and stop control runs it", lambda pump: bool(pump.stop_tag)),))
def starts_of_the_motor_are_stated(pump: OfPump) -> Answer:
    """Asks for the limit from the motor's papers, or for a published table in `starts_rule` of the plant.

    Cure: state `motor.starts`.
    """
    motor = pump.pump.motor
    if motor is not None and motor.starts is not None:
        return Pass(motor.starts.written)
    if pump.context.plant.plant.starts_rule:
        return Pass(f"by {pump.context.plant.plant.starts_rule}") if motor else Missing((f"{pump.tag}: motor.power",))
    return Fail("neither the motor nor the plant states a limit", "no limit of starts", "state `motor.starts`")
