"""Rows for what is lost: power and air, with what hangs on them, and the signal of a device."""

from collections.abc import Iterable, Iterator, Mapping

from generator.model.condition import Acted, AllOf, Condition, Held, Not, Vote
from generator.model.failure import FailureEffect
from generator.model.interlock import Interlock, State
from generator.model.link import Crossing
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.scalar import Tag

LOST, NO_SIGNAL = "lost", "signal lost"


def state_without_drive(plant: Definitions, tag: str) -> State | None:
    """Where a final element goes when what powers it is lost; None where it stays, or where nobody recorded it."""
    if tag in plant.pumps:
        return "stopped"
    if tag in plant.equipment:
        return "off"
    fails = plant.valves[Tag(tag)].fails
    return None if fails is None or fails == "in place" else fails


def feeders(plant: Definitions, supply: Tag) -> Iterator[tuple[Tag, tuple[Duration, ...]]]:
    """A supply and everything upstream of it, each with how long what lies between still lasts when it is lost."""
    lasting: tuple[Duration, ...] = ()
    passed: set[Tag] = set()
    at: Tag | None = supply
    while at is not None and at not in passed:
        yield at, lasting
        passed.add(at)
        one = plant.supplies[at]
        lasting = (*lasting, *((one.lasts,) if one.lasts else ()))
        at = one.fed_from


def silent_bodies(plant: Definitions, locks: Iterable[str]) -> Mapping[Tag, tuple[str, ...]]:
    """Bodies whose lost signal alone makes interlocks act, with those interlocks.

    A broken wire looks like an open contact. A fault that the system detects counts as the interlock says.
    """
    made: dict[Tag, list[str]] = {}
    for name in locks:
        lock = plant.interlocks[Tag(name)]
        if lock.kind == "permissive":
            continue
        for body in dict.fromkeys(plant.switches[tag].in_ for tag in lock.when.tags() if tag in plant.switches):
            acted = {tag for tag in plant.points_of[body] if _looks_acted(plant, tag, lock)}
            if acted and holds(lock.when, acted) and not holds(lock.when, set()):
                made.setdefault(body, []).append(name)
    return {body: tuple(names) for body, names in made.items()}


def acting_links(
    crossings: Mapping[str, Crossing], failures: Mapping[str, tuple[FailureEffect, ...]],
) -> Mapping[str, tuple[str, ...]]:
    """Links whose loss makes interlocks act, with those; what is not stated of a link moves nothing here."""
    return {link: tuple(dict.fromkeys(lock for effect in failures.get(link, ()) for lock in effect.acts)) for link in crossings}


def dropping_links(plant: Definitions, crossings: Mapping[str, Crossing], device: str) -> tuple[str, ...]:
    """Links whose loss leaves a device without its drive."""
    return tuple(link for link, across in crossings.items() if plant.links[Tag(link)].orders == "drop" and any(
        one == device for _, one in across.orders))


def _looks_acted(plant: Definitions, tag: Tag, lock: Interlock) -> bool:
    """Whether a point without a signal counts as acted."""
    point, body = plant.switches[tag], plant.instruments[plant.switches[tag].in_]
    is_seen = point.contact is None or body.signal == "two-wire sensor" or (
        body.wiring is not None and body.wiring.supervised is True)
    if is_seen and lock.bad_signal is not None:
        return lock.bad_signal == "trips"
    return point.contact is not None and point.contact.at_the_point == "opens"


def holds(condition: Condition, acted: set[Tag]) -> bool:
    """Whether a condition holds when exactly these tags have acted, times over.

    >>> holds(Condition.read({"2 of": ["A", "B", {"not": "C"}]}), {Tag("A")})
    True
    """
    match condition:
        case Acted(tag=tag):
            return tag in acted
        case Not(part=part):
            return not holds(part, acted)
        case Held(part=part):
            return holds(part, acted)
    answers = [holds(part, acted) for part in condition.parts()]
    needed = condition.needed if isinstance(condition, Vote) else len(answers) if isinstance(condition, AllOf) else 1
    return sum(answers) >= needed
