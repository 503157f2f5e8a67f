"""What a mode silences, and what a control does with a bad point: courses with every time worked by hand."""

from typing import Any

import pytest

from generator.model.course import Course
from generator.model.failure import FailureEffect
from tests.compute import small
from tests.compute.test_courses import point, run, when

MODES = {"modes": {"auto": {"name": "AUTO", "means": "x"}, "hand": {"name": "HAND", "means": "y"}}}
PANELS = {tag: {"area": "A", "where": "x"} for tag in ("LP-1", "LP-2")}
AREA = 3.14159265


def alarm(from_: str, **keys: Any) -> dict[str, Any]:
    return {"from": from_, "text": from_, "priority": "high", "means": "x", "first": "x", **keys}


def filled(*events: dict[str, Any], starts_at: str = "1.0 m", **changes: Any) -> Course:
    """An upright tank of 2 m that fills with 3.6 m3/h, 0.318 mm/s; its pump takes 7.2 m3/h from 1.1 m down to 0.9 m."""
    nouns: dict[str, Any] = {
        **MODES, "panels": PANELS,
        "streams": {"in": small.stream("outside", "T-1", "3.6 m3/h"),
                    "out": small.stream("T-1", "outside", "7.2 m3/h", moved_by="P-1")},
        "pumps": {"P-1": small.pump("7.2 m3/h")},
        "switches": {"LSH": point("rising", "1.1 m", differential="10 mm"),
                     "LSL": point("falling", "0.9 m", differential="10 mm"),
                     "LAH": point("rising", "1.2 m", "alarm", differential="10 mm")},
        "controls": {"C": control()},
        "alarms": {"A-H": alarm("LAH")},
        "scenarios": {"one": {"name": "One", "tank": "T-1", "starts_at": starts_at, "lasts": "60 min", "events": [
            {"at": "0 s", "what": "filling", "streams": {"in": "highest"}}, *events]}},
    }
    return run(small.plant(**(nouns | changes)), "one")[0]


def control(**keys: Any) -> dict[str, Any]:
    return {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["LSH"], "stops": "LSL", **keys}


def minutes(metres: float, flow: float = 3.6) -> float:
    """Time in which an upright tank of 2 m gains or loses a height at a net flow in m3/h, h A / Q. [s]"""
    return metres * AREA / (flow / 3600)


def turned(course: Course, tag: str) -> list[tuple[str, float]]:
    return [(event.turned, round(event.time, 1)) for event in course.events if event.tags[:1] == (tag,) and event.turned]


HAND, AUTO = {"at": "1 min", "what": "hand", "mode": "hand"}, {"at": "40 min", "what": "auto", "mode": "auto"}


def test_a_control_that_is_not_live_starts_nothing_until_the_mode_is_back() -> None:
    course = filled(HAND, AUTO, controls={"C": control(live_in=["auto"])})
    assert when(course, "LSH", "acted") == pytest.approx(minutes(0.1), rel=1e-3)  # 314 s, in HAND
    assert when(course, "P-1", "running") == pytest.approx(2400)


def test_a_control_that_names_no_mode_goes_on_in_each() -> None:
    assert when(filled(HAND, AUTO), "P-1", "running") == pytest.approx(minutes(0.1), rel=1e-3)


def test_a_pump_that_runs_when_its_control_is_put_out_of_use_runs_on_past_its_stop() -> None:
    """Started at 1.12 m it stops after 0.22 m at 3.6 m3/h down, 691 s; put into HAND a minute on it draws the tank empty."""
    own = filled(AUTO, starts_at="1.12 m")
    assert when(own, "P-1", "stopped") == pytest.approx(minutes(0.22), rel=1e-3)
    course = filled(HAND, AUTO, starts_at="1.12 m", controls={"C": control(live_in=["auto"])})
    assert when(course, "P-1", "stopped") == pytest.approx(2400)


def test_an_alarm_that_is_not_live_is_silent_and_sounds_once_the_mode_is_back() -> None:
    nouns = {"controls": {}, "alarms": {"A-H": alarm("LAH", live_in=["auto"]), "A-2": alarm("LAH")},
             "pumps": {"P-1": small.pump("7.2 m3/h")}, "streams": {"in": small.stream("outside", "T-1", "3.6 m3/h")}}
    course = filled(HAND, AUTO, **nouns)
    assert when(course, "A-2", "sounds") == pytest.approx(minutes(0.2), rel=1e-3)
    assert turned(course, "A-H") == [("sounds", 2400.0)]


