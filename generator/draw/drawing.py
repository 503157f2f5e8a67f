"""What a level drawing is made of, placed in drawing units: y downwards, one unit is one pixel beside 13 px text."""

from dataclasses import dataclass
from typing import Literal

from generator.draw.shapes import Point
from generator.model.results import LevelKind


@dataclass(frozen=True, slots=True)
class LevelWords:
    """What the label of one level says, ready to print. `path` is its page, `flag` a failed check."""

    name: str
    says: str
    height: str
    band: str = ""
    path: str = ""
    flag: str = ""


@dataclass(frozen=True, slots=True)
class NozzleMark:
    """A nozzle to draw: its name, where it sits and its height where one is given. [m]"""

    name: str
    on: Literal["wall", "roof", "floor"]
    height: float | None


@dataclass(frozen=True, slots=True)
class Layout:
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


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a label: text at the left, a figure at the right, and the baseline they stand on."""

    text: str
    right: str
    style: Literal["name", "says", "flag", "flag-rest"]
    y: float = 0.0


@dataclass(frozen=True, slots=True)
class Label:
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


@dataclass(frozen=True, slots=True)
class Chip:
    """Minutes between two levels, in their own box between two labels, one line or more."""

    lines: tuple[str, ...]
    top: float
    bottom: float
    width: float


@dataclass(frozen=True, slots=True)
class Line:
    """A level drawn across the vessel, its act band, and the leader that runs to its label."""

    kind: LevelKind
    left: float
    right: float
    y: float
    band_top: float
    band_height: float
    leader: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Stub:
    """A nozzle: a short pipe at the wall, and its name with a leader."""

    name: str
    points: tuple[Point, ...]
    x: float
    y: float
    anchor: Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class LevelDrawing:
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
