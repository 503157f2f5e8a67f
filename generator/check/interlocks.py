"""Causes, effects and what holds them: rules 5.1 to 5.11."""

from generator.check.conditions import FORCES_A_STATE, IS_TRIP, names
from generator.check.logic import parts_of
from generator.check.proved import proved
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import Cause, Element, OfInterlock
from generator.check.words import listed
from generator.model.condition import Vote

PRACTICE = "common practice, no source"
MATRIX = "IEC 62881, cause-and-effect matrices (from memory)"
SRS = "IEC 61511-1:2016, 10.3 (from memory)"


@rule("5.1", "The cause has an effect", scope="cause", severity="error", basis=MATRIX)
def cause_has_an_effect(cause: Cause) -> Answer:
    """Asks that each switch and signal is used: by an interlock, a control, an alarm, a reset, a key or a supply.

    A cause without an effect is wired and tested for nothing, or an effect was forgotten.
    Cure: use it, or take it out.
    """
    plant = cause.context.plant
    users: list[str] = [*plant.interlocks_of_cause[cause.tag], *plant.controls_of_point[cause.tag],
                        *plant.alarms_of[cause.tag]]
    users += cause.context.users_beside_the_cause.get(cause.tag, ())
    if users:
        return Pass(f"used by {listed(users)}")
    return Fail("nothing rests on it", "no effect", "use it or take it out")


@rule("5.2", "The final element has a cause", scope="element", severity="error", basis=MATRIX, conditions=(
    When("something drives it", lambda subject: getattr(subject.element, "kind", "") not in (
        "hand", "check", "self-acting")),))
def final_element_has_a_cause(subject: Element) -> Answer:
    """Asks that each pump, driven valve and piece of equipment is moved by an interlock or a control.

    An element without a cause has a duty that this document does not tell.
    Cure: add what moves it, or take it out.
    """
    plant = subject.context.plant
    users: list[str] = [*plant.interlocks_of_effect[subject.tag], *plant.controls_of_element[subject.tag]]
    if users:
        return Pass(f"moved by {listed(users)}")
    return Fail("no interlock or control moves it", "no cause", "add what moves it")


@rule("5.3", "No two interlocks fight over the element", scope="element", severity="error", basis=SRS)
def effects_do_not_conflict(subject: Element) -> Answer:
    """Looks for two interlocks that want the element in different states while neither gives way.

    Every physically possible state is looked at: both causes may stand at once, or one interlock may still be held by
    its latch when the other acts. A permissive forces nothing and is left out. Cure: name in `wins_over` which gives way.
    """
    return proved(subject.context, "effects do not conflict", subject.tag, "state `wins_over`")


@rule("5.4", "The trip is latched and says how it is reset", scope="interlock", severity="by consequence", basis=SRS,
      conditions=(IS_TRIP,))
def trip_is_latched_and_reset(subject: OfInterlock) -> Answer:
    """Asks for the latch, for a reset with at least one named place, and for who may use it.

    A trip that lets go by itself starts the same course again. Cure: state `latch` and `reset`, or call it a
    releasing interlock.
    """
    gone = [key for key in ("latch", "reset") if getattr(subject.interlock, key) is None]
    if gone:
        return Fail(f"{listed(gone)} not stated", f"without {listed(gone)}", f"state {listed(gone)}")
    if subject.interlock.reset and not subject.interlock.reset.at:
        return Fail("the reset has no place", "no place of reset", "state `at`", at=subject.interlock.reset.place)
    return Pass("latched, with a place and a role for the reset")


HAS_RESET = When("it has a reset", lambda subject: subject.interlock.reset is not None)


@rule("5.5", "The reset is accepted only when the cause is clear", scope="interlock", severity="by consequence",
      basis=SRS, conditions=(HAS_RESET,))
def reset_waits_for_a_clear_cause(subject: OfInterlock) -> Answer:
    """Looks for a physically possible state in which the cause stands and the reset is accepted.

    A reset that is accepted while the cause stands is a bypass without a permit.
    Cure: `when: {not: ...}` with the whole cause.
    """
    reset = subject.interlock.reset
    return proved(subject.context, "reset waits", subject.tag, "put the whole cause into `when`",
                  at=reset.place_of("when") if reset else None)


