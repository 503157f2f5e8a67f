"""The equation, inputs and reference behind the volume of each shape, for the record of a tank's capacity."""

from collections.abc import Iterable

from msgspec import Struct

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


class Working(Struct, frozen=True):
    """How a volume at depth h is worked out."""

    equation: str
    inputs: tuple[Input, ...]
    reference: str


_HANDBOOK = "geometry, as in any handbook of mathematics"
_JONES = "D. Jones, Calculating Tank Volume"
_PERRY = "Perry's Chemical Engineers' Handbook, partially filled horizontal cylinders (from memory)"
_SEGMENT = r"L \left( R^2 \arccos\frac{R - @}{R} - (R - @) \sqrt{2 R @ - @^2} \right)"
_HALF = r"R = \frac{D}{2}"
_CHORD = r"c = \sqrt{2 R y - y^2}"
_LYING_END: dict[str, tuple[str, tuple[str, ...]]] = {
    "flat": ("", ()),
    "2:1 ellipsoidal": (r"\pi a @^2 \left( 1 - \frac{@}{3 R} \right)", (r"a = \frac{D}{4}",)),
    "hemispherical": (r"\pi R @^2 \left( 1 - \frac{@}{3 R} \right)", ()),
    "conical": (r"4 \int_0^{@} \int_0^{c} a \left( 1 - \frac{\sqrt{x^2 + (R - y)^2}}{R} \right) dx dy", (_CHORD,)),
    "torispherical": (r"4 \int_0^{@} \int_0^{c} b \left( \sqrt{x^2 + (R - y)^2} \right) dx dy", (
        _CHORD, r"b(r) = \begin{cases} \sqrt{(f D)^2 - r^2} - s & r \le r_1 \\ \sqrt{(k D)^2 - (r - R + k D)^2} & r > r_1 "
        r"\end{cases}", r"s = \sqrt{(f D - k D)^2 - (R - k D)^2}", r"r_1 = \frac{f (R - k D)}{f - k}")),
    "shallow dished": (r"4 \int_0^{@} \int_0^{c} \left( \sqrt{r_s^2 - x^2 - (R - y)^2} - r_s + a \right) dx dy", (
        _CHORD, r"r_s = \frac{R^2 + a^2}{2 a}")),
}
"""Both ends of a lying cylinder up to a depth @, and what the symbols mean; b is how far an end bulges at a radius."""


def _end(kind: str, depth: str, a: str, floor: bool, given_depth: bool) -> tuple[str, tuple[str, ...]]:
    """Volume of a standing end up to a depth from its tip, and what the symbols mean."""
    if kind in ("2:1 ellipsoidal", "hemispherical"):
        means = r"\frac{D}{4}" if kind == "2:1 ellipsoidal" else r"\frac{D}{2}"
        return rf"\frac{{\pi R^2 {depth}^2}}{{{a}^2}} \left( {a} - \frac{{{depth}}}{{3}} \right)", (f"{a} = {means}", _HALF)
    if kind == "conical":
        if floor:
            return (rf"\frac{{\pi {depth} \left( d_b^2 + d_b d_h + d_h^2 \right)}}{{12}}",
                    (rf"d_h = d_b + (D - d_b) \frac{{{depth}}}{{{a}}}",))
        return rf"\frac{{\pi R^2 {depth}^3}}{{3 {a}^2}}", (_HALF,)
    if kind == "torispherical":
        knuckle = rf"\left( R - k D + \sqrt{{(k D)^2 - ({a} - y)^2}} \right)^2"
        return (rf"\pi d_1^2 \left( f D - \frac{{d_1}}{{3}} \right) + \int_{{d_1}}^{{{depth}}} \pi {knuckle} dy".replace(
            "d_1", f"d_{{1{a[-1]}}}"),
            (rf"d_{{1{a[-1]}}} = \min\left( {depth}, a_1 \right)", r"a_1 = f D (1 - \cos\alpha)",
             rf"{a} = f D - (f - k) D \cos\alpha", r"\alpha = \arcsin\frac{1 - 2 k}{2 (f - k)}", _HALF))
    means_of_depth = () if given_depth else (rf"{a} = f D - \sqrt{{(f D)^2 - R^2}}", _HALF)
    return (rf"\pi {depth}^2 \left( \frac{{R^2 + {a}^2}}{{2 {a}}} - \frac{{{depth}}}{{3}} \right)", (*means_of_depth, _HALF))


