"""What happens when something is lost: rules 4.11 to 4.17 and 4.20 to 4.22."""


from generator.check.conditions import FORCES_A_STATE, IS_TRIP, RESTS_ON_LEVEL
from generator.check.logic import can_act_without
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import Effect, Element, OfControl, OfInterlock, OfSupply, Whole
from generator.check.words import listed, time
from generator.model.interlock import Modulating
from generator.model.machine import Equipment, Pump
from generator.model.scalar import Tag

PRACTICE = "common practice, no source"


@rule("4.11", "The valve fails to the position that the trip drives it to", scope="effect", severity="by consequence",
      basis=PRACTICE, conditions=(
          FORCES_A_STATE,
          When("the final element is a valve that something drives", lambda effect: (
              effect.valve is not None and effect.valve.kind not in ("hand", "check")))),
      needs=("valve.fails",))
def valve_fails_to_its_trip_position(effect: Effect, fails: str) -> Answer:
    """Compares where the valve goes when its drive is lost with the state that the interlock asks for.

    A valve that stays where it is needs something else that does its work then, stated in `backup`.
    Cure: another actuator, or a stated backup.
    """
    if fails == effect.state:
        return Pass(f"fails {fails}")
    if fails == "in place" and effect.valve and effect.valve.backup:
        return Pass("stays in place; a backup is stated")
    return Fail(f"it fails {fails}, the interlock asks for {effect.state}", f"fails {fails}, asked {effect.state}",
                "change the actuator, or state a `backup`", at=effect.valve.place_of("fails") if effect.valve else None)


@rule("4.12", "What a bad signal does is defined", scope="interlock", severity="by consequence",
      basis="IEC 61511-1:2016, 10.3 (from memory)", conditions=(RESTS_ON_LEVEL,))
def bad_signal_is_defined(subject: OfInterlock) -> Answer:
    """Asks what the function does on a detected fault of a sensor: it trips, holds, or ignores it.

    What nobody decides, the programmer does. Cure: state `bad_signal`.
    """
    if subject.interlock.bad_signal:
        return Pass(subject.interlock.bad_signal)
    return Fail("not stated", "bad signal not defined", "state `bad_signal`")


@rule("4.20", "A detected fault does not silence the trip", scope="interlock", severity="by consequence",
      basis="IEC 61511-1:2016, 11.3: behaviour on detection of a fault (from memory)", conditions=(
          IS_TRIP, RESTS_ON_LEVEL, When("a fault of a body in its cause is detected", lambda subject: bool(_watched(subject)))),
      needs=("interlock.bad_signal",))
def detected_fault_does_not_silence(subject: OfInterlock, bad_signal: str) -> Answer:
    """Takes each body whose fault is detected (a transmitter, or a supervised line) as bad, one at a time: where the trip then
    ignores it or holds what it showed last, the rest of the cause must still be able to act.

    A trip that waits for the one signal that it no longer believes is out of use, and its page says that it is in use.
    Cure: trip on a bad signal, or a vote that goes on without the member.
    """
    if bad_signal == "trips":
        return Pass("a bad signal trips")
    for body, points in _watched(subject).items():
        if not can_act_without(subject.interlock.when, points):
            does = "ignores it" if bad_signal == "ignored" else "holds what it showed last"
            return Fail(f"{body} is found to be bad and {subject.tag} {does}: from then on it cannot act, however the level "
                        "goes", f"silent with {body} bad", "trip on a bad signal, or vote", also=(body,),
                        at=subject.interlock.place_of("bad_signal"))
    return Pass("what is left can still act")


def _watched(subject: OfInterlock) -> dict[str, set[str]]:
    """Bodies of a cause whose fault is detected, each with its points there."""
    plant = subject.context.plant
    made: dict[str, set[str]] = {}
    for tag in subject.interlock.when.tags():
        if tag in plant.switches:
            body = plant.switches[tag].in_
            one = plant.instruments[body]
            if one.range is not None or (one.wiring is not None and one.wiring.supervised):
                made.setdefault(str(body), set()).add(str(tag))
    return made


def _can_be_bad(subject: OfControl) -> bool:
    """Whether a point of a start-and-stop control is a set point, or crosses a link that makes it bad when it is lost."""
    control, plant = subject.control, subject.context.plant
    if isinstance(control, Modulating):
        return True
    bad = {signal for name, across in subject.context.results.crossings.items()
           if plant.links[Tag(name)].received_signals == "bad" for function, signal in across.read if function == subject.tag}
    return any(point in bad or (point in plant.switches and plant.switches[point].contact is None
                                and plant.instruments[Tag(plant.switches[point].in_)].range is not None)
               for point in (*control.starts, control.stops))


@rule("4.13", "What a control does on a bad signal is defined", scope="control", severity="warning", basis=PRACTICE,
      conditions=(When("it is a loop, or one of its points can be bad: a set point, or one behind a link that makes it so",
                       _can_be_bad),))
def control_defines_its_bad_signal(subject: OfControl) -> Answer:
    """Asks what a loop does with its valve when the transmitter fails, and what a start-and-stop control does with a bad point.

    Cure: state `bad_signal` of the control.
    """
    if subject.control.bad_signal:
        return Pass(subject.control.bad_signal)
    return Fail("not stated", "bad signal not defined", "state `bad_signal`")


@rule("4.14", "What the machine does when power returns is declared", scope="element", severity="warning",
      basis="WAC 296-806-20010; common practice elsewhere", conditions=(
          When("it has a motor or heats", lambda subject: isinstance(subject.element, Pump) or (
              isinstance(subject.element, Equipment) and subject.element.kind not in ("horn", "beacon", "call-out"))),))
