"""The outline of a vessel, from the side, a lying cylinder from its end: heights to scale, widths to scale where they fit."""

import math
from collections.abc import Callable, Iterator

from msgspec import Struct

from generator.model.results import Vessel
from generator.model.shape import HorizontalCylinder, RectangularBasin, Shape, VerticalCylinder

Point = tuple[float, float]
HalfWidth = Callable[[float], float]
_STEPS = 48
_BREAK = 7.0
"""Half the opening that a break leaves in the outline."""
_LEAST = 64.0
"""A vessel drawn narrower than this could not carry its lines."""


class Frame(Struct, frozen=True):
    """Where a vessel stands in the drawing, in drawing units; `top` and `foot` are heights in metres."""

    left: float
    right: float
    upper: float
    lower: float
    top: float
    foot: float

    @property
    def scale(self) -> float:
        """Drawing units per metre of height."""
        return (self.lower - self.upper) / (self.top - self.foot)

    def y(self, height: float) -> float:
        """Place of a height in the drawing; downwards positive."""
        return self.lower - (height - self.foot) * self.scale

    @property
    def middle(self) -> float:
        """The vessel's centre line."""
        return (self.left + self.right) / 2


class Outline(Struct, frozen=True):
    """A vessel placed in a frame. `wall(h)` is the distance of the wall from the centre line in drawing units.

    A floor that falls by `fall` [m] is lowest at the left wall and meets the right one `fall` over the bottom. A lying
    cylinder is seen from its end, where all that sits along its crown or its lowest line is one behind the other.
    """

    frame: Frame
    bottom: float
    top: float
    wall: HalfWidth
    is_broken: bool
    is_to_scale: bool
    is_open: bool
    heights: tuple[float, ...]
    fall: float = 0.0
    is_from_end: bool = False

    def far(self, height: float) -> float:
        """How far the right end of the liquid lies from the centre line; on a sloped floor where the floor meets it."""
        above, half = height - self.bottom, self.wall(height)
        return half if self.fall <= 0 or above >= self.fall else half * (2 * max(above, 0.0) / self.fall - 1)

    def edges(self, height: float, least: float = 10.0) -> Point:
        """Left and right wall at a height, at least so far from the centre line; outside the vessel the widest."""
        inside = min(max(height, self.bottom), self.top)
        half = max(self.wall(inside), least) if self.bottom <= height <= self.top else self.widest
        middle = self.frame.middle
        if self.bottom <= height < self.bottom + self.fall:
            return middle - half, middle + max(self.far(height), 2 * least - half)
        return middle - half, middle + half

    @property
    def widest(self) -> float:
        """Largest distance of the wall from the centre line."""
        return max(self.wall(height) for height in self.heights)

    def ring(self, upto: float) -> tuple[Point, ...]:
        """The area inside the walls from the bottom up to a height, as a closed row of points."""
        full = min(max(upto, self.bottom), self.top)
        heights = [*(height for height in self.heights if height < full), full]
        middle, y = self.frame.middle, self.frame.y
        rising = [(middle - self.wall(height), y(height)) for height in heights]
        falling = [(middle + self.far(height), y(height)) for height in reversed(heights)]
        return tuple(_rounded([*rising, *falling]))

    def walls(self) -> tuple[tuple[Point, ...], ...]:
        """The outline as rows of points; open at the top for a basin, in two halves where it is broken."""
        ring = self.ring(self.top)
        half = len(ring) // 2
        # a basin: down the left wall, along the floor, up the right wall
        ring = (*ring[:half][::-1], *ring[half:][::-1]) if self.is_open else (*ring, ring[0])
        if not self.is_broken:
            return (ring,)
        return tuple(_without(ring, self.frame.middle - _BREAK, self.frame.middle + _BREAK))

    def breaks(self) -> tuple[tuple[Point, ...], ...]:
        """The two wavy lines of a break; nothing where the width stands whole."""
        if not self.is_broken:
            return ()
        upper, lower, middle = self.frame.y(self.top) - 8, self.frame.y(self.bottom) + 8, self.frame.middle
        wave = [(2.5 * math.sin(step / 24 * 4 * math.pi), upper + (lower - upper) * step / 24) for step in range(25)]
        return tuple(tuple(_rounded([(middle + side + dx, y) for dx, y in wave])) for side in (-_BREAK, _BREAK))


