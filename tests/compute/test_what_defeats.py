"""What defeats a technology by its liquid is judged, and what takes it away is something that the plant records."""

import re
from typing import Any

import pytest

from tests.compute.test_suitability import KNOWLEDGE, device, worked

SPOKEN = {
    "rag": "rags", "grease": "coating", "deposit": "coating", "scale": "coating", "coating": "coating", "film": "coating",
    "conducting": "conductive coating", "iron": "magnetic particles", "foam": "foam", "crystal": "crystallising solids",
    "sediment": "settling solids", "sludge": "settling solids", "boiling": "flashing liquid",
    "ice": "ice", "frozen": "ice", "condensate on the antenna": "condensate on the antenna",
    "condensate or crystals on the antenna": "condensate on the antenna", "emulsion": "emulsion",
}
"""Words by which a data file names what a liquid does, and the criterion that judges it."""
OTHER_SENSE = {("ultrasonic gap", "a coating that deadens the crystals"): {"crystallising solids"},  # crystals of the sensor
               ("capacitance", "a conducting coating"): {"coating"}, ("conductive rods", "a conducting film"): {"coating"},
               # crystals on an antenna: what splashes up to it is no property of the liquid
               ("free space radar", "condensate or crystals on the antenna"): {"crystallising solids"}}


@pytest.mark.parametrize("name", sorted(KNOWLEDGE.technologies))
def test_what_defeats_a_technology_by_its_liquid_is_judged(name: str) -> None:
    technology = KNOWLEDGE.technologies[name]
    judged = {one.what for one in technology.unfit_for}
    for item in technology.defeated_by:
        other = next((found for (owner, start), found in OTHER_SENSE.items() if owner == name and item.startswith(start)), set())
        asked = {what for word, what in SPOKEN.items() if re.search(rf"\b{word}", item)} - other
        assert asked <= judged, f"{name}: {item}: {asked - judged}"


@pytest.mark.parametrize("trouble", ["rags", "coating"])
def test_a_hanging_float_in_sewage_suits_only_where_the_site_cleans_it(trouble: str) -> None:
    """Common practice, no source: floats serve in sewage while rags and grease are taken off them."""
    float_ = device("tilt float", "N3", {})
    dirty: dict[str, Any] = {"solids": "rags"} if trouble == "rags" else {"coating": "yes"}
    (open_,) = worked(dirty, {}, float_).suitability["LX-1"].of(trouble)
    assert open_.verdict == "cannot be assessed" and f"care for {trouble} of a tilt float" in open_.why
    site = {"works-float": {"based_on": "tilt float", "everywhere": "yes",
                            "care": [{"where": trouble, "every": "1 months", "do": "pull it off"}]}}
    (kept,) = worked(dirty, {}, float_, technologies=site).suitability["LX-1"].of(trouble)
    assert kept.verdict == "pass" and "works-float" in kept.why
    (clean,) = worked({}, {}, float_).suitability["LX-1"].of(trouble)
    assert clean.verdict == "pass"


def test_an_alternative_where_iron_gathers_is_asked_for_a_guard() -> None:
    rusty = {"magnetic_particles": "yes", "coating": "yes"}
    made = worked(rusty, {}, device("guide tube float", "N2", {})).suitability["LX-1"]
    lever = [one for one in made.alternatives if one.technology == "top lever float"]
    assert all("a boot, bellows or shield over its pivot or guide" in one.needs for one in lever)
    (bare,) = worked(rusty, {}, device("top lever float", "N2", {}, geometry={"dirt_guard": "none"})
                     ).suitability["LX-1"].of("magnetic particles")
    assert bare.verdict == "fail"


@pytest.mark.parametrize(("technology", "trouble"), [
    ("cable float", "ice"), ("tilt float", "ice"), ("top lever float", "ice"), ("side lever float", "ice"),
    ("guide tube float", "ice"), ("differential pressure", "ice"), ("bubbler", "ice"), ("displacer", "ice"),
    ("free space radar", "condensate on the antenna"), ("guided radar", "emulsion"), ("capacitance", "emulsion"),
])
def test_ice_condensate_and_emulsions_defeat_these(technology: str, trouble: str) -> None:
    """Common practice, no source: what moves or has a line, what looks through the space above, what needs one liquid."""
    assert trouble in {one.what for one in KNOWLEDGE.technologies[technology].unfit_for}
    told = " ".join(KNOWLEDGE.technologies[technology].defeated_by)
    assert re.search({"ice": r"\bice\b|frozen", "condensate on the antenna": "condensate", "emulsion": "emulsion"}[trouble], told)


@pytest.mark.parametrize(("said", "surroundings", "verdict"), [
    ("yes", {"outdoors": "yes"}, "fail"), ("no", {"outdoors": "yes"}, "pass"), (None, {"outdoors": "no"}, "pass"),
    (None, {"outdoors": "yes"}, "cannot be assessed"), (None, {}, "cannot be assessed"), ("yes", {"outdoors": "no"}, "fail"),
])
def test_ice_is_asked_for_outdoors(said: str | None, surroundings: dict[str, str], verdict: str) -> None:
    place = surroundings | ({"freezes": said} if said else {})
    (one,) = worked({}, {"surroundings": place}, device("tilt float", "N3", {}, traced="no")).suitability["LX-1"].of("ice")
    assert one.verdict == verdict


@pytest.mark.parametrize(("liquid", "antenna", "verdict"), [
    ({"hazards": ["hot"]}, "plain", "fail"), ({"hazards": ["flashing"]}, "purged", "pass"),
    ({"hazards": ["none"], "temperature": {"lowest": "5 degC", "highest": "40 degC"}}, "plain", "pass"),
    ({"hazards": ["none"], "temperature": {"lowest": "5 degC", "highest": "41 degC"}}, "plain", "cannot be assessed"),
    ({"condenses": "yes", "temperature": {"lowest": "5 degC", "highest": "20 degC"}}, "sheds drops", "pass"),
    ({"condenses": "yes"}, "plain", "fail"),
])
def test_vapour_of_hot_liquid_wets_a_plain_antenna(liquid: dict[str, Any], antenna: str, verdict: str) -> None:
    radar = device("free space radar", "N2", {}, geometry={"antenna": antenna})
    (one,) = worked(liquid, {}, radar).suitability["LX-1"].of("condensate on the antenna")
    assert one.verdict == verdict


@pytest.mark.parametrize(("liquid", "verdict"), [
    ({"chemistry": "hydrocarbon"}, "cannot be assessed"), ({"chemistry": "hydrocarbon", "second_liquid": "emulsion"}, "fail"),
    ({"chemistry": "hydrocarbon", "second_liquid": "apart"}, "pass"), ({"chemistry": "pure water"}, "pass"),
])
def test_an_emulsion_leaves_guided_radar_no_surface(liquid: dict[str, Any], verdict: str) -> None:
    (one,) = worked(liquid, {}, device("guided radar", "N2", {})).suitability["LX-1"].of("emulsion")
    assert one.verdict == verdict
