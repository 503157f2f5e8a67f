"""Liquids and places, each with a switch that survives and one that does not, for the right reason.

What survives where is trade knowledge: common practice, no source, save where a line names one. A figure whose record
is missing never passes.
"""

import copy
from types import SimpleNamespace
from typing import Any, cast

import pytest

from generator import compute, read
from generator.compute.suited_facts import PLACES, Place
from generator.model.device import Suitability
from generator.model.results import Results
from tests.compute import small

KNOWLEDGE = read.knowledge()
WATER: dict[str, Any] = {
    "name": "Water",
    "density": {"lowest": "990 kg/m3", "highest": "1000 kg/m3"},
    "temperature": {"lowest": "5 degC", "highest": "30 degC"},
    "conductivity": {"lowest": "300 uS/cm", "highest": "700 uS/cm"},
    "viscosity": "1.5 mPa s",
    "dielectric_constant": "80",
    "hazards": ["none"],
    "coating": "no",
    "conductive_coating": "no",
    "foam": "no",
    "solids": "none",
    "magnetic_particles": "no",
    "chemistry": "clean water",
    "duty": "clean",
}
TANK: dict[str, Any] = {
    "agitated": "no",
    "wall_conducts": "yes",
    "cleaned_with": ["none"],
    "surroundings": {"zone": "none", "outdoors": "no", "below_ground": "no"},
    "nozzles": {"N1": {"height": "2 m", "isolated_by": "none"}, "N2": {"height": "4 m", "on": "roof"}},
}
ZONE_1 = {"surroundings": {"zone": "1", "outdoors": "no", "below_ground": "no"}}
STEEL, PLASTIC = ["stainless steel 1.4404"], ["polypropylene"]


def device(
    technology: str, nozzle: str, ratings: dict[str, str], wetted: list[str] = STEEL, **keys: Any
) -> dict[str, Any]:
    return {
        "technology": technology,
        "nozzle": nozzle,
        "ratings": {"temperature_highest": "120 degC"} | ratings,
        "wetted": wetted,
        "in_inlet_stream": "no",
    } | keys


FORK = device("vibrating fork", "N1", {"density_lowest": "700 kg/m3", "viscosity_highest": "5000 mPa s"})
RODS = device(
    "conductive rods", "N2", {"conductivity_lowest": "20 uS/cm"}, geometry={"rods": "3", "reference_below": "50 mm"}
)
BARE_RODS = device("conductive rods", "N2", {"conductivity_lowest": "20 uS/cm"}, geometry={"rods": "1"})
LEVER = device("side lever float", "N1", {"density_lowest": "750 kg/m3"})
TOP = device("top lever float", "N2", {"density_lowest": "750 kg/m3"}, geometry={"dirt_guard": "bellows"})
TUBE = device("guide tube float", "N2", {"density_lowest": "800 kg/m3"})
TILT = device(
    "tilt float", "N2", {"density_lowest": "900 kg/m3", "ingress": "IP68", "immersion_depth": "20 m"}, PLASTIC
)
RADAR = device("free space radar", "N2", {"dielectric_lowest": "2"})
KEPT_CLEAN = {
    f"works-{number}": {"based_on": technology, "everywhere": "yes", "care": [
        {"where": where, "every": "1 months", "do": "take it off"} for where in ("rags", "coating")]}
    for number, technology in enumerate(("tilt float", "vibrating fork"))
}
"""A site that takes rags and coating off its floats and forks."""
LIGHT = {"density": {"lowest": "500 kg/m3", "highest": "540 kg/m3"}, "chemistry": "hydrocarbon", "duty": "fuel"}


def rated(one: dict[str, Any], wetted: list[str] | None = None, **ratings: str) -> dict[str, Any]:
    made = copy.deepcopy(one)
    made["ratings"] |= ratings
    return made | ({"wetted": wetted} if wetted else {})


