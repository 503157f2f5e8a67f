"""Shapes that no vessel can have."""

import math
from collections.abc import Callable, Iterator
from typing import Any

from generator.model import shape
from generator.model.definition import Definition
from generator.model.place import Place
from generator.model.quantity import Quantity, split

Fault = tuple[Place, str, str, str, str]
"""Place, key, what must stand, what stands, cure."""


def not_zero(block: Definition, *keys: str) -> Iterator[Fault]:
    """Name each quantity that is nothing where it must be something."""
    for key in keys:
        value: Quantity | None = getattr(block, key)
        if value is not None and value.si <= 0:
            yield value.place, key, f"{_words(key)} must be more than nothing", f"`{value.written}` stands", ""


def rising(block: Definition, low: str, high: str, equal: bool = False) -> Iterator[Fault]:
    """Name a pair of quantities that stands upside down."""
    lower: Quantity | None = getattr(block, low)
    upper: Quantity | None = getattr(block, high)
    if lower is None or upper is None or lower.si < upper.si or (equal and lower.si == upper.si):
        return
    must = f"{_words(high)} must {'not be less than' if equal else 'be more than'} {_words(low)}"
    yield (
        upper.place,
        high,
        must,
        f"`{upper.written}` stands, and `{lower.written}` for {_words(low)}",
        "exchange the two" if split(upper.written)[0] and split(lower.written)[0] else "",  # nothing is meant to be that
    )


def _words(key: str) -> str:
    return f"`{key}`"


def _at_most(block: Definition, key: str, most: str, why: str) -> Iterator[Fault]:
    value: Quantity | None = getattr(block, key)
    limit: Quantity = getattr(block, most)
    if value is not None and value.si > limit.si:
        yield value.place, key, why, f"`{value.written}` stands, and `{limit.written}` for `{most}`", ""


def _flat(block: Definition, key: str, is_flat: bool, stands: str) -> Iterator[Fault]:
    """The fall of a floor belongs to a flat one: a cone or a hopper falls by its own depth."""
    if not is_flat:
        yield block.place_of(key), key, f"`{key}` belongs to a flat floor", stands, "take it out"


def _end(block: Any, kind: str, depth: str) -> Iterator[Fault]:
    """The depth of a conical or a shallow dished end: given only for one, more than nothing, and said in one way."""
    given, end = getattr(block, depth), getattr(block, kind)
    if given is not None and end == "shallow dished" and block.dish_radius is not None:
        yield (block.place_of(depth), depth, "a dished end has a depth or a dish radius, from which the depth follows",
               "both stand", "take one of them out")
    if given is not None and end not in ("conical", "shallow dished"):
        yield (
            block.place_of(depth),
            depth,
            f"`{depth}` belongs to a conical or shallow dished end",
            f"`{kind}` is {getattr(block, kind)}",
            f"take it out, or write `{kind}: conical`",
        )
    yield from not_zero(block, depth)


def _dish(block: Any, *kinds: str) -> Iterator[Fault]:
    """Dish and knuckle radius over the diameter: a dish is wider than the half of the vessel, a knuckle narrower."""
    for key, lowest, highest, must in (
        ("dish_radius", 0.5, math.inf, "a dish radius is more than half of the diameter"),
        ("knuckle_radius", 0.0, 0.5, "a knuckle radius is less than half of the diameter, and more than nothing"),
    ):
        share = getattr(block, key)
        if share is None:
            continue
        ends = ("torispherical",) if key == "knuckle_radius" else ("torispherical", "shallow dished")
        if not any(getattr(block, kind) in ends for kind in kinds):
            yield (block.place_of(key), key, f"`{key}` belongs to a {' or '.join(ends)} end", "no end is one",
                   "take it out, or correct the end")
        elif not lowest < share < highest:
            yield block.place_of(key), key, must, f"{share:g} stands", "divide the radius by the inside diameter"


def _vertical_cylinder(block: shape.VerticalCylinder) -> Iterator[Fault]:
    yield from not_zero(block, "diameter", "height")
    yield from _end(block, "bottom", "bottom_depth")
    yield from _end(block, "top", "top_depth")
    yield from _dish(block, "bottom", "top")
    if block.floor_fall is not None:
        yield from _flat(block, "floor_fall", block.bottom == "flat", "the bottom of this tank is " + block.bottom)
        yield from _at_most(block, "floor_fall", "height", "a floor must not fall by more than the height of the shell")
    if block.bottom_diameter is not None:
        yield from _at_most(block, "bottom_diameter", "diameter", "a floor must not be wider than its tank")


def _horizontal_cylinder(block: shape.HorizontalCylinder) -> Iterator[Fault]:
    yield from not_zero(block, "diameter", "length")
    yield from _end(block, "ends", "end_depth")
    yield from _dish(block, "ends")


def _basin(block: shape.RectangularBasin) -> Iterator[Fault]:
    yield from not_zero(block, "length", "width", "height", "hopper_depth")
    yield from _at_most(block, "hopper_depth", "height", "a hopper must not be deeper than its basin")
    yield from _at_most(block, "hopper_length", "length", "a hopper must not be longer than its basin")
    yield from _at_most(block, "hopper_width", "width", "a hopper must not be wider than its basin")
    if block.floor_fall is not None:
        yield from _flat(block, "floor_fall", block.hopper_depth is None, "this basin has a hopper or benching")
    yield from _at_most(block, "floor_fall", "height", "a floor must not fall by more than the height of the walls")
    if block.hopper_depth is None:
        for key in ("hopper_length", "hopper_width"):
            if getattr(block, key) is not None:
                yield (block.place_of(key), key, "a hopper must have a depth", "`hopper_depth` is not given",
                       "write `hopper_depth:`")


def _sphere(block: shape.Sphere) -> Iterator[Fault]:
    yield from not_zero(block, "diameter")


def _cone(block: shape.Cone) -> Iterator[Fault]:
    yield from not_zero(block, "top_diameter", "height")
    yield from _at_most(block, "bottom_diameter", "top_diameter", "a cone stands narrow end down")


def _strapping_table(block: shape.StrappingTable) -> Iterator[Fault]:
    for before, row in zip(block.rows, block.rows[1:], strict=False):
        for key in ("height", "volume"):
            lower, upper = getattr(before, key), getattr(row, key)
            if upper.si <= lower.si:
                yield (upper.place, f"rows.{key}", f"the {key} must rise from row to row",
                       f"`{upper.written}` follows `{lower.written}`", "")


SHAPES: dict[type[Any], Callable[[Any], Iterator[Fault]]] = {
    shape.VerticalCylinder: _vertical_cylinder, shape.HorizontalCylinder: _horizontal_cylinder,
    shape.RectangularBasin: _basin, shape.Sphere: _sphere, shape.Cone: _cone, shape.StrappingTable: _strapping_table,
}
