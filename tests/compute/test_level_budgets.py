"""Level budgets: the pieces add up, and each is what a hand works out on an upright tank."""

import math
from pathlib import Path
from typing import Any

import pytest

from generator import compute, read
from generator.model.record import Absence, Record
from generator.model.results import Results
from tests.compute import small

ROOT = Path(__file__).parents[1] / "plants"
AREA = math.pi  # of an upright tank of 2 m
MM_A_SECOND = 10 / AREA  # at 36 m3/h


def trip(**keys: Any) -> dict[str, Any]:
    return {"area": "A", "service": "Trip", "kind": "trip", "when": "X", "then": {"V": "closed"}, "by": "relays",
            "live_in": ["auto"], "because": "test"} | keys


def alarm(point: str, person: dict[str, str], **keys: Any) -> dict[str, Any]:
    return {"from": point, "text": "HIGH", "priority": "high", "means": "too much", "first": "shut V",
            "operator_time": person} | keys


def one_trip(**keys: Any) -> Results:
    """A trip at 3.0 m under an overflow at 3.5 m; 36 m3/h run in."""
    nouns: dict[str, Any] = {
        "streams": {"in": small.stream("outside", "T-1", "36 m3/h", through=["V"], drains_after_stop="10 L")},
        "instruments": {"LX-1": small.body(response_time="2 s")},
        "switches": {"X": small.switch("rising", issued="3.0 m", role="trip", on_delay="1 s")},
        "valves": {"V": {"area": "A", "service": "Inlet", "kind": "on-off", "closing_time": "8 s"}},
        "modes": {"auto": {"name": "AUTO", "means": "auto"}},
        "interlocks": {"I": trip()},
        "tanks": {"T-1": small.tank(waves={"peak_to_peak": "40 mm"}, defaults={"relay_time": "0.5 s"})},
    }
    return small.worked(**nouns | keys)


def lengths(results: Results, tag: str) -> dict[str, float]:
    """Pieces of a point in millimetres."""
    made = {}
    for piece in results.level_budgets[tag].pieces:
        assert isinstance(piece.length, Record), piece
        made[piece.name] = piece.length.value * 1000
    return made


@pytest.mark.parametrize("plant", ["condensate.yml", "logic.yml", "untroubled.yml", "cautious.yml"])
def test_pieces_add_up_to_the_distance(plant: str) -> None:
    made, mistakes = read.plant(ROOT / plant)
    assert made is not None, mistakes
    results = compute.results(made, read.knowledge())
    for budget in results.level_budgets.values():
        values = [piece.length.value for piece in budget.pieces if isinstance(piece.length, Record)]
        if len(values) == len(budget.pieces):
            assert isinstance(budget.distance, Record)
            assert sum(values) == pytest.approx(budget.distance.value, abs=1e-9)
            assert all(value >= 0 for value, piece in zip(values, budget.pieces, strict=True) if piece.kind != "margin")


def test_pieces_of_a_trip_by_hand() -> None:
    found = lengths(one_trip(), "X")
    assert list(found) == ["margin left", "travel: line drain-down", "travel: final element", "travel: relay",
                           "travel: delay of the point", "travel: sensor", "trough of the waves",
                           "error shared with the body", "own error of the point"]
    assert found["own error of the point"] == pytest.approx(10)
    assert found["error shared with the body"] == pytest.approx(5)
    assert found["trough of the waves"] == pytest.approx(20)  # the delay waits for lasting contact
    assert found["travel: sensor"] == pytest.approx(2 * MM_A_SECOND)
    assert found["travel: delay of the point"] == pytest.approx(1 * MM_A_SECOND)
    assert found["travel: relay"] == pytest.approx(0.5 * MM_A_SECOND)
    assert found["travel: final element"] == pytest.approx(8 * MM_A_SECOND)
    assert found["travel: line drain-down"] == pytest.approx(10 / AREA)  # 10 L over the surface
    assert found["margin left"] == pytest.approx(500 - 35 - 11.5 * MM_A_SECOND - 10 / AREA)


def test_a_limit_above_the_overflow_leaves_room_for_the_head_over_it() -> None:
    tank = small.tank(levels={"overflow": "3.5 m", "rim": "3.9 m"}, defaults={"relay_time": "0.5 s"},
                      overflow={"to": "drain", "weir_width": "1 m"})
    hazards = {"H": {"what": "spill", "harms": "people", "begins_at": "T-1 rim", "safe_state": "shut"}}
    results = one_trip(tanks={"T-1": tank}, hazards=hazards, interlocks={"I": trip(hazard="H")})
    # Francis: H = (0.01 / 1.84)^(2/3) = 30.9 mm, worked by hand
    assert lengths(results, "X")["head over the overflow at full inflow"] == pytest.approx(30.9, abs=0.05)
    assert "head over the overflow at full inflow" not in lengths(one_trip(), "X")


