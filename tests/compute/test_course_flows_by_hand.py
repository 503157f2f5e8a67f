"""What the streams of a tank carry at one moment of a course, worked by hand. Final elements are stood in for."""

from functools import cache
from typing import cast

import pytest

from generator.compute.course_flows import Flows
from generator.compute.course_links import Links
from generator.compute.course_machines import Machines
from generator.model.plant import Definitions
from generator.model.scalar import Tag
from tests.compute import small
from tests.compute.test_course_parts_by_hand import Stand, plant


@cache
def piped() -> Definitions:
    """In by XV, 36 m3/h; out by the pumps of G, 20 m3/h each, into two lines of 30 and 10 m3/h; a loop on LV."""
    return plant(
        tanks={"T-1": small.tank(levels={"overflow": "3.5 m", "normal_low": "1 m", "normal_high": "2 m"}), "T-2": small.tank()},
        instruments={"LX-1": small.body(), "LT": small.body(technology="free space radar", signal="4-20 mA")},
        pumps={tag: small.pump("20 m3/h") for tag in ("P-1", "P-2", "P-3")},
        pump_groups={"G": {"name": "Both", "pumps": ["P-1", "P-2"], "arrangement": "duty/assist"}},
        valves={tag: {"area": "A", "service": "x", "kind": "on-off"} for tag in ("XV", "YV")} | {
            "LV": {"area": "A", "service": "x", "kind": "control"}},
        streams={"in": small.stream("outside", "T-1", "36 m3/h", flow={"normal": "18 m3/h"}, through=["XV"],
                                    drains_after_stop="0.1 m3"),
                 "one": small.stream("T-1", "outside", "30 m3/h", moved_by="G"),
                 "two": small.stream("T-1", "T-2", "10 m3/h", moved_by="G", through=["YV"]),
                 "drawn": small.stream("T-2", "outside", "9 m3/h", moved_by="P-3"),
                 "loop": small.stream("T-1", "outside", "24 m3/h", through=["LV"])},
        controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G", "starts": ["A", "B"],
                        "stops": "STOP"},
                  "LC": {"kind": "modulating", "area": "A", "tank": "T-1", "moves": "LV", "measures": "LT",
                         "rising_level": "opens"}})


def flows(states: dict[str, str], stated: dict[str, float | None], tanks: tuple[str, ...] = ("T-1",),
          faults: dict[str, str] | None = None) -> Flows:
    stand = Stand({Tag(tag): state for tag, state in states.items()})
    return Flows(piped(), tanks, cast("Machines", stand), {Tag(tag): flow for tag, flow in stated.items()},
                 {} if faults is None else faults, Links(piped()))


BOTH, ONE = {"P-1": "running", "P-2": "running"}, {"P-1": "running", "P-2": "stopped"}
OPEN, SHUT = {"XV": "open", "YV": "open", "LV": "modulating"}, {"XV": "closed", "YV": "closed", "LV": "closed"}
NONE: frozenset[str] = frozenset()


@pytest.mark.parametrize(("states", "stated", "net"), [
    (OPEN, {"in": None}, 18.0), (OPEN, {"in": 30 / 3600}, 30.0), (OPEN, {"in": 0.0}, 0.0), (SHUT, {"in": None}, 0.0),
    (SHUT, {"in": 30 / 3600}, 0.0),
    # two pumps deliver 40, shared as 30 to 10; one delivers 20, shared as 15 to 5; into one line 30 at most
    (OPEN | BOTH, {"one": None}, -30.0), (OPEN | BOTH, {"two": None}, -10.0), (OPEN | ONE, {"one": None}, -15.0),
    (OPEN | ONE, {"one": None, "two": None}, -20.0), (SHUT | BOTH, {"one": None, "two": None}, -30.0),
    (SHUT | ONE, {"one": None}, -20.0), (OPEN | ONE, {"one": 12 / 3600}, -12.0),
    (OPEN, {"one": None}, 0.0), (OPEN, {"one": 12 / 3600}, 0.0),
    (OPEN | ONE, {"in": None, "one": None, "two": None}, -2.0),
])
def test_what_streams_carry(states: dict[str, str], stated: dict[str, float | None], net: float) -> None:
    assert flows(states, stated).nets({"T-1": 1.5}, 0.0, NONE)["T-1"] * 3600 == pytest.approx(net)


