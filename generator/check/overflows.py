"""Overflow, gravity and the room above the working level: rules 1.8 to 1.10 and 1.28 to 1.30."""

from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import OfTank
from generator.check.words import height, listed, mm, time
from generator.model.margin import Concern
from generator.model.record import Record
from generator.model.results import TankResult
from generator.model.scalar import Tag

SLACK = 0.05
"""A stated figure may be this much better than what its size gives before the two disagree."""


def _has_size(subject: OfTank) -> bool:
    overflow = subject.tank.overflow
    return overflow is not None and (overflow.weir_width or overflow.pipe_diameter) is not None \
        and subject.tank.levels.overflow is not None


@rule("1.8", "The stated head over the overflow is not less than its size gives", scope="tank", severity="warning",
      basis="Francis formula and orifice formula, any handbook of hydraulics (from memory)",
      needs=("result.overflow_head", "result.overflow_head_by_size"),
      conditions=(When("the size of the overflow is given", _has_size),))
def stated_head_fits_the_size(_subject: OfTank, stated: float, by_size: float) -> Answer:
    """Compares the head that is stated for full inflow with that which the width or diameter gives at the largest inflow.

    The largest inflow is everything that can enter at once while nothing leaves. A head that is stated too small puts
    rim and openings closer to the liquid than anybody thinks. Cure: correct the head, or widen the overflow.
    """
    if stated >= by_size * (1 - SLACK):
        return Pass(f"{mm(stated)} stated, {mm(by_size)} by its size")
    return Fail(f"{mm(stated)} are stated, its size gives {mm(by_size)} at the largest inflow",
                f"{mm(stated)} of {mm(by_size)}", "correct `head_at_full_inflow` or widen the overflow")


@rule("1.9", "A stream that gravity moves states no less than gravity can drive", scope="tank", severity="warning",
      basis="Torricelli, any handbook of hydraulics", needs=("result",),
      conditions=(When("gravity moves a stream out of the tank", lambda subject: any(
          subject.context.plant.streams[tag].gravity is not None for tag in subject.context.plant.outflows_of[subject.tag])),))
def gravity_flow_is_not_understated(subject: OfTank, _result: TankResult) -> Answer:
    """Works out the flow through the stated opening with the tank full to its ceiling and compares the highest flow.

    The worst case of the tank below rests on the highest flow; gravity does not ask what was written.
    Cure: raise the stream's highest flow, or correct its opening.
    """
    plant = subject.context.plant
    flows = {tag: subject.context.results.gravity_flows.get(tag) for tag in plant.outflows_of[subject.tag]
             if plant.streams[tag].gravity is not None}
    short = []
    for tag, found in flows.items():
        if not isinstance(found, Record):
            return Missing((f"{tag}: gravity",))
        stated = plant.streams[tag].flow.highest.si
        if stated < found.value * (1 - SLACK):
            short.append(f"{tag} states {stated * 3600:.4g} m3/h of {found.value * 3600:.4g} m3/h")
    if short:
        return Fail(listed(short), listed(short), "raise the highest flow or correct the opening")
    return Pass(listed(f"{tag}: {getattr(found, 'value', 0.0) * 3600:.4g} m3/h at most" for tag, found in flows.items()))


def _working(concerns: tuple[Concern, ...]) -> Concern | None:
    return next((one for one in concerns if one.name == "highest working level"), None)


@rule("1.10", "Two minutes of filling fit above the working level", scope="tank", severity="warning",
      published="two-minute-rule", basis="N.H. Admin. Code Env-Or 302.04", needs=("tank.levels.normal_high", "result.concerns"),
      conditions=(When("the tank fills in some case", lambda subject: subject.result is not None and isinstance(
          subject.result.filling, Record) and subject.result.filling.value > 0),))
def two_minutes_fit_above_the_working_level(_subject: OfTank, normal: float, concerns: tuple[Concern, ...]) -> Answer:
    """Takes what the worst filling brings in two minutes off the lowest way out and compares the top of the normal band.

    The rule is written for petroleum tanks; where the plant adopts it for other liquids it says so.
    Cure: lower the normal band, or limit the inflow.
    """
    found = _working(concerns)
    if found is None or not isinstance(found.height, Record):
        return Missing(("shape", "levels.overflow"))
    room = found.height.value - normal
    if room >= -1e-9:
        return Pass(f"{mm(room)} to spare")
    return Fail(f"the normal band ends at {height(normal)}, the rule allows {height(found.height.value)}",
                f"{mm(-room)} too high", "lower `normal_high` or limit the inflow")


@rule("1.28", "A high-high alarm stands no higher than its level of concern", scope="tank", severity="warning",
      basis="API Std 2350, levels of concern and response times by category (from memory)", needs=("result.concerns",),
      conditions=(When("a rule for the category of the tank is in force", lambda subject: subject.result is not None and any(
          one.name.startswith("high-high alarm") for one in subject.result.concerns)),))
