"""Whatever is left out or is nothing gives absences, never an exception: each key of a rich plant in turn."""

import copy
from collections.abc import Iterator
from typing import Any

import pytest
from latex2mathml.converter import convert
from pydantic import ValidationError

from generator import compute
from generator.model.plant import Definitions
from generator.model.quantity import split
from generator.model.record import Absence, Record
from tests.compute import small

RICH: dict[str, Any] = {
    "plant": {"name": "Rich", "document": {"number": "1", "status": "draft", "as_of": "2026-01-01"},
              "rules_in_force": {"gap": {}}, "atmosphere": "1 bar abs",
              "defaults": {"accuracy": {"own": "10 mm", "common": "5 mm"}, "waves": {"peak_to_peak": "20 mm"},
                           "setpoint_step": "10 mm", "scan_time": "250 ms", "relay_time": "100 ms",
                           "operator_time": dict.fromkeys(("notice", "diagnose", "go", "act", "effect"), "1 min")}},
    "areas": {"A": {"name": "Area"}},
    "liquids": {"water": {"name": "Water", "density": {"lowest": "990 kg/m3", "highest": "1000 kg/m3"},
                          "vapour_pressure": "2 kPa abs", "like_water": "yes",
                          "temperature": {"lowest": "5 degC", "highest": "17 degC"}}},
    "tanks": {"T-1": small.tank(
        {"kind": "vertical cylinder", "diameter": "2 m", "height": "4 m", "bottom": "torispherical", "dish_radius": "1",
         "knuckle_radius": "0.1", "top": "conical", "top_depth": "0.3 m"},
        levels={"overflow": "3.5 m", "rim": "4 m", "normal_low": "1 m", "normal_high": "2 m"},
        marks={"coil": {"height": "0.5 m", "what": "coil"}, "top": {"height": "3 m", "what": "same name as a level"}},
        nozzles={"N1": {"height": "1.5 m"}}, overflow={"to": "drain", "head_at_full_inflow": "50 mm",
                                                             "weir_width": "1 m"},
        displaces={"coil": {"volume": "50 L", "lowest": "0.1 m", "highest": "0.5 m", "what": "coil"}},
        wall_expansion="0.000012")},
    "streams": {"in": small.stream("outside", "T-1", "36 m3/h", flow={"normal": "18 m3/h", "lowest": "1 m3/h"},
                                   through=["V-1"], drains_after_stop="0.1 m3"),
                "out": small.stream("T-1", "outside", "18 m3/h", flow={"normal": "9 m3/h", "lowest": "1 m3/h"},
                                    moved_by="P-1")},
    "cases": {"run": {"name": "run", "streams": ["in", "out"], "normal": "yes"},
              "full": {"name": "f", "streams": ["in"]}},
    "instruments": {
        "LX-1": small.body(technology="side lever float", nozzle="N1", differential="20 mm", response_time="1 s",
                           geometry={"arm": "0.2 m", "angle_up": "20 deg", "angle_down": "20 deg"}),
        "LT-1": small.body(technology="hydrostatic", signal="4-20 mA", range={"lower": "0 m", "upper": "4 m"},
                           response_time="1 s", calibration_density="995 kg/m3",
                           taps={"at": "0.1 m", "transmitter": "0 m", "leg": "filled", "leg_top": "4 m",
                                 "leg_density": "1030 kg/m3"})},
    "switches": {
        "LSHH": small.switch("rising", {"before": "overflow", "time": "5 min"}, {"gap_of": "gap", "below": "overflow"},
                             {"room_for": "thermal growth", "below": "overflow"}, issued="2.5 m", role="trip",
                             on_delay="2 s"),
        "LSH": small.switch("rising", {"before": "LSHH", "time": "2 min"}, {"cycling": "P-1", "above": "LSL"}),
        "LSL": small.switch("falling", {"submerges": "P-1", "by": "50 mm"}, {"covers": "coil", "by": "50 mm"},
                            {"reserve": "1 m3", "above": "coil"}, {"lasts": "5 min", "of": "out", "above": "N1"}),
        "LSHX": small.switch("rising", {"at": "50 % of range"}) | {"in": "LT-1"},
        "LSHY": small.switch("rising", {"at": "50 % of volume"}) | {"in": "LT-1"}},
    "pumps": {"P-1": small.pump(stop_time="5 s", start_time="2 s", npsh_required="3 m", npsh_margin="1 m", suction_loss="0.5 m",
                                motor={"power": "5 kW", "starts": "10 /h", "voltage": "400 V", "phases": "3",
                                       "efficiency": "0.86", "power_factor": "0.84", "start_current": "60 A",
                                       "least_off_time": "60 s"},
                                supply="S-1", restart={"by_itself": "yes", "after": "10 s"})},
    "supplies": {"S-1": {"kind": "mains", "carries": "100 A"}},
    "pump_groups": {"G-1": {"name": "group", "pumps": ["P-1"], "arrangement": "duty/standby", "alternation": "yes",
                            "stagger": "5 s"}},
    "panels": {"LP": {"area": "A", "where": "here"}},
    "relays": {"K-1": {"panel": "LP", "kind": "contactor", "category": "AC-3", "rated_current": "12 A",
                       "drives": ["P-1"]}},
    "valves": {"V-1": {"area": "A", "service": "inlet", "kind": "on-off", "closing_time": "8 s"}},
    "controls": {"C-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["LSH"],
                         "stops": "LSL"}},
    "interlocks": {"I-1": {"area": "A", "service": "trip", "kind": "trip", "when": "LSHH", "then": {"V-1": "closed"},
                           "on_delay": "1 s"}},
    "alarms": {"LAH": {"from": "LSH", "text": "HIGH", "priority": "high", "means": "high", "first": "look",
                       "before": "I-1"}},
}