CASES = {
    "purified water": (
        {"conductivity": {"lowest": "0.1 uS/cm", "highest": "1 uS/cm"}, "chemistry": "pure water"},
        {},
        FORK,
        RODS,
        "conductivity",
        "viscosity",
    ),
    "hot condensate": (
        {"temperature": {"lowest": "60 degC", "highest": "98 degC"}, "chemistry": "pure water"},
        {},
        LEVER,
        rated(TILT, temperature_highest="60 degC"),
        "temperature",
        "temperature",
    ),
    "fuel in zone 1": (
        {
            "conductivity": {"lowest": "1e-7 uS/cm", "highest": "1e-5 uS/cm"},
            "chemistry": "hydrocarbon",
            "density": {"lowest": "820 kg/m3", "highest": "870 kg/m3"},
            "duty": "fuel",
        },
        ZONE_1,
        rated(FORK, zone="0"),
        rated(FORK, zone="2"),
        "zone",
        "density",
    ),
    "sewage": (
        {"solids": "rags", "coating": "yes", "conductive_coating": "yes", "chemistry": "sewage", "duty": "sewage"},
        {},
        TILT,
        TUBE,
        "rags",
        "solids",
    ),
    "hypochlorite": (
        {
            "chemistry": "hypochlorite",
            "foam": "yes",
            "density": {"lowest": "1180 kg/m3", "highest": "1230 kg/m3"},
            "duty": "chemical",
        },
        {},
        rated(TUBE, ["PVC-C", "PVDF"]),
        LEVER,
        "material",
        "chemistry",
    ),
    "caustic soda": (
        {"chemistry": "caustic", "coating": "yes", "conductive_coating": "yes", "duty": "chemical"},
        {},
        rated(TOP, ["polypropylene", "nickel alloy"]),
        rated(RODS, ["nickel alloy"]),
        "conductive coating",
        "chemistry",
    ),
    "liquefied gas": (
        LIGHT,
        {"design_pressure": "8 bar gauge"},
        rated(LEVER, density_lowest="450 kg/m3", pressure_highest="16 bar gauge"),
        rated(LEVER, pressure_highest="16 bar gauge"),
        "density",
        "density",
    ),
    "milk, cleaned hot": (
        {"chemistry": "food", "duty": "food"},
        {"cleaned_with": ["steam"], "cleaning_temperature": "110 degC"},
        rated(FORK, hygienic="yes"),
        rated(TILT, hygienic="no"),
        "hygiene",
        "viscosity",
    ),
    "a lined tank": ({}, {"wall_conducts": "no"}, RODS, BARE_RODS, "wall that does not conduct", "conductivity"),
    "syrup that is stirred": (
        {"viscosity": "9000 mPa s", "chemistry": "food", "duty": "chemical"},
        {"agitated": "yes"},
        RADAR,
        FORK,
        "viscosity",
        "dielectric_constant",
    ),
    "rusty water": ({"magnetic_particles": "yes"}, {}, TOP, TUBE, "magnetic particles", "density"),
    "a pit that floods": (
        {},
        {"surroundings": {"zone": "none", "outdoors": "no", "below_ground": "yes"}},
        TILT,
        rated(FORK, ingress="IP65"),
        "ingress",
        "density",
    ),
    "brine in the cold": (
        {"temperature": {"lowest": "-10 degC", "highest": "10 degC"}},
        {},
        rated(LEVER, temperature_lowest="-20 degC"),
        rated(LEVER, temperature_lowest="0 degC"),
        "cold",
        "temperature",
    ),
    "under an inlet": (
        {},
        {},
        device("tilt float", "N2", TILT["ratings"], PLASTIC, stilling_well="perforated pipe")
        | {"in_inlet_stream": "yes"},
        TILT | {"in_inlet_stream": "yes"},
        "inlet stream",
        "solids",
    ),
}


def worked(liquid: dict[str, Any], tank: dict[str, Any], *bodies: dict[str, Any], **nouns: Any) -> Results:
    plant = small.plant(
        liquids={"water": WATER | liquid},
        tanks={"T-1": small.tank(**(TANK | tank))},
        instruments={f"LX-{number}": small.body(**body) for number, body in enumerate(bodies, 1)},
        switches={
            f"LS-{number}": small.switch("rising", issued="2 m") | {"in": f"LX-{number}"}
            for number in range(1, len(bodies) + 1)
        },
        **nouns,
    )
    return compute.results(plant, KNOWLEDGE)