def test_an_alarm_that_sounds_goes_quiet_in_a_mode_in_which_it_is_not_live() -> None:
    course = filled({"at": "20 min", "what": "hand", "mode": "hand"}, controls={}, pumps={"P-1": small.pump("7.2 m3/h")},
                    streams={"in": small.stream("outside", "T-1", "3.6 m3/h")},
                    alarms={"A-H": alarm("LAH", live_in=["auto"])})
    assert [one for one, _ in turned(course, "A-H")] == ["sounds", "quiet"]
    assert when(course, "A-H", "quiet") == pytest.approx(1200)


def test_a_loop_that_is_not_live_leaves_its_valve_where_it_stands() -> None:
    """In AUTO the loop lets in the 3.6 m3/h that are drawn. In HAND the draw doubles: what is missing falls, 0.318 mm/s."""
    nouns: dict[str, Any] = {
        "streams": {"in": small.stream("outside", "T-1", "20 m3/h", through=["LV"]),
                    "out": small.stream("T-1", "outside", "7.2 m3/h")},
        "valves": {"LV": {"area": "A", "service": "x", "kind": "control"}},
        "instruments": {"LX-1": small.body(), "LT": small.body()}, "switches": {"LSLL": point("falling", "0.9 m")}, "alarms": {},
        "tanks": {"T-1": small.tank(levels={"overflow": "3.5 m", "normal_low": "0.8 m", "normal_high": "1.2 m"})},
        "scenarios": {"one": {"name": "One", "tank": "T-1", "starts_at": "1.0 m", "lasts": "60 min", "events": [
            {"at": "0 s", "what": "drawn", "streams": {"out": "3.6 m3/h"}}, HAND,
            {"at": "2 min", "what": "more", "streams": {"out": "highest"}}]}},
    }
    loop = {"kind": "modulating", "area": "A", "tank": "T-1", "measures": "LT", "moves": "LV", "rising_level": "shuts"}
    assert turned(filled(**nouns, controls={"C": loop}), "LSLL") == []
    course = filled(**nouns, controls={"C": loop | {"live_in": ["auto"]}})
    assert when(course, "LSLL", "acted") == pytest.approx(120 + minutes(0.1), rel=1e-3)


# ---- behind a link that is lost ---------------------------------------------------------------------------------------

CUT, MENDED = {"at": "1 min", "what": "cut", "fails": "NL"}, {"at": "40 min", "what": "mended", "returns": "NL"}


def linked(received: str, carries: str = "LSH", starts_at: str = "1.0 m", **keys: Any) -> Course:
    link = {"area": "A", "service": "x", "between": ["LP-1", "LP-2"], "watched_for": "3 s", "received_signals": received,
            "carries": [carries], "serves": ["C"]}
    return filled(CUT, MENDED, starts_at=starts_at, links={"NL": link}, controls={"C": control(**keys)})


@pytest.mark.parametrize(("received", "keys", "running"), [
    ("hold", {}, 2400.0),  # the start point stays clear until the link is back
    ("hold", {"bad_signal": "starts"}, 2400.0),  # what is held is never bad
    ("bad", {"bad_signal": "holds"}, 2400.0),
    ("bad", {"bad_signal": "stops"}, 2400.0),
    ("bad", {"bad_signal": "starts"}, 63.0),
    ("bad", {}, 2400.0),  # not stated: it keeps what it saw, and the course says so
])
def test_a_control_whose_start_point_is_behind_a_lost_link(received: str, keys: dict[str, Any], running: float) -> None:
    course = linked(received, **keys)
    assert when(course, "P-1", "running") == pytest.approx(running)
    says = any("has no good signal" in one for one in course.assumptions)
    assert says is (received == "bad" and not keys)


@pytest.mark.parametrize(("bad", "stopped"), [("stops", 63.0), ("holds", 2400.0), ("starts", 2400.0)])
def test_a_running_pump_whose_stop_point_is_behind_a_lost_link(bad: str, stopped: float) -> None:
    """Started at 1.12 m, 0.9 m is reached after 691 s; only the mended link tells the control, or the answer to a bad point."""
    course = linked("bad", "LSL", "1.12 m", bad_signal=bad)
    assert when(course, "P-1", "stopped") == pytest.approx(stopped)


