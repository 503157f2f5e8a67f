"""Signals of transmitters, levels of concern, gravity flows and growth, through the results."""

import math
from typing import Any

import pytest

from generator import compute, read
from generator.model.record import Absence, Record
from generator.model.results import Results
from tests.compute import small


def body(**keys: Any) -> dict[str, Any]:
    return small.body(technology="hydrostatic", signal="4-20 mA", range={"lower": "0.5 m", "upper": "2.5 m"}) | keys


def one(**keys: Any) -> Results:
    return small.worked(instruments={"LX-1": body(**keys)})


def test_the_bands_of_the_signal_run_from_failure_to_failure() -> None:
    rows = one().transmitters["LX-1"].rows
    assert [row.meaning for row in rows] == ["failure", "measurement", "measurement", "measurement", "measurement", "failure"]
    assert [row.current for row in rows] == sorted((row.current for row in rows), reverse=True)
    assert [round(row.height, 6) for row in rows] == [2.625, 2.5625, 2.5, 0.5, 0.475, 0.45]


def test_a_contact_and_a_radar_have_no_pressures() -> None:
    assert small.worked(instruments={"LX-1": small.body()}).transmitters == {}
    assert one(technology="free space radar").transmitters["LX-1"].lower_range_value is None


def test_pressures_wait_for_density_and_taps() -> None:
    found = one().transmitters["LX-1"].lower_range_value
    assert isinstance(found, Absence)
    assert found.missing == ("instruments/LX-1/calibration_density", "instruments/LX-1/taps/at")
    leg = one(calibration_density="1000 kg/m3", taps={"at": "0 m", "leg": "filled"}).transmitters["LX-1"].lower_range_value
    assert isinstance(leg, Absence)
    assert leg.missing == ("instruments/LX-1/taps/leg_top", "instruments/LX-1/taps/leg_density")


@pytest.mark.parametrize(("nozzle", "known"), [({"height": "0.4 m"}, True), ({"height": "4 m", "on": "roof"}, False)])
def test_the_tap_is_the_nozzle_unless_it_sits_on_the_roof(nozzle: dict[str, str], known: bool) -> None:
    tanks = {"T-1": small.tank(nozzles={"N1": nozzle})}
    found = small.worked(tanks=tanks, instruments={"LX-1": body(nozzle="N1", calibration_density="1000 kg/m3")})
    low = found.transmitters["LX-1"].lower_range_value
    assert isinstance(low, Record) is known
    if isinstance(low, Record):
        assert low.value == pytest.approx(1000 * 9.80665 * 0.1)


@pytest.mark.parametrize(("nozzle", "taps", "hung"), [
    ({"height": "4.6 m", "on": "roof"}, {"at": "0.15 m"}, 4.45),  # by hand: 4.60 - 0.15
    ({"height": "0.4 m", "on": "wall"}, {"at": "0.4 m"}, None),
    ({"height": "4.6 m", "on": "roof"}, {}, "instruments/LX-1/taps/at"),
])
def test_a_probe_on_a_cable_hangs_from_its_face(nozzle: dict[str, str], taps: dict[str, str], hung: float | str | None) -> None:
    found = small.worked(tanks={"T-1": small.tank(nozzles={"N1": nozzle})},
                         instruments={"LX-1": body(nozzle="N1", taps=taps)}).transmitters["LX-1"].hung
    if isinstance(hung, float):
        assert isinstance(found, Record) and found.value == pytest.approx(hung)
    elif hung is None:
        assert found is None
    else:
        assert isinstance(found, Absence) and found.missing == (hung,)


def test_a_filled_leg_makes_the_lower_range_value_negative() -> None:
    taps = {"at": "0 m", "leg": "filled", "leg_top": "3 m", "leg_density": "1000 kg/m3"}
    found = one(calibration_density="1000 kg/m3", taps=taps).transmitters["LX-1"]
    values = [one.value for one in (found.lower_range_value, found.upper_range_value) if isinstance(one, Record)]
    assert values == pytest.approx([-2500 * 9.80665, -500 * 9.80665])


@pytest.mark.parametrize(("technology", "taps", "begins"), [
    ("hydrostatic", {"at": "0.25 m"}, 0.25), ("hydrostatic", {"at": "0.25 m", "transmitter": "0.05 m"}, 0.05),
    ("hydrostatic", {"at": "0.25 m", "transmitter": "0.60 m"}, 0.25),
    ("bubbler", {"at": "0.25 m", "transmitter": "0.05 m"}, 0.25),
    ("differential pressure", {"at": "0.25 m", "transmitter": "0.05 m", "leg": "dry"}, 0.05)])
def test_the_line_below_the_tap_weighs_with_the_liquid(technology: str, taps: dict[str, str], begins: float) -> None:
    """By hand for 1470 to 1525 kg/m3 over a transmitter at 0.05 m set for 1500: 2.90 m times -2 % and +1.667 %."""
    span = {"density": {"lowest": "1470 kg/m3", "highest": "1525 kg/m3"}}
    found = small.worked(liquids={"water": {"name": "Caustic soda"} | span}, instruments={"LX-1": body(
        technology=technology, taps=taps, calibration_density="1500 kg/m3", range={"lower": "0.25 m", "upper": "2.95 m"},
    )}).transmitters["LX-1"]
    assert isinstance(found.reading_low, Record) and isinstance(found.reading_high, Record)
    assert found.reading_low.value == pytest.approx(-(2.95 - begins) * 30 / 1500)
    assert found.reading_high.value == pytest.approx((2.95 - begins) * 25 / 1500)
    if begins == 0.05:
        assert (found.reading_low.value, found.reading_high.value) == pytest.approx((-0.058, 0.0483333), abs=1e-6)


