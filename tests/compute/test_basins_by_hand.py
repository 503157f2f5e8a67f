"""One tank between two events, and vessels made of parts or tables: volumes, levels and times worked by hand. No other source.

The upright tank is 2 m across and 4 m high, pi m2 of surface; the cone of 2 m by 2 m has a surface of pi h^2 / 4 at a depth h.
"""

import math
from typing import Any

import pytest

from generator.compute import stacking
from generator.compute.course_basins import CURVE, Basin
from generator.compute.stacking import Part
from generator.model.results import Vessel
from tests.compute import small

PI = math.pi
BAND = {"overflow": "3.5 m", "normal_low": "1 m", "normal_high": "2 m"}
CONE = {"kind": "cone", "bottom_diameter": "0 m", "top_diameter": "2 m", "height": "2 m"}


def basin(level: float, shape: dict[str, Any] = small.UPRIGHT, **keys: Any) -> Basin:
    made = small.tank(shape, **({"levels": BAND} | keys))
    plant, results = small.plant(tanks={"T-1": made}), small.worked(tanks={"T-1": made})
    vessel = results.tanks["T-1"].vessel
    assert vessel is not None
    return Basin(plant, results.tanks["T-1"], vessel, level)


@pytest.mark.parametrize(("level", "begins", "volume", "is_empty"), [
    (1.5, 1.5, 1.5 * PI, False), (-1.0, 0.0, 0.0, True), (9.0, 4.0, 4 * PI, False), (0.0, 0.0, 0.0, True),
    (1e-7, 1e-7, 1e-7 * PI, True), (3e-7, 3e-7, 3e-7 * PI, False)])
def test_a_level_is_kept_within_the_vessel(level: float, begins: float, volume: float, is_empty: bool) -> None:
    made = basin(level)
    assert (made.level, made.is_empty) == (begins, is_empty)
    assert made.volume == pytest.approx(volume, abs=1e-12)


@pytest.mark.parametrize(("level", "net", "carries", "holds", "spills"), [
    (3.4, 0.01, None, 0.01, 0.0), (3.5, 0.01, None, 0.0, 0.01), (3.6, 0.01, None, 0.0, 0.01),
    (3.5, 0.01, "18 m3/h", 0.005, 0.005), (3.5, 0.004, "18 m3/h", 0.0, 0.004), (3.5, 0.005, "18 m3/h", 0.0, 0.005),
    (3.6, -0.01, None, -0.01, 0.0), (3.6, 0.0, None, 0.0, 0.0), (3.5 - 0.5e-7, 0.01, None, 0.0, 0.01),
    (4.0, 0.01, "18 m3/h", 0.0, 0.005),  # full: what the overflow does not carry leaves elsewhere
    (4.0, -0.01, None, -0.01, 0.0), (0.0, -0.01, None, 0.0, 0.0), (0.0, 0.01, None, 0.01, 0.0), (0.001, -0.01, None, -0.01, 0.0),
    (4.0 - 0.5e-7, 0.01, "18 m3/h", 0.0, 0.005), (4.0 - 2e-7, 0.01, "18 m3/h", 0.005, 0.005),
])
def test_what_a_tank_holds_gives_and_spills(level: float, net: float, carries: str | None, holds: float, spills: float) -> None:
    made = basin(level, **({"overflow": {"to": "drain", "carries": carries}} if carries else {}))
    assert made.limited(net) == (pytest.approx(holds), pytest.approx(spills))


def test_a_tank_without_an_overflow_fills_to_its_top() -> None:
    made = basin(3.9, levels={"normal_low": "1 m"})
    assert made.overflow is None and made.limited(0.01) == (0.01, 0.0)
    made.level = 4.0
    assert made.limited(0.01) == (0.0, 0.0)


@pytest.mark.parametrize(("level", "net", "points", "height"), [
    (1.5, 0.01, (), 2.0), (1.5, -0.01, (), 1.0), (1.5, 0.01, (1.7,), 1.7), (1.5, -0.01, (1.7, 1.2), 1.2),
    (1.5, 0.01, (1.5,), 2.0), (1.5, -0.01, (1.5,), 1.0),  # where it stands already nothing changes
    (2.0, 0.01, (), 3.5), (3.5, 0.01, (), 4.0), (4.0, 0.01, (), None), (1.0, -0.01, (), 0.0), (0.0, -0.01, (), None),
    (1.5, 0.0, (1.7,), None), (1.5, 1e-12, (1.7,), None), (1.5, -1e-12, (1.2,), None), (1.5, 2e-12, (1.7,), 1.7),
    (3.9, 0.01, (4.2,), 4.0), (0.1, -0.01, (-0.2,), 0.0),  # beyond the vessel no level comes
])
def test_the_next_height_at_which_something_changes(
    level: float, net: float, points: tuple[float, ...], height: float | None,
) -> None:
    assert basin(level).next_height(net, points) == height


