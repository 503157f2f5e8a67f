"""Vessels against numerical integration with scipy, which knows nothing of the formulas; and the laws of any vessel."""

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter
from scipy import integrate, interpolate, optimize

from generator.compute import dished, geometry
from generator.compute.geometry import Shapeless
from generator.compute.tanks import volume_table
from generator.model.results import Vessel
from generator.model.shape import Shape

D, F, K, A = 2.0, 0.9, 0.12, 0.45
R = D / 2
LEVEL_ERROR = 1e-5
"""0.01 mm. [m]"""


def made(shape: dict[str, Any], bottom: float = 0.0) -> Vessel | Shapeless:
    return geometry.vessel(TypeAdapter[Shape](Shape).validate_python(shape), bottom)


def vessel(shape: dict[str, Any], bottom: float = 0.0) -> Vessel:
    found = made(shape, bottom)
    assert isinstance(found, Vessel)
    return found


@pytest.mark.parametrize(("function", "whole"), [
    # over -1 .. 1, by hand: the length, nothing, two thirds, and half a circle
    (lambda x: 1.0, 2.0), (lambda x: x, 0.0), (lambda x: x * x, 2 / 3), (lambda x: math.sqrt(1 - x * x), math.pi / 2)])
def test_the_rule_of_summation_for_dished_ends(function: Callable[[float], float], whole: float) -> None:
    rule = dished._rule(step=0.25, count=12)
    assert sum(weight * function(node) for node, weight in rule) == pytest.approx(whole, abs=1e-9)
    assert len(rule) == 25


# ---- what each end is, said a second time: its radius at a distance from its tip

def on_ellipsoid(depth: float) -> Callable[[float], float]:
    return lambda z: R * math.sqrt(max(0.0, 1 - ((depth - z) / depth) ** 2))


def on_cap(depth: float) -> Callable[[float], float]:
    sphere = optimize.brentq(lambda r: r - math.sqrt(max(0.0, r * r - R * R)) - depth, R, 1e3)
    return lambda z: math.sqrt(max(0.0, sphere**2 - (sphere - z) ** 2))


def on_torisphere(z: float) -> float:
    """Dish and knuckle as two circles that touch: the touching point is found from their centres."""
    knuckle = (R - K * D, 0.0)
    dish_centre = math.sqrt((F * D - K * D) ** 2 - knuckle[0] ** 2)  # height over the tangent plane
    depth = F * D - dish_centre
    touch = -K * D * dish_centre / (F * D - K * D)  # below the tangent plane
    height = z - depth
    if height <= touch:
        return math.sqrt(max(0.0, (F * D) ** 2 - (height - dish_centre) ** 2))
    return knuckle[0] + math.sqrt(max(0.0, (K * D) ** 2 - height**2))


TORISPHERE_DEPTH = F * D - math.sqrt((F * D - K * D) ** 2 - (R - K * D) ** 2)
CAP_DEPTH = F * D - math.sqrt((F * D) ** 2 - R * R)
ENDS: dict[str, tuple[dict[str, str], float, Callable[[float], float]]] = {
    "2:1 ellipsoidal": ({}, D / 4, on_ellipsoid(D / 4)),
    "hemispherical": ({}, R, on_ellipsoid(R)),
    "conical": ({"depth": f"{A} m"}, A, lambda z: R * z / A),
    "torispherical": ({"dish_radius": str(F), "knuckle_radius": str(K)}, TORISPHERE_DEPTH, on_torisphere),
    "shallow dished": ({"dish_radius": str(F)}, CAP_DEPTH, on_cap(CAP_DEPTH)),
}


def keys(end: str, depth_key: str) -> dict[str, str]:
    return {depth_key if key == "depth" else key: value for key, value in ENDS[end][0].items()}


def standing(end: str, height: float) -> float:
    radius = ENDS[end][2]
    return float(integrate.quad(lambda z: math.pi * radius(z) ** 2, 0, height, epsabs=1e-12, limit=400)[0])


