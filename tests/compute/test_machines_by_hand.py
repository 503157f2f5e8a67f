"""Points and final elements at one moment of a course, and what the event list says of a change; worked by hand, no other source.

Points on T-1: H acts at 2 m and clears at 1.9 m, L acts at 1 m and clears at 1.1 m, E acts and clears at 3 m. M is a set point
on a transmitter without a contact. XV takes 8 s to shut and 5 s to open, P-1 stops in 4 s and starts in 3 s.
"""

import json
from functools import cache
from typing import Any

import pytest

from generator.compute.course_log import Log
from generator.compute.course_logic import Logic
from generator.compute.course_machines import Machines, relevant, rest_states
from generator.compute.course_points import SAME, Points, at_normal
from generator.model.plant import Definitions
from generator.model.results import Results
from generator.model.scalar import Tag
from tests.check.small_plants import laid_over
from tests.compute import small
from tests.compute.test_proofs_by_hand import lock

ALL = ("P-1", "P-2", "XV", "YV", "E-1")
NOUNS: dict[str, Any] = {
    "tanks": {"T-1": small.tank(levels={"overflow": "3.5 m", "normal_low": "1.2 m", "normal_high": "1.8 m"}),
     "T-2": small.tank()},
    "panels": {"LP": {"area": "A", "where": "x"}}, "supplies": {"S": {"kind": "mains"}, "AIR": {"kind": "instrument air"}},
    "relays": {"K": {"panel": "LP", "kind": "interposing relay", "supply": "S"}},
    "instruments": {"LX-1": small.body(differential="100 mm", wiring={"panel": "LP", "supply": "S"}),
                    "LX-E": small.body(differential="0 mm"),
                    "LT": small.body(technology="free space radar", signal="4-20 mA", differential="100 mm",
                                     wiring={"panel": "LP", "supply": "S"})},
    "switches": {"H": small.switch("rising", issued="2 m", contact={"at_the_point": "opens"}),
                 "L": small.switch("falling", issued="1 m", contact={"at_the_point": "closes", "drives": "K"}),
                 "E": small.switch("rising", issued="3 m", **{"in": "LX-E"}),
                 "M": small.switch("rising", issued="2.5 m", **{"in": "LT"})},
    "signals": {"LOST": {"area": "A", "service": "x", "kind": "supply lost", "of": "S"},
                "T": {"area": "A", "service": "x", "kind": "temperature"},
                "HS": {"area": "A", "service": "x", "kind": "manual stop"}},
    "valves": {"XV": {"area": "A", "service": "x", "kind": "on-off", "closing_time": "8 s", "opening_time": "5 s",
     "supply": "AIR",
                      "fails": "closed"}, "YV": {"area": "A", "service": "x", "kind": "on-off", "fails": "in place",
                       "panel": "LP"}},
    "equipment": {"E-1": {"area": "A", "service": "x", "kind": "heater", "supply": "S"}},
    "pumps": {"P-1": small.pump(stop_time="4 s", start_time="3 s", supply="S", feedback={"by": "running", "within": "10 s"}),
              "P-2": small.pump()},
    "streams": {"in": small.stream("outside", "T-1", "36 m3/h", through=["XV"]),
                "out": small.stream("T-1", "T-2", "36 m3/h", moved_by="P-1", through=["YV"])},
    "interlocks": {"I": lock("H", {"XV": "closed"}), "IE": lock("L", {"E-1": "off"}), "IP": lock({"not": "L"}, {"P-1": "running"},
                                                                                          kind="permissive")},
    "alarms": {"A-H": {"from": "H", "text": "HIGH", "priority": "high", "means": "x", "first": "x"}},
}


@cache
def _worked(change: str) -> tuple[Definitions, Results]:
    made = laid_over(NOUNS, json.loads(change))
    return small.plant(**made), small.worked(**made)


def points(is_instant: bool = False, **change: Any) -> Points:
    plant, results = _worked(json.dumps(change))
    return Points(plant, results.setpoints, results.contacts, ("T-1",), is_instant)