@pytest.mark.parametrize(("at_the_point", "running"), [("opens", 63.0), ("closes", 2400.0)])
def test_a_start_point_that_looks_like_an_open_contact_starts_where_it_opens_to_start(at_the_point: str, running: float) -> None:
    switches = {"LSH": point("rising", "1.1 m", differential="10 mm", contact={"at_the_point": at_the_point}),
                "LSL": point("falling", "0.9 m", differential="10 mm")}
    link = {"area": "A", "service": "x", "between": ["LP-1", "LP-2"], "watched_for": "3 s", "received_signals": "open",
            "carries": ["LSH"], "serves": ["C"]}
    course = filled(CUT, MENDED, links={"NL": link}, switches=switches, alarms={})
    assert when(course, "P-1", "running") == pytest.approx(running)


@pytest.mark.parametrize(("received", "bad", "falls"), [
    ("hold", "opens", True), ("bad", "holds", True), ("bad", "shuts", True), ("bad", "opens", False), ("bad", None, True)])
def test_a_loop_behind_a_lost_link(received: str, bad: str | None, falls: bool) -> None:
    """The loop lets in the 3.6 m3/h that are drawn when the link is lost; after 2 min 7.2 m3/h are drawn and the level falls,
    faster where the valve has shut; where it has opened, 20 m3/h come in and it rises."""
    nouns: dict[str, Any] = {
        "streams": {"in": small.stream("outside", "T-1", "20 m3/h", through=["LV"]),
                    "out": small.stream("T-1", "outside", "7.2 m3/h")},
        "valves": {"LV": {"area": "A", "service": "x", "kind": "control"}},
        "instruments": {"LX-1": small.body(), "LT": small.body()}, "alarms": {},
        "switches": {"LSLL": point("falling", "0.9 m"), "LSHH": point("rising", "1.1 m")},
        "tanks": {"T-1": small.tank(levels={"overflow": "3.5 m", "normal_low": "0.8 m", "normal_high": "1.2 m"})},
        "links": {"NL": {"area": "A", "service": "x", "between": ["LP-1", "LP-2"], "watched_for": "3 s", "carries": ["LT"],
                         "received_signals": received, "serves": ["C"]}},
        "scenarios": {"one": {"name": "One", "tank": "T-1", "starts_at": "1.0 m", "lasts": "20 min", "events": [
            {"at": "0 s", "what": "drawn", "streams": {"out": "3.6 m3/h"}}, CUT,
            {"at": "2 min", "what": "more", "streams": {"out": "highest"}}]}},
    }
    loop = {"kind": "modulating", "area": "A", "tank": "T-1", "measures": "LT", "moves": "LV", "rising_level": "shuts"}
    course = filled(**nouns, controls={"C": loop | ({"bad_signal": bad} if bad else {})})
    if not falls:
        left = 0.1 - 57 * 16.4 / 3600 / AREA  # from 63 s to 120 s 20 m3/h come in and 3.6 m3/h leave
        assert when(course, "LSHH", "acted") == pytest.approx(120 + minutes(left, 12.8), rel=1e-3)
        return
    lost = minutes(0.1) if bad != "shuts" else (0.1 - 57 * 3.6 / 3600 / AREA) * AREA / (7.2 / 3600)
    assert when(course, "LSLL", "acted") == pytest.approx(120 + lost, rel=1e-3)


@pytest.mark.parametrize(("bad", "does"), [
    ("starts", "runs on"), ("stops", "does not run"), ("holds", "either"), (None, "either")])
def test_the_failure_table_says_the_same_of_a_lost_link(bad: str | None, does: str) -> None:
    link = {"area": "A", "service": "x", "between": ["LP-1", "LP-2"], "watched_for": "3 s", "received_signals": "bad",
            "carries": ["LSL"], "serves": ["C"]}
    made = small.worked(**MODES, panels=PANELS, links={"NL": link}, pumps={"P-1": small.pump()},
                        streams={"out": small.stream("T-1", "outside", "7.2 m3/h", moved_by="P-1")},
                        switches={"LSH": point("rising", "1.1 m"), "LSL": point("falling", "0.9 m")},
                        controls={"C": control(**({"bad_signal": bad} if bad else {}))})
    effect: FailureEffect = made.failures["NL"][0]
    assert effect.controls == (("C", does),)
