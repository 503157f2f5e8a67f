"""The shape of a tank as functions of height: volume, surface, and height from volume. The only room for `fluids`."""

import math
from itertools import pairwise

from fluids import geometry as library
from msgspec import Struct

from generator.compute import dished, floors, solids
from generator.compute.stacking import Function, Part, stacked, strapped, upside_down
from generator.model.results import Vessel
from generator.model.shape import (
    Cone,
    HorizontalCylinder,
    RectangularBasin,
    Shape,
    Sphere,
    StrappingTable,
    VerticalCylinder,
)


class Shapeless(Struct, frozen=True):
    """A shape that does not decide a vessel: why, and the keys of `shape` that would."""

    why: str
    missing: tuple[str, ...] = ()


def vessel(shape: Shape, bottom: float = 0.0) -> Vessel | Shapeless:
    """The vessel that a shape makes.

    Args:
        shape: The shape as defined.
        bottom: Height of the inside bottom above the tank's datum. [m] A strapping table brings its own.

    Returns:
        The vessel, level from volume exact to 0.001 mm; or why there is none.
    """
    if isinstance(shape, StrappingTable):
        heights, volumes = tuple(row.height.si for row in shape.rows), tuple(row.volume.si for row in shape.rows)
        if any(high <= low for column in (heights, volumes) for low, high in pairwise(column)):
            return Shapeless("the rows of its strapping table do not rise", ("rows",))
        return strapped(heights, volumes)
    parts = _parts(shape)
    if isinstance(parts, Shapeless):
        return parts
    return stacked(parts, bottom)


def _parts(shape: Shape) -> list[Part] | Shapeless:
    if isinstance(shape, VerticalCylinder):
        return _vertical(shape)
    if isinstance(shape, HorizontalCylinder):
        return _horizontal(shape)
    if isinstance(shape, RectangularBasin):
        return _basin(shape)
    if isinstance(shape, Sphere):
        diameter = shape.diameter.si
        if diameter <= 0:
            return Shapeless("a sphere needs a diameter over zero", ("diameter",))
        return [Part(diameter, lambda h: solids.sphere_volume(diameter, h), lambda h: solids.cap_area(diameter, h))]
    if isinstance(shape, Cone):
        low, high, height = shape.bottom_diameter.si, shape.top_diameter.si, shape.height.si
        if high <= 0 or height <= 0:
            return Shapeless("a cone needs a top diameter and a height over zero", ("top_diameter", "height"))
        return [_frustum(low, high, height)]
    raise TypeError(type(shape))


def _frustum(low: float, high: float, height: float) -> Part:
    return Part(height, lambda h: solids.frustum_volume(low, high, height, h),
                lambda h: solids.frustum_area(low, high, height, h))


def _vertical(shape: VerticalCylinder) -> list[Part] | Shapeless:
    diameter, height = shape.diameter.si, shape.height.si
    if diameter <= 0 or height <= 0:
        return Shapeless("a cylinder needs a diameter and a height over zero", ("diameter", "height"))
    parts = [_frustum(diameter, diameter, height)]
    ends = ((shape.bottom, shape.bottom_depth, "bottom_depth"), (shape.top, shape.top_depth, "top_depth"))
    fall = shape.floor_fall.si if shape.floor_fall else 0.0
    if fall and (shape.bottom != "flat" or fall >= height):
        return Shapeless("only a flat floor falls to one side, and by less than the height of the shell", ("floor_fall",))
    if fall:
        parts = [floors.sloped_cylinder(diameter, fall), _frustum(diameter, diameter, height - fall)]
    if shape.bottom_diameter and shape.bottom != "conical":
        return Shapeless("only a conical end has a floor of its own", ("bottom_diameter",))
    for end, depth, key in ends:
        if end == "flat":
            continue
        if key == "bottom_depth" and shape.bottom_diameter and depth:
            if shape.bottom_diameter.si > diameter:
                return Shapeless("the floor of its conical end is wider than the tank", ("bottom_diameter",))
            parts.insert(0, _frustum(shape.bottom_diameter.si, diameter, depth.si))
            continue
        made = _standing_end(diameter, end, depth.si if depth else None, shape.dish_radius, shape.knuckle_radius, key)
        if isinstance(made, Shapeless):
            return made
        if key == "bottom_depth":
            parts.insert(0, made)
        else:
            parts.append(upside_down(made))
    return parts


def _end_depth(
    diameter: float, end: str, depth: float | None, dish: float | None, knuckle: float | None, key: str,
) -> float | Shapeless:
    """Depth of an end. [m]"""
    radius = diameter / 2
    if end == "2:1 ellipsoidal":
        return diameter / 4
    if end == "hemispherical":
        return radius
    if end == "conical":
        return depth or Shapeless("the depth of its conical end is not given", (key,))
    if end == "torispherical":
        if dish is None or knuckle is None:
            return Shapeless("dish and knuckle radius of its torispherical end are not given",
                             ("dish_radius", "knuckle_radius"))
        if not (dish > 0.5 and 0 < knuckle <= 0.5 and knuckle < dish):
            return Shapeless("its dish radius must be over half the diameter, its knuckle radius smaller",
                             ("dish_radius", "knuckle_radius"))
        return dished.Torisphere(diameter, dish, knuckle).depth
    if depth:  # shallow dished: a cap of a sphere
        return depth if depth <= radius else Shapeless("a dished end is at most half the diameter deep", (key,))
    if dish is None:
        return Shapeless("neither depth nor dish radius of its dished end is given", (key, "dish_radius"))
    if dish < 0.5:
        return Shapeless("the dish radius is at least half the diameter", ("dish_radius",))
    return dished.cap_depth(diameter, dish * diameter)