@pytest.mark.parametrize(("levels", "acted"), [
    ([1.5], ""), ([1.99], ""), ([2.0], "H"), ([2.0 - SAME / 2], "H"), ([2.0 - 2 * SAME], ""), ([2.1, 1.95], "H"),
    ([2.1, 1.9 + 2 * SAME], "H"), ([2.1, 1.9 + SAME / 2], ""), ([2.1, 1.9], ""), ([2.1, 1.9, 1.95], ""),
    ([1.0], "L"), ([1.0 + SAME / 2], "L"), ([1.0 + 2 * SAME], ""), ([0.5, 1.05], "L"), ([0.5, 1.1], ""),
    ([0.5, 1.1 - 2 * SAME], "L"),
    # without a differential it clears just below its height, not at it
    ([3.0], "HEM"), ([3.1, 3.0], "HEM"), ([3.1, 3.0 - SAME / 2], "HEM"), ([3.1, 3.0 - 2 * SAME], "HM"),
])
def test_points_along_a_way(levels: list[float], acted: str) -> None:
    made = points()
    for level in levels:
        made.move("T-1", level)
    made.follow(0.0)
    assert "".join(tag for tag in "HLEM" if made.acted(tag)) == acted


@pytest.mark.parametrize(("level", "rising", "falling"), [
    (1.5, {2.0, 2.5, 3.0}, {1.0}), (2.2, {2.5, 3.0}, {1.9, 1.0}), (0.5, {1.1, 2.0, 2.5, 3.0}, set()),
    (3.2, set(), {3.0, 2.4, 1.9, 1.0})])
def test_heights_at_which_a_point_would_change(level: float, rising: set[float], falling: set[float]) -> None:
    made = points()
    made.move("T-1", level)
    assert {round(one, 6) for one in made.thresholds("T-1", True)} == rising
    assert {round(one, 6) for one in made.thresholds("T-1", False)} == falling


def test_a_look_without_time_counts_on_the_farthest_edge_at_which_a_point_lets_go() -> None:
    """Error of 15 mm: H lets go at 1.885 m for certain, L at 1.115 m."""
    made = points(is_instant=True)
    made.move("T-1", 2.2)
    assert {round(one, 6) for one in made.thresholds("T-1", False)} == {1.885, 1.0}
    made.move("T-1", 0.5)
    assert {round(one, 6) for one in made.thresholds("T-1", True)} == {1.115, 2.0, 2.5, 3.0}


def test_what_power_makes_a_point_forget() -> None:
    """Within its deadband a contact keeps its place; a set point begins anew."""
    made = points()
    made.move("T-1", 2.6)
    for level, acted in ((2.45, "HM"), (2.5, "HM")):
        made.move("T-1", level)
        made.forget("T-1", level)
        made.follow(0.0)
        assert "".join(tag for tag in "HM" if made.acted(tag)) == ("HM" if level == 2.5 else "H"), acted
        made.move("T-1", 2.6)
    made.move("T-1", 1.95)
    made.forget("T-1", 1.95)
    made.follow(0.0)
    assert made.acted("H")


@pytest.mark.parametrize(("faults", "level", "acted"), [
    ({"H": "acted"}, 1.5, "H"), ({"H": "clear"}, 2.2, ""), ({"LX-1": "acted"}, 1.5, "HL"), ({"LX-1": "clear"}, 0.5, ""),
    ({"LX-1": "wet"}, 0.5, "H"), ({"LX-1": "dry"}, 2.2, "L"), ({"H": "clear", "LX-1": "acted"}, 2.2, "L"),
    ({"LX-1": "stays"}, 2.2, "H"), ({"LX-E": "acted"}, 2.2, "H")])
def test_what_a_faulty_point_tells(faults: dict[str, str], level: float, acted: str) -> None:
    made = points()
    made.faults.update(faults)
    made.move("T-1", level)
    made.follow(0.0)
    assert "".join(tag for tag in "HL" if made.acted(tag)) == acted


