"""Worst and ordinary rates from streams, cases and exclusions, worked by hand."""

from pathlib import Path
from typing import Any

import pytest

from generator import compute, read
from generator.compute.rates import carried_by
from generator.model.record import Absence, Record
from generator.model.results import TankResult
from tests.compute import small

HOUR = 3600.0
STREAMS = {
    "feed": small.stream("outside", "T-1", "20 m3/h", flow={"normal": "12 m3/h"}),
    "rain": small.stream("outside", "T-1", "5 m3/h", flow={"normal": "1 m3/h"}),
    "draw": small.stream("T-1", "outside", "18 m3/h", flow={"normal": "10 m3/h", "lowest": "4 m3/h"}),
}


def tank(streams: dict[str, Any], **nouns: Any) -> TankResult:
    return small.worked(streams=streams, **nouns).tanks["T-1"]


def per_hour(outcome: object) -> float:
    assert isinstance(outcome, Record)
    return outcome.value * HOUR


def test_without_cases_everything_comes_at_once_and_nothing_leaves() -> None:
    result = tank(STREAMS)
    assert per_hour(result.filling) == pytest.approx(25)
    assert per_hour(result.emptying) == pytest.approx(18)
    assert per_hour(result.filling_normal) == pytest.approx(13)
    assert result.filling_case == "stream at 20 m3/h + stream at 5 m3/h, nothing leaves"


def test_streams_that_never_run_together_are_not_added() -> None:
    streams = STREAMS | {"wash": small.stream("outside", "T-1", "17 m3/h")}
    rules = [{"streams": ["feed", "wash"], "because": "one pump"}, {"streams": ["feed", "rain"], "because": "valve"}]
    assert per_hour(tank(streams, never_together=rules).filling) == pytest.approx(22)  # wash + rain beat feed alone
    assert per_hour(tank(streams, never_together=rules[:1]).filling) == pytest.approx(25)  # feed + rain


def test_of_three_that_exclude_one_another_the_largest_counts() -> None:
    streams = {tag: small.stream("outside", "T-1", f"{flow} m3/h") for tag, flow in (("a", 3), ("b", 7), ("c", 5))}
    assert per_hour(tank(streams, never_together=[{"streams": ["a", "b", "c"], "because": "one line"}]).filling) == \
        pytest.approx(7)


def test_worst_of_the_declared_cases_counts_and_credits_only_a_lowest_outflow() -> None:
    cases = {"dry": {"name": "dry", "streams": ["feed", "draw"]},
             "wet": {"name": "wet", "streams": ["feed", "rain", "draw"]}}
    result = tank(STREAMS, cases=cases)
    assert per_hour(result.filling) == pytest.approx(20 + 5 - 4)
    assert "less stream at 4 m3/h" in result.filling_case
    assert "wet" in result.filling_case
    # emptying: no inflow has a declared lowest, so none is credited
    assert per_hour(result.emptying) == pytest.approx(18)


def test_the_ordinary_case_gives_no_credit_on_the_worst_day() -> None:
    result = tank(STREAMS, cases={"run": {"name": "run", "normal": "yes", "streams": ["feed", "draw", "rain"]}})
    assert per_hour(result.filling) == pytest.approx(25)
    assert per_hour(result.filling_normal) == pytest.approx(12 + 1 - 10)
    assert per_hour(result.emptying_normal) == pytest.approx(10)
    assert isinstance(result.emptying_normal, Record)
    assert "does not move the level this way" in result.emptying_normal.note


def test_a_stream_that_stands_in_no_case_is_added_to_all() -> None:
    result = tank(STREAMS, cases={"dry": {"name": "dry", "streams": ["feed"]}})
    assert per_hour(result.filling) == pytest.approx(25)


def test_a_case_of_other_tanks_does_not_silence_this_one() -> None:
    streams = STREAMS | {"far": small.stream("outside", "T-2", "1 m3/h")}
    result = tank(streams, tanks={"T-1": small.tank(), "T-2": small.tank()},
                  cases={"far": {"name": "far", "streams": ["far"]}})
    assert per_hour(result.filling) == pytest.approx(25)


