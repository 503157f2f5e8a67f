"""A level against time: the curve, the bands of the setpoints behind it, numbered events above, labels at the right.

Labels stand in one column and are pushed apart; numbers of events that would touch become one flag with their range.
"""

import math
from collections.abc import Iterator, Sequence
from typing import Literal

from msgspec import Struct

from generator.draw.labels import BOLD_CHARACTER, spread
from generator.draw.shapes import Frame, Point
from generator.model.results import Level, LevelKind

_LABEL = 20.0
_FLAG = 18.0
_LEAST_BAND = 3.0


class TrendLayout(Struct, frozen=True):
    """Columns of a trend."""

    width: float
    left: float
    right: float
    mark: float
    least_height: float


WIDE = TrendLayout(width=740, left=46, right=536, mark=560, least_height=300)
NARROW = TrendLayout(width=350, left=40, right=228, mark=246, least_height=320)
UPPER, FOOT = 44.0, 44.0


class TrendLine(Struct, frozen=True):
    """A level across the trend with the band in which its point can act, and the leader to its label."""

    kind: LevelKind
    y: float
    band_top: float
    band_height: float
    leader: tuple[Point, ...]


class TrendLabel(Struct, frozen=True):
    """The label of a level: its mark, its name and where it stands."""

    kind: LevelKind
    direction: str
    text: str
    path: str
    y: float


class Flag(Struct, frozen=True):
    """The number of an event, or the range of several, over the moment of the first."""

    text: str
    x: float
    width: float
    foot: float


class Trend(Struct, frozen=True):
    """Everything to place. `key` makes its ids unique on a page."""

    key: str
    layout: TrendLayout
    height: float
    title: str
    description: str
    upper: float
    lower: float
    lines: tuple[TrendLine, ...]
    labels: tuple[TrendLabel, ...]
    curve: tuple[Point, ...]
    flags: tuple[Flag, ...]
    level_ticks: tuple[tuple[float, str], ...]
    time_ticks: tuple[tuple[float, str], ...]
    time_unit: Literal["s", "min", "h"]


def trend(
    key: str, title: str, description: str, points: Sequence[tuple[float, float]], levels: Sequence[Level],
    names: Sequence[tuple[str, str]], moments: Sequence[float], layout: TrendLayout,
) -> Trend:
    """Place one trend.

    Args:
        key: Prefix of the ids.
        title: What it shows.
        description: The same in a sentence or two, for those who do not see it.
        points: Time [s] and level [m], in the order of time.
        levels: Lines to draw, highest first.
        names: Label and page ("" for none) of each line, in the same order.
        moments: Times of the numbered events, in order [s].
        layout: Columns.

    Raises:
        ValueError: there is no point, or names do not belong to the levels.
    """
    if not points or len(names) != len(levels):
        raise ValueError("a trend needs points, and each of its levels a name")
    lower = UPPER + max(layout.least_height, _LABEL * len(levels))
    frame = _frame(points, levels, layout, lower)
    lasts = max(points[-1][0], 1.0)
    across = (layout.right - layout.left) / lasts
    centres = spread([frame.y(level.height) for level in levels], [_LABEL] * len(levels), UPPER - 10, lower + 12)
    unit, seconds = _unit(lasts)
    return Trend(
        key, layout, lower + FOOT, title, description, UPPER, lower,
        tuple(_line(level, frame, centre, layout) for level, centre in zip(levels, centres, strict=True)),
        tuple(TrendLabel(level.kind, level.direction, text, path, centre)
              for level, (text, path), centre in zip(levels, names, centres, strict=True)),
        tuple(_simplified([(layout.left + time * across, frame.y(level)) for time, level in points])),
        tuple(_flags([layout.left + time * across for time in moments], layout, lower)),
        tuple((frame.y(value), text) for value, text in _round(frame.foot, frame.top, 8)),
        tuple((layout.left + value * seconds * across, text)
              for value, text in _round(0.0, lasts / seconds, max(4, int((layout.right - layout.left) / 56)))),
        unit,
    )


