"""What cautions are decided by, fact for fact: what is recorded, what is recorded as no, what is missing. All of it by hand."""

from typing import Any

import pytest
from msgspec.structs import replace

from generator.compute import facts_of_devices as devices
from generator.compute import facts_of_functions as functions
from generator.compute import facts_of_machines as machines
from generator.compute import facts_of_places as places
from generator.compute.facts import Fact, Subject, SubjectKind
from generator.compute.survey import Survey
from generator.model.failure import Layer, LayerKind
from generator.model.record import Record
from generator.model.results import ContactResult
from tests.check.small_plants import laid_over
from tests.compute import small
from tests.compute.test_proofs_by_hand import lock

BASE: dict[str, Any] = {
    "liquids": {"water": {"name": "Water"}, "acid": {"name": "Acid", "hazards": ["acid"]}},
    "tanks": {"T-1": small.tank(), "T-2": small.tank()},
    "panels": {"LP-1": {"area": "A", "where": "x", "supplies": ["M"]}, "LP-2": {"area": "A", "where": "x"}},
    "supplies": {"M": {"kind": "mains", "voltage": "400 V"}, "C": {"kind": "control voltage", "voltage": "24 V"},
                 "U": {"kind": "uninterruptible"}, "AIR": {"kind": "instrument air"}},
    "pumps": {"P-1": small.pump(panel="LP-1"), "P-2": small.pump(panel="LP-1"), "P-9": small.pump(suction={"tank": "outside"})},
    "valves": {"XV-1": {"area": "A", "service": "x", "kind": "on-off"}, "NV-1": {"area": "A", "service": "x", "kind": "check"}},
    "equipment": {"E-1": {"area": "A", "service": "x", "kind": "heater"}, "R-1": {"area": "A", "service": "x",
     "kind": "agitator"}},
    "instruments": {"LX-1": small.body(wiring={"panel": "LP-1"}), "LX-2": small.body()},
    "switches": {"H": small.switch("rising", issued="3 m", role="trip"), "L": small.switch("falling", issued="1 m"),
                 "H2": small.switch("rising", issued="3.1 m", **{"in": "LX-2"})},
    "hazards": {"HZ": {"what": "x", "begins_at": "T-1 overflow", "harms": "people", "safe_state": "x"}},
    "interlocks": {"I-1": lock("H", {"P-1": "stopped"})},
}


def of(fact: Any, kind: SubjectKind, tag: str, change: dict[str, Any] | None = None, layers: Any = None, **known: Any) -> Fact:
    made = small.plant(**laid_over(BASE, change or {}))
    return fact(Subject(made, known.get("tanks", {}), known.get("setpoints", {}), known.get("contacts", {}), kind, tag,
                        Survey(made, layers or {}), known.get("look_alikes", {})))


def told(found: Fact) -> set[str]:
    """Values, and each missing field after a question mark."""
    return {*found.values, *(f"?{where}" for _, where in found.missing)}


def then(**states: str) -> dict[str, Any]:
    """I-1 drives something else."""
    return {"interlocks": {"I-1": {"then": {"P-1": "~"} | {tag.replace("_", "-"): state for tag, state in states.items()}}}}


