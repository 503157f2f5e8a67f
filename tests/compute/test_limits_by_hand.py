"""Limits, edges, rooms and level budgets on an upright tank of 2 m across, pi m2 of surface, worked by hand. No other source.

10 mm of own error and 5 mm shared by a body put the edges of a point 15 mm around it.
"""

import json
import math
from functools import cache
from typing import Any

import pytest

from generator.compute import limits
from generator.compute.book import Book
from generator.model.place import Place
from generator.model.plant import Definitions
from generator.model.record import Absence, Record
from generator.model.results import Results
from tests.check.small_plants import laid_over
from tests.compute import small

FROUDE = 4 * 0.01 / (math.pi * 0.2**2) / math.sqrt(9.80665 * 0.2)
LOWEST = 0.2 + 0.2 * (1 + 2.3 * FROUDE)
"""The pump's lowest level [m]: its bell of 0.2 m at 0.2 m, and over it D (1 + 2.3 Fr) with 36 m3/h (ANSI/HI 9.8, from memory)."""
BAND = {"overflow": "3.5 m", "normal_low": "1.2 m", "normal_high": "2 m"}
POINTS = {"LL": ("falling", "0.6 m", "trip"), "L": ("falling", "0.9 m", "alarm"), "C": ("rising", "1.5 m", "control"),
          "H": ("rising", "2.5 m", "alarm"), "HH": ("rising", "3 m", "trip")}
NOUNS: dict[str, Any] = {
    "tanks": {"T-1": small.tank(levels=BAND)},
    "streams": {"in": small.stream("outside", "T-1", "36 m3/h", through=["XV"], drains_after_stop="0 L"),
                "out": small.stream("T-1", "outside", "18 m3/h", moved_by="P-1")},
    "valves": {"XV": {"area": "A", "service": "x", "kind": "on-off", "closing_time": "8 s"}},
    "pumps": {"P-1": small.pump()}, "hazards": {},
    "instruments": {f"LX-{tag}": small.body(response_time="2 s") for tag in POINTS},
    "switches": {tag: small.switch(acts, issued=height, role=role, **{"in": f"LX-{tag}"})
                 for tag, (acts, height, role) in POINTS.items()},
}


@cache
def _worked(change: str) -> tuple[Definitions, Results]:
    made = laid_over(NOUNS, json.loads(change))
    return small.plant(**made), small.worked(**made)


def worked(**change: Any) -> Results:
    return plant_and(**change)[1]


def plant_and(**change: Any) -> tuple[Definitions, Results]:
    return _worked(json.dumps(change))


# ---- edges as inputs -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("height", "source"), [
    (2.485, "#H/act-low"), (2.515, "#H/act-high"), (2.385, "#H/reset-low"), (2.415, "#H/reset-high"), (2.5, "issued")])
def test_an_edge_names_its_own_record(height: float, source: str) -> None:
    plant, results = plant_and(instruments={"LX-H": {"differential": "100 mm"}})
    found = limits.edge_input(plant, results.setpoints["H"], height, "h_e", "edge")
    assert found.value == height
    assert found.source == source if source != "issued" else isinstance(found.source, Place)


def test_a_height_that_is_proposed_names_its_proposal() -> None:
    plant, results = plant_and(switches={"H": {"height": {"issued": "~", "needs": [
        {"below": "overflow", "by": "500 mm"}]}}})
    assert results.setpoints["H"].is_proposed
    assert limits.edge_input(plant, results.setpoints["H"], 2.2, "h", "x").source == results.setpoints["H"].proposed.key


@pytest.mark.parametrize(("others", "low", "high"), [
    (["HH"], 2.485, 2.515), (["L2"], 2.49, 2.51), (["L2", "HH"], 2.485, 2.515), ([], 2.49, 2.51), (["overflow"], 2.485, 2.515)])
