"""Pumps and what runs them: rules 6.1 to 6.12."""

from generator.check.absences import missing_of
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import Group, OfControl, OfPump
from generator.check.words import flow, height, listed, mm, time
from generator.model.record import Absence, Record, value_of
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
def starts_stay_within_the_limit(control: OfControl, _starts: float, _allowed: float) -> Answer:
    """Compares the most starts in an hour of every pump that the first start can start, whatever flows against them, with
    what its motor or the adopted table allows.

    Each start heats the motor; the heat of the last one must be gone. A duty pump starts once in every cycle, also in those
    in which another joins it, so the flow that is worst for it may be one that it cannot take alone. Where the pumps take
    turns, or one is spare, each is judged in the place that is worst for it.
    The volume counts between the edges of the bands. That pumps take turns counts only where every condition of the
    published rule holds and the plant has adopted it.
    Cure: a higher start, a lower stop, alternation, or a smaller pump; for a cycle of several pumps a higher further start.
    """
    cycling = control.cycling
    in_turn = cycling.starts_alternating if cycling is not None and cycling.alternation_counts else None
    said: list[str] = []
    for pump in cycling.each if cycling else ():
        if not pump.leads:
            continue
        if isinstance(pump.starts, Absence):
            if pump.starts.missing:
                return Missing(missing_of(pump.starts))
            said.append(f"{pump.pump}: {pump.starts.why}")
            continue
        if isinstance(pump.allowed, Absence):
            return Missing(missing_of(pump.allowed))
        starts, allowed = pump.starts.value, pump.allowed.value
        together = f" with {pump.running} running" if pump.running > 1 else ""
        one = f"{pump.pump}: {starts * 3600:.3g} starts an hour{together}, allowed {allowed * 3600:.3g}"
        if starts <= allowed * (1 + 1e-9):
            said.append(one)
        elif isinstance(in_turn, Record) and in_turn.value <= allowed * (1 + 1e-9):
            said.append(f"{in_turn.value * 3600:.3g} starts an hour each while both take turns; one alone {one}")
        else:
            return Fail(one, f"{pump.pump}: {starts * 3600:.3g} of {allowed * 3600:.3g} starts an hour",
                        "raise the further start or lower the stop" if pump.running > 1 else "raise the start or lower the stop",
                        also=(pump.pump,))
    return Pass("; ".join(said))


@rule("6.2", "The stop keeps the inlet covered", scope="pump", severity="by consequence",
      basis="ANSI/HI 9.8, submergence (constant from memory); run-down: common practice",
      conditions=(HAS_STOP,),
      needs=("result.run_down_level", "result.lowest_level", "tank_result.vessel"))
def stop_keeps_the_inlet_covered(_pump: OfPump, run_down: float, lowest: float, vessel: Vessel) -> Answer:
    """Takes the lower edge of the stop, less what the running pumps still draw while they come to rest, and compares it
    with the level that gives the submergence.

    Air at the inlet costs head first and the pump later. Cure: a higher stop, a wider bell, or less flow.
    """
    if run_down <= vessel.bottom:
        return Fail(f"the level runs down to {height(run_down)}, where the tank is empty", "stop in an empty tank",
                    "raise the stop")
    room = run_down - lowest
    if room >= -1e-9:
        return Pass(f"{mm(room)} over the lowest level {height(lowest)}")
    return Fail(f"the level can fall {mm(-room)} below {height(lowest)}", f"{mm(-room)} too low", "raise the stop")


@rule("6.3", "The motor that the liquid cools stays covered", scope="pump", severity="warning", basis=PRACTICE,
      conditions=(HAS_STOP, When("the liquid cools the motor", lambda pump: (
          pump.pump.suction.kind == "submersible" and pump.pump.suction.motor_covered_to is not None))),
      needs=("stop.act", "pump.suction.motor_covered_to"))
