"""Volumes and surfaces of the simple solids, in closed form. The caller keeps depths within the range of validity."""

import math
from itertools import pairwise


def segment_area(diameter: float, depth: float) -> float:
    """Area of a circle's segment: the wetted cross-section of a lying cylinder.

    A = R^2 acos((R - h) / R) - (R - h) sqrt(2 R h - h^2)

    Args:
        diameter: Inside diameter, D = 2 R. [m]
        depth: Depth of liquid, h, from 0 to D. [m]

    Returns:
        Area. [m2]

    Source: Perry's Chemical Engineers' Handbook, volume of partially filled horizontal cylinders (from memory).

    >>> round(segment_area(1.0, 0.3), 4)
    0.1982
    """
    radius = diameter / 2
    # the same angle as acos((R - h) / R), but exact at the very bottom and top too
    half_angle = 2 * math.atan2(math.sqrt(depth), math.sqrt(max(0.0, diameter - depth)))
    return radius**2 * half_angle - (radius - depth) * chord(diameter, depth) / 2


def chord(diameter: float, depth: float) -> float:
    """Width of the surface in a lying cylinder or sphere.

    w = 2 sqrt(h (D - h))

    Args:
        diameter: Inside diameter, D. [m]
        depth: Depth of liquid, h, from 0 to D. [m]

    Returns:
        Width. [m]

    Source: circle geometry.

    >>> chord(2.0, 1.0)
    2.0
    """
    return 2 * math.sqrt(max(0.0, depth * (diameter - depth)))


def sphere_volume(diameter: float, depth: float) -> float:
    """Volume of liquid in a sphere.

    V = pi h^2 (3 R - h) / 3

    Args:
        diameter: Inside diameter, D = 2 R. [m]
        depth: Depth of liquid, h, from 0 to D. [m]

    Returns:
        Volume. [m3]

    Source: Archimedes' spherical cap, any handbook of mathematics.

    >>> round(sphere_volume(1.0, 0.7), 6)
    0.410501
    """
    return math.pi * depth**2 * (1.5 * diameter - depth) / 3


def cap_area(sphere_diameter: float, depth: float) -> float:
    """Surface of the liquid in a sphere or in a dished end of that sphere.

    A = pi h (D - h)

    Args:
        sphere_diameter: Diameter of the sphere, D. [m]
        depth: Depth of liquid over the lowest point, h, from 0 to D. [m]

    Returns:
        Area. [m2]

    Source: circle geometry.

    >>> round(cap_area(2.0, 1.0), 6)
    3.141593
    """
    return math.pi * depth * (sphere_diameter - depth)


def frustum_volume(bottom_diameter: float, top_diameter: float, height: float, depth: float) -> float:
    """Volume of liquid in a standing frustum of a cone; a cylinder where both diameters are equal.

    V = pi h (d1^2 + d1 d + d^2) / 12,  d = d1 + (d2 - d1) h / H

    Args:
        bottom_diameter: Diameter at the bottom, d1; 0 for a point. [m]
        top_diameter: Diameter at the top, d2. [m]
        height: Height, H. [m]
        depth: Depth of liquid, h, from 0 to H. [m]

    Returns:
        Volume. [m3]

    Source: frustum of a cone, any handbook of mathematics.

    >>> round(frustum_volume(0.0, 2.0, 3.0, 3.0), 6)
    3.141593
    """
    surface = bottom_diameter + (top_diameter - bottom_diameter) * depth / height
    return math.pi * depth * (bottom_diameter**2 + bottom_diameter * surface + surface**2) / 12


def frustum_area(bottom_diameter: float, top_diameter: float, height: float, depth: float) -> float:
    """Surface of the liquid in a standing frustum of a cone.

    A = pi d^2 / 4,  d = d1 + (d2 - d1) h / H

    Args:
        bottom_diameter: Diameter at the bottom, d1. [m]
        top_diameter: Diameter at the top, d2. [m]
        height: Height, H. [m]
        depth: Depth of liquid, h, from 0 to H. [m]

    Returns:
        Area. [m2]

    Source: frustum of a cone, any handbook of mathematics.

    >>> round(frustum_area(1.0, 3.0, 2.0, 1.0), 6)
    3.141593
    """
    return math.pi * (bottom_diameter + (top_diameter - bottom_diameter) * depth / height) ** 2 / 4


def hopper_area(bottom: tuple[float, float], top: tuple[float, float], height: float, depth: float) -> float:
    """Surface of the liquid in a rectangular hopper whose four sides slope evenly.

    A = l w,  l = l1 + (l2 - l1) h / H,  w = w1 + (w2 - w1) h / H

    Args:
        bottom: Length and width at the bottom, l1 and w1. [m]
        top: Length and width at the top, l2 and w2. [m]
        height: Height, H. [m]
        depth: Depth of liquid, h, from 0 to H. [m]

    Returns:
        Area. [m2]

    Source: similar triangles.

    >>> hopper_area((0.0, 1.0), (2.0, 3.0), 1.0, 0.5)
    2.0
    """
    length, width = (low + (high - low) * depth / height for low, high in zip(bottom, top, strict=True))
    return length * width


def hopper_volume(bottom: tuple[float, float], top: tuple[float, float], height: float, depth: float) -> float:
    """Volume of liquid in a rectangular hopper or over a benching, by the prismatoid formula.

    V = h (A_bottom + 4 A_middle + A_surface) / 6

    Args:
        bottom: Length and width at the bottom. [m]
        top: Length and width at the top. [m]
        height: Height, H. [m]
        depth: Depth of liquid, h, from 0 to H. [m]

    Returns:
        Volume. [m3]

    Exact for flat sides, also where the hopper is no true pyramid.
    Source: prismatoid formula, any handbook of mathematics.

    >>> hopper_volume((0.0, 0.0), (3.0, 3.0), 2.0, 2.0)
    6.0
    """
    areas = (hopper_area(bottom, top, height, part) for part in (0.0, depth / 2, depth))
    return depth * sum(weight * area for weight, area in zip((1, 4, 1), areas, strict=True)) / 6


def table_value(xs: tuple[float, ...], ys: tuple[float, ...], x: float) -> float:
    """A value between the rows of a calibrated table, on a straight line; the end rows beyond them.

    Args:
        xs: First column, rising, at least two rows.
        ys: Second column.
        x: Where to read.

    Returns:
        The second column's value at x.

    Source: linear interpolation, as strapping tables are read.

    >>> table_value((0.0, 1.0, 3.0), (0.0, 4.0, 6.0), 2.0)
    5.0
    """
    if x <= xs[0]:
        return ys[0]
    for (left, right), (low, high) in zip(pairwise(xs), pairwise(ys), strict=True):
        if x <= right:
            return low + (high - low) * (x - left) / (right - left)
    return ys[-1]
