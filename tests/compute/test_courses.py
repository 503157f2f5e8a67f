"""Courses of events against independent engines: scipy's event integration, EPANET, and numbers worked by hand.

The level against time rests on V(h2) - V(h1) = Q (t2 - t1). The checks integrate dh/dt = Q / A(h) instead, with areas from
the textbook chord of a circle (not from the project), or let EPANET 2.2 (US EPA, through wntr) run the same tank.
"""

import math
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from scipy.integrate import solve_ivp

from generator import compute
from generator.model.course import Course
from generator.model.plant import Definitions
from generator.model.record import Absence, Record
from generator.model.results import Results
from tests.compute import small

RADIUS, LENGTH = 1.0, 5.0
LYING = {"kind": "horizontal cylinder", "diameter": "2 m", "length": "5 m", "ends": "flat"}
LEVELS = {"overflow": "1.9 m", "normal_low": "0.6 m", "normal_high": "1.2 m"}


def point(acts: str, height: str, role: str = "control", **keys: Any) -> dict[str, Any]:
    return small.switch(acts, issued=height, role=role, differential=keys.pop("differential", "50 mm"), **keys)


def sump(shape: dict[str, Any] = LYING, **changes: Any) -> Definitions:
    """A tank that a pump draws down between two points, with an overfill trip on its inlet valve."""
    nouns: dict[str, Any] = {
        "tanks": {"T-1": small.tank(shape, levels=LEVELS)},
        "streams": {
            "in": small.stream("outside", "T-1", "36 m3/h", flow={"normal": "18 m3/h"}, through=["XV-1"],
                               drains_after_stop="20 L"),
            "out": small.stream("T-1", "outside", "54 m3/h", moved_by="P-1"),
        },
        "valves": {"XV-1": {"area": "A", "service": "Inlet", "kind": "on-off", "fails": "closed", "closing_time": "8 s",
                            "opening_time": "8 s", "supply": "AIR"}},
        "pumps": {"P-1": small.pump("54 m3/h", stop_time="4 s", start_time="3 s", supply="MAINS",
                                    restart={"by_itself": "yes", "after": "20 s"})},
        "supplies": {"MAINS": {"kind": "mains"}, "AIR": {"kind": "instrument air"}},
        "switches": {"LSH-1": point("rising", "1.2 m", on_delay="5 s"), "LSL-1": point("falling", "0.6 m"),
                     "LSHH-1": point("rising", "1.6 m", "trip")},
        "controls": {"C-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["LSH-1"],
                             "stops": "LSL-1"}},
        "interlocks": {"I-1": {"area": "A", "service": "Overfill", "kind": "trip", "because": "test", "when": "LSHH-1",
                               "on_delay": "2 s", "then": {"XV-1": "closed"}, "latch": {"survives_power_loss": "no"}}},
    }
    return small.plant(**(nouns | changes))


def run(plant: Definitions, key: str) -> tuple[Course, Results]:
    results = compute.results(plant, small.KNOWLEDGE)
    return next(one for one in results.courses["T-1"] if one.key.endswith(key)), results


def when(course: Course, tag: str, turned: str, nth: int = 0) -> float:
    return [event.time for event in course.events if tag in event.tags and event.turned == turned][nth]


def scenario(*events: dict[str, Any], starts_at: str = "0.7 m", lasts: str = "3 h") -> dict[str, Any]:
    return {"one": {"name": "One", "tank": "T-1", "starts_at": starts_at, "events": list(events), "lasts": lasts}}


def chord_area(height: float) -> float:
    """Surface of a lying cylinder: 2 L sqrt(2 R h - h^2), plane geometry."""
    return 2 * LENGTH * math.sqrt(max(2 * RADIUS * height - height * height, 1e-9))


def travel(begin: float, flow: float, until: float) -> float:
    """Time from a level to another by scipy's event integration. [s]"""

    def reached(_time: float, level: Any) -> float:
        return float(level[0] - until)

    reached.terminal = True  # type: ignore[attr-defined]  # how scipy asks for it
    found = solve_ivp(lambda _time, level: [flow / chord_area(level[0])], (0, 1e6), [begin], events=reached, rtol=1e-10,
                      atol=1e-12, max_step=50)
    return float(found.t_events[0][0])


