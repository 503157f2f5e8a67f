"""Lowest levels of pumps against published values."""

import math
from typing import Any

import pytest

from generator.model.record import Absence, Record
from generator.model.results import PumpResult
from tests.compute import small

FOOT = 0.3048


def run(pump: dict[str, Any], **changes: Any) -> PumpResult:
    nouns: dict[str, Any] = {
        "plant": {"defaults": {"accuracy": {"own": "0 mm"}}},
        "pumps": {"P-1": pump},
        "streams": {"out": small.stream("T-1", "outside", "100 L/s", moved_by="P-1")},
        "switches": {"LSL-1": small.switch("falling", issued="2 m", role="control"),
                     "LSH-1": small.switch("rising", issued="3 m", role="control")},
        "controls": {"LC-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["LSH-1"],
                              "stops": "LSL-1"}},
    }
    return small.worked(**nouns | changes).pumps["P-1"]


def suction(kind: str = "bell", height: str = "0.2 m", **keys: Any) -> dict[str, Any]:
    return {"tank": "T-1", "kind": kind, "height": height, **keys}


def value(outcome: object) -> float:
    assert isinstance(outcome, Record), outcome
    return outcome.value


@pytest.mark.parametrize(("diameter", "flow", "depth"), [
    # ANSI/HI 9.8, submergence equation (constant from memory), worked anew; last row US form S = D + 0.574 Q / D^1.5
    ("0.30 m", "0.10 m3/s", 0.8691), ("0.20 m", "0.05 m3/s", 0.7228), ("0.15 m", "0.02 m3/s", 0.4719),
    ("12 in", "1600 USgal/min", 34.09 * 0.0254),
])
def test_submergence_and_lowest_level(diameter: str, flow: str, depth: float) -> None:
    made = run(small.pump(flow, suction=suction(diameter=diameter)))
    assert value(made.submergence) == pytest.approx(depth, rel=1e-3, abs=1e-4)
    assert value(made.lowest_level) == pytest.approx(0.2 + value(made.submergence))


def test_time_from_a_failed_stop_to_air() -> None:
    made = run(small.pump("0.10 m3/s", suction=suction(diameter="0.30 m")))
    assert value(made.air_time) == pytest.approx((2 - 0.2 - 0.8691) * math.pi / 0.1, rel=1e-4)
    idle = run(small.pump("0.10 m3/s", suction=suction(diameter="0.30 m")), controls={})
    assert isinstance(idle.air_time, Absence)


def test_a_submersible_without_a_diameter_is_judged_by_its_motor() -> None:
    made = run(small.pump(suction=suction("submersible", motor_covered_to="0.9 m")))
    assert isinstance(made.submergence, Absence)
    assert value(made.lowest_level) == pytest.approx(0.9)
    bare = run(small.pump(suction=suction("submersible")))
    assert isinstance(bare.lowest_level, Absence)
    assert bare.lowest_level.missing == ("pumps/P-1/suction/diameter",)


def test_suction_head_turned_round_gives_the_published_example() -> None:
    # water-works handbook: 34 ft of air, 20 ft of lift, losses 0.4 + 2 ft, vapour 0.6 ft leave 11 ft; so a pump that
    # requires 11 ft has its lowest level 20 ft below its inlet
    head = 1000 * 9.80665 * FOOT
    made = run(
        small.pump(suction=suction(height="10 m", diameter="200 mm"), npsh_required="11 ft", suction_loss="2.4 ft"),
        plant={"atmosphere": f"{34 * head} Pa abs", "defaults": {"accuracy": {"own": "0 mm"}}},
        liquids={"water": {"name": "Water", "vapour_pressure": f"{0.6 * head} Pa abs",
                           "density": {"lowest": "1000 kg/m3", "highest": "1000 kg/m3"}}})
    assert value(made.suction_head_level) == pytest.approx(10 - 20 * FOOT)


def test_a_required_head_without_its_data_names_the_fields() -> None:
    made = run(small.pump(npsh_required="3 m"))
    assert isinstance(made.suction_head_level, Absence) and isinstance(made.lowest_level, Absence)
    assert set(made.lowest_level.missing) == {
        "liquids/water/vapour_pressure", "liquids/water/density", "plant/atmosphere", "pumps/P-1/suction_loss"}
