"""Sloped and benched floors and what stands in a tank: laws, hand-worked volumes, and shapes that cannot be."""

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from generator.compute import floors
from generator.model.record import Absence, Record
from generator.model.results import Vessel
from tests.compute import small

CYLINDER = {"kind": "vertical cylinder", "diameter": "2 m", "height": "4 m"}
BASIN = {"kind": "rectangular basin", "length": "4 m", "width": "2 m", "height": "3 m"}


def vessel(shape: dict[str, Any], **keys: Any) -> Vessel:
    made = small.worked(tanks={"T-1": small.tank(shape, **keys)}).tanks["T-1"].vessel
    assert made is not None
    return made


def coil(volume: str = "100 L", lowest: str = "0.2 m", highest: str = "0.6 m") -> dict[str, Any]:
    return {"coil": {"volume": volume, "lowest": lowest, "highest": highest, "what": "coil"}}


def test_a_basin_with_a_sloped_floor_holds_a_wedge_less() -> None:
    made = vessel(BASIN | {"floor_fall": "0.4 m"})
    assert made.capacity == pytest.approx(4 * 2 * (3 - 0.2))
    assert made.volume_at(0.2) == pytest.approx(2 * 2 * 0.2 / 2)  # half the length is wet
    assert made.area_at(0.2) == pytest.approx(4.0)
    assert made.area_at(1.0) == pytest.approx(8.0)


def test_a_cylinder_with_a_sloped_floor_holds_half_a_slice_less() -> None:
    made = vessel(CYLINDER | {"floor_fall": "0.3 m"})
    assert made.capacity == pytest.approx(math.pi * (4 - 0.15))
    assert made.volume_at(2.0) == pytest.approx(math.pi * (2 - 0.15))


@given(st.floats(0.01, 0.299))
def test_sloped_cylinder_agrees_with_its_integral(depth: float) -> None:
    volume, _ = integrate.quad(lambda z: floors.sloped_cylinder_area(2.0, 0.3, z), 0.0, depth, limit=200)
    assert floors.sloped_cylinder_volume(2.0, 0.3, depth) == pytest.approx(volume, rel=1e-6, abs=1e-9)


def test_what_stands_in_a_tank_is_taken_off_over_its_height() -> None:
    bare, made = vessel(CYLINDER), vessel(CYLINDER, displaces=coil())
    assert bare.capacity - made.capacity == pytest.approx(0.1)
    assert bare.volume_at(0.1) == pytest.approx(made.volume_at(0.1))
    assert bare.volume_at(0.4) - made.volume_at(0.4) == pytest.approx(0.05)
    assert made.area_at(0.4) == pytest.approx(math.pi - 0.1 / 0.4)
    assert made.area_at(1.0) == pytest.approx(math.pi)
    assert made.shell_at is not None and made.shell_at(0.4) == pytest.approx(math.pi)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.0, 4.0))
def test_level_from_volume_is_exact_to_a_hundredth_of_a_millimetre(level: float) -> None:
    for made in MADE:
        assert made.level_at(made.volume_at(level)) == pytest.approx(min(level, made.top), abs=1e-5)


MADE = (vessel(CYLINDER, displaces=coil()), vessel(CYLINDER | {"floor_fall": "0.3 m"}),
        vessel(CYLINDER | {"bottom": "conical", "bottom_depth": "0.3 m", "bottom_diameter": "0.8 m"}))


@pytest.mark.parametrize(("displaces", "why"), [
    (coil(volume="2 m3"), "leaves no room for liquid"),
    (coil(lowest="0.6 m", highest="0.6 m"), "reaches from"),
    (coil(highest="4.5 m"), "does not stand between"),
], ids=["too big", "no height", "out of the tank"])
def test_bodies_that_cannot_be_leave_the_volume_open(displaces: dict[str, Any], why: str) -> None:
    found = small.worked(tanks={"T-1": small.tank(CYLINDER, displaces=displaces)}).tanks["T-1"]
    assert found.vessel is None
    assert isinstance(found.capacity, Absence)
    assert why in found.capacity.why
    assert found.capacity.missing == ("tanks/T-1/displaces",)


@pytest.mark.parametrize("shape", [
    CYLINDER | {"floor_fall": "4 m"}, CYLINDER | {"floor_fall": "0.2 m", "bottom": "hemispherical"},
    CYLINDER | {"bottom_diameter": "1 m"}, BASIN | {"floor_fall": "3 m"},
    CYLINDER | {"bottom": "conical", "bottom_depth": "0.3 m", "bottom_diameter": "3 m"},
], ids=["as high as the shell", "under a head", "no cone", "as high as the walls", "wider than the tank"])
def test_floors_that_cannot_be_leave_the_volume_open(shape: dict[str, Any]) -> None:
    found = small.worked(tanks={"T-1": small.tank(shape)}).tanks["T-1"]
    assert found.vessel is None
    assert isinstance(found.capacity, Absence)


def test_the_volume_table_stands_at_the_step_of_the_site() -> None:
    found = small.worked(tanks={"T-1": small.tank(CYLINDER, defaults={"volume_step": "25 mm"})}).tanks["T-1"]
    heights = [row[0] for row in found.volume_table]
    assert len(heights) == 161
    assert heights[:3] == [0.0, 0.025, 0.05]
    coarse = small.worked(tanks={"T-1": small.tank(CYLINDER, defaults={"volume_step": "1 mm"})}).tanks["T-1"]
    assert len(coarse.volume_table) < 50  # too many rows for a table: a round step instead


def test_a_strapping_table_that_falls_is_refused() -> None:
    rows = [{"height": f"{height} m", "volume": f"{volume} m3"} for height, volume in ((0, 0), (1, 5), (2, 4))]
    found = small.worked(tanks={"T-1": small.tank({"kind": "strapping table", "rows": rows})}).tanks["T-1"]
    assert isinstance(found.capacity, Absence)


def test_each_figure_of_a_strapping_table_feeds_the_capacity() -> None:
    rows = [{"height": f"{height} m", "volume": f"{5 * height} m3"} for height in range(4)]
    found = small.worked(tanks={"T-1": small.tank({"kind": "strapping table", "rows": rows})}).tanks["T-1"].capacity
    assert isinstance(found, Record)
    assert len(found.inputs) == 8
