"""Floats that are too heavy: nothing may be worked out for them as if they floated.

Hand sums from Archimedes' principle: a cylinder of 52 mm by 52 mm pushes 110.4 cm3 aside, a sphere of 90 mm 381.7 cm3,
a cylinder of 100 mm by 130 mm 1021 cm3.
"""

import pytest

from generator import compute, read
from generator.compute.floats import displaceable
from generator.model.instrument import Geometry
from generator.model.record import Absence, Record
from tests.compute import small

WATER = {"water": {"name": "Water", "density": {"lowest": "996 kg/m3", "highest": "1000 kg/m3"}}}
CYLINDER = {"float_shape": "upright cylinder", "float_diameter": "52 mm", "float_height": "52 mm"}
TUBE = {"technology": "guide tube float", "nozzle": "N2", "differential": "10 mm"}
TILT = {"technology": "tilt float", "nozzle": "N2"}
HUNG = {"hung_by": "bracket", "tether": "150 mm", "angle_up": "35 deg", "angle_down": "35 deg",
        "float_shape": "upright cylinder", "float_diameter": "100 mm", "float_height": "130 mm"}
LEVER = {"technology": "side lever float", "nozzle": "N1"}
BALL = {"arm": "300 mm", "angle_up": "20 deg", "angle_down": "20 deg", "float_shape": "sphere", "float_diameter": "90 mm"}
SINK = {"technology": "displacer", "nozzle": "N2", "differential": "10 mm"}


def worked(body: dict, geometry: dict, issued: str):
    plant = small.plant(
        liquids=WATER,
        tanks={"T-1": small.tank(nozzles={"N1": {"height": "2.00 m"}, "N2": {"height": "4.00 m", "on": "roof"}})},
        instruments={"LX-1": small.body(**body, geometry=geometry)},
        switches={"LS-1": small.switch("rising", issued=issued)})
    return compute.results(plant, read.knowledge())


@pytest.mark.parametrize(("geometry", "by_hand"), [
    (CYLINDER, 110.4), (BALL, 381.7), (HUNG, 1021.0), ({"float_volume": "0.095 L"}, 95.0),
    ({"float_diameter": "52 mm"}, None), ({"float_shape": "sphere"}, None)])
def test_what_a_float_can_displace(geometry: dict, by_hand: float | None) -> None:
    found = displaceable(Geometry.model_validate(geometry))
    assert found is None if by_hand is None else found * 1e6 == pytest.approx(by_hand, abs=0.1)


@pytest.mark.parametrize(("body", "geometry", "issued", "said"), [
    (TUBE, CYLINDER | {"magnet_height": "30 mm", "float_mass": "178 g"}, "3.00 m", "it weighs 178 g, can displace 110 g"),
    (TILT, HUNG | {"float_mass": "1.62 kg"}, "3.00 m", "it weighs 1620 g, can displace 1017 g"),
    (LEVER, BALL | {"float_mass": "480 g"}, "2.10 m", "it weighs 480 g, can displace 380.2 g"),
    (LEVER, BALL | {"float_shape": "other", "float_height": "52 mm", "float_mass": "400 g"}, "2.10 m", "it weighs 400 g"),
    (SINK, {"float_diameter": "52 mm", "float_height": "52 mm", "lift_mass": "178 g"}, "3.00 m", "never lifted"),
])
def test_a_float_that_sinks_has_no_heights(body: dict, geometry: dict, issued: str, said: str) -> None:
    results = worked(body, geometry, issued)
    acting = results.actuations["LS-1"]
    for outcome in (acting.rise, acting.fall, acting.acts, acting.difference, acting.differential):
        assert isinstance(outcome, Absence) and said in outcome.why, outcome
    assert isinstance(acting.shift, Absence) and said in acting.shift.why
    if body is not LEVER:  # the pivot of a side lever stands where its nozzle is
        assert isinstance(acting.fixing, Absence) and isinstance(acting.below_face, Absence)
    judged = results.suitability["LX-1"].of("floats")
    assert [one.verdict for one in judged] == ["fail"] and said.split(",")[0] in judged[0].why


@pytest.mark.parametrize(("body", "geometry", "mass", "issued"), [
    (TUBE, CYLINDER | {"magnet_height": "30 mm"}, "109.9 g", "3.00 m"), (LEVER, BALL, "380 g", "2.10 m"),
    (TILT, HUNG, "1.01 kg", "3.00 m")])
def test_one_that_is_just_light_enough_keeps_them(body: dict, geometry: dict, mass: str, issued: str) -> None:
    results = worked(body, geometry | {"float_mass": mass}, issued)
    assert isinstance(results.actuations["LS-1"].rise, Record)
    assert [one.verdict for one in results.suitability["LX-1"].of("floats")] == ["pass"]