def test_when_the_level_arrives() -> None:
    """From 1.5 m to 2 m at pi/1000 m3/s: 0.5 pi / (pi / 1000) = 500 s; down to 1 m the same."""
    made = basin(1.5)
    assert made.arrival(100.0, PI / 1000, 2.0) == pytest.approx(600.0)
    assert made.arrival(100.0, -PI / 1000, 1.0) == pytest.approx(600.0)


def test_a_level_moves_by_flow_or_to_a_height() -> None:
    made = basin(1.5)
    made.look(0.0, PI / 1000)
    made.move(0.0, 200.0, PI / 1000, None)
    assert (made.level, made.volume) == (pytest.approx(1.7), pytest.approx(1.7 * PI))
    made.move(200.0, 300.0, PI / 1000, None)
    assert made.level == pytest.approx(1.8)
    made.move(300.0, 500.0, PI / 1000, 2.0)
    assert (made.level, made.volume) == (2.0, pytest.approx(2 * PI))
    made.move(500.0, 600.0, 0.0, None)
    assert made.level == 2.0
    assert made.points == [(0.0, 1.5)]  # a straight way needs no points
    assert [(one.start, one.flow) for one in made.stretches] == [(0.0, PI / 1000)]


def test_the_curve_of_a_cone_has_its_points_on_the_way() -> None:
    """V = pi h^3 / 12; after a share s of the way from empty to full the depth is 2 s^(1/3)."""
    made = basin(0.0, CONE, levels={"overflow": "2 m"})
    full = PI * 8 / 12
    made.move(50.0, 150.0, full / 100, 2.0)
    assert [time for time, _ in made.points] == [pytest.approx(50 + 100 * step / CURVE) for step in range(1, CURVE)]
    by_hand = [2 * (step / CURVE) ** (1 / 3) for step in range(1, CURVE)]
    assert [level for _, level in made.points] == [pytest.approx(level, abs=1e-6) for level in by_hand]
    made.points.clear()
    made.move(150.0, 250.0, 0.0, None)
    assert made.points == []  # it stands


@pytest.mark.parametrize(("shape", "low", "high", "is_straight"), [
    (small.UPRIGHT, 0.5, 3.0, True), (CONE, 0.5, 0.6, False), (CONE, 1.0, 1.0, True),
    # a lying cylinder is as wide a quarter from the bottom as a quarter from the top, and wider between
    ({"kind": "horizontal cylinder", "diameter": "2 m", "length": "5 m"}, 0.5, 1.5, False),
    (small.UPRIGHT | {"bottom": "conical", "bottom_depth": "1 m"}, 0.9, 3.0, False),
    (small.UPRIGHT | {"bottom": "conical", "bottom_depth": "1 m"}, 1.1, 3.0, True),
])
def test_where_the_way_is_straight(shape: dict[str, Any], low: float, high: float, is_straight: bool) -> None:
    made = basin(low, shape, levels={})
    made.move(0.0, 10.0, 0.01, high)
    assert (made.points == []) is is_straight


# ---- stacks and tables -----------------------------------------------------------------------------------------------


def strapped() -> Vessel:
    """1 m to 2 m: 2 m2; 2 m to 4 m: 3 m2."""
    return stacking.strapped((1.0, 2.0, 4.0), (0.5, 2.5, 8.5))


@pytest.mark.parametrize(("level", "volume", "area"), [
    (1.0, 0.5, 2.0), (1.5, 1.5, 2.0), (2.0, 2.5, 3.0), (3.0, 5.5, 3.0), (4.0, 8.5, 3.0), (1.999, 2.498, 2.0)])
def test_a_table_of_two_stretches(level: float, volume: float, area: float) -> None:
    made = strapped()
    assert made.volume_at(level) == pytest.approx(volume)
    assert made.area_at(level) == pytest.approx(area)
    assert made.level_at(volume) == pytest.approx(level)
    assert (made.bottom, made.top, made.capacity) == (1.0, 4.0, 8.5)


def prism(area: float, height: float) -> Part:
    return Part(height, lambda h: area * h, lambda _: area)


CUP = Part(2.0, lambda h: PI * h**3 / 12, lambda h: PI * h**2 / 4)
"""A cone on its tip, 2 m across at 2 m."""


@pytest.mark.parametrize(("level", "volume", "area"), [
    (10.0, 0.0, 2.0), (10.5, 1.0, 2.0), (11.0, 2.0, 5.0), (12.0, 7.0, 5.0), (13.0, 12.0, 1.0), (14.0, 13.0, 1.0)])