def restart_is_declared(subject: Element) -> Answer:
    """Asks whether the machine starts by itself when power returns, and after how long.

    Somebody may have their hands in it. Cure: state `restart`.
    """
    restart = getattr(subject.element, "restart", None)
    if restart is not None:
        return Pass("starts by itself" if restart.by_itself else "waits for a person")
    return Fail("not stated", "restart not declared", "state `restart`")


@rule("4.15", "Machines that restart by themselves do so one after the other", scope="supply", severity="warning",
      basis=PRACTICE)
def restarts_are_staggered(subject: OfSupply) -> Answer:
    """Compares the times after which pumps on one supply start by themselves, each after its own delay and its turn in its
    group.

    Several motors that start at once pull the voltage down, and none comes up.
    Cure: different times in `restart.after`, or `stagger` of the group.
    """
    line = subject.context.results.restarts.get(subject.tag)
    steps = line.steps if line else ()
    together = [step.tag for step in steps if step.together]
    if together:
        return Fail(f"{listed(together)} start at the same moment", f"{listed(together)} together",
                    "stagger them", also=tuple(together))
    return Pass(f"{len(steps)} machines")


@rule("4.16", "The plant knows whether the final element moved", scope="effect", severity="warning", basis=PRACTICE,
      conditions=(FORCES_A_STATE, When("it is a pump or valve", lambda effect: (
          effect.element in effect.context.plant.pumps or effect.element in effect.context.plant.valves))))
def trip_effect_has_feedback(effect: Effect) -> Answer:
    """Asks for a run contact, a limit switch or a flow, and for the time after which a difference is alarmed.

    Without it the trip is taken for done because it was ordered. Cure: state `feedback` with `within`.
    """
    feedback = getattr(effect.owner, "feedback", None)
    if feedback is None:
        return Fail("no feedback is stated", "no feedback", "state `feedback`")
    if feedback.within is None:
        return Fail("no time is stated after which a difference is alarmed", "no time for a difference",
                    "state `within`", at=feedback.place)
    return Pass(f"{feedback.by} within {feedback.within.written}")


@rule("4.17", "A stored supply says how long it lasts", scope="supply", severity="warning", basis=PRACTICE, conditions=(
    When("it is a battery or uninterruptible", lambda subject: subject.supply.kind in ("battery", "uninterruptible")),))
def stored_supply_says_how_long(subject: OfSupply) -> Answer:
    """Asks for the time that a battery carries alarm and telemetry; it must outlast the answer of the person.

    Cure: state `lasts`.
    """
    return Pass(subject.supply.lasts.written) if subject.supply.lasts else Fail("not stated", "time not stated",
                                                                               "state `lasts`")


def _places(whole: Whole) -> list[str]:
    """Places of logic that interlocks run in and whose outputs may drop or hold."""
    by = {str(lock.by) for lock in whole.context.plant.interlocks.values()}
    return [name for name in ("controller", "safety system") if name in by]


@rule("4.21", "What outputs do when their logic stops is stated", scope="plant", severity="warning",
      basis="IEC 61511-1:2016, 11.3 (from memory)", conditions=(
          When("a controller or a safety system carries an interlock", lambda whole: bool(_places(whole))),))
def outputs_on_stop_are_stated(whole: Whole) -> Answer:
    """Asks, for the controller and the safety system where interlocks run in them, whether their outputs drop or hold when
    they stop.

    Held outputs leave a valve open with nobody in charge of it; dropped ones send it where it fails to.
    Cure: state `outputs_on_stop`.
    """
    stated = whole.context.plant.plant.outputs_on_stop
    open_ones = [name for name in _places(whole) if getattr(stated, name.replace(" ", "_")) is None]
    if open_ones:
        return Fail(f"not stated for the {listed(open_ones)}", f"{listed(open_ones)} not stated", "state `outputs_on_stop`")
    return Pass(", ".join(f"{name}: {getattr(stated, name.replace(' ', '_'))}" for name in _places(whole)))


def _strokes(subject: Element) -> dict[str, float]:
    """Times that an element takes to come where it is ordered, as recorded. [s]"""
    names = ("closing_time", "opening_time", "stop_time", "start_time")
    return {name: value.si for name in names if (value := getattr(subject.element, name, None)) is not None}


@rule("4.22", "The feedback waits for the stroke", scope="element", severity="warning", basis=PRACTICE, conditions=(
    When("its feedback has a time, and its stroke is recorded", lambda subject: (
        subject.element.feedback is not None and subject.element.feedback.within is not None and bool(_strokes(subject)))),))
def feedback_waits_for_the_stroke(subject: Element) -> Answer:
    """Compares the time after which a difference is alarmed with the longest time that the element takes.

    A feedback that cannot wait calls every stroke a fault, and the alarm is switched off before it is needed.
    Cure: a longer `within`, or a faster element.
    """
    within = subject.element.feedback.within.si if subject.element.feedback and subject.element.feedback.within else 0.0
    name, longest = max(_strokes(subject).items(), key=lambda one: one[1])
    if within >= longest:
        return Pass(f"{time(within)}, {name.replace('_', ' ')} {time(longest)}")
    return Fail(f"a difference is alarmed after {time(within)}, and the {name.replace('_', ' ')} is {time(longest)}",
                f"{time(within)} of {time(longest)}", "let the feedback wait longer",
                at=subject.element.feedback.place if subject.element.feedback else None)
