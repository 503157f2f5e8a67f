"""The fitter's sketch: what hangs from the mounting face, to scale down its length, or an arm through the wall."""

import math
from collections.abc import Sequence
from typing import Literal

from msgspec import Struct, field

from generator.draw.labels import spread

Kind = Literal["rod", "reference", "float", "contact", "weight", "pivot", "probe"]
Point = tuple[float, float]
WIDTH = 400.0
_FACE, _FOOT, _TEXT, _ROW = 44.0, 40.0, 196.0, 36.0
_COLUMN, _FIRST = 24.0, 52.0
_FLOAT = 11.0


class Item(Struct, frozen=True):
    """Something on the sketch: its kind, how far below the face [m], its name and what it says."""

    kind: Kind
    depth: float
    name: str
    says: str
    is_own: bool = False


class Stroke(Struct, frozen=True):
    """A line through points."""

    style: str
    points: tuple[Point, ...]


class Disc(Struct, frozen=True):
    """A circle."""

    style: str
    x: float
    y: float
    radius: float


class Words(Struct, frozen=True):
    """A line of text at its baseline."""

    text: str
    style: str
    x: float
    y: float
    anchor: Literal["start", "middle", "end"] = "start"


class FitterSketch(Struct, frozen=True):
    """A sketch, ready to place. `key` makes its ids unique on a page."""

    key: str
    title: str
    height: float
    caption: str = "Lengths to scale, widths not."
    width: float = WIDTH
    strokes: list[Stroke] = field(default_factory=list)
    discs: list[Disc] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)


def hanging(key: str, title: str, items: Sequence[Item], spacers: Sequence[float] = (), tube: float = 0.0
            ) -> FitterSketch:
    """A body that hangs from its mounting face: rods side by side, floats and contacts on one line.

    Args:
        key: Opens all ids of the drawing.
        title: What it shows, in one sentence.
        items: What hangs, in any order.
        spacers: Depths of the spacers. [m]
        tube: Length of a guide tube; 0 where there is none. [m]
    """
    deep = sorted(items, key=lambda item: item.depth)
    deepest = max([item.depth for item in deep] + [*spacers, tube], default=1.0) or 1.0
    height = max(260.0, _FACE + _FOOT + _ROW * len(deep) + 40)
    scale = (height - _FACE - _FOOT - 20) / deepest
    made = FitterSketch(key, title, height)
    rods = [item for item in deep if item.kind in ("rod", "reference")]
    # the longest rod stands at the left, so that no leader crosses another rod
    columns = {id(item): _FIRST + _COLUMN * number for number, item in enumerate(reversed(rods))}
    line = _FIRST + 30
    right = max([*columns.values(), line]) + 26
    made.strokes.append(Stroke("face", ((20, _FACE), (right, _FACE))))
    made.words.append(Words("mounting face", "quiet", 20, _FACE - 22))
    left, end, top = _FIRST - 10, right - 16, _FACE - 14
    made.strokes.append(Stroke("head", ((left, _FACE), (left, top), (end, top), (end, _FACE))))
    if len(rods) < len(deep):
        ends = max(tube, *(item.depth for item in deep if item.kind not in ("rod", "reference")))
        style = "tube" if any(item.kind == "contact" for item in deep) else "cable"
        made.strokes.append(Stroke(style, ((line, _FACE), (line, _FACE + ends * scale))))
    for item in rods:
        x = columns[id(item)]
        made.strokes.append(Stroke("own" if item.is_own else item.kind, ((x, _FACE), (x, _FACE + item.depth * scale))))
    for depth in spacers:
        holds = [columns[id(item)] for item in rods if item.depth >= depth]
        if holds:
            y = _FACE + depth * scale
            made.strokes.append(Stroke("spacer", ((min(holds) - 5, y), (max(holds) + 5, y))))
    anchors = [_anchor(made, item, columns.get(id(item), line), _FACE + item.depth * scale) for item in deep]
    _labels(made, deep, anchors, height)
    return made


