"""Layers against a hazard, told by hand from the definitions of the small sound plant with one thing changed in it."""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml

from generator import compute, read
from generator.compute.book import Book
from generator.compute.layers import Layers, Side
from generator.model.plant import Definitions
from generator.model.record import Absence, Record
from generator.model.results import Results
from generator.model.scalar import Tag
from tests.check.small_plants import base, laid_over


def plant(change: dict[str, Any]) -> Definitions:
    with TemporaryDirectory() as folder:
        file = Path(folder) / "plant.yml"
        file.write_text(yaml.dump(laid_over(base(), change), Dumper=yaml.CSafeDumper, allow_unicode=True, width=10_000), "utf-8")
        made, mistakes = read.plant(file)
    assert made is not None, mistakes
    return made


@cache
def sound() -> Results:
    return compute.results(plant({}), read.knowledge())


def layers(change: dict[str, Any]) -> Layers:
    """Layers of the plant under a change that moves no level; tanks, trips and alarms as they are without it."""
    return Layers(plant(change), sound().tanks, sound().trips, sound().alarms, Book())


def hazard(begins_at: str) -> dict[str, Any]:
    return {"what": "x", "harms": "equipment", "begins_at": begins_at, "safe_state": "x"}


def tags(change: dict[str, Any], of: str) -> list[tuple[str, str]]:
    return [(layer.kind, layer.tag) for layer in layers(change).by_hazard[of]]


def test_the_minutes_of_a_layer_are_those_of_its_alarm_and_of_its_tightest_trip() -> None:
    for of in ("H-10", "H-11", "H-20", "H-21"):
        for layer in layers({}).by_hazard[of]:
            if layer.kind == "alarm":
                time = sound().alarms[layer.tag]
                assert (layer.minutes, layer.needs) == (time.to_limit, time.needed)
            elif layer.kind == "trip":
                known = [one for one in sound().trips[layer.tag] if isinstance(one.available, Record)]
                least = min(one.available.value for one in known if isinstance(one.available, Record))
                assert isinstance(layer.minutes, Record) and layer.minutes.value == least
                assert layer.needs in [one.needed for one in known if one.available == layer.minutes]
            else:
                assert layer.minutes is layer.needs is None


def test_an_alarm_without_a_time_is_a_layer_without_minutes() -> None:
    made = Layers(plant({}), sound().tanks, {}, {}, Book())
    assert [(one.tag, one.minutes, one.needs) for one in made.by_hazard["H-10"] if one.kind != "control"] == [
        ("LAH-10", None, None), ("I-10", None, None)]


@pytest.mark.parametrize(("begins_at", "found"), [
    # a second hazard of the same tank in the same direction: the trip of the first works against it too
    ("T-10 overflow", ["LAH-10", "I-10"]), ("T-10 bottom", ["LAL-10", "I-11"]), ("T-20 overflow", ["LAH-20", "I-20"]),
    ("T-20 bottom", ["LAL-20", "I-21"]),  # it stops the pump that empties the tank
])
def test_trips_of_another_hazard_that_help(begins_at: str, found: list[str]) -> None:
    made = tags({"hazards": {"H-99": hazard(begins_at)}}, "H-99")
    assert [tag for kind, tag in made if kind != "control"] == found


@pytest.mark.parametrize(("change", "of", "helps"), [
    ({}, "I-10", True),
    ({"kind": "permissive", "latch": "~", "reset": "~", "bypass": "~"}, "I-10", False),  # a permissive helps its own only
    ({"then": {"XV-10": "open"}}, "I-10", False),  # it works the other way
    ({"then": {"XV-20": "closed", "XV-10": "~"}}, "I-10", False),  # another tank's inlet
    ({"then": {"XV-20": "closed", "XV-10": "closed"}}, "I-10", True),
    ({"when": "LSLL-10"}, "I-10", False),  # it acts on the other side
    ({"when": {"not": "LSLL-10"}}, "I-10", True),  # that a low point is clear is a rising cause
    ({"when": "LSHH-20A"}, "I-10", False),
    ({"when": {"any_of": ["LSHH-10", "LSLL-20"]}}, "I-10", True),
])
def test_what_makes_a_trip_of_another_hazard_help(change: dict[str, Any], of: str, helps: bool) -> None:
    made = tags({"hazards": {"H-99": hazard("T-10 overflow")}, "interlocks": {of: change}}, "H-99")
    assert (of in [tag for _, tag in made]) is helps


@pytest.mark.parametrize(("begins_at", "when", "side"), [
    ("T-10 overflow", "LSHH-10", Side("T-10", "rising")), ("T-10 bottom", "LSHH-10", Side("T-10", "falling")),
    # a level in the middle of the band is come to from both sides: the interlock says which one is meant
    ("T-10 ring", "LSHH-10", Side("T-10", "rising")), ("T-10 ring", "LSLL-10", Side("T-10", "falling")),
    ("T-10 ring", {"any_of": ["LSLL-20", "LSHH-10"]}, Side("T-10", "rising")), ("T-10 ring", "LSLL-20", None),
])
def test_the_side_from_which_a_hazard_is_come_to(begins_at: str, when: Any, side: Side | None) -> None:
    change = {"tanks": {"T-10": {"marks": {"ring": {"height": "1.6 m", "what": "stiffening ring"}}}},
              "hazards": {"H-10": {"begins_at": begins_at}}, "interlocks": {"I-10": {"when": when}}}
    made = plant(change)
    found = Layers(made, compute.results(made, read.knowledge()).tanks, {}, {}, Book())
    assert found.sides.get("H-10") == side