def high_high_alarm_keeps_its_level_of_concern(subject: OfTank, concerns: tuple[Concern, ...]) -> Answer:
    """Compares the highest rising alarm of the tank with the level that leaves the response time of its category.

    The site's own itemised time for a person counts; without one, the default of the category does. The published rule sets
    the height, so that errors and delays do not count here; they count in the minutes that the alarm leaves.
    Cure: a lower alarm, less inflow, or a shorter way for the person.
    """
    asked = next(one for one in concerns if one.name.startswith("high-high alarm"))
    plant = subject.context.plant
    stands = {tag: found for tag in plant.switches_of[subject.tag]
              if plant.switches[tag].acts == "rising" and plant.alarms_of[tag]
              and (found := subject.context.results.setpoints[tag].stands) is not None}
    if not stands or not isinstance(asked.height, Record):
        return Missing(("a rising alarm point with a height",) if isinstance(asked.height, Record) else asked.height.missing)
    tag = max(stands, key=lambda one: stands[one])
    room = asked.height.value - stands[tag]
    if room >= -1e-9:
        return Pass(f"{tag} stands {mm(room)} below it")
    return Fail(f"{tag} stands at {height(stands[tag])}, the rule asks for {height(asked.height.value)} at most",
                f"{mm(-room)} too high", "lower the alarm or limit the inflow", also=(tag,))


@rule("1.29", "Every stream stands in an operating case", scope="tank", severity="note", basis="common practice, no source",
      conditions=(When("the plant writes operating cases", lambda subject: bool(subject.context.plant.cases)),
                  When("streams enter or leave the tank", lambda subject: bool(_own_streams(subject)))))
def streams_stand_in_a_case(subject: OfTank) -> Answer:
    """Looks for streams of the tank that no operating case names; an overflow path that nobody names is none of them.

    Nobody excluded such a stream, so it is counted at its highest in every case, but where `never_together` forbids it. The
    worst rate may then be that of a day that cannot come. A stream between two tanks is said of the one that it leaves.
    Cure: name it in the cases in which it runs, or write a case of its own.
    """
    plant = subject.context.plant
    named = {stream for case in plant.cases.values() for stream in case.streams}
    unnamed = [tag for tag in _own_streams(subject) if tag not in named]
    if not unnamed:
        return Pass("each of its streams stands in a case")
    said = f"stream {unnamed[0]} is" if len(unnamed) == 1 else f"streams {listed(unnamed)} are"
    counted = "it is counted in each" if len(unnamed) == 1 else "they are counted in each"
    return Fail(f"{said} in no operating case: {counted}", f"{listed(unnamed)} in no case",
                "name it in the cases in which it runs", at=plant.streams[Tag(unnamed[0])].place)


def _own_streams(subject: OfTank) -> tuple[str, ...]:
    """Streams out of the tank, and those into it that leave no other; without overflow paths."""
    plant = subject.context.plant
    into = (tag for tag in plant.inflows_of[subject.tag] if plant.streams[tag].from_ not in plant.tanks)
    return tuple(str(tag) for tag in dict.fromkeys((*plant.outflows_of[subject.tag], *into))
                 if not plant.streams[tag].by_overflow)


@rule("1.30", "Alarms and trips leave their time while another tank overflows into this one", scope="tank", severity="warning",
      basis="IEC 61511-1:2016, 9.2: a protection layer acts on its demand (from memory)", needs=("result",),
      conditions=(When("an overflow of another tank fills it faster than its worst rate", lambda subject: bool(
          subject.result is not None and subject.result.spills)),))
def times_are_left_while_another_tank_overflows(subject: OfTank, result: TankResult) -> Answer:
    """Takes the alarms and trips of a rising level at the flow that another tank sends down its overflow.

    The worst rate is that of the declared cases, and an overflow of another tank is seldom in one. An alarm must still leave
    the person's time, and a trip its own. Cure: an earlier point, a smaller spill, or a waiver that says what has to fail first.
    """
    results, late, missing = subject.context.results, [], []
    for tag, alarm in results.alarms.items():
        for one in alarm.spilled if alarm.tank == subject.tag else ():
            left = one.times[0] if alarm.to_trip is not None else one.times[1]
            until = alarm.trip if alarm.to_trip is not None else alarm.limit
            if isinstance(left, Record) and isinstance(alarm.needed, Record):
                if left.value < alarm.needed.value:
                    late.append(f"{tag} leaves {time(left.value)} to {until}, a person needs {time(alarm.needed.value)}, "
                                f"while {one.spill.source} overflows into it")
            else:
                missing.append(f"{tag}: time at the flow of {one.spill.stream}")
    for budget in (each for many in results.trips.values() for each in many if each.tank == subject.tag):
        for one in budget.spilled:
            left = one.times[0]
            if isinstance(left, Record) and isinstance(budget.needed, Record):
                if left.value < budget.needed.value:
                    late.append(f"{budget.interlock} has {time(left.value)} from {budget.point} to {budget.limit} and needs "
                                f"{time(budget.needed.value)}, while {one.spill.source} overflows into it")
            else:
                missing.append(f"{budget.interlock}: time at the flow of {one.spill.stream}")
    if late:
        return Fail(listed(late), listed(late), "let the point act earlier, or send less over the overflow",
                    also=tuple(one.source for one in result.spills))
    if missing:
        return Missing(tuple(dict.fromkeys(missing)))
    return Pass(listed(f"{one.source} overflows into it at {getattr(one.rate, 'value', 0.0) * 3600:.4g} m3/h, every time is left"
                       for one in result.spills))
