"""Headroom: at the flow or time that it names, what breaks first has nothing left; a little past it falls short."""

from typing import Any

import pytest

from generator.model.margin import Headroom
from generator.model.record import Absence, Record
from generator.model.results import Results
from tests.compute import small
from tests.compute.test_level_budgets import alarm, one_trip, trip


def room(results: Results, tag: str, what: str) -> Headroom:
    return next(one for one in results.headrooms[tag] if one.what.startswith(what))


def at(one: Headroom) -> float:
    assert isinstance(one.at, Record), one
    return one.at.value


def rising(flow: str, **keys: Any) -> Results:
    return small.worked(
        streams={"in": small.stream("outside", "T-1", flow)},
        switches={"X": small.switch("rising", {"before": "overflow", "time": "60 s"}, issued="3.0 m", **keys)})


def test_largest_inflow_uses_up_the_slack_of_the_need() -> None:
    found = room(rising("10 m3/h"), "X", "largest inflow")
    assert at(found) * 60 == pytest.approx((3.5 - 3.015) * small.plant().tanks["T-1"].shape.diameter.si ** 2 * 3.14159265 / 4)  # type: ignore[index,union-attr]
    assert found.breaks == "60 s before overflow, at the worst rate"
    exact = rising(f"{at(found) * 3600:.9f} m3/h").setpoints["X"].needs[0]
    assert exact.slack == pytest.approx(0.0, abs=1e-6)
    over = rising(f"{at(found) * 3600 * 1.01:.9f} m3/h").setpoints["X"].needs[0]
    assert over.slack is not None and over.slack < -1e-3


def test_largest_outflow_of_a_falling_point() -> None:
    def falling(flow: str) -> Results:
        return small.worked(streams={"out": small.stream("T-1", "outside", flow)}, switches={
            "X": small.switch("falling", {"before": "bottom", "time": "60 s"}, issued="1.0 m")})

    found = room(falling("10 m3/h"), "X", "largest outflow")
    assert falling(f"{at(found) * 3600:.9f} m3/h").setpoints["X"].needs[0].slack == pytest.approx(0.0, abs=1e-6)


def test_common_error_of_one_body_cancels_in_headroom_as_in_the_need() -> None:
    def pair(flow: str) -> Results:
        return small.worked(streams={"in": small.stream("outside", "T-1", flow)}, switches={
            "X": small.switch("rising", {"before": "Y", "time": "60 s"}, issued="2.5 m"),
            "Y": small.switch("rising", issued="3.0 m", role="trip")})

    found = room(pair("10 m3/h"), "X", "largest inflow")
    assert pair(f"{at(found) * 3600:.9f} m3/h").setpoints["X"].needs[0].slack == pytest.approx(0.0, abs=1e-6)


def test_outflow_counted_on_raises_the_largest_inflow() -> None:
    streams = {"in": small.stream("outside", "T-1", "60 m3/h"),
               "out": small.stream("T-1", "outside", "20 m3/h", flow={"lowest": "18 m3/h"})}
    results = small.worked(streams=streams, cases={"c": {"name": "both", "streams": ["in", "out"]}}, switches={
        "X": small.switch("rising", {"before": "overflow", "time": "120 s"}, issued="3.0 m")})
    most, least = room(results, "X", "largest inflow"), room(results, "X", "smallest outflow")
    net = at(most) - 18 / 3600
    assert at(least) == pytest.approx(60 / 3600 - net)
    assert isinstance(most.at, Record) and most.at.equation.endswith(" + Q_a")
    assert [one.value for one in most.at.inputs if one.symbol == "Q_a"] == [pytest.approx(18 / 3600)]
    alone = room(rising("10 m3/h"), "X", "largest inflow").at
    assert isinstance(alone, Record) and "Q_a" not in alone.equation + str([one.symbol for one in alone.inputs])
    assert isinstance(least.today, Record) and least.today.value == pytest.approx(18 / 3600)


def test_a_point_that_holds_with_nothing_leaving_says_so() -> None:
    found = room(rising("10 m3/h"), "X", "smallest outflow")
    assert isinstance(found.at, Absence)
    assert "no outflow is counted on" in found.at.why