def test_a_body_that_stays_shows_for_ever_what_it_showed_first() -> None:
    made = points()
    made.faults["LX-1"] = "stays"
    for level in (1.5, 2.2, 0.5):
        made.move("T-1", level)
        made.follow(0.0)
        assert not made.acted("H") and not made.acted("L")


@pytest.mark.parametrize(("lost", "level", "acted"), [
    (set(), 1.5, ""), ({"S"}, 1.5, "H"), ({"LP"}, 1.5, "H"), ({"AIR"}, 1.5, ""), ({"K"}, 1.5, ""), ({"K"}, 0.5, ""),
    (set(), 0.5, "L")])
def test_what_a_lost_supply_makes_of_a_contact(lost: set[str], level: float, acted: str) -> None:
    """H opens to act: without current it looks acted. L closes to act, by a relay: dropped out it looks clear."""
    made = points()
    made.lost |= lost
    made.move("T-1", level)
    made.follow(0.0)
    assert "".join(tag for tag in "HL" if made.acted(tag)) == acted


@pytest.mark.parametrize(("lost", "bad"), [(set(), ""), ({"S"}, "M"), ({"LP"}, "M"), ({"AIR"}, "")])
def test_only_a_set_point_without_power_is_known_to_be_bad(lost: set[str], bad: str) -> None:
    """A contact that has lost its supply cannot be told from one that has opened."""
    made = points()
    made.lost |= lost
    assert "".join(tag for tag in ("H", "L", "M", "LOST", "nothing") if made.is_bad(tag)) == bad


def test_signals_beside_the_points() -> None:
    made = points()
    assert [made.acted(tag) for tag in ("LOST", "T", "HS", "nothing")] == [False] * 4
    assert [made.is_known(tag) for tag in ("LOST", "T", "HS", "H", "nothing")] == [True, False, True, True, True]
    made.lost.add("S")
    assert made.acted("LOST") and not made.acted("T")
    made.faults |= {"T": "acted", "LOST": "clear"}
    assert made.acted("T") and not made.acted("LOST") and made.is_known("T")


def test_delays_of_points() -> None:
    made = points(is_instant=False, switches={"H": {"on_delay": "5 s"}})
    made.move("T-1", 2.2)
    made.follow(10.0)
    assert not made.acted("H") and list(made.dues()) == [15.0] and made.seen(Tag("H"))
    made.follow(15.0)
    assert made.acted("H") and list(made.dues()) == []


@pytest.mark.parametrize(("height", "acts", "acted"), [
    ("1.5 m", "rising", True), ("1.5 m", "falling", True), ("1.4 m", "rising", True), ("1.6 m", "rising", False),
    ("1.6 m", "falling", True), ("1.4 m", "falling", False)])
def test_a_point_while_its_tank_stands_in_the_middle_of_its_band(height: str, acts: str, acted: bool) -> None:
    change: dict[str, Any] = {"switches": {"H": {"acts": acts, "height": {"issued": height}}}}
    plant, results = _worked(json.dumps(change))
    assert at_normal(plant, results.setpoints, "H") is acted
    plant, results = _worked(json.dumps(change | {"tanks": {"T-1": {"levels": {"normal_low": "~"}}}}))
    assert at_normal(plant, results.setpoints, "H") is False


# ---- final elements --------------------------------------------------------------------------------------------------


def machines(is_instant: bool = False, **change: Any) -> Machines:
    made = points(is_instant, **change)
    plant: Definitions = made.plant
    tags = relevant(plant, ("T-1",))
    return Machines(plant, tags, made, rest_states(plant, tags, ("T-1",)))


