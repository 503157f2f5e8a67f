"""Places and devices one by one: which zone, which digit, which way out; answers by hand or from the standards named."""

from typing import Any

import pytest

from generator import read
from generator.compute.suited_facts import PLACES, TROUBLES, Place
from generator.compute.suited_figures import FIGURES
from generator.compute.suited_place import access, asked_of_any, food, ingress, known, materials, zone
from generator.model.scalar import Tag
from tests.compute import small

NOZZLES = {"N1": {"height": "1 m", "isolated_by": "none"}, "N2": {"height": "1 m", "isolated_by": "root valve"},
           "N3": {"height": "4 m", "on": "roof"}, "N4": {"height": "1 m"}}
WIRED = {"panel": "LP-1"}


def place(body: dict[str, Any] | None = None, tank: dict[str, Any] | None = None, liquid: dict[str, Any] | None = None,
          points: int = 1) -> Place:
    """A device with some points in a tank."""
    plant = small.plant(
        liquids={"water": {"name": "Water"} | (liquid or {})}, panels={"LP-1": {"area": "A", "where": "gallery"}},
        tanks={"T-1": small.tank(nozzles=NOZZLES) | (tank or {})}, instruments={"LX-1": small.body(**(body or {}))},
        switches={f"LS-{number}": small.switch("rising", issued=f"{number} m") for number in range(1, points + 1)})
    return Place(plant, "water", plant.liquids[Tag("water")], "T-1", plant.tanks[Tag("T-1")], "LX-1",
                 plant.instruments[Tag("LX-1")])


def alone(liquid: dict[str, Any] | None = None) -> Place:
    """A liquid that a technology is weighed against, without a tank or a device."""
    made = place(liquid=liquid)
    return Place(made.plant, "water", made.liquid)


# IEC 60079-14: what may stand in zone 0 may stand in 1 and 2, what may stand in 1 may in 2; dust 20, 21, 22 likewise; a
# marking for gas says nothing of dust (from memory).
ALLOWED = {("0", "0"), ("1", "0"), ("1", "1"), ("2", "0"), ("2", "1"), ("2", "2"),
           ("20", "20"), ("21", "20"), ("21", "21"), ("22", "20"), ("22", "21"), ("22", "22")}
ZONES = ("0", "1", "2", "20", "21", "22")


@pytest.mark.parametrize("asked", ZONES)
@pytest.mark.parametrize("rated", [*ZONES, "none"])
def test_a_device_for_a_zone(asked: str, rated: str) -> None:
    made = zone(place({"ratings": {"zone": rated}}, {"surroundings": {"zone": asked}}))
    assert made.verdict == ("pass" if (asked, rated) in ALLOWED else "fail")


def test_a_zone_that_is_not_recorded_never_passes() -> None:
    for body, tank, verdict, missing in (
        ({}, {"surroundings": {"zone": "none"}}, "does not apply", ()),
        ({}, {"surroundings": {"zone": "1"}}, "cannot be assessed", ("LX-1: ratings.zone",)),
        ({"ratings": {"zone": "0"}}, {}, "cannot be assessed", ("T-1: surroundings.zone",)),
        ({}, {}, "cannot be assessed", ("T-1: surroundings.zone",)),
    ):
        made = zone(place(body, tank))
        assert (made.verdict, made.missing) == (verdict, missing)


# IEC 60529, second digit: 5 jets, 7 immersion for a time, 8 immersion for good (from memory); which a place asks for is
# common practice, no source.
@pytest.mark.parametrize(("around", "immersed", "digit"), [
    ({"outdoors": "no", "below_ground": "no"}, False, None), ({"outdoors": "yes", "below_ground": "no"}, False, 5),
    ({"outdoors": "no", "below_ground": "yes"}, False, 7), ({"outdoors": "yes", "below_ground": "yes"}, False, 7),
    ({"outdoors": "yes", "wet_well": "yes"}, False, 7), ({"outdoors": "no"}, False, None), ({"below_ground": "no"}, False, None),
    ({"outdoors": "no", "below_ground": "no"}, True, 8), ({}, True, 8),
])
def test_the_digit_that_a_place_asks_for(around: dict[str, str], immersed: bool, digit: int | None) -> None:
    def judged(rated: str | None) -> str:
        ratings = {"ratings": {"ingress": rated}} if rated else {}
        return ingress(place({"wiring": WIRED, **ratings}, {"surroundings": around}), immersed).verdict

    if digit is None:
        assert judged("IP00") == "does not apply"
    else:
        assert [judged(f"IP6{one}") for one in (digit - 1, digit, 9)] == ["fail", "pass", "pass"]
        assert judged(None) == judged("IP6X") == "cannot be assessed"
    words = f"a second digit of ingress protection of at least {digit}"
    assert asked_of_any(place(tank={"surroundings": around}), immersed) == ([] if digit is None else [words])


