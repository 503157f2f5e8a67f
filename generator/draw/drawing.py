"""What a level drawing is made of, placed in drawing units: y downwards, one unit is one pixel beside 13 px text."""

from typing import Literal

from msgspec import Struct

from generator.draw.shapes import Point
from generator.model.results import LevelKind


class LevelWords(Struct, frozen=True):
    """What the label of one level says, ready to print. `path` is its page, `flag` a failed check."""

    name: str
    says: str
    height: str
    band: str = ""
    path: str = ""
    flag: str = ""


class NozzleMark(Struct, frozen=True):
    """A nozzle to draw: its name, where it sits and its height where one is given. [m]"""

    name: str
    on: Literal["wall", "roof", "floor"]
    height: float | None


class Layout(Struct, frozen=True):
    """Columns of a drawing."""

    width: float
    axis: float
    left: float
    right: float
    mark: float
    text: float
    least_height: float
    with_nozzles: bool


WIDE = Layout(width=740, axis=40, left=104, right=330, mark=398, text=414, least_height=380, with_nozzles=True)
LYING = Layout(width=740, axis=40, left=104, right=372, mark=446, text=462, least_height=380, with_nozzles=True)
NARROW = Layout(width=350, axis=34, left=44, right=112, mark=148, text=162, least_height=420, with_nozzles=False)
LYING_NARROW = Layout(width=350, axis=30, left=36, right=124, mark=174, text=186, least_height=420, with_nozzles=False)
ROUND = (LYING, LYING_NARROW)
"""Layouts for a lying cylinder, which is as wide as it is high."""


class Row(Struct, frozen=True):
    """One line of a label: text at the left, a figure at the right, and the baseline they stand on."""

    text: str
    right: str
    style: Literal["name", "says", "flag", "flag-rest"]
    y: float = 0.0


class Label(Struct, frozen=True):
    """The label of one level."""

    kind: LevelKind
    direction: str
    path: str
    rows: tuple[Row, ...]
    top: float
    bottom: float

    @property
    def mark_y(self) -> float:
        """Height of its mark: the middle of its first line."""
        return self.top + 10


class Chip(Struct, frozen=True):
    """Minutes between two levels, in their own box between two labels, one line or more."""

    lines: tuple[str, ...]
    top: float
    bottom: float
    width: float


class Line(Struct, frozen=True):
    """A level drawn across the vessel, its act band, and the leader that runs to its label."""

    kind: LevelKind
    left: float
    right: float
    y: float
    band_top: float
    band_height: float
    leader: tuple[Point, ...]


class Stub(Struct, frozen=True):
    """A nozzle: a short pipe at the wall, and its name with a leader."""

    name: str
    points: tuple[Point, ...]
    x: float
    y: float
    anchor: Literal["start", "middle", "end"]


class LevelDrawing(Struct, frozen=True):
    """Everything to place. `key` makes its ids unique on a page."""

    key: str
    layout: Layout
    height: float
    title: str
    description: str
    walls: tuple[tuple[Point, ...], ...]
    liquid: tuple[Point, ...]
    surface: tuple[Point, ...]
    breaks: tuple[tuple[Point, ...], ...]
    axis_top: float
    axis_foot: float
    ticks: tuple[tuple[float, str], ...]
    lines: tuple[Line, ...]
    labels: tuple[Label, ...]
    chips: tuple[Chip, ...]
    stubs: tuple[Stub, ...]
    notes: tuple[str, ...]
