"""Every record can be done again by hand: its equation and the inputs that it lists give its value, and nothing else is needed.

`tests/compute/redone.py` is the hand. It knows the vessel of a tank by its capacity's equation, which is held here for
every shape at many heights.
"""

from pathlib import Path

import pytest

from generator import compute, read
from generator.model.record import Record
from generator.model.results import Results, Vessel
from tests.compute.redone import NotReadError, redone
from tests.pages.plants import context

BY_LOOKING_UP = ("/vapour-pressure", "/liquid-density", "/density")
"""Properties of water: looked up in tables, which the record names."""
BY_A_LIST = ("/courses/", "/worst-inflow", "/resistance/")
"""Courses of events go row by row through their list; the inflow that makes several pumps start most often is searched for."""

HEAD = """
plant: {name: Test, document: {number: 1, status: draft, as_of: 2026-01-01}}
areas: {"1": {name: Area}}
liquids: {water: {name: Water}}
tanks: {T-1: {area: "1", service: tank, liquid: water, datum: {elevation: 0 m, DATUM}, shape: {SHAPE}, DISPLACES}}
"""
UPRIGHT = "kind: vertical cylinder, diameter: 2 m, height: 3 m"
LYING = "kind: horizontal cylinder, diameter: 2 m, length: 3 m"
BASIN = "kind: rectangular basin, length: 4 m, width: 3 m, height: 3 m"
SHAPES = [
    UPRIGHT, f"{UPRIGHT}, floor_fall: 0.4 m", f"{UPRIGHT}, floor_fall: 0.4 m, top: conical, top_depth: 0.3 m",
    *(f"{UPRIGHT}, {side}: {end}" for side in ("bottom", "top") for end in ("2:1 ellipsoidal", "hemispherical")),
    f"{UPRIGHT}, bottom: conical, bottom_depth: 0.5 m", f"{UPRIGHT}, top: conical, top_depth: 0.5 m",
    f"{UPRIGHT}, bottom: conical, bottom_depth: 0.5 m, bottom_diameter: 0.6 m, top: hemispherical",
    f"{UPRIGHT}, bottom: torispherical, dish_radius: 1.0, knuckle_radius: 0.1, top: torispherical",
    f"{UPRIGHT}, bottom: torispherical, dish_radius: 0.8, knuckle_radius: 0.154, top: conical, top_depth: 0.2 m",
    f"{UPRIGHT}, bottom: shallow dished, bottom_depth: 0.3 m, top: shallow dished, top_depth: 0.2 m",
    f"{UPRIGHT}, bottom: shallow dished, dish_radius: 1.0", f"{UPRIGHT}, bottom: 2:1 ellipsoidal, top: 2:1 ellipsoidal",
    LYING, f"{LYING}, ends: 2:1 ellipsoidal", f"{LYING}, ends: hemispherical", f"{LYING}, ends: conical, end_depth: 0.4 m",
    f"{LYING}, ends: shallow dished, end_depth: 0.3 m",
    BASIN, f"{BASIN}, floor_fall: 0.5 m", f"{BASIN}, hopper_depth: 0.8 m, hopper_length: 1 m, hopper_width: 0.6 m",
    "kind: sphere, diameter: 3 m",
    "kind: cone, top_diameter: 2 m, bottom_diameter: 0.3 m, height: 2.5 m",
    "kind: cone, top_diameter: 2 m, bottom_diameter: 0 m, height: 2 m",
]


def worked(folder: Path, shape: str, datum: str = "at: inside bottom", displaces: str = "heated: no") -> Results:
    file = folder / "plant.yml"
    file.write_text(HEAD.replace("DATUM", datum).replace("SHAPE", shape).replace("DISPLACES", displaces), encoding="utf-8")
    plant, mistakes = read.plant(file)
    assert plant is not None, mistakes
    return compute.results(plant, read.knowledge())


def vessel_of(results: Results, record: Record) -> Vessel | None:
    for one in record.inputs:
        if one.symbol == "V" and isinstance(one.source, str) and one.source.endswith("/capacity"):
            return results.tanks[one.source[1:].partition("/")[0]].vessel
    return None


@pytest.mark.parametrize(("datum", "displaces"), [
    ("at: inside bottom", "heated: no"),
    ("inside_bottom: -150 mm", "displaces: {coil: {volume: 30 L, lowest: 0.2 m, highest: 0.6 m, what: coil}}")])
@pytest.mark.parametrize("shape", SHAPES)
def test_the_equation_of_a_capacity_gives_the_volume_at_any_height(tmp_path: Path, shape: str, datum: str, displaces: str
                                                                 ) -> None:
    tank = worked(tmp_path, shape, datum, displaces).tanks["T-1"]
    capacity, vessel = tank.capacity, tank.vessel
    assert isinstance(capacity, Record), capacity
    assert vessel is not None
    for step in (5,) if r"\int_0^{c}" in capacity.equation else range(1, 17):
        height = vessel.bottom + (vessel.top - vessel.bottom) * step / 16
        assert redone(capacity, None, h=height) == pytest.approx(vessel.volume_at(height), rel=1e-6, abs=1e-9), height


@pytest.mark.parametrize("source", ["content/plant", "tests/plants/condensate.yml", "tests/plants/untroubled.yml",
                                    "tests/plants/cautious.yml", "generator/knowledge/reference"])
def test_every_record_is_redone_from_what_it_shows(source: str) -> None:
    results = context(source).results
    records = [one for one in results.records.values() if isinstance(one, Record)]
    wrong, looked_up = [], 0
    for record in records:
        top = {}
        tank = results.tanks.get(record.key[1:].partition("/")[0])
        if record.key.endswith("/capacity") and tank is not None:
            vessel = tank.vessel
            assert vessel is not None
            if "torispherical" in record.note or "cases" in record.equation or "V_{i+1}" in record.equation:
                looked_up += 1
                continue
            top = {"h": vessel.top}
        try:
            value = redone(record, vessel_of(results, record), **top)
        except NotReadError as why:
            if any(part in record.key for part in (*BY_LOOKING_UP, *BY_A_LIST)):
                looked_up += 1
            else:
                wrong.append(f"{record.key}: {record.equation}: {why}")
            continue
        within = 1e-5 if record.dimension == "length" else 2e-7  # a hundredth of a millimetre, as levels are found
        if value != pytest.approx(record.value, rel=1e-6, abs=within):
            wrong.append(f"{record.key}: {record.equation} gives {value}, {record.value} stands")
    assert wrong == []
    assert looked_up < len(records) / 20 + 5
