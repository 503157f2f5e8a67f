"""The level drawing of a tank: vessel, liquid and levels to scale, labels pushed apart, minutes between them."""

import math
from collections.abc import Iterator, Sequence

from msgspec.structs import replace

from generator.draw.drawing import ROUND, Chip, Label, Layout, LevelDrawing, LevelWords, Line, NozzleMark, Row
from generator.draw.labels import BOLD_CHARACTER, CHARACTER, LINE, spread, wrap
from generator.draw.nozzles import stubs
from generator.draw.shapes import Frame, Outline, outline
from generator.model.results import Level, Vessel
from generator.model.shape import HorizontalCylinder, Shape

_CHIP, _CHIP_EDGE = 24.0, 12.0
_LEAST_BAND = 3.0
_TICK = 15.0
"""Least distance between the numbers of the scale."""


def level_drawing(
    key: str, title: str, shape: Shape, vessel: Vessel | None, levels: Sequence[Level], words: Sequence[LevelWords],
    between: Sequence[str], normal: float | None, nozzles: Sequence[NozzleMark], layout: Layout,
) -> LevelDrawing:
    """Place one tank's drawing. Where the labels need more room than the vessel, the whole drawing grows.

    Args:
        key: Prefix of the ids.
        title: What the drawing shows.
        shape: The tank's inside shape.
        vessel: Its worked-out functions; None where they could not be worked out.
        levels: Levels, highest first.
        words: What each level's label says, in the same order.
        between: Text between each level and the next lower one ("" for none); one fewer than the levels. Two spaces part
            what may stand on lines of its own.
        normal: Level of the liquid drawn. [m]
        nozzles: Nozzles of the tank.
        layout: Columns of the drawing.

    Raises:
        ValueError: words or between do not belong to the levels.
    """
    if len(words) != len(levels) or len(between) != max(len(levels) - 1, 0):
        raise ValueError("each level has its words, and each pair of neighbours its text")
    rows = [tuple(_rows(word, layout)) for word in words]
    owners = list(_owners(len(levels), between))
    texts = [tuple(_chip_lines(text, layout.width - layout.text - _CHIP_EDGE)) for text in between]
    sizes = [_CHIP + LINE * (len(texts[at]) - 1) if below else LINE * len(rows[at]) + 6 for at, below in owners]
    shown = tuple(nozzles) if layout.with_nozzles else ()
    upper = 44.0 if any(nozzle.on == "roof" for nozzle in shown) else 26.0
    lower = upper + max(layout.least_height, sum(sizes) - upper)
    frame = _frame(vessel, levels, shown, layout, upper, lower)
    if layout in ROUND and vessel is not None:
        frame = _as_wide_as_high(frame, vessel)
    drawn = outline(shape, vessel, frame)
    wanted = [frame.y((levels[at].height + levels[at + below].height) / 2) for at, below in owners]
    centres = spread(wanted, sizes, 2.0, lower + 16)
    labels: list[Label] = []
    chips: list[Chip] = []
    for (at, below), centre, size in zip(owners, centres, sizes, strict=True):
        top, bottom = centre - size / 2, centre + size / 2
        if below:
            width = min(max(map(len, texts[at])) * CHARACTER + _CHIP_EDGE, layout.width - layout.text)
            chips.append(Chip(texts[at], top + 1, bottom - 5, width))
        else:
            placed = tuple(replace(row, y=top + 14 + LINE * line) for line, row in enumerate(rows[at]))
            labels.append(Label(levels[at].kind, levels[at].direction, words[at].path, placed, top, bottom))
    return LevelDrawing(
        key=key, layout=layout, title=title,
        height=lower + (46 if any(nozzle.on == "floor" for nozzle in shown) else 26),
        description="; ".join(f"{word.name} {word.height}: {word.says}" for word in words),
        walls=drawn.walls(), liquid=() if normal is None else drawn.ring(normal),
        surface=() if normal is None else tuple((x, frame.y(normal)) for x in drawn.edges(normal)),
        breaks=drawn.breaks(), axis_top=frame.upper, axis_foot=frame.lower, ticks=tuple(_ticks(frame)),
        lines=tuple(_line(level, label, drawn, layout) for level, label in zip(levels, labels, strict=True)),
        labels=tuple(labels), chips=tuple(chips), stubs=stubs(shown, drawn, layout), notes=tuple(_notes(shape, drawn, vessel)),
    )


