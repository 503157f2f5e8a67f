"""Shapes as an engineer writes them: every kind of end can be written, in the one way that fits it."""

from pathlib import Path

import pytest

from generator import compute, read
from generator.model.finding import Mistake
from generator.model.results import Results

HEAD = """
plant: {name: Test, document: {number: 1, status: draft, as_of: 2026-01-01}}
areas: {"1": {name: Area}}
liquids: {water: {name: Water}}
tanks: {T-1: {area: "1", service: tank, liquid: water, datum: {elevation: 0 m}, shape: {SHAPE}}}
"""


def written(folder: Path, shape: str) -> tuple[Results | None, tuple[Mistake, ...]]:
    file = folder / "plant.yml"
    file.write_text(HEAD.replace("{SHAPE}", "{" + shape + "}"), encoding="utf-8")
    plant, mistakes = read.plant(file)
    return None if plant is None else compute.results(plant, read.knowledge()), mistakes


UPRIGHT = "kind: vertical cylinder, diameter: 2 m, height: 3 m, "
LYING = "kind: horizontal cylinder, diameter: 2 m, length: 3 m, "


@pytest.mark.parametrize(("shape", "ends"), [
    # volume of both ends, by hand: a cap of depth a holds pi a (3 R^2 + a^2) / 6
    (LYING + "ends: shallow dished, end_depth: 0.3 m", 2 * 0.48537606),
    (UPRIGHT + "bottom: shallow dished, bottom_depth: 0.3 m", 0.48537606),
    (UPRIGHT + "bottom: shallow dished, dish_radius: 1.0", 0.43096654),  # R 2 m over D 2 m: a = 2 - sqrt(3) = 0.267949 m
    (UPRIGHT + "top: shallow dished, top_depth: 0.3 m", 0.48537606),
    (UPRIGHT + "bottom: conical, bottom_depth: 0.3 m", 0.31415927),
    (LYING + "ends: hemispherical", 4.18879020),
    (LYING + "ends: 2:1 ellipsoidal", 2.09439510),
])
def test_an_end_can_be_written_and_holds_its_volume(tmp_path: Path, shape: str, ends: float) -> None:
    results, mistakes = written(tmp_path, shape)
    assert results is not None, mistakes
    vessel = results.tanks["T-1"].vessel
    assert vessel is not None
    assert vessel.capacity - 9.42477796 == pytest.approx(ends, abs=2e-5)


@pytest.mark.parametrize(("shape", "key"), [
    (UPRIGHT + "bottom: hemispherical, bottom_depth: 0.3 m", "bottom_depth"),
    (UPRIGHT + "bottom: shallow dished, bottom_depth: 0.3 m, dish_radius: 1.0", "bottom_depth"),
    (UPRIGHT + "bottom: shallow dished, dish_radius: 1.0, knuckle_radius: 0.1", "knuckle_radius"),
    (LYING + "ends: conical, end_depth: 0.3 m, dish_radius: 1.0", "dish_radius"),
])
def test_what_does_not_belong_to_an_end_is_refused(tmp_path: Path, shape: str, key: str) -> None:
    results, mistakes = written(tmp_path, shape)
    assert results is None
    assert [one.subject.rpartition(".")[2] for one in mistakes] == [key]