def test_a_permissive_of_the_hazard_stands_before_its_trips() -> None:
    permissive = {"area": "10", "service": "x", "kind": "permissive", "hazard": "H-10", "because": "x",
                  "when": {"not": "LSHH-10"}, "then": {"XV-10": "open"}}
    assert tags({"interlocks": {"I-12": permissive}}, "H-10") == [
        ("control", "C-10"), ("alarm", "LAH-10"), ("permissive", "I-12"), ("trip", "I-10")]


def test_the_parts_of_a_layer_are_all_that_it_hangs_on() -> None:
    control, alarm, trip = layers({}).by_hazard["H-10"]
    assert trip.parts == (
        ("body", "LX-11"), ("nozzle", "N1 of T-10"), ("card", "C2"), ("cable", "W2"), ("panel", "LP-1"), ("supply", "UPS-1"),
        ("relay", "K-10"), ("final element", "XV-10"))
    assert ("final element", "P-10A") in control.parts and ("final element", "P-10B") in control.parts
    assert not [part for part in alarm.parts if part[0] in ("final element", "relay", "logic")]
    (with_logic,) = [one for one in layers({"interlocks": {"I-10": {"by": "controller"}}}).by_hazard["H-10"] if one.tag == "I-10"]
    assert ("logic", "controller") in with_logic.parts


BODY: dict[str, Any] = {"nozzle": "~", "stilling_well": "~", "wiring": {"card": "~", "cable": "~", "supply": "~"}}


@pytest.mark.parametrize(("change", "parts"), [
    ({"nozzle": "N1"}, {("nozzle", "N1 of T-10")}), ({"stilling_well": "W1"}, {("stilling well", "W1 of T-10")}),
    ({"wiring": BODY["wiring"] | {"card": "C9"}}, {("card", "C9")}),
    ({"wiring": BODY["wiring"] | {"cable": "W9"}}, {("cable", "W9")}), ({}, set()),
])
def test_a_part_stands_there_only_where_it_is_recorded(change: dict[str, Any], parts: set[tuple[str, str]]) -> None:
    made = layers({"instruments": {"LX-11": BODY | change}}).by_hazard["H-10"]
    (trip,) = [one for one in made if one.tag == "I-10"]
    assert {part for part in trip.parts if part[0] in ("nozzle", "stilling well", "card", "cable")} == parts


def test_a_trip_without_wiring_or_relay_has_a_body_and_what_it_drives() -> None:
    made = layers({"instruments": {"LX-11": BODY | {"wiring": "~"}}, "switches": {"LSHH-10": {"contact": {"drives": "~"}}}})
    (trip,) = [one for one in made.by_hazard["H-10"] if one.tag == "I-10"]
    assert trip.parts == (("body", "LX-11"), ("final element", "XV-10"))


def test_points_of_a_trip_are_its_level_points_and_no_signals() -> None:
    change = {"interlocks": {"I-10": {"when": {"any_of": ["LSHH-10", "HS-10", "LSHH-10"]}}},
              "signals": {"HS-10": {"area": "10", "service": "button", "kind": "manual stop"}}}
    (trip,) = [one for one in layers(change).by_hazard["H-10"] if one.tag == "I-10"]
    assert trip.points == ("LSHH-10",)


def test_the_time_to_a_consequence_by_hand() -> None:
    """A tank of 2 m across, pi m2: falling from 1.20 m to 0 m at 10 m3/h is 3.1416 x 1.20 / (10 / 3600) = 1357.2 s."""
    found = layers({}).consequence
    assert isinstance(found["H-11"], Record) and found["H-11"].value == pytest.approx(1357.2, abs=0.1)
    none = layers({"tanks": {"T-10": {"levels": {"normal_low": "~"}}}}).consequence["H-11"]
    assert isinstance(none, Absence) and none.missing == ("tanks/T-10/levels/normal_low",)
    still = Layers(plant({}), {"T-10": compute.results(plant({"streams": {"feed": {"flow": {
        "normal": "0 m3/h", "highest": "0 m3/h"}}}}), read.knowledge()).tanks["T-10"]}, {}, {}, Book())
    none = still.consequence["H-10"]
    assert isinstance(none, Absence) and "rising" in none.why and none.missing == ()
    assert "H-20" not in still.consequence  # a tank that nothing is worked out for


def test_hazards_by_layer_and_by_side() -> None:
    made = layers({"hazards": {"H-99": hazard("T-10 overflow")}})
    assert made.hazards_of["I-10"] == ("H-10", "H-99") and made.hazards_of["I-11"] == ("H-11",)
    assert made.hazards_at["T-10", "rising"] == ("H-10", "H-99") and made.hazards_at["T-20", "falling"] == ("H-21",)
    assert Tag("H-99") in made.plant.hazards
