"""Ends of lying cylinders: slices at a height, and the torispherical end, which has no short closed form."""

import math
from collections.abc import Callable


def ellipsoidal_slice(diameter: float, end_depth: float, depth: float) -> float:
    """Surface of the liquid in one ellipsoidal end of a lying cylinder: half an ellipse.

    A = pi a w^2 / (8 R),  w = 2 sqrt(h (D - h))

    Args:
        diameter: Inside diameter, D = 2 R. [m]
        end_depth: Depth of the end, a. [m]
        depth: Depth of liquid, h, from 0 to D. [m]

    Returns:
        Area. [m2]

    Source: ellipse geometry; the integral over h is the volume in D. Jones, Calculating Tank Volume (from memory).

    >>> round(ellipsoidal_slice(2.0, 0.5, 1.0), 6)
    0.785398
    """
    return math.pi * end_depth * depth * (diameter - depth) / diameter


def cap_slice(diameter: float, end_depth: float, depth: float) -> float:
    """Surface of the liquid in one end of a lying cylinder that is a cap of a sphere.

    A = rho^2 acos(c / rho) - c sqrt(rho^2 - c^2),  rho^2 = r^2 - y^2,  r = (R^2 + a^2) / (2 a),  c = r - a,  y = h - R

    Args:
        diameter: Inside diameter, D = 2 R. [m]
        end_depth: Depth of the cap, a, up to R. [m]
        depth: Depth of liquid, h, from 0 to D. [m]

    Returns:
        Area. [m2]

    Source: the slice is a segment of a circle of radius rho.

    >>> round(cap_slice(2.0, 1.0, 1.0), 6)
    1.570796
    """
    radius = diameter / 2
    sphere = (radius**2 + end_depth**2) / (2 * end_depth)
    toward = sphere - end_depth
    squared = sphere**2 - (depth - radius) ** 2
    if squared <= toward**2:
        return 0.0
    return squared * math.acos(toward / math.sqrt(squared)) - toward * math.sqrt(squared - toward**2)


def cone_slice(diameter: float, end_depth: float, depth: float) -> float:
    """Surface of the liquid in one conical end of a lying cylinder: a segment of a hyperbola.

    A = a (w / 2 - y^2 ln((R + w / 2) / |y|) / R),  w = 2 sqrt(h (D - h)),  y = h - R

    Args:
        diameter: Inside diameter, D = 2 R. [m]
        end_depth: Depth of the cone, a. [m]
        depth: Depth of liquid, h, from 0 to D. [m]

    Returns:
        Area. [m2]

    Source: the depth of the cone, a (1 - sqrt(x^2 + y^2) / R), summed over the width.

    >>> round(cone_slice(2.0, 0.6, 1.0), 6)
    0.6
    """
    radius = diameter / 2
    half = math.sqrt(max(0.0, depth * (diameter - depth)))
    offset = abs(depth - radius)
    if offset == 0.0:
        return end_depth * half
    return end_depth * (half - offset**2 / radius * math.log((radius + half) / offset))


def cap_depth(diameter: float, dish_radius: float) -> float:
    """Depth of an end that is a cap of a sphere.

    a = r - sqrt(r^2 - D^2 / 4)

    Args:
        diameter: Inside diameter, D. [m]
        dish_radius: Radius of the sphere, r, at least D / 2. [m]

    Returns:
        Depth. [m]

    Source: circle geometry.

    >>> round(cap_depth(2.0, 2.0), 6)
    0.267949
    """
    return dish_radius - math.sqrt(dish_radius**2 - diameter**2 / 4)


class Torisphere:
    """A torispherical end: a dish of radius f D that a knuckle of radius k D joins to the shell.

    Args:
        diameter: Inside diameter, D. [m]
        dish: Dish radius over diameter, f, over 0.5.
        knuckle: Knuckle radius over diameter, k, over 0, at most 0.5 and under f.

    Source: the two arcs of the meridian; full volumes agree with D. Jones, Calculating Tank Volume.

    >>> end = Torisphere(1.0, 1.0, 0.06)
    >>> round(end.depth, 5), round(end.volume(1.0), 6)
    (0.16934, 0.080999)
    """

    def __init__(self, diameter: float, dish: float, knuckle: float) -> None:
        self.radius = diameter / 2
        self.dish = dish * diameter
        self.knuckle = knuckle * diameter
        self.centre = self.radius - self.knuckle
        angle = math.asin(self.centre / (self.dish - self.knuckle))
        self.joint = self.dish * math.sin(angle)
        self.depth = self.dish - (self.dish - self.knuckle) * math.cos(angle)
        self.dish_depth = self.dish * (1 - math.cos(angle))
        self._full = 2 * self._below_axis(0.0)

    def meridian(self, radius: float) -> float:
        """Depth of the end at a distance from its axis. [m]"""
        if radius <= self.joint:
            return math.sqrt(self.dish**2 - radius**2) - self.dish + self.depth
        return math.sqrt(max(0.0, self.knuckle**2 - (radius - self.centre) ** 2))

    def volume(self, depth: float) -> float:
        """Volume of liquid in one end of a lying cylinder, at a depth of liquid. [m3]"""
        offset = depth - self.radius
        return self._below_axis(-offset) if offset <= 0 else self._full - self._below_axis(offset)

    def slice(self, depth: float) -> float:
        """Surface of the liquid in one end of a lying cylinder, at a depth of liquid. [m2]"""
        offset = depth - self.radius
        half = math.sqrt(max(0.0, self.radius**2 - offset**2))
        joint = math.sqrt(max(0.0, self.joint**2 - offset**2))
        return 2 * (
            _integral(lambda x: self.meridian(math.hypot(x, offset)), 0.0, joint)
            + _integral(lambda x: self.meridian(math.hypot(x, offset)), joint, half)
        )

    def standing_area(self, depth: float) -> float:
        """Surface of the liquid in this end as the bottom of a standing cylinder. [m2]"""
        if depth <= self.dish_depth:
            return math.pi * depth * (2 * self.dish - depth)
        rise = self.depth - depth
        return math.pi * (self.centre + math.sqrt(max(0.0, self.knuckle**2 - rise**2))) ** 2

    def _below_axis(self, offset: float) -> float:
        """Volume below a plane that lies `offset` under the axis: the depth summed over arcs. [m3]"""

        def over_arc(radius: float) -> float:
            return self.meridian(radius) * 2 * math.acos(min(1.0, offset / radius)) * radius if radius else 0.0

        joint = max(offset, self.joint)
        return _integral(over_arc, offset, joint) + _integral(over_arc, joint, self.radius)


def _integral(function: Callable[[float], float], low: float, high: float) -> float:
    """Sum of a function that may rise like a root at either end."""
    if high <= low:
        return 0.0
    middle, half = (low + high) / 2, (high - low) / 2
    return half * sum(weight * function(middle + half * node) for node, weight in _RULE)


def _rule(step: float, count: int) -> tuple[tuple[float, float], ...]:
    """Nodes and weights on -1 .. 1 that crowd at both ends (tanh-sinh rule, Takahasi and Mori 1974)."""
    nodes = []
    for number in range(-count, count + 1):
        bend = math.pi / 2 * math.sinh(number * step)
        nodes.append((math.tanh(bend), step * math.pi / 2 * math.cosh(number * step) / math.cosh(bend) ** 2))
    return tuple(nodes)


_RULE = _rule(step=0.25, count=12)
"""25 points: the sums are exact to better than 1e-10 of the diameter cubed."""