def _rows(words: LevelWords, layout: Layout) -> Iterator[Row]:
    """The lines of a label: name and height, what it is and its band, a failed check. Long text is wrapped."""
    room = layout.width - layout.text
    names = wrap(words.name, room - (len(words.height) + 1) * BOLD_CHARACTER, BOLD_CHARACTER) or ("",)
    for line, name in enumerate(names):
        yield Row(name, "" if line else words.height, "name")
    beside = room - (len(words.band) + 2) * CHARACTER
    shares_line = not words.band or beside > room / 2
    says = wrap(words.says, beside if words.band and shares_line else room)
    for line, text in enumerate(says):
        yield Row(text, words.band if shares_line and not line else "", "says")
    if words.band and not (shares_line and says):
        yield Row("", words.band, "says")
    for line, text in enumerate(wrap(words.flag, room - 20)):
        yield Row(text, "", "flag-rest" if line else "flag")


def _chip_lines(text: str, room: float) -> Iterator[str]:
    """The times between two levels in as few lines as hold them."""
    line = ""
    for part in text.split("  "):
        longer = f"{line}  {part}" if line else part
        if line and len(longer) * CHARACTER > room:
            yield line
            line = part
        else:
            line = longer
    yield line


def _owners(count: int, between: Sequence[str]) -> Iterator[tuple[int, int]]:
    """The boxes of the label column from above: (level, 0) for its label, (level, 1) for the gap below it."""
    for at in range(count):
        yield at, 0
        if at < len(between) and between[at]:
            yield at, 1


def _frame(vessel: Vessel | None, levels: Sequence[Level], nozzles: Sequence[NozzleMark], layout: Layout,
           upper: float, lower: float) -> Frame:
    """The frame that holds the vessel and everything that stands above or below it."""
    heights = [level.height for level in levels]
    heights += [edge for level in levels if level.band for edge in (level.band.low, level.band.high)]
    heights += [nozzle.height for nozzle in nozzles if nozzle.on == "wall" and nozzle.height is not None]
    heights += [vessel.bottom, vessel.top] if vessel else [0.0]
    foot, top = min(heights), max(heights)
    return Frame(layout.left, layout.right, upper, lower, top if top > foot else foot + 1.0, foot)


def _as_wide_as_high(frame: Frame, vessel: Vessel) -> Frame:
    """The frame made lower, in the middle of its place, until a circle is as wide in it as it is high."""
    height = (frame.top - frame.foot) * (frame.right - frame.left) / (vessel.top - vessel.bottom)
    spare = max(frame.lower - frame.upper - height, 0.0) / 2
    return replace(frame, upper=frame.upper + spare, lower=frame.lower - spare)


def _line(level: Level, label: Label, drawn: Outline, layout: Layout) -> Line:
    """A level across the vessel, with the band in which it can act and a leader level at both ends."""
    y = drawn.frame.y(level.height)
    left, right = drawn.edges(level.height)
    band_top = drawn.frame.y(level.band.high) if level.band else y
    band_height = max(drawn.frame.y(level.band.low) - band_top, _LEAST_BAND) if level.band else 0.0
    gutter = layout.right + (layout.mark - layout.right) * 0.25
    leader = ((right, y), (gutter, y), (layout.mark - 22, label.mark_y), (layout.mark - 9, label.mark_y))
    return Line(level.kind, left, right, y, band_top, band_height, leader)


def _ticks(frame: Frame) -> Iterator[tuple[float, str]]:
    """Round heights along the scale, four to ten of them; fewer where their numbers would touch."""
    span = frame.top - frame.foot
    step = 10 ** math.floor(math.log10(span / 4))
    step = next(step * factor for factor in (1, 2, 5, 10, 20, 50)
                if span / (step * factor) <= 10 and step * factor * frame.scale >= _TICK)
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    first = math.ceil(frame.foot / step - 1e-9)
    for number in range(first, math.floor(frame.top / step + 1e-9) + 1):
        yield frame.y(number * step), f"{number * step + 0.0:.{decimals}f}"


def _notes(shape: Shape, drawn: Outline, vessel: Vessel | None) -> Iterator[str]:
    """What the drawing is not true in, and from where a lying cylinder is seen."""
    if vessel is None:
        yield "The shape could not be worked out: plain walls are drawn. Heights to scale."
        return
    if isinstance(shape, HorizontalCylinder):
        yield f"Seen from one end: a lying cylinder {shape.length.si:.2f} m long, {shape.ends} ends not counted."
    if drawn.is_broken:
        yield "Width broken, heights to scale."
    else:
        yield "Drawn to scale." if drawn.is_to_scale else "Heights to scale, widths not."
