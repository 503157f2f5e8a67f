"""The equation, inputs and reference behind the volume of each shape, for the record of a tank's capacity."""

from dataclasses import dataclass

from generator.compute.book import given
from generator.model.quantity import Quantity
from generator.model.record import Input
from generator.model.shape import (
    Cone,
    HorizontalCylinder,
    RectangularBasin,
    Shape,
    Sphere,
    StrappingTable,
    VerticalCylinder,
)


@dataclass(frozen=True, slots=True)
class Working:
    """How a volume at depth h is worked out."""

    equation: str
    inputs: tuple[Input, ...]
    reference: str


_HANDBOOK = "geometry, as in any handbook of mathematics"
_JONES = "D. Jones, Calculating Tank Volume"
_SEGMENT = (r"V(h) = L \left( R^2 \arccos\frac{R - h}{R} - (R - h) \sqrt{2 R h - h^2} \right)")
_RADIUS = r", \quad R = \frac{D}{2}"
_LYING_END = {
    "flat": "",
    "2:1 ellipsoidal": r" + \pi a h^2 \left( 1 - \frac{h}{3 R} \right), \quad a = \frac{D}{4}",
    "hemispherical": r" + \pi R h^2 \left( 1 - \frac{h}{3 R} \right)",
    "conical": r" + 2 \int_0^h A_{\text{cone}}(y) dy",
    "torispherical": r" + 2 \int_0^h A_{\text{torisphere}}(y) dy",
    "shallow dished": r" + 2 \int_0^h A_{\text{cap}}(y) dy",
}
_STANDING_END = {
    "2:1 ellipsoidal": r"\frac{\pi D^3}{24}",
    "hemispherical": r"\frac{\pi D^3}{12}",
    "conical": r"\frac{\pi D^2 a}{12}",
    "torispherical": r"V_{\text{torisphere}}",
    "shallow dished": r"\frac{\pi a \left( \frac{3 D^2}{4} + a^2 \right)}{6}",
}


_FRUSTUM = r"\frac{\pi a_b \left( d_b^2 + d_b D + D^2 \right)}{12}"


def working(shape: Shape) -> Working:
    """Equation, inputs and reference of a shape's volume."""
    if isinstance(shape, VerticalCylinder):
        ends = "".join(f" + {_STANDING_END[end]}" for end in (shape.bottom, shape.top) if end != "flat")
        if shape.bottom_diameter:
            ends = ends.replace(_STANDING_END["conical"], _FRUSTUM, 1)
        if shape.floor_fall:
            ends = r" - \frac{\pi D^2}{4} \cdot \frac{f_f}{2}" + ends
        depths = _inputs((shape.bottom_depth, "a_b", "depth of the lower end"),
                         (shape.bottom_diameter, "d_b", "diameter of its floor"),
                         (shape.floor_fall, "f_f", "fall of the floor"),
                         (shape.top_depth, "a_t", "depth of the upper end"))
        sizes = _inputs((shape.diameter, "D", "inside diameter"), (shape.height, "H", "height of the straight shell"))
        return Working(rf"V = \frac{{\pi D^2}}{{4}} H{ends}", sizes + depths + _dish(shape),
                       _JONES if ends else _HANDBOOK)
    if isinstance(shape, HorizontalCylinder):
        sizes = _inputs((shape.diameter, "D", "inside diameter"), (shape.length, "L", "length of the straight shell"),
                        (shape.end_depth, "a", "depth of an end"))
        reference = "Perry's Chemical Engineers' Handbook, partially filled horizontal cylinders (from memory)"
        return Working(_SEGMENT + _LYING_END[shape.ends] + _RADIUS, sizes + _dish(shape),
                       reference if shape.ends == "flat" else f"{reference}; ends: {_JONES}")
    if isinstance(shape, RectangularBasin):
        equation = r"V(h) = L W (h - h_h) + \frac{h_h \left( A_0 + 4 A_m + A_1 \right)}{6}"
        sloped = r"V(h) = L W \left( h - \frac{f_f}{2} \right)" if shape.floor_fall else "V(h) = L W h"
        return Working(equation if shape.hopper_depth else sloped, _inputs(
            (shape.floor_fall, "f_f", "fall of the floor"),
            (shape.length, "L", "inside length"), (shape.width, "W", "inside width"), (shape.height, "H", "height"),
            (shape.hopper_depth, "h_h", "depth of the hopper"),
            (shape.hopper_length, "l_0", "length of the hopper's floor"),
            (shape.hopper_width, "w_0", "width of the hopper's floor")),
            "prismatoid formula, any handbook of mathematics" if shape.hopper_depth else _HANDBOOK)
    if isinstance(shape, Sphere):
        return Working(r"V(h) = \frac{\pi h^2 (3 R - h)}{3}", _inputs((shape.diameter, "D", "inside diameter")),
                       _HANDBOOK)
    if isinstance(shape, Cone):
        return Working(r"V(h) = \frac{\pi h \left( d_1^2 + d_1 d + d^2 \right)}{12}", _inputs(
            (shape.bottom_diameter, "d_1", "diameter at the bottom"),
            (shape.top_diameter, "d_2", "diameter at the top"),
            (shape.height, "H", "height")), _HANDBOOK)
    return _table(shape)


def _table(shape: StrappingTable) -> Working:
    reference = f"calibration certificate {shape.reference}" if shape.reference else "the calibrated table itself"
    return Working(r"V(h) = V_i + \left( V_{i+1} - V_i \right) \frac{h - h_i}{h_{i+1} - h_i}", _inputs(*(
        cell for number, row in enumerate(shape.rows, 1)
        for cell in ((row.height, f"h_{{{number}}}", f"height of row {number}"),
                     (row.volume, f"V_{{{number}}}", f"volume of row {number}")))), reference)


def _inputs(*rows: tuple[Quantity | None, str, str]) -> tuple[Input, ...]:
    return tuple(given(quantity, symbol, name) for quantity, symbol, name in rows if quantity is not None)


def _dish(shape: VerticalCylinder | HorizontalCylinder) -> tuple[Input, ...]:
    rows = ((shape.dish_radius, "f", "dish radius over diameter", "dish_radius"),
            (shape.knuckle_radius, "k", "knuckle radius over diameter", "knuckle_radius"))
    return tuple(Input(symbol, name, value, "", shape.place_of(key)) for value, symbol, name, key in rows if value)
