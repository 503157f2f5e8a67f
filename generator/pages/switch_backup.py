"""What still protects a tank when one point fails: other points in the same direction, and the minutes they leave."""

from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

from generator.model.page import Amount, Link, Running
from generator.model.record import Record
from generator.model.scalar import Tag
from generator.pages import amounts, bodies
from generator.pages.context import Context
from generator.pages.point_words import does
from generator.pages.tank_levels import SAME
from generator.pages.tank_setpoints import mark, stands


class BackupRow(Struct, frozen=True):
    """One other point. `comes` says when, `leaves` how long until what must not be reached, `shares` what is common."""

    mark: str
    point: Link
    height: Amount
    does: Running
    comes: Running
    leaves: Amount
    until: str
    shares: Running
    is_independent: bool


def backups(context: Context, tag: str) -> tuple[BackupRow, ...]:
    """Other points of the tank in the same direction, in the order in which the level meets them."""
    plant, results = context.plant, context.results.setpoints
    own = plant.switches[Tag(tag)]
    tank = plant.tank_of(tag)
    way = 1 if own.acts == "rising" else -1
    others = [other for other in plant.switches_of[tank] if other != tag and plant.switches[other].acts == own.acts]
    placed = sorted((height * way, other) for other in others
                    if other in results and (height := results[other].stands) is not None)
    return tuple(_row(context, tag, other, tank) for _, other in placed)


def _row(context: Context, tag: str, other: Tag, tank: str) -> BackupRow:
    plant = context.plant
    one = plant.switches[other]
    same_body = one.in_ == plant.switches[Tag(tag)].in_
    shares = _shares(context, tag, other)
    leaves, until = _leaves(context, tag, other, tank)
    return BackupRow(
        mark(one.role, one.acts), context.paths.link(other), stands(context.results.setpoints[other]),
        does(context, other), _comes(context, tag, other, tank), leaves, until, shares, not same_body,
    )


def _shares(context: Context, tag: str, other: Tag) -> Running:
    plant = context.plant
    own, body = plant.switches[Tag(tag)].in_, plant.switches[other].in_
    if own == body:
        return ("shares its body ", context.paths.link(body), ": fails with it")
    common = bodies.common_parts(context, own, body)
    return (f"shares its {common}",) if common else ()


def _leaves(context: Context, tag: str, other: Tag, tank: str) -> tuple[Amount, str]:
    """The shortest time from the action of a point to what must not be reached, and the name of that."""
    found = [(budget.available, budget.limit) for lock in context.plant.interlocks_of_cause[other]
             for budget in context.results.trips.get(lock, ()) if budget.point == other and budget.tank == tank]
    found += [(times.to_limit, times.limit) for alarm in context.plant.alarms_of[other]
              if (times := context.results.alarms.get(alarm)) and times.limit]
    known = sorted(((one.value, one, limit) for one, limit in found if isinstance(one, Record)), key=lambda one: one[0])
    if known:
        return amounts.outcome(known[0][1], "minutes"), known[0][2]
    if found:
        return amounts.outcome(found[0][0], "minutes"), found[0][1]
    return _to_next(context, tag, other, tank)


def _to_next(context: Context, tag: str, other: Tag, tank: str) -> tuple[Amount, str]:
    """At least so long from the action of a point to the next alarm, trip or limit of the vessel beyond it.

    What shares the body of the failed point does not count: it fails with it.
    """
    plant, result = context.plant, context.results.tanks[tank]
    is_rising = plant.switches[Tag(tag)].acts == "rising"
    order = [level.key for level in result.levels]  # highest first
    if other not in order:
        return Amount(amounts.NOT_ASSESSED), ""
    here = order.index(other)
    beyond = result.levels[here - 1::-1] if is_rising and here else () if is_rising else result.levels[here + 1:]
    failed = plant.switches[Tag(tag)].in_
    for level in beyond:
        point = plant.switches.get(Tag(level.key))
        counts = level.kind == "vessel" if point is None else (
            level.kind in ("alarm", "trip") and point.acts == plant.switches[other].acts and point.in_ != failed)
        if counts:
            times = list(_times(context, tank, sorted((here, order.index(level.key))), is_rising))
            name = level.key if point is not None else level.name
            if None in times:
                return Amount(amounts.NOT_ASSESSED), f"to {name}"
            return amounts.minutes(sum(time for time in times if time is not None)), f"{name}, at least"
    return Amount("nothing follows"), "no alarm, trip or limit is recorded beyond it"


def _comes(context: Context, tag: str, other: Tag, tank: str) -> Running:
    """Before or after the point, and at least how long after it."""
    result = context.results.tanks[tank]
    order = [level.key for level in result.levels]
    if tag not in order or other not in order:
        return ("not known",)
    first, last = order.index(tag), order.index(other)
    if abs(result.levels[first].height - result.levels[last].height) < SAME:
        return ("at the same height",)
    is_rising = context.plant.switches[Tag(tag)].acts == "rising"
    if (last > first) == is_rising:  # levels stand highest first
        return ("comes before it",)
    times = list(_times(context, tank, sorted((first, last)), is_rising))
    if None in times:
        return ("comes after it; the time cannot be assessed",)
    total = sum(time for time in times if time is not None)
    return ("comes after it, at least ", amounts.minutes(total), " later") if total > 0 else ("may come with it",)


def _times(context: Context, tank: str, ends: list[int], is_rising: bool) -> Iterator[float | None]:
    """Times of the intervals between two levels, one after the other; None for one that cannot be worked out."""
    result = context.results.tanks[tank]
    known = {(one.lower, one.upper): one.rising if is_rising else one.falling for one in result.intervals}
    for upper, lower in pairwise(result.levels[ends[0]:ends[1] + 1]):
        outcome = known.get((lower.key, upper.key))
        yield outcome.value if isinstance(outcome, Record) else None
