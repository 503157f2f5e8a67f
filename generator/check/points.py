"""Points with their bodies and tanks, and pairs of neighbours."""

from collections.abc import Iterator
from typing import Any

from generator.check.context import Context, worst
from generator.check.logic import parts_of
from generator.check.subjects import Pair, Point
from generator.model.condition import AnyOf, Vote
from generator.model.scalar import Tag


def point_of(context: Context, tag: Tag, waves: dict[str, Any]) -> Point:
    """A point with what belongs to it; `waves` keeps what was found for a tank."""
    switch = context.plant.switches[tag]
    body = context.plant.instruments[switch.in_]
    tank = context.plant.tanks[body.tank]
    if body.tank not in waves:
        waves[body.tank] = tank.waves or context.shared(body.tank, "waves")
    return Point(
        tag, (tag, switch.in_, body.tank), switch.place, context.harm_of_point(tag), context,
        {"switch": tag, "instrument": switch.in_, "tank": body.tank, "waves": body.tank}, tag, switch, body, body.tank,
        tank, context.results.setpoints.get(tag), context.results.contacts.get(tag),
        context.results.tanks.get(body.tank), waves[body.tank],
    )


def points_of_plant(context: Context) -> Iterator[Point]:
    """Every point, in the order written."""
    waves: dict[str, Any] = {}
    for tag in context.plant.switches:
        yield point_of(context, tag, waves)


def pairs(context: Context) -> Iterator[Pair]:
    """Neighbours by height; over members of one vote, the next point that is not one of them as well."""
    together = _votes(context)
    waves: dict[str, Any] = {}
    for tags in context.plant.switches_of.values():
        points = [point_of(context, tag, waves) for tag in tags]
        standing = [(at, point) for point in points
                    if (at := point.setpoint.stands if point.setpoint else None) is not None]
        standing.sort(key=lambda one: one[0])
        made: dict[tuple[str, str], Pair] = {}
        for below, (_, lower) in enumerate(standing):
            for _, upper in standing[below + 1:]:
                pair = _pair(context, lower, upper, frozenset((lower.tag, upper.tag)) in together)
                made[lower.tag, upper.tag] = pair
                if not pair.one_vote:
                    break
        for above, (_, upper) in enumerate(standing):
            for _, lower in reversed(standing[:above]):
                pair = _pair(context, lower, upper, frozenset((lower.tag, upper.tag)) in together)
                made[lower.tag, upper.tag] = pair
                if not pair.one_vote:
                    break
        yield from made.values()


def _pair(context: Context, lower: Point, upper: Point, one_vote: bool) -> Pair:
    harm = worst(iter((lower.harm, upper.harm))) or "equipment"
    return Pair(
        f"{lower.tag} and {upper.tag}", (lower.tag, upper.tag, lower.tank_tag), upper.switch.place, harm, context,
        {"lower": lower.tag, "upper": upper.tag}, lower, upper, one_vote,
    )


def _votes(context: Context) -> frozenset[frozenset[str]]:
    """Pairs of points that do the same work in one cause: members of a vote, or of an any-of."""
    points = context.plant.switches
    made: set[frozenset[str]] = set()
    for lock in context.plant.interlocks.values():
        for form in (Vote, AnyOf):
            for part in parts_of(lock.when, form):
                tags = [tag for tag in part.tags() if tag in points]
                made |= {frozenset((one, other)) for one in tags for other in tags
                         if one != other and points[one].acts == points[other].acts}
    return frozenset(made)
