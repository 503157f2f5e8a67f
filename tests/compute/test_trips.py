"""Time budgets of trips against a worked example and by hand."""

import math
from typing import Any

import pytest
from scipy.integrate import quad

from generator.compute.causes import Direction, LevelCause, certain_edge
from generator.model.condition import Condition
from generator.model.record import Absence, Record
from generator.model.results import Results, TripBudget
from generator.model.scalar import Tag
from tests.compute import small

EXACT = {"own": "0 mm"}


def overfill(**changes: Any) -> dict[str, Any]:
    """D = 2 m, 12 L/s in, trip at 3.0 m, overflow at 3.6 m; steps 5 + 2 + 10 + 2 x 0.5 + 0.1 + 15 s, no drain-down."""
    nouns: dict[str, Any] = {
        "plant": {"defaults": {"scan_time": "500 ms", "relay_time": "100 ms", "accuracy": EXACT}},
        "tanks": {"T-1": small.tank(levels={"overflow": "3.6 m"})},
        "instruments": {"LX-1": small.body(response_time="5 s")},
        "valves": {"XV-1": {"area": "A", "service": "inlet", "kind": "on-off", "closing_time": "15 s"}},
        "streams": {"in": small.stream("outside", "T-1", "12 L/s", through=["XV-1"], drains_after_stop="0 L")},
        "switches": {"LSHH-1": small.switch("rising", issued="3.0 m", role="trip", on_delay="2 s")},
        "interlocks": {"I-1": lock({"any_of": ["LSHH-1"]}, on_delay="10 s")},
    }
    return nouns | changes


def lock(when: Any, then: dict[str, str] | None = None, **keys: Any) -> dict[str, Any]:
    return {"area": "A", "service": "trip", "kind": "trip", "when": when, "then": then or {"XV-1": "closed"}} | keys


def budget(results: Results, tag: str = "I-1", number: int = 0) -> TripBudget:
    return results.trips[tag][number]


def value(outcome: object) -> float:
    assert isinstance(outcome, Record), outcome
    return outcome.value


def test_the_worked_example_of_a_safety_time() -> None:
    # worked by hand from PST = (h2 - h1) A / Q and the sum of the terms; three-term sum and definition: common practice
    made = budget(small.worked(**overfill()))
    assert value(made.available) == pytest.approx(157.08, abs=0.005)
    assert value(made.needed) == pytest.approx(33.1)
    assert value(made.overrun) == pytest.approx(0.012 * 33.1 / math.pi)
    assert made.limit == "overflow"
    assert [step.name for step in made.steps] == [
        "sensor", "delay of the point", "delay of the interlock", "logic", "relay", "final element", "line drain-down"]
    assert sum(step.height or 0 for step in made.steps) == pytest.approx(value(made.overrun))


def test_error_of_the_point_takes_from_the_time() -> None:
    exact = value(budget(small.worked(**overfill())).available)
    nouns = overfill(switches={"LSHH-1": small.switch("rising", issued="3.0 m", accuracy={"own": "10 mm"})})
    assert exact - value(budget(small.worked(**nouns)).available) == pytest.approx(0.010 * math.pi / 0.012)


def test_drain_down_counts_as_its_volume() -> None:
    feed = small.stream("outside", "T-1", "12 L/s", through=["XV-1"], drains_after_stop="60 L")
    nouns = overfill(streams={"in": feed})
    made = budget(small.worked(**nouns))
    assert value(made.steps[-1].time) == pytest.approx(5.0)
    assert made.steps[-1].height == pytest.approx(0.060 / math.pi)


@pytest.mark.parametrize(("change", "field"), [
    ({"instruments": {"LX-1": small.body()}}, "instruments/LX-1/response_time"),
    ({"valves": {"XV-1": {"area": "A", "service": "inlet", "kind": "on-off"}}}, "valves/XV-1/closing_time"),
    ({"streams": {"in": small.stream("outside", "T-1", "12 L/s", through=["XV-1"])}}, "streams/in/drains_after_stop"),
    ({"plant": {"defaults": {"relay_time": "100 ms", "accuracy": EXACT}}}, "interlocks/I-1/logic_time"),
    ({"plant": {"defaults": {"scan_time": "500 ms", "accuracy": EXACT}}}, "tanks/T-1/defaults/relay_time"),
])
def test_a_missing_step_leaves_no_total(change: dict[str, Any], field: str) -> None:
    made = budget(small.worked(**overfill(**change)))
    assert isinstance(made.needed, Absence)
    assert field in made.needed.missing
    assert sum(isinstance(step.time, Absence) for step in made.steps) == 1
    assert isinstance(made.overrun, Absence)
    assert value(made.available) == pytest.approx(157.08, abs=0.005)