def _standing_end(
    diameter: float, end: str, depth: float | None, dish: float | None, knuckle: float | None, key: str,
) -> Part | Shapeless:
    a = _end_depth(diameter, end, depth, dish, knuckle, key)
    if isinstance(a, Shapeless):
        return a
    if end == "conical":
        return Part(a, lambda h: library.V_vertical_conical(diameter, a, h),
                    lambda h: solids.frustum_area(0.0, diameter, a, h))
    if end == "torispherical" and dish is not None and knuckle is not None:
        head = dished.Torisphere(diameter, dish, knuckle)
        return Part(a, lambda h: library.V_vertical_torispherical(diameter, dish, knuckle, h), head.standing_area)
    if end == "2:1 ellipsoidal":
        return Part(a, lambda h: library.V_vertical_ellipsoidal(diameter, a, h),
                    lambda h: math.pi * diameter**2 / 4 * h * (2 * a - h) / a**2)
    sphere = (diameter**2 / 4 + a**2) / a
    return Part(a, lambda h: library.V_vertical_spherical(diameter, a, h), lambda h: solids.cap_area(sphere, h))


def _horizontal(shape: HorizontalCylinder) -> list[Part] | Shapeless:
    diameter, length = shape.diameter.si, shape.length.si
    if diameter <= 0 or length <= 0:
        return Shapeless("a cylinder needs a diameter and a length over zero", ("diameter", "length"))
    volume, area = _lying_ends(shape, diameter)
    if isinstance(volume, Shapeless):
        return volume
    return [Part(diameter, lambda h: length * solids.segment_area(diameter, h) + volume(h),
                 lambda h: length * solids.chord(diameter, h) + area(h))]


def _lying_ends(shape: HorizontalCylinder, diameter: float) -> tuple[Function | Shapeless, Function]:
    """Volume in both ends and surface in both ends, by depth of liquid."""
    if shape.ends == "flat":
        return (lambda _: 0.0), (lambda _: 0.0)
    depth = shape.end_depth.si if shape.end_depth else None
    a = _end_depth(diameter, shape.ends, depth, shape.dish_radius, shape.knuckle_radius, "end_depth")
    if isinstance(a, Shapeless):
        return a, lambda _: 0.0
    if shape.ends == "2:1 ellipsoidal" or shape.ends == "hemispherical":
        return (lambda h: library.V_horiz_ellipsoidal(diameter, 0.0, a, h),
                lambda h: 2 * dished.ellipsoidal_slice(diameter, a, h))
    if shape.ends == "conical":
        return (lambda h: library.V_horiz_conical(diameter, 0.0, a, h),
                lambda h: 2 * dished.cone_slice(diameter, a, h))
    if shape.ends == "torispherical" and shape.dish_radius is not None and shape.knuckle_radius is not None:
        # the library integrates this one for 30 ms a height; our own sum takes a hundredth of that
        head = dished.Torisphere(diameter, shape.dish_radius, shape.knuckle_radius)
        return (lambda h: 2 * head.volume(h)), (lambda h: 2 * head.slice(h))
    return (lambda h: _in_lying_caps(diameter, a, h)), (lambda h: 2 * dished.cap_slice(diameter, a, h))


def _in_lying_caps(diameter: float, depth: float, level: float) -> float:
    """Volume in both dished ends; a hair from bottom and top the library's arccosines leave their range."""
    hair = 1e-9 * diameter
    settled = 0.0 if level < hair else diameter if level > diameter - hair else level
    volume: float = library.V_horiz_spherical(diameter, 0.0, depth, settled)
    return volume


def _basin(shape: RectangularBasin) -> list[Part] | Shapeless:
    length, width, height = shape.length.si, shape.width.si, shape.height.si
    if length <= 0 or width <= 0 or height <= 0:
        return Shapeless("a basin needs a length, a width and a height over zero", ("length", "width", "height"))
    hopper = shape.hopper_depth.si if shape.hopper_depth else 0.0
    if hopper > height:
        return Shapeless("the hopper is deeper than the basin", ("hopper_depth",))
    parts = []
    fall = shape.floor_fall.si if shape.floor_fall else 0.0
    if fall and (hopper or fall >= height):
        return Shapeless("a floor falls to one side only without a hopper, and by less than the height", ("floor_fall",))
    if fall:
        parts.append(floors.sloped_basin(length, width, fall))
    if hopper:
        if shape.hopper_length is None or shape.hopper_width is None:
            return Shapeless("the floor of its hopper is not given", ("hopper_length", "hopper_width"))
        floor, top = (shape.hopper_length.si, shape.hopper_width.si), (length, width)
        parts.append(Part(hopper, lambda h: solids.hopper_volume(floor, top, hopper, h),
                          lambda h: solids.hopper_area(floor, top, hopper, h)))
    if height > hopper + fall:
        parts.append(Part(height - hopper - fall, lambda h: length * width * h, lambda _: length * width))
    return parts