def test_overflow_paths_do_not_count() -> None:
    streams = STREAMS | {"spill": small.stream("T-1", "outside", "90 m3/h", by_overflow="yes")}
    assert per_hour(tank(streams).emptying) == pytest.approx(18)


def test_inputs_point_at_the_flows_as_written() -> None:
    plant = small.plant(streams=STREAMS)
    filling = small.worked(streams=STREAMS).tanks["T-1"].filling
    assert isinstance(filling, Record)
    assert [one.value for one in filling.inputs] == [plant.streams[tag].flow.highest.si for tag in ("feed", "rain")]
    assert filling.equation == "Q = Q_{1} + Q_{2}"


def test_missing_streams_and_flows_are_absences_that_say_so() -> None:
    bare = tank({})
    assert isinstance(bare.filling, Absence)
    assert bare.filling.missing == ("a stream into T-1",)
    assert bare.filling_case == ""
    partly = tank({"feed": small.stream("outside", "T-1", "20 m3/h")})
    assert isinstance(partly.filling_normal, Absence)
    assert partly.filling_normal.missing == ("streams/feed/flow/normal",)


def test_of_cases_that_are_equally_bad_the_one_is_named_that_is_told_whole() -> None:
    streams = {"in": small.stream("outside", "T-1", "20 m3/h"), "out": small.stream("T-1", "outside", "30 m3/h")}
    both = {"name": "both run", "streams": ["in", "out"]}
    alone = {"name": "inlet shut", "streams": ["out"]}
    for cases in ({"a": both, "b": alone}, {"b": alone, "a": both}):
        found = small.worked(streams=streams, cases=cases).tanks["T-1"]
        assert found.emptying_case == "stream at 30 m3/h, nothing enters (case: inlet shut)"
    told = small.worked(streams=streams, cases={"a": both}).tanks["T-1"]
    assert told.emptying_case == "stream at 30 m3/h, stream not counted on (case: both run)"
    worst = next(one for one in told.cases if one.direction == "emptying" and one.kind == "worst")
    assert (worst.moving, worst.silent) == ((("out", pytest.approx(30 / 3600)),), ("in",))


def test_of_cases_that_say_the_same_the_one_beside_the_tank_is_named(tmp_path: Path) -> None:
    """One stream joins two tanks: each has a case of it, and the worst of each is its own, whichever is read first."""
    (tmp_path / "a.yml").write_text("""
plant: {name: Test, document: {number: "1", status: draft, as_of: 2026-01-01}}
areas: {A: {name: Area}}
liquids: {water: {name: Water}}
tanks: {T-1: {area: A, service: Upper, liquid: water, datum: {elevation: 100 m},
              shape: {kind: sphere, diameter: 3 m}}}
streams: {down: {name: transfer, from: T-1, into: T-2, flow: {highest: 20 m3/h}}}
cases: {up: {name: upper tank is drawn, streams: [down]}}
""", encoding="utf-8")
    (tmp_path / "b.yml").write_text("""
tanks: {T-2: {area: A, service: Lower, liquid: water, datum: {elevation: 90 m},
              shape: {kind: sphere, diameter: 3 m}}}
cases: {low: {name: lower tank is filled, streams: [down]}}
""", encoding="utf-8")
    plant, mistakes = read.plant(tmp_path)
    assert plant is not None, mistakes
    tanks = compute.results(plant, small.KNOWLEDGE).tanks
    assert tanks["T-1"].emptying_case == "transfer at 20 m3/h, nothing enters (case: upper tank is drawn)"
    assert tanks["T-2"].filling_case == "transfer at 20 m3/h, nothing leaves (case: lower tank is filled)"


