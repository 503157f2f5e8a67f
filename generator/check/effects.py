"""What the effects do to the liquid, and whether a cause can come true: rules 5.12 to 5.17."""

from generator.check.conditions import FORCES_A_STATE, IS_TRIP, RESTS_ON_LEVEL, names
from generator.check.logic import parts_of
from generator.check.proved import proved
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import Effect, OfInterlock
from generator.check.words import height, listed
from generator.model.condition import AllOf
from generator.model.scalar import Tag


@rule("5.12", "The effect does not feed its own cause", scope="interlock", severity="error",
      basis="common practice, no source", conditions=(FORCES_A_STATE, RESTS_ON_LEVEL))
def effect_does_not_feed_its_cause(subject: OfInterlock) -> Answer:
    """Follows the streams: a rising cause must not stop what empties its tank, nor start what fills it; and mirrored.

    Where another effect of the same interlock works against the cause, it is a warning, since the reason may be good.
    Cure: act on the inflow, not on the outflow.
    """
    return proved(subject.context, "effect does not feed its cause", subject.tag, "act on the other side of the tank",
                  at=subject.interlock.place_of("then"), eased="warning")


@rule("5.13", "A neighbour that the effect floods or starves has a point of its own", scope="interlock",
      severity="warning", basis="common practice, no source", conditions=(FORCES_A_STATE, RESTS_ON_LEVEL))
def stopped_inflow_floods_nothing(subject: OfInterlock) -> Answer:
    """Follows the streams to the tanks before and behind: each whose level the effect raises needs an alarm or a trip on
    a rising level, each that it lowers and that a pump draws from, or a hazard begins at, one on a falling level.

    The liquid that no longer comes here stays where it came from, and does not go where it was needed.
    Cure: an alarm or a trip on the neighbour.
    """
    return proved(subject.context, "neighbours are protected", subject.tag, "add an alarm or a trip on the neighbour",
                  at=subject.interlock.place_of("then"))


@rule("5.14", "Points that must agree stand at one height", scope="interlock", severity="warning",
      basis="common practice, no source; it follows from the meaning of all-of", conditions=(
          FORCES_A_STATE, When("the cause asks for several at once",
                               lambda subject: bool(list(parts_of(subject.interlock.when, AllOf))))))
def points_that_must_agree_stand_level(subject: OfInterlock) -> Answer:
    """Compares the heights of points of one tank and direction that an all-of joins.

    The cause comes true only at the last of them; the others earn no credit and mislead whoever reads their height.
    Cure: one height, or a vote.
    """
    answer = proved(subject.context, "every point counts", subject.tag, "use one height, or a vote",
                    at=subject.interlock.place_of("when"))
    plant, results = subject.context.plant, subject.context.results.setpoints
    for part in parts_of(subject.interlock.when, AllOf):
        seen: dict[tuple[str, str], tuple[str, float]] = {}
        for tag in part.tags():
            own = results.get(tag)
            if tag not in plant.switches or own is None:
                continue
            if own.stands is None:
                return Missing((f"{tag}: height.issued",))
            key = (own.tank, own.acts)
            other = seen.setdefault(key, (tag, own.stands))
            if abs(other[1] - own.stands) > 1e-3:
                idle = f": {answer.stands}" if isinstance(answer, Fail) else ""
                return Fail(f"{other[0]} at {height(other[1])} and {tag} at {height(own.stands)} must both act{idle}",
                            f"{other[0]} {height(other[1])}, {tag} {height(own.stands)}", "use one height",
                            at=part.place)
    return answer if isinstance(answer, Fail) else Pass("no two heights")


@rule("5.15", "The cause can come true", scope="interlock", severity="error", basis="common practice, no source")
def cause_can_come_true(subject: OfInterlock) -> Answer:
    """Looks for a physically possible state in which the cause is true, and one for each of its alternatives.

    Levels stay below the opening by which liquid leaves, and between the edges of their bands the order of the points
    holds. A cause that never comes true protects nobody; one that is always true lets nothing run.
    Cure: correct the cause.
    """
    return proved(subject.context, "cause can come true", subject.tag, "correct the cause",
                  at=subject.interlock.place_of("when"))


@rule("5.16", "What a trip holds does not run again after a power failure", scope="interlock", severity="warning",
      basis="IEC 61511-1:2016, 10.3 (from memory); WAC 296-806-20010", conditions=(IS_TRIP,))
def trip_outlasts_a_power_failure(subject: OfInterlock) -> Answer:
    """Looks for a latch that does not survive a loss of power, on a machine that starts by itself when power returns.

    A dip of the voltage then does what nobody at the panel did: where the cause is gone, it resets the trip and starts
    the machine. A `note` that names each such machine may give the reason, but not where the trip protects people: there a
    waiver with an alternative and a second role is needed. Cure: a latch that survives, or a machine that waits for a person.
    """
    lock, plant = subject.interlock, subject.context.plant
    if lock.latch is None or lock.latch.survives_power_loss:
        return Pass("the latch survives" if lock.latch else "it is not held")
    restarting = [str(one) for target, state in lock.then.items() if state in ("stopped", "off")
                  for one in plant.members_of(target) or (target,)
                  if (restart := getattr(plant.find(one), "restart", None)) is not None and restart.by_itself]
    if not restarting:
        return Pass("nothing that it stops starts by itself")
    if subject.harm != "people" and all(
            names(lock.note, [one]) or any(names(lock.note, [group]) for group in plant.group_of[Tag(one)])
            for one in restarting):
        return Pass(f"the note gives the reason for {listed(restarting)}")
    aside = f" The note does not name {listed(restarting)}." if lock.note and subject.harm != "people" else ""
    end = "" if len(restarting) > 1 else "s"
    return Fail(f"power fails and returns while {subject.tag} holds: its latch is gone, and {listed(restarting)} run{end} "
                f"again, though nobody has reset anything.{aside}", f"{listed(restarting)} restart{end} without a reset",
                "let the latch survive", at=lock.latch.place, also=tuple(restarting))


@rule("5.17", "Something moves what the interlock drives", scope="effect", severity="error",
      basis="common practice, no source", conditions=(
          FORCES_A_STATE, When("it is a valve", lambda effect: effect.valve is not None)))
def driven_valve_is_moved_by_something(effect: Effect) -> Answer:
    """Asks that a valve in the effects of an interlock is one that a signal can move.

    A hand valve, a check valve and a self-acting valve do not answer to an order. Cure: a valve with a drive, or an alarm.
    """
    valve = effect.valve
    if valve is not None and (valve.kind in ("hand", "check", "self-acting") or valve.actuator in ("hand", "float")):
        return Fail(f"{effect.element} is a {valve.kind} valve: {effect.interlock_tag} orders it {effect.state}, and "
                    "nothing moves", f"{effect.element} is moved by nothing", "name a valve that has a drive")
    return Pass(f"{valve.kind} valve" if valve else "")
