"""Every way in which each thing of one small plant can fail, told by hand from its definitions."""

from functools import cache
from typing import Any

import pytest

from generator import compute
from generator.compute.book import Book
from generator.compute.damage import Damage
from generator.compute.failure_modes import Mode, modes, without_drive
from generator.compute.layers import Layers
from generator.model.plant import Definitions
from generator.model.scalar import Tag
from tests.compute import small


@cache
def plant() -> Definitions:
    """A float with an opening high and a closing low contact, a fork, a transmitter with a loop; mains, UPS, two panels."""
    wired = {"panel": "LP-1", "supply": "DC"}
    return small.plant(
        plant={"outputs_on_stop": {"controller": "drop"}},
        panels={"LP-1": {"area": "A", "where": "gallery"}, "LP-2": {"area": "A", "where": "cellar"}},
        supplies={"MAINS": {"kind": "mains", "loss_shown_by": "XA-1"}, "UPS": {
            "kind": "uninterruptible", "fed_from": "MAINS", "lasts": "30 min", "loss_shown_by": "XA-2"},
            "DC": {"kind": "control voltage", "fed_from": "UPS"}, "AIR": {"kind": "instrument air"}},
        signals={"XA-1": {"area": "A", "service": "mains lost", "kind": "supply lost"},
                 "XA-2": {"area": "A", "service": "UPS lost", "kind": "supply lost"},
                 "XC": {"area": "A", "service": "stopped", "kind": "controller stopped"},
                 "TS": {"area": "A", "service": "hot", "kind": "temperature", "fails": "on"},
                 "IDLE": {"area": "A", "service": "unused", "kind": "temperature", "fails": "on"}},
        instruments={"LX-1": small.body(wiring=wired, known_defect="bent"),
                     "LF": small.body(technology="vibrating fork", wiring=wired | {"supervised": "yes"}),
                     "LT": small.body(technology="guided radar", signal="4-20 mA", wiring=wired),
                     "IDLE-1": small.body()},
        switches={"H": small.switch("rising", issued="3 m", contact={"at_the_point": "opens", "drives": "K"}),
                  "L": small.switch("falling", issued="1 m", contact={"at_the_point": "closes"}),
                  "F": small.switch("rising", issued="3.2 m", **{"in": "LF"}, contact={
                      "at_the_point": "opens", "on_the_shelf": "closed"}),
                  "S": small.switch("rising", issued="3 m", **{"in": "LT"})},
        relays={"K": {"panel": "LP-1", "kind": "interposing relay", "drives": ["XV"], "supply": "DC"}},
        valves={"XV": {"area": "A", "service": "inlet", "kind": "on-off", "fails": "closed", "supply": "AIR",
                       "feedback": {"by": "limit switch", "within": "5 s"}},
                "LV": {"area": "A", "service": "outlet", "kind": "control", "fails": "in place", "supply": "AIR"},
                "HV": {"area": "A", "service": "hand valve", "kind": "hand"}},
        pumps={"P-1": small.pump(supply="MAINS", panel="LP-2"), "P-2": small.pump(suction={"tank": "outside"})},
        equipment={"E": {"area": "A", "service": "heater", "kind": "heater", "supply": "DC"},
                   "E-2": {"area": "A", "service": "lamp", "kind": "heater"}},
        streams={"in": small.stream("outside", "T-1", "10 m3/h", through=["XV"], moved_by="P-2"),
                 "out": small.stream("T-1", "outside", "10 m3/h", through=["LV"])},
        controls={"LC": {"kind": "modulating", "area": "A", "tank": "T-1", "moves": "LV", "measures": "LT",
                         "rising_level": "opens", "by": "controller"}},
        interlocks={"I": {"area": "A", "service": "x", "kind": "trip", "because": "x", "when": {"any_of": ["H", "TS"]},
                          "then": {"XV": "closed"}, "by": "safety system"},
                    "J": {"area": "A", "service": "x", "kind": "trip", "because": "x", "when": "F", "then": {"E": "off"},
                          "by": "controller"}})


@cache
def found() -> dict[tuple[str, str], Mode]:
    made = list(modes(plant(), Layers(plant(), {}, {}, {}, Book()), compute.results(plant(), small.KNOWLEDGE).contacts))
    assert len({(one.device, one.words) for one in made}) == len(made)
    return {(one.device, one.words): one for one in made}