def test_an_alarm_aims_at_the_earliest_action_of_its_trip() -> None:
    person = {"notice": "30 s", "diagnose": "10 s", "go": "20 s", "act": "5 s", "effect": "0 s"}
    results = one_trip(
        switches={"X": small.switch("rising", issued="3.0 m", role="trip"),
                  "Y": small.switch("rising", issued="2.5 m", role="alarm", **{"in": "LX-2"})},
        instruments={"LX-1": small.body(response_time="2 s"), "LX-2": small.body(response_time="0 s")},
        alarms={"A-1": alarm("Y", person, before="I")})
    budget, found = results.level_budgets["Y"], lengths(results, "Y")
    assert budget.limit == "X"
    assert found["X may act this early"] == pytest.approx(35)
    assert found["travel: somebody notices"] == pytest.approx(30 * MM_A_SECOND)
    assert "travel: the liquid answers" not in found
    assert found["margin left"] == pytest.approx(500 - 35 - 15 - 65 * MM_A_SECOND)


def test_two_points_of_one_body_do_not_pay_for_the_error_that_they_share() -> None:
    person = {"notice": "30 s", "diagnose": "10 s", "go": "20 s", "act": "5 s", "effect": "0 s"}
    results = one_trip(switches={"X": small.switch("rising", issued="3.0 m", role="trip"),
                                 "Y": small.switch("rising", issued="2.5 m", role="alarm")},
                       alarms={"A-1": alarm("Y", person, before="I")})
    found = lengths(results, "Y")
    assert found["X may act this early"] == pytest.approx(30)  # own error and wave, without the common 5 mm
    assert "error shared with the body" not in found
    assert found["margin left"] == pytest.approx(500 - 30 - 10 - 67 * MM_A_SECOND)
    assert "error shared with the body" in lengths(results, "X")  # its limit is the overflow


def test_what_is_not_recorded_leaves_the_margin_open() -> None:
    budget = one_trip(instruments={"LX-1": small.body()}).level_budgets["X"]
    margin = next(piece.length for piece in budget.pieces if piece.kind == "margin")
    assert isinstance(margin, Absence)
    assert margin.missing == ("instruments/LX-1/response_time",)


def test_a_distance_that_does_not_suffice_has_a_negative_margin() -> None:
    results = one_trip(switches={"X": small.switch("rising", issued="3.46 m", role="trip", on_delay="1 s")})
    assert lengths(results, "X")["margin left"] < 0
    assert sum(lengths(results, "X").values()) == pytest.approx(40)


NAMES = ["sensor", "signal over NL", "delay of the point", "logic", "relay", "order over NL", "final element", "line drain-down"]


def stopped_twice(defaults: dict[str, str], **link: str) -> Results:
    """X stops the inflow through V as a control, Y as a trip; the same sensor, delay, logic, relay, link and valve."""
    switches = {"X": small.switch("rising", issued="2.0 m", role="control", on_delay="1 s"),
                "Y": small.switch("rising", issued="3.0 m", role="trip", on_delay="1 s", **{"in": "LX-2"}),
                "Z": small.switch("falling", issued="1.0 m", role="control")}
    return one_trip(
        switches=switches, instruments={tag: small.body(response_time="2 s") for tag in ("LX-1", "LX-2")},
        tanks={"T-1": small.tank(defaults=defaults)},
        controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "V", "starts": ["Z"], "stops": "X",
                        "by": "controller"}},
        interlocks={"I": trip(when="Y", by="safety system")}, panels={tag: {"area": "A", "where": "x"} for tag in ("L", "M")},
        links={"NL": {"area": "A", "service": "x", "between": ["L", "M"], "carries": ["X", "Y", "V"]} | link})


def test_a_control_counts_the_terms_of_a_trip_by_hand() -> None:
    """2 s + 0.3 s + 1 s + 2 x 50 ms + 0.5 s + 0.3 s + 8 s = 12.2 s at 10 / pi mm/s, then 10 L over pi m2."""
    results = stopped_twice({"relay_time": "0.5 s", "scan_time": "50 ms"}, carries_within="0.3 s")
    control, safe = ({name.removeprefix("travel: "): length for name, length in lengths(results, tag).items()
                      if name.startswith("travel")} for tag in "XY")
    assert list(reversed(control)) == list(reversed(safe)) == NAMES
    assert control == pytest.approx(safe)
    assert control["logic"] + control["relay"] == pytest.approx(0.6 * MM_A_SECOND)
    assert sum(control.values()) == pytest.approx(12.2 * MM_A_SECOND + 10 / AREA)


@pytest.mark.parametrize(("link", "defaults", "missing"), [
    ({}, {"relay_time": "0.5 s", "scan_time": "50 ms"}, ["links/NL/carries_within"]),
    ({"carries_within": "0.3 s"}, {}, ["tanks/T-1/defaults/scan_time", "tanks/T-1/defaults/relay_time"])])
def test_a_control_too_leaves_its_margin_open_where_a_time_is_not_recorded(
    link: dict[str, str], defaults: dict[str, str], missing: list[str],
) -> None:
    budget = stopped_twice(defaults, **link).level_budgets["X"]
    margin = next(piece.length for piece in budget.pieces if piece.kind == "margin")
    assert isinstance(margin, Absence)
    assert list(dict.fromkeys(margin.missing)) == missing
