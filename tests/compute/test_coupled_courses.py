"""Two tanks whose levels move together, against scipy's event integration, EPANET and numbers worked by hand.

The second engine integrates dh/dt = Q / A(h) for both tanks at once, with areas from plane geometry, and finds the events.
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
from tests.compute import small
from tests.compute.test_courses import LYING, chord_area, point, when

UPPER = {"overflow": "1.9 m", "normal_low": "0.6 m", "normal_high": "1.2 m"}
CONE = {"kind": "vertical cylinder", "diameter": "2 m", "height": "2 m", "bottom": "conical", "bottom_depth": "1.5 m"}
LOWER = {"overflow": "1.9 m", "normal_low": "0.4 m", "normal_high": "0.8 m"}
IN, OVER, OUT = 18 / 3600, 36 / 3600, 3.6 / 3600
SCENARIO: dict[str, Any] = {"name": "One", "tank": "T-1", "starts_at": "1.0 m", "beside": {"T-2": "0.1 m"}, "lasts": "3 h",
                            "events": [{"at": "0 s", "what": "as usual", "streams": {"in": "highest"}}]}


def valve(tag: str, service: str) -> dict[str, Any]:
    return {tag: {"area": "A", "service": service, "kind": "on-off", "fails": "closed", "closing_time": "8 s",
                  "opening_time": "8 s"}}


def pair(lower: dict[str, Any] = small.UPRIGHT, **changes: Any) -> Definitions:
    """A lying tank that empties by a valve into a second one; each trips what fills it."""
    nouns: dict[str, Any] = {
        "tanks": {"T-1": small.tank(LYING, levels=UPPER), "T-2": small.tank(lower, levels=LOWER)},
        "streams": {"in": small.stream("outside", "T-1", "18 m3/h", through=["XV-1"]),
                    "over": small.stream("T-1", "T-2", "36 m3/h", through=["XV-2"]),
                    "out": small.stream("T-2", "outside", "3.6 m3/h")},
        "valves": valve("XV-1", "Inlet") | valve("XV-2", "Transfer"),
        "instruments": {"LX-1": small.body(), "LX-2": small.body("T-2")},
        "switches": {"LSHH-1": point("rising", "1.6 m", "trip"), "LSHH-2": point("rising", "1.5 m", "trip") | {"in": "LX-2"}},
        "interlocks": {
            tag: {"area": "A", "service": "Overfill", "kind": "trip", "because": "test", "when": cause, "on_delay": "2 s",
                  "then": {element: "closed"}, "latch": {"survives_power_loss": "yes"},
                  "reset": {"at": [], "by": "operator", "when": {"not": cause}},
                  "bypass": {"longest": "8 h", "needs": "lead", "meanwhile": "care"}}
            for tag, cause, element in (("I-1", "LSHH-1", "XV-1"), ("I-2", "LSHH-2", "XV-2"))},
        "scenarios": {"one": SCENARIO},
    }
    return small.plant(**(nouns | changes))


def course_of(plant: Definitions, key: str = "one", tank: str = "T-1") -> Course:
    found = compute.results(plant, small.KNOWLEDGE).courses[tank]
    return next(one for one in found if one.key.endswith(key))


def cone_area(height: float) -> float:
    """Surface of an upright tank of 2 m on a cone 1.5 m deep, heights from the tip of the cone."""
    return math.pi * min(height / 1.5, 1.0) ** 2


def flat_area(_height: float) -> float:
    return math.pi


@pytest.mark.parametrize(("shape", "area"), [(small.UPRIGHT, flat_area), (CONE, cone_area)], ids=["flat", "cone"])
def test_a_trip_that_floods_the_tank_upstream_against_scipy(shape: dict[str, Any], area: Any) -> None:
    plant = pair(shape)
    course = course_of(plant)
    vessel = compute.results(plant, small.KNOWLEDGE).tanks["T-2"].vessel
    assert vessel is not None
    foot = vessel.bottom

    def slopes(flows: tuple[float, float]) -> Any:
        return lambda _time, now: [flows[0] / chord_area(now[0]), flows[1] / area(now[1] - foot)]

    def until(state: list[float], which: int, level: float, flows: tuple[float, float], start: float) -> tuple[float, Any]:
        def reached(_time: float, now: Any) -> float:
            return float(now[which] - level)

        reached.terminal = True  # type: ignore[attr-defined]  # how scipy asks for it
        found = solve_ivp(slopes(flows), (start, start + 2000), state, events=reached, rtol=1e-10, atol=1e-12, max_step=20)
        return float(found.t_events[0][0]), found.y_events[0][0]

    def after(state: Any, flows: tuple[float, float], time: float) -> Any:
        return solve_ivp(slopes(flows), (0, time), state, rtol=1e-10, atol=1e-12).y[:, -1]

    both, alone = (IN - OVER, OVER - OUT), (IN, -OUT)
    acts, state = until([1.0, 0.1], 1, 1.5, both, 0.0)
    assert when(course, "LSHH-2", "acted") == pytest.approx(acts, rel=1e-6)
    shut = acts + 2 + 8
    assert when(course, "XV-2", "closed") == pytest.approx(shut, rel=1e-6)
    state = after(state, both, 10.0)
    lowest = min(level for _, level in course.points)
    assert lowest == pytest.approx(float(state[0]), abs=1e-6)
    high, state = until(list(state), 0, 1.6, alone, shut)
    assert when(course, "LSHH-1", "acted") == pytest.approx(high, rel=1e-6)
    assert when(course, "XV-1", "closed") == pytest.approx(high + 10, rel=1e-6)
    state = after(state, alone, 10.0)
    assert course.points[-1][1] == pytest.approx(float(state[0]), abs=1e-6)


def test_what_leaves_one_tank_comes_into_the_other() -> None:
    course = course_of(pair())
    (beside,) = course.beside
    results = compute.results(pair(), small.KNOWLEDGE).tanks
    for stretches, points, tank in ((course.stretches, course.points, "T-1"), (beside.stretches, beside.points, "T-2")):
        vessel = results[tank].vessel
        assert vessel is not None
        moved = sum(first.flow * (then.start - first.start) for first, then in pairwise(stretches))
        assert stretches[-1].volume - stretches[0].volume == pytest.approx(moved, abs=1e-9)
        assert vessel.volume_at(points[0][1]) == pytest.approx(stretches[0].volume, abs=1e-9)
    for one, other in zip(course.stretches, beside.stretches, strict=True):
        assert one.start == other.start
        total = one.flow + other.flow
        assert min(abs(total - known) for known in (IN - OUT, -OUT, IN, 0.0)) < 1e-12  # the transfer cancels


def test_an_empty_tank_gives_no_more_than_comes_in() -> None:
    """Upright, 2 m: 0.2 m hold 0.628 m3, gone in 0.628 / 0.005 = 125.66 s at 36 less 18 m3/h; then 18 m3/h go on."""
    plant = pair(tanks={"T-1": small.tank(small.UPRIGHT, levels=UPPER), "T-2": small.tank(small.UPRIGHT, levels=LOWER)},
                 scenarios={"one": SCENARIO | {"starts_at": "0.2 m", "lasts": "4 min"}})
    (beside,) = course_of(plant).beside
    flows = [(one.start, one.flow) for one in beside.stretches]
    emptied = 0.2 * math.pi / (OVER - IN)
    assert max(flow for start, flow in flows if start < emptied - 1e-6) == pytest.approx(OVER - OUT)
    assert [flow for start, flow in flows if start > emptied - 1e-6] == [pytest.approx(IN - OUT)] * sum(
        start > emptied - 1e-6 for start, _ in flows)


def test_what_one_tank_spills_comes_into_the_other() -> None:
    """The upper tank stands at its overflow of 1.9 m: 18 m3/h come in, none goes by the valve, all goes over."""
    streams = {"in": small.stream("outside", "T-1", "18 m3/h"),
               "spill": small.stream("T-1", "T-2", "36 m3/h", by_overflow="yes")}
    scenarios = {"one": SCENARIO | {"starts_at": "1.9 m", "lasts": "2 min"}}
    plant = pair(streams=streams, valves={}, interlocks={}, scenarios=scenarios)
    course = course_of(plant)
    assert {one.flow for one in course.stretches} == {0.0}
    assert course.beside[0].points[-1][1] == pytest.approx(0.1 + IN * 120 / math.pi, abs=1e-9)
    assert any(event.turned == "overflows" and event.tank == "T-1" for event in course.events)


def test_the_set_has_a_course_for_the_trip_downstream() -> None:
    course = course_of(pair(), "trip-of-t-2")
    assert [one.tank for one in course.beside] == ["T-2"]
    assert when(course, "I-2", "acts") < when(course, "I-1", "acts")
    assert max(level for _, level in course.points) < 1.9
    assert {event.tank for event in course.events if "LSHH-2" in event.tags} == {"T-2"}


def test_a_bypass_and_its_end_and_a_reset() -> None:
    """T-1 alone fills upright from 1.5 m by 18 m3/h: 1.6 m after 0.1 pi / 0.005 = 62.83 s."""
    events = [{"at": "0 s", "what": "test", "bypasses": ["I-1"], "streams": {"over": "none", "in": "highest"}},
              {"at": "100 s", "what": "test over", "restores": ["I-1"]},
              {"at": "200 s", "what": "reset too early", "resets": ["I-1"]},
              {"at": "300 s", "what": "drawn down", "streams": {"over": "highest"}},
              {"at": "600 s", "what": "reset", "resets": ["I-1"]}]
    one = {key: value for key, value in SCENARIO.items() if key != "beside"} | {
        "starts_at": "1.5 m", "events": events, "lasts": "15 min"}
    course = course_of(pair(tanks={"T-1": small.tank(small.UPRIGHT, levels=UPPER), "T-2": small.tank(levels=LOWER)},
                            scenarios={"one": one}))
    assert when(course, "LSHH-1", "acted") == pytest.approx(0.1 * math.pi / IN)
    assert when(course, "I-1", "acts") == pytest.approx(100 + 2)
    said = [event.what for event in course.events if event.what.startswith("the reset of I-1")]
    assert said == ["the reset of I-1 is refused", "the reset of I-1 is accepted"]
    assert when(course, "I-1", "lets go") == pytest.approx(600)
    assert when(course, "XV-1", "open") == pytest.approx(608)


@pytest.mark.parametrize(("takes_out", "acts"), [("one member as clear", 62.83 + 2), ("one member as acted", 62.83 + 2),
                                                 ("the whole function", None)])
def test_a_bypass_of_one_member_leaves_the_trip_in_use(takes_out: str, acts: float | None) -> None:
    """Three points at one height, two of them needed: with one out the other two still trip at that height."""
    points = {f"LSHH-1{letter}": point("rising", "1.6 m", "trip") for letter in "ABC"}
    vote = {"2 of": [*points]}
    lock = {"area": "A", "service": "Overfill", "kind": "trip", "because": "test", "when": vote, "on_delay": "2 s",
            "then": {"XV-1": "closed"}, "latch": {"survives_power_loss": "yes"},
            "bypass": {"longest": "8 h", "needs": "lead", "meanwhile": "care", "takes_out": takes_out}}
    one = {key: value for key, value in SCENARIO.items() if key != "beside"} | {
        "starts_at": "1.5 m", "lasts": "5 min",
        "events": [{"at": "0 s", "what": "test", "bypasses": ["I-1"], "streams": {"over": "none", "in": "highest"}}]}
    course = course_of(pair(tanks={"T-1": small.tank(small.UPRIGHT, levels=UPPER), "T-2": small.tank(levels=LOWER)},
                            switches=points, interlocks={"I-1": lock}, scenarios={"one": one}))
    acted = [event.time for event in course.events if event.what.startswith("I-1 acts")]
    assert acted == ([pytest.approx(acts, abs=0.1)] if acts else [])
    said = "LSHH-1A in the vote of I-1 is bypassed" if acts else "I-1 is bypassed"
    assert said in [event.what for event in course.events]


def test_an_interlock_is_silent_in_a_mode_in_which_it_is_not_live() -> None:
    nouns = {"modes": {"auto": {"name": "AUTO", "means": "x"}, "hand": {"name": "HAND", "means": "y"}}}
    locks = {"I-1": {"area": "A", "service": "Overfill", "kind": "trip", "because": "test", "when": "LSHH-1",
                     "then": {"XV-1": "closed"}, "live_in": ["auto"]}}
    events = [{"at": "0 s", "what": "by hand", "mode": "hand", "streams": {"over": "none", "in": "highest"}},
              {"at": "10 min", "what": "auto", "mode": "auto"}]
    one = {key: value for key, value in SCENARIO.items() if key != "beside"} | {"starts_at": "1.5 m", "events": events}
    course = course_of(pair(**nouns, interlocks=locks, scenarios={"one": one}))
    assert when(course, "LSHH-1", "acted") < 600
    assert when(course, "I-1", "acts") == pytest.approx(600)


def dead(noun: str, **changes: Any) -> Course:
    """The tank stands still and something that its trip rests on is lost after a minute, and is back after two."""
    nouns: dict[str, Any] = {
        "panels": {"LP": {"area": "A", "where": "here", "supplies": ["CV"]}},
        "supplies": {"CV": {"kind": "control voltage"}, "CV-2": {"kind": "control voltage"}},
        "relays": {"K-1": {"panel": "LP", "kind": "interposing relay", "supply": "CV-2", "drives": ["XV-1"]}},
        "instruments": {"LX-1": {"tank": "T-1", "technology": "cable float", "wiring": {"panel": "LP", "supply": "CV"}},
                        "LX-2": {"tank": "T-2", "technology": "cable float"}},
        "switches": {"LSHH-1": point("rising", "1.6 m", "trip", contact={
            "at_the_point": "opens", "on_the_shelf": "closed", "drives": "K-1"})},
        "interlocks": {"I-1": {"area": "A", "service": "Overfill", "kind": "releasing interlock", "because": "test",
                               "when": "LSHH-1", "then": {"XV-1": "closed"}}},
    }
    one = {key: value for key, value in SCENARIO.items() if key != "beside"} | {"events": [
        {"at": "0 s", "what": "still", "streams": {"in": "none", "over": "none"}},
        {"at": "1 min", "what": "lost", "fails": noun}, {"at": "2 min", "what": "back", "returns": noun}], "lasts": "4 min"}
    return course_of(pair(**(nouns | changes), scenarios={"one": one}))


@pytest.mark.parametrize("noun", ["CV", "CV-2", "LP", "K-1"])
def test_a_loop_that_is_held_lets_go_when_what_holds_it_is_lost(noun: str) -> None:
    """The contact opens to trip and holds a relay: its supply, the relay's, the panel or the relay itself lost, it trips."""
    course = dead(noun)
    assert when(course, "LSHH-1", "acted") == pytest.approx(60)
    assert when(course, "I-1", "acts") == pytest.approx(60)
    assert when(course, "XV-1", "closed") == pytest.approx(68)
    assert when(course, "I-1", "lets go") == pytest.approx(120)