@pytest.mark.parametrize(("plant", "share", "said"), [
    ({}, 1.0, "I ends before overflow"),
    ({"budget_share": "40"}, 0.4, "I uses no more than 40% of the time to overflow (the plant's own convention)"),
    ({"budget_share": "100"}, 1.0, "I ends before overflow"),
    ({"rules_in_force": {"half-of-available-time": {}}}, 0.5, "I uses no more than 50% of the time to overflow"),
])
def test_largest_inflow_before_a_trip_is_too_slow(plant: dict[str, Any], share: float, said: str) -> None:
    """From 3.035 m (15 mm of error, 20 mm of wave) 0.465 m of pi m2 are left; of a share of that 10 L run out of the line, and
    the rest must last for 2 + 1 + 0.5 + 8 s."""
    found = room(one_trip(plant=plant), "X", "largest inflow")
    assert at(found) == pytest.approx((share * 0.465 * 3.14159265 - 0.010) / 11.5)
    assert found.breaks.startswith(said)


def test_slowest_final_element_uses_up_the_time_of_the_trip() -> None:
    results = one_trip()
    slowest = at(room(results, "X", "slowest final element"))
    budget = results.trips["I"][0]
    assert isinstance(budget.available, Record) and isinstance(budget.needed, Record)
    assert budget.needed.value - 8 + slowest == pytest.approx(budget.available.value)
    with_valve = one_trip(valves={"V": {"area": "A", "service": "Inlet", "kind": "on-off", "closing_time": f"{slowest:.9f} s"}})
    needed = with_valve.trips["I"][0].needed
    assert isinstance(needed, Record) and needed.value == pytest.approx(budget.available.value)


def test_half_of_the_time_is_a_convention_that_breaks_earlier() -> None:
    free = at(room(one_trip(), "X", "slowest final element"))
    halved = one_trip(plant={"rules_in_force": {"half-of-available-time": {}}}, interlocks={"I": trip()})
    found = room(halved, "X", "slowest final element")
    budget = halved.trips["I"][0]
    assert isinstance(budget.available, Record)
    assert at(found) == pytest.approx(free - budget.available.value / 2)
    assert "half-of-available-time" in found.breaks


def test_longest_time_of_a_person_is_what_the_alarm_leaves() -> None:
    person = {"notice": "30 s", "diagnose": "10 s", "go": "20 s", "act": "5 s", "effect": "0 s"}
    results = small.worked(
        streams={"in": small.stream("outside", "T-1", "36 m3/h")},
        switches={"X": small.switch("rising", issued="3.0 m")},
        alarms={"A-1": alarm("X", person)})
    found = room(results, "X", "longest time of a person")
    left = results.alarms["A-1"].to_limit
    assert isinstance(left, Record) and at(found) == pytest.approx(left.value)


WELL = {"kind": "rectangular basin", "length": "3 m", "width": "2.25 m", "height": "4 m"}  # 6.75 m3 a metre


def started(inflow: str, pump: str = "45 L/s", starts: str = "4.5 /h", error: str = "0 mm") -> Results:
    """A pump that starts at 2 m and stops at 1 m."""
    return small.worked(
        plant={"defaults": {"accuracy": {"own": error}}}, tanks={"T-1": small.tank(WELL)},
        streams={"in": small.stream("outside", "T-1", inflow)}, pumps={"P-1": small.pump(pump)},
        switches={"X": small.switch("rising", {"cycling": "P-1", "above": "Y", "starts": starts}, issued="2 m", role="control"),
                  "Y": small.switch("falling", issued="1 m", role="control")},
        controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["X"], "stops": "Y"}})


def test_headroom_of_a_pumps_starts_is_the_handbook_cycle_turned_round() -> None:
    # MIL-HDBK-1005/9A, 2.5.3.6, equation 1: 6.75 m3 and 45 L/s cycle in 13.333 min at a quarter of the flow, 10 min at half
    found = room(started("10 L/s"), "X", "largest inflow against P-1")
    assert at(found) == pytest.approx(0.01125)
    assert isinstance(found.today, Record) and found.today.value == pytest.approx(0.010)
    assert "starts no more often than 4.5 /h" in found.breaks
    assert started(f"{at(found) * 1000:.9f} L/s").setpoints["X"].needs[0].slack == pytest.approx(0.0, abs=1e-6)
    assert at(room(started("30 L/s", starts="6 /h"), "X", "largest flow of P-1")) == pytest.approx(0.045)
    real = room(started("11.25 L/s", pump="30 L/s"), "X", "largest flow of P-1")
    assert at(real) == pytest.approx(0.045)
    kept = started("11.25 L/s", pump=f"{at(real) * 1000:.9f} L/s").setpoints["X"].needs[0]
    assert kept.slack == pytest.approx(0.0, abs=1e-6)