def lying(end: str, height: float) -> float:
    """One end of a lying cylinder: upright discs, each filled to the same plane."""
    _, depth, radius = ENDS[end]

    def wetted(z: float) -> float:
        r, offset = radius(z), height - R
        if r <= abs(offset):
            return math.pi * r * r if offset > 0 else 0.0
        return r * r * (math.pi / 2 + math.asin(offset / r)) + offset * math.sqrt(r * r - offset * offset)

    start = optimize.brentq(lambda z: radius(z) - abs(height - R), 0, depth) if 0 < abs(height - R) < R else 0.0
    return float(sum(integrate.quad(wetted, low, high, epsabs=1e-12, limit=400)[0]
                     for low, high in ((0, start), (start, depth)) if high > low))


@pytest.mark.parametrize("end", ENDS)
@pytest.mark.parametrize("share", [0.03, 0.2, 0.5, 0.61, 0.97, 1.0])
def test_end_of_a_lying_cylinder(end: str, share: float) -> None:
    height = share * D
    shell = {"kind": "horizontal cylinder", "diameter": f"{D} m", "length": "3 m"}
    body, plain = vessel(shell | {"ends": end, **keys(end, "end_depth")}), vessel(shell)
    assert body.volume_at(height) - plain.volume_at(height) == pytest.approx(2 * lying(end, height), abs=1e-8)


@pytest.mark.parametrize("end", ENDS)
@pytest.mark.parametrize("share", [0.03, 0.2, 0.5, 0.61, 0.97, 1.0])
def test_end_of_a_standing_cylinder(end: str, share: float) -> None:
    depth = ENDS[end][1]
    shape = {"kind": "vertical cylinder", "diameter": f"{D} m", "height": "3 m"}
    lower = vessel(shape | {"bottom": end, **keys(end, "bottom_depth")})
    upper = vessel(shape | {"top": end, **keys(end, "top_depth")})
    assert lower.top == pytest.approx(3 + depth, abs=1e-9)
    assert lower.volume_at(share * depth) == pytest.approx(standing(end, share * depth), abs=1e-8)
    shell = math.pi * R * R * 3
    assert lower.area_at(share * depth * 0.999) == pytest.approx(math.pi * ENDS[end][2](share * depth * 0.999) ** 2, rel=1e-9)
    assert upper.area_at(3 + (1 - share) * depth) == pytest.approx(math.pi * ENDS[end][2](share * depth) ** 2, rel=1e-9)
    assert lower.volume_at(depth + 1.3) == pytest.approx(standing(end, depth) + math.pi * R * R * 1.3, abs=1e-8)
    above = standing(end, depth) - standing(end, (1 - share) * depth)
    assert upper.volume_at(3 + share * depth) == pytest.approx(shell + above, abs=1e-8)


@pytest.mark.parametrize(("shape", "area"), [
    ({"kind": "horizontal cylinder", "diameter": "2 m", "length": "5 m"},
     lambda h: 10 * math.sqrt(max(0.0, 1 - (h - 1) ** 2))),
    ({"kind": "sphere", "diameter": "2 m"}, lambda h: math.pi * (1 - (h - 1) ** 2)),
    ({"kind": "cone", "bottom_diameter": "0.5 m", "top_diameter": "2 m", "height": "3 m"},
     lambda h: math.pi * (0.25 + h / 4) ** 2),
    ({"kind": "rectangular basin", "length": "4 m", "width": "3 m", "height": "5 m", "hopper_depth": "2 m",
      "hopper_length": "1 m", "hopper_width": "0.2 m"},
     lambda h: (1 + 1.5 * min(h, 2)) * (0.2 + 1.4 * min(h, 2))),
    ({"kind": "rectangular basin", "length": "4 m", "width": "3 m", "height": "5 m", "hopper_depth": "1 m",
      "hopper_length": "4 m", "hopper_width": "0 m"}, lambda h: 4 * 3 * min(h, 1)),
], ids=lambda value: value["kind"] if isinstance(value, dict) else "")
def test_simple_shape_is_the_integral_of_its_surface(shape: dict[str, str], area: Callable[[float], float]) -> None:
    found = vessel(shape)
    for share in (0.0, 0.1, 0.37, 0.5, 0.83, 1.0):
        height = share * found.top
        inner = [point for point in (1.0, 2.0) if point < height] or None
        assert found.volume_at(height) == pytest.approx(
            integrate.quad(area, 0, height, points=inner, epsabs=1e-12, limit=200)[0], abs=1e-8)
        assert found.area_at(height) == pytest.approx(area(height), abs=1e-9)


