"""Required, proposed, reachable and standing heights, bands, readings, order and circles."""

import math
from typing import Any

import pytest

from generator.compute.setpoints import ordered
from generator.model.record import Absence, Record, value_of
from generator.model.results import Band, SetpointResult
from tests.compute import small

STREAMS = {"in": small.stream("outside", "T-1", "36 m3/h"), "out": small.stream("T-1", "outside", "18 m3/h")}
STEP = {"defaults": {"accuracy": {"own": "10 mm", "common": "5 mm"}, "setpoint_step": "10 mm"}}


def point(acts: str, *needs: dict[str, Any], **nouns: Any) -> SetpointResult:
    keys = nouns.pop("keys", {})
    nouns.setdefault("streams", STREAMS)
    return small.worked(switches={"X": small.switch(acts, *needs, **keys)}, **nouns).setpoints["X"]


def height(outcome: Record | Absence) -> float:
    assert isinstance(outcome, Record)
    return outcome.value


def test_rounding_goes_to_the_side_that_keeps_the_need() -> None:
    down = point("rising", {"before": "overflow", "time": "5 min"}, plant=STEP)
    assert height(down.required) == pytest.approx(3.5 - 3 / math.pi - 0.015)
    assert height(down.proposed) == pytest.approx(2.53)
    up = point("falling", {"before": "bottom", "time": "5 min"}, plant=STEP)
    assert height(up.required) == pytest.approx(0.4925, abs=1e-4)
    assert height(up.proposed) == pytest.approx(0.50)
    lifted = point("rising", {"above": "bottom", "by": "81 mm"}, plant=STEP)
    assert height(lifted.proposed) == pytest.approx(0.10)
    assert all(need.slack is not None and need.slack >= 0 for found in (down, up, lifted) for need in found.needs)


def test_a_height_on_the_step_is_not_moved() -> None:
    assert height(point("rising", {"below": "overflow", "by": "85 mm"}, plant=STEP).proposed) == pytest.approx(3.40)


def test_the_binding_need_decides_and_the_least_slack_is_named() -> None:
    found = point("rising", {"before": "overflow", "time": "5 min"}, {"below": "overflow", "by": "2 m"},
                  {"above": "bottom", "by": "1 m"}, plant=STEP)
    assert height(found.required) == pytest.approx(1.485)
    assert found.stands == pytest.approx(1.48)
    assert [need.tightest for need in found.needs] == [False, True, False]


def test_an_issued_height_stands_and_a_shortfall_is_negative() -> None:
    found = point("rising", {"before": "overflow", "time": "5 min"}, keys={"issued": "3.0 m"})
    assert (found.stands, found.issued, found.is_proposed) == (3.0, 3.0, False)
    assert found.needs[0].slack == pytest.approx(3.5 - 3 / math.pi - 0.015 - 3.0)
    assert found.needs[0].slack < 0  # type: ignore[operator]


def test_a_missing_need_makes_no_proposal() -> None:
    found = point("rising", {"before": "overflow", "time": "5 min"}, {"below": "rim"})
    assert isinstance(found.required, Absence)
    assert found.required.missing == ("tanks/T-1/levels/rim",)
    assert found.stands is None
    assert found.act is None
    assert isinstance(found.elevation, Absence)
    assert isinstance(point("rising").required, Absence)


@pytest.mark.parametrize(("acts", "delay", "act", "reset"), [
    ("rising", None, (1.955, 2.015), (1.885, 1.945)), ("rising", "5 s", (1.955, 2.045), (1.885, 1.945)),
    ("falling", None, (1.985, 2.045), (2.055, 2.115)), ("falling", "5 s", (1.955, 2.045), (2.055, 2.115)),
])
def test_bands(acts: str, delay: str | None, act: tuple[float, float], reset: tuple[float, float]) -> None:
    keys = {"issued": "2 m", "differential": "100 mm"} | ({"on_delay": delay} if delay else {})
    found = point(acts, keys=keys, tanks={"T-1": small.tank(waves={"peak_to_peak": "60 mm"})})
    assert found.act is not None
    assert found.reset is not None
    assert (found.act.low, found.act.high) == pytest.approx(act)
    # letting go: 100 mm on, moved early by the wave on the way back
    low, high = (1.885, 1.945) if acts == "rising" else (2.055, 2.115)
    assert reset == (low, high)
    assert (found.reset.low, found.reset.high) == pytest.approx(reset)