def test_where_nothing_is_wired_or_nothing_recorded() -> None:
    outdoors = {"surroundings": {"outdoors": "yes"}}
    assert ingress(place({}, outdoors, points=0), False).verdict == "does not apply"
    assert ingress(place({}, outdoors), False).verdict == "cannot be assessed"  # a point is wired, whatever is recorded
    assert ingress(place({"wiring": WIRED}, outdoors, points=0), False).verdict == "cannot be assessed"
    (missing,) = ingress(place({"wiring": WIRED}), False).missing
    assert missing == "T-1: surroundings.outdoors"
    assert ingress(alone(), True).verdict == "does not apply"


@pytest.mark.parametrize(("nozzle", "verdict", "words"), [
    (None, "pass", "lifted out"), ("N1", "pass", "only from a tank emptied below it"), ("N2", "pass", "behind root valve"),
    ("N3", "pass", "through the roof"), ("N4", "cannot be assessed", "nozzles.N4.isolated_by"),
])
def test_the_way_out_of_a_device(nozzle: str | None, verdict: str, words: str) -> None:
    made = access(place({"nozzle": nozzle} if nozzle else {}))
    assert made.verdict == verdict and words in made.why
    assert access(alone()).verdict == "does not apply"


@pytest.mark.parametrize(("duty", "hygienic", "verdict"), [
    (None, None, "cannot be assessed"), ("clean", None, "does not apply"), ("food", None, "cannot be assessed"),
    ("food", "yes", "pass"), ("food", "no", "fail"), ("clean", "no", "does not apply"),
])
def test_food(duty: str | None, hygienic: str | None, verdict: str) -> None:
    body = {"ratings": {"hygienic": hygienic}} if hygienic else {}
    found = food(place(body, liquid={"duty": duty} if duty else {}))
    assert found.verdict == verdict
    if verdict in ("pass", "fail"):
        assert ("not made" in found.why) is (verdict == "fail")


def test_what_a_place_asks_of_any_device() -> None:
    made = place(tank={"surroundings": {"zone": "1", "outdoors": "yes"}, "cleaned_with": ["water", "caustic"]},
                 liquid={"duty": "food", "chemistry": "food"})
    assert asked_of_any(made, immersed=False) == [
        "a marking for zone 1", "a second digit of ingress protection of at least 5", "to be made to be cleaned in place",
        "wetted parts that resist food and caustic"]
    assert asked_of_any(place(tank={"cleaned_with": ["none"]}, liquid={"chemistry": "other", "duty": "clean"}), False) == []
    assert asked_of_any(alone({"duty": "food"}), True) == []


@pytest.mark.parametrize(("words", "row"), [
    ("stainless steel 1.4404", "stainless steel"), ("Stainless Steel", "stainless steel"), ("nobody knows", None),
])
def test_the_longest_known_material_that_the_words_name(words: str, row: str | None) -> None:
    found = known(read.knowledge(), words)
    assert (found.material if found else None) == row


def test_what_the_definitions_say_of_a_material_goes_before_the_table() -> None:
    for liquid, verdict in (({"resisted_by": ["wood"]}, "pass"), ({"attacks": ["wood"]}, "fail"),
                            ({"resisted_by": ["wood"], "attacks": ["wood"]}, "fail"), ({}, "cannot be assessed"),
                            ({"resisted_by": ["glass"]}, "cannot be assessed")):  # said of others only
        assert materials(read.knowledge(), place({"wetted": ["soft Wood"]}, liquid=liquid)).verdict == verdict
    made = materials(read.knowledge(), place(liquid={"chemistry": "clean water"}))
    assert (made.verdict, made.missing) == ("cannot be assessed", ("LX-1: wetted",))


# ---- facts -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("fact", ["gas pressure", "agitation", "inlet stream", "wall that does not conduct"])
def test_without_a_tank_nothing_of_the_place_defeats_a_technology(fact: str) -> None:
    assert TROUBLES[fact](alone()).holds is False


@pytest.mark.parametrize("fact", PLACES)
def test_without_a_device_nothing_takes_a_trouble_away(fact: str) -> None:
    assert PLACES[fact](alone()).holds is False


@pytest.mark.parametrize(("fact", "tank", "holds"), [
    ("agitation", {"agitated": "yes"}, True), ("agitation", {"agitated": "no"}, False), ("agitation", {}, None),
    ("wall that does not conduct", {"wall_conducts": "no"}, True),
    ("wall that does not conduct", {"wall_conducts": "yes"}, False),
    ("wall that does not conduct", {}, None), ("gas pressure", {}, None),
    ("gas pressure", {"design_pressure": "0 bar gauge"}, False), ("gas pressure", {"design_pressure": "1 bar gauge"}, True),
    ("gas pressure", {"surroundings": {"gas_blanket": "yes"}}, True),
    ("gas pressure", {"surroundings": {"gas_blanket": "no"}}, False),
    ("gas pressure", {"surroundings": {"gas_blanket": "no"}, "design_pressure": "1 bar gauge"}, True),
    ("gas pressure", {"surroundings": {"gas_blanket": "yes"}, "design_pressure": "0 bar gauge"}, True),
])
def test_what_of_the_place_defeats_a_device(fact: str, tank: dict[str, Any], holds: bool | None) -> None:
    assert TROUBLES[fact](place(tank=tank)).holds is holds


