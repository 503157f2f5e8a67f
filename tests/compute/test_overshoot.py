"""How far the level goes past a point until it has acted, by hand: an upright tank of 2 m diameter, 36 m3/h in, 18 m3/h out.

10 L/s over pi m2 are 3.183 mm a second on the way up, 1.592 mm on the way down. A cone is asked a second way, by steps of time.
"""

from typing import Any

import pytest

from generator.model.record import Absence, Record
from generator.model.results import SetpointResult
from tests.compute import small
from tests.compute.redone import redone
from tests.compute.test_needs import AREA, STREAMS

UP, DOWN = 0.010 / AREA, 0.005 / AREA
CONE = {"kind": "cone", "bottom_diameter": "0 m", "top_diameter": "2 m", "height": "2 m"}


def point(acts: str, response: str = "", streams: Any = STREAMS, shape: Any = small.UPRIGHT, **keys: Any) -> SetpointResult:
    body = small.body(response_time=response) if response else small.body()
    return small.worked(
        tanks={"T-1": small.tank(shape)}, streams=streams, instruments={"LX-1": body},
        switches={"X": small.switch(acts, issued=keys.pop("issued", "2 m"), **keys)}).setpoints["X"]


def value(found: Any) -> float:
    assert isinstance(found, Record), found
    return found.value


@pytest.mark.parametrize(("acts", "rate"), [("rising", UP), ("falling", DOWN)])
def test_response_and_delay_at_the_worst_rate(acts: str, rate: float) -> None:
    found = point(acts, "4 s", on_delay="60 s")
    assert value(found.overshoot) == pytest.approx(64 * rate)
    assert value(found.overshoot_within_body) == pytest.approx(60 * rate)
    assert value(point(acts, "4 s").overshoot) == pytest.approx(4 * rate)
    assert value(point(acts, on_delay="60 s").overshoot_within_body) == pytest.approx(60 * rate)


def test_nothing_passes_where_nothing_is_recorded() -> None:
    found = point("rising")
    assert found.overshoot is None
    assert found.overshoot_within_body is None
    assert point("rising", "4 s").overshoot_within_body is None
    assert isinstance(point("rising", "4 s", {}).overshoot, Absence)


def test_a_level_that_does_not_move_this_way_goes_nowhere() -> None:
    only_out = {"out": STREAMS["out"], "in": small.stream("outside", "T-1", "0 m3/h")}
    assert value(point("rising", "4 s", only_out).overshoot) == 0.0


def test_in_a_cone_by_steps_of_time() -> None:
    """From 0.5 m up at 10 L/s for two minutes, where the surface is pi (h / 2)^2."""
    found = point("rising", on_delay="120 s", shape=CONE, issued="0.485 m")
    level = 0.5
    for _ in range(120_000):
        level += 0.010 * 1e-3 / (AREA * (level / 2) ** 2)
    assert value(found.overshoot) == pytest.approx(level - 0.5, abs=1e-4)


@pytest.mark.parametrize("acts", ["rising", "falling"])
def test_its_record_can_be_done_again(acts: str) -> None:
    results = small.worked(streams=STREAMS, instruments={"LX-1": small.body(response_time="4 s")},
                           switches={"X": small.switch(acts, issued="2 m", on_delay="60 s")})
    for key in ("#X/overshoot", "#X/overshoot-within-body"):
        record = results.records[key]
        assert isinstance(record, Record)
        vessel = results.tanks["T-1"].vessel
        assert redone(record, vessel) == pytest.approx(record.value)
