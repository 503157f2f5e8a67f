"""Where devices act and what is cut, against values worked by hand and by another library.

Sources: values of buoyancy, tilt, levers and electrodes are hand sums from Archimedes' principle, trigonometry and the
cell constants of handbooks, and were recomputed there; spacers about every 0.45 m are common practice, no source.
"""

import math

import pytest
from scipy.optimize import brentq

from generator import compute, read
from generator.compute.actuation.cable import leg
from generator.compute.actuation.levers import float_height
from generator.compute.buoyancy import cylinder_immersion, least_density, sphere_immersion
from generator.compute.electrodes import coaxial_capacity, rod_in_vessel, two_rods
from generator.model.record import Absence, Record, value_of
from generator.model.results import Results
from tests.compute import small

MM = 1000.0
WATER = {"water": {"name": "Water", "density": {"lowest": "1000 kg/m3", "highest": "1000 kg/m3"}}}


def worked(body: dict, *switches: dict, liquids: dict | None = None, **tank: object) -> Results:
    plant = small.plant(
        liquids=liquids or WATER,
        tanks={
            "T-1": small.tank(nozzles={"N1": {"height": "2.00 m"}, "N2": {"height": "4.00 m", "on": "roof"}}, **tank)
        },
        instruments={"LX-1": small.body(**body)},
        switches={f"LS-{number}": one for number, one in enumerate(switches, 1)},
    )
    return compute.results(plant, read.knowledge())


def test_immersion_of_an_upright_cylinder() -> None:
    # by hand: 4 * 0.060 / (pi * 1000 * 0.050^2)
    assert cylinder_immersion(0.060, 1000, 0.050) * MM == pytest.approx(30.558, abs=1e-3)
    assert cylinder_immersion(0.060, 800, 0.050) * MM == pytest.approx(38.197, abs=1e-3)
    assert cylinder_immersion(math.pi / 4, 1, 1) == pytest.approx(1)  # all of it in a liquid as light as a gas
    assert least_density(0.060, math.pi * 0.025**2 * 0.060) == pytest.approx(509.3, abs=0.05)


@pytest.mark.parametrize(("mass", "density"), [(0.2, 1000), (0.2, 820), (0.01, 1000), (0.52, 1000)])
def test_immersion_of_a_sphere_is_the_root_that_another_library_finds(mass: float, density: float) -> None:
    root = brentq(lambda d: math.pi * d * d * (0.15 - d) / 3 - mass / density, 0, 0.1)
    assert sphere_immersion(mass, density, 0.1) == pytest.approx(root, abs=1e-9)
    assert sphere_immersion(0.2, 1000, 0.1) * MM == pytest.approx(42.065, abs=1e-3)


@pytest.mark.parametrize(
    ("tether", "angle", "span"), [(0.1, 45, 141.4), (0.2, 45, 282.8), (0.15, 30, 150.0), (0.3, 28, 281.7)]
)
def test_span_of_a_tilting_float(tether: float, angle: float, span: float) -> None:
    """Through the whole of it: rise less fall of a point, and the middle at the fixing."""
    assert 2 * leg(tether, math.radians(angle)) * MM == pytest.approx(span, abs=0.06)
    results = worked(
        {
            "technology": "tilt float",
            "nozzle": "N2",
            "geometry": {
                "hung_by": "weight",
                "tether": f"{tether} m",
                "angle_up": f"{angle} deg",
                "angle_down": f"{angle} deg",
            },
        },
        small.switch("rising", issued="3.00 m"),
    )
    acting = results.actuations["LS-1"]
    assert value_of(acting.differential) * MM == pytest.approx(span, abs=0.06)  # type: ignore[operator]
    middle = (value_of(acting.rise) + value_of(acting.fall)) / 2  # type: ignore[operator]
    assert middle == pytest.approx(value_of(acting.fixing))
    assert value_of(acting.acts) == pytest.approx(3.0)


def test_lever_straight_and_bent() -> None:
    assert (
        float_height(0.3, 0, 0, math.radians(20)) - float_height(0.3, 0, 0, math.radians(-20))
    ) * MM == pytest.approx(205.2, abs=0.05)
    # by hand: 0.2 sin 10 + 0.1 sin(10 - 30) = 34.730 - 34.202 mm
    assert float_height(0.2, 0.1, math.radians(30), math.radians(10)) * MM == pytest.approx(0.528, abs=2e-3)