def level_after(begin: float, flow: float, time: float) -> float:
    """Level after a time at one flow, by scipy. [m]"""
    found = solve_ivp(lambda _time, level: [flow / chord_area(level[0])], (0, time), [begin], rtol=1e-10, atol=1e-12)
    return float(found.y[0][-1])


def test_changing_area_and_delays_against_scipy() -> None:
    inflow, pump = 36 / 3600, 54 / 3600
    course, _ = run(sump(scenarios=scenario({"at": "0 s", "what": "peak", "streams": {"in": "highest"}})), "one")
    acts = travel(0.7, inflow, 1.2) + 5.0
    assert when(course, "LSH-1", "acted") == pytest.approx(acts, rel=1e-3)
    runs = acts + 3.0
    assert when(course, "P-1", "running") == pytest.approx(runs, rel=1e-3)
    peak = level_after(0.7, inflow, runs)
    stops = runs + travel(peak, inflow - pump, 0.6)
    assert when(course, "LSL-1", "acted") == pytest.approx(stops, rel=1e-3)
    low = level_after(peak, inflow - pump, stops + 4.0 - runs)
    assert when(course, "P-1", "stopped") == pytest.approx(stops + 4.0, rel=1e-3)
    again = stops + 4.0 + travel(low, inflow, 1.2) + 5.0
    assert when(course, "LSH-1", "acted", 1) == pytest.approx(again, rel=1e-3)


def test_overfill_trip_by_hand() -> None:
    """Upright tank of 2 m diameter, 36 m3/h: 1.2 m to 1.6 m is 0.4 pi m3, that is 125.664 s."""
    plant = sump(small.UPRIGHT, scenarios=scenario(
        {"at": "0 s", "what": "control out", "fails": "LSH-1", "streams": {"in": "highest"}}, starts_at="1.1 m"))
    course, results = run(plant, "one")
    seconds = 0.5 * math.pi / 0.01
    assert when(course, "LSHH-1", "acted") == pytest.approx(seconds, abs=1e-6)
    assert when(course, "I-1", "acts") == pytest.approx(seconds + 2, abs=1e-6)
    assert when(course, "XV-1", "closed") == pytest.approx(seconds + 10, abs=1e-6)
    assert when(course, "in", "ceased") == pytest.approx(seconds + 12, abs=1e-6)  # 20 L at 10 L/s still run out
    assert course.points[-1][1] == pytest.approx(1.6 + 0.12 / math.pi, abs=1e-6)
    assert results.courses["T-1"][-1].points[-1][0] == pytest.approx(3 * 3600)


@pytest.mark.parametrize(("by", "keys", "answer"), [
    ("controller", {}, 0.5 + 0.1), ("relays", {}, 0.1), ("device", {}, 0.0), ("controller", {"logic_time": "60 s"}, 60.0 + 0.1)])
