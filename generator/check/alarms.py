"""One alarm: rules 2.1 to 2.8, 2.10 and 2.14."""

from generator.check.absences import missing_of
from generator.check.conditions import IS_TRIP, RESTS_ON_LEVEL
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import OfAlarm, OfInterlock
from generator.check.words import listed, mm, time
from generator.model.defaults import OperatorTime
from generator.model.interlock import StartStop
from generator.model.record import Absence, Record, value_of
from generator.model.scalar import Tag

ALARM_STANDARD = "ANSI/ISA-18.2-2016 and IEC 62682, rationalisation of alarms (from memory)"
PRACTICE = "common practice, no source"


def _precedes(alarm: OfAlarm) -> bool:
    tells_of_trip = alarm.alarm.from_ in alarm.context.plant.interlocks or (
        alarm.switch is not None and alarm.switch.role == "trip")
    return alarm.alarm.before is not None or alarm.alarm.time_to is not None or not tells_of_trip


PRECEDES = When("the alarm comes before a trip or a harm rather than telling that one has acted", _precedes)
OF_A_LEVEL = When("the alarm tells of a level", lambda alarm: alarm.switch is not None)
CREDITED = When("the alarm is credited as protection", lambda alarm: alarm.alarm.safety)
FOR_A_PERSON = When("a person acts on it before something happens",
                    lambda alarm: alarm.tank_tag is not None and _precedes(alarm))


@rule("2.1", "The alarm says cause, consequence, action and how to see that it worked", scope="alarm",
      severity="by consequence", basis=ALARM_STANDARD)
def alarm_is_complete(alarm: OfAlarm) -> Answer:
    """Asks for what the person at the screen needs: what happens if nobody acts, and how to see that acting worked.

    Meaning, first action and priority are part of the language; consequence and confirmation are easily left out.
    Cure: state `consequence` and `confirm`.
    """
    gone = [key for key in ("consequence", "confirm") if not getattr(alarm.alarm, key)]
    if gone:
        return Fail(f"{listed(gone)} not stated", f"without {listed(gone)}", f"state {listed(gone)}")
    return Pass("consequence and confirmation are stated")


@rule("2.2", "The trip has an alarm before it", scope="interlock", severity="warning", basis=PRACTICE,
      conditions=(IS_TRIP, RESTS_ON_LEVEL))
def trip_has_an_alarm_before_it(subject: OfInterlock) -> Answer:
    """Asks for an alarm on the same tank, in the same direction and before the trip point, or the reason why none is
    there.

    A trip without warning takes the chance from the operator to keep the plant running. Only the order of the heights is asked
    here; whether the alarm comes early enough, delays counted, is a matter of its minutes. Cure: an alarm with `before`,
    or `without_alarm` on the point.
    """
    context = subject.context
    alone: list[str] = []
    for tag in subject.interlock.when.tags():
        point = context.plant.switches.get(tag)
        own = context.results.setpoints.get(tag)
        if point is None or point.without_alarm or own is None or own.stands is None:
            continue
        sign = 1 if point.acts == "rising" else -1
        before = False
        for alarm_tag in context.alarms_of_tank.get(own.tank, ()):
            alarm = context.plant.alarms[Tag(alarm_tag)]
            source = context.plant.switches.get(alarm.from_)
            other = context.results.setpoints.get(alarm.from_)
            if source is None or other is None or other.stands is None:
                continue
            before |= source.acts == point.acts and alarm.from_ != tag and (own.stands - other.stands) * sign > 0
        if not before:
            alone.append(tag)
    if alone:
        return Fail(f"no alarm comes before {listed(alone)}", f"{listed(alone)} without alarm",
                    "add an alarm, or `without_alarm` with the reason", also=tuple(alone))
    return Pass("each point of the cause has an alarm before it or a reason")


@rule("2.3", "The trip announces itself", scope="interlock", severity="by consequence", basis=PRACTICE,
      conditions=(IS_TRIP,))
def trip_announces_itself(subject: OfInterlock) -> Answer:
    """Asks for an alarm that is raised by the trip or by a point of its cause.

    A trip that nobody sees is found by its effects, and the first cause is then hard to tell.
    Cure: an alarm `from` the interlock.
    """
    plant = subject.context.plant
    causes = [tag for tag in subject.interlock.when.tags()
              if tag not in plant.switches or plant.switches[tag].role == "trip"]
    sources = [subject.tag, *causes]
    found = [alarm for source in sources for alarm in plant.alarms_of[source]]
    if found:
        return Pass(f"announced by {listed(found)}")
    return Fail("no alarm is raised by it or its trip points", "not announced", "add an alarm `from` the interlock")


