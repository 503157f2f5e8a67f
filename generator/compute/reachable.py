"""Physically possible states: what the points of one tank can show together, and how the level gets there.

The level of a tank lies between two neighbouring edges of its bands and moves past one edge at a time. A point acts
somewhere in its act band while the level moves its way, lets go somewhere in its reset band while it moves back, and
keeps its state between the two. Points of one body share the body's error, so that their order is judged without it.
A delay of a point runs or has elapsed. The search is breadth first and complete: every state that can be reached is
found once, with a shortest way to it.
"""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from itertools import combinations, pairwise

from msgspec import Struct

from generator.model.plant import Definitions
from generator.model.record import value_of
from generator.model.results import Band, SetpointResult
from generator.model.scalar import Tag

LIMIT = 200_000
"""Most states, or partial states of a search, that are looked at before the answer is "cannot be assessed"."""
INFINITE = float("inf")
_State = tuple[int, int, int]
"""Number of the stretch, points acted, points whose delay is over; the last two as bits."""


class Point(Struct, frozen=True):
    """One point in the search. `own_act` and `own_reset` are its bands without the error that its body shares."""

    tag: str
    is_rising: bool
    act: Band
    reset: Band
    body: str
    own_act: Band
    own_reset: Band
    is_delayed: bool


class TankState(Struct, frozen=True):
    """One reachable state: the stretch of the level [m], points acted in the liquid, those whose delay is over."""

    low: float
    high: float
    acted: frozenset[str]
    counted: frozenset[str]
    way: tuple[tuple[float, float], ...]
    """Stretches at which the level turned on a shortest way here, the last being this one."""


class Tank(Struct, frozen=True, dict=True):
    """The points of one tank that matter for a question, between the lowest and highest level possible. [m]"""

    points: tuple[Point, ...]
    bottom: float = -INFINITE
    top: float = INFINITE

    @cached_property
    def stretches(self) -> tuple[tuple[float, float], ...]:
        """Neighbouring edges, lowest first."""
        edges = sorted({edge for one in self.points for band in (one.act, one.reset) for edge in (band.low, band.high)
                        if self.bottom < edge < self.top})
        ends = [self.bottom, *edges, self.top]
        return tuple(pairwise(ends))

    @cached_property
    def impossible(self) -> tuple[tuple[int, int], ...]:
        """Patterns (mask, value) that two points of one body cannot show, since their common error cancels."""
        found = []
        for (a, one), (b, two) in combinations(enumerate(self.points), 2):
            if one.body != two.body:
                continue
            for (i, lower), (j, upper) in (((a, one), (b, two)), ((b, two), (a, one))):
                mask = 1 << i | 1 << j
                below = lower.own_act.high < upper.own_act.low and lower.own_reset.high < upper.own_reset.low
                if lower.is_rising and upper.is_rising and below:
                    found.append((mask, 1 << j))
                elif not lower.is_rising and not upper.is_rising and below:
                    found.append((mask, 1 << i))
                elif not lower.is_rising and upper.is_rising and lower.own_reset.high < upper.own_reset.low:
                    found.append((mask, mask))
        return tuple(found)

    def states(self) -> tuple[TankState, ...] | None:
        """Every reachable pattern of points, each by a shortest way; None past the limit."""
        delayed = sum(1 << place for place, one in enumerate(self.points) if one.is_delayed)
        parents: dict[_State, _State | None] = {(0, mask, mask & delayed): None for mask in self._at_the_bottom()}
        waiting = deque(parents)
        while waiting:
            state = waiting.popleft()
            for following in self._next(state, delayed):
                if following not in parents:
                    if len(parents) >= LIMIT:
                        return None
                    parents[following] = state
                    waiting.append(following)
        return tuple(self._told(parents, delayed))

    def _next(self, state: _State, delayed: int) -> Iterator[_State]:
        place, acted, over = state
        waits = acted & delayed & ~over
        while waits:
            bit = waits & -waits
            yield place, acted, over | bit
            waits ^= bit
        for step in (1, -1):
            if 0 <= place + step < len(self.stretches):
                for mask in self._settled(place + step, acted, is_rising=step > 0):
                    yield place + step, mask, over & mask

    def _at_the_bottom(self) -> Iterator[int]:
        """Patterns that the points can show in an empty tank."""
        low, high = self.stretches[0]
        certain, free = 0, []
        for position, one in enumerate(self.points):
            passed, passed_maybe, _, _ = _relation(one, low, high)
            if passed:
                certain |= 1 << position
            elif passed_maybe:
                free.append(1 << position)
        yield from self._patterns(certain, free)

    def _settled(self, place: int, acted: int, is_rising: bool) -> Iterator[int]:
        """Patterns that the points can show after the level moved into a stretch."""
        low, high = self.stretches[place]
        certain, free = acted, []
        for position, one in enumerate(self.points):
            bit = 1 << position
            passed, passed_maybe, left, left_maybe = _relation(one, low, high)
            if one.is_rising == is_rising:
                if passed:
                    certain |= bit
                elif passed_maybe and not certain & bit:
                    free.append(bit)
            elif left:
                certain &= ~bit
            elif left_maybe and certain & bit:
                free.append(bit)
        yield from self._patterns(certain, free)

    def _patterns(self, certain: int, free: list[int]) -> Iterator[int]:
        """A pattern with each free bit either way, as far as the points of one body allow it."""
        for chosen in range(1 << len(free)):
            mask = certain
            for position, bit in enumerate(free):
                mask ^= bit * (chosen >> position & 1)
            if all(mask & about != value for about, value in self.impossible):
                yield mask

    def _told(
        self, parents: Mapping[_State, _State | None], delayed: int,
    ) -> Iterator[TankState]:
        told: set[tuple[int, int]] = set()
        for state in parents:
            place, acted, over = state
            counted = (acted & ~delayed) | over
            if (acted, counted) in told:
                continue
            told.add((acted, counted))
            places = [place]
            before = parents[state]
            while before is not None:
                places.append(before[0])
                before = parents[before]
            places.reverse()
            turns = [one for position, one in enumerate(places) if position == len(places) - 1 or (
                position > 0 and (places[position - 1] - one) * (places[position + 1] - one) > 0)]
            yield TankState(*self.stretches[place], self._tags(acted), self._tags(counted),
                            tuple(self.stretches[one] for one in turns))

    def _tags(self, mask: int) -> frozenset[str]:
        return frozenset(one.tag for position, one in enumerate(self.points) if mask >> position & 1)


