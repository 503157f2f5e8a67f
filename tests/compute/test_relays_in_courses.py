"""A relay that drops out while levels move does what its contact says. Small plants, every time worked by hand.

A relay is pulled in while the contact that works it is closed. A contact that opens at the point says "acted" once the relay
drops, one that closes says "not acted"; what follows is in the interlock.
"""

from typing import Any

import pytest

from generator.model.course import Course
from generator.model.plant import Definitions
from tests.compute import small
from tests.compute.test_courses import point, run, when

START, STOP = 3, 4


def plant(wanted: str, at_the_point: str = "opens", height: str = "3 m", **changes: Any) -> Definitions:
    """A tank at 1 m that nothing moves but a pump; a high point works relay K, which is back after a minute."""
    nouns: dict[str, Any] = {
        "tanks": {"T-1": small.tank(), "T-2": small.tank(levels={"normal_low": "1 m", "normal_high": "2 m"})},
        "instruments": {"LX-1": small.body(), "LX-2": small.body("T-2")},
        "panels": {"LP": {"area": "A", "where": "hall"}},
        "pumps": {"P-1": small.pump("3.6 m3/h", start_time=f"{START} s", stop_time=f"{STOP} s")},
        "streams": {"out": small.stream("T-1", "outside", "3.6 m3/h", moved_by="P-1")},
        "relays": {"K": {"panel": "LP", "kind": "interposing relay", "drives": ["P-1"]}},
        "switches": {"HH": point("rising", height, "trip", contact={"at_the_point": at_the_point, "drives": "K"})},
        "interlocks": {"I": {"area": "A", "service": "x", "kind": "releasing interlock", "because": "x", "when": "HH",
                             "then": {"P-1": wanted}, "bad_signal": "trips"}},
        "scenarios": {"one": {"name": "One", "tank": "T-1", "starts_at": "1 m", "lasts": "4 min", "events": [
            {"at": "1 min", "what": "drops", "fails": "K"}, {"at": "2 min", "what": "is mended", "returns": "K"}]}},
    }
    return small.plant(**(nouns | changes))


def course(made: Definitions) -> Course:
    return run(made, "one")[0]


def turns(one: Course, tag: str) -> list[tuple[float, str]]:
    return [(event.time, event.turned) for event in one.events if event.tags[:1] == (tag,) and event.turned]


def test_a_relay_whose_contact_opens_to_start_starts_its_pump() -> None:
    """Nothing stands at the point; the drop of the relay is the float's open contact, so the pump runs until it is mended."""
    one = course(plant("running", controls={"C": {
        "kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["S"], "stops": "L"}}, switches={
        "HH": point("rising", "3 m", "trip", contact={"at_the_point": "opens", "drives": "K"}),
        "S": point("rising", "2 m"), "L": point("falling", "0.5 m")}))
    assert dict(one.stood)["P-1"] == "stopped"
    assert when(one, "I", "acts") == pytest.approx(60)
    assert when(one, "P-1", "running") == pytest.approx(60 + START)
    assert when(one, "I", "lets go") == pytest.approx(120)
    assert when(one, "P-1", "stopped") == pytest.approx(120 + STOP)


def test_a_relay_whose_contact_closes_to_trip_is_silent_and_leaves_its_pump_running() -> None:
    one = course(plant("stopped", "closes"))
    assert (dict(one.stood)["P-1"], dict(one.stood)["I"]) == ("running", "lets go")
    assert turns(one, "I") == turns(one, "P-1") == []


def test_a_relay_whose_contact_closes_to_trip_lets_go_of_what_it_had_tripped() -> None:
    one = course(plant("stopped", "closes", height="0.9 m"))
    assert (dict(one.stood)["P-1"], dict(one.stood)["I"]) == ("stopped", "acts")
    assert when(one, "P-1", "running") == pytest.approx(60 + START)


def test_nothing_gets_past_a_relay_that_cannot_pull_in() -> None:
    """A flow switch trips by the same relay, which has dropped out and would have to pull in: the pump goes on running."""
    events = [{"at": "1 min", "what": "drops", "fails": "K"}, {"at": "90 s", "what": "no flow", "fails": "FS"},
              {"at": "2 min", "what": "is mended", "returns": "K"}]
    made = plant("stopped", "closes", signals={"FS": {"area": "A", "service": "flow", "kind": "flow", "fails": "on"}},
                 interlocks={"I": {"area": "A", "service": "x", "kind": "releasing interlock", "because": "x",
                                   "when": {"any_of": ["HH", "FS"]}, "then": {"P-1": "stopped"}, "bad_signal": "trips"}},
                 scenarios={"one": {"name": "One", "tank": "T-1", "starts_at": "1 m", "lasts": "4 min", "events": events}})
    one = course(made)
    assert when(one, "I", "acts") == pytest.approx(90)
    assert when(one, "P-1", "stopped") == pytest.approx(120 + STOP)


def test_a_relay_of_a_point_in_another_tank_stops_the_pump_of_this_one() -> None:
    one = course(plant("stopped", switches={
        "HH": point("rising", "3 m", "trip", contact={"at_the_point": "opens", "drives": "K"}) | {"in": "LX-2"}}))
    assert dict(one.stood)["P-1"] == "running"
    assert when(one, "P-1", "stopped") == pytest.approx(60 + STOP)
    assert when(one, "P-1", "running") == pytest.approx(120 + START)


def test_a_relay_that_no_recorded_contact_works_takes_the_drive_of_its_pump() -> None:
    one = course(plant("stopped", switches={"HH": point("rising", "3 m", "trip")}))
    assert turns(one, "I") == []
    assert when(one, "P-1", "stopped") == pytest.approx(60 + STOP)