def paths(block: Any, so_far: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    members = block.items() if isinstance(block, dict) else enumerate(block) if isinstance(block, list) else ()
    for key, value in members:
        yield (*so_far, key)
        yield from paths(value, (*so_far, key))


LEAVES = [path for path in paths(RICH) if len(path) > 2]


def changed(path: tuple[Any, ...], to_nothing: bool) -> dict[str, Any] | None:
    """The rich plant without one key, or with its quantity made nothing; None where it is no quantity."""
    plant = copy.deepcopy(RICH)
    *way, last = path
    block: Any = plant
    for key in way:
        block = block[key]
    if not to_nothing:
        del block[last]
        return plant
    try:
        unit = split(block[last])[1]
    except (ValueError, AttributeError):
        return None
    block[last] = f"0 {unit}".strip()
    return plant


def test_the_rich_plant_leaves_little_open() -> None:
    results = compute.results(Definitions.model_validate(RICH), small.KNOWLEDGE)
    assert {tag for tag, found in results.setpoints.items() if found.stands is None} == set()
    assert {key for key, one in results.records.items() if isinstance(one, Absence)} == {
        "#LSHX/differential", "#LSHY/differential", "#LSHH/headroom/smallest-outflow", "#LSL/headroom/smallest-inflow"}
    keys = [level.key for level in results.tanks["T-1"].levels]
    assert len(keys) == len(set(keys)) == 14


def test_every_working_can_be_set_and_followed() -> None:
    results = compute.results(Definitions.model_validate(RICH), small.KNOWLEDGE)
    for record in results.records.values():
        if isinstance(record, Record):
            assert convert(record.equation).startswith("<math")
            assert "Error" not in convert(record.equation)
            assert [one.source for one in record.inputs if one.is_record and one.source not in results.records] == []


@pytest.mark.parametrize("to_nothing", [False, True], ids=["left out", "nothing"])
def test_nothing_raises(to_nothing: bool) -> None:
    tried = 0
    for path in LEAVES:
        plant = changed(path, to_nothing)
        if plant is None:
            continue
        try:
            definitions = Definitions.model_validate(plant)
        except ValidationError:
            continue  # the reading room refuses it
        try:
            results = compute.results(definitions, small.KNOWLEDGE)
        except Exception as error:
            raise AssertionError(path) from error
        assert all(outcome.why for outcome in results.records.values() if isinstance(outcome, Absence))
        tried += 1
    assert tried > 40