@rule("2.4", "The alarm leaves the time that the operator needs", scope="alarm", severity="by consequence",
      basis="HSE guidance on operator alarms as protection; EEMUA 191", conditions=(FOR_A_PERSON,),
      needs=("time", "time.needed"))
def alarm_leaves_the_operator_time(alarm: OfAlarm, _time: object, needed: float) -> Answer:
    """Compares the time from the latest alarm to the earliest trip with the time that the person needs.

    Where no trip follows, the time to the level at which it is too late counts. Both at the worst rate.
    Cure: an earlier alarm, less flow, or an action that takes less time.
    """
    if alarm.time is None:
        return Missing((f"{alarm.tag}: from",))
    trip_follows = alarm.time.to_trip is not None
    chosen = alarm.time.to_trip if trip_follows else alarm.time.to_limit
    if not isinstance(chosen, Record):
        why = missing_of(chosen) if isinstance(chosen, Absence) else ()
        return Missing(why or (f"{alarm.tag}: before, or time_to",))
    until = alarm.time.trip if trip_follows else alarm.time.limit
    if chosen.value >= needed:
        return Pass(f"{time(chosen.value)} to {until}, needed {time(needed)}")
    late = f"{alarm.tag} can sound after {until}: no time is left, needed {time(needed)}"
    return Fail(f"{time(chosen.value)} to {until}, needed {time(needed)}" if chosen.value > 0 else late,
                f"{time(chosen.value)} of {time(needed)}", "let the alarm act earlier")


@rule("2.5", "The time of the operator is itemised", scope="alarm", severity="warning",
      basis="HSE guidance on operator alarms as protection", conditions=(FOR_A_PERSON,), needs=("operator_time",))
def operator_time_is_itemised(_alarm: OfAlarm, needed: OperatorTime) -> Answer:
    """Asks for more than one guessed figure: notice, diagnose, go, act, and the answer of the liquid.

    A single figure hides the walk, or the time until somebody looks at the screen.
    Cure: state each part; nothing takes no time but what is done in one grip.
    """
    items = {name: getattr(needed, name).si for name in ("notice", "diagnose", "go", "act", "effect")}
    none = [name for name, value in items.items() if value == 0]
    if len(none) >= 3 or items["act"] == 0:
        return Fail(f"no time for {listed(none)}", f"no time for {listed(none)}", "itemise `operator_time`")
    return Pass(f"{time(sum(items.values()))} in five parts")


@rule("2.6", "The first action uses a device that still works", scope="alarm", severity="by consequence",
      basis="PSLG layers of protection analysis", conditions=(FOR_A_PERSON,), needs=("alarm.uses",))
def action_uses_a_working_device(alarm: OfAlarm, uses: tuple[str, ...]) -> Answer:
    """Asks for at least one device of the action that is no part of the ordinary running that has failed.

    The level is where it should not be because ordinary running has failed; its valve may be the one that sticks.
    Where no other device stands in the streams of the tank, that is a note: what is left is to move the same device past
    its control, by hand at its starter, and to say so.
    Cure: name another valve or pump in `uses`, or provide one.
    """
    context = alarm.context
    running = context.control_elements.get(alarm.tank_tag or "", frozenset())
    bodies = context.control_bodies.get(alarm.tank_tag or "", frozenset())
    others = [one for one in uses if one not in running and one not in bodies]
    if others:
        return Pass(f"{listed(others)} is not part of ordinary running")
    if not (_in_streams(alarm) - running):
        return Fail(f"only {listed(uses)}, which ordinary running moves, and no other device stands in the streams of "
                    f"{alarm.tank_tag}", f"only {listed(uses)}, no other there",
                    "say in `first` how it is moved past its control, or provide another device",
                    at=alarm.alarm.place_of("uses"), severity="note", also=tuple(uses))
    return Fail(f"only {listed(uses)}, which ordinary running moves", f"only {listed(uses)}",
                "name another device in `uses`", at=alarm.alarm.place_of("uses"), also=tuple(uses))


