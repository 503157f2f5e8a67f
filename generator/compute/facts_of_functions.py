"""Facts of the functions behind a subject: trips, votes, bypasses, resets, what else protects."""

import math
from collections.abc import Iterator

from generator.compute.duties import starts_to_protect
from generator.compute.facts import NOTHING, Fact, Subject, joined, yes_no
from generator.model.condition import Condition, Vote
from generator.model.interlock import Interlock
from generator.model.record import value_of
from generator.model.scalar import Tag


def subject_kind(subject: Subject) -> Fact:
    """What the subject is; it needs no words."""
    return Fact({subject.kind: ""})


def in_trip(subject: Subject) -> Fact:
    """Whether the subject is, or is a cause of, a trip or releasing interlock."""
    if subject.kind not in ("switch", "interlock"):
        return NOTHING
    found = [tag for tag, lock in subject.interlocks if lock.kind != "permissive"]
    return yes_no(bool(found), f"{', '.join(found) or 'a trip'} rests on it", "", "")


def _protective(subject: Subject) -> Iterator[tuple[Tag, Interlock]]:
    return ((tag, lock) for tag, lock in subject.interlocks if lock.kind != "permissive")


def bypass(subject: Subject) -> Fact:
    """Whether a trip behind the subject may be bypassed."""
    return joined(yes_no(lock.bypass is not None, f"{tag} may be bypassed", "", "") if lock.bypass is not None else
                  Fact({"no": f"{tag} has no bypass"}) for tag, lock in _protective(subject))


def bypass_alarmed(subject: Subject) -> Fact:
    """Whether a bypass is alarmed while it lasts."""
    return joined(yes_no(lock.bypass.alarmed, f"{tag}: bypass alarmed", "alarm of the bypass",
                         f"interlocks/{tag}/bypass/alarmed")
                  for tag, lock in subject.interlocks if lock.bypass is not None)


def start_up_bypass(subject: Subject) -> Fact:
    """Whether a bypass is meant for starting up only."""
    return joined(yes_no(lock.bypass.start_up_only, f"{tag}: start-up bypass", "", "")
                  for tag, lock in subject.interlocks if lock.bypass is not None)


def last_protection(subject: Subject) -> Fact:
    """Whether no other trip, resting on other bodies, protects from the same hazard."""
    def alone(tag: Tag, lock: Interlock) -> Fact:
        if lock.hazard is None:
            return Fact({"no": ""})
        bodies = subject.survey.bodies_of[tag]
        others = [other for other in subject.survey.protecting_from[lock.hazard]
                  if other != tag and not bodies & subject.survey.bodies_of[other]]
        return yes_no(not others, f"{tag} is the only interlock against {lock.hazard}; {_alarms_left(subject, tag)}", "", "")

    return joined(alone(tag, lock) for tag, lock in _protective(subject))


def _alarms_left(subject: Subject, tag: Tag) -> str:
    """Alarms against the hazard of an interlock that rest on none of its bodies, with the minutes that they leave."""
    lock, plant = subject.plant.interlocks[tag], subject.plant
    left: dict[str, str] = {}
    for layer in subject.survey.layers.get(str(lock.hazard), ()):
        bodies = {str(plant.switches[Tag(point)].in_) if point in plant.switches else point for point in layer.points}
        if layer.kind == "alarm" and str(plant.alarms[Tag(layer.tag)].from_) != tag and bodies and (
                not bodies & subject.survey.bodies_of[tag]):
            minutes = value_of(layer.minutes) if layer.minutes is not None else None
            left[layer.tag] = f"{layer.tag} ({_minutes(minutes)})" if minutes is not None else layer.tag
    if not left:
        return "no alarm on another body remains without it"
    many = len(left) > 1
    return f"the alarm{'s' if many else ''} {', '.join(left.values())} remain{'' if many else 's'}, on another body"


def _minutes(seconds: float) -> str:
    """A time left in words, cut off as everywhere: a tenth of a minute, from two hours hours and minutes."""
    whole = math.floor(seconds / 60 + 1e-9)
    if whole >= 120:
        return f"{whole // 60} h" + (f" {whole % 60} min" if whole % 60 else "")
    return f"{math.floor(seconds / 6 + 1e-9) / 10:.1f} min" if whole < 100 else f"{whole} min"


def vote_member(subject: Subject) -> Fact:
    """Whether the point is a member of a vote."""
    if subject.kind != "switch":
        return NOTHING
    votes = [f"{tag} ({vote.needed} of {len(vote.inner)})" for tag, lock in subject.interlocks
             for vote in _votes(lock.when) if subject.tag in list(vote.tags())]
    return yes_no(bool(votes), f"it votes in {', '.join(votes)}" if votes else "it votes", "", "")


def _votes(condition: Condition) -> Iterator[Vote]:
    if isinstance(condition, Vote):
        yield condition
    for part in condition.parts():
        yield from _votes(part)


def must_start_to_protect(subject: Subject) -> Fact:
    """Whether a trip behind the subject must start something to protect; for a pump, whether one must start it."""
    plant = subject.plant
    locks: list[tuple[Tag, Interlock]] = list(_protective(subject))
    if subject.kind == "pump":
        locks = [(tag, plant.interlocks[tag]) for tag in plant.interlocks_of_effect[subject.tag]]
    return joined(yes_no(starts_to_protect(plant, lock), f"{tag} starts {', '.join(lock.then)} to protect", "", "")
                  for tag, lock in locks)


def restarts_after_reset(subject: Subject) -> Fact:
    """Whether resetting the trip moves something by itself; of an interlock only."""
    if subject.interlock is None or subject.interlock.reset is None:
        return NOTHING
    restarts = subject.interlock.reset.restarts
    return yes_no(restarts != "nothing", f"after the reset: {restarts}", "", "")
