"""Rows for what is lost: power and air, with what hangs on them, and the signal of a device."""

from collections.abc import Iterable, Iterator, Mapping

from generator.model.condition import Acted, AllOf, Condition, Held, Not, Vote
from generator.model.crossing import Crossing
from generator.model.failure import FailureEffect
from generator.model.interlock import Interlock, State
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


def trips_of_losses(plant: Definitions, locks: Iterable[str]) -> Iterator[tuple[Tag, str, tuple[Duration, ...]]]:
    """Supplies whose loss alone makes an interlock act, by the loops of its points and the relays in them.

    Each with the interlock and how long what lies between still lasts: the loops that fall first decide.
    """
    for name in locks:
        lock = plant.interlocks[Tag(name)]
        if lock.kind == "permissive":
            continue
        falling = _falling(plant, lock)
        for supply in plant.supplies:
            told = {tag for tag, one in plant.signals.items() if one.of == supply and one.kind in ("supply lost", "air lost")}
            fallen: set[Tag] = set()
            for tag, lasting in sorted(falling.get(supply, ()), key=lambda one: _seconds(one[1])):
                fallen.add(tag)
                if holds(lock.when, fallen | told):
                    if not holds(lock.when, told):
                        yield supply, name, lasting
                    break


def _falling(plant: Definitions, lock: Interlock) -> Mapping[Tag, list[tuple[Tag, tuple[Duration, ...]]]]:
    """By supply: the points of an interlock that look acted once it is lost, each with how long its loop still lasts."""
    made: dict[Tag, list[tuple[Tag, tuple[Duration, ...]]]] = {}
    for tag in dict.fromkeys(one for one in lock.when.tags() if one in plant.switches):
        point, wiring = plant.switches[tag], plant.instruments[plant.switches[tag].in_].wiring
        feeds = {wiring.supply} if wiring is not None and wiring.supply and _looks_acted(plant, tag, lock) else set()
        relay = plant.relays.get(point.contact.drives) if point.contact is not None and point.contact.drives else None
        if relay is not None and relay.supply and point.contact is not None and point.contact.at_the_point == "opens":
            feeds.add(relay.supply)  # a coil without its supply drops out as if the contact had opened
        soonest: dict[Tag, tuple[Duration, ...]] = {}
        for supply in feeds:
            for at, lasting in feeders(plant, supply):
                if at not in soonest or _seconds(lasting) < _seconds(soonest[at]):
                    soonest[at] = lasting
        for at, lasting in soonest.items():
            made.setdefault(at, []).append((tag, lasting))
    return made


def _seconds(lasting: tuple[Duration, ...]) -> float:
    return sum(one.si for one in lasting)


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
