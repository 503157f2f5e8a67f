"""Formulas against published values; `published.yml` names the source of each."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from pydantic import TypeAdapter

from generator.compute import cycles, geometry, lines, reach, signals, solids, submergence
from generator.model.quantity import split, written
from generator.model.record import Record
from generator.model.results import Vessel
from generator.model.shape import Shape
from generator.model.units import UNITS
from tests.compute import published_levels, published_pumps, small

ROWS = yaml.load((Path(__file__).parent / "published.yml").read_text(encoding="utf-8"), yaml.CSafeLoader)
MARKS = ("found", "from memory", "common practice", "recomputed by another library")


def si(text: str) -> float:
    number, unit = split(text)
    return number * UNITS[unit][1] + UNITS[unit][2]


def vessel(shape: dict[str, Any]) -> Vessel:
    as_written = {key: str(value) for key, value in shape.items()}
    made = geometry.vessel(TypeAdapter[Shape](Shape).validate_python(as_written))
    assert isinstance(made, Vessel)
    return made


def share(shape: dict[str, Any], depth: str) -> float:
    made = vessel(shape)
    return made.volume_at(si(depth)) / made.capacity


def end(**shape: Any) -> Vessel:
    return vessel({"kind": "vertical cylinder", "diameter": "1 m", "height": "1 m", **shape})


def overfill(need: dict[str, str], inflow: str) -> float:
    """Limit of one need of a point on the big tank, with a device that has no error."""
    big = small.tank({"kind": "vertical cylinder", "diameter": "20 m", "height": "20 m"}, marks={
        "critical": {"height": "19 m", "what": "critical level"}})
    results = small.worked(
        tanks={"T-1": big}, streams={"in": small.stream("outside", "T-1", inflow)},
        switches={"LSHH-1": small.switch("rising", need, accuracy={"own": "0 mm", "common": "0 mm"})})
    limit = results.setpoints["LSHH-1"].needs[0].limit
    assert isinstance(limit, Record)
    return limit.value


def range_value(number: int, lowest: str, highest: str, below: str = "0 in", leg: str = "") -> float:
    density = 1100.0
    if leg:
        pressures = signals.wet_leg_range(density, density, si(leg), si(lowest), si(highest))
    else:
        pressures = signals.open_range(density, si(lowest), si(highest), si(below))
    return pressures[number] / signals.hydrostatic_pressure(1000.0, 0.0254)


WHAT: dict[str, Callable[..., float]] = {
    "share of lying cylinder": lambda depth: share({"kind": "horizontal cylinder", "diameter": "1 m", "length": "3 m"},
                                                   depth),
    "share of sphere": lambda depth: share({"kind": "sphere", "diameter": "1 m"}, depth),
    "segment area": lambda depth: solids.segment_area(1.0, si(depth)),
    "volume": lambda shape, level: vessel(shape).volume_at(si(level)),
    "level": lambda shape, volume: vessel(shape).level_at(si(volume)),
    "end factor": lambda **shape: end(**shape).capacity - solids.frustum_volume(1.0, 1.0, 1.0, 1.0),
    "end depth": lambda **shape: end(**shape).top - 1.0,
    "height for time": lambda inflow, time: overfill({"before": "critical", "time": time}, inflow),
    "height for gap": lambda inflow: overfill({"gap_of": "gap", "below": "critical"}, inflow),
    "submergence": lambda diameter, flow: submergence.minimum_submergence(si(diameter), si(flow)),
    "cycle volume": lambda flow, cycle, inflow=None: cycles.cycle_volume(si(flow), si(cycle), si(inflow) if inflow else None),
    "percent of current": lambda current: 100 * signals.share_of_current(si(current)),
    "head of water": lambda density, height: signals.hydrostatic_pressure(si(density), si(height)),
    "lower range value": lambda **given: range_value(0, **given),
    "upper range value": lambda **given: range_value(1, **given),
    "swing": lambda length, up, down: reach.swing(si(length), si(up), si(down)),
    "loop resistance at 20 degC": lambda length, cross_section: lines.loop_resistance(si(length), si(cross_section), 293.15),
    "loop resistance at 50 degC": lambda length, cross_section: lines.loop_resistance(si(length), si(cross_section), 323.15),
    **published_levels.WHAT,
    **published_pumps.WHAT,
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['what']} {row['given']}"[:90])
def test_published_value(row: dict[str, Any]) -> None:
    value = WHAT[row["what"]](**row["given"])
    if "unit" in row:
        value = written(value, row["unit"])
    assert value == pytest.approx(row["expected"], abs=float(row["within"]), rel=0)


def test_every_row_says_where_it_comes_from() -> None:
    assert len(ROWS) >= 100
    assert {row["mark"] for row in ROWS} <= set(MARKS)
    assert all(row["source"] for row in ROWS)
    assert {row["what"] for row in ROWS} == set(WHAT)