def motor_stays_covered(pump: OfPump, act: Band, cover: float) -> Answer:
    """Takes the lower edge of the stop, less what the running pumps still draw while they come to rest, and compares it with
    the height that must stay covered while the motor runs.

    Cure: a higher stop, or a motor with its own cooling.
    """
    run_down = pump.result.run_down_level if pump.result else None
    if isinstance(run_down, Absence) and act.low >= cover - 1e-9:
        return Missing(missing_of(run_down))
    room = (run_down.value if isinstance(run_down, Record) else act.low) - cover
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
    """Adds the flows of all pumps but the largest and compares with the streams that can come into the tank together.

    One pump is out for repair on the day of the storm. Cure: another pump, or larger ones.
    """
    result = group.context.results.groups.get(group.tag)
    if result is None:
        return Missing((f"{group.tag}: pumps that draw from one tank",))
    if isinstance(result.spare, Absence):
        return Missing(missing_of(result.spare))
    left, peak = value_of(result.one_out) or 0.0, value_of(result.largest_inflow) or 0.0
    if result.spare.value < -1e-12:
        return Fail(f"{flow(left)} with one pump out, {flow(peak)} comes into {result.tank}",
                    f"{flow(left)} of {flow(peak)}", "add capacity", also=(result.tank,))
    return Pass(f"{flow(left)} with one pump out, {flow(peak)} comes in")


def _emptied(group: Group) -> list[str]:
    plant = group.context.plant
    tanks = dict.fromkeys(pump.inlet.tank for pump in group.pumps if pump.inlet is not None)
    return [tank for tank in tanks if plant.inflows_of[tank] and plant.tanks[tank].duty == "emptied"]


@rule("6.6", "Alternation counts only for two equal pumps in a small station", scope="control", severity="warning",
      published="alternation-credit", basis="USACE EI 11C201 (1 March 1997), chapter 7", conditions=(
          When("it runs a group that takes turns", lambda control: (
              (group := control.context.plant.pump_groups.get(control.control.moves)) is not None
              and group.alternation)),))
def alternation_counts_for_equal_pumps(control: OfControl) -> Answer:
    """Asks for two pumps alike, one of which runs at a time, in a small station: half the volume is enough there.

    How small a station must be stands in the published rule. Pumps that differ do not share the starts evenly, and with
    one pump out nothing is shared.
    Cure: equal pumps, or no credit.
    """
    conditions = control.cycling.alternation if control.cycling else ()
    gone = [words for words, holds in conditions if not holds]
    if not conditions or gone:
        said = "; ".join(gone) or "two pumps share the work"
        return Fail(f"it does not hold that {said}", f"not so: {said}", "do not count alternation")
    return Pass("every condition holds")


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


@rule("6.9", "The motor rests long enough before the next start", scope="control", severity="warning", basis=PRACTICE,
      conditions=(When("a pump that it moves has a least time at rest", lambda control: bool(_rests(control))),),
      needs=("cycling.shortest_off",))
def motor_rests_before_the_next_start(control: OfControl, rest: float) -> Answer:
    """Compares the time at rest, at the largest flow against the pump, with what the motor's papers or the table ask for.

    Starts within their limit can still follow a stop too closely when the inflow is large.
    Cure: a higher start or a lower stop.
    """
    tag, least = max(_rests(control), key=lambda one: one[1])
    if rest >= least - 1e-9:
        return Pass(f"{time(rest)}, {tag} asks for {time(least)}")
    return Fail(f"it rests {time(rest)}, {tag} asks for {time(least)}", f"{time(rest)} of {time(least)} at rest",
                "raise the start or lower the stop", also=(tag,))


def _rests(control: OfControl) -> list[tuple[str, float]]:
    plant, pumps = control.context.plant, control.context.results.pumps
    moved = plant.members_of(control.control.moves) or (control.control.moves,)
    return [(str(tag), found.value) for tag in moved
            if tag in pumps and isinstance(found := pumps[tag].least_rest, Record)]