def failed(one: Suitability) -> list[str]:
    return [judgement.of for judgement in one.judgements if judgement.verdict == "fail"]


@pytest.mark.parametrize("name", CASES)
def test_the_right_one_passes_and_the_wrong_one_fails_for_the_right_reason(name: str) -> None:
    liquid, tank, good, bad, reason, _ = CASES[name]
    made = worked(liquid, tank, good, bad, technologies=KEPT_CLEAN).suitability
    assert made["LX-1"].verdict == "pass", [
        (one.of, one.why) for one in made["LX-1"].judgements if one.verdict not in ("pass", "does not apply")
    ]
    assert made["LX-2"].verdict == "fail"
    assert reason in failed(made["LX-2"])
    assert all(one.why for one in made["LX-2"].judgements)
    assert all(other.technology != bad["technology"] for other in made["LX-2"].alternatives)


@pytest.mark.parametrize("name", CASES)
def test_what_is_not_recorded_never_passes(name: str) -> None:
    liquid, tank, good, _, _, field = CASES[name]
    without = {key: value for key, value in (WATER | liquid).items() if key != field}
    plant = small.plant(
        liquids={"water": without}, tanks={"T-1": small.tank(**(TANK | tank))}, instruments={"LX-1": small.body(**good)}
    )
    made = compute.results(plant, KNOWLEDGE).suitability["LX-1"]
    assert made.verdict == "cannot be assessed"
    assert any(f"water: {field}" in judgement.missing for judgement in made.judgements)


@pytest.mark.parametrize("name", CASES)
def test_a_device_without_papers_never_passes(name: str) -> None:
    liquid, tank, good, _, _, _ = CASES[name]
    made = worked(
        liquid, tank, {key: value for key, value in good.items() if key not in ("ratings", "wetted")}
    ).suitability
    assert made["LX-1"].verdict == "cannot be assessed"


def test_an_alternative_is_named_with_what_it_would_need() -> None:
    liquid, tank, _, bad, _, _ = CASES["purified water"]
    others = {one.technology: one.needs for one in worked(liquid, tank, bad).suitability["LX-1"].alternatives}
    assert others
    assert all(name != "conductive rods" for name in others)
    assert all(any("a highest temperature of at least 30 degC" in need for need in needs) for needs in others.values())


def test_a_limit_of_the_site_holds_beside_the_rating() -> None:
    site = {
        "strict-rods": {
            "based_on": "conductive rods",
            "everywhere": "yes",
            "limits": {"conductivity_lowest": "500 uS/cm"},
        }
    }
    made = worked({}, {}, RODS, technologies=site).suitability["LX-1"]
    assert failed(made) == ["conductivity"]
    (judgement,) = made.of("conductivity")
    assert "site limit strict-rods" in judgement.why


def test_a_limit_of_the_site_does_not_stand_in_for_a_missing_rating() -> None:
    site = {
        "lax-rods": {"based_on": "conductive rods", "everywhere": "yes", "limits": {"conductivity_lowest": "1 uS/cm"}}
    }
    made = worked({}, {}, rated(RODS) | {"ratings": {"temperature_highest": "90 degC"}}, technologies=site).suitability[
        "LX-1"
    ]
    assert made.of("conductivity")[0].verdict == "cannot be assessed"


def test_the_plant_may_lift_and_add_troubles() -> None:
    site = {
        "scraped": {
            "based_on": "conductive rods",
            "fit_for": [{"what": "coating", "because": "scraped weekly"}],
            "unfit_for": [{"what": "magnetic particles", "because": "tried, failed"}],
        }
    }
    own = RODS | {"kind": "scraped"}
    made = worked({"coating": "yes", "magnetic_particles": "yes"}, {}, own, RODS, technologies=site).suitability
    assert failed(made["LX-1"]) == ["magnetic particles"]
    assert failed(made["LX-2"]) == ["coating"]