def test_relays_have_no_scan_and_a_device_has_no_relay() -> None:
    relays = budget(small.worked(**overfill(interlocks={"I-1": lock("LSHH-1", by="relays")})))
    assert "logic" not in [step.name for step in relays.steps]
    slow = budget(small.worked(**overfill(interlocks={"I-1": lock("LSHH-1", by="relays", logic_time="50 ms")})))
    assert value(slow.needed) == pytest.approx(value(relays.needed) + 0.05)  # a time that is written counts
    device = budget(small.worked(**overfill(interlocks={"I-1": lock("LSHH-1", by="device")})))
    assert not {"logic", "relay"} & {step.name for step in device.steps}


def test_points_joined_by_all_of_act_at_the_last_and_a_vote_at_the_one_that_completes_it() -> None:
    points = {f"LSHH-1{letter}": small.switch("rising", issued=height)
              for letter, height in (("A", "3.0 m"), ("B", "3.1 m"), ("C", "3.2 m"))}
    together = {"all_of": list(points)}
    first = budget(small.worked(**overfill(switches=points, interlocks={"I-1": lock(together)})))
    assert value(first.available) == pytest.approx(0.4 * math.pi / 0.012)
    voted = small.worked(**overfill(switches=points, interlocks={"I-1": lock({"2 of": list(points)})}))
    rises = [value(budget(voted, number=number).available) * 0.012 / math.pi for number in range(3)]
    assert rises == pytest.approx([0.5, 0.5, 0.4])  # C counts for itself as the vote without A or B
    either = small.worked(**overfill(switches=points, interlocks={"I-1": lock({"any_of": list(points)})}))
    rises = [value(budget(either, number=number).available) * 0.012 / math.pi for number in range(3)]
    assert rises == pytest.approx([0.6, 0.5, 0.4])


def test_a_time_held_in_the_condition_counts() -> None:
    held = lock({"held": "7 s", "of": "LSHH-1"}, on_delay="10 s")
    made = budget(small.worked(**overfill(interlocks={"I-1": held})))
    assert value(made.needed) == pytest.approx(40.1)


def test_the_mirrored_trip_has_the_mirrored_budget() -> None:
    # turned upside down: drawn off at 12 L/s, trip at 0.6 m falling, bottom at 0
    nouns = overfill(
        switches={"LSLL-1": small.switch("falling", issued="0.6 m", role="trip", on_delay="2 s")},
        streams={"out": small.stream("T-1", "outside", "12 L/s", through=["XV-1"], drains_after_stop="0 L")},
        interlocks={"I-1": lock("LSLL-1", on_delay="10 s")})
    made = budget(small.worked(**nouns))
    assert made.limit == "the bottom"
    assert value(made.available) == pytest.approx(157.08, abs=0.005)
    assert value(made.needed) == pytest.approx(33.1)


def test_the_limit_is_where_the_hazard_begins() -> None:
    hazard = {"H-1": {"what": "spill", "harms": "people", "begins_at": "T-1 alarm line", "safe_state": "no inflow"}}
    marked = small.tank(levels={"overflow": "3.6 m"}, marks={"alarm line": {"height": "3.3 m", "what": "duct"}})
    made = budget(small.worked(**overfill(tanks={"T-1": marked}, hazards=hazard,
                                          interlocks={"I-1": lock("LSHH-1", hazard="H-1")})))
    assert value(made.available) == pytest.approx(0.3 * math.pi / 0.012)


def test_a_pump_started_to_protect_takes_its_start_time() -> None:
    nouns = overfill(pumps={"P-1": small.pump(start_time="4 s")}, valves={},
                     streams={"in": small.stream("outside", "T-1", "12 L/s")},
                     interlocks={"I-1": lock("LSHH-1", {"P-1": "running"})})
    made = budget(small.worked(**nouns))
    assert [(step.name, value(step.time)) for step in made.steps][-1] == ("final element", 4.0)


def test_no_inflow_gives_an_absence_and_a_point_over_the_limit_no_time() -> None:
    still = budget(small.worked(**overfill(streams={})))
    assert isinstance(still.available, Absence)
    late = budget(small.worked(**overfill(switches={"LSHH-1": small.switch("rising", issued="3.8 m")})))
    assert value(late.available) == 0
    assert "at or beyond" in late.available.note  # type: ignore[union-attr]