def test_the_error_that_a_body_shares_cancels_between_its_points(others: list[str], low: float, high: float) -> None:
    plant, results = plant_and(switches={"L2": small.switch("falling", issued="0.7 m", **{"in": "LX-H"})})
    book = Book()
    # type: ignore[arg-type]
    found = [limits.edge_within(plant, book, results.setpoints["H"], side, others, "h", "x").value for side in ("low", "high")]
    assert found == [pytest.approx(low), pytest.approx(high)]
    again = limits.edge_within(plant, book, results.setpoints["H"], "low", others, "h", "x")
    assert again.value == pytest.approx(low)  # entered once, asked for twice
    for side in ("low", "high"):  # what cancels is taken off the edge itself, which is named as where it comes from
        record = book.outcomes.get(f"#H/act-{side}-within-body")
        assert (record is None) == (low == 2.485)
        if isinstance(record, Record):
            assert [one.source for one in record.inputs] == [f"#H/act-{side}", "#H/error-common"]


# ---- limits ----------------------------------------------------------------------------------------------------------


def limit(direction: Any, hazard: str | None = None, **change: Any) -> limits.Limit:
    plant, results = plant_and(**change)
    return limits.limit_of(plant, results.tanks, Book(), "T-1", direction, hazard)


def hazard(begins: str) -> dict[str, Any]:
    return {"HZ": {"what": "x", "begins_at": begins, "harms": "equipment", "safe_state": "x"}}


@pytest.mark.parametrize(("direction", "begins", "change", "height"), [
    ("rising", None, {}, 3.5), ("rising", "T-1 overflow", {}, 3.5), ("falling", "T-1 overflow", {}, LOWEST),
    ("falling", "T-1 bottom", {}, 0.0), ("rising", "T-1 bottom", {}, 3.5), ("rising", "T-9 overflow", {}, 3.5),
    ("rising", "T-1 normal high", {}, 2.0), ("falling", "T-1 normal high", {}, LOWEST), ("falling", "T-1 normal low", {}, 1.2),
    ("rising", "T-1 rim", {"tanks": {"T-1": {"levels": {"rim": "3.9 m"}}}}, 3.9),
    ("falling", None, {"pumps": "~", "streams": {"out": "~"}}, 0.0),
    ("rising", "T-1 nowhere", {}, None),
])
def test_what_the_level_must_not_reach(direction: str, begins: str | None, change: Any, height: float | None) -> None:
    found = limit(direction, "HZ" if begins else None, **change, **({"hazards": hazard(begins)} if begins else {}))
    assert found.height == (None if height is None else pytest.approx(height))


def test_a_limit_that_is_not_known_names_its_fields() -> None:
    found = limit("rising", "HZ", hazards=hazard("T-1 nowhere"))
    assert found.missing == ("tanks/T-1/levels",) and "nowhere" in found.why
    assert limit("rising", "HZ", hazards=hazard("T-1")).height is None  # a tank is no level
    found = limit("falling", pumps={"P-1": {"suction": {"diameter": "~"}}})
    assert found.height is None and found.missing


def test_of_several_pumps_the_highest_of_the_lowest_levels_counts() -> None:
    found = limit("falling", pumps={"P-2": small.pump(suction={"tank": "T-1", "kind": "bell", "height": "0.4 m",
     "diameter": "200 mm"})})
    assert found.name == "the lowest level of P-2"


@pytest.mark.parametrize(("name", "key"), [
    ("overflow", "overflow"), ("normal_high", "normal_high"), ("normal high", "normal_high"), ("NORMAL HIGH", "normal_high"),
    ("bottom", "bottom"), ("lid", None)])
def test_a_level_by_its_name(name: str, key: str | None) -> None:
    found = limits.level_named(worked().tanks["T-1"], name)
    assert (found.key if found is not None else None) == key


# ---- rooms -----------------------------------------------------------------------------------------------------------


def rooms(**change: Any) -> dict[str, tuple[str, float | None]]:
    return {one.name: (one.until, round(one.outcome.value, 4) if isinstance(one.outcome, Record) else None)
            for one in worked(**change).rooms["T-1"]}


def test_room_up_to_each_of_its_ends() -> None:
    found = rooms()
    assert found["Room to the high alarm"] == ("H", round(math.pi * 0.485, 4))
    assert found["Room to the high trip"] == ("HH", round(math.pi * 0.985, 4))
    assert found["Room to the ceiling"] == ("", round(math.pi * 1.5, 4))
    assert found["Until suction is lost"][0] == "P-1"