@pytest.mark.parametrize(("waits", "nouns"), [
    (True, {"interlocks": {"when": {"held": "3 s", "of": "X"}}}), (False, {"interlocks": {"when": {"held": "0 s", "of": "X"}}}),
    (True, {"interlocks": {"when": {"any_of": ["Y", {"held": "3 s", "of": {"all_of": ["X", "Y"]}}]}}}),
    (False, {"interlocks": {"when": {"any_of": ["X", {"held": "3 s", "of": "Y"}]}}}),
    (True, {"interlocks": {"when": "X", "on_delay": "2 s"}}),
    (True, {"alarms": {"on_delay": "2 s"}}), (False, {"alarms": {"off_delay": "2 s"}}),
])
def test_whatever_wants_the_contact_to_last_lets_a_trough_hold_it_up(waits: bool, nouns: dict[str, Any]) -> None:
    made: dict[str, Any] = {"switches": {"X": small.switch("rising", issued="2 m"), "Y": small.switch("rising", issued="3 m")}}
    if "interlocks" in nouns:
        lock = {"area": "A", "service": "trip", "kind": "trip", "then": {"V": "closed"}}
        made["interlocks"] = {"I": lock | nouns["interlocks"]}
        made["valves"] = {"V": {"area": "A", "service": "inlet", "kind": "on-off"}}
    else:
        made["alarms"] = {"LA": {"from": "X", "text": "HIGH", "priority": "high", "means": "m", "first": "f"} | nouns["alarms"]}
    found = small.worked(tanks={"T-1": small.tank(waves={"peak_to_peak": "60 mm"})}, **made).setpoints["X"]
    assert found.act is not None
    assert found.act.high == pytest.approx(2.015 + (0.030 if waits else 0.0))


def test_readings() -> None:
    found = point("rising", keys={"issued": "1.5 m"}, instruments={"LX-1": small.body(
        technology="hydrostatic", signal="4-20 mA", range={"lower": "0.5 m", "upper": "2.5 m"})})
    assert height(found.elevation) == pytest.approx(101.5)
    assert height(found.volume) == pytest.approx(1.5 * math.pi)
    assert height(found.percent_of_height) == pytest.approx(0.375)
    assert height(found.percent_of_volume) == pytest.approx(0.375)
    assert value_of(found.percent_of_range) == pytest.approx(0.5)
    assert value_of(found.current) == pytest.approx(0.012)
    plain = point("rising", keys={"issued": "1.5 m"})
    assert plain.percent_of_range is None
    assert plain.current is None


def test_datum_elsewhere_than_the_inside_bottom() -> None:
    found = point("rising", keys={"issued": "0.5 m"},
                  tanks={"T-1": small.tank(datum={"elevation": "100 m", "inside_bottom": "-1 m"})})
    assert height(found.volume) == pytest.approx(1.5 * math.pi)
    assert height(found.percent_of_height) == pytest.approx(0.375)
    assert height(found.elevation) == pytest.approx(100.5)


@pytest.mark.parametrize(("keys", "reach"), [
    ({}, None),
    ({"reach": {"lowest": "0.5 m", "highest": "3 m"}}, Band(0.5, 3.0)),
    ({"technology": "vibrating fork", "nozzle": "N1"}, Band(1.5, 1.5)),
    ({"technology": "side lever float", "nozzle": "N1", "geometry": {"arm": "0.2 m", "angle_up": "30 deg",
                                                                     "angle_down": "90 deg"}}, Band(1.3, 1.6)),
    # by hand: 0.2 m x sin 30 deg = 0.1 m either way, and half of the float of 60 mm
    ({"technology": "side lever float", "nozzle": "N1", "geometry": {"arm": "0.2 m", "angle_up": "30 deg", "angle_down": "30 deg",
                                                                     "float_diameter": "60 mm"}}, Band(1.37, 1.63)),
    # no angle is recorded: the arm may swing upright both ways
    ({"technology": "side lever float", "nozzle": "N1", "geometry": {"arm": "0.2 m"}}, Band(1.3, 1.7)),
    # a range that runs downwards, as that of a distance from the roof
    ({"technology": "free space radar", "range": {"lower": "3 m", "upper": "0.5 m"}}, Band(0.5, 3.0)),
    ({"technology": "vibrating fork", "nozzle": "N2"}, None),
])
def test_reach(keys: dict[str, Any], reach: Band | None) -> None:
    nozzles = {"N1": {"height": "1.5 m"}, "N2": {"height": "4 m", "on": "roof"}}
    found = point("rising", keys={"issued": "1.5 m"}, tanks={"T-1": small.tank(nozzles=nozzles)},
                  instruments={"LX-1": small.body(**keys)}).reachable
    assert (found is None) == (reach is None)
    if found is not None and reach is not None:
        assert (found.low, found.high) == pytest.approx((reach.low, reach.high))


def test_differential_from_the_body_or_its_arm() -> None:
    arm = {"technology": "side lever float", "geometry": {"arm": "0.3 m", "angle_up": "20 deg", "angle_down": "20 deg"}}
    swung = point("rising", instruments={"LX-1": small.body(**arm)}).differential
    assert value_of(swung) == pytest.approx(0.2052, abs=1e-4)
    stated = small.body(differential="30 mm", **arm)
    assert value_of(point("rising", instruments={"LX-1": stated}).differential) == pytest.approx(0.03)
    assert isinstance(point("rising").differential, Absence)
    half = small.body(technology="side lever float", geometry={"arm": "0.3 m", "angle_up": "20 deg"})
    assert isinstance(point("rising", instruments={"LX-1": half}).differential, Absence)
    # a cable of which 0.15 m are free swings half as far, whatever arm somebody may have written beside it
    hung = small.body(technology="cable float", geometry=arm["geometry"] | {"tether": "0.15 m"})
    assert value_of(point("rising", instruments={"LX-1": hung}).differential) == pytest.approx(0.1026, abs=1e-4)