def test_strapping_table_reads_straight_lines() -> None:
    rows = [(0.1, 0.5), (1.0, 4.0), (2.5, 7.0)]
    table = vessel({"kind": "strapping table", "rows": [{"height": f"{h} m", "volume": f"{v} m3"} for h, v in rows]})
    line = interpolate.interp1d(*zip(*rows, strict=True))
    for height in (0.1, 0.4, 1.0, 1.7, 2.5):
        assert table.volume_at(height) == pytest.approx(float(line(height)))
        assert table.level_at(float(line(height))) == pytest.approx(height)
    assert (table.bottom, table.top, table.capacity) == (0.1, 2.5, 7.0)
    assert table.volume_at(0.0) == 0.5
    assert table.volume_at(9.0) == 7.0


@pytest.mark.parametrize("shape", [
    {"kind": "sphere", "diameter": "0 m"},
    {"kind": "vertical cylinder", "diameter": "2 m", "height": "3 m", "bottom": "conical"},
    {"kind": "vertical cylinder", "diameter": "2 m", "height": "3 m", "top": "torispherical"},
    {"kind": "vertical cylinder", "diameter": "2 m", "height": "3 m", "top": "torispherical", "dish_radius": "0.4",
     "knuckle_radius": "0.1"},
    {"kind": "horizontal cylinder", "diameter": "2 m", "length": "3 m", "ends": "shallow dished"},
    {"kind": "horizontal cylinder", "diameter": "2 m", "length": "3 m", "ends": "shallow dished", "end_depth": "1.2 m"},
    {"kind": "rectangular basin", "length": "2 m", "width": "3 m", "height": "1 m", "hopper_depth": "2 m",
     "hopper_length": "1 m", "hopper_width": "1 m"},
    {"kind": "rectangular basin", "length": "2 m", "width": "3 m", "height": "1 m", "hopper_depth": "0.5 m"},
    {"kind": "cone", "bottom_diameter": "1 m", "top_diameter": "0 m", "height": "1 m"},
    {"kind": "strapping table", "rows": [{"height": "1 m", "volume": "1 m3"}, {"height": "1 m", "volume": "2 m3"}]},
])
def test_what_makes_no_vessel_says_which_keys_would(shape: dict[str, Any]) -> None:
    found = made(shape)
    assert isinstance(found, Shapeless)
    assert found.why
    assert found.missing


# ---- laws

METRES = st.floats(0.2, 30.0).map(lambda size: f"{size:.3f} m")
END = st.sampled_from(["flat", *ENDS])