@pytest.mark.parametrize(("states", "level", "faults", "taken"), [
    # 18 come in: in the band the loop takes just that, above it all that it can, below it nothing
    (OPEN, 1.5, {}, 18.0), (OPEN, 2.1, {}, 24.0), (OPEN, 0.9, {}, 0.0), (OPEN, 2.0, {}, 18.0), (OPEN, 1.0, {}, 18.0),
    (OPEN | {"LV": "closed"}, 2.1, {}, 0.0), (OPEN | {"LV": "open"}, 0.9, {}, 24.0),
    (OPEN, 0.9, {"LC": "on"}, 24.0), (OPEN, 2.1, {"LC": "off"}, 0.0), (OPEN, 1.5, {"LT": "stays"}, 18.0),
])
def test_what_a_loop_takes(states: dict[str, str], level: float, faults: dict[str, str], taken: float) -> None:
    made = flows(states, {"in": None, "loop": None}, faults=faults)
    assert made.nets({"T-1": level}, 0.0, NONE)["T-1"] * 3600 == pytest.approx(18.0 - taken)
    assert made.last[Tag("loop")] * 3600 == pytest.approx(taken)


def test_a_loop_that_stands_still_goes_on_as_it_was() -> None:
    faults: dict[str, str] = {}
    made = flows(OPEN, {"in": None, "loop": None}, faults=faults)
    made.nets({"T-1": 1.5}, 0.0, NONE)
    faults["LC"] = "stays"
    for level in (0.5, 3.0):  # below and above the band
        made.nets({"T-1": level}, 1.0, NONE)
        assert made.last[Tag("loop")] * 3600 == pytest.approx(18.0)


def test_a_line_that_is_shut_runs_empty_at_the_flow_that_it_had() -> None:
    """0.1 m3 at 18 m3/h are 20 s; when it is opened again the line is full."""
    made = flows(OPEN, {"in": None})
    stand = cast("Stand", made.machines)
    net = [made.nets({"T-1": 1.5}, 0.0, NONE)["T-1"] * 3600]
    assert made.dues(0.0) == []
    stand.moving[Tag("XV")] = "closed"
    net += [made.nets({"T-1": 1.5}, now, NONE)["T-1"] * 3600 for now in (10.0, 29.9, 30.0, 50.0)]
    assert net == [pytest.approx(flow) for flow in (18.0, 18.0, 18.0, 0.0, 0.0)]
    assert made.dues(10.0) == [pytest.approx(30.0)] and made.dues(30.0) == []
    stand.moving[Tag("XV")] = "open"
    made.nets({"T-1": 1.5}, 60.0, NONE)
    stand.moving[Tag("XV")] = "closed"
    assert made.nets({"T-1": 1.5}, 70.0, NONE)["T-1"] * 3600 == pytest.approx(18.0)
    assert made.dues(70.0) == [pytest.approx(90.0)]


def test_out_of_an_empty_tank_goes_no_more_than_comes_in() -> None:
    """From T-1 go 15 and 5 m3/h, 5 of them into T-2, from which 9 are drawn; with 10 coming in they are halved."""
    states = OPEN | ONE | {"P-3": "running"}
    stated: dict[str, float | None] = {"in": 10 / 3600, "one": None, "two": None, "drawn": None}
    levels = {"T-1": 0.0, "T-2": 1.0}
    for empty, one, two, drawn in ((NONE, 15.0, 5.0, 9.0), (frozenset({"T-1"}), 7.5, 2.5, 9.0),
                                   (frozenset({"T-2"}), 15.0, 5.0, 5.0), (frozenset({"T-1", "T-2"}), 7.5, 2.5, 2.5)):
        made = flows(states, stated, ("T-1", "T-2"))
        net = made.nets(levels, 0.0, empty)
        assert net["T-1"] * 3600 == pytest.approx(10.0 - one - two)
        assert net["T-2"] * 3600 == pytest.approx(two - drawn)