def _anchor(made: FitterSketch, item: Item, x: float, y: float) -> Point:
    """Draw what stands at a depth and say where its leader begins."""
    style = "own" if item.is_own else "part"
    if item.kind == "float":
        made.strokes.append(Stroke("cable", ((x, y), (x + 22, y + 10))))
        made.discs.append(Disc(style, x + 22 + _FLOAT * 0.8, y + 10 + _FLOAT * 0.4, _FLOAT))
        made.discs.append(Disc("dot", x, y, 3.5))
        return x + 22 + 2 * _FLOAT, y
    if item.kind == "contact":
        made.strokes.append(Stroke("tick-own" if item.is_own else "tick", ((x - 9, y), (x + 9, y))))
        return x + 12, y
    if item.kind == "weight":
        made.strokes.append(Stroke("weight", ((x - 10, y), (x + 10, y), (x + 7, y + 20), (x - 7, y + 20), (x - 10, y))))
        return x + 8, y + 17
    if item.kind in ("pivot", "probe"):
        made.discs.append(Disc("dot", x, y, 4))
        if item.kind == "pivot":
            made.strokes.append(Stroke("cable", ((x, y), (x + 30, y - 12))))
            made.discs.append(Disc(style, x + 38, y - 15, 9))
        return x + 50 if item.kind == "pivot" else x + 8, y
    return x + 4, y


def _labels(made: FitterSketch, items: Sequence[Item], anchors: Sequence[Point], height: float) -> None:
    places = spread([y for _, y in anchors], [_ROW] * len(items), 8.0, height)
    for item, (x, y), place in zip(items, anchors, places, strict=True):
        made.strokes.append(Stroke("leader", ((x, y), (_TEXT - 22, y if abs(place - y) < 1 else place), (_TEXT - 5, place))))
        made.words.append(Words(item.name, "name-own" if item.is_own else "name", _TEXT, place - 2))
        made.words.append(Words(item.says, "says", _TEXT, place + 13))


def arm(key: str, title: str, up: float, down: float, bend: float, outer_share: float, says: Sequence[tuple[str, str]]
        ) -> FitterSketch:
    """An arm through a nozzle in the wall, at its two angles.

    Args:
        key: Opens all ids of the drawing.
        title: What it shows, in one sentence.
        up: Angle over the horizontal at which it acts rising. [rad]
        down: Angle under the horizontal at which it lets go. [rad]
        bend: Angle by which the outer part is turned down. [rad]
        outer_share: Outer part of a bent arm over the whole arm; 0 for a straight one.
        says: Name and words of the two positions, rising first.
    """
    made = FitterSketch(key, title, 250.0, "Not to scale.")
    x, y, whole = 86.0, 120.0, 92.0
    made.strokes.extend((
        Stroke("wall", ((60, 20), (60, y - 16))), Stroke("wall", ((60, y + 16), (60, 230))),
        Stroke("head", ((20, y - 14), (60, y - 14), (60, y + 14), (20, y + 14), (20, y - 14)))))
    made.words.append(Words("head", "quiet", 22, y - 22))
    made.strokes.append(Stroke("leader", ((x, y), (x + 60, y))))
    made.discs.append(Disc("dot", x, y, 4))
    ends: list[Point] = []
    for number, angle in enumerate((max(up, 0.14), -max(down, 0.14))):
        inner = whole * (1 - outer_share)
        corner = (x + inner * math.cos(angle), y - inner * math.sin(angle))
        end = (corner[0] + whole * outer_share * math.cos(angle - bend),
               corner[1] - whole * outer_share * math.sin(angle - bend))
        made.strokes.append(Stroke("own" if number == 0 else "cable", ((x, y), corner, end)))
        made.discs.append(Disc("own" if number == 0 else "part", end[0], end[1], _FLOAT))
        ends.append((end[0] + _FLOAT, end[1]))
    places = spread([point[1] for point in ends], [_ROW] * 2, 20, 230)
    for (name, words), (left, height), place in zip(says, ends, places, strict=True):
        made.strokes.append(Stroke("leader", ((left, height), (_TEXT + 12, place))))
        made.words.extend((Words(name, "name", _TEXT + 16, place - 2), Words(words, "says", _TEXT + 16, place + 13)))
    return made
