"""Cautions: every row can show and can stay silent, what is not recorded is said once, and strong words stay rare."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any, get_args

import pytest
from msgspec.structs import replace

from generator import compute, read
from generator.compute.caution_facts import VOCABULARY
from generator.compute.cautions import NOT_RECORDED
from generator.compute.duties import duties
from generator.compute.facts import Subject, SubjectKind
from generator.compute.final_elements import touches
from generator.compute.survey import Survey
from generator.errors import KnowledgeError
from generator.model import document
from generator.model.caution import JOBS, SIGNAL_WORDS, Caution, CautionRow
from generator.model.instrument import Instrument
from generator.model.machine import Suction, Valve
from generator.model.plant import Definitions
from generator.model.tank import Liquid, Nozzle, Surroundings
from tests.compute import small

PLANTS = Path(__file__).parent.parent / "plants"
ROWS = {row.key: row for row in read.knowledge().cautions}


@cache
def plant(name: str) -> Definitions:
    made, mistakes = read.plant(PLANTS / f"{name}.yml")
    assert made is not None, [str(one) for one in mistakes]
    return made


@cache
def cautions(name: str) -> Mapping[str, tuple[Caution, ...]]:
    return compute.results(plant(name), read.knowledge()).cautions


def keys(name: str, tag: str) -> set[str]:
    return {caution.key for caution in cautions(name)[tag]}


def shown(name: str) -> set[str]:
    return {caution.key for of_tag in cautions(name).values() for caution in of_tag} - {NOT_RECORDED}


# ---- the rows --------------------------------------------------------------------------------------------------------


def test_facts_and_values_of_the_rows_are_those_of_the_vocabulary() -> None:
    for row in ROWS.values():
        for alternative in row.when:
            for fact, value in alternative:
                assert fact in VOCABULARY and value in VOCABULARY[fact].values, (row.key, fact, value)
    used = {fact for row in ROWS.values() for alternative in row.when for fact, _ in alternative}
    assert used == set(VOCABULARY)


def test_strong_words_are_rare_and_every_row_says_it_all() -> None:
    # signal words: ANSI Z535 family and ISO 3864-2; a DANGER kills or maims unless avoided (concept found, from memory)
    assert len(ROWS) >= 45
    assert 1 <= sum(row.word == "DANGER" for row in ROWS.values()) <= 8
    for row in ROWS.values():
        assert all((row.hazard, row.consequence, row.avoid, row.defer_to, row.basis, row.when)), row.key
        assert not any(mark in row.hazard + row.consequence + row.avoid for mark in ("ppm", " %", " mA")), row.key
    assert ROWS["sudden-inflow"].word == "WARNING" and "drown" in ROWS["sudden-inflow"].consequence
    assert ROWS["acid-and-oxidiser-on-one-site"].word == "WARNING"
    assert ROWS["acid-and-oxidiser-connected"].word == "DANGER"


@pytest.mark.parametrize("key", ROWS)
def test_each_row_can_show(key: str) -> None:
    assert key in shown("cautious")


@pytest.mark.parametrize("key", ROWS)
def test_each_row_can_stay_silent_with_nothing_missing(key: str) -> None:
    silent = [tag for tag, of_tag in cautions("untroubled").items() if key not in {one.key for one in of_tag}]
    assert silent
    assert not any(NOT_RECORDED in keys("untroubled", tag) for tag in silent)


def test_where_nothing_is_dangerous_hardly_anything_is_said() -> None:
    assert shown("untroubled") == {
        "setting-changed", "low-voltage-parts", "bypass", "bridging-a-live-loop", "wetted-test"}


def test_a_fact_outside_the_vocabulary_is_a_fault_of_the_generator() -> None:
    for when in ((("phase of the moon", "full"),), (("wet_well", "perhaps"),)):
        row = CautionRow("odd", "NOTICE", ("open",), (when,), "a", "b", "c", "d", "e")
        with pytest.raises(KnowledgeError, match="odd"):
            compute.results(plant("untroubled"), replace(read.knowledge(), cautions=(row,)))


# ---- what is shown ---------------------------------------------------------------------------------------------------


def test_cautions_stand_in_the_order_of_jobs_strongest_first() -> None:
    for of_tag in cautions("cautious").values():
        ranks = [(JOBS.index(one.jobs[0]), SIGNAL_WORDS.index(one.word)) for one in of_tag]
        assert ranks == sorted(ranks)
        assert len({one.key for one in of_tag}) == len(of_tag)
        assert all(one.because for one in of_tag)


def test_because_names_the_recorded_facts() -> None:
    found = {one.key: one.because for one in cautions("cautious")["LSHH-1A"]}
    assert found["hot-liquid"] == "Brew: up to 98 degC"
    assert found["explosive-air-always-there"] == "Brew: flammable; T-1: zone 1"
    assert found["live-parts"] == "LP-1: MAINS 400 V; the site's limit is 50 V"
    assert found["acid-and-oxidiser-connected"] == "T-1 and T-2: acid and oxidiser, connected"
    assert "similar-tag" not in found and "LSH-1A" in found["several-points-on-one-body"]  # LSHH-1B differs in a letter


def test_the_oxidiser_that_touches_no_acid_is_a_warning_only() -> None:
    assert "acid-and-oxidiser-on-one-site" in keys("cautious", "T-9")
    assert "acid-and-oxidiser-connected" not in keys("cautious", "T-9")
    assert "acid-and-oxidiser-connected" in keys("cautious", "T-2")


def test_a_spill_detector_above_the_overflow_is_not_condemned() -> None:
    def of(role: str) -> set[str]:
        made = small.plant(switches={"LSHH-1": small.switch("rising", issued="3.6 m", role=role)})
        return {one.key for one in compute.results(made, read.knowledge()).cautions["LSHH-1"]}

    assert "high-point-above-the-overflow" in of("trip")
    assert "high-point-above-the-overflow" not in of("spill detection")


def test_what_is_not_recorded_is_one_line_and_a_warning_at_most() -> None:
    made = compute.results(small.plant(switches={"LSH-1": small.switch("rising", issued="2 m")}), read.knowledge())
    lines = [one for one in made.cautions["LSH-1"] if one.key == NOT_RECORDED]
    assert len(lines) == 1
    assert lines[0].word == "WARNING"
    assert lines[0].hazard.startswith("Not recorded: ") and "wet well" in lines[0].hazard
    assert "tanks/T-1/surroundings/wet_well" in lines[0].because and "liquids/water/hazards" in lines[0].because
    assert "until" in lines[0].avoid
    assert "enter-confined-space" not in {one.key for one in made.cautions["LSH-1"]}


def test_one_known_fact_that_speaks_against_a_row_leaves_nothing_open() -> None:
    # flammable in zone 1 asks for both; a liquid known not to burn does not wait for the zone
    liquid = {"name": "Water", "hazards": ["none"]}
    made = compute.results(small.plant(liquids={"water": liquid}, pumps={"P-1": small.pump(suction={
        "tank": "T-1", "kind": "side nozzle", "height": "0 m"})}), read.knowledge())
    (line,) = [one for one in made.cautions["P-1"] if one.key == NOT_RECORDED]
    assert "zone" not in line.because and "hazards" not in line.because


@pytest.mark.parametrize("zone", ["0", "1", "2"])
@pytest.mark.parametrize("hazards", [["none"], ["toxic", "biological"], ["flammable"]])
def test_a_zone_asks_for_no_spark_whatever_the_liquid_is_called(zone: str, hazards: list[str]) -> None:
    """Sewage gas, a neighbour's vapour: the zone says that it is there (IEC 60079-10-1), not the liquid's own hazards."""
    surroundings = {"zone": zone}
    made = compute.results(small.plant(
        liquids={"water": {"name": "Water", "hazards": hazards}}, tanks={"T-1": small.tank(surroundings=surroundings)},
        switches={"LSH-1": small.switch("rising", issued="2 m")}), read.knowledge())
    for tag in ("T-1", "LSH-1"):
        found = {one.key: one for one in made.cautions[tag]}
        assert "no hot work" in found["flammable-vapour"].avoid
        assert f"zone {zone}" in found["flammable-vapour"].because or "flammable" in hazards
        assert "opening-in-a-zone" in found


def _alike(tags: tuple[str, str], tanks: tuple[str, str], areas: str = "AA", panel: str = "LP-1", bodies: int = 2) -> set[str]:
    """Tags that carry the caution, where two points sit on tanks in areas, each on a body wired to a panel."""
    made = small.plant(
        areas={"A": {"name": "one"}, "B": {"name": "two"}},
        panels={one: {"area": "A", "where": "between"} for one in ("LP-1", "LP-2")},
        tanks={tank: small.tank() | {"area": area} for tank, area in zip(tanks, areas, strict=True)},
        instruments={f"LX-{number}": small.body() | {"tank": tank, "wiring": {"panel": "LP-1" if number == 1 else panel}}
                     for number, tank in enumerate(tanks[:bodies], 1)},
        switches={tag: small.switch("rising", issued="2 m") | {"in": f"LX-{min(number, bodies)}"}
                  for number, tag in enumerate(tags, 1)})
    found = compute.results(made, read.knowledge()).cautions
    return {tag for tag, cautions in found.items() if "similar-tag" in {one.key for one in cautions}}


ONE, TWO = ("T-3", "T-3"), ("T-3", "T-77")


@pytest.mark.parametrize(("tags", "tanks", "how", "wanted"), [
    (("LSH-311", "LSH-321"), TWO, {}, set(TWO)),  # one digit, terminals in one panel: once for each tank
    (("LSH-312", "LSH-321"), TWO, {}, set(TWO)),  # two digits swapped
    (("LSH-311", "LSH-321"), TWO, {"panel": "LP-2"}, set()),  # terminals in two panels, on two tanks
    (("LSH-311", "LSH-321"), TWO, {"areas": "AB"}, set()),  # areas apart
    (("LSH-311", "LSL-311"), TWO, {}, set()),  # a letter is read
    (("LSH-311A", "LSH-311B"), TWO, {}, set()),  # so is one at the end
    (("LSH-311", "LSH-344"), TWO, {}, set()),  # two digits
    (("LSH-311", "LSH-321"), ONE, {"panel": "LP-2"}, {"LSH-311", "LSH-321"}),  # side by side on one tank
    (("LSH-311", "LSH-321"), ONE, {"bodies": 1}, set()),  # two points of one body
])
def test_tags_are_alike_only_where_somebody_could_take_one_for_the_other(
    tags: tuple[str, str], tanks: tuple[str, str], how: dict[str, Any], wanted: set[str],
) -> None:
    assert _alike(tags, tanks, **how) == wanted


def test_an_interlock_takes_over_what_its_points_have_for_testing_and_bypassing() -> None:
    found = {one.key: one for one in cautions("cautious")["I-1"]}
    assert "disabled-after-test" in found and "LSHH-1A" in found["disabled-after-test"].because
    assert "vote-member" in found and "restart-after-reset" in found and "start-up-bypass" in found
    assert "no-valve-at-the-nozzle" not in found
    assert all(set(one.jobs) <= {"test", "bypass", "adjust", "every job"} for one in found.values())


def test_the_last_protection_is_told_from_one_of_two() -> None:
    def of(second: dict[str, str]) -> set[str]:
        hazard = {"H-1": {"what": "spill", "harms": "people", "begins_at": "T-1 overflow", "safe_state": "stopped"}}
        lock = {"area": "A", "service": "trip", "kind": "trip", "hazard": "H-1", "then": {"XV-1": "closed"}}
        made = small.plant(
            hazards=hazard, valves={"XV-1": {"area": "A", "service": "inlet", "kind": "on-off"}},
            instruments={"LX-1": small.body(), "LX-2": small.body()},
            switches={"LSHH-1": small.switch("rising", issued="3 m"),
                      "LSHH-2": small.switch("rising", issued="3 m") | second},
            interlocks={"I-1": lock | {"when": "LSHH-1"}, "I-2": lock | {"when": "LSHH-2"}})
        return {one.key for one in compute.results(made, read.knowledge()).cautions["I-1"]}

    assert "last-protection" in of({})  # both points on one body
    assert "last-protection" not in of({"in": "LX-2"})


def test_the_vocabulary_knows_every_word_that_the_language_offers() -> None:
    def words(kind: object) -> set[str]:
        inner = get_args(kind)
        return {one for one in inner if isinstance(one, str)} | {
            word for one in inner if not isinstance(one, str) for word in words(one)}

    fields = {"liquid": (Liquid, "hazards"), "zone": (Surroundings, "zone"), "nozzle_on": (Nozzle, "on"),
              "technology": (Instrument, "technology"), "test_means": (Instrument, "test_means"),
              "test": (document.Test, "method"),
              "suction": (Suction, "kind"), "actuator": (Valve, "actuator"), "valve_fails": (Valve, "fails")}
    for fact, (block, field) in fields.items():
        assert words(block.model_fields[field].annotation) <= set(VOCABULARY[fact].values), fact


def test_a_point_that_drives_a_heater_is_hot_though_its_tank_is_not() -> None:
    made = small.plant(
        tanks={"T-1": small.tank(heated="no")}, equipment={"EH-1": {"area": "A", "service": "Heater", "kind": "heater"}},
        switches={"LSLL-1": small.switch("falling", issued="1 m"), "LSH-1": small.switch("rising", issued="3 m")},
        interlocks={"I-1": {"area": "A", "service": "dry", "kind": "trip", "when": "LSLL-1", "then": {"EH-1": "off"}}})
    shown_of = compute.results(made, read.knowledge()).cautions
    assert [any(one.key == "heating" for one in shown_of[tag]) for tag in ("LSLL-1", "LSH-1")] == [True, False]


def test_what_a_point_of_a_control_does_and_which_liquid_a_device_moves() -> None:
    made = small.plant(
        tanks={"T-1": small.tank(), "T-2": small.tank()}, pumps={"P-1": small.pump()},
        streams={"in": small.stream("outside", "T-1", "1 m3/h", through=["XV-1"]),
                 "out": small.stream("T-1", "T-2", "1 m3/h", moved_by="P-1")},
        valves={"XV-1": {"area": "A", "service": "Inlet", "kind": "on-off"}},
        switches={"LSH-1": small.switch("rising", issued="3 m"), "LSL-1": small.switch("falling", issued="1 m")},
        controls={"C-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["LSH-1"],
                          "stops": "LSL-1"}})
    assert [one.words for one in duties(made, "LSH-1")] == ["C-1 starts P-1"]
    assert [one.words for one in duties(made, "LSL-1")] == ["C-1 stops P-1"]
    assert [touches(made, one, tank) for one in ("XV-1", "P-1") for tank in ("T-1", "T-2")] == [True, False, True, True]


@pytest.mark.parametrize(("liquid", "is_hot"), [
    ({"temperature": {"lowest": "5 degC", "highest": "80 degC"}}, True), ({"hazards": ["hot"]}, True),
    ({"temperature": {"lowest": "5 degC", "highest": "50 degC"}}, False)])
def test_a_liquid_is_hot_by_its_word_or_by_its_temperature(liquid: dict[str, Any], is_hot: bool) -> None:
    made = small.plant(liquids={"water": {"name": "Water"} | liquid}, switches={"LSH-1": small.switch("rising", issued="3 m")})
    assert any(one.key == "hot-liquid" for one in compute.results(made, read.knowledge()).cautions["LSH-1"]) is is_hot


def test_a_hot_stream_scalds_at_a_tank_that_is_cool() -> None:
    """By hand: 80 degC run into T-1 of 30 degC by XV-1, and from T-2, which holds 90 degC, into T-3 by XV-2.

    At T-2 the liquid is hot itself. P-1 beside T-1 draws the cool liquid, which is warmed on its way: XV-3 stands in that
    stream, the pump before it. P-2 draws the hot stream from outside, P-3 stands in T-1. T-4 gets 60 degC and no more.
    """
    cool, hot = {"lowest": "5 degC", "highest": "30 degC"}, {"lowest": "70 degC", "highest": "90 degC"}
    valve = {"area": "A", "service": "x", "kind": "on-off"}
    made = small.plant(
        liquids={"water": {"name": "Water", "temperature": cool}, "condensate": {"name": "Condensate", "temperature": hot}},
        tanks={"T-1": small.tank(), "T-2": small.tank(liquid="condensate"), "T-3": small.tank(), "T-4": small.tank()},
        valves=dict.fromkeys(("XV-1", "XV-2", "XV-3", "XV-4"), valve),
        pumps={"P-1": small.pump(suction={"tank": "T-1", "kind": "bottom nozzle", "height": "0 m"}), "P-3": small.pump(),
               "P-2": {"area": "A", "service": "x", "flow": "1 m3/h", "suction": {"tank": "outside"}}},
        streams={"hot": small.stream("outside", "T-1", "1 m3/h", through=["XV-1"], moved_by="P-2",
                                     temperature={"lowest": "60 degC", "highest": "80 degC"}),
                 "down": small.stream("T-2", "T-3", "1 m3/h", through=["XV-2"]),
                 "out": small.stream("T-1", "outside", "1 m3/h", through=["XV-3"], moved_by="P-1",
                                     temperature={"lowest": "60 degC", "highest": "80 degC"}),
                 "edge": small.stream("outside", "T-4", "1 m3/h", through=["XV-4"],
                                      temperature={"lowest": "20 degC", "highest": "60 degC"})},
        switches={"LSH-1": small.switch("rising", issued="3 m")})
    cautions = compute.results(made, read.knowledge()).cautions
    assert {tag for tag in cautions if any(one.key == "hot-liquid" for one in cautions[tag])} == {
        "T-1", "LSH-1", "XV-1", "P-2", "P-3", "T-2", "T-3", "XV-2", "XV-3"}
    said = {tag: str(next(one for one in cautions[tag] if one.key == "hot-liquid")) for tag in ("T-1", "T-3")}
    assert "stream stream: up to 80 degC" in said["T-1"]
    assert "stream stream from T-2, which holds Condensate: up to 90 degC" in said["T-3"]


def test_what_stands_behind_a_subject() -> None:
    """By hand: tanks, liquids and driven machines of each kind of subject."""
    made = small.plant(
        tanks={"T-1": small.tank(), "T-2": small.tank()}, panels={"LP-1": {"area": "A", "where": "x"}},
        pumps={"P-1": small.pump(panel="LP-1"), "P-2": small.pump(), "P-3": small.pump(suction={"tank": "outside"})},
        pump_groups={"G": {"name": "Both", "pumps": ["P-1", "P-2"], "arrangement": "duty/assist"}},
        valves={"XV-1": {"area": "A", "service": "Inlet", "kind": "on-off"}},
        streams={"on": small.stream("T-1", "T-2", "1 m3/h", moved_by="G", through=["XV-1"]),
                 "in": small.stream("outside", "T-2", "1 m3/h", moved_by="P-3")},
        switches={tag: small.switch("rising", issued="2 m") for tag in ("GO", "MORE", "STOP", "HH")},
        controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G", "starts": ["GO", "MORE"],
                        "stops": "STOP"}},
        interlocks={"I": {"area": "A", "service": "x", "kind": "trip", "when": "HH", "then": {"XV-1": "closed"}}})

    def of(kind: SubjectKind, tag: str) -> Subject:
        return Subject(made, {}, {}, {}, kind, tag, Survey(made))

    both = [("P-1", "running", "C"), ("P-2", "running", "C")]
    assert list(of("switch", "GO").driven) == list(of("switch", "MORE").driven) == both
    assert list(of("switch", "STOP").driven) == [("P-1", "stopped", "C"), ("P-2", "stopped", "C")]
    assert list(of("switch", "HH").driven) == list(of("interlock", "I").driven) == [("XV-1", "closed", "I")]
    assert list(of("pump", "P-1").driven) == [("P-1", "", "P-1")] and of("tank", "T-1").driven == ()
    for kind, tag, liquid_tanks, place_tanks in (
        ("switch", "GO", ("T-1",), ("T-1",)), ("tank", "T-2", ("T-2",), ("T-2",)), ("pump", "P-1", ("T-1",), ("T-1",)),
        ("pump", "P-3", ("T-2",), ()), ("valve", "XV-1", ("T-1", "T-2"), ()), ("interlock", "I", (), ()),
    ):
        subject = of(kind, tag)  # type: ignore[arg-type]  # one of them
        assert (subject.liquid_tanks, subject.place_tanks) == (liquid_tanks, place_tanks)
    assert of("pump", "P-1").panels == ("LP-1",) and of("pump", "P-2").panels == () == of("switch", "GO").panels
    assert (of("tank", "T-1").beside, of("tank", "T-1").in_panels) == ((("A", "vertical cylinder"),), ())
    assert (of("pump", "P-1").beside, of("pump", "P-1").in_panels) == ((("A", "T-1", ""),), (("A", "LP-1"),))