READS = frozenset({"LT", "S"})
BLIND = {"H": True, "L": False, "F": False}
"""Without power: the opening contact looks as if it had acted, the closing one as if not; the fork shows its shelf state."""
MODES: list[tuple[str, str, str, Damage, dict[str, Any]]] = [
    ("LX-1", "stuck wet", "T-1", Damage({"H": True, "L": False, "LX-1 reads": True}), {"is_standing": True, "note": "bent"}),
    ("LX-1", "stuck dry", "T-1", Damage({"H": False, "L": True, "LX-1 reads": False}), {"is_standing": True, "note": "bent"}),
    ("LF", "stuck wet", "T-1", Damage({"F": True, "LF reads": True}), {}),
    ("LF", "stuck dry", "T-1", Damage({"F": False, "LF reads": False}), {}),
    ("LT", "reads full", "T-1", Damage({"S": True, "LT reads": True}), {}),
    ("LT", "reads empty", "T-1", Damage({"S": False, "LT reads": False}), {}),
    ("LT", "holds its last reading", "T-1", Damage(still=READS), {}),
    ("LT", "wire open", "T-1", Damage(bad=READS), {"shown": "the signal leaves its band and shows as failed"}),
    ("LT", "wire short", "T-1", Damage(bad=READS), {"shown": "the signal leaves its band and shows as failed"}),
    ("H", "wire open", "T-1", Damage({"H": True}), {}), ("H", "wire short", "T-1", Damage({"H": False}), {}),
    ("L", "wire open", "T-1", Damage({"L": False}), {}), ("L", "wire short", "T-1", Damage({"L": True}), {}),
    ("F", "wire open", "T-1", Damage({"F": True}), {"shown": "the fault of the line is shown"}),
    ("F", "wire short", "T-1", Damage({"F": False}), {"shown": "the fault of the line is shown"}),
    ("TS", "wire open", "T-1", Damage({"TS": True}), {}), ("TS", "wire short", "T-1", Damage({"TS": False}), {}),
    # The contact of H is closed while the level is low: a relay that welds looks like that, one that drops like the level.
    ("K", "welded", "T-1", Damage({"H": False}, unreached=frozenset({("I", "XV")})), {}),
    ("K", "dropped out", "T-1", Damage({"H": True}), {}),
    ("MAINS", "lost", "", Damage(states={"P-1": "stopped"}), {"signals": ("XA-1",), "note": "UPS lasts for 30 min"}),
    ("UPS", "lost", "", Damage(BLIND, READS, states={"E": "off"}), {"signals": ("XA-2",)}),
    ("DC", "lost", "", Damage(BLIND, READS, states={"E": "off"}), {}),
    ("AIR", "lost", "", Damage(states={"XV": "closed"}), {}),
    ("LP-1", "dead or cut off", "", Damage({"H": True, "L": False, "F": True}, READS), {}),
    ("LP-2", "dead or cut off", "", Damage(states={"P-1": "stopped"}), {}),
    ("controller", "stands still, its outputs drop", "", Damage(dead=frozenset({"LC", "J"}), states={"E": "off"}),
     {"signals": ("XC",)}),
    ("safety system", "stands still", "", Damage(dead=frozenset({"I"})), {}),
    *((pump, words, "T-1", Damage(states={pump: state}), {}) for pump in ("P-1", "P-2")
      for words, state in (("does not run", "stopped"), ("does not stop (contactor welded)", "running"))),
    ("XV", "stuck open", "T-1", Damage(states={"XV": "open"}), {"shown": "limit switch shows it within 5 s"}),
    ("XV", "stuck shut", "T-1", Damage(states={"XV": "closed"}), {"shown": "limit switch shows it within 5 s"}),
    ("LV", "stuck open", "T-1", Damage(states={"LV": "open"}), {}),
    ("LV", "stuck shut", "T-1", Damage(states={"LV": "closed"}), {}),
    ("E", "does not go on", "", Damage(states={"E": "off"}), {}), ("E", "does not go off", "", Damage(states={"E": "on"}), {}),
]


@pytest.mark.parametrize(("device", "words", "tank", "damage", "more"), MODES, ids=[f"{one[0]} {one[1]}" for one in MODES])
def test_one_way_to_fail(device: str, words: str, tank: str, damage: Damage, more: dict[str, Any]) -> None:
    assert found()[device, words] == Mode(device, words, tank, damage, **more)


def test_there_are_no_others() -> None:
    assert set(found()) == {(device, words) for device, words, *_ in MODES}


def test_where_a_device_goes_without_its_drive() -> None:
    assert {tag: without_drive(plant(), Tag(tag)) for tag in ("XV", "LV", "HV", "P-1", "E", "LX-1")} == {
        "XV": "closed", "LV": None, "HV": None, "P-1": "stopped", "E": "off", "LX-1": None}


def test_what_is_said_beside_a_damage() -> None:
    """A transmitter with a known defect lies still or at an end with it, its wire does not; a relay that nothing works is not
    known; a supply whose loss an alarm of its own or a lamp shows, not a signal."""
    made = small.plant(
        panels={"LP": {"area": "A", "where": "x"}}, valves={"XV": {"area": "A", "service": "x", "kind": "on-off"}},
        instruments={"LT": small.body(technology="guided radar", signal="4-20 mA", known_defect="coated")},
        switches={"S": small.switch("rising", issued="3 m", **{"in": "LT"})},
        relays={"K": {"panel": "LP", "kind": "interposing relay", "drives": ["XV"]}},
        supplies={"M": {"kind": "mains", "loss_shown_by": "lamp on LP"}, "N": {"kind": "mains"}})
    told = {(one.device, one.words): one for one in modes(made, Layers(made, {}, {}, {}, Book()), {})}
    assert {words: told["LT", words].is_standing for words in (
        "reads full", "reads empty", "holds its last reading", "wire open", "wire short")} == {
        "reads full": True, "reads empty": True, "holds its last reading": True, "wire open": False, "wire short": False}
    assert {one.note for key, one in told.items() if key[0] == "LT" and one.is_standing} == {"coated"}
    assert {key: one.is_unknown for key, one in told.items()} == {key: key[0] == "K" for key in told}
    assert [(told[tag, "lost"].shown, told[tag, "lost"].signals) for tag in ("M", "N")] == [("its loss is shown", ()), ("", ())]