def test_side_lever_acts_over_its_nozzle_by_arm_and_waterline() -> None:
    body = {
        "technology": "side lever float",
        "nozzle": "N1",
        "geometry": {
            "arm": "300 mm",
            "angle_up": "20 deg",
            "angle_down": "20 deg",
            "float_shape": "sphere",
            "float_diameter": "100 mm",
            "float_mass": "200 g",
        },
    }
    acting = worked(body, small.switch("rising", issued="2.10 m")).actuations["LS-1"]
    # by hand: 2.000 + 0.300 sin 20 + (0.042065 - 0.050)
    assert value_of(acting.rise) == pytest.approx(2.0946705, abs=1e-5)
    assert value_of(acting.difference) == pytest.approx(-0.0053295, abs=1e-5)
    assert value_of(acting.differential) * MM == pytest.approx(205.2, abs=0.05)  # type: ignore[operator]
    assert acting.below_face is None


def test_contact_on_a_guide_tube_and_what_density_moves() -> None:
    body = {
        "technology": "guide tube float",
        "nozzle": "N2",
        "differential": "10 mm",
        "geometry": {
            "float_shape": "upright cylinder",
            "float_diameter": "50 mm",
            "float_height": "60 mm",
            "float_mass": "60 g",
            "magnet_height": "30 mm",
        },
    }
    liquids = {"water": {"name": "Fuel", "density": {"lowest": "800 kg/m3", "highest": "1000 kg/m3"}}}
    acting = worked(body, small.switch("rising", issued="3.00 m"), liquids=liquids).actuations["LS-1"]
    # by hand at 900 kg/m3: immersion 33.953 mm; contact 3.000 + 0.030 - 0.033953
    assert value_of(acting.fixing) == pytest.approx(2.996047, abs=1e-5)
    assert value_of(acting.below_face) == pytest.approx(1.003953, abs=1e-5)
    assert value_of(acting.shift) * MM == pytest.approx(7.64, abs=0.01)  # type: ignore[operator]
    assert isinstance(acting.shift, Record)
    by_symbol = {one.symbol: one.value for one in acting.shift.inputs}
    assert (by_symbol[r"\rho_1"], by_symbol[r"\rho_2"]) == (800.0, 1000.0)
    assert {0.06, 0.05} <= {one.value for one in acting.shift.inputs}  # the float's mass and diameter stand beside them
    assert value_of(acting.fall) == pytest.approx(2.99)
    assert isinstance(acting.rise, Record) and isinstance(acting.fall, Record)
    assert (acting.rise.name, acting.fall.name) == ("Rise point of LS-1", "Fall point of LS-1")


@pytest.mark.parametrize(("technology", "keys", "radius", "names"), [
    # by hand: the free length and half of a float of 100 mm; what slides on a guide or does not move swings nowhere
    ("cable float", {"tether": "0.15 m", "hung_by": "weight"}, 0.20, ["free cable", "diameter of the float"]),
    ("side lever float", {"arm": "0.30 m"}, 0.35, ["arm", "diameter of the float"]),
    ("side lever float", {"arm": "0.20 m", "arm_outer": "0.10 m"}, 0.35,
     ["arm", "outer part of the arm", "diameter of the float"]),
    ("cable float", {"tether": "0.15 m", "hung_by": "guide"}, None, []), ("guide tube float", {"tether": "0.15 m"}, None, []),
])
def test_room_that_a_device_swings_in(technology: str, keys: dict[str, str], radius: float | None, names: list[str]) -> None:
    body = {"technology": technology, "nozzle": "N1", "geometry": keys | {"float_diameter": "100 mm", "clearance": "0.5 m"}}
    fitting = worked(body, small.switch("rising", issued="2.00 m")).fittings["LX-1"]
    if radius is None:
        assert fitting.swing is None and fitting.room is None
    else:
        assert isinstance(fitting.swing, Record)
        assert (fitting.swing.value, value_of(fitting.room)) == pytest.approx((radius, 0.5 - radius))
        assert [one.name for one in fitting.swing.inputs] == names


def test_what_was_ordered_decides_where_it_acts() -> None:
    acting = worked(
        {"technology": "conductive rods", "nozzle": "N2", "differential": "5 mm"},
        small.switch("rising", issued="3.00 m", below_face="1020 mm"),
    ).actuations["LS-1"]
    assert acting.is_set
    assert value_of(acting.difference) == pytest.approx(-0.020)