@pytest.mark.parametrize(("fact", "liquid", "holds"), [
    ("rags", {}, None), ("rags", {"solids": ["none"]}, False), ("rags", {"solids": ["rags", "fine"]}, True),
    ("settling solids", {"solids": ["rags"]}, False), ("flashing liquid", {"hazards": ["flashing"]}, True),
    ("flashing liquid", {"hazards": ["none"]}, False), ("flashing liquid", {}, None),
    ("flammable liquid", {"hazards": ["flammable"]}, True), ("flammable liquid", {"hazards": ["flashing"]}, False),
    ("flammable liquid", {}, None), ("foam", {"foam": "yes"}, True), ("foam", {}, None),
])
def test_what_of_the_liquid_defeats_a_device(fact: str, liquid: dict[str, Any], holds: bool | None) -> None:
    assert TROUBLES[fact](alone(liquid)).holds is holds


@pytest.mark.parametrize(("fact", "body", "points", "holds"), [
    ("reference electrode", {"geometry": {"rods": "3"}}, 2, True), ("reference electrode", {"geometry": {"rods": "2"}}, 2, False),
    ("reference electrode", {}, 2, None),
    ("reference electrode", {"geometry": {"rods": "2", "reference_below": "50 mm"}}, 2, True),
    ("guide", {"geometry": {"hung_by": "guide"}}, 1, True), ("guide", {"geometry": {"hung_by": "weight"}}, 1, False),
    ("hangs free", {"geometry": {"hung_by": "weight"}}, 1, True), ("hangs free", {"geometry": {"hung_by": "guide"}}, 1, False),
    ("hangs free", {}, 1, None), ("chamber", {"chamber": "yes"}, 1, True), ("chamber", {}, 1, False),
    ("stilling well", {"stilling_well": "pipe"}, 1, True), ("stilling well", {}, 1, False),
    ("stilling well", {"stilling_well": "pipe", "geometry": {"hung_by": "bracket"}}, 1, False),
    ("dirt guard", {"geometry": {"dirt_guard": "bellows"}}, 1, True),
    ("dirt guard", {"geometry": {"dirt_guard": "none"}}, 1, False),
    ("dirt guard", {}, 1, None),
    ("cleaned of rags", {}, 1, None), ("cleaned of coating", {}, 1, None),
    ("cool line", {}, 1, None), ("cool line", {"taps": {"at": "1 m", "transmitter": "0.2 m"}}, 1, True),
    ("cool line", {"taps": {"at": "1 m", "transmitter": "1.5 m"}}, 1, False),
])
def test_what_of_the_device_takes_a_trouble_away(fact: str, body: dict[str, Any], points: int, holds: bool | None) -> None:
    assert PLACES[fact](place(body, points=points)).holds is holds


# ---- figures ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("figure", "tank", "liquid", "value", "skipped"), [
    ("pressure", {"design_pressure": "2 bar gauge"}, {}, 2e5, False),
    ("pressure", {"design_pressure": "0 bar gauge"}, {}, None, True),
    ("pressure", {"levels": {}}, {}, None, False), ("pressure", {}, {}, None, True),
    ("pressure", {"levels": {}, "surroundings": {"wet_well": "yes"}}, {}, None, True),
    ("vacuum", {}, {}, None, True),
    ("cold", {}, {"temperature": {"lowest": "-5 degC", "highest": "9 degC"}}, 268.15, False),
    ("cold", {}, {"temperature": {"lowest": "0 degC", "highest": "9 degC"}}, None, True), ("cold", {}, {}, None, False),
    ("temperature", {}, {"temperature": {"lowest": "0 degC", "highest": "9 degC"}}, 282.15, False),
    ("cleaning temperature", {"cleaned_with": ["water"]}, {}, None, True), ("cleaning temperature", {}, {}, None, False),
    ("cleaning temperature", {"cleaned_with": ["caustic"]}, {}, None, False),
    ("cleaning temperature", {"cleaned_with": ["water"], "cleaning_temperature": "80 degC"}, {}, 353.15, False),
])
def test_a_figure_of_a_place(
    figure: str, tank: dict[str, Any], liquid: dict[str, Any], value: float | None, skipped: bool,
) -> None:
    made = FIGURES[figure](place(tank=tank, liquid=liquid), None)
    assert made.value == (None if value is None else pytest.approx(value))
    assert bool(made.skip) is skipped
    assert bool(made.missing) is (value is None and not skipped)


def test_immersion_is_from_the_lowest_reach_to_where_liquid_leaves() -> None:
    """An overflow at 3.5 m in a tank of 4 m over its bottom at nought."""
    for body, tank, depth in (({}, {}, 3.5), ({"reach": {"lowest": "0.5 m", "highest": "3 m"}}, {}, 3.0),
                              ({}, {"levels": {}}, 4.0), ({"reach": {"lowest": "3.8 m", "highest": "3.9 m"}}, {}, 0.0)):
        here = place(body, tank)
        result = small.worked(tanks={"T-1": small.tank() | tank}).tanks["T-1"]
        made = FIGURES["immersion"](here, result)
        assert made.value == pytest.approx(depth)
    assert FIGURES["immersion"](alone(), result).skip
