"""A vessel as functions, bands of action, and the lines of the level drawing."""

from collections.abc import Callable
from typing import Literal

from msgspec import Struct

from generator.model.place import Place


class Band(Struct, frozen=True):
    """Lowest and highest height of an action, above the tank's datum. [m]"""

    low: float
    high: float

    @property
    def width(self) -> float:
        """Distance between the edges. [m]"""
        return self.high - self.low


class Vessel(Struct, frozen=True):
    """The shape of a tank as functions. Heights above the tank's datum [m], volumes [m3], areas [m2].

    `volume_at` and `area_at` clip the height to `bottom` .. `top`; `level_at` clips the volume to 0 .. `capacity`.
    """

    bottom: float
    top: float
    capacity: float
    volume_at: Callable[[float], float]
    level_at: Callable[[float], float]
    area_at: Callable[[float], float]
    shell_at: Callable[[float], float] | None = None
    """Area inside the bare walls, where something in the tank takes room off `area_at`. [m2]"""


LevelKind = Literal["vessel", "process", "trip", "alarm", "control", "permissive", "spill detection"]


class Level(Struct, frozen=True):
    """One line of the level drawing: a height with a name.

    `kind` is "vessel" for what the vessel fixes, "process" for the normal band, marks and pump limits, else the
    role of the switch. `band` is the act band of a switch. `key` is a switch tag or the name of the level.
    """

    key: str
    name: str
    kind: LevelKind
    height: float
    band: Band | None
    direction: Literal["rising", "falling", ""]
    place: Place
    source: str = ""
    """Key of the record that gives the height; empty where it was written at `place`."""
