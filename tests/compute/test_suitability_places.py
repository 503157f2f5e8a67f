"""More liquids and places, written before anybody looked at how they would come out.

Each has a device that survives and one that does not, for the reason that a person of the trade would name first; and
one fact without which nothing may pass. What survives where is trade knowledge: common practice, no source, save where
a line names one.
"""

import copy
from typing import Any

import pytest

from generator import compute
from generator.compute.conductivity import conductivity_at
from generator.compute.suitability import TO_ORDER
from generator.compute.suited_facts import PLACES
from generator.model.record import Record
from tests.compute import small
from tests.compute.test_suitability import (
    FORK,
    KEPT_CLEAN,
    KNOWLEDGE,
    LEVER,
    RADAR,
    RODS,
    TANK,
    TILT,
    TUBE,
    WATER,
    device,
    failed,
    rated,
    worked,
)

HYDROCARBON = {"conductivity": {"lowest": "1e-8 uS/cm", "highest": "1e-5 uS/cm"}, "chemistry": "hydrocarbon",
               "duty": "chemical", "dielectric_constant": "1.9", "density": {"lowest": "650 kg/m3", "highest": "690 kg/m3"}}
ZONE_1 = {"zone": "1", "outdoors": "no", "below_ground": "no"}
ZONE_0 = ZONE_1 | {"zone": "0"}
WET_WELL = {"zone": "none", "outdoors": "no", "below_ground": "yes", "wet_well": "yes"}
GUIDED = device("guided radar", "N2", {"dielectric_lowest": "1.4"})
CLOSED = {"levels": {}, "surroundings": {"zone": "none", "outdoors": "no", "below_ground": "no"}}

