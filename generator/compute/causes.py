"""Level points as causes: what must hold for a condition to become true, and when it is certain to be."""

from collections.abc import Iterator, Mapping
from typing import Literal

from msgspec import Struct

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Not, Vote
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.results import Band, SetpointResult
from generator.model.scalar import Tag

Direction = Literal["rising", "falling"]


class LevelCause(Struct, frozen=True):
    """A level point in a condition. `is_negated` where the condition asks that it has not acted."""

    tag: Tag
    is_negated: bool
    held: tuple[Duration, ...]

    @property
    def held_for(self) -> float:
        """How long the cause must last before it counts in the condition. [s]"""
        return sum(time.si for time in self.held)

    def direction(self, plant: Definitions) -> Direction:
        """Direction of the level that brings the cause about."""
        rising = (plant.switches[self.tag].acts == "rising") != self.is_negated
        return "rising" if rising else "falling"

    def band(self, setpoint: SetpointResult | None) -> Band | None:
        """Heights at which the cause can come about: the act band, or for a negated cause the reset band."""
        if setpoint is None:
            return None
        return setpoint.reset if self.is_negated else setpoint.act


def level_causes(plant: Definitions, condition: Condition) -> tuple[LevelCause, ...]:
    """Level points on which a condition rests, each once, in the order written; with its longest times held."""
    causes: dict[tuple[str, bool], LevelCause] = {}
    for cause in _walk(condition, False, ()):
        key = str(cause.tag), cause.is_negated
        if cause.tag in plant.switches and (key not in causes or cause.held_for > causes[key].held_for):
            causes[key] = cause
    return tuple(causes.values())


def _walk(condition: Condition, negated: bool, held: tuple[Duration, ...]) -> Iterator[LevelCause]:
    if isinstance(condition, Acted):
        yield LevelCause(condition.tag, negated, held)
        return
    if isinstance(condition, Not):
        negated = not negated
    elif isinstance(condition, Held):
        held = (*held, condition.time)
    for part in condition.parts():
        yield from _walk(part, negated, held)


def certain_edge(
    condition: Condition, cause: LevelCause, edges: Mapping[tuple[str, bool], float], direction: Direction
) -> float | None:
    """Height at which the condition is certain to hold, as far as the level decides it, with `cause` taking part. [m]

    `edges` holds the latest edge of every level point on the same tank in the same direction, by (tag, negated).
    Points joined by `all_of` act together only at the last of their heights, a vote at the height that makes it
    complete; parts that are no level of this tank are taken as true. None where the cause itself has no edge.
    """
    if (cause.tag, cause.is_negated) not in edges:
        return None
    sign = 1.0 if direction == "rising" else -1.0
    edge, _ = _edge(condition, False, cause, {key: sign * height for key, height in edges.items()})
    return None if edge is None else sign * edge


def _edge(
    condition: Condition, negated: bool, cause: LevelCause, edges: Mapping[tuple[str, bool], float]
) -> tuple[float | None, bool]:
    if isinstance(condition, Acted):
        key = (str(condition.tag), negated)
        return edges.get(key), key == (cause.tag, cause.is_negated)
    if isinstance(condition, Not):
        return _edge(condition.part, not negated, cause, edges)
    parts = [_edge(part, negated, cause, edges) for part in condition.parts()]
    taking_part = [edge for edge, takes_part in parts if takes_part and edge is not None]
    known = sorted(edge for edge, _ in parts if edge is not None)
    if not known:
        return None, any(takes_part for _, takes_part in parts)
    needed = _needed(condition, negated, len(parts))
    if needed == 1 and taking_part:
        return min(taking_part), True
    completes = known[min(needed, len(known)) - 1]
    return max([completes, *taking_part]), any(takes_part for _, takes_part in parts)


def _needed(condition: Condition, negated: bool, count: int) -> int:
    """How many parts must hold; a negated group turns over (not any = all of the negated)."""
    if isinstance(condition, Vote):
        needed = condition.needed
    elif isinstance(condition, AllOf):
        needed = count
    else:
        assert isinstance(condition, AnyOf | Held)
        needed = 1
    return count - needed + 1 if negated else needed