@pytest.mark.parametrize(("fact", "kind", "tag", "change", "wanted"), [
    (machines.stops_pump, "switch", "H", {}, {"yes"}), (machines.stops_pump, "interlock", "I-1", {}, {"yes"}),
    (machines.starts_pump, "interlock", "I-1", {}, {"no"}),
    (machines.starts_pump, "interlock", "I-1", then(P_1="running"), {"yes"}),
    (machines.stops_pump, "interlock", "I-1", then(P_1="running"), {"no"}),
    (machines.stops_pump, "switch", "L", {}, {"no"}), (machines.stops_pump, "pump", "P-1", {}, set()),
    (machines.stops_pump, "interlock", "I-1", then(E_1="off"), {"no"}),
    (machines.moves_valve, "interlock", "I-1", {}, {"no"}),
    (machines.moves_valve, "interlock", "I-1", then(XV_1="closed"), {"yes"}),
    (machines.moves_valve, "interlock", "I-1", then(XV_1="open"), {"yes"}), (machines.moves_valve, "valve", "XV-1", {}, set()),
    (machines.drives_heater, "interlock", "I-1", then(E_1="off"), {"yes"}),
    (machines.drives_heater, "interlock", "I-1", then(R_1="off"), {"no"}),
    (machines.drives_heater, "interlock", "I-1", {}, {"no"}),
    (machines.drives_agitator, "interlock", "I-1", then(R_1="off"), {"yes"}), (machines.drives_heater, "tank", "T-1", {}, set()),
    # restarts: by a level, by itself when power returns, not, not recorded
    (machines.restarts_by_itself, "interlock", "I-1", {}, {"?pumps/P-1/restart"}),
    (machines.restarts_by_itself, "interlock", "I-1", then(E_1="off"), {"?equipment/E-1/restart"}),
    (machines.restarts_by_itself, "interlock", "I-1", then(XV_1="closed"), set()),
    (machines.restarts_by_itself, "pump", "P-1", {"pumps": {"P-1": {"restart": {"by_itself": "yes"}}}}, {"yes"}),
    (machines.restarts_by_itself, "pump", "P-1", {"pumps": {"P-1": {"restart": {"by_itself": "no"}}}}, {"no"}),
    (machines.restarts_by_itself, "pump", "P-1", {"controls": {"C-1": {
        "kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["H"], "stops": "L"}}}, {"yes"}),
    (machines.restart_delay, "pump", "P-1", {}, {"no"}),
    (machines.restart_delay, "pump", "P-1", {"pumps": {"P-1": {"restart": {"by_itself": "yes"}}}}, {"no"}),
    (machines.restart_delay, "pump", "P-1", {"pumps": {"P-1": {"restart": {"by_itself": "yes", "after": "0 s"}}}}, {"no"}),
    (machines.restart_delay, "pump", "P-1", {"pumps": {"P-1": {"restart": {"by_itself": "yes", "after": "5 s"}}}}, {"yes"}),
    (machines.restart_delay, "pump", "P-1", {"pumps": {"P-1": {"restart": {"by_itself": "no", "after": "5 s"}}}}, {"no"}),
    (machines.restart_delay, "pump", "P-1", {  # second of a group: it waits for its turn
        "pumps": {tag: {"restart": {"by_itself": "yes"}} for tag in ("P-1", "P-2")},
        "pump_groups": {
            "G-1": {"name": "g", "pumps": ["P-2", "P-1"], "arrangement": "duty/assist", "stagger": "12 s"}}}, {"yes"}),
    (machines.restart_delay, "interlock", "I-1", then(XV_1="closed"), {"no"}),
    (machines.check_valve, "pump", "P-1", {}, {"?pumps/P-1/check_valve"}), (machines.check_valve, "interlock", "I-1", {}, set()),
    (machines.check_valve, "pump", "P-1", {"pumps": {"P-1": {"check_valve": "yes"}}}, {"yes"}),
    (machines.heavy, "pump", "P-1", {}, {"?pumps/P-1/heavy"}), (machines.heavy, "interlock", "I-1", {}, set()),
    (machines.suction, "pump", "P-1", {}, {"bell"}), (machines.suction, "pump", "P-9", {}, set()),
    (machines.suction, "interlock", "I-1", {}, set()),
    (machines.actuator, "valve", "XV-1", {}, {"?valves/XV-1/actuator"}), (machines.actuator, "valve", "NV-1", {}, set()),
    (machines.actuator, "interlock", "I-1", then(XV_1="closed"), {"?valves/XV-1/actuator"}),
    (machines.actuator, "valve", "XV-1", {"valves": {"XV-1": {"actuator": "motor"}}}, {"motor"}),
    (machines.valve_fails, "valve", "XV-1", {}, {"?valves/XV-1/fails"}), (machines.valve_fails, "valve", "NV-1", {}, set()),
    (machines.valve_fails, "valve", "XV-1", {"valves": {"XV-1": {"fails": "closed"}}}, {"closed"}),
    (machines.valve_fails, "valve", "XV-1", {"valves": {"XV-1": {"kind": "control"}}}, {"?valves/XV-1/fails"}),
    (machines.valve_fails, "valve", "XV-1", {"valves": {"XV-1": {"kind": "hand"}}}, set()),
    (machines.valve_fails, "interlock", "I-1", then(XV_1="closed"), set()),
    # electricity
    (machines.panel_voltage, "switch", "H", {}, {"?plant/touch_voltage"}),
    (machines.panel_voltage, "switch", "H", {"plant": {"touch_voltage": "50 V"}}, {"above"}),
    # just that voltage is not above it
    (machines.panel_voltage, "switch", "H", {"plant": {"touch_voltage": "400 V"}}, {"below"}),
    (machines.panel_voltage, "switch", "H", {"plant": {"touch_voltage": "50 V"}, "panels": {"LP-1": {"supplies": ["C"]}}},
     {"below"}),
    (machines.panel_voltage, "switch", "H", {"plant": {"touch_voltage": "50 V"}, "panels": {"LP-1": {"supplies": ["C", "U"]}}},
     {"?supplies/U/voltage"}),
    (machines.panel_voltage, "switch", "H", {"plant": {"touch_voltage": "50 V"}, "panels": {"LP-1": {"supplies": ["M", "U"]}}},
     {"above"}),
    (machines.panel_voltage, "switch", "H", {"panels": {"LP-1": {"supplies": "~"}}}, {"?panels/LP-1/supplies"}),
    (machines.panel_voltage, "switch", "H", {"panels": {"LP-1": {"supplies": ["AIR"]}}}, set()),
    (machines.panel_voltage, "switch", "H2", {}, {"?instruments/LX-2/wiring"}),
    (machines.panel_voltage, "pump", "P-9", {}, set()),
    (machines.motor_voltage, "pump", "P-1", {}, {"?pumps/P-1/motor/voltage"}), (machines.motor_voltage, "switch", "H", {}, set()),
    (machines.foreign_supply, "switch", "H", {}, set()), (machines.foreign_supply, "switch", "H2", {}, set()),
    (machines.foreign_supply, "switch", "H", {"instruments": {"LX-1": {"wiring": {"supply": "M"}}}}, {"no"}),
    (machines.foreign_supply, "switch", "H", {"instruments": {"LX-1": {"wiring": {"supply": "C"}}}}, {"yes"}),
    (machines.foreign_supply, "pump", "P-1", {}, set()),
    (machines.several_supplies, "switch", "H", {}, {"no"}),
    (machines.several_supplies, "switch", "H", {"panels": {"LP-1": {"supplies": ["M", "C"]}}}, {"yes"}),
    (machines.battery, "switch", "H", {"panels": {"LP-1": {"supplies": ["M", "U"]}}}, {"yes"}),
    (machines.battery, "switch", "H", {"panels": {"LP-1": {"battery": "yes"}}}, {"yes"}),
    (machines.battery, "switch", "H", {"panels": {"LP-1": {"battery": "no"}}}, {"no"}),
])
def test_facts_of_machines(fact: Any, kind: SubjectKind, tag: str, change: dict[str, Any], wanted: set[str]) -> None:
    assert told(of(fact, kind, tag, change)) == wanted


def test_what_a_machine_fact_says() -> None:
    assert of(machines.stops_pump, "switch", "H").values == {"yes": "I-1 stops P-1"}
    assert of(machines.drives_heater, "interlock", "I-1", then(E_1="off")).values == {"yes": "it acts on E-1"}
    assert of(machines.panel_voltage, "switch", "H", {"plant": {"touch_voltage": "50 V"}}).values == {
        "above": "LP-1: M 400 V; the site's limit is 50 V"}
    assert of(machines.battery, "switch", "H", {"panels": {"LP-1": {"supplies": ["M", "U"]}}}).values == {"yes": "LP-1: U"}


def bypass(**keys: str) -> dict[str, Any]:
    return {"interlocks": {"I-1": {"bypass": {"longest": "8 h", "needs": "lead", "meanwhile": "care"} | keys}}}


PROTECTS = {"interlocks": {"I-1": {"hazard": "HZ"}}}


@pytest.mark.parametrize(("fact", "kind", "tag", "change", "wanted"), [
    (functions.in_trip, "switch", "H", {}, {"yes"}), (functions.in_trip, "switch", "L", {}, {"no"}),
    (functions.in_trip, "interlock", "I-1", {}, {"yes"}), (functions.in_trip, "tank", "T-1", {}, set()),
    (functions.in_trip, "switch", "H", {"interlocks": {"I-1": {"kind": "permissive"}}}, {"no"}),
    (functions.bypass, "switch", "H", {}, {"no"}), (functions.bypass, "switch", "H", bypass(), {"yes"}),
    (functions.bypass, "switch", "L", bypass(), set()),
    (functions.bypass, "switch", "H", laid_over(bypass(), {"interlocks": {"I-1": {"kind": "permissive"}}}), set()),
    (functions.bypass_alarmed, "switch", "H", {}, set()),
    (functions.bypass_alarmed, "switch", "H", bypass(), {"?interlocks/I-1/bypass/alarmed"}),
    (functions.bypass_alarmed, "switch", "H", bypass(alarmed="yes"), {"yes"}),
    (functions.start_up_bypass, "switch", "H", bypass(start_up_only="yes"), {"yes"}),
    (functions.start_up_bypass, "switch", "H", bypass(), {"no"}), (functions.start_up_bypass, "switch", "H", {}, set()),
    (functions.vote_member, "switch", "H", {}, {"no"}), (functions.vote_member, "tank", "T-1", {}, set()),
    (functions.vote_member, "switch", "H", {"interlocks": {"I-1": {"when": {"2 of": ["H", "H2"]}}}}, {"yes"}),
    (functions.vote_member, "switch", "H", {"interlocks": {"I-1": {"when": {"any_of": ["H", {"1 of": ["L", "H2"]}]}}}}, {"no"}),
    (functions.vote_member, "switch", "L", {"interlocks": {"I-1": {"when": {"any_of": ["H", {"1 of": ["L", "H2"]}]}}}}, {"yes"}),
    (functions.last_protection, "switch", "H", {}, {"no"}), (functions.last_protection, "switch", "L", {}, set()),
    (functions.last_protection, "switch", "H", PROTECTS, {"yes"}),
    # another trip against the hazard counts only on another body
    (functions.last_protection, "switch", "H", {"interlocks": {"I-1": {"hazard": "HZ"}, "I-2": lock("H2", hazard="HZ")}}, {"no"}),
    (functions.last_protection, "switch", "H", {"interlocks": {"I-1": {"hazard": "HZ"}, "I-2": lock("L", hazard="HZ")}}, {"yes"}),
    (functions.last_protection, "switch", "H", {"interlocks": {"I-1": {"hazard": "HZ"}, "I-2": lock("H2")}}, {"yes"}),
    (functions.restarts_after_reset, "interlock", "I-1", {}, set()),
    (functions.must_start_to_protect, "interlock", "I-1", {}, {"no"}),
    (functions.must_start_to_protect, "interlock", "I-1", then(P_1="running"), {"yes"}),
    (functions.must_start_to_protect, "pump", "P-1", then(P_1="running"), {"yes"}),
    (functions.must_start_to_protect, "pump", "P-1", {}, {"no"}), (functions.must_start_to_protect, "pump", "P-2", {}, set()),
])
def test_facts_of_functions(fact: Any, kind: SubjectKind, tag: str, change: dict[str, Any], wanted: set[str]) -> None:
    assert told(of(fact, kind, tag, change)) == wanted


@pytest.mark.parametrize(("restarts", "wanted"), [("nothing", {"no"}), ("the pump", {"yes"})])
def test_what_a_reset_moves(restarts: str, wanted: set[str]) -> None:
    reset = {"at": ["LP-1"], "by": "operator", "when": {"not": "H"}, "restarts": restarts}
    assert told(of(functions.restarts_after_reset, "interlock", "I-1", {"interlocks": {"I-1": {"reset": reset}}})) == wanted


def test_votes_are_told_with_their_numbers() -> None:
    assert of(functions.vote_member, "switch", "H", {"interlocks": {"I-1": {"when": {"2 of": ["H", "H2", "L"]}}}}).values == {
        "yes": "it votes in I-1 (2 of 3)"}


@pytest.mark.parametrize(("seconds", "said"), [
    (None, "A-2"), (30.0, "A-2 (0.5 min)"), (59.9, "A-2 (0.9 min)"), (5999.9, "A-2 (99.9 min)"), (6000.0, "A-2 (100 min)"),
    (7199.0, "A-2 (119 min)"), (7200.0, "A-2 (2 h)"), (7320.0, "A-2 (2 h 2 min)")])
def test_the_alarms_that_a_last_trip_leaves(seconds: float | None, said: str) -> None:
    """A time left is cut off, never rounded up: 59.9 s are 0.9 min."""
    alarms = {tag: {"from": point, "text": tag, "priority": "high", "means": "x", "first": "x"}
              for tag, point in (("A-1", "H"), ("A-2", "H2"), ("A-3", "H2"), ("A-4", "I-1"))}
    minutes = None if seconds is None else Record("#k", "m", seconds, "time", "t", ())

    def layer(kind: LayerKind, tag: str, *points: str, **keys: Any) -> Layer:
        return Layer("HZ", kind, tag, points, (), (), **keys)

    def left(*layers: Layer) -> str:
        found = of(functions.last_protection, "switch", "H", PROTECTS | {"alarms": alarms}, {"HZ": layers})
        return found.values["yes"].partition("; ")[2]

    other = layer("alarm", "A-2", "H2", minutes=minutes)
    assert left(other) == f"the alarm {said} remains, on another body"
    assert left(layer("alarm", "A-1", "H"), other) == left(other)  # on the same body
    assert left(layer("alarm", "A-4", "H2"), other) == left(other)  # the alarm of the trip itself
    assert left(layer("control", "C", "H2"), layer("alarm", "A-3")) == "no alarm on another body remains without it"
    assert left(other, layer("alarm", "A-3", "H2")) == f"the alarms {said}, A-3 remain, on another body"


def liquid(**keys: Any) -> dict[str, Any]:
    return {"liquids": {"water": keys}}


def around(**keys: Any) -> dict[str, Any]:
    return {"tanks": {"T-1": {"surroundings": keys}}}


COLD_HOT = {"lowest": "-1 degC", "highest": "61 degC"}
EXACT = {"lowest": "0 degC", "highest": "60 degC"}
DRAWN = {"streams": {"out": small.stream("T-1", "outside", "1 m3/h")}, "pumps": {"P-1": "~", "P-2": "~"},
         "interlocks": {"I-1": {"then": {"P-1": "~", "XV-1": "closed"}}}}


@pytest.mark.parametrize(("fact", "change", "wanted"), [
    (places.liquid_hazards, {}, {"?liquids/water/hazards"}), (places.liquid_hazards, liquid(hazards=["hot"]), {"hot"}),
    (places.liquid_is_harmful, {}, {"?liquids/water/hazards"}), (places.liquid_is_harmful, liquid(hazards=["none"]), {"no"}),
    (places.liquid_is_harmful, liquid(hazards=["harmful to water"]), {"no"}),
    (places.liquid_is_harmful, liquid(hazards=["harmful to water", "acid"]), {"yes"}),
    (places.liquid_is_hot, {}, {"?liquids/water/temperature"}), (places.liquid_is_hot, liquid(hazards=["hot"]), {"yes"}),
    (places.liquid_is_hot, liquid(hazards=["acid"]), {"?liquids/water/temperature"}),
    (places.liquid_is_hot, liquid(temperature=COLD_HOT), {"yes"}), (places.liquid_is_hot, liquid(temperature=EXACT), {"no"}),
    (places.liquid_is_hot, liquid(temperature=EXACT, hazards=["hot"]), {"yes"}),
    (places.liquid_is_frozen, {}, {"?liquids/water/temperature"}),
    (places.liquid_is_frozen, liquid(temperature=COLD_HOT), {"yes"}),
    (places.liquid_is_frozen, liquid(temperature=EXACT), {"no"}),
    (places.leaves_deposits, {}, {"?liquids/water/coating"}),
    (places.leaves_deposits, liquid(coating="no"), {"?liquids/water/solids"}),
    (places.leaves_deposits, liquid(solids=[]), {"?liquids/water/coating"}),
    (places.leaves_deposits, liquid(coating="no", solids=[]), {"no"}), (places.leaves_deposits, liquid(coating="yes"), {"yes"}),
    (places.leaves_deposits, liquid(solids=["rags"]), {"yes"}),
    (places.leaves_deposits, liquid(solids=["settling"], coating="no"), {"yes"}),
    (places.lit, {}, {"?tanks/T-1/surroundings/lit"}), (places.lit, around(lit="yes"), {"yes"}),
    (places.lit, around(lit="no"), {"no"}),
    (places.zone, {}, {"?tanks/T-1/surroundings/zone"}), (places.zone, around(zone="none"), {"none"}),
    (places.zone, around(zone="1"), {"1", "any"}),
    (places.height_over_ground, {}, {"?tanks/T-1/surroundings/height_over_ground"}),
    (places.height_over_ground, around(height_over_ground="0 m"), {"no"}),
    (places.height_over_ground, around(height_over_ground="2 m"), {"yes"}),
    (places.pressure, {}, {"?tanks/T-1/design_pressure"}),
    (places.pressure, {"tanks": {"T-1": {"design_pressure": "0 bar gauge"}}}, {"no"}),
    (places.pressure, {"tanks": {"T-1": {"design_pressure": "1 bar gauge"}}}, {"yes"}),
    (places.shared_overflow, {}, {"no"}), (places.shared_overflow, {"tanks": {"T-1": {"shared_with": ["T-2"]}}}, {"yes"}),
    (places.shared_overflow, {"tanks": {"T-2": {"shared_with": ["T-1"]}}}, {"yes"}),
    (places.overflow_is_safe, {}, set()),
    (places.overflow_is_safe, {"tanks": {"T-1": {"overflow": {"to": "drain"}}}}, {"?tanks/T-1/overflow/safe"}),
    (places.overflow_is_safe, {"tanks": {"T-1": {"overflow": {"to": "drain", "safe": "yes"}}}}, {"yes"}),
    (places.overflow_is_safe, {"tanks": {"T-1": {"overflow": {"to": "floor", "safe": "no"}}}}, {"no"}),
    (places.uncontrolled_inflow, {}, {"?streams"}),
    (places.uncontrolled_inflow, {"streams": {"in": small.stream("outside", "T-1", "1 m3/h")}}, {"yes"}),
    (places.uncontrolled_inflow, {"streams": {"in": small.stream("outside", "T-1", "1 m3/h", through=["XV-1"])}}, {"no"}),
    (places.uncontrolled_inflow, {"streams": {"in": small.stream("outside", "T-1", "1 m3/h", moved_by="P-9")}}, {"no"}),
    (places.uncontrolled_inflow, {"streams": {"in": small.stream("T-2", "T-1", "1 m3/h")}}, {"no"}),
    (places.uncontrolled_inflow, {"streams": {"in": small.stream("T-2", "T-1", "1 m3/h", by_overflow="yes")}}, {"?streams"}),
    (places.vacuum_possible, {}, {"?tanks/T-1/surroundings/gas_blanket"}),  # P-1 draws from it
    (places.vacuum_possible, around(gas_blanket="yes"), {"yes"}), (places.vacuum_possible, around(gas_blanket="no"), {"no"}),
    (places.vacuum_possible, {"tanks": {"T-1": {"design_pressure": "1 bar gauge"}}}, {"yes"}),
    (places.vacuum_possible, {"tanks": {"T-1": {"design_pressure": "0 bar gauge", "surroundings": {"gas_blanket": "no"}}}},
     {"no"}),
    (places.vacuum_possible, laid_over(DRAWN, around(gas_blanket="yes")), {"yes"}),
    (places.vacuum_possible, laid_over(DRAWN | {"streams": {}}, around(gas_blanket="yes")), {"no"}),
    (places.acid_and_oxidiser, {}, {"?liquids/water/hazards"}), (places.acid_and_oxidiser, liquid(hazards=["none"]), {"no"}),
    (places.acid_and_oxidiser, liquid(hazards=["oxidiser"]), {"no"}),
    (places.acid_and_oxidiser, liquid(hazards=["oxidiser"]) | {"tanks": {"T-1": {}, "T-2": {"liquid": "acid"}}}, {"on site"}),
    (places.acid_and_oxidiser, liquid(hazards=["oxidiser"]) | {"tanks": {"T-1": {}, "T-2": {"liquid": "acid",
     "shared_with": ["T-1"]}}},
     {"connected"}),
    (places.acid_and_oxidiser, liquid(hazards=["oxidiser"]) | {
        "tanks": {"T-1": {}, "T-2": {"liquid": "acid"}}, "streams": {"in": small.stream("T-1", "T-2", "1 m3/h")}}, {"connected"}),
    (places.acid_and_oxidiser, liquid(hazards=["acid", "oxidiser"]) | {"tanks": {"T-2": "~"}}, {"no"}),  # it is no other
])
def test_facts_of_places(fact: Any, change: dict[str, Any], wanted: set[str]) -> None:
    assert told(of(fact, "tank", "T-1", change)) == wanted


@pytest.mark.parametrize("key", ["confined_space", "wet_well", "below_ground", "open_water", "outdoors", "gas_blanket",
 "lone_work",
                                 "radiation_source"])
def test_what_is_recorded_of_a_place(key: str) -> None:
    fact = getattr(places, key)
    assert told(of(fact, "tank", "T-1")) == {f"?tanks/T-1/surroundings/{key}"}
    assert [told(of(fact, "tank", "T-1", around(**{key: word}))) for word in ("yes", "no")] == [{"yes"}, {"no"}]


NOZZLE = {"tanks": {"T-1": {"nozzles": {"N1": {"on": "roof"}}}}, "instruments": {"LX-1": {"nozzle": "N1"}}}


@pytest.mark.parametrize(("fact", "kind", "tag", "change", "wanted"), [
    (devices.technology, "switch", "H", {}, {"guide tube float"}), (devices.technology, "tank", "T-1", {}, set()),
    (devices.nozzle_on, "switch", "H", {}, {"none"}), (devices.nozzle_on, "switch", "H", NOZZLE, {"roof"}),
    (devices.nozzle_on, "switch", "H", {"instruments": {"LX-1": {"nozzle": "N1"}}}, {"?tanks/T-1/nozzles/N1"}),
    (devices.nozzle_on, "tank", "T-1", {}, set()),
    (devices.isolation, "switch", "H", {}, set()), (devices.isolation, "tank", "T-1", {}, set()),
    (devices.isolation, "switch", "H", NOZZLE, {"?tanks/T-1/nozzles/N1/isolated_by"}),
    (devices.isolation, "switch", "H", laid_over(NOZZLE, {"tanks": {"T-1": {"nozzles": {"N1": {"isolated_by": "none"}}}}}),
     {"no"}),
    (devices.isolation, "switch", "H", laid_over(NOZZLE, {"tanks": {"T-1": {"nozzles": {"N1": {"isolated_by": "V-1"}}}}}),
     {"yes"}),
    (devices.several_points, "switch", "H", {}, {"yes"}), (devices.several_points, "switch", "H2", {}, {"no"}),
    (devices.several_points, "tank", "T-1", {}, set()),
    (devices.shared_guide, "switch", "H", {}, {"no"}), (devices.shared_guide, "tank", "T-1", {}, set()),
    (devices.shared_guide, "switch", "H", {"instruments": {"LX-1": {"stilling_well": "W"}, "LX-2": {"stilling_well": "W"}}},
     {"yes"}),
    (devices.shared_guide, "switch", "H", {"instruments": {"LX-1": {"stilling_well": "W"}, "LX-2": {"stilling_well": "V"}}},
     {"no"}),
    (devices.known_defect, "switch", "H", {}, {"no"}), (devices.known_defect, "tank", "T-1", {}, set()),
    (devices.test_means, "switch", "H", {}, {"?instruments/LX-1/test_means"}), (devices.test_means, "tank", "T-1", {}, set()),
    (devices.holds_last_state, "switch", "H", {}, set()), (devices.holds_last_state, "tank", "T-1", {}, set()),
    (devices.tested_only_dry, "switch", "H", {}, set()), (devices.tested_only_dry, "tank", "T-1", {}, set()),
    (devices.similar_tag, "interlock", "I-1", {}, set()), (devices.similar_tag, "switch", "H", {}, {"no"}),
    (devices.fails_safe, "switch", "H", {}, set()),
])
def test_facts_of_devices(fact: Any, kind: SubjectKind, tag: str, change: dict[str, Any], wanted: set[str]) -> None:
    assert told(of(fact, kind, tag, change)) == wanted


@pytest.mark.parametrize(("methods", "dry"), [(["wetted"], {"no"}), (["simulated"], {"yes"}), (["simulated", "wetted"], {"no"})])
def test_a_point_that_is_never_tried_wet(methods: list[str], dry: set[str]) -> None:
    tests = {f"PT-{number}": {"covers": ["H"], "method": method, "steps": "x", "passes": "x"} for number,
     method in enumerate(methods)}
    assert told(of(devices.tested_only_dry, "switch", "H", {"tests": tests})) == dry
    assert told(of(devices.test_methods, "switch", "H", {"tests": tests})) == set(methods)


def test_two_tags_that_look_alike() -> None:
    assert told(of(devices.similar_tag, "switch", "H", look_alikes={"H": ("H2",)})) == {"yes"}


@pytest.mark.parametrize(("issued", "acts", "role", "wanted"), [
    ("3 m", "rising", "trip", {"no"}), ("3.484375 m", "rising", "trip", {"no"}), ("3.49 m", "rising", "trip", {"yes"}),
    ("3.6 m", "rising", "trip", {"yes"}), ("3.6 m", "falling", "trip", set()), ("3.6 m", "rising", "spill detection", set())])
def test_a_point_that_acts_only_when_liquid_leaves(issued: str, acts: str, role: str, wanted: set[str]) -> None:
    """The overflow lies at 3.5 m; 10 mm of its own and 5 mm shared make 15 mm of error, so from 3.485 m on it may be too late."""
    switch = {"switches": {"H": small.switch(acts, issued=issued, role=role)}}
    known = small.worked(**laid_over(BASE, switch))
    found = of(devices.at_or_above_overflow, "switch", "H", switch, tanks=known.tanks, setpoints=known.setpoints)
    assert told(found) == wanted


def test_whether_a_contact_fails_safe_is_taken_from_its_result() -> None:
    result = small.worked(**BASE).contacts
    assert isinstance(result["H"], ContactResult)
    for value, wanted in ((True, {"yes"}), (False, {"no"}), (None, set())):
        contacts = {"H": replace(result["H"], is_fail_safe=value)}
        assert told(of(devices.fails_safe, "switch", "H", contacts=contacts)) == wanted