def test_rods_reference_spacers_and_cut_lengths() -> None:
    body = {
        "technology": "conductive rods",
        "nozzle": "N2",
        "differential": "5 mm",
        "geometry": {"rods": "3", "reference_below": "50 mm", "spacer_every": "450 mm", "above_face": "25 mm"},
    }
    results = worked(body, small.switch("rising", issued="3.00 m"), small.switch("falling", issued="1.20 m"))
    fitting = results.fittings["LX-1"]
    assert fitting.points == ("LS-1", "LS-2")
    assert [value_of(results.actuations[tag].below_face) for tag in fitting.points] == pytest.approx([1.0, 2.8])
    assert [value_of(results.actuations[tag].cut) for tag in fitting.points] == pytest.approx([1.025, 2.825])
    assert value_of(fitting.reference) == pytest.approx(2.85)
    places = [value_of(one) for one in fitting.spacers]
    # tied along the second longest rod, 2.80 m: six spacers leave stretches of 400 mm
    assert places == pytest.approx([0.4, 0.8, 1.2, 1.6, 2.0, 2.4])


@pytest.mark.parametrize(("geometry", "places"), [
    ({"reference_below": "0 mm"}, [1 / 3, 2 / 3]),  # one rod and the reference are two, and can touch
    ({}, []),
])
def test_two_rods_want_spacers_and_one_wants_none(geometry: dict[str, str], places: list[float]) -> None:
    body = {"technology": "conductive rods", "nozzle": "N2", "differential": "5 mm",
            "geometry": {"rods": "2", "spacer_every": "450 mm", "above_face": "25 mm", **geometry}}
    fitting = worked(body, small.switch("rising", issued="3.00 m")).fittings["LX-1"]
    assert [value_of(one) for one in fitting.spacers] == pytest.approx(places)


def test_no_spacer_sits_on_the_tip_of_a_rod() -> None:
    """Rods of 900 and 1350 mm and a reference of 1400: two spacers would sit at 450 and 900, so three, at 337.5 mm steps."""
    body = {"technology": "conductive rods", "nozzle": "N2", "differential": "5 mm",
            "geometry": {"rods": "3", "reference_below": "50 mm", "spacer_every": "450 mm", "above_face": "25 mm"}}
    fitting = worked(body, small.switch("rising", issued="3.10 m"), small.switch("falling", issued="2.65 m")).fittings["LX-1"]
    assert [value_of(one) for one in fitting.spacers] == pytest.approx([0.3375, 0.675, 1.0125])
    assert all(isinstance(one, Record) and "beside the tip" in one.note for one in fitting.spacers)


def test_tips_too_close_for_equal_steps_are_left_to_the_fitter() -> None:
    """Fifteen rods 80 mm apart leave no room 50 mm from every tip."""
    body = {"technology": "conductive rods", "nozzle": "N2", "differential": "5 mm",
            "geometry": {"rods": "16", "reference_below": "50 mm", "spacer_every": "450 mm", "above_face": "25 mm"}}
    points = [small.switch("rising", issued=f"{3.92 - 0.08 * number:.2f} m") for number in range(15)]
    spacers = worked(body, *points).fittings["LX-1"].spacers
    assert len(spacers) == 1 and isinstance(spacers[0], Absence) and "by hand" in spacers[0].why


def test_counterweight_hangs_under_the_lowest_fixing() -> None:
    body = {
        "technology": "cable float",
        "nozzle": "N2",
        "geometry": {
            "hung_by": "weight",
            "weight_below": "300 mm",
            "tether": "100 mm",
            "angle_up": "30 deg",
            "angle_down": "30 deg",
            "float_diameter": "90 mm",
            "clearance": "200 mm",
        },
    }
    fitting = worked(body, small.switch("rising", issued="2.00 m"), small.switch("falling", issued="1.00 m")).fittings[
        "LX-1"
    ]
    assert value_of(fitting.weight) == pytest.approx(0.75)  # 1.00 + 0.05 - 0.30
    assert value_of(fitting.weight_below_face) == pytest.approx(3.25)
    assert value_of(fitting.room) == pytest.approx(0.2 - 0.1 - 0.045)
    assert value_of(fitting.weight_room) == pytest.approx(0.3 - 0.1 / 2 - 0.09 / 2)  # sine of 30 degrees, half the float


def test_a_bracketed_displacer_by_its_lift() -> None:
    body = {
        "technology": "displacer",
        "nozzle": "N2",
        "differential": "200 mm",
        "geometry": {"lift_mass": "60 g", "float_diameter": "50 mm"},
    }
    acting = worked(body, small.switch("rising", issued="3.00 m")).actuations["LS-1"]
    assert value_of(acting.fixing) == pytest.approx(3.0 - 0.030558, abs=1e-6)