@rule("5.6", "The reset starts nothing", scope="interlock", severity="warning", basis=PRACTICE, conditions=(HAS_RESET,))
def reset_starts_nothing(subject: OfInterlock) -> Answer:
    """Asks that nothing moves by itself after the reset.

    Who resets stands at the panel; somebody else may stand at the pump. Cure: a start of its own, after the reset.
    """
    reset = subject.interlock.reset
    if reset is None or reset.restarts.strip().lower() == "nothing":
        return Pass("nothing")
    return Fail(f"after the reset: {reset.restarts}", str(reset.restarts), "let a person start it",
                at=reset.place_of("restarts"))


@rule("5.7", "A permissive does not stand where a trip is needed", scope="interlock", severity="by consequence",
      basis=PRACTICE, conditions=(When("it is a permissive", lambda subject: subject.interlock.kind == "permissive"),))
def permissive_is_no_trip(subject: OfInterlock) -> Answer:
    """Asks that a permissive forces nothing, and that what already runs is stopped when a permissive that protects is lost.

    A permissive protects where it names a hazard or rests on a trip point. It asks once, at the start: what runs keeps
    running when the level falls away. Cure: make it a trip, or add one.
    """
    return proved(subject.context, "permissive is no trip", subject.tag, "make it a trip, or add one",
                  at=subject.interlock.place_of("then"))


@rule("5.8", "The vote counts two members or more, each of them once", scope="interlock", severity="error", basis=SRS,
      conditions=(When("the cause has a vote",
                       lambda subject: bool(list(parts_of(subject.interlock.when, Vote)))),))
def vote_counts_each_member_once(subject: OfInterlock) -> Answer:
    """Asks that a vote has two members or more, and none of them twice.

    Two of three with a member named twice acts on one float; one of one is no vote.
    Cure: correct the members.
    """
    for vote in parts_of(subject.interlock.when, Vote):
        members = [str(tag) for tag in vote.tags()]
        if len(members) != len(set(members)) or len(members) < 2:
            return Fail(f"its members are {listed(members)}, {len(members)} in all", f"members {', '.join(members)}",
                        "name each member once", at=vote.place)
    return Pass("the numbers fit")


@rule("5.9", "The trip is live in every mode", scope="interlock", severity="by consequence", basis=PRACTICE,
      conditions=(IS_TRIP,), needs=("interlock.live_in",))
def trip_is_live_in_every_mode(subject: OfInterlock, live: tuple[str, ...]) -> Answer:
    """Compares the modes in which the trip acts with the modes of the plant.

    In HAND somebody stands at the pump and trusts the trip. A `note` that names the mode may give the reason, but not where
    the trip protects people: there a waiver with an alternative and a second role is needed.
    Cure: let the trip act behind the selector.
    """
    dead = [tag for tag in subject.context.plant.modes if tag not in live]
    if not dead:
        return Pass(f"live in {listed(live)}")
    modes = subject.context.plant.modes
    if subject.harm != "people" and all(names(subject.interlock.note, [tag]) or names(
            subject.interlock.note, [str(modes[tag].name)]) for tag in dead):
        return Pass(f"not live in {listed(dead)}; the note gives the reason")
    aside = "; its note does not name the mode" if subject.interlock.note and subject.harm != "people" else ""
    return Fail(f"it does not act in {listed(dead)}{aside}", f"not live in {listed(dead)}", "let it act in every mode",
                at=subject.interlock.place_of("live_in"))


@rule("5.10", "The trip has a manual stop", scope="interlock", severity="warning", basis=SRS, conditions=(IS_TRIP,))
def trip_has_a_manual_stop(subject: OfInterlock) -> Answer:
    """Asks for a button that does by hand what the trip does.

    Who sees the liquid run over cannot wait for the float. Cure: state `manual_stop`.
    """
    plant = subject.context.plant
    if subject.interlock.manual_stop:
        return Pass(str(subject.interlock.manual_stop))
    inside = [tag for tag in subject.interlock.when.tags()
              if tag in plant.signals and plant.signals[tag].kind in ("manual stop", "emergency stop")]
    if inside:
        return Pass(f"{listed(inside)} is part of the cause")
    return Fail("none is stated", "no manual stop", "state `manual_stop`")


@rule("5.11", "No two interlocks say the same", scope="interlock", severity="warning", basis=PRACTICE,
      conditions=(FORCES_A_STATE,))
def interlock_stands_once(subject: OfInterlock) -> Answer:
    """Looks for another interlock that acts whenever this one does, on the same elements, and is held as firmly.

    The causes are compared by what they mean, not by how they are written; that points stand in an order of heights does
    not count, since layers may stand one above the other. Two rows that say the same are changed one at a time.
    Cure: take one out.
    """
    return proved(subject.context, "interlock stands once", subject.tag, "take one out")