def test_a_trip_takes_two_scans_and_its_relay_as_in_its_time_budget(by: str, keys: dict[str, str], answer: float) -> None:
    """Upright tank of 3 m, 20 m3/h: 3.30 m plus what runs in during 1 s, 2 s, logic, relay and 8 s, plus 60 L; by hand.

    With scans of 250 ms and 100 ms for the relay that is 3.30 m + (11.6 s 20/3600 m3/s + 0.06 m3) / 7.0686 m2 = 3.3176 m.
    """
    shape = {"kind": "vertical cylinder", "diameter": "3 m", "height": "4 m"}
    tank = small.tank(shape, levels={"overflow": "3.8 m", "normal_low": "1 m", "normal_high": "2 m"},
                      defaults={"scan_time": "250 ms", "relay_time": "100 ms"})
    lock = {"area": "A", "service": "Overfill", "kind": "trip", "because": "test", "when": "LSHH-1", "on_delay": "2 s",
            "then": {"XV-1": "closed"}, "by": by} | keys
    plant = sump(
        tanks={"T-1": tank}, controls={}, interlocks={"I-1": lock}, instruments={"LX-1": small.body(response_time="1 s")},
        switches={"LSHH-1": point("rising", "3.3 m", "trip")},
        streams={"in": small.stream("outside", "T-1", "20 m3/h", through=["XV-1"], drains_after_stop="60 L")}, pumps={},
        scenarios=scenario({"at": "0 s", "what": "feed", "streams": {"in": "highest"}}, starts_at="3.0 m"))
    course, results = run(plant, "one")
    late = 1.0 + 2.0 + answer
    reached = 0.3 * 2.25 * math.pi / (20 / 3600)
    assert when(course, "I-1", "acts") == pytest.approx(reached + late, abs=1e-6)
    assert when(course, "XV-1", "closed") == pytest.approx(reached + late + 8, abs=1e-6)
    assert course.points[-1][1] == pytest.approx(3.3 + ((late + 8) * 20 / 3600 + 0.06) / (2.25 * math.pi), abs=1e-6)
    needed = results.trips["I-1"][0].needed
    assert isinstance(needed, Record) and needed.value == pytest.approx(late + 8 + 0.06 / (20 / 3600))


def test_a_control_takes_two_scans_its_relay_and_its_links() -> None:
    """By hand: 1 s for the way of the signal, two scans of 0.5 s, 0.2 s for the relay, 3 s to start; 2 s more for the order."""
    tank = small.tank(small.UPRIGHT, levels=LEVELS, defaults={"scan_time": "500 ms", "relay_time": "200 ms"})
    ends = {"area": "A", "service": "x", "between": ["CC", "MCC"]}
    plant = sump(
        tanks={"T-1": tank}, interlocks={}, panels={tag: {"area": "A", "where": "x"} for tag in ("CC", "MCC")},
        links={"IN": ends | {"carries": ["LSH-1"], "carries_within": "1 s"},
               "OUT": ends | {"carries": ["P-1"], "carries_within": "2 s"}},
        scenarios=scenario({"at": "0 s", "what": "peak", "streams": {"in": "highest"}}))
    course, _ = run(plant, "one")
    assert when(course, "P-1", "running") == pytest.approx(when(course, "LSH-1", "acted") + 1 + 1 + 0.2 + 2 + 3)


def test_power_off_and_back() -> None:
    course, _ = run(sump(scenarios={}), "power")
    assert course.says.endswith("One minute of ordinary flow comes first.")
    assert min(event.time for event in course.events if event.kind == "given") == pytest.approx(60.0)
    assert when(course, "P-1", "stopped") == pytest.approx(64.0)
    assert when(course, "P-1", "running") >= 660.0 + 20.0
    assert not [event for event in course.events if event.turned == "running" and event.time < 680]


@pytest.mark.parametrize(("own", "starts"), [({"P-1": "10 s", "P-2": "10 s"}, (10, 25)), ({}, (0, 15)),
                                             ({"P-1": "10 s"}, (10, 25)), ({"P-2": "30 s"}, (0, 30))])
def test_restarts_of_a_group_keep_their_stagger(own: dict[str, str], starts: tuple[float, float]) -> None:
    """By hand, after power is back at 660 s; the same times stand in the records."""
    restart = {name: {"by_itself": "yes"} | ({"after": own[name]} if name in own else {}) for name in ("P-1", "P-2")}
    pumps = {name: small.pump("20 m3/h", supply="MAINS", restart=one) for name, one in restart.items()}
    plant = sump(
        small.UPRIGHT, pumps=pumps,
        pump_groups={"G-1": {"name": "Pumps", "pumps": ["P-1", "P-2"], "arrangement": "duty/assist", "stagger": "15 s"}},
        streams={"in": small.stream("outside", "T-1", "72 m3/h"),
                 "out": small.stream("T-1", "outside", "40 m3/h", moved_by="G-1")},
        controls={"C-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G-1", "starts": ["LSH-1", "LSH-2"],
                          "stops": "LSL-1"}},
        switches={"LSH-1": point("rising", "1.0 m"), "LSH-2": point("rising", "1.1 m"), "LSL-1": point("falling", "0.6 m")},
        interlocks={})
    course, results = run(plant, "power")
    for name, after in zip(pumps, starts, strict=True):
        assert when(course, name, "running") == pytest.approx(660.0 + after)
        record = results.records[f"#{name}/restart"]
        assert isinstance(record, Record) and record.value == after


