"""A vessel whose liquid a script can move: outline, the whole inside as one area, level lines with labels."""

from collections.abc import Sequence

from msgspec import Struct

from generator.draw.labels import spread
from generator.draw.shapes import Frame, Point, outline
from generator.model.results import Level, LevelKind, Vessel
from generator.model.shape import Shape

WIDTH, LEFT, RIGHT, MARK = 300.0, 8.0, 150.0, 174.0
LEAST, UPPER, LOWER_SPARE, LABEL = 340.0, 14.0, 14.0, 19.0


class GaugeLine(Struct, frozen=True):
    """A level across the vessel, and its label."""

    kind: LevelKind
    direction: str
    left: float
    right: float
    y: float
    leader: tuple[Point, ...]
    text: str
    path: str
    label_y: float


class Gauge(Struct, frozen=True):
    """Everything to place. The liquid is `inside`, shown below `surface`; between `upper` and `lower` it is to scale."""

    key: str
    title: str
    width: float
    height: float
    upper: float
    lower: float
    walls: tuple[tuple[Point, ...], ...]
    inside: tuple[Point, ...]
    breaks: tuple[tuple[Point, ...], ...]
    lines: tuple[GaugeLine, ...]


def gauge(key: str, title: str, shape: Shape, vessel: Vessel, levels: Sequence[Level],
          names: Sequence[tuple[str, str]]) -> Gauge:
    """Place one vessel; levels highest first, each with its label and page. Levels outside the vessel are left out.

    Raises:
        ValueError: names do not belong to the levels.
    """
    shown = [(level, name) for level, name in zip(levels, names, strict=True)
             if vessel.bottom - 1e-9 <= level.height <= vessel.top + 1e-9]
    lower = UPPER + max(LEAST, LABEL * len(shown))
    frame = Frame(LEFT, RIGHT, UPPER, lower, vessel.top, vessel.bottom)
    drawn = outline(shape, vessel, frame)
    wanted = [frame.y(level.height) for level, _ in shown]
    centres = spread(wanted, [LABEL] * len(shown), 0.0, lower + LOWER_SPARE)
    lines = []
    for (level, (text, path)), y, centre in zip(shown, wanted, centres, strict=True):
        left, right = drawn.edges(level.height)
        leader = ((right, y), (RIGHT + 4, y), (MARK - 12, centre), (MARK - 9, centre))
        lines.append(GaugeLine(level.kind, level.direction, left, right, y, leader, text, path, centre))
    return Gauge(key, title, WIDTH, lower + LOWER_SPARE, UPPER, lower, drawn.walls(), drawn.ring(vessel.top),
                 drawn.breaks(), tuple(lines))
