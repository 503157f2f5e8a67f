"""Laws of actuation over many geometries, and that nothing raises whatever is left out or nought."""

import copy
import random
from typing import Any

import pytest

from generator import compute, read
from generator.model.finding import Review
from generator.model.record import Record, value_of
from generator.pages import fitter
from generator.pages.context import Context
from tests.compute import small

KNOWLEDGE = read.knowledge()
TANK = {"nozzles": {"N1": {"height": "2 m"}, "N2": {"height": "4 m", "on": "roof"}}}
FULL: dict[str, Any] = {
    "arm": "300 mm", "arm_outer": "100 mm", "bend": "20 deg", "hung_by": "weight", "weight_below": "200 mm",
    "tether": "120 mm", "angle_up": "30 deg", "angle_down": "25 deg", "float_shape": "upright cylinder",
    "float_diameter": "60 mm", "float_height": "80 mm", "float_mass": "100 g", "float_volume": "0.2 L",
    "lift_mass": "80 g", "magnet_height": "40 mm", "tube_length": "3 m", "rods": "3", "reference_below": "20 mm",
    "rod_diameter": "6 mm", "rod_spacing": "25 mm", "spacer_every": "450 mm", "above_face": "20 mm", "clearance": "1 m",
}
NOUGHT = {"m": "0 m", "mm": "0 mm", "g": "0 g", "L": "0 L", "deg": "0 deg"}
KINDS = ["cable float", "tilt float", "conductive rods", "side lever float", "top lever float", "guide tube float",
         "displacer", "vibrating fork"]


def made(technology: str, geometry: dict[str, Any], acts: str, height: float, light: float = 800, heavy: float = 1000,
         **keys: Any) -> Context:
    nozzle = "N1" if technology in ("side lever float", "vibrating fork") else "N2"
    plant = small.plant(
        liquids={"water": {"name": "Water", "density": {"lowest": f"{light} kg/m3", "highest": f"{heavy} kg/m3"},
                           "conductivity": {"lowest": "100 uS/cm", "highest": "200 uS/cm"}}},
        tanks={"T-1": small.tank(**TANK)},
        instruments={"LX-1": small.body(technology=technology, nozzle=nozzle, geometry=geometry, differential="20 mm")},
        switches={"LS-1": small.switch(acts, issued=f"{height:.3f} m", **keys), "LS-2": small.switch("falling", issued="0.7 m")})
    return Context(plant, compute.results(plant, KNOWLEDGE), Review(), KNOWLEDGE, {})


@pytest.mark.parametrize("technology", KINDS)
@pytest.mark.parametrize("acts", ["rising", "falling"])
def test_laws(technology: str, acts: str) -> None:
    chance = random.Random(f"{technology} {acts}")
    for _ in range(3):
        height = chance.uniform(1.0, 3.0)
        geometry = FULL | {"tether": f"{chance.uniform(60, 300):.0f} mm", "angle_up": f"{chance.uniform(5, 45):.1f} deg",
                           "angle_down": f"{chance.uniform(5, 45):.1f} deg", "float_mass": f"{chance.uniform(40, 150):.0f} g"}
        acting = made(technology, geometry, acts, height).results.actuations["LS-1"]
        rise, fall, shift = value_of(acting.rise), value_of(acting.fall), value_of(acting.shift)
        assert rise is not None and fall is not None
        assert rise > fall, "it lets go lower than it acts"
        assert acting.acts is (acting.rise if acts == "rising" else acting.fall)
        if not acting.is_set:
            assert value_of(acting.difference) == pytest.approx(0, abs=1e-9), "a place that follows from the height agrees"
        if shift is not None:
            assert shift >= 0, "a denser liquid lets a float act lower"
        assert technology in ("conductive rods", "vibrating fork") or isinstance(acting.shift, Record)


def test_a_denser_liquid_moves_an_ordered_contact_down() -> None:
    heights = [value_of(made("guide tube float", FULL, "rising", 2.0, density, density, below_face="2 m").results
                        .actuations["LS-1"].rise) for density in (750, 900, 1100, 1300)]
    assert heights == sorted(heights, reverse=True)  # type: ignore[type-var]
    assert len(set(heights)) == 4


@pytest.mark.parametrize("technology", ["tilt float", "conductive rods", "top lever float", "guide tube float", "displacer"])
def test_nothing_raises_whatever_is_left_out_or_nought(technology: str) -> None:
    for name in FULL:
        for value in (None, NOUGHT.get(str(FULL[name]).rpartition(" ")[2])):
            geometry = copy.deepcopy(FULL)
            if value is None:
                del geometry[name]
            else:
                geometry[name] = value
            context = made(technology, geometry, "rising", 2.0)
            sheet = fitter.sheet(context, "LS-1")
            assert sheet is not None
            assert all(row.cut.number for row in sheet.cuts)