def test_points_are_worked_out_after_those_they_rest_on() -> None:
    results = small.worked(plant=STEP, streams=STREAMS, switches={
        "LSL": small.switch("falling", {"below": "LSH", "by": "1 m"}),
        "LSH": small.switch("rising", {"before": "LSHH", "time": "1 min"}),
        "LSHH": small.switch("rising", {"before": "overflow", "time": "5 min"}),
    })
    heights = {tag: found.stands for tag, found in results.setpoints.items()}
    assert heights["LSHH"] == pytest.approx(2.53)
    assert heights["LSH"] == pytest.approx(2.31)  # 2.53 - 0.191 - own errors of both, rounded down
    assert heights["LSL"] == pytest.approx(1.29)
    assert list(results.setpoints) == ["LSL", "LSH", "LSHH"]
    limit = results.setpoints["LSH"].needs[0].limit
    assert isinstance(limit, Record)
    assert limit.inputs[0].source == "#LSHH/proposed"


def test_circles_are_named_and_their_points_have_no_height() -> None:
    results = small.worked(switches={
        "A": small.switch("rising", {"above": "B"}), "B": small.switch("rising", {"above": "A"}),
        "C": small.switch("rising", {"above": "A"}), "D": small.switch("rising", {"above": "bottom"}),
        "S": small.switch("rising", {"above": "S"}),
    })
    assert results.circles == (("A", "B"), ("S",))
    assert [tag for tag, found in results.setpoints.items() if found.stands is not None] == ["D"]
    required = results.setpoints["A"].required
    assert isinstance(required, Absence)
    assert "A, B" in required.why


def test_issued_heights_make_no_circle() -> None:
    results = small.worked(switches={
        "A": small.switch("rising", {"above": "B"}, issued="2 m"),
        "B": small.switch("rising", {"below": "A"}, issued="1 m")})
    assert results.circles == ()
    assert results.setpoints["A"].needs[0].slack == pytest.approx(1 - 0.02)


def test_order_of_a_long_chain_and_two_circles_that_share_a_point() -> None:
    order, circles = ordered({"A": ("B",), "B": ("A", "C"), "C": ("B",), "D": ("C",)})
    assert {frozenset(circle) for circle in circles} >= {frozenset("AB")} or len(circles) == 1
    assert order.index("D") > order.index("C")
    assert set().union(*circles) == {"A", "B", "C"}


def test_every_record_stands_in_the_book_and_every_reference_is_found() -> None:
    results = small.worked(plant=STEP, streams=STREAMS, switches={
        "LSHH": small.switch("rising", {"before": "overflow", "time": "5 min"}),
        "LSL": small.switch("falling", {"before": "bottom", "time": "5 min"}, issued="0.6 m")})
    for key, outcome in results.records.items():
        assert outcome.key == key
        if isinstance(outcome, Record):
            assert [one.source for one in outcome.inputs if one.is_record and one.source not in results.records] == []


def test_an_exact_need_that_breaks_a_limit_is_no_height_but_a_conflict() -> None:
    # 99 % of 4 m is 3.96 m, 475 mm over 3.5 m less 15 mm of error: no height keeps both
    found = point("rising", {"at": "99 % of height"}, {"below": "overflow"}, {"above": "bottom"}, plant=STEP)
    assert isinstance(found.required, Absence) and isinstance(found.proposed, Absence)
    assert found.required.why == \
        "the needs conflict: at 99 % of height asks for 3.960 m exactly, below overflow allows 3.485 m at most"
    assert "the needs conflict" in found.proposed.why
    assert found.stands is None
    # the same downwards: 0.40 m under 1 m and 15 mm; two exact heights that differ; every one that is broken is named
    low = point("falling", {"at": "0.40 m"}, {"above": "bottom", "by": "1 m"}, {"at": "0.60 m"}, plant=STEP)
    assert isinstance(low.required, Absence)
    assert low.required.why == ("the needs conflict: at 0.40 m asks for 0.400 m exactly, 1 m above bottom asks for 1.015 m "
                                "at least, at 0.60 m asks for 0.600 m exactly")


def test_an_exact_need_that_keeps_the_limits_decides() -> None:
    found = point("rising", {"at": "3.483 m"}, {"below": "overflow"}, plant=STEP)
    assert height(found.required) == pytest.approx(3.483)
    assert height(found.proposed) == pytest.approx(3.48)
    # 3.488 m is kept by 3.483 to 3.493 m, the limit of 3.485 m too; but the step in it, 3.49 m, stands over the limit
    tight = point("rising", {"at": "3.488 m"}, {"below": "overflow"}, plant=STEP)
    assert height(tight.required) == pytest.approx(3.488)
    assert isinstance(tight.proposed, Absence)
    assert tight.proposed.why == "rounded to the setpoint step it is 3.490 m, and below overflow allows 3.485 m at most"