def test_what_belongs_to_a_tank_and_how_it_rests() -> None:
    """An interlock shuts XV and turns E-1 off, so they rest open and on; P-1 runs, with no control of this tank."""
    plant = points().plant
    tags = relevant(plant, ("T-1",))
    assert set(tags) == {"XV", "P-1", "YV", "E-1"} and set(relevant(plant, ("T-2",))) == {"P-1", "YV"}
    assert rest_states(plant, tags, ("T-1",)) == {"XV": "open", "P-1": "running", "YV": "open", "E-1": "on"}
    control = {"controls": {"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["H"],
     "stops": "L"}}}
    driven = points(**control).plant
    assert rest_states(driven, tags, ("T-1",))["P-1"] == "stopped"
    assert rest_states(driven, tags, ("T-2",))["P-1"] == "running"  # the control is of another tank
    loop = {"controls": {"C": {"kind": "modulating", "area": "A", "tank": "T-1", "moves": "YV", "measures": "LT",
                               "rising_level": "opens"}}}
    assert rest_states(points(**loop).plant, tags, ("T-1",))["YV"] == "modulating"


@pytest.mark.parametrize(("fault", "lost", "state"), [
    ({}, set(), "closed"), ({"XV": "stays"}, set(), "open"), ({"XV": "out"}, set(), "open"), ({}, {"AIR"}, "closed"),
    ({}, {"S"}, "closed")])
def test_a_valve_follows_its_order_unless_it_cannot(fault: dict[str, str], lost: set[str], state: str) -> None:
    made = machines(is_instant=True)
    made.points.faults.update(fault)
    made.points.lost |= lost
    made.follow({"XV": "closed", "YV": "open", "P-1": "running", "E-1": "on"}, 0.0)
    assert made.state("XV") == state


@pytest.mark.parametrize(("lost", "states"), [
    (set(), ("open", "open", "running", "on")), ({"AIR"}, ("closed", "open", "running", "on")),
    ({"S"}, ("open", "open", "stopped", "off")), ({"LP"}, ("open", "open", "running", "on"))])
def test_where_elements_go_without_their_drive(lost: set[str], states: tuple[str, ...]) -> None:
    made = machines(is_instant=True)
    made.points.lost |= lost
    made.follow({"XV": "open", "YV": "open", "P-1": "running", "E-1": "on"}, 0.0)
    assert tuple(made.state(tag) for tag in ("XV", "YV", "P-1", "E-1")) == states
    assert made.state("P-9") == ""


def test_strokes_and_starts_take_their_times() -> None:
    made = machines()
    shut = {"XV": "closed", "YV": "closed", "P-1": "stopped", "E-1": "off"}
    opened = {"XV": "open", "YV": "open", "P-1": "running", "E-1": "on"}
    assert set(made.follow(shut, 0.0)) == {"YV", "E-1"} and sorted(made.dues(0.0)) == [4.0, 8.0]
    assert made.follow(shut, 4.0) == ["P-1"] and made.follow(shut, 8.0) == ["XV"]
    assert set(made.follow(opened, 10.0)) == {"YV", "E-1"} and sorted(made.dues(10.0)) == [13.0, 15.0]
    assert made.follow(opened, 13.0) == ["P-1"] and made.follow(opened, 15.0) == ["XV"]


def test_a_pump_that_does_not_start_is_found_out_after_its_feedback_time() -> None:
    made = machines()
    made.points.faults["P-1"] = "out"
    orders = {"XV": "open", "YV": "open", "P-1": "running", "E-1": "on"}
    made.follow(orders, 0.0)  # it runs down in 4 s
    made.follow(orders, 4.0)
    assert made.state("P-1") == "stopped" and made.is_available("P-1")
    assert 14.0 in list(made.dues(4.0))
    made.follow(orders, 13.9)
    assert made.is_available("P-1")
    made.follow(orders, 14.0)
    assert not made.is_available("P-1") and 14.0 not in list(made.dues(14.0))
    made.power_back(20.0)
    assert made.is_available("P-1")


@pytest.mark.parametrize(("restart", "starts"), [
    ({"by_itself": "yes"}, 0.0), ({"by_itself": "yes", "after": "20 s"}, 20.0), ({"by_itself": "no"}, None), (None, 0.0)])