@pytest.mark.parametrize(("height", "counts"), [("2.015 m", False), ("2.016 m", True), ("1.9 m", False)])
def test_a_point_at_the_edge_of_the_band_ends_no_room(height: str, counts: bool) -> None:
    found = rooms(switches={"H": {"height": {"issued": height}}})
    assert ("Room to the high alarm" in found) is counts


def test_pumps_are_named_as_print_names_them() -> None:
    two = rooms(pumps={"P-2": small.pump()})
    assert two["Until suction is lost"][0] == "P-1 and P-2"
    assert rooms(pumps={"P-2": small.pump(), "P-3": small.pump()})["Until suction is lost"][0] == "P-1, P-2 and P-3"


def test_time_until_suction_is_lost() -> None:
    """18 m3/h are 0.005 m3/s: from 1.2 m to the lowest level of the pump."""
    assert rooms()["Until suction is lost"][1] == pytest.approx((1.2 - LOWEST) * math.pi / 0.005, abs=1e-3)
    late = rooms(tanks={"T-1": {"levels": {"normal_low": "0.3 m"}}})
    assert late["Until suction is lost"][1] == 0.0
    (none,) = [one.outcome for one in worked(streams={"out": "~"}).rooms["T-1"] if one.name == "Until suction is lost"]
    assert isinstance(none, Absence)


# ---- budgets of a falling level, and what a point aims at ------------------------------------------------------------


def budget(tag: str, **change: Any) -> tuple[str, dict[str, float | None]]:
    found = worked(**change).level_budgets[tag]
    return found.limit, {piece.name: round(piece.length.value * 1000, 3) if isinstance(piece.length, Record) else None
                         for piece in found.pieces}


STEP = 0.005 / math.pi * 1000  # mm a second, falling at 18 m3/h


def trip(tag: str, target: str, state: str, **keys: Any) -> dict[str, Any]:
    return {f"I-{tag}": {"area": "A", "service": "x", "kind": "trip", "because": "x", "when": tag, "then": {target: state},
                         "by": "relays"} | keys}


def test_a_falling_trip_by_hand() -> None:
    aim, found = budget("LL", interlocks=trip("LL", "P-1", "stopped"), tanks={"T-1": {"defaults": {"relay_time": "1 s"}}},
                        pumps={"P-1": {"stop_time": "4 s"}})
    assert aim == "the lowest level of P-1"
    assert found["travel: sensor"] == pytest.approx(2 * STEP, abs=0.01)
    assert found["travel: relay"] == pytest.approx(1 * STEP, abs=0.01)
    assert found["travel: final element"] == pytest.approx(4 * STEP, abs=0.01)
    distance = 600 - 1000 * LOWEST
    assert found["margin left"] == pytest.approx(distance - 15 - 7 * STEP, abs=0.01)


@pytest.mark.parametrize(("tag", "change", "aim"), [
    ("C", {}, "H"), ("H", {}, "HH"), ("L", {}, "LL"),
    ("C", {"switches": {"H": {"role": "control"}}}, "HH"),  # the next alarm or trip, whatever stands between
    ("C", {"switches": {"H": {"height": {"issued": "1.5 m"}}}}, "HH"),  # at its own height nothing follows
    ("C", {"switches": {"H": {"height": {"issued": "1.4 m"}}}}, "HH"),
    ("C", {"switches": {"HH": {"height": {"issued": "2 m"}}}}, "HH"),
    ("C", {"switches": {"H": {"acts": "falling"}, "HH": {"acts": "falling"}}}, "overflow"),
])
def test_what_a_point_aims_at(tag: str, change: dict[str, Any], aim: str) -> None:
    assert budget(tag, **change)[0] == aim


def test_a_point_that_follows_takes_its_early_action() -> None:
    _, found = budget("C")
    assert found["H may act this early"] == 15.0
    _, found = budget("L")
    assert found["LL may act this early"] == 15.0
    _, found = budget("C", instruments={"LX-H": {"accuracy": {"own": "20 mm", "common": "0 mm"}}})
    assert found["H may act this early"] == 20.0