def test_three_prisms_on_each_other(level: float, volume: float, area: float) -> None:
    made = stacking.stacked([prism(2.0, 1.0), prism(5.0, 2.0), prism(1.0, 1.0)], 10.0)
    assert made.volume_at(level) == pytest.approx(volume)
    assert made.area_at(level) == area
    assert made.level_at(volume) == pytest.approx(level, abs=1e-8)
    assert (made.bottom, made.top, made.capacity) == (10.0, 14.0, 13.0)


def test_beyond_its_ends_a_stack_is_empty_or_full() -> None:
    made = stacking.stacked([CUP, prism(PI, 1.0)], 1.0)
    full = PI * 8 / 12 + PI
    assert [made.volume_at(level) for level in (0.0, 1.0, 4.0, 9.0)] == [0.0, 0.0, pytest.approx(full), pytest.approx(full)]
    assert [made.level_at(volume) for volume in (-1.0, 0.0, full, full + 1)] == [1.0, 1.0, 4.0, 4.0]
    assert made.level_at(PI / 12) == pytest.approx(2.0, abs=1e-8)  # h = 1 in the cone


def test_a_part_turned_over() -> None:
    """Of a cone on its base the first metre holds what the second holds on its tip: pi (8 - 1) / 12."""
    made = stacking.upside_down(CUP)
    assert made.height == 2.0
    assert [made.volume(h) for h in (0.0, 1.0, 2.0)] == [0.0, pytest.approx(7 * PI / 12), pytest.approx(8 * PI / 12)]
    assert [made.area(h) for h in (0.0, 1.0, 2.0)] == [pytest.approx(PI), pytest.approx(PI / 4), 0.0]


@pytest.mark.parametrize("part", [prism(3.0, 2.0), CUP, stacking.upside_down(CUP),
                                  # as wide at both ends, yet no prism: 1 + (h - 1)^2
                                  Part(2.0, lambda h: h + ((h - 1) ** 3 + 1) / 3, lambda h: 1 + (h - 1) ** 2)])
def test_level_from_volume_undoes_volume_from_level(part: Part) -> None:
    made = stacking.stacked([part], 0.5)
    for depth in (0.001, 0.3, 1.0, 1.3, 1.999):
        assert made.level_at(made.volume_at(0.5 + depth)) == pytest.approx(0.5 + depth, abs=1e-8)


def test_what_is_read_at_a_joint_is_the_part_above_it() -> None:
    made = stacking.stacked([prism(2.0, 1.0), Part(1.0, lambda h: 4 * h, lambda _: 4.0), CUP], 0.0)
    assert [made.area_at(level) for level in (1.0, 2.0)] == [4.0, 0.0]
    assert made.level_at(2.0) == pytest.approx(1.0, abs=1e-9) and made.level_at(6.0) == pytest.approx(2.0, abs=2e-3)
    assert made.level_at(6.0 + PI * 8 / 12) == 4.0


def test_a_prism_is_read_without_a_search() -> None:
    """Of one upright part the level is the volume over the surface, however wide: 0.1 of 3 m2."""
    asked = []
    part = Part(2.0, lambda h: asked.append(h) or 3.0 * h, lambda _: 3.0)  # type: ignore[func-returns-value]
    made = stacking.stacked([part], 1.0)
    asked.clear()
    assert made.level_at(0.3) == 1.1 and asked == []
    for other in (CUP, Part(2.0, lambda h: h + ((h - 1) ** 3 + 1) / 3, lambda h: 1 + (h - 1) ** 2)):
        assert stacking.stacked([other], 0.0).level_at(0.3) != pytest.approx(0.3 / max(other.area(0.0), 1.0), abs=1e-3)


def test_a_depth_is_found_within_few_steps() -> None:
    """The search takes Newton's steps; halving alone would take some thirty of them for a nanometre."""
    asked = []
    depth = stacking.depth_of(0.5, 2.0, lambda h: asked.append(h) or h**3 / 2, lambda h: 1.5 * h**2)  # type: ignore[func-returns-value]
    assert depth == pytest.approx(1.0, abs=1e-9) and len(asked) <= 8
    # a surface of nothing at the bottom: the first step would leave the bracket
    assert stacking.depth_of(1e-9, 2.0, lambda h: h**3, lambda h: 3 * h**2) == pytest.approx(1e-3, abs=1e-9)
    assert stacking.depth_of(0.4, 1.0, lambda h: max(0.0, h - 0.5), lambda h: float(h > 0.5)) == pytest.approx(0.9, abs=1e-9)