def test_permissives_have_no_budget_and_signals_no_point() -> None:
    nouns = overfill(signals={"HS-1": {"area": "A", "service": "stop", "kind": "manual stop"}}, interlocks={
        "I-1": lock("HS-1"), "I-2": lock({"not": "LSHH-1"}, kind="permissive")})
    results = small.worked(**nouns)
    assert results.trips == {"I-1": ()}


def test_a_lying_cylinder_gives_the_time_of_its_integrated_surface() -> None:
    # t = integral of A(h) dh / Q with the chord of a circle, A = 2 L sqrt(2 R h - h^2), by a library's quadrature
    shape = {"kind": "horizontal cylinder", "diameter": "2 m", "length": "5 m"}
    lying = small.tank(shape, levels={"overflow": "1.86 m"})
    point = small.switch("rising", issued="1.5 m", on_delay="2 s")
    made = budget(small.worked(**overfill(tanks={"T-1": lying}, switches={"LSHH-1": point})))
    volume, _ = quad(lambda height: 2 * 5 * math.sqrt(2 * height - height**2), 1.5, 1.86)
    assert value(made.available) == pytest.approx(volume / 0.012, rel=1e-9)
    reached, _ = quad(lambda height: 2 * 5 * math.sqrt(2 * height - height**2), 1.5, 1.5 + value(made.overrun))
    assert reached == pytest.approx(0.012 * value(made.needed), rel=1e-7)


def test_a_falling_trip_without_a_hazard_guards_the_pump_that_draws_there() -> None:
    nouns = overfill(
        pumps={"P-1": small.pump("12 L/s", stop_time="3 s", suction={
            "tank": "T-1", "kind": "submersible", "height": "0.1 m", "motor_covered_to": "0.4 m"})},
        switches={"LSLL-1": small.switch("falling", issued="0.6 m", role="trip")},
        streams={"out": small.stream("T-1", "outside", "12 L/s", moved_by="P-1")},
        interlocks={"I-1": lock("LSLL-1", {"P-1": "stopped"})})
    made = budget(small.worked(**nouns))
    assert made.limit == "the lowest level of P-1"
    assert value(made.available) == pytest.approx(0.2 * math.pi / 0.012)
    assert value(made.needed) == pytest.approx(5 + 2 * 0.5 + 0.1 + 3)


def test_a_cause_that_must_not_have_acted_counts_from_its_reset_on_the_way_back() -> None:
    # {not: LSL-1}: the point acts falling at 1.0 m and lets go rising at 1.05 m
    point = small.switch("falling", issued="1.0 m", differential="50 mm")
    made = budget(small.worked(**overfill(switches={"LSL-1": point}, interlocks={"I-1": lock({"not": "LSL-1"})})))
    assert value(made.available) == pytest.approx((3.6 - 1.05) * math.pi / 0.012)


def test_travel_is_counted_to_the_top_of_the_vessel_and_says_so() -> None:
    made = budget(small.worked(**overfill(interlocks={"I-1": lock("LSHH-1", on_delay="10 min")})))
    assert value(made.overrun) == pytest.approx(1.0)  # 3.0 m to the top at 4.0 m
    assert "vessel is left" in made.overrun.note  # type: ignore[union-attr]


@pytest.mark.parametrize(("condition", "negated", "direction", "edge"), [
    # three points at 1.0, 0.8 and 0.6 m, asked of the first; the height at which the condition is certain, by hand
    ({"any_of": ["A", "B", "C"]}, False, "falling", 1.0), ({"all_of": ["A", "B", "C"]}, False, "falling", 0.6),
    ({"2 of": ["A", "B", "C"]}, False, "falling", 0.8), ({"2 of": ["A", "B", "C"]}, False, "rising", 1.0),
    # a vote of two lets go as soon as two have let go, all of them as soon as one has, any of them when all have
    ({"not": {"2 of": ["A", "B", "C"]}}, True, "falling", 0.8), ({"not": {"all_of": ["A", "B", "C"]}}, True, "falling", 1.0),
    ({"not": {"any_of": ["A", "B", "C"]}}, True, "falling", 0.6),
])
def test_edge_at_which_a_condition_is_certain(condition: Any, negated: bool, direction: Direction, edge: float) -> None:
    heights = {(tag, negated): height for tag, height in (("A", 1.0), ("B", 0.8), ("C", 0.6))}
    cause = LevelCause(Tag("A"), negated, ())
    assert certain_edge(Condition.read(condition), cause, heights, direction) == pytest.approx(edge)
