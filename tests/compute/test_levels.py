"""Levels in order, and the times between them."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.model.record import Absence, Record, value_of
from tests.compute import small

STREAMS = {"in": small.stream("outside", "T-1", "36 m3/h"), "out": small.stream("T-1", "outside", "18 m3/h")}


def test_levels_stand_highest_first_with_their_kinds() -> None:
    tank = small.tank(levels={"overflow": "3.5 m", "rim": "3.9 m", "normal_low": "1 m", "normal_high": "2 m"},
                      marks={"coil": {"height": "0.5 m", "what": "heating coil"}})
    levels = small.worked(tanks={"T-1": tank}, pumps={"P-1": small.pump()}, switches={
        "LSH": small.switch("rising", issued="3 m", role="trip", service="high level")}).tanks["T-1"].levels
    assert [(level.key, level.kind) for level in levels] == [
        ("top", "vessel"), ("rim", "vessel"), ("overflow", "vessel"), ("LSH", "trip"), ("normal_high", "process"),
        ("normal_low", "process"), ("P-1 lowest level", "process"), ("coil", "process"), ("bottom", "vessel")]
    point = levels[3]
    assert (point.name, point.direction) == ("high level", "rising")
    assert point.band is not None
    assert (point.band.low, point.band.high) == pytest.approx((2.985, 3.015))


def test_time_runs_from_the_late_edge_to_the_early_edge() -> None:
    results = small.worked(streams=STREAMS, switches={
        "A": small.switch("rising", issued="1 m"), "B": small.switch("falling", issued="2 m")})
    interval = next(one for one in results.tanks["T-1"].intervals if (one.lower, one.upper) == ("A", "B"))
    volume = math.pi * (1.985 - 1.015)
    assert value_of(interval.rising) == pytest.approx(volume / 0.01)
    assert value_of(interval.falling) == pytest.approx(volume / 0.005)
    assert isinstance(interval.rising_normal, Absence)


def test_no_time_between_bands_that_overlap() -> None:
    results = small.worked(streams=STREAMS, switches={
        "A": small.switch("rising", issued="1 m"), "B": small.switch("rising", issued="1.02 m")})
    interval = next(one for one in results.tanks["T-1"].intervals if (one.lower, one.upper) == ("A", "B"))
    assert isinstance(interval.rising, Record)
    assert interval.rising.value == 0
    assert "overlap" in interval.rising.note


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(1, 3999), min_size=1, max_size=6, unique=True))
def test_times_of_sharp_levels_add_up(heights: list[int]) -> None:
    marks = {f"m{number}": {"height": f"{height} mm", "what": "mark"} for number, height in enumerate(heights)}
    lying = {"kind": "horizontal cylinder", "diameter": "4 m", "length": "3 m", "ends": "torispherical",
             "dish_radius": "1", "knuckle_radius": "0.1"}
    tank = small.worked(tanks={"T-1": small.tank(lying, levels={}, marks=marks)}, streams=STREAMS).tanks["T-1"]
    assert len(tank.intervals) == len(heights) + 1
    capacity = value_of(tank.capacity)
    assert capacity is not None
    assert sum(value_of(one.rising) or 0.0 for one in tank.intervals) == pytest.approx(capacity / 0.01)
    assert sum(value_of(one.falling) or 0.0 for one in tank.intervals) == pytest.approx(capacity / 0.005)


def test_ceiling_is_the_lowest_of_all_openings() -> None:
    def ceiling(**levels: str) -> float | None:
        return value_of(small.worked(tanks={"T-1": small.tank(levels=levels)}).tanks["T-1"].ceiling)

    assert ceiling() == pytest.approx(4.0)
    assert ceiling(rim="3.8 m") == pytest.approx(3.8)
    assert ceiling(overflow="3.5 m", rim="3.8 m", lowest_opening="3.3 m") == pytest.approx(3.3)
    assert ceiling(rim="4.2 m") == pytest.approx(4.0)


def test_working_and_dead_volume() -> None:
    bare = small.worked().tanks["T-1"]
    assert isinstance(bare.working_volume, Absence)
    assert isinstance(bare.dead_volume, Absence)
    tank = small.tank(levels={"normal_low": "1 m", "normal_high": "2.5 m"})
    full = small.worked(tanks={"T-1": tank}, pumps={"P-1": small.pump()}).tanks["T-1"]
    assert value_of(full.working_volume) == pytest.approx(1.5 * math.pi)
    assert value_of(full.dead_volume) == pytest.approx(0.2 * math.pi)
    assert value_of(full.capacity) == pytest.approx(4 * math.pi)


def test_a_tank_without_a_vessel_still_has_its_levels() -> None:
    shape = {"kind": "vertical cylinder", "diameter": "2 m", "height": "4 m", "bottom": "conical"}
    levels = {"overflow": "3 m", "rim": "4 m"}
    tank = small.worked(tanks={"T-1": small.tank(shape, levels=levels)}, streams=STREAMS).tanks["T-1"]
    assert tank.vessel is None
    assert [level.key for level in tank.levels] == ["rim", "overflow"]
    assert isinstance(tank.capacity, Absence)
    assert tank.capacity.missing == ("tanks/T-1/shape/bottom_depth",)
    assert value_of(tank.ceiling) == 3.0
    assert isinstance(tank.intervals[0].rising, Absence)