def test_standby_pump_starts_when_the_duty_pump_does_not() -> None:
    keys = {"feedback": {"by": "contact", "within": "7 s"}, "start_time": "2 s"}
    plant = sump(
        small.UPRIGHT, pumps={"P-1": small.pump("54 m3/h", **keys), "P-2": small.pump("54 m3/h", **keys)},
        pump_groups={"G-1": {"name": "Pumps", "pumps": ["P-1", "P-2"], "arrangement": "duty/standby"}},
        streams={"in": small.stream("outside", "T-1", "36 m3/h"),
                 "out": small.stream("T-1", "outside", "54 m3/h", moved_by="G-1")},
        controls={"C-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G-1", "starts": ["LSH-1"],
                          "stops": "LSL-1"}}, interlocks={},
        scenarios=scenario({"at": "0 s", "what": "out", "fails": "P-1", "streams": {"in": "highest"}}))
    course, _ = run(plant, "one")
    assert when(course, "P-2", "running") == pytest.approx(when(course, "LSH-1", "acted") + 7 + 2)
    assert not [event for event in course.events if "P-1" in event.tags and event.turned == "running"]


@pytest.mark.parametrize("shape", [LYING, small.UPRIGHT])
def test_volume_balance_closes(shape: dict[str, Any]) -> None:
    results = compute.results(sump(shape), small.KNOWLEDGE)
    vessel = results.tanks["T-1"].vessel
    assert vessel is not None
    assert len(results.courses["T-1"]) == 4
    for course in results.courses["T-1"]:
        moved = sum(first.flow * (then.start - first.start) for first, then in pairwise(course.stretches))
        first, last = course.stretches[0], course.stretches[-1]
        assert last.volume - first.volume == pytest.approx(moved, abs=1e-3 * vessel.capacity)
        for (begin, low), (end, high) in pairwise(course.points):
            assert end >= begin - 1e-9
            flow = next(one.flow for one in reversed(course.stretches) if one.start <= begin + 1e-9)
            # the surface halfway times the rise is the volume, to the square of the step
            rise = vessel.area_at((low + high) / 2) * (high - low)
            assert rise == pytest.approx(flow * (end - begin), rel=2e-2, abs=1e-4)


def test_every_course_has_its_record_and_ends() -> None:
    results = compute.results(sump(), small.KNOWLEDGE)
    for course in results.courses["T-1"]:
        assert results.records[course.outcome.key] == course.outcome
        assert course.ends_because