def _relation(one: Point, low: float, high: float) -> tuple[bool, bool, bool, bool]:
    """Whether a level in a stretch is certainly, or maybe, past the act height; and back past the reset height."""
    if one.is_rising:
        return low >= one.act.high, low >= one.act.low, high <= one.reset.low, high <= one.reset.high
    return high <= one.act.low, high <= one.act.high, low >= one.reset.high, low >= one.reset.low


def point(plant: Definitions, setpoint: SetpointResult) -> Point | None:
    """A point for the search; None where it is not settled where it acts."""
    switch = plant.switches[Tag(setpoint.tag)]
    if setpoint.act is None or setpoint.reset is None:
        return None
    common = value_of(setpoint.error_common) or 0.0
    return Point(setpoint.tag, switch.acts == "rising", setpoint.act, setpoint.reset, str(switch.in_),
                 _narrowed(setpoint.act, common), _narrowed(setpoint.reset, common), switch.on_delay is not None)


def _narrowed(band: Band, by: float) -> Band:
    if band.width <= 2 * by:
        middle = (band.low + band.high) / 2
        return Band(middle, middle)
    return Band(band.low + by, band.high - by)


def unsettled(plant: Definitions, setpoints: Mapping[str, SetpointResult], tags: Iterable[str]) -> tuple[str, ...]:
    """Points, of several on one tank, whose bands are not settled, so that their order is not known."""
    by_tank: dict[str, list[str]] = {}
    for tag in tags:
        by_tank.setdefault(str(plant.tank_of(tag)), []).append(tag)
    return tuple(tag for many in by_tank.values() if len(many) > 1 for tag in many
                 if tag not in setpoints or setpoints[tag].act is None or setpoints[tag].reset is None)