# liquid, tank, right device, wrong device, what the wrong one fails, what must not be left out ("liquid." or "tank.")
CASES: dict[str, tuple[dict[str, Any], dict[str, Any], dict[str, Any], dict[str, Any], str, str]] = {
    "demineralised water, cold": (
        # 0.055 uS/cm at 25 degC for the purest, less in the cold (published tables of ultrapure water, from memory)
        {"temperature": {"lowest": "3 degC", "highest": "18 degC"}, "chemistry": "pure water",
         "conductivity": {"lowest": "0.02 uS/cm", "highest": "0.8 uS/cm"}},
        {}, LEVER, rated(RODS, conductivity_lowest="5 uS/cm"), "conductivity", "liquid.density",
    ),
    "beer wort, boiled and foaming, cleaned in place": (
        {"temperature": {"lowest": "15 degC", "highest": "99 degC"}, "foam": "yes", "coating": "yes", "chemistry": "food",
         "duty": "food", "viscosity": "3 mPa s", "density": {"lowest": "1030 kg/m3", "highest": "1080 kg/m3"}},
        {"cleaned_with": ["caustic", "hot water"], "cleaning_temperature": "85 degC"},
        rated(FORK, hygienic="yes"), rated(RODS, hygienic="yes"), "foam", "tank.cleaned_with",
    ),
    "molten sulphur": (
        # melts at 115 to 119 degC, 1.8 times as heavy as water, dielectric constant about 3.5 (handbooks, from memory)
        {"temperature": {"lowest": "125 degC", "highest": "150 degC"}, "viscosity": "12 mPa s",
         "density": {"lowest": "1780 kg/m3", "highest": "1810 kg/m3"}, "dielectric_constant": "3.5",
         "conductivity": {"lowest": "1e-9 uS/cm", "highest": "1e-6 uS/cm"}, "chemistry": "other", "duty": "chemical",
         "resisted_by": ["stainless steel"], "solids": "crystallising", "hazards": ["hot", "toxic", "flammable"]},
        {"surroundings": ZONE_1}, rated(RADAR | {"geometry": {"antenna": "purged"}}, temperature_highest="200 degC", zone="0"),
        rated(FORK, temperature_highest="200 degC", zone="0"), "crystallising solids", "liquid.dielectric_constant",
    ),
    "heating water with magnetite": (
        {"temperature": {"lowest": "20 degC", "highest": "85 degC"}, "magnetic_particles": "yes"},
        {}, FORK, LEVER | {"geometry": {"dirt_guard": "none"}}, "magnetic particles", "liquid.viscosity",
    ),
    "sewage under a lid of grease": (
        {"solids": "rags", "coating": "yes", "conductive_coating": "no", "chemistry": "sewage", "duty": "sewage"},
        {"surroundings": WET_WELL}, rated(TILT, ["polypropylene", "polychloroprene cable"]),
        rated(RODS, ingress="IP67"), "coating", "liquid.chemistry",
    ),
    "sewage with rags and grit": (
        {"solids": ["rags", "settling"], "coating": "yes", "conductive_coating": "yes", "chemistry": "sewage",
         "duty": "sewage"},
        {"surroundings": WET_WELL}, TILT,
        device("hydrostatic", "N2", {"ingress": "IP68", "immersion_depth": "20 m"}), "settling solids", "liquid.solids",
    ),
    "liquefied petroleum gas, measured by its weight": (
        {"density": {"lowest": "500 kg/m3", "highest": "560 kg/m3"}, "chemistry": "hydrocarbon", "duty": "fuel",
         "hazards": ["flammable", "flashing"], "dielectric_constant": "1.7"},
        CLOSED | {"design_pressure": "17 bar gauge", "surroundings": ZONE_1},
        device("displacer", "N2", {"density_lowest": "450 kg/m3", "pressure_highest": "40 bar gauge", "zone": "0"}),
        device("hydrostatic", "N1", {"pressure_highest": "40 bar gauge", "zone": "0"}), "gas pressure",
        "tank.design_pressure",
    ),
    "caustic soda, hot and strong": (
        {"temperature": {"lowest": "40 degC", "highest": "85 degC"}, "chemistry": "caustic", "viscosity": "40 mPa s",
         "density": {"lowest": "1480 kg/m3", "highest": "1530 kg/m3"}, "duty": "chemical"},
        {}, rated(FORK, ["nickel alloy"]), rated(FORK, ["PVDF coating"]), "material", "liquid.chemistry",
    ),
    "ethanol, the vapour inside always explosive": (
        {"density": {"lowest": "785 kg/m3", "highest": "810 kg/m3"}, "chemistry": "solvent", "hazards": ["flammable"],
         "dielectric_constant": "24", "duty": "chemical"},
        {"surroundings": ZONE_0}, rated(FORK, zone="0"), rated(FORK, zone="1"), "zone", "tank.surroundings.zone",
    ),
    "hexane, hardly seen by radio": (
        # 1.88 at 20 degC (handbook tables of dielectric constants, from memory)
        HYDROCARBON | {"dielectric_constant": "1.88", "hazards": ["flammable"], "second_liquid": "none"},
        {"surroundings": ZONE_1},
        rated(GUIDED, zone="0"), rated(RADAR, zone="0"), "dielectric constant", "liquid.dielectric_constant",
    ),
    "sugar syrup that crystallises": (
        {"viscosity": "3000 mPa s", "chemistry": "food", "duty": "food", "solids": "crystallising", "coating": "yes",
         "density": {"lowest": "1320 kg/m3", "highest": "1360 kg/m3"}, "dielectric_constant": "40"},
        {"cleaned_with": ["hot water"], "cleaning_temperature": "80 degC"},
        rated(RADAR, hygienic="yes"), rated(FORK, hygienic="yes"), "crystallising solids", "liquid.duty",
    ),
    "boiler feed water under pressure": (
        {"temperature": {"lowest": "105 degC", "highest": "130 degC"}, "chemistry": "pure water",
         "conductivity": {"lowest": "2 uS/cm", "highest": "8 uS/cm"}, "hazards": ["hot", "flashing"],
         "density": {"lowest": "934 kg/m3", "highest": "955 kg/m3"}},
        CLOSED | {"design_pressure": "2.5 bar gauge"},
        rated(LEVER, temperature_highest="200 degC", pressure_highest="16 bar gauge"),
        rated(LEVER, temperature_highest="200 degC", pressure_highest="1 bar gauge"), "pressure", "tank.design_pressure",
    ),
    "a slurry of sawdust, stirred": (
        {"solids": ["rags", "settling"], "coating": "yes", "density": {"lowest": "990 kg/m3", "highest": "1040 kg/m3"}},
        {"agitated": "yes"}, RADAR, GUIDED, "agitation", "liquid.foam",
    ),
    "molasses on a float": (
        {"viscosity": "20000 mPa s", "chemistry": "food", "duty": "chemical", "coating": "yes",
         "density": {"lowest": "1380 kg/m3", "highest": "1430 kg/m3"}, "dielectric_constant": "30"},
        {}, RADAR, FORK, "viscosity", "liquid.dielectric_constant",
    ),
    "a river intake in frost": (
        {"temperature": {"lowest": "-1 degC", "highest": "20 degC"}, "solids": "fine"},
        {"surroundings": {"zone": "none", "outdoors": "yes", "freezes": "yes", "below_ground": "no"}},
        rated(TILT | {"traced": "yes"}, temperature_lowest="-20 degC"),
        rated(RADAR, ingress="IP54", temperature_lowest="-20 degC"),
        "ingress", "liquid.temperature",
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_the_right_one_passes_and_the_wrong_one_fails_for_the_right_reason(name: str) -> None:
    liquid, tank, good, bad, reason, _ = CASES[name]
    made = worked(liquid, tank, good, bad, technologies=KEPT_CLEAN).suitability
    assert made["LX-1"].verdict == "pass", [
        (one.of, one.why) for one in made["LX-1"].judgements if one.verdict not in ("pass", "does not apply")
    ]
    assert reason in failed(made["LX-2"])
    assert all(len(one.why.split()) > 2 for one in made["LX-2"].judgements if one.verdict == "fail")
    assert all(other.technology != bad["technology"] for other in made["LX-2"].alternatives)
    assert made["LX-2"].alternatives


@pytest.mark.parametrize("name", CASES)
def test_what_is_not_recorded_never_passes(name: str) -> None:
    liquid, tank, good, _, _, field = CASES[name]
    nouns = copy.deepcopy({"liquid": WATER | liquid, "tank": small.tank(**(TANK | tank))})
    noun, *path, last = field.split(".")
    block: dict[str, Any] = nouns[noun]
    for part in path:
        block = block[part]
    del block[last]
    plant = small.plant(liquids={"water": nouns["liquid"]}, tanks={"T-1": nouns["tank"]},
                        instruments={"LX-1": small.body(**good)},
                        switches={"LS-1": small.switch("rising", issued="2 m")})
    made = compute.results(plant, KNOWLEDGE).suitability["LX-1"]
    assert made.verdict == "cannot be assessed", [(one.of, one.verdict, one.why) for one in made.judgements]
    assert any(last in missing for one in made.judgements for missing in one.missing)


def test_what_it_is_cleaned_with_is_not_what_is_kept_in_it() -> None:
    """Stainless steel stands the thin warm caustic of cleaning (common practice); hot strong caustic it may not."""
    cleaned = worked({"chemistry": "food", "duty": "food"}, {"cleaned_with": ["caustic"], "cleaning_temperature": "80 degC"},
                     rated(FORK, hygienic="yes"), rated(FORK, ["borosilicate glass"], hygienic="yes")).suitability
    assert cleaned["LX-1"].of("cleaning agent")[0].verdict == "pass"
    assert cleaned["LX-2"].of("cleaning agent")[0].verdict == "fail"
    assert worked({"chemistry": "caustic"}, {}, FORK).suitability["LX-1"].of("material")[0].verdict == "cannot be assessed"


def test_what_withstands_the_cleaning_can_be_said() -> None:
    acid = {"cleaned_with": ["mineral acid"], "cleaning_temperature": "60 degC"}
    (open_,) = worked({}, acid, FORK).suitability["LX-1"].of("cleaning agent")
    assert open_.verdict == "cannot be assessed" and open_.missing == ("T-1: cleaning_resisted_by",)
    (said,) = worked({}, acid | {"cleaning_resisted_by": ["stainless steel"]}, FORK).suitability["LX-1"].of("cleaning agent")
    assert said.verdict == "pass"


@pytest.mark.parametrize(("guard", "verdict"), [(None, "cannot be assessed"), ("none", "fail"), ("boot", "pass")])
@pytest.mark.parametrize("trouble", ["coating", "magnetic particles"])
def test_a_guard_keeps_dirt_and_iron_from_the_pivot(trouble: str, guard: str | None, verdict: str) -> None:
    body = LEVER | {"geometry": {"dirt_guard": guard} if guard else {}}
    (made,) = worked({trouble.replace(" ", "_"): "yes"}, {}, body).suitability["LX-1"].of(trouble)
    assert made.verdict == verdict


def test_a_tank_that_is_open_stands_under_no_pressure() -> None:
    """A closed tank whose pressure nobody wrote down is no open one."""
    assert worked({}, {}, FORK).suitability["LX-1"].of("pressure")[0].verdict == "does not apply"
    (closed,) = worked({}, CLOSED, FORK).suitability["LX-1"].of("pressure")
    assert closed.verdict == "cannot be assessed" and "T-1: design_pressure" in closed.missing


# ---- conductivity at another temperature -----------------------------------------------------------------------------


@pytest.mark.parametrize(("celsius", "published"), [
    # 0.01 molar potassium chloride, 1413 uS/cm at 25 degC: published table of conductivity standards (found)
    (5, 896), (10, 1020), (15, 1147), (20, 1278), (30, 1552), (35, 1667)])
def test_conductivity_follows_a_published_solution(celsius: int, published: int) -> None:
    found = conductivity_at(1413e-4, 298.15, celsius + 273.15, 0.0194) * 1e4  # its coefficient from the same table
    assert found == pytest.approx(published, rel=0.04)
    usual = conductivity_at(1413e-4, 298.15, celsius + 273.15) * 1e4
    assert usual == pytest.approx(published, rel=0.06)
    assert celsius > 25 or usual <= published  # the usual 2 % never promises more in the cold than there is


def test_the_coldest_conductivity_decides_and_says_how() -> None:
    measured = {"conductivity": {"lowest": "30 uS/cm", "highest": "60 uS/cm", "at": "25 degC"}}
    (made,) = worked(measured, {}, RODS).suitability["LX-1"].of("conductivity")
    assert made.verdict == "fail"  # 5 degC: 30 (1 - 0.02 * 20) = 18 of the 20 uS/cm that the device asks for
    assert "18 uS/cm" in made.why and "assumed, common practice" in made.why and "30 uS/cm at 25 degC" in made.why
    own = {"conductivity": measured["conductivity"] | {"per_kelvin": "0.0156"}}
    assert worked(own, {}, RODS).suitability["LX-1"].of("conductivity")[0].verdict == "pass"  # 20.64
    stated = {"conductivity": {"lowest": "30 uS/cm", "highest": "60 uS/cm"}}
    assert worked(stated, {}, RODS).suitability["LX-1"].of("conductivity")[0].verdict == "pass"


def test_a_conductivity_that_cannot_be_brought_to_the_cold_never_passes() -> None:
    at = {"lowest": "30 uS/cm", "highest": "60 uS/cm", "at": "25 degC"}
    for liquid, field in (({"conductivity": at, "temperature": None}, "temperature"),
                          ({"conductivity": at, "chemistry": "pure water"}, "conductivity.per_kelvin"),
                          ({"conductivity": at | {"at": "-30 degC"}}, "conductivity.per_kelvin")):
        (made,) = worked(liquid, {}, RODS).suitability["LX-1"].of("conductivity")
        assert made.verdict == "cannot be assessed" and f"water: {field}" in made.missing


def test_a_liquid_that_is_always_warmer_is_not_given_credit() -> None:
    hot = {"temperature": {"lowest": "60 degC", "highest": "90 degC"},
           "conductivity": {"lowest": "15 uS/cm", "highest": "60 uS/cm", "at": "25 degC"}}
    assert worked(hot, {}, RODS).suitability["LX-1"].of("conductivity")[0].verdict == "fail"


def test_the_working_at_the_coldest_is_a_record() -> None:
    rods = RODS | {"geometry": RODS["geometry"] | {"rod_diameter": "4 mm", "rod_spacing": "20 mm"}, "mounting_face": "4 m"}
    made = worked({"conductivity": {"lowest": "500 uS/cm", "highest": "900 uS/cm", "at": "25 degC"}}, {}, rods).records
    cold, resistance = (made[f"#LS-1/actuation/{name}"] for name in ("conductivity", "resistance"))
    assert isinstance(cold, Record) and cold.value * 1e4 == pytest.approx(300.0)
    assert isinstance(resistance, Record) and resistance.value == pytest.approx(1459.4 * 500 / 300, rel=1e-3)


# ---- the plant's own -------------------------------------------------------------------------------------------------

OWN = {
    "paddle": {"based_on": "other", "principle": "A paddle turns until it meets something.",
               "unfit_for": [{"what": "foam", "because": "it turns in foam"}]},
    "works-rods": {"based_on": "conductive rods", "everywhere": "yes", "limits": {"conductivity_lowest": "500 uS/cm"}},
    "works-tube": {"based_on": "guide tube float", "everywhere": "yes", "limits": {"temperature_highest": "60 degC"}},
}


def test_the_comparison_keeps_the_limits_of_the_site_and_shows_its_own_technologies() -> None:
    hot = {"temperature": {"lowest": "5 degC", "highest": "70 degC"}}
    table = worked(hot, {}, RODS, technologies=OWN).suited
    for name, said in (("conductive rods", "conductivity 300 uS/cm, site limit works-rods: at least 500 uS/cm"),
                       ("guide tube float", "temperature 70 degC, site limit works-tube: at most 60 degC")):
        assert table[name]["water"] == ("fail", said)
    assert table["paddle"]["water"][0] == "pass"
    assert worked({"foam": "yes"}, {}, RODS, technologies=OWN).suited["paddle"]["water"] == ("fail", "foam")
    assert worked({}, {}, RODS).suited["conductive rods"]["water"][0] == "pass"


def test_an_alternative_says_all_that_it_needs_and_keeps_the_limits_of_the_site() -> None:
    liquid, tank, _, bad, _, _ = CASES["beer wort, boiled and foaming, cleaned in place"]
    zoned = tank | {"surroundings": ZONE_1}
    others = {one.technology: one.needs for one in worked(liquid, zoned, bad, technologies=OWN).suitability["LX-1"].alternatives}
    assert "guide tube float" not in others and others
    for needs in others.values():
        assert sum("highest temperature" in need for need in needs) == 1
        assert "a highest temperature of at least 99 degC" in needs
        assert {"a marking for zone 1", "to be made to be cleaned in place",
                "wetted parts that resist food and caustic and hot water"} <= set(needs)


def test_what_takes_a_trouble_away_is_something_to_order_for_another_device() -> None:
    rusty = {"magnetic_particles": "yes", "coating": "yes"}
    others = {one.technology: one.needs for one in worked(rusty, {"agitated": "yes"}, TUBE).suitability["LX-1"].alternatives}
    assert not any("geometry" in need for needs in others.values() for need in needs)
    assert "a guide or a stilling well" in others["cable float"]


def test_everything_that_takes_a_trouble_away_can_be_ordered() -> None:
    assert set(TO_ORDER) == set(PLACES)


@pytest.mark.parametrize("names", [("hot", "plain"), ("plain", "hot")])
def test_of_several_entries_of_the_site_one_limit_is_enough(names: tuple[str, ...]) -> None:
    """Two entries hold for every guide tube, and one of them has a limit of temperature, in whichever order."""
    entry: dict[str, dict[str, Any]] = {"hot": {"limits": {"temperature_highest": "60 degC"}}, "plain": {"care": []}}
    site = {name: {"based_on": "vibrating fork", "everywhere": "yes", **entry[name]} for name in names}
    hot = {"temperature": {"lowest": "5 degC", "highest": "70 degC"}}
    said = worked(hot, {}, RODS, technologies=site).suited["vibrating fork"]["water"]
    assert said == ("fail", "temperature 70 degC, site limit hot: at most 60 degC")
    assert worked({}, {}, RODS, technologies=site).suited["vibrating fork"]["water"][0] != "fail"
