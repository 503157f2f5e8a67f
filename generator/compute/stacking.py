"""Vessels as stacks of parts, and as calibrated tables; height from volume for both."""

import math
from collections.abc import Callable
from itertools import pairwise

from msgspec import Struct

from generator.compute import solids
from generator.model.results import Vessel

Function = Callable[[float], float]


class Part(Struct, frozen=True):
    """One stretch of a vessel from its lowest point up: height [m], volume [m3] and surface [m2] by depth [m]."""

    height: float
    volume: Function
    area: Function


def upside_down(part: Part) -> Part:
    """A part turned over: the lower end as an upper end."""
    full = part.volume(part.height)
    return Part(part.height, lambda h: full - part.volume(part.height - h), lambda h: part.area(part.height - h))


def strapped(heights: tuple[float, ...], volumes: tuple[float, ...]) -> Vessel:
    """A vessel of a calibrated table; straight lines between its rows.

    Args:
        heights: Heights above the tank's datum, rising. [m]
        volumes: Volumes held at them, rising. [m3]
    """
    stretches = zip(pairwise(heights), pairwise(volumes), strict=True)
    slopes = tuple((v2 - v1) / (h2 - h1) for (h1, h2), (v1, v2) in stretches)

    def area_at(height: float) -> float:
        return next((slope for top, slope in zip(heights[1:], slopes, strict=True) if height < top), slopes[-1])

    return Vessel(heights[0], heights[-1], volumes[-1], lambda h: solids.table_value(heights, volumes, h),
                  lambda v: solids.table_value(volumes, heights, v), area_at)


def stacked(parts: list[Part], bottom: float) -> Vessel:
    """A vessel of parts that stand on each other, lowest first."""
    feet = [0.0]
    below = [0.0]
    for part in parts:
        feet.append(feet[-1] + part.height)
        below.append(below[-1] + part.volume(part.height))
    height, capacity = feet[-1], below[-1]
    flat = len(parts) == 1 and parts[0].area(0.0) == parts[0].area(height) > 0 and _is_prism(parts[0])

    def part_at(depth: float) -> int:
        return next((number for number, foot in enumerate(feet[1:-1]) if depth < foot), len(parts) - 1)

    def volume_at(level: float) -> float:
        depth = min(max(level - bottom, 0.0), height)
        number = part_at(depth)
        return below[number] + parts[number].volume(depth - feet[number])

    def area_at(level: float) -> float:
        depth = min(max(level - bottom, 0.0), height)
        number = part_at(depth)
        return parts[number].area(depth - feet[number])

    def level_at(volume: float) -> float:
        if volume <= 0:
            return bottom
        if volume >= capacity:
            return bottom + height
        number = next((number for number, held in enumerate(below[1:-1]) if volume < held), len(parts) - 1)
        part = parts[number]
        rest = volume - below[number]
        if flat:
            return bottom + rest / part.area(0.0)
        return bottom + feet[number] + depth_of(rest, part.height, part.volume, part.area)

    return Vessel(bottom, bottom + height, capacity, volume_at, level_at, area_at)


def _is_prism(part: Part) -> bool:
    return math.isclose(part.volume(part.height / 2), part.area(0.0) * part.height / 2, rel_tol=1e-12)


def depth_of(volume: float, height: float, volume_at: Function, area_at: Function) -> float:
    """Depth at which a rising volume function reaches a volume: Newton's steps kept inside a shrinking bracket.

    Args:
        volume: The volume sought. [m3]
        height: The greatest depth. [m]
        volume_at: Volume by depth, rising from 0.
        area_at: Its slope.

    Returns:
        Depth, to 1e-9 m or better. [m]

    >>> round(depth_of(0.5, 2.0, lambda h: h**3 / 2, lambda h: 1.5 * h**2), 9)
    1.0
    """
    low, high = 0.0, height
    depth = height / 2
    for _ in range(200):
        excess = volume_at(depth) - volume
        if excess > 0:
            high = depth
        else:
            low = depth
        slope = area_at(depth)
        step = depth - excess / slope if slope > 0 else low
        if not low < step < high:
            step = (low + high) / 2
        if abs(step - depth) < 1e-9 or high - low < 1e-9:
            return step
        depth = step
    return depth
