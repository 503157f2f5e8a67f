"""Room of a tank and the time until suction is lost, against the volume of a cylinder (pi d^2 / 4) by hand."""

import math
from typing import Any

import pytest

from generator.model.record import Absence, Record
from generator.model.results import Results
from tests.compute import small

AREA = math.pi * 2.0**2 / 4  # an upright cylinder of 2 m, m2


def worked(levels: dict[str, str], **nouns: Any) -> Results:
    return small.worked(tanks={"T-1": small.tank(levels={"overflow": "3.5 m"} | levels)}, **nouns)


def value(results: Results, name: str) -> float:
    found = next(one for one in results.rooms["T-1"] if one.name.startswith(name)).outcome
    assert isinstance(found, Record), found
    return found.value


def test_room_ends_where_the_nearest_alarm_and_trip_can_act_first() -> None:
    """Errors of 10 mm own and 5 mm common: a point at 2.5 m can act from 2.485 m."""
    results = worked({"normal_low": "1 m", "normal_high": "2 m"}, switches={
        "X": small.switch("rising", issued="2.5 m"), "Y": small.switch("rising", issued="2.8 m"),
        "Z": small.switch("rising", issued="3.0 m", role="trip")})
    assert value(results, "Room to the high alarm") == pytest.approx(0.485 * AREA)
    assert value(results, "Room to the high trip") == pytest.approx(0.985 * AREA)
    assert value(results, "Room to the ceiling") == pytest.approx(1.5 * AREA)


def test_points_of_a_falling_level_and_points_within_the_band_end_no_room() -> None:
    results = worked({"normal_low": "1 m", "normal_high": "2 m"}, switches={
        "X": small.switch("falling", issued="2.5 m"), "Y": small.switch("rising", issued="1.5 m")})
    assert [one.name for one in results.rooms["T-1"]] == ["Room to the ceiling"]


def test_time_until_suction_is_lost() -> None:
    """From 1 m to the lowest level of the pump, at its 36 m3/h while nothing enters."""
    results = worked({"normal_low": "1 m", "normal_high": "2 m"}, pumps={"P": small.pump()},
                     streams={"out": small.stream("T-1", "outside", "36 m3/h", moved_by="P")})
    lowest = results.pumps["P"].lowest_level
    assert isinstance(lowest, Record) and 0.2 < lowest.value < 1.0
    assert value(results, "Until suction") == pytest.approx((1.0 - lowest.value) * AREA / 0.01)


def test_without_a_normal_band_it_says_what_is_missing() -> None:
    found = worked({}).rooms["T-1"][-1].outcome
    assert isinstance(found, Absence) and found.missing == ("tanks/T-1/levels/normal_high",)


def test_no_pump_no_suction() -> None:
    assert not any("suction" in one.name for one in worked({"normal_low": "1 m"}).rooms["T-1"])