def _standing(shape: VerticalCylinder) -> tuple[str, tuple[str, ...]]:
    """Volume of a standing cylinder up to a depth @, with its ends filled from below."""
    area = r"\frac{\pi D^2}{4}"
    below = above = ""
    means: list[str] = []
    if shape.floor_fall is not None:
        over = r"\max\left( @ - f_f, 0 \right)"
        below = r"\frac{f_f}{D} \left( x A + \frac{2}{3} \left( R^2 - x^2 \right)^{\frac{3}{2}} \right)"
        means += [r"A = R^2 \arccos\left( - \frac{x}{R} \right) + x \sqrt{R^2 - x^2}",
                  r"x = \frac{D \min\left( @, f_f \right)}{f_f} - R", _HALF]
    elif shape.bottom != "flat":
        over = r"\max\left( @ - a_b, 0 \right)"
        part, meaning = _end(shape.bottom, "h_b", "a_b", shape.bottom_diameter is not None, shape.bottom_depth is not None)
        below = part
        means += [r"h_b = \min\left( @, a_b \right)", *meaning]
    else:
        over = "@"
    if shape.top != "flat":
        foot = "H + f_f" if shape.floor_fall is not None else "H + a_b" if shape.bottom != "flat" else "H"
        foot = "H" if shape.floor_fall is not None else foot
        over = rf"\min\left( {over}, H \right)" if shape.floor_fall is None else over.replace("@", r"\min\left( @, H \right)")
        full, _ = _end(shape.top, "a_t", "a_t", False, shape.top_depth is not None)
        empty, meaning = _end(shape.top, "e_t", "a_t", False, shape.top_depth is not None)
        if shape.top == "torispherical":
            full, kept = full.replace("d_{1t}", "a_1"), [one for one in meaning if not one.startswith("d_")]
            meaning = (r"d_{1t} = \min\left( e_t, a_1 \right)", *kept)
        above = "V_f - V_e"
        means += [f"V_f = {full}", f"V_e = {empty}"]
        means += [rf"e_t = a_t - \max\left( @ - \left( {foot} \right), 0 \right)", *meaning]
    named = [("V_b", below), ("V_s", f"{area} {over}"), ("V_t", above)]
    stated = [(name, part) for name, part in named if part]
    if len(stated) == 1:
        return stated[0][1], tuple(means)
    return " + ".join(name for name, _ in stated), (*(f"{name} = {part}" for name, part in stated), *means)


def working(shape: Shape, bottom: bool = False) -> Working:
    """Equation, inputs and reference of a shape's volume up to a height; `bottom` where its foot is not the datum."""
    made = _working(shape)
    depth = "z" if bottom else "h"
    text = made.equation.replace("@", depth) + (r", \quad z = h - h_{\text{bottom}}" if bottom and "@" in made.equation else "")
    return Working(text, made.inputs, made.reference)


def _joined(equation: str, means: Iterable[str]) -> str:
    return r", \quad ".join((f"V(h) = {equation}", *dict.fromkeys(means)))


def _working(shape: Shape) -> Working:
    if isinstance(shape, VerticalCylinder):
        depths = _inputs((shape.bottom_depth, "a_b", "depth of the lower end"),
                         (shape.bottom_diameter, "d_b", "diameter of its floor"),
                         (shape.floor_fall, "f_f", "fall of the floor"),
                         (shape.top_depth, "a_t", "depth of the upper end"))
        sizes = _inputs((shape.diameter, "D", "inside diameter"), (shape.height, "H", "height of the straight shell"))
        plain = shape.bottom == shape.top == "flat"
        return Working(_joined(*_standing(shape)), sizes + depths + _dish(shape), _HANDBOOK if plain else _JONES)
    if isinstance(shape, HorizontalCylinder):
        sizes = _inputs((shape.diameter, "D", "inside diameter"), (shape.length, "L", "length of the straight shell"),
                        (shape.end_depth, "a", "depth of an end"))
        ends, means = _LYING_END[shape.ends]
        if shape.ends == "shallow dished" and shape.end_depth is None:
            means = (*means, r"a = f D - \sqrt{(f D)^2 - R^2}")
        if ends:
            means, whole = (f"V_s = {_SEGMENT}", f"V_e = {ends}", *means), "V_s + V_e"
        else:
            whole = _SEGMENT
        return Working(_joined(whole, (*means, _HALF)), sizes + _dish(shape),
                       _PERRY if shape.ends == "flat" else f"{_PERRY}; ends: {_JONES}")
    if isinstance(shape, RectangularBasin):
        return _basin(shape)
    if isinstance(shape, Sphere):
        return Working(_joined(r"\frac{\pi @^2 (3 R - @)}{3}", (_HALF,)), _inputs((shape.diameter, "D", "inside diameter")),
                       _HANDBOOK)
    if isinstance(shape, Cone):
        equation = _joined(r"\frac{\pi @ \left( d_1^2 + d_1 d_h + d_h^2 \right)}{12}",
                           (r"d_h = d_1 + (d_2 - d_1) \frac{@}{H}",))
        return Working(equation, _inputs(
            (shape.bottom_diameter, "d_1", "diameter at the bottom"),
            (shape.top_diameter, "d_2", "diameter at the top"),
            (shape.height, "H", "height")), _HANDBOOK)
    return _table(shape)


def _basin(shape: RectangularBasin) -> Working:
    inputs = _inputs(
        (shape.floor_fall, "f_f", "fall of the floor"),
        (shape.length, "L", "inside length"), (shape.width, "W", "inside width"), (shape.height, "H", "height"),
        (shape.hopper_depth, "h_h", "depth of the hopper"),
        (shape.hopper_length, "l_0", "length of the hopper's floor"),
        (shape.hopper_width, "w_0", "width of the hopper's floor"))
    if shape.hopper_depth is not None:
        return Working(_joined("V_s + V_b", (
            r"V_s = L W \max\left( @ - h_h, 0 \right)",
            r"V_b = \frac{h_u}{6} \left( l_0 w_0 + (l_0 + l_u) (w_0 + w_u) + l_u w_u \right)",
            r"h_u = \min\left( @, h_h \right)", r"l_u = l_0 + (L - l_0) \frac{h_u}{h_h}",
             r"w_u = w_0 + (W - w_0) \frac{h_u}{h_h}")), inputs, "prismatoid formula, any handbook of mathematics")
    if shape.floor_fall is not None:
        return Working(_joined(r"L W \max\left( @ - f_f, 0 \right) + \frac{L W h_u^2}{2 f_f}",
                               (r"h_u = \min\left( @, f_f \right)",)), inputs, _HANDBOOK)
    return Working("V(h) = L W @", inputs, _HANDBOOK)


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