@st.composite
def shapes(draw: st.DrawFn) -> dict[str, Any]:
    diameter = draw(st.floats(0.3, 12.0))
    dish, knuckle = draw(st.floats(0.6, 1.5)), draw(st.floats(0.02, 0.4))
    end_keys = {"dish_radius": f"{dish:.3f}", "knuckle_radius": f"{knuckle:.3f}"}
    depth = f"{diameter * draw(st.floats(0.05, 0.49)):.4f} m"
    kind = draw(st.sampled_from(["vertical cylinder", "horizontal cylinder", "rectangular basin", "sphere", "cone"]))
    if kind == "vertical cylinder":
        return {"kind": kind, "diameter": f"{diameter} m", "height": draw(METRES), "bottom": draw(END),
                "top": draw(END), "bottom_depth": depth, "top_depth": depth, **end_keys}
    if kind == "horizontal cylinder":
        return {"kind": kind, "diameter": f"{diameter} m", "length": draw(METRES), "ends": draw(END),
                "end_depth": depth, **end_keys}
    if kind == "rectangular basin":
        return {"kind": kind, "length": draw(METRES), "width": draw(METRES), "height": f"{diameter} m",
                "hopper_depth": depth, "hopper_length": draw(METRES), "hopper_width": draw(METRES)}
    if kind == "sphere":
        return {"kind": kind, "diameter": f"{diameter} m"}
    return {"kind": kind, "bottom_diameter": draw(st.sampled_from(["0 m", "0.1 m"])), "top_diameter": f"{diameter} m",
            "height": draw(METRES)}


CAPPED = {"kind": "horizontal cylinder", "diameter": "6.3 m", "length": "15.864 m", "ends": "shallow dished",
          "end_depth": "2.9577 m"}


@settings(max_examples=60, deadline=None)
@example(CAPPED, 0.0, [1e-16, 0.9999999999999999])
@given(shapes(), st.floats(-3, 3), st.lists(st.floats(0, 1), min_size=2, max_size=5))
def test_laws_of_a_vessel(shape: dict[str, Any], bottom: float, shares: list[float]) -> None:
    found = vessel(shape, bottom)
    span = found.top - found.bottom
    assert found.bottom == bottom
    assert found.volume_at(found.bottom) == pytest.approx(0, abs=1e-9)
    assert found.volume_at(found.top) == pytest.approx(found.capacity)
    heights = sorted(found.bottom + share * span for share in shares)
    volumes = [found.volume_at(height) for height in heights]
    for (low, below), (high, above) in pairwise(zip(heights, volumes, strict=True)):
        assert above >= below - 1e-9
        if high - low > 1e-3:
            assert above > below
    for height, volume in zip(heights, volumes, strict=True):
        if found.area_at(height) * LEVEL_ERROR > 1e-12 * found.capacity:  # at a tip no volume tells heights apart
            assert found.level_at(volume) == pytest.approx(height, abs=LEVEL_ERROR)
    assert found.level_at(-1.0) == found.bottom
    assert found.level_at(found.capacity * 2) == found.top


@settings(max_examples=30, deadline=None)
@given(shapes(), st.floats(0.02, 0.98))
def test_surface_is_the_slope_of_the_volume(shape: dict[str, Any], share: float) -> None:
    found = vessel(shape)
    height, step = share * found.top, 1e-5 * found.top
    low, high = found.area_at(height - step), found.area_at(height + step)
    slope = (found.volume_at(height + step) - found.volume_at(height - step)) / (2 * step)
    assert min(low, high) * (1 - 1e-3) - 1e-6 <= slope <= max(low, high) * (1 + 1e-3) + 1e-6


@settings(max_examples=30, deadline=None)
@given(shapes(), st.floats(-3, 3))
def test_volume_table_is_short_even_and_whole(shape: dict[str, Any], bottom: float) -> None:
    found = vessel(shape, bottom)
    table = volume_table(found)
    heights = [row[0] for row in table]
    assert heights == sorted(set(heights))
    assert (heights[0], heights[-1]) == (found.bottom, found.top)
    assert 9 <= len(table) <= 28
    assert table[-1][1] == pytest.approx(found.capacity)


@pytest.mark.parametrize("field", ["length", "width", "height"])
def test_a_basin_without_an_extent_has_no_volume(field: str) -> None:
    found = made({"kind": "rectangular basin", "length": "4 m", "width": "3 m", "height": "5 m"} | {field: "0 m"})
    assert isinstance(found, Shapeless)
