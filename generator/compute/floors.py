"""Floors that fall to one side, and what stands in a tank and takes up room: volumes and surfaces."""

from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

from generator.compute import solids
from generator.compute.stacking import Part, depth_of
from generator.model.results import Vessel


def sloped_basin_volume(length: float, width: float, fall: float, depth: float) -> float:
    """Volume over a floor that falls along the length of a basin, below its highest edge.

    V = W L h^2 / (2 f)

    Args:
        length: Inside length, L. [m]
        width: Inside width, W. [m]
        fall: How much the floor falls, f. [m]
        depth: Depth at the lowest edge, h, from 0 to f. [m]

    Returns:
        Volume. [m3]

    Source: a prism with a triangular side.

    >>> sloped_basin_volume(4.0, 2.0, 0.5, 0.5)
    2.0
    """
    return width * length * depth**2 / (2 * fall)


def sloped_basin_area(length: float, width: float, fall: float, depth: float) -> float:
    """Surface over such a floor: A = W L h / f. [m2]

    >>> sloped_basin_area(4.0, 2.0, 0.5, 0.25)
    4.0
    """
    return width * length * depth / fall


def sloped_cylinder_area(diameter: float, fall: float, depth: float) -> float:
    """Surface over a flat floor that falls across an upright cylinder, below the floor's highest edge.

    A = segment of the circle with the rise D h / f

    Args:
        diameter: Inside diameter, D. [m]
        fall: How much the floor falls from side to side, f. [m]
        depth: Depth at the lowest edge, h, from 0 to f. [m]

    Returns:
        Area. [m2]

    Source: the wetted part of the floor seen from above is a segment of a circle.

    >>> round(sloped_cylinder_area(2.0, 0.1, 0.05), 6)
    1.570796
    """
    return solids.segment_area(diameter, min(1.0, depth / fall) * diameter)


def sloped_cylinder_volume(diameter: float, fall: float, depth: float) -> float:
    """Volume over a flat floor that falls across an upright cylinder, below the floor's highest edge.

    V = k (x A(x) + (2/3) (R^2 - x^2)^(3/2)),  k = f / D,  x = h / k - R

    Args:
        diameter: Inside diameter, D = 2 R. [m]
        fall: How much the floor falls from side to side, f. [m]
        depth: Depth at the lowest edge, h, from 0 to f. [m]

    Returns:
        Volume. [m3]

    Source: cylindrical wedge (ungula), any handbook of mathematics.

    >>> round(sloped_cylinder_volume(2.0, 0.1, 0.1), 6)
    0.15708
    """
    radius, slope = diameter / 2, fall / diameter
    edge = depth / slope - radius
    rest = max(0.0, radius**2 - edge**2)
    volume: float = slope * (edge * sloped_cylinder_area(diameter, fall, depth) + 2 / 3 * rest**1.5)
    return volume


def sloped_cylinder(diameter: float, fall: float) -> Part:
    """The lowest part of an upright cylinder whose flat floor falls to one side."""
    return Part(fall, lambda h: sloped_cylinder_volume(diameter, fall, h),
                lambda h: sloped_cylinder_area(diameter, fall, h))


def sloped_basin(length: float, width: float, fall: float) -> Part:
    """The lowest part of a basin whose floor falls along its length."""
    return Part(fall, lambda h: sloped_basin_volume(length, width, fall, h),
                lambda h: sloped_basin_area(length, width, fall, h))


class Body(Struct, frozen=True):
    """Something in a tank that takes up room: its volume [m3], from and up to a height [m]."""

    name: str
    volume: float
    lowest: float
    highest: float

    def below(self, height: float) -> float:
        """Room that it takes up below a height. [m3]"""
        return self.volume * min(1.0, max(0.0, (height - self.lowest) / (self.highest - self.lowest)))

    def area(self, height: float) -> float:
        """Its section at a height. [m2]"""
        inside = self.lowest <= height < self.highest
        return self.volume / (self.highest - self.lowest) if inside else 0.0


def fault(vessel: Vessel, bodies: Sequence[Body]) -> str:
    """Why bodies cannot stand in a vessel; empty where they can."""
    for body in bodies:
        if body.highest <= body.lowest:
            return f"{body.name} reaches from {body.lowest:g} m to {body.highest:g} m"
        if body.lowest < vessel.bottom - 1e-9 or body.highest > vessel.top + 1e-9:
            return f"{body.name} does not stand between the bottom and the top of the vessel"
    edges = sorted({height for body in bodies for height in (body.lowest, body.highest)})
    probes = [low + (high - low) * share for low, high in pairwise(edges)
              for share in (1e-6, 0.25, 0.5, 0.75, 1 - 1e-6)]
    for height in probes:
        if vessel.area_at(height) <= sum(body.area(height) for body in bodies):
            return f"what stands in the tank leaves no room for liquid at {height:.3f} m"
    return ""


def with_bodies(vessel: Vessel, bodies: Sequence[Body]) -> Vessel:
    """The same vessel with the room of some bodies taken off."""
    if not bodies:
        return vessel

    def volume_at(height: float) -> float:
        inside = min(max(height, vessel.bottom), vessel.top)
        return vessel.volume_at(inside) - sum(body.below(inside) for body in bodies)

    def area_at(height: float) -> float:
        return vessel.area_at(height) - sum(body.area(height) for body in bodies)

    capacity = volume_at(vessel.top)

    def level_at(volume: float) -> float:
        if volume <= 0:
            return vessel.bottom
        if volume >= capacity:
            return vessel.top
        return vessel.bottom + depth_of(volume, vessel.top - vessel.bottom,
                                        lambda depth: volume_at(vessel.bottom + depth),
                                        lambda depth: area_at(vessel.bottom + depth))

    return Vessel(vessel.bottom, vessel.top, capacity, volume_at, level_at, area_at, vessel.area_at)