def _in_streams(alarm: OfAlarm) -> set[str]:
    """Pumps and valves in the streams of the alarm's tank."""
    plant, tank = alarm.context.plant, alarm.tank_tag or ""
    streams = [plant.streams[tag] for tag in (*plant.inflows_of[tank], *plant.outflows_of[tank])]
    moved = [one.moved_by for one in streams if one.moved_by]
    return {str(one) for stream in streams for one in stream.through} | {
        str(each) for one in moved for each in (one, *plant.members_of(one))}


@rule("2.7", "The alarm is shown where somebody is", scope="alarm", severity="by consequence",
      basis="HSE guidance on operator alarms as protection; API Std 2350, attendance", needs=("alarm.shown_at",))
def alarm_is_shown_where_somebody_is(alarm: OfAlarm, shown: tuple[str, ...]) -> Answer:
    """Asks that one of the places where the alarm is shown is attended at all times.

    An alarm at a panel that is empty by night leaves no time at all.
    Cure: show it in an attended place too, or call somebody out.
    """
    places = alarm.context.plant.attendance
    always = [str(place.name) for one in shown if (place := places.get(Tag(one))) is not None and place.always]
    if always:
        return Pass(f"always attended: {listed(always)}")
    return Fail(f"{listed(shown)} is not always attended", "not always attended", "show it where somebody always is",
                at=alarm.alarm.place_of("shown_at"))


@rule("2.8", "The alarm is not used to run the plant", scope="alarm", severity="warning",
      basis="Buncefield investigation reports", conditions=(OF_A_LEVEL,))
def alarm_is_no_control(alarm: OfAlarm) -> Answer:
    """Asks that no control starts or stops on the point that raises the alarm.

    An alarm that sounds in ordinary running is acknowledged unread, and the next one too.
    Cure: give the control a point of its own.
    """
    plant = alarm.context.plant
    used = [tag for tag in plant.controls_of_point[alarm.alarm.from_]
            if isinstance(plant.controls[tag], StartStop)]
    if used:
        return Fail(f"{alarm.alarm.from_} also runs {listed(used)}", f"{alarm.alarm.from_} runs {listed(used)}",
                    "give the control its own point", also=tuple(used))
    return Pass(f"no control rests on {alarm.alarm.from_}")


@rule("2.10", "An alarm credited as protection has the highest priority", scope="alarm", severity="by consequence",
      basis="HSE guidance on operator alarms as protection", conditions=(CREDITED,))
def credited_alarm_has_the_highest_priority(alarm: OfAlarm) -> Answer:
    """Asks for the highest priority where people or environment depend on somebody answering.

    Cure: raise the priority, or do not credit the alarm.
    """
    if alarm.alarm.priority == "highest":
        return Pass("highest")
    return Fail(f"its priority is {alarm.alarm.priority}", f"priority {alarm.alarm.priority}", "raise the priority",
                at=alarm.alarm.place_of("priority"))


@rule("2.14", "An alarm stands off its trip by more than nothing", scope="alarm", severity="by consequence",
      basis=PRACTICE, conditions=(OF_A_LEVEL, When(
          "it names the point that follows", lambda alarm: alarm.alarm.before in alarm.context.plant.switches)))
def alarm_comes_before_its_trip(alarm: OfAlarm) -> Answer:
    """Compares the latest action of the alarm with the earliest of the point that it names in `before`.

    An alarm that can come after its trip is no warning. Between two points of one body the error that both share moves
    both the same way and is left out. Edges alone count: response and delays of the alarm are taken off the minutes that it
    leaves, which are nought where it can sound too late. Cure: move the alarm or the point.
    """
    results = alarm.context.results.setpoints
    first, then = results.get(alarm.alarm.from_), results.get(str(alarm.alarm.before))
    if first is None or then is None or first.act is None or then.act is None:
        return Missing((f"{alarm.alarm.from_}: height", f"{alarm.alarm.before}: height"))
    gap = then.act.low - first.act.high if then.acts == "rising" else first.act.low - then.act.high
    points = alarm.context.plant.switches
    if points[alarm.alarm.from_].in_ == points[Tag(str(alarm.alarm.before))].in_:
        gap += 2 * (value_of(first.error_common) or 0.0)
    if gap > 0:
        return Pass(f"{mm(gap)} before {alarm.alarm.before}")
    return Fail(f"it can come {mm(-gap)} after {alarm.alarm.before}", f"{mm(-gap)} after {alarm.alarm.before}",
                "move the alarm", also=(str(alarm.alarm.before),))
