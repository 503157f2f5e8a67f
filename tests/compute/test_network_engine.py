"""Fill control, pump-down and staged pumps against an independent hydraulic network engine (EPANET 2.2 through wntr).

The engine is exact to a whole second an event; its times add up, so that a cycle carries an error of a second or two.
"""

import math
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from generator import compute
from generator.model.record import Record
from generator.model.results import CyclingResult
from tests.compute import small
from tests.compute.network_engine import Station

DIAMETER = 2.0
AREA = math.pi * DIAMETER**2 / 4


def ours(filling: bool, flow: str, against: tuple[str, str], points: tuple[tuple[str, str, str], ...], moves: str = "P-1",
         ) -> CyclingResult:
    """The same station as the generator sees it, without any error of a device."""
    pumps = {tag: small.pump(flow) if not filling else small.pump(
        flow, suction={"tank": "T-9", "kind": "bell", "height": "0 m"}) for tag in ("P-1", "P-2", "P-3")}
    span = {"lowest": against[0]}
    starts = [tag for tag, _, role in points if role == "start"]
    (stop,) = [tag for tag, _, role in points if role == "stop"]
    acts = {"start": "falling" if filling else "rising", "stop": "rising" if filling else "falling"}
    nouns: dict[str, Any] = {
        "plant": {"defaults": {"accuracy": {"own": "0 mm"}}},
        "tanks": {"T-1": small.tank({"kind": "vertical cylinder", "diameter": f"{DIAMETER} m", "height": "9 m"},
                                    levels={"overflow": "8.9 m"}), "T-9": small.tank()},
        "streams": {"other": small.stream("T-1", "outside", against[1], flow=span) if filling
                    else small.stream("outside", "T-1", against[1], flow=span)},
        "pumps": pumps,
        "pump_groups": {"G-1": {"name": "pumps", "pumps": list(pumps), "arrangement": "duty/assist"}},
        "switches": {tag: small.switch(acts[role], issued=height, role="control") for tag, height, role in points},
        "controls": {"C-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": moves, "starts": starts,
                             "stops": stop}},
    }
    return compute.results(small.plant(**nouns), small.KNOWLEDGE).cycling["C-1"]


def value(outcome: object) -> float:
    assert isinstance(outcome, Record), outcome
    return outcome.value


def between_starts(events: list[tuple[str, bool, int]], name: str) -> list[int]:
    starts = [time for which, started, time in events if which == name and started]
    return [later - earlier for earlier, later in pairwise(starts)]


def test_fill_control_switches_when_the_engine_does(tmp_path: Path) -> None:
    # 20 L/s fills against 8 L/s drawn, on below 1 m, off above 3 m, from 2 m: 261.8, 1047.2, 1570.8 s by volume
    station = Station(DIAMETER, 2.0, 0.008, 3 * 3600)
    station.pump("P-1", 0.020, 1.0, 3.0, fills=True, runs=True)
    events = station.events(tmp_path)
    made = ours(True, "20 L/s", ("8 L/s", "8 L/s"), (("LSL", "1 m", "start"), ("LSH", "3 m", "stop")))
    cycle = value(made.shortest_cycle)
    assert cycle == pytest.approx(2 * AREA / 0.008 + 2 * AREA / 0.012, rel=1e-9)
    assert between_starts(events, "P-1") == [pytest.approx(cycle, abs=2.5)] * (len(between_starts(events, "P-1")))
    assert len(between_starts(events, "P-1")) >= 5
    times = [time for _, _, time in events]
    rest = times[1] - times[0]  # from the first stop to the start after it
    assert rest == pytest.approx(value(made.shortest_off), abs=1.5)


@pytest.mark.parametrize("inflow", [4, 10, 15])
def test_pump_down_cycles_as_in_the_engine_and_fastest_at_half_the_flow(inflow: int, tmp_path: Path) -> None:
    station = Station(DIAMETER, 1.5, -inflow / 1000, 4 * 3600)
    station.pump("P-1", 0.020, 3.0, 1.0, fills=False, runs=False)
    found = between_starts(station.events(tmp_path), "P-1")
    made = ours(False, "20 L/s", (f"{inflow} L/s", f"{inflow} L/s"), (("LSH", "3 m", "start"), ("LSL", "1 m", "stop")))
    assert len(found) >= 3
    assert found == [pytest.approx(value(made.shortest_cycle), abs=2.5)] * len(found)
    assert min(found) >= value(made.at_any_inflow) - 2.5  # EI 11C201: 4 V / Q is the shortest of all


@pytest.mark.parametrize("inflow", [24, 28, 36])
def test_a_second_pump_joins_as_in_the_engine(inflow: int, tmp_path: Path) -> None:
    station = Station(DIAMETER, 1.5, -inflow / 1000, 4 * 3600)
    station.pump("P-1", 0.020, 3.0, 1.0, fills=False, runs=False)
    station.pump("P-2", 0.020, 3.5, 1.0, fills=False, runs=False)
    events = station.events(tmp_path)
    points = (("LSH1", "3 m", "start"), ("LSH2", "3.5 m", "start"), ("LSL", "1 m", "stop"))
    made = ours(False, "20 L/s", (f"{inflow} L/s", f"{inflow} L/s"), points, "G-1")
    (stage,) = made.stages
    found = between_starts(events, "P-2")
    assert len(found) >= 3
    assert found == [pytest.approx(value(stage.shortest_cycle), abs=3.5)] * len(found)


def test_three_pumps_stage_as_in_the_engine(tmp_path: Path) -> None:
    station = Station(DIAMETER, 1.5, -0.048, 4 * 3600)
    for name, start in (("P-1", 3.0), ("P-2", 3.5), ("P-3", 4.0)):
        station.pump(name, 0.020, start, 1.0, fills=False, runs=False)
    found = between_starts(station.events(tmp_path), "P-3")
    points = (("LSH1", "3 m", "start"), ("LSH2", "3.5 m", "start"), ("LSH3", "4 m", "start"), ("LSL", "1 m", "stop"))
    made = ours(False, "20 L/s", ("48 L/s", "48 L/s"), points, "G-1")
    assert len(found) >= 3
    assert found == [pytest.approx(value(made.stages[1].shortest_cycle), abs=4.5)] * len(found)