def test_headroom_of_starts_without_a_bound_says_why() -> None:
    for what, inflow, starts, why in (("largest inflow against", "30 L/s", "6 /h", "half of the pump's flow included"),
                                      ("largest flow of", "5 L/s", "4.5 /h", "takes long enough")):
        found = room(started(inflow, starts=starts), "X", what)
        assert isinstance(found.at, Absence) and why in found.at.why


def test_error_takes_from_the_headroom_of_starts_as_from_the_need() -> None:
    found = room(started("5 L/s", error="50 mm"), "X", "largest inflow against P-1")  # 6.075 m3 between the nearest edges
    assert started(f"{at(found) * 1000:.9f} L/s", error="50 mm").setpoints["X"].needs[0].slack == pytest.approx(0.0, abs=1e-6)


def reserved(flow: str) -> Results:
    return small.worked(
        streams={"fire": small.stream("T-1", "outside", flow, name="fire"), "wash": small.stream("T-1", "outside", "2 m3/h")},
        switches={"X": small.switch("falling", {"above": "bottom", "lasts": "30 min", "of": "fire"}, issued="2 m")})


def test_a_reserve_bounds_the_stream_that_draws_on_it() -> None:
    found = reserved("8 m3/h")
    own, all_out = (room(found, "X", what) for what in ("largest flow of fire", "largest outflow"))
    # 1.985 m of 3.1416 m2 in half an hour
    assert at(own) * 3600 == pytest.approx(1.985 * 3.14159265 * 2)
    assert at(all_out) - at(own) == pytest.approx(2 / 3600)  # the other stream runs beside it
    assert reserved(f"{at(own) * 3600:.9f} m3/h").setpoints["X"].needs[0].slack == pytest.approx(0.0, abs=1e-6)


def test_what_a_control_point_does_is_done_before_the_next_point() -> None:
    found = small.worked(
        streams={"in": small.stream("outside", "T-1", "36 m3/h", through=["V"], drains_after_stop="10 L")},
        instruments={"LX-1": small.body(response_time="2 s"), "LX-2": small.body(response_time="2 s")},
        valves={"V": {"area": "A", "service": "Inlet", "kind": "on-off", "closing_time": "8 s", "opening_time": "8 s"}},
        switches={"X": small.switch("rising", issued="2.0 m", role="control"),
                  "Y": small.switch("falling", issued="1.0 m", role="control"),
                  "Z": small.switch("rising", issued="2.5 m", **{"in": "LX-2"})},
        controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "V", "starts": ["Y"], "stops": "X",
                        "by": "device"}})
    most = room(found, "X", "largest inflow")
    # from 2.015 to 2.485 m of 3.1416 m2, less 10 L that run out of the line, in 10 s
    assert at(most) == pytest.approx((0.47 * 3.14159265 - 0.010) / 10)
    assert most.breaks == "what X does is done before Z"


def test_a_need_that_is_broken_today_is_said_whatever_the_rates_allow() -> None:
    # 3.0 m less 15 mm, asked 2.95 m plus 15 mm over the bottom: kept; asked 3.03 m: short by 45 mm, whatever flows in
    def found(by: str, flow: str = "10 m3/h") -> list[Headroom]:
        return list(small.worked(streams={"in": small.stream("outside", "T-1", flow)}, switches={"X": small.switch(
            "rising", {"before": "overflow", "time": "60 s"}, {"above": "bottom", "by": by}, issued="3.0 m")}).headrooms["X"])

    assert [one.broken for one in found("2.95 m")] == ["", ""]
    assert {one.broken for one in found("3.03 m")} == {"already broken: 3.03 m above bottom: short by 45 mm"}
    # 0.485 m over 3.1416 m2 in 60 s is 91 m3/h: at 180 m3/h, 3 m3 are 955 mm, and 470 mm are lacking
    over = found("2.95 m", "180 m3/h")[0]
    assert over.broken == "already broken: 60 s before overflow, at the worst rate: short by 470 mm"
