"""Conditions that several rules share."""

import re
from collections.abc import Iterable

from generator.check.rule import When
from generator.check.subjects import OfInterlock, Point

RISING = When("the point acts on a rising level", lambda point: point.switch.acts == "rising")
FALLING = When("the point acts on a falling level", lambda point: point.switch.acts == "falling")
NO_SPILL_DETECTOR = When(
    "the point is not there to detect a spill", lambda point: point.switch.role != "spill detection"
)
ALARM_OR_TRIP = When("the point alarms or trips", lambda point: point.switch.role in ("alarm", "trip"))
OF_A_TRIP = When("the point trips", lambda point: point.switch.role == "trip")
HAS_CONTACT = When("the body gives a contact", lambda point: point.instrument.signal == "contact")
IS_TRIP = When("the interlock is a trip", lambda subject: subject.interlock.kind == "trip")
FORCES_A_STATE = When("the interlock forces a state", lambda subject: subject.interlock.kind != "permissive")


def names(note: str | None, tags: Iterable[str]) -> bool:
    """Whether a note names each thing that it is to excuse: a reason that says nothing of it excuses nothing.

    >>> names("In HAND a person stands at P-1", ["hand", "P-1"]), names("Shown on the drawing", ["hand"])
    (True, False)
    """
    said = (note or "").casefold()
    return bool(said) and all(re.search(rf"(?<![\w-]){re.escape(tag.casefold())}(?![\w-])", said) for tag in tags)


def _rests_on_level(subject: OfInterlock) -> bool:
    return any(tag in subject.context.plant.switches for tag in subject.interlock.when.tags())


RESTS_ON_LEVEL = When("the cause is a level", _rests_on_level)


def starts_something(point: Point) -> bool:
    """Whether every interlock of a point starts or opens what protects, rather than stopping what harms."""
    locks = [point.context.plant.interlocks[tag] for tag in point.context.plant.interlocks_of_cause[point.tag]]
    forcing = [lock for lock in locks if lock.kind != "permissive"]
    return bool(forcing) and all(set(lock.then.values()) <= {"running", "open", "on", "sounding"} for lock in forcing)


STARTS_TO_PROTECT = When("the point starts what protects", starts_something)
STOPS_TO_PROTECT = When("the point stops or shuts what harms", lambda point: not starts_something(point))