@pytest.mark.parametrize(
    "technology", ["cable float", "tilt float", "side lever float", "top lever float", "guide tube float", "displacer"]
)
def test_missing_geometry_is_an_absence_that_names_it(technology: str) -> None:
    acting = worked({"technology": technology, "nozzle": "N2"}, small.switch("rising", issued="3.00 m")).actuations[
        "LS-1"
    ]
    assert isinstance(acting.acts, Absence)
    assert any("geometry" in field for field in acting.acts.missing)
    assert acting.acts.why


def test_every_record_of_a_device_names_its_inputs() -> None:
    results = worked(
        {
            "technology": "tilt float",
            "nozzle": "N2",
            "geometry": {"hung_by": "clamp", "tether": "0.1 m", "angle_up": "30 deg", "angle_down": "30 deg"},
        },
        small.switch("falling", issued="1 m"),
    )
    made = [one for key, one in results.records.items() if "/actuation/" in key and isinstance(one, Record)]
    assert made and all(one.inputs and one.equation for one in made)


@pytest.mark.parametrize(
    ("conductivity", "ohm"), [(10, 72970), (50, 14594), (500, 1459.4), (1000, 729.7), (50000, 14.594)]
)
def test_resistance_of_two_rods(conductivity: float, ohm: float) -> None:
    # acosh(20/4) / (pi * 0.010), in uS/cm; by hand
    assert two_rods(0.010, 0.020, 0.004) / (conductivity * 1e-4) == pytest.approx(ohm, rel=2e-4)


def test_rod_in_a_vessel_and_coaxial_probe() -> None:
    assert rod_in_vessel(0.050, 0.006, 1.0) == pytest.approx(16.285, abs=1e-3)
    assert coaxial_capacity(0.01, 0.1, 1) * 1e12 == pytest.approx(24.161, abs=1e-3)
    assert coaxial_capacity(0.01, 0.1, 80) * 1e12 == pytest.approx(1932.9, abs=0.1)


@pytest.mark.parametrize(
    "call",
    [
        lambda: cylinder_immersion(1, 0, 1),
        lambda: sphere_immersion(-1, 1, 1),
        lambda: least_density(1, 0),
        lambda: two_rods(1, 0.01, 0.02),
        lambda: rod_in_vessel(1, 1, 0.5),
        lambda: coaxial_capacity(0.1, 0.05, 2),
    ],
)
def test_formulas_refuse_what_has_no_meaning(call: object) -> None:
    with pytest.raises(ValueError):
        call()  # type: ignore[operator]


def test_what_weighs_nothing_floats_on_anything() -> None:
    assert least_density(0.0, 1.0) == 0.0


@pytest.mark.parametrize("nozzle", [{"on": "wall"}, None])
def test_a_lever_without_the_height_of_its_nozzle_has_no_pivot(nozzle: dict[str, str] | None) -> None:
    body = {"technology": "side lever float", "geometry": {"arm": "300 mm", "angle_up": "20 deg", "angle_down": "20 deg"}}
    nozzles = {"N9": nozzle} if nozzle else {}
    plant = small.plant(tanks={"T-1": small.tank(nozzles=nozzles)}, instruments={"LX-1": small.body(nozzle="N9", **body)},
                        switches={"LS-1": small.switch("rising", issued="2 m")})
    made = compute.results(plant, read.knowledge()).actuations["LS-1"]
    assert isinstance(made.fixing, Absence) and made.fixing.missing


def test_nothing_is_cut_to_less_than_nothing() -> None:
    """A face at 1.250 m over rods at 0.700, 1.250 and 1.300 m: 550 mm of rod with 25 mm in the head, and two that cannot be."""
    body = {"technology": "conductive rods", "nozzle": "N2", "mounting_face": "1.25 m", "differential": "5 mm",
            "geometry": {"above_face": "25 mm"}}
    results = worked(body, *(small.switch("rising", issued=at) for at in ("0.70 m", "1.25 m", "1.30 m")))
    assert value_of(results.actuations["LS-1"].cut) == pytest.approx(0.575)
    for tag in ("LS-2", "LS-3"):
        acting = results.actuations[tag]
        for outcome in (acting.below_face, acting.cut):
            assert isinstance(outcome, Absence) and "the mounting face, at 1.250 m" in outcome.why
