"""What defeats a technology by its liquid is judged, and what takes it away is something that the plant records."""

import re
from typing import Any

import pytest

from tests.compute.test_suitability import KNOWLEDGE, device, worked

SPOKEN = {
    "rag": "rags", "grease": "coating", "deposit": "coating", "scale": "coating", "coating": "coating", "film": "coating",
    "conducting": "conductive coating", "iron": "magnetic particles", "foam": "foam", "crystal": "crystallising solids",
    "sediment": "settling solids", "sludge": "settling solids", "boiling": "flashing liquid",
}
"""Words by which a data file names what a liquid does, and the criterion that judges it."""
OTHER_SENSE = {("ultrasonic gap", "a coating that deadens the crystals"): {"crystallising solids"},  # crystals of the sensor
               ("capacitance", "a conducting coating"): {"coating"}, ("conductive rods", "a conducting film"): {"coating"},
               # how much an antenna bears is a matter of its make and its purge: no fact of the liquid decides it
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