# ---- levels of concern -------------------------------------------------------------------------------------------------


def concerned(tank: dict[str, Any], **rules: Any) -> list[tuple[str, bool, str]]:
    plant = small.plant(plant={"rules_in_force": rules}, tanks={"T-1": small.tank(**tank)},
                        streams={"in": small.stream("outside", "T-1", "36 m3/h")})
    found = compute.results(plant, read.knowledge()).tanks["T-1"].concerns
    return [(one.rule, one.is_analogy, one.where) for one in found]


def test_no_level_of_concern_without_a_rule_in_force() -> None:
    assert concerned({}) == []


def test_a_category_counts_only_for_tanks_that_carry_it() -> None:
    rule = {"overfill-response-category-2": {"where": "fuel tanks"}}
    assert concerned({}, **rule) == []
    assert concerned({"categories": {"overfill-response-category-2": "category 2"}}, **rule) == [
        ("overfill-response-category-2", False, "fuel tanks")] * 2


@pytest.mark.parametrize(("own", "minutes"), [(True, 5), (False, 30)])
def test_a_need_and_the_level_of_concern_count_the_same_response(own: bool, minutes: float) -> None:
    """By hand: 3.4 m less what 3.6 m3/h bring in 5 min of the site's own, else in the 30 min of the category; tank of 2 m."""
    parts = {"notice": "2 min", "diagnose": "1 min", "go": "1 min", "act": "30 s", "effect": "30 s"}
    name = "overfill-response-category-2"
    tank = small.tank(levels={"overflow": "3.4 m"}, categories={name: "category 2"},
                      defaults={"operator_time": parts} if own else {})
    plant = small.plant(
        plant={"rules_in_force": {name: {}}}, tanks={"T-1": tank}, streams={"in": small.stream("outside", "T-1", "3.6 m3/h")},
        switches={"H": small.switch("rising", {"gap_of": name, "below": "overflow"}, accuracy={"own": "0 mm", "common": "0 mm"})})
    made = compute.results(plant, read.knowledge())
    asked = made.setpoints["H"].needs[0].limit
    height = next(one.height for one in made.tanks["T-1"].concerns if one.name.startswith("high-high"))
    assert isinstance(asked, Record) and isinstance(height, Record)
    assert asked.value == height.value == pytest.approx(3.4 - 3.6 * minutes / 60 / math.pi, abs=1e-9)
    assert any("operator" in one.name for one in asked.inputs) is own


def test_an_analogy_is_said_to_be_one_and_the_scope_stands_where_no_place_is_stated() -> None:
    found = concerned({}, **{"two-minute-rule": {"analogy": "yes", "because": "site standard"}})
    assert [(rule, analogy) for rule, analogy, _ in found] == [("two-minute-rule", True)]
    assert "petroleum" in found[0][2]


# ---- growth and gravity ------------------------------------------------------------------------------------------------


def growing(**liquid: Any) -> Any:
    return small.worked(liquids={"water": {"name": "Water"} | liquid}, switches={
        "X": small.switch("rising", {"room_for": "thermal growth", "below": "overflow"})}).setpoints["X"].needs[0].limit


def test_room_for_growth_by_hand() -> None:
    found = growing(temperature={"lowest": "0 degC", "highest": "20 degC"}, expansion="0.001")
    assert isinstance(found, Record)
    assert found.value == pytest.approx(3.5 / 1.02 - 0.015)  # less the error of the point


def test_room_for_growth_waits_for_what_it_rests_on() -> None:
    assert growing().missing == ("liquids/water/temperature",)
    assert growing(temperature={"lowest": "0 degC", "highest": "20 degC"}).missing == ("liquids/water/expansion",)


def test_water_that_warms_below_four_degrees_needs_no_room() -> None:
    found = growing(temperature={"lowest": "1 degC", "highest": "3 degC"}, chemistry="clean water")
    assert isinstance(found, Record)
    assert found.value == pytest.approx(3.5 - 0.015, abs=1e-3)


def test_growth_of_water_names_its_heaviest_and_its_lightest() -> None:
    # CRC Handbook, density of water (from memory): 999.97 at 5 degC, 971.79 at 80 degC, 999.96 at 3 degC; heaviest at 4 degC
    for lowest, highest, heavy, light in (("5 degC", "80 degC", 999.97, 971.79), ("1 degC", "3 degC", 999.96, 999.90)):
        found = growing(temperature={"lowest": lowest, "highest": highest}, chemistry="clean water")
        assert isinstance(found, Record)
        densities = [one.value for one in found.inputs if one.symbol.startswith(r"\rho")]
        assert densities == pytest.approx([heavy, light], abs=0.02)


def test_gravity_counts_from_the_ceiling() -> None:
    drain = small.stream("T-1", "outside", "50 m3/h", gravity={"opening": "50 mm", "outlet": "1.5 m"})
    found = small.worked(streams={"drain": drain}).gravity_flows["drain"]
    assert isinstance(found, Record)
    assert found.value == pytest.approx(0.0076246, rel=1e-4)  # 2 m over the outlet, worked by hand


def test_a_probe_does_not_hang_upwards() -> None:
    """A face at 2.00 m over a membrane at 0.15 m leaves 1.85 m; under it nothing can hang."""
    for face, hangs in (("2.00 m", 1.85), ("0.10 m", None)):
        tanks = {"T-1": small.tank(nozzles={"N1": {"height": "2.00 m", "on": "roof"}})}
        found = small.worked(tanks=tanks, instruments={"LX-1": body(nozzle="N1", mounting_face=face, taps={"at": "0.15 m"})})
        hung = found.transmitters["LX-1"].hung
        assert hung.value == pytest.approx(hangs) if isinstance(hung, Record) else hangs is None