def test_who_starts_when_power_is_back(restart: dict[str, str] | None, starts: float | None) -> None:
    made = machines(pumps={"P-1": {"restart": restart or "~", "start_time": "0 s", "stop_time": "0 s"}})
    orders = {"XV": "open", "YV": "open", "P-1": "running", "E-1": "on"}
    made.points.lost.add("S")
    made.follow(orders, 0.0)
    assert made.state("P-1") == "stopped"
    made.points.lost.clear()
    made.power_back(100.0)
    runs = []
    for now in (100.0, 119.9, 120.0, 300.0):
        made.follow(orders, now)
        runs.append(made.state("P-1") == "running")
    assert runs == {0.0: [True] * 4, 20.0: [False, False, True, True], None: [False] * 4}[starts]


def test_pumps_of_a_group_start_one_after_the_other() -> None:
    """In the order of the group, 10 s apart, the first 20 s after power returns; one that waits longer is not held up twice."""
    group = {"G": {"name": "x", "pumps": ["P-1", "P-2"], "arrangement": "duty/assist", "stagger": "10 s"}}
    for late, wanted in (("20 s", {"P-1": 120.0, "P-2": 130.0}), ("60 s", {"P-1": 120.0, "P-2": 160.0}),
                         ("25 s", {"P-1": 120.0, "P-2": 130.0}), ("5 s", {"P-1": 120.0, "P-2": 130.0})):
        made = machines(pumps={"P-1": {"restart": {"by_itself": "yes", "after": "20 s"}},
                               "P-2": {"restart": {"by_itself": "yes", "after": late}}},
                        pump_groups=group, streams={"out": {"moved_by": "G"}})
        made.power_back(100.0)
        assert made.not_before == wanted
    made = machines(pumps={tag: {"restart": {"by_itself": "yes", "after": "20 s"}} for tag in ("P-1", "P-2")},
                    pump_groups={"G": {key: group["G"][key] for key in ("name", "pumps", "arrangement")}},
                    streams={"out": {"moved_by": "G"}})
    made.power_back(100.0)
    assert made.not_before == {"P-1": 120.0, "P-2": 120.0}  # nothing keeps them apart
    made.not_before.clear()
    made.power_back(100.0, [Tag("P-1")])
    assert made.not_before == {"P-1": 120.0}


def test_a_pump_of_two_groups_runs_at_rest_where_it_stands_first() -> None:
    """Each group has its first pump running, whichever place it has in another group; the last of both stands."""
    pumps: dict[str, Any] = {"P-1": {}, "P-2": {}, "P-3": small.pump()}
    for first, second, wanted in ((["P-1", "P-2"], ["P-2", "P-1"], {"P-1", "P-2"}),
                                  (["P-1", "P-2"], ["P-2", "P-3"], {"P-1", "P-2"}), (["P-1", "P-3"], ["P-1", "P-2"], {"P-1"})):
        made = machines(pumps=pumps, pump_groups={
            "G": {"name": "x", "pumps": first, "arrangement": "duty/standby"},
            "H": {"name": "y", "pumps": second, "arrangement": "duty/standby"}},
            streams={"out": {"moved_by": "G"}, "more": small.stream("T-1", "outside", "36 m3/h", moved_by="H")})
        assert {tag for tag in pumps if tag in made.moving and made.state(tag) == "running"} == wanted


# ---- the event list --------------------------------------------------------------------------------------------------


def log(tanks: tuple[str, ...] = ("T-1",), **change: Any) -> tuple[Log, Logic, Points, Machines, Any]:
    plant, results = _worked(json.dumps(change))
    shown = Points(plant, results.setpoints, results.contacts, tanks, True)
    tags = relevant(plant, tanks)
    rest = rest_states(plant, tags, tanks)
    moved = Machines(plant, tags, shown, rest)
    logic = Logic(plant, tanks, shown, moved, rest)
    return Log(plant, shown, logic, moved, tanks), logic, shown, moved, results