def test_against_epanet(tmp_path: Path) -> None:
    """A tank filled through a flow-controlling valve that level controls open and shut, drawn by a constant demand."""
    wntr = pytest.importorskip("wntr", reason="wntr is not installed: EPANET cannot be asked")
    plant = small.plant(
        tanks={"T-1": small.tank({"kind": "vertical cylinder", "diameter": "4 m", "height": "4 m"},
                                 levels={"overflow": "3.9 m", "normal_low": "1.0 m", "normal_high": "3.0 m"})},
        streams={"fill": small.stream("outside", "T-1", "72 m3/h", through=["XV-1"]),
                 "draw": small.stream("T-1", "outside", "18 m3/h", flow={"normal": "18 m3/h"})},
        valves={"XV-1": {"area": "A", "service": "Inlet", "kind": "on-off"}},
        switches={"LSL-1": point("falling", "1.0 m", differential="0 mm"),
                  "LSH-1": point("rising", "3.0 m", differential="0 mm")},
        controls={"C-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "XV-1", "starts": ["LSL-1"],
                          "stops": "LSH-1"}},
        scenarios=scenario({"at": "0 s", "what": "as usual"}, starts_at="2.0 m", lasts="8 h"))
    course, _ = run(plant, "one")
    network = wntr.network.WaterNetworkModel()
    network.options.time.duration = 8 * 3600
    network.options.time.hydraulic_timestep = network.options.time.report_timestep = 60
    network.add_reservoir("R", base_head=100.0)
    network.add_junction("A", elevation=0.0)
    network.add_junction("B", elevation=0.0)
    network.add_junction("D", base_demand=18 / 3600, elevation=0.0)
    network.add_tank("T", elevation=0.0, init_level=2.0, min_level=0.0, max_level=4.0, diameter=4.0)
    network.add_pipe("p1", "R", "A", length=1, diameter=1.0)
    network.add_valve("V", "A", "B", diameter=0.5, valve_type="FCV", initial_setting=72 / 3600, initial_status="CLOSED")
    network.add_pipe("p2", "B", "T", length=1, diameter=1.0)
    network.add_pipe("p3", "T", "D", length=1, diameter=1.0)
    tank, valve = network.get_node("T"), network.get_link("V")
    for name, sign, level, what, value in (("open", "<", 1.0, "setting", 72 / 3600),
                                          ("shut", ">", 3.0, "status", wntr.network.LinkStatus.Closed)):
        act = wntr.network.controls.ControlAction(valve, what, value)
        network.add_control(name, wntr.network.controls.Control(
            wntr.network.controls.ValueCondition(tank, "level", sign, level), act))
    found = wntr.sim.EpanetSimulator(network).run_sim(file_prefix=str(tmp_path / "epanet"))
    levels = found.node["head"]["T"]
    assert levels.min() < 1.05
    assert levels.max() > 2.95
    worst = max(abs(float(level) - _level_at(course, float(time))) for time, level in levels.items())
    assert worst < 0.01  # EPANET counts whole seconds, at up to 1.2 mm of level in each, a few times over


def test_what_a_course_lacks_is_named() -> None:
    flat = small.tank(LYING | {"diameter": "0 m"}, levels=LEVELS)
    for tank, missing in ((flat, "tanks/T-1/shape"), (small.tank(levels={"overflow": "3 m"}), "tanks/T-1/levels/normal_")):
        outcomes = [course.outcome for course in compute.results(sump(tanks={"T-1": tank}), small.KNOWLEDGE).courses["T-1"]]
        lacking = [one for one in outcomes if isinstance(one, Absence)]
        assert lacking and all(len(one.missing) == 1 and one.missing[0].startswith(missing) for one in lacking), lacking


def _level_at(course: Course, time: float) -> float:
    before = next(one for one in reversed(course.points) if one[0] <= time + 1e-9)
    after = next((one for one in course.points if one[0] > time + 1e-9), before)
    if after[0] == before[0]:
        return before[1]
    return before[1] + (after[1] - before[1]) * (time - before[0]) / (after[0] - before[0])


def test_the_alarm_of_a_lost_supply_sounds_in_a_course() -> None:
    """The mains are lost at 60 s and come back at 120 s; the alarm waits 5 s, and one of the air, which stays, is silent."""
    alarm = {"text": "LOST", "priority": "high", "means": "x", "first": "x"}
    course, _ = run(sump(
        signals={"XM": {"area": "A", "service": "mains lost", "kind": "supply lost", "of": "MAINS"},
                 "XA": {"area": "A", "service": "air lost", "kind": "supply lost", "of": "AIR"}},
        alarms={"UA-M": alarm | {"from": "XM", "on_delay": "5 s"}, "UA-A": alarm | {"from": "XA"}},
        scenarios=scenario({"at": "60 s", "what": "mains lost", "fails": "MAINS"},
                           {"at": "120 s", "what": "mains back", "returns": "MAINS"}, lasts="10 min")), "one")
    assert when(course, "UA-M", "sounds") == pytest.approx(65.0)
    assert not [event for event in course.events if "UA-A" in event.tags]
