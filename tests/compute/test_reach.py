"""Where a point can be set and how far apart it acts and lets go: by hand from nozzle, arm and range."""

import math
from typing import Any

import pytest

from generator.compute.book import Book
from generator.compute.reach import differential, reachable
from generator.model.record import Absence, Record
from tests.compute import small

NOZZLES = {"W": {"height": "2 m"}, "R": {"height": "4 m", "on": "roof"}}
LEVER = {"technology": "side lever float", "nozzle": "W"}


def made(body: dict[str, Any], **switch: Any) -> Any:
    return small.plant(tanks={"T-1": small.tank(nozzles=NOZZLES)}, instruments={"LX-1": small.body(**body)},
                       switches={"X": small.switch("rising", issued="2 m", **switch)})


@pytest.mark.parametrize(("body", "low", "high"), [
    ({"reach": {"lowest": "0.5 m", "highest": "3 m"}, **LEVER}, 0.5, 3.0),  # what is stated goes first
    ({"range": {"lower": "0 m", "upper": "3.8 m"}, "signal": "4-20 mA"}, 0.0, 3.8),
    ({"range": {"lower": "3.8 m", "upper": "0.2 m"}, "signal": "4-20 mA"}, 0.2, 3.8),  # 20 mA at the bottom
    ({"technology": "vibrating fork", "nozzle": "W"}, 2.0, 2.0), (LEVER, 2.0, 2.0),
    # arm of 0.4 m: 30 deg up is 0.2 m, 10 deg down 0.4 sin 10 = 0.0695 m; a float of 0.1 m swims half out at most
    (LEVER | {"geometry": {"arm": "0.4 m", "angle_up": "30 deg", "angle_down": "10 deg"}}, 2 - 0.4 * math.sin(math.pi / 18), 2.2),
    (LEVER | {"geometry": {"arm": "0.4 m", "angle_up": "30 deg", "angle_down": "30 deg", "float_diameter": "0.1 m"}}, 1.75, 2.25),
    (LEVER | {"geometry": {"arm": "0.4 m"}}, 1.6, 2.4),  # no angle is stated: a quarter turn at most
    ({"technology": "vibrating fork", "nozzle": "W", "geometry": {"arm": "0.4 m"}}, 2.0, 2.0),  # a fork has no arm
])
def test_heights_at_which_a_point_can_be_set(body: dict[str, Any], low: float, high: float) -> None:
    found = reachable(made(body), "X")
    assert found is not None
    assert (found.low, found.high) == (pytest.approx(low), pytest.approx(high))


@pytest.mark.parametrize("body", [
    {}, {"technology": "vibrating fork"}, {"technology": "vibrating fork", "nozzle": "R"},
    {"technology": "guide tube float", "nozzle": "W"}, {"technology": "vibrating fork", "nozzle": "NONE"},
])
def test_where_neither_reach_nor_nozzle_decides(body: dict[str, Any]) -> None:
    assert reachable(made(body), "X") is None


ARM = {"geometry": {"arm": "0.3 m", "angle_up": "20 deg", "angle_down": "20 deg"}}
TETHER = {"geometry": {"tether": "0.2 m", "angle_up": "30 deg", "angle_down": "45 deg"}}


@pytest.mark.parametrize(("body", "switch", "value"), [
    ({"differential": "50 mm"}, {}, 0.05), ({"differential": "50 mm"}, {"differential": "30 mm"}, 0.03),
    (LEVER | ARM, {}, 0.20521), ({"technology": "top lever float"} | ARM, {}, 0.20521),  # 0.6 sin 20
    (LEVER | ARM | {"differential": "50 mm"}, {}, 0.05),
    ({"technology": "cable float"} | TETHER, {}, 0.24142),
    ({"technology": "tilt float"} | TETHER, {}, 0.24142),  # 0.1 + 0.2 / sqrt 2
])
def test_differential_as_stated_or_from_the_swing(body: dict[str, Any], switch: dict[str, Any], value: float) -> None:
    found = differential(made(body, **switch), "X", Book())
    assert isinstance(found, Record)
    assert found.value == pytest.approx(value, abs=1e-5)


@pytest.mark.parametrize("body", [
    {}, {"technology": "guide tube float"} | ARM, {"technology": "cable float"} | ARM, LEVER | TETHER,
    *(LEVER | {"geometry": {key: value for key, value in ARM["geometry"].items() if key != left}} for left in ARM["geometry"]),
])
def test_a_differential_that_nothing_gives_is_an_absence(body: dict[str, Any]) -> None:
    found = differential(made(body), "X", Book())
    assert isinstance(found, Absence)
    assert found.missing == ("switches/X/differential", "instruments/LX-1/differential")