@rule("6.10", "The pumps that join do not start too often", scope="control", severity="error",
      basis="volume balance of the stages; one stage is USACE EI 11C201 and MIL-HDBK-1005/9A",
      conditions=(When("it starts a second pump at a level of its own", lambda control: bool(
          control.cycling is not None and control.cycling.stages and control.cycling.stages[0].pump
          in control.context.plant.pumps)),))
def joining_pumps_do_not_start_too_often(control: OfControl) -> Answer:
    """Compares the starts of each pump that a further start can start, at the flow that is worst for it, with what its motor
    allows.

    The second pump starts most often where the inflow lies between one pump's flow and that of two. Where the pumps take
    turns, or one is spare, each of them may be the one that joins. Where none takes the place of another, the start of a pump
    that is out starts nothing, and the second begins at its own start: that cycle counts too.
    Cure: a higher start of that pump, or a lower stop.
    """
    said: list[str] = []
    for pump in control.cycling.each if control.cycling else ():
        if pump.joining is None:
            continue
        if isinstance(pump.joining, Absence):
            if pump.joining.missing:
                return Missing(missing_of(pump.joining))
            said.append(f"{pump.pump}: {pump.joining.why}")
            continue
        if isinstance(pump.allowed, Absence):
            return Missing(missing_of(pump.allowed))
        one = f"{pump.joining.value * 3600:.3g} of {pump.allowed.value * 3600:.3g} starts an hour"
        if pump.joining.value > pump.allowed.value * (1 + 1e-9):
            return Fail(f"{pump.pump} makes {one}", f"{pump.pump}: {one}", "raise the start of that pump",
                        also=(pump.pump,))
        said.append(f"{pump.pump}: {one}")
    return Pass("; ".join(said))


@rule("6.11", "The pump has its suction head down to its lowest level", scope="pump", severity="by consequence",
      basis="definition of net positive suction head, ANSI/HI 9.6.1 (from memory)", conditions=(
          HAS_STOP, When("the head that it requires is stated", lambda pump: pump.pump.npsh_required is not None)),
      needs=("result.head_spare",))
def pump_has_its_suction_head(pump: OfPump, spare: float) -> Answer:
    """Works out the head at the lowest level in ordinary running, with the hottest liquid and the lowest air pressure,
    and compares it with what the pump requires and its margin. Where a liquid is not like water its span of density may
    come from its strength: the end that leaves the smallest head counts.

    Too little head lets the liquid boil in the pump: noise first, then the impeller is eaten away.
    Cure: a higher stop, a shorter or wider suction line, cooler liquid, or another pump.
    """
    if spare >= -1e-9:
        return Pass(f"{height(spare)} left over")
    level = value_of(pump.result.run_down_level) if pump.result else None
    return Fail(f"{height(-spare)} too little at {height(level or 0.0)}",
                f"{height(-spare)} too little", "raise the stop or lose less on the way")


@rule("6.12", "The liquid enters the bell at a usual speed", scope="pump", severity="note",
      basis="ANSI/HI 9.8, inlet bell velocity (limits from memory)", conditions=(
          When("it draws through a bell", lambda pump: pump.pump.inlet is not None and pump.pump.inlet.kind == "bell"),),
      needs=("result.inlet_velocity",))
def liquid_enters_the_bell_at_a_usual_speed(pump: OfPump, speed: float) -> Answer:
    """Compares the velocity in the bell with the range that is accepted for its flow: 0.6 to 2.7 m/s below 315 L/s,
    0.9 to 2.4 m/s up to 1260 L/s, 1.2 to 2.1 m/s above.

    Faster draws vortices, slower is a sign of a wrong diameter. Cure: another bell, or a corrected diameter.
    """
    flow_si = pump.pump.flow.si
    low, high = (0.6, 2.7) if flow_si < 0.315 else (0.9, 2.4) if flow_si <= 1.26 else (1.2, 2.1)
    said = f"{speed:.2f} m/s, usual {low:g} to {high:g} m/s"
    return Pass(said) if low <= speed <= high else Fail(said, f"{speed:.2f} m/s", "look at the diameter of the bell")