def test_a_technology_of_the_plants_own_is_judged_like_every_device() -> None:
    site = {
        "paddle": {
            "based_on": "other",
            "principle": "A paddle turns until it meets something.",
            "unfit_for": [{"what": "foam", "because": "it turns in foam"}],
        }
    }
    body = device("other", "N1", {}, kind="paddle")
    assert failed(worked({"foam": "yes"}, {}, body, technologies=site).suitability["LX-1"]) == ["foam"]
    assert worked({}, {}, body, technologies=site).suitability["LX-1"].verdict == "pass"


@pytest.mark.parametrize(("hung_by", "on_a_guide", "free"), [
    ("guide", True, False), ("weight", False, True), ("bracket", False, True), (None, None, None)])
def test_what_slides_on_a_guide_does_not_hang_free(hung_by: str | None, on_a_guide: bool | None, free: bool | None) -> None:
    place = cast(Place, SimpleNamespace(body=SimpleNamespace(geometry=SimpleNamespace(hung_by=hung_by)), body_tag="LX-1"))
    assert (PLACES["guide"](place).holds, PLACES["hangs free"](place).holds) == (on_a_guide, free)


# ---- the data files ---------------------------------------------------------------------------------------------------


def test_data_files_speak_the_closed_vocabulary() -> None:
    from typing import get_args

    from generator.compute.actuation import FAMILIES
    from generator.compute.suited_facts import TROUBLES
    from generator.compute.suited_figures import FIGURES
    from generator.model.instrument import Geometry, Instrument, Ratings
    from generator.model.tank import Chemistry, CleaningAgent
    from generator.model.technology import Trouble

    assert set(TROUBLES) == set(get_args(Trouble))
    assert set(FIGURES) == set(KNOWLEDGE.criteria)
    assert all(
        one.rating in Ratings.model_fields and one.sense in ("at least", "at most")
        for one in KNOWLEDGE.criteria.values()
    )
    chemistries = set(get_args(Chemistry)) | set(get_args(CleaningAgent))
    for row in KNOWLEDGE.materials:
        assert set(row.resists) | set(row.attacked_by) <= chemistries, row.material
        assert not set(row.resists) & set(row.attacked_by), row.material
    for one in KNOWLEDGE.technologies.values():
        assert one.actuation in {*FAMILIES, "range", "none"}, one.name
        assert set(one.mounts) <= {"wall", "roof", "floor", "free"}
        assert set(one.judged_by) <= set(KNOWLEDGE.criteria)
        assert {row.what for row in one.unfit_for} <= set(TROUBLES)
        assert {name for row in one.unfit_for for name in (*row.unless, *row.only)} <= set(PLACES)
        assert {row.where for row in one.care} <= {*TROUBLES, "clean liquid"}
        assert one.wetted_test and one.hidden_by_simulation and one.restore and one.references and one.cautions, (
            one.name
        )
        for field in (*one.must_give, *(row.field for row in one.plausible)):
            block, _, name = field.rpartition(".")
            owner = {"geometry": Geometry, "ratings": Ratings, "": Instrument}.get(block)
            assert owner is None or name in owner.model_fields, (one.name, field)


def test_usual_conductivities_hold_the_reference_solutions() -> None:
    """Potassium chloride at 25 degC, in uS/cm: 0.01 molal 1408.23, 0.1 molal 12824.6, 1 molal 108620 (NIST, CRC).

    Sea water 29 036 to 53 071 uS/cm between 0 and 25 degC (TEOS-10); purest water 0.055 (found).
    """
    row = {(one.property, one.of): one for one in KNOWLEDGE.usual}
    salt, clean, pure = (row["conductivity", name] for name in ("salt water", "clean water", "pure water"))
    for value in (12824.6, 108620, 29036, 53071):
        assert salt.lowest <= value * 1e-4 <= salt.highest
        assert not salt.lowest <= value * 1e-1 <= salt.highest  # mS written for uS is noticed
    assert clean.lowest <= 1408.23e-4 <= clean.highest and not clean.lowest <= 1408.23e-1 <= clean.highest
    assert pure.lowest <= 0.055e-4 <= pure.highest and not pure.lowest <= 0.055e-1 <= pure.highest