@cache
def pumped() -> Definitions:
    """A loop on the speed of P-1, which empties T-1; 18 m3/h in by XV, whose line holds 0.1 m3."""
    return plant(
        tanks={"T-1": small.tank(levels={"overflow": "3.5 m", "normal_low": "1 m", "normal_high": "2 m"})},
        instruments={"LX-1": small.body(), "LT": small.body(technology="free space radar", signal="4-20 mA")},
        streams={"in": small.stream("outside", "T-1", "36 m3/h", flow={"normal": "18 m3/h"}, through=["XV"],
                                    drains_after_stop="0.1 m3"),
                 "out": small.stream("T-1", "outside", "24 m3/h", moved_by="P-1")},
        controls={"LC": {"kind": "modulating", "area": "A", "tank": "T-1", "moves": "P-1", "measures": "LT",
                         "rising_level": "opens"}})


@pytest.mark.parametrize(("state", "taken"), [("modulating", 18.0), ("running", 18.0), ("stopped", 0.0)])
def test_a_loop_takes_nothing_by_a_pump_that_is_off(state: str, taken: float) -> None:
    stand = Stand({Tag("XV"): "open", Tag("P-1"): state})
    made = Flows(pumped(), ("T-1",), cast("Machines", stand), {Tag("in"): None, Tag("out"): None}, {}, Links(pumped()))
    assert made.nets({"T-1": 1.5}, 0.0, NONE)["T-1"] * 3600 == pytest.approx(18.0 - taken)
    assert made.last[Tag("out")] * 3600 == pytest.approx(taken)


@pytest.mark.parametrize(("level", "taken"), [(1.5, 18.0), (0.9, 24.0), (2.1, 0.0)])
def test_a_loop_that_fills_takes_what_is_drawn(level: float, taken: float) -> None:
    """12 come in beside it and 30 are drawn: it takes the 18 between; below the band all that it can, above it nothing."""
    made = plant(
        tanks={"T-1": small.tank(levels={"overflow": "3.5 m", "normal_low": "1 m", "normal_high": "2 m"})},
        instruments={"LX-1": small.body(), "LT": small.body(technology="free space radar", signal="4-20 mA")},
        valves={"LV": {"area": "A", "service": "x", "kind": "control"}},
        streams={"in": small.stream("outside", "T-1", "12 m3/h"), "out": small.stream("T-1", "outside", "30 m3/h"),
                 "loop": small.stream("outside", "T-1", "24 m3/h", through=["LV"])},
        controls={"LC": {"kind": "modulating", "area": "A", "tank": "T-1", "moves": "LV", "measures": "LT",
                         "rising_level": "shuts"}})
    stand = Stand({Tag("LV"): "modulating"})
    work = Flows(made, ("T-1",), cast("Machines", stand), dict.fromkeys(map(Tag, ("in", "out", "loop"))), {}, Links(made))
    assert work.nets({"T-1": level}, 0.0, NONE)["T-1"] * 3600 == pytest.approx(12 + taken - 30)
    assert work.last[Tag("loop")] * 3600 == pytest.approx(taken)


def test_a_line_that_was_shut_from_the_beginning_has_nothing_to_run_out() -> None:
    made = flows(SHUT, {"in": None})
    assert made.nets({"T-1": 1.5}, 0.0, NONE)["T-1"] == 0.0
    assert made.dues(0.0) == [] and made.tails == {}
    assert made.nets({"T-1": 1.5}, 1.0, NONE)["T-1"] == 0.0