def test_what_a_change_is_called() -> None:
    kept, logic, shown, moved, _ = log()

    def step(level: float, now: float) -> list[tuple[str, str, str]]:
        shown.move("T-1", level)
        shown.follow(now)
        moved.follow(logic.follow(now), now)
        begun = len(kept.events)
        assert kept.changes(now, {"T-1": level}) is (len(kept.events) > begun)
        return [(one.kind, one.what, one.turned) for one in kept.events[begun:]]

    shown.move("T-1", 1.5)
    shown.follow(0.0)
    moved.follow(logic.follow(0.0), 0.0)
    kept.begin()
    assert step(1.6, 1.0) == []
    assert step(2.1, 2.0) == [("point", "H acts", "acted"), ("interlock", "I acts", "acts"), ("alarm", "alarm A-H: HIGH",
     "sounds"),
                              ("element", "XV is shut", "closed")]
    assert step(1.5, 3.0) == [("point", "H clears", "clear"), ("interlock", "I lets go", "lets go"), ("alarm",
     "alarm A-H clears", "quiet"),
                              ("element", "XV is open", "open")]
    assert step(0.9, 4.0) == [("point", "L acts", "acted"), ("interlock", "IE acts", "acts"), ("interlock", "IP blocks a start",
     "lets go"),
                              ("element", "E-1 is off", "off")]
    assert step(1.3, 5.0) == [("point", "L clears", "clear"), ("interlock", "IE lets go", "lets go"),
                              ("interlock", "IP allows a start", "acts"), ("element", "E-1 is on", "on")]
    assert {one.tank for one in kept.events} == {"T-1"} and kept.events[0].level == 2.1 and kept.events[0].time == 2.0


def test_flows_and_overflows_are_told_when_they_begin_and_cease() -> None:
    for tanks, whose in ((("T-1",), ""), (("T-1", "T-2"), " of T-1")):
        kept = log(tanks)[0]
        levels = dict.fromkeys(tanks, 3.5)
        for flow in (0.0, 0.01, 0.02, 0.0):
            kept.overflows(1.0, levels, flow, "T-1")
        assert [(one.what, one.turned) for one in kept.events] == [
            (f"liquid leaves by the overflow{whose}", "overflows"), (f"the overflow{whose} has stopped", "dry")]
        kept.events.clear()
        for flow in (0.0, 0.01, 0.02, 0.0):
            kept.flows(1.0, levels, {Tag("in"): flow})
        assert [(one.what, one.turned, one.tags) for one in kept.events] == [
            ("stream: runs", "runs", ("in",)), ("stream: has ceased", "ceased", ("in",))]
        kept.events.clear()
        kept.flows(2.0, levels, {Tag("in"): 0.01, Tag("out"): 0.01})
        assert [one.tags for one in kept.events] == [("in",)]  # of one that was not known before nothing is said


@pytest.mark.parametrize(("level", "is_rising", "said"), [
    (3.5, True, ["rises to the overflow"]), (1.2, False, ["falls to the normal low"]),
    (1.2 + SAME / 2, True, ["rises to the normal low"]),
    (1.2 + 2 * SAME, True, []), (2.0, True, [])])
def test_lines_that_a_level_passes(level: float, is_rising: bool, said: list[str]) -> None:
    """Lines of the vessel and of the process; points tell of themselves."""
    for tanks, whose in ((("T-1",), "the level"), (("T-1", "T-2"), "the level of T-1")):
        kept, *_, results = log(tanks)
        names = {line.key: line.name for line in results.tanks["T-1"].levels}
        kept.passes(1.0, results.tanks["T-1"], level, is_rising)
        wanted = [f"{whose} {one}".replace("normal low", names["normal_low"]).replace("the overflow", f"the {names['overflow']}")
                  for one in said]
        assert [one.what for one in kept.events] == wanted