def test_a_relay_that_must_pull_in_is_silent_without_its_supply() -> None:
    switches = {"LSHH-1": point("rising", "0.9 m", "trip", contact={
        "at_the_point": "closes", "on_the_shelf": "open", "drives": "K-1"})}
    course = dead("CV-2", switches=switches)
    assert dict(course.stood)["I-1"] == "acts"
    assert when(course, "I-1", "lets go") == pytest.approx(60)
    assert when(course, "I-1", "acts") == pytest.approx(120)


def test_against_epanet(tmp_path: Path) -> None:
    """A tank with a constant inflow that empties through a flow-controlling valve into a second one, which shuts the valve."""
    wntr = pytest.importorskip("wntr", reason="wntr is not installed: EPANET cannot be asked")
    upright = {"kind": "vertical cylinder", "diameter": "4 m", "height": "4 m"}
    plant = pair(
        tanks={"T-1": small.tank(upright, levels={"overflow": "3.9 m", "normal_low": "1 m", "normal_high": "3 m"}),
               "T-2": small.tank(upright, levels={"overflow": "3.9 m", "normal_low": "1 m", "normal_high": "3 m"})},
        streams={"in": small.stream("outside", "T-1", "18 m3/h"), "over": small.stream("T-1", "T-2", "72 m3/h", through=["XV-2"]),
                 "out": small.stream("T-2", "outside", "36 m3/h")},
        valves={"XV-2": {"area": "A", "service": "Transfer", "kind": "on-off"}},
        switches={"LSL-2": point("falling", "1.5 m", differential="0 mm") | {"in": "LX-2"},
                  "LSH-2": point("rising", "2.5 m", differential="0 mm") | {"in": "LX-2"}},
        controls={"C-2": {"kind": "start and stop", "area": "A", "tank": "T-2", "moves": "XV-2", "starts": ["LSL-2"],
                          "stops": "LSH-2"}},
        interlocks={}, scenarios={"one": SCENARIO | {"starts_at": "3.0 m", "beside": {"T-2": "2.0 m"}, "lasts": "90 min"}})
    course = course_of(plant)
    network = wntr.network.WaterNetworkModel()
    network.options.time.duration = 90 * 60
    network.options.time.hydraulic_timestep = network.options.time.report_timestep = 60
    network.add_tank("U", elevation=50.0, init_level=3.0, min_level=0.0, max_level=4.0, diameter=4.0)
    network.add_tank("L", elevation=0.0, init_level=2.0, min_level=0.0, max_level=4.0, diameter=4.0)
    for name, demand in (("I", -18 / 3600), ("A", 0.0), ("B", 0.0), ("O", 36 / 3600)):
        network.add_junction(name, base_demand=demand, elevation=0.0)
    network.add_valve("V", "A", "B", diameter=0.5, valve_type="FCV", initial_setting=72 / 3600, initial_status="CLOSED")
    for name, begin, end in (("p1", "I", "U"), ("p2", "U", "A"), ("p3", "B", "L"), ("p4", "L", "O")):
        network.add_pipe(name, begin, end, length=1, diameter=1.0)
    tank, link = network.get_node("L"), network.get_link("V")
    for name, sign, level, what, value in (("open", "<", 1.5, "setting", 72 / 3600),
                                          ("shut", ">", 2.5, "status", wntr.network.LinkStatus.Closed)):
        act = wntr.network.controls.ControlAction(link, what, value)
        network.add_control(name, wntr.network.controls.Control(
            wntr.network.controls.ValueCondition(tank, "level", sign, level), act))
    found = wntr.sim.EpanetSimulator(network).run_sim(file_prefix=str(tmp_path / "epanet")).node["head"]
    for name, foot, points in (("U", 50.0, course.points), ("L", 0.0, course.beside[0].points)):
        levels = found[name] - foot
        assert levels.max() - levels.min() > 0.5
        worst = max(abs(float(level) - _level_at(points, float(time))) for time, level in levels.items())
        assert worst < 0.01  # EPANET counts whole seconds, at up to 1.6 mm of level in each, a few times over


def _level_at(points: tuple[tuple[float, float], ...], time: float) -> float:
    before = next(one for one in reversed(points) if one[0] <= time + 1e-9)
    after = next((one for one in points if one[0] > time + 1e-9), before)
    if after[0] == before[0]:
        return before[1]
    return before[1] + (after[1] - before[1]) * (time - before[0]) / (after[0] - before[0])