def test_the_ordinary_case_stands_beside_the_worst() -> None:
    streams = {"in": small.stream("outside", "T-1", "20 m3/h", flow={"normal": "12 m3/h"}),
               "out": small.stream("T-1", "outside", "30 m3/h", flow={"normal": "5 m3/h"})}
    cases = {"n": {"name": "ordinary", "streams": ["in", "out"], "normal": "yes"}}
    kinds = {(one.direction, one.kind): one for one in small.worked(streams=streams, cases=cases).tanks["T-1"].cases}
    assert set(kinds) == {(way, kind) for way in ("filling", "emptying") for kind in ("worst", "ordinary")}
    ordinary = kinds["filling", "ordinary"]
    assert [round(flow * 3600, 6) for _, flow in (*ordinary.moving, *ordinary.against)] == [12, 5]


def test_an_ordinary_case_of_a_neighbour_does_not_stand_for_the_tank() -> None:
    """9 m3/h come in and 18 are pumped on: it empties by 9. The neighbour's case names the pumps alone: it would say 18."""
    streams = {"in": small.stream("outside", "T-1", "14 m3/h", flow={"normal": "9 m3/h"}),
               "on": small.stream("T-1", "T-2", "18 m3/h", flow={"normal": "18 m3/h"}),
               "used": small.stream("T-2", "outside", "20 m3/h", flow={"normal": "16 m3/h"})}
    own = {"name": "its own", "streams": ["in", "on"], "normal": "yes"}
    other = {"name": "the neighbour's", "streams": ["on", "used"], "normal": "yes"}
    for cases in ({"a": own, "b": other}, {"b": other, "a": own}):
        tanks = small.worked(tanks={"T-1": small.tank(), "T-2": small.tank()}, streams=streams, cases=cases).tanks
        assert per_hour(tanks["T-1"].emptying_normal) == pytest.approx(9)
        assert isinstance(tanks["T-1"].emptying_normal, Record)
        assert tanks["T-1"].emptying_normal.note == "ordinary case: its own"
        assert per_hour(tanks["T-2"].filling_normal) == pytest.approx(2)


def test_an_overflow_path_counts_where_it_enters_in_the_cases_that_name_it() -> None:
    streams = {"spill": small.stream("T-2", "T-1", "30 m3/h", by_overflow="yes", flow={"normal": "3 m3/h", "lowest": "2 m3/h"}),
               "feed": small.stream("outside", "T-1", "20 m3/h"), "fill": small.stream("outside", "T-2", "7 m3/h"),
               "draw": small.stream("T-1", "outside", "9 m3/h")}
    tanks = {"T-1": small.tank(), "T-2": small.tank()}
    cases = {"dry": {"name": "dry", "streams": ["feed", "fill", "draw"]},
             "wet": {"name": "wet", "streams": ["spill", "draw", "fill"]}}

    def worked(**nouns: Any) -> dict[str, TankResult]:
        return dict(small.worked(streams=streams, tanks=tanks, **nouns).tanks)

    both = worked(cases=cases)
    assert per_hour(both["T-1"].filling) == pytest.approx(30)  # the wet case beats the 20 of the dry one
    assert per_hour(both["T-2"].filling) == pytest.approx(7)  # no credit for what only runs over
    assert per_hour(both["T-1"].emptying) == pytest.approx(9)  # nor against the emptying, its lowest of 2 notwithstanding
    assert per_hour(worked(cases={"dry": cases["dry"]})["T-1"].filling) == pytest.approx(20)  # unnamed it counts nowhere
    assert per_hour(worked()["T-1"].filling) == pytest.approx(20)


@pytest.mark.parametrize(("keys", "carriers"), [
    ({}, ()), ({"moved_by": "P-1"}, ("P-1",)), ({"through": ["XV-1", "XV-2"]}, ("XV-1", "XV-2")),
    ({"moved_by": "P-1", "through": ["XV-1"]}, ("P-1", "XV-1"))])
def test_what_carries_a_stream(keys: dict[str, Any], carriers: tuple[str, ...]) -> None:
    made = small.plant(streams={"s": small.stream("T-1", "outside", "1 m3/h", **keys)}, pumps={"P-1": small.pump()},
                       valves={tag: {"area": "A", "service": "x", "kind": "on-off"} for tag in ("XV-1", "XV-2")})
    assert carried_by(made, "s") == carriers