@pytest.mark.parametrize(("height", "suffices"), [("3.485 m", False), ("3.3 m", True)])
def test_a_margin_says_whether_the_distance_suffices(height: str, suffices: bool) -> None:
    """From 3.3 m to the overflow 200 mm, of which 15 are error and 11 x 3.18 travel; from 3.485 m on nothing is left."""
    found = worked(switches={"HH": {"height": {"issued": height}}}, interlocks=trip("HH", "XV", "closed"),
                   tanks={"T-1": {"defaults": {"relay_time": "1 s"}}}).level_budgets["HH"]
    (margin,) = [piece.length for piece in found.pieces if piece.kind == "margin"]
    assert isinstance(margin, Record)
    assert (margin.value > 0) is suffices is (margin.note == "")


def alarm(**person: str) -> dict[str, Any]:
    times = {"notice": "0 s", "diagnose": "0 s", "go": "0 s", "act": "0 s", "effect": "0 s"} | person
    return {"A-H": {"from": "H", "text": "x", "priority": "high", "means": "x", "first": "x", "operator_time": times}}


@pytest.mark.parametrize(("delay", "counts"), [("0 s", False), ("3 s", True)])
def test_delays_of_nothing_are_no_steps(delay: str, counts: bool) -> None:
    _, found = budget("H", alarms=laid_over(alarm(notice="10 s"), {"A-H": {"on_delay": delay}}),
     switches={"H": {"on_delay": delay}})
    assert ("travel: delay of the alarm" in found) is ("travel: delay of the point" in found) is counts
    assert "travel: somebody notices" in found and "travel: the way there" not in found


def test_the_slowest_trip_of_a_point_is_the_one_that_counts() -> None:
    both = trip("HH", "XV", "closed") | {"I-late": trip("HH", "XV", "closed", on_delay="5 s")["I-HH"]}
    _, found = budget("HH", interlocks=both, tanks={"T-1": {"defaults": {"relay_time": "1 s"}}})
    assert found["travel: delay of the interlock"] == pytest.approx(5 * 0.01 / math.pi * 1000, abs=0.01)


# ---- budgets of time -------------------------------------------------------------------------------------------------


def available(**change: Any) -> Any:
    (found,) = worked(interlocks=trip("HH", "XV", "closed"), **change).trips["I-HH"]
    return found


@pytest.mark.parametrize(("change", "why", "missing"), [
    ({"streams": {"in": {"flow": {"highest": "0 m3/h"}}}}, "no operating case has a rising level", ()),
    ({"switches": {"HH": {"height": {"issued": "~", "needs": []}}}}, "it is not settled where HH acts", ("switches/HH/height",)),
    ({"streams": {"in": "~"}}, "", ()),
])
def test_why_there_is_no_time(change: dict[str, Any], why: str, missing: tuple[str, ...]) -> None:
    found = available(**change)
    assert isinstance(found.available, Absence) and isinstance(found.overrun, Absence)
    assert why in found.available.why and set(missing) <= set(found.available.missing)


def test_the_time_from_the_latest_edge_to_the_limit() -> None:
    """At 36 m3/h, pi m2: from 3.015 m to 3.5 m takes 0.485 pi / 0.01 s; from beyond the limit none."""
    found = available()
    assert isinstance(found.available, Record) and found.available.value == pytest.approx(0.485 * math.pi / 0.01)
    assert found.available.note == ""
    late = available(switches={"HH": {"height": {"issued": "3.49 m"}}}).available
    assert isinstance(late, Record) and late.value == 0.0 and late.note


def test_pieces_of_the_travel_add_up_to_the_overrun() -> None:
    found = available(tanks={"T-1": {"defaults": {"relay_time": "1 s"}}})
    assert isinstance(found.overrun, Record)
    assert found.overrun.value == pytest.approx(11 * 0.01 / math.pi)
    assert [round(step.height, 6) for step in found.steps] == [round(time * 0.01 / math.pi, 6) for time in (2, 1, 8, 0)]
    assert "overrun" not in found.overrun.note