def outline(shape: Shape, vessel: Vessel | None, frame: Frame) -> Outline:
    """A tank's outline in a frame. Without a worked-out vessel: plain walls over the whole frame, not to scale."""
    if vessel is None:
        half = (frame.right - frame.left) / 2
        return Outline(frame, frame.foot, frame.top, lambda _: half, False, False, False, (frame.foot, frame.top))
    heights = tuple(sorted({*_heights(shape, vessel)}))
    metres = _half_width(shape, vessel)
    widths = [metres(height) for height in heights]
    widest, room = max(widths), (frame.right - frame.left) / 2
    drawn = widest * frame.scale
    is_broken = drawn > room and (widest - min(widths)) * frame.scale < room - 3 * _BREAK
    wall: HalfWidth
    if is_broken:
        def wall(height: float) -> float:
            return room - (widest - metres(height)) * frame.scale
    else:
        stretch = min(max(drawn, _LEAST / 2), room) / widest if widest else 0.0

        def wall(height: float) -> float:
            return metres(height) * stretch
    is_to_scale = not is_broken and math.isclose(min(max(drawn, _LEAST / 2), room), drawn)
    return Outline(frame, vessel.bottom, vessel.top, wall, is_broken, is_to_scale,
                   isinstance(shape, RectangularBasin), heights, _fall(shape), isinstance(shape, HorizontalCylinder))


def _fall(shape: Shape) -> float:
    """How much a sloped floor falls. [m]"""
    fall = getattr(shape, "floor_fall", None)
    return 0.0 if fall is None else float(fall.si)


def _heights(shape: Shape, vessel: Vessel) -> Iterator[float]:
    """Heights at which the wall is taken: closest at the ends, where it bends most."""
    middle, half = (vessel.top + vessel.bottom) / 2, (vessel.top - vessel.bottom) / 2
    for step in range(_STEPS + 1):
        yield middle - half * math.cos(math.pi * step / _STEPS)
    for name in ("bottom_depth", "hopper_depth", "floor_fall"):
        depth = getattr(shape, name, None)
        if depth is not None and 0 < depth.si < vessel.top - vessel.bottom:
            yield vessel.bottom + depth.si


def _half_width(shape: Shape, vessel: Vessel) -> HalfWidth:
    """Distance of the wall from the centre line at a height. [m]

    That of a round vessel follows from its free surface, A = pi r^2; a lying cylinder is a circle, seen from its end.
    """
    if isinstance(shape, RectangularBasin):
        return _basin(shape, vessel)
    if isinstance(shape, VerticalCylinder) and _fall(shape):  # its surface over the slope is a segment, not a circle
        return _over_a_slope(shape, vessel)
    if isinstance(shape, HorizontalCylinder):
        radius = shape.diameter.si / 2
        return lambda height: math.sqrt(max(radius**2 - (height - vessel.bottom - radius)**2, 0.0))
    shell = vessel.shell_at or vessel.area_at
    return lambda height: math.sqrt(max(shell(height), 0.0) / math.pi)


def _over_a_slope(shape: VerticalCylinder, vessel: Vessel) -> HalfWidth:
    shell, straight = vessel.shell_at or vessel.area_at, vessel.bottom + _fall(shape)
    return lambda height: math.sqrt(max(shell(max(height, straight)), 0.0) / math.pi)


def _basin(shape: RectangularBasin, vessel: Vessel) -> HalfWidth:
    upper = shape.length.si / 2
    lower = shape.hopper_length.si / 2 if shape.hopper_length is not None else upper
    depth = shape.hopper_depth.si if shape.hopper_depth is not None else 0.0

    def half(height: float) -> float:
        above = height - vessel.bottom
        return upper if depth <= 0 or above >= depth else lower + (upper - lower) * max(above, 0.0) / depth

    return half


def _rounded(points: list[Point]) -> Iterator[Point]:
    return ((round(x, 1), round(y, 1)) for x, y in points)


def _without(points: tuple[Point, ...], low: float, high: float) -> Iterator[tuple[Point, ...]]:
    """The pieces of a row of points that stay outside a strip; cut where they cross its edges."""
    yield from _beyond(points, low, -1)
    yield from _beyond(points, high, 1)


def _beyond(points: tuple[Point, ...], edge: float, way: int) -> Iterator[tuple[Point, ...]]:
    """The pieces of a row of points on one side of an upright line."""
    piece: list[Point] = []
    for before, here in zip((points[0], *points), points, strict=False):
        was_kept, is_kept = (before[0] - edge) * way >= 0, (here[0] - edge) * way >= 0
        if was_kept != is_kept:
            share = (edge - before[0]) / (here[0] - before[0])
            piece.append((edge, round(before[1] + share * (here[1] - before[1]), 1)))
        if is_kept:
            piece.append(here)
        elif was_kept:
            yield tuple(piece)
            piece = []
    if len(piece) > 1:
        yield tuple(piece)