def _frame(points: Sequence[tuple[float, float]], levels: Sequence[Level], layout: TrendLayout, lower: float) -> Frame:
    heights = [level for _, level in points] + [level.height for level in levels]
    foot, top = min(heights), max(heights)
    spare = max((top - foot) * 0.03, 0.005)
    return Frame(layout.left, layout.right, UPPER, lower, top + spare, foot - spare)


def _line(level: Level, frame: Frame, centre: float, layout: TrendLayout) -> TrendLine:
    y = frame.y(level.height)
    top = max(frame.y(level.band.high), frame.upper) if level.band else y
    height = max(min(frame.y(level.band.low), frame.lower) - top, _LEAST_BAND) if level.band else 0.0
    leader = ((layout.right, y), (layout.right + 4, y), (layout.mark - 12, centre), (layout.mark - 8, centre))
    return TrendLine(level.kind, y, top, height, leader)


def _unit(lasts: float) -> tuple[Literal["s", "min", "h"], float]:
    if lasts <= 240:
        return "s", 1.0
    return ("min", 60.0) if lasts <= 5 * 3600 else ("h", 3600.0)


def _round(low: float, high: float, most: int) -> Iterator[tuple[float, str]]:
    """Round values between two ends, at most so many."""
    span = max(high - low, 1e-9)
    step = 10 ** math.floor(math.log10(span / most))
    step = next(step * factor for factor in (1, 2, 5, 10, 20) if span / (step * factor) <= most)
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    for number in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1):
        yield number * step, f"{number * step + 0.0:.{decimals}f}"


def _simplified(points: list[Point]) -> Iterator[Point]:
    """The curve without points closer than half a unit to the one before; ends and turns stay."""
    for place, (x, y) in enumerate(points):
        is_end = place in (0, len(points) - 1)
        if not is_end:
            (x0, y0), (x2, y2) = points[place - 1], points[place + 1]
            turn = abs((x - x0) * (y2 - y) - (x2 - x) * (y - y0))
            if turn < 0.05 and (x2 - x) >= 0:
                continue
        yield round(x, 1), round(y, 1)


def _flags(places: Sequence[float], layout: TrendLayout, lower: float) -> Iterator[Flag]:
    """Numbers over their moments; those that would touch become one with the range of their numbers."""
    groups: list[tuple[int, int, float]] = []
    for number, x in enumerate(places, 1):
        groups.append((number, number, x))
        while len(groups) > 1 and _touch(groups[-2], groups[-1], layout):
            _, last, _ = groups.pop()
            first, _, begin = groups.pop()
            groups.append((first, last, begin))
    for group in groups:
        width = _width(group)
        yield Flag(_text(group), _centre(group, layout), width, lower)


def _text(group: tuple[int, int, float]) -> str:
    return str(group[0]) if group[0] == group[1] else f"{group[0]}-{group[1]}"


def _width(group: tuple[int, int, float]) -> float:
    return max(_FLAG, len(_text(group)) * BOLD_CHARACTER + 6)


def _centre(group: tuple[int, int, float], layout: TrendLayout) -> float:
    """Over the first moment of a group, as far as the drawing has room."""
    half = _width(group) / 2
    return min(max(group[2], layout.left - 8 + half), layout.width - half)


def _touch(left: tuple[int, int, float], right: tuple[int, int, float], layout: TrendLayout) -> bool:
    return _centre(left, layout) + _width(left) / 2 > _centre(right, layout) - _width(right) / 2 - 2


def fits(text: str, layout: TrendLayout) -> str:
    """A label cut to the room beside the trend; nothing is lost, since the table beneath names it in full."""
    most = int((layout.width - layout.mark - 12) // BOLD_CHARACTER)
    return text if len(text) <= most else text[:most - 1].rstrip() + "…"
