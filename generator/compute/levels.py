"""Levels of a tank, highest first, and the time between neighbours.

The time between two levels is the shortest possible: from the latest edge of the one that is passed first to the
earliest edge of the next. Rising or falling, that is from the upper edge of the lower to the lower edge of the upper. It is
a time of the liquid: responses and delays are not taken off. They are in the minutes of alarms and the budgets of trips.
While another tank overflows into this one, a rising level takes less than at the worst rate: that time stands beside it.
"""

from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise

from msgspec.structs import replace

from generator.compute.book import Book
from generator.compute.tanks import PROCESS_LEVELS, VESSEL_LEVELS, no_vessel, vessel_input
from generator.model.margin import SpilledTime
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import Interval, Level, SetpointResult, TankResult
from generator.model.scalar import Tag

ORDER = {"rising": 1, "": 0, "falling": -1}


def complete(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult], book: Book,
) -> dict[str, TankResult]:
    """The tanks with their levels and intervals; lowest levels of pumps where the book holds them."""
    made = {}
    for tag, tank in tanks.items():
        levels = tuple(sorted(_once(_levels(plant, tank, setpoints, book)),
                              key=lambda level: (-level.height, -ORDER[level.direction], level.key)))
        made[tag] = replace(tank, levels=levels, intervals=tuple(
            _interval(tank, lower, upper, book) for upper, lower in pairwise(levels)))
    return made


def _once(levels: Iterable[Level]) -> Iterator[Level]:
    """The same levels with keys of their own: where two share one, the later takes its kind to it."""
    taken: set[str] = set()
    for level in levels:
        key = level.key
        while key in taken:
            key = f"{level.kind} {key}"
        taken.add(key)
        yield level if key == level.key else replace(level, key=key)


def _levels(
    plant: Definitions, tank: TankResult, setpoints: Mapping[str, SetpointResult], book: Book,
) -> Iterator[Level]:
    definition = plant.tanks[Tag(tank.tag)]
    for key, words in VESSEL_LEVELS.items():
        height = getattr(definition.levels, key)
        if height is not None:
            yield Level(key, words, "vessel", height.si, None, "", height.place)
    for key, words in PROCESS_LEVELS.items():
        height = getattr(definition.levels, key)
        if height is not None:
            yield Level(key, words, "process", height.si, None, "", height.place)
    for key, mark in definition.marks.items():
        yield Level(str(key), str(mark.what), "process", mark.height.si, None, "", mark.height.place)
    for pump in plant.pumps_of[tank.tag]:
        lowest = book.outcomes.get(f"#{pump}/lowest-level")
        if isinstance(lowest, Record):
            yield Level(f"{pump} lowest level", f"lowest level of {pump}", "process", lowest.value, None, "",
                        plant.pumps[pump].suction.place, lowest.key)
    for tag in plant.switches_of[tank.tag]:
        yield from _point(plant, setpoints[tag])
    if tank.vessel is not None:
        shape = definition.place_of("shape")
        capacity = tank.capacity.key
        yield Level("top", "top of the vessel", "vessel", tank.vessel.top, None, "", shape, capacity)
        yield Level("bottom", "bottom of the vessel", "vessel", tank.vessel.bottom, None, "", shape, capacity)


def _point(plant: Definitions, setpoint: SetpointResult) -> Iterator[Level]:
    if setpoint.stands is None:
        return
    switch = plant.switches[Tag(setpoint.tag)]
    place = switch.height.issued.place if switch.height.issued else switch.height.place
    yield Level(setpoint.tag, str(switch.service or setpoint.tag), switch.role, setpoint.stands, setpoint.act,
                setpoint.acts, place)


def _interval(tank: TankResult, lower: Level, upper: Level, book: Book) -> Interval:
    volume = _volume_between(tank, lower, upper)

    def between(direction: str, rate: Outcome, beside: str = "", words: str = "") -> Outcome:
        key = f"#{tank.tag}/{lower.key} to {upper.key}/{direction}{beside}"
        return _time(key, tank, lower, upper, direction, rate, volume, book, words)

    return Interval(
        lower.key, upper.key, rising=between("rising", tank.filling), falling=between("falling", tank.emptying),
        rising_normal=between("rising", tank.filling_normal, "-normal", " at the ordinary rate"),
        falling_normal=between("falling", tank.emptying_normal, "-normal", " at the ordinary rate"),
        spilled=tuple(SpilledTime(spill, (between(
            "rising", spill.rate, f"/filling-by/{spill.stream}", f" while {spill.source} overflows into {tank.tag}"),))
            for spill in tank.spills if volume is not None and volume > 0),
    )


def _edge(level: Level, height: float, symbol: str, words: str, side: str) -> Input:
    """A level as an input: the edge of a point by its record, any other height from where it was written."""
    if level.band:
        return Input(symbol, f"{words} edge of {level.key}", height, "length", f"#{level.key}/act-{side}")
    return Input(symbol, level.name, height, "length", level.source or level.place)


def _said(level: Level) -> str:
    """A point by its tag, any other level by its name."""
    return level.key if level.direction else level.name


def _facing(lower: Level, upper: Level) -> tuple[float, float]:
    """Upper edge of the lower level and lower edge of the upper one. [m]"""
    return lower.band.high if lower.band else lower.height, upper.band.low if upper.band else upper.height


def _volume_between(tank: TankResult, lower: Level, upper: Level) -> float | None:
    """Volume between facing edges, negative where bands overlap; None without a vessel. [m3]"""
    if tank.vessel is None:
        return None
    foot, head = _facing(lower, upper)
    return tank.vessel.volume_at(head) - tank.vessel.volume_at(foot)


def _time(
    key: str, tank: TankResult, lower: Level, upper: Level, direction: str, rate: Outcome, volume: float | None,
    book: Book, words: str,
) -> Outcome:
    first, last = (lower, upper) if direction == "rising" else (upper, lower)
    name = f"Time from {_said(first)} to {_said(last)}, {direction}{words}"
    gap = book.lacking(key, name, [rate])
    if gap is not None:
        return gap
    if volume is None:
        return no_vessel(key, name, tank.tag, book)
    assert isinstance(rate, Record)
    foot, head = _facing(lower, upper)
    assert tank.vessel is not None
    inputs = [_edge(lower, foot, "h_1", "upper", "high"), _edge(upper, head, "h_2", "lower", "low"), rate.as_input("Q"),
              vessel_input(tank.tag, tank.vessel)]
    if volume <= 0:
        return book.record(key, name, 0.0, "time", "t = 0", inputs[:2],
                           note="the bands overlap: either may be first" if head < foot else "no volume lies between")
    if rate.value <= 0:
        return book.absence(key, name, f"the level does not move this way: {rate.note}")
    return book.record(key, name, volume / rate.value, "time", r"t = \frac{V(h_2) - V(h_1)}{Q}", inputs,
                       note="the shortest: from the latest action of the first to the earliest of the next"
                       if lower.band or upper.band else "")
