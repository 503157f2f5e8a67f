"""Lowest levels of pumps against published values."""

import math
from typing import Any

import pytest

from generator.compute.suction_head import head_available
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


@pytest.mark.parametrize(("mark", "lowest"), [("1.5 m", 1.5), ("0.5 m", 0.2 + 0.8691)])
def test_the_higher_of_the_draw_in_mark_and_the_worked_out_level_counts(mark: str, lowest: float) -> None:
    """For the lowest level, the time to air and where a hazard at the mark begins."""
    tank = small.tank(levels={"overflow": "3.5 m", "normal_low": "2.2 m", "normal_high": "2.8 m"},
                      marks={"air": {"height": mark, "what": "where it draws air"}})
    nouns: dict[str, Any] = {
        "tanks": {"T-1": tank},
        "pumps": {"P-1": small.pump("0.10 m3/s", suction=suction(diameter="0.30 m", draws_air_below="air"))},
        "streams": {"out": small.stream("T-1", "outside", "0.10 m3/s", moved_by="P-1")},
        "switches": {"LSL-1": small.switch("falling", issued="2 m"), "LSLL-1": small.switch("falling", issued="1.8 m")},
        "hazards": {"HZ-1": {"what": "air", "harms": "equipment", "begins_at": "T-1 air", "safe_state": "pump stopped"}},
        "interlocks": {"I-1": {"area": "A", "service": "x", "kind": "trip", "hazard": "HZ-1", "when": "LSLL-1",
                               "then": {"P-1": "stopped"}}},
        "alarms": {"LAL-1": {"from": "LSL-1", "text": "LOW", "priority": "high", "means": "x", "first": "x"}}}
    results = small.worked(**nouns)
    assert value(results.pumps["P-1"].lowest_level) == pytest.approx(lowest, abs=1e-4)
    (budget,) = results.trips["I-1"]
    assert value(budget.available) == pytest.approx((1.8 - 0.015 - lowest) * math.pi / 0.1, rel=1e-3)
    assert value(results.alarms["LAL-1"].to_limit) == pytest.approx((2.0 - 0.015 - lowest) * math.pi / 0.1, rel=1e-3)
    room = next(one.outcome for one in results.rooms["T-1"] if one.name == "Until suction is lost")
    assert value(room) == pytest.approx((2.2 - lowest) * math.pi / 0.1, rel=1e-3)


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


# ---- level at rest, suction head over the range of temperature, one pump out -----------------------------------------


def at_rest(stop_times: tuple[str | None, ...], starts: int = 1, **changes: Any) -> dict[str, PumpResult]:
    tags = [f"P-{number}" for number, _ in enumerate(stop_times, 1)]
    nouns: dict[str, Any] = {
        "plant": {"defaults": {"accuracy": {"own": "100 mm"}}},
        "pumps": {tag: small.pump("0.1 m3/s", **({"stop_time": time} if time else {}))
                  for tag, time in zip(tags, stop_times, strict=True)},
        "pump_groups": {"G": {"name": "g", "pumps": tags, "arrangement": "duty/assist"}},
        "streams": {"out": small.stream("T-1", "outside", "100 L/s", moved_by="G")},
        "switches": {"LSL": small.switch("falling", issued="2 m", role="control"),
                     "LSH": small.switch("rising", issued="3 m", role="control"),
                     "LSHH": small.switch("rising", issued="3.2 m", role="control")},
        "controls": {"LC": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G",
                            "starts": ["LSH", "LSHH"][:starts], "stops": "LSL"}}}
    return dict(small.worked(**nouns | changes).pumps)


def test_a_pump_comes_to_rest_below_the_lower_edge_of_its_stop() -> None:
    # 0.1 m3/s for 10 s are 1 m3, on pi m2 a fall of 318 mm from 1.9 m: by hand
    made = at_rest(("10 s",))["P-1"]
    assert value(made.run_down_level) == pytest.approx(1.9 - 1 / math.pi, abs=1e-6)


def test_what_passes_before_the_stop_command_is_drawn_too() -> None:
    # 2 s of the device and 3 s of delay at 0.1 m3/s, besides the pump's own 10 s: 1.5 m3
    late = {"LSL": small.switch("falling", issued="2 m", role="control", on_delay="3 s"),
            "LSH": small.switch("rising", issued="3 m", role="control")}
    bodies = {"LX-1": small.body(response_time="2 s")}
    made = at_rest(("10 s",), switches=late, instruments=bodies)["P-1"].run_down_level
    assert value(made) == pytest.approx(1.9 - 1.5 / math.pi, abs=1e-6)
    trip = {"I": {"area": "A", "service": "s", "kind": "trip", "when": "LSL", "on_delay": "4 s", "then": {"P-1": "stopped"},
                  "because": "dry run", "by": "relays", "live_in": ["auto"]}}
    modes = {"auto": {"name": "AUTO", "means": "by itself"}}
    held = at_rest(("10 s",), switches=late, instruments=bodies, interlocks=trip, modes=modes, controls={})["P-1"]
    assert value(held.run_down_level) == pytest.approx(1.9 - 1.9 / math.pi, abs=1e-6)


def test_every_pump_that_can_run_adds_to_the_run_down() -> None:
    assert value(at_rest(("10 s", "5 s"))["P-1"].run_down_level) == pytest.approx(1.9 - 1 / math.pi, abs=1e-6)
    # two pumps of 0.1 m3/s until the slower stands after 10 s: 2 m3, as the need of submergence counts them
    assert value(at_rest(("10 s", "5 s"), 2)["P-1"].run_down_level) == pytest.approx(1.9 - 2 / math.pi, abs=1e-6)
    # of three pumps two starts run no more than two
    assert value(at_rest(("2 s", "10 s", "5 s"), 2)["P-1"].run_down_level) == pytest.approx(1.9 - 2 / math.pi, abs=1e-6)


@pytest.mark.parametrize(("by", "seconds"), [
    ("electrode relays in LP-1", 6.05), ("relays", 6.05), ("level controller", 6.55), (None, 6.55), ("device", 6.0)])
def test_one_stop_takes_one_time(by: str | None, seconds: float) -> None:
    """By hand: 2 s of the float, two scans of 250 ms unless relays carry the logic, a relay of 50 ms, 4 s of the pump.

    The need of submergence and the level at which the pump has come to rest see the same fall.
    """
    control = {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["LSH"], "stops": "LSL"}
    results = small.worked(
        plant={"defaults": {"accuracy": {"own": "100 mm"}, "scan_time": "250 ms", "relay_time": "50 ms"}},
        instruments={"LX-1": small.body(response_time="2 s")},
        pumps={"P-1": small.pump("0.1 m3/s", stop_time="4 s")},
        streams={"out": small.stream("T-1", "outside", "100 L/s", moved_by="P-1")},
        switches={"LSL": small.switch("falling", {"submerges": "P-1"}, issued="3 m", role="control"),
                  "LSH": small.switch("rising", issued="3.3 m", role="control")},
        controls={"LC": control | ({"by": by} if by else {})})
    fall = 0.1 * seconds / math.pi
    assert value(results.pumps["P-1"].run_down_level) == pytest.approx(2.9 - fall, abs=1e-9)
    depth = 0.2 * (1 + 2.3 * (0.4 / (math.pi * 0.04)) / math.sqrt(9.80665 * 0.2))  # S = D (1 + 2.3 v / sqrt(g D))
    need = results.setpoints["LSL"].needs[0].limit
    assert isinstance(need, Record) and need.value == pytest.approx(0.2 + depth + fall + 0.1, abs=1e-9)


def test_a_run_down_without_its_data_names_the_fields() -> None:
    missing = at_rest((None, "5 s"), 2)["P-2"].run_down_level
    assert isinstance(missing, Absence) and missing.missing == ("pumps/P-1/stop_time",)
    idle = at_rest(("5 s",), controls={})["P-1"].run_down_level
    assert isinstance(idle, Absence) and idle.missing == ("controls",)
    shapeless = at_rest(("5 s",), tanks={"T-1": small.tank(
        {"kind": "vertical cylinder", "diameter": "2 m", "height": "4 m", "bottom": "conical"})})["P-1"].run_down_level
    assert isinstance(shapeless, Absence) and shapeless.missing == ("tanks/T-1/shape",)
    unsettled = at_rest(("5 s",), switches={"LSL": small.switch("falling", role="control"),
                                            "LSH": small.switch("rising", issued="3 m", role="control")})["P-1"]
    assert isinstance(unsettled.run_down_level, Absence) and "switches/LSL/height" in unsettled.run_down_level.missing


def hot(liquid: dict[str, Any], **keys: Any) -> PumpResult:
    pump = small.pump("0.1 m3/s", stop_time="0 s", npsh_required="3 m", suction_loss="0.4 m",
                      suction=suction(height="0.5 m", diameter="300 mm"), **keys)
    return run(pump, liquids={"water": {"name": "Water"} | liquid},
               plant={"atmosphere": "97 kPa abs", "defaults": {"accuracy": {"own": "0 mm"}}})


SPAN = {"temperature": {"lowest": "20 degC", "highest": "80 degC"}}


@pytest.mark.parametrize("liquid", [{"chemistry": "clean water"}, {"chemistry": "pure water"}, {"like_water": "yes"},
                                    {"chemistry": "sewage", "like_water": "yes"}])
def test_suction_head_of_water_over_its_temperatures(liquid: dict[str, str]) -> None:
    # steam tables: 80 degC 47.414 kPa and 971.79 kg/m3, 20 degC 2.339 kPa and 998.21 kg/m3; level 2 m, by hand
    made = hot(SPAN | liquid, npsh_margin="0.5 m")
    hottest = (97000 - 47414) / (971.79 * 9.80665) + 2.0 - 0.5 - 0.4
    coldest = (97000 - 2339.3) / (998.21 * 9.80665) + 2.0 - 0.5 - 0.4
    assert value(made.head_available) == pytest.approx(hottest, abs=1e-3)
    assert value(made.head_available_cold) == pytest.approx(coldest, abs=1e-3)
    assert value(made.head_spare) == pytest.approx(hottest - 3.5, abs=1e-3)
    # at the level for the suction head nothing is left over
    assert value(made.suction_head_level) == pytest.approx(2.0 - (hottest - 3.5), abs=1e-3)


def test_a_given_vapour_pressure_wins_and_of_two_densities_the_one_with_the_smaller_head() -> None:
    """Steam tables: 971.79 kg/m3 at 80 degC, 998.21 kg/m3 at 20 degC. Head by hand."""
    made = hot(SPAN | {"like_water": "yes", "vapour_pressure": "60 kPa abs",
                       "density": {"lowest": "950 kg/m3", "highest": "1000 kg/m3"}})
    assert value(made.head_available) == pytest.approx(37000 / (971.79 * 9.80665) + 1.1, abs=1e-4)
    assert isinstance(made.head_available, Record) and "950 kg/m3 are stated" in made.head_available.note
    assert value(made.head_available_cold) == pytest.approx((97000 - 2339.3) / (1000 * 9.80665) + 1.1, abs=1e-3)
    heavy = hot(SPAN | {"like_water": "yes", "vapour_pressure": "60 kPa abs",
                        "density": {"lowest": "980 kg/m3", "highest": "1000 kg/m3"}})
    assert value(heavy.head_available) == pytest.approx(37000 / (980 * 9.80665) + 1.1, abs=1e-6)


def test_the_density_that_leaves_the_smallest_head_counts() -> None:
    """Caustic soda of 1470 to 1525 kg/m3 is heavy by its strength, not by its cold. Hand sums, level 2 m, inlet 0.5 m."""
    span = {"density": {"lowest": "1470 kg/m3", "highest": "1525 kg/m3"}}
    made = hot(SPAN | span | {"vapour_pressure": "1.2 kPa abs"})
    assert value(made.head_available) == pytest.approx(95800 / (1525 * 9.80665) + 2.0 - 0.5 - 0.4, abs=1e-6)
    assert value(made.suction_head_level) == pytest.approx(0.5 + 3 + 0.4 - 95800 / (1525 * 9.80665), abs=1e-6)
    for record in (made.head_available, made.suction_head_level):
        assert isinstance(record, Record) and "1470 kg/m3 to 1525 kg/m3" in record.note
    # boiling at more than the air's pressure takes head away, and the lightest liquid takes most
    boils = hot(SPAN | span | {"vapour_pressure": "100 kPa abs"})
    assert value(boils.head_available) == pytest.approx(-3000 / (1470 * 9.80665) + 1.1, abs=1e-6)


@pytest.mark.parametrize(("liquid", "missing"), [
    (SPAN | {"chemistry": "sewage"}, "liquids/water/vapour_pressure"), (SPAN, "liquids/water/vapour_pressure"),
    (SPAN | {"chemistry": "clean water", "like_water": "no"}, "liquids/water/vapour_pressure"),
    ({"like_water": "yes"}, "liquids/water/temperature"),
    ({"like_water": "yes", "temperature": {"lowest": "-5 degC", "highest": "250 degC"}}, "liquids/water/vapour_pressure")])
def test_a_liquid_that_is_not_water_must_give_its_own(liquid: dict[str, Any], missing: str) -> None:
    made = hot(liquid)
    assert isinstance(made.head_available, Absence) and missing in made.head_available.missing
    assert isinstance(made.head_spare, Absence)
    assert isinstance(made.head_available_cold, Absence)


def test_no_required_head_no_question() -> None:
    made = run(small.pump("0.10 m3/s", suction=suction(diameter="0.30 m")))
    assert made.head_available is None and made.head_spare is None and made.suction_head_level is None
    assert value(made.inlet_velocity) == pytest.approx(1.4147, abs=5e-5)  # 0.1 m3/s through 0.3 m, by hand


@pytest.mark.parametrize(("flows", "inflow", "left", "spare"), [
    (("60 m3/h", "60 m3/h", "60 m3/h"), "114 m3/h", 120, 6), (("90 m3/h", "60 m3/h"), "75 m3/h", 60, -15),
    (("60 m3/h",), "10 m3/h", 0, -10)])
def test_one_pump_out(flows: tuple[str, ...], inflow: str, left: float, spare: float) -> None:
    tags = [f"P-{number}" for number, _ in enumerate(flows, 1)]
    results = small.worked(
        pumps={tag: small.pump(flow) for tag, flow in zip(tags, flows, strict=True)},
        pump_groups={"G": {"name": "g", "pumps": tags, "arrangement": "duty/assist"}},
        streams={"in": small.stream("outside", "T-1", inflow), "own": small.stream("T-1", "T-1", "500 m3/h", moved_by="G"),
                 "spill": small.stream("outside", "T-1", "900 m3/h", by_overflow="yes")})
    made = results.groups["G"]
    assert (value(made.one_out) * 3600, value(made.spare) * 3600) == (pytest.approx(left), pytest.approx(spare))
    assert value(made.capacity) * 3600 == pytest.approx(sum(float(flow.split()[0]) for flow in flows))


def test_inflows_that_exclude_one_another_do_not_add_up_against_a_group() -> None:
    nouns: dict[str, Any] = {
        "pumps": {"P-1": small.pump(), "P-2": small.pump()},
        "pump_groups": {"G": {"name": "g", "pumps": ["P-1", "P-2"], "arrangement": "duty/assist"}},
        "streams": {"in": small.stream("outside", "T-1", "20 m3/h"), "wash": small.stream("outside", "T-1", "30 m3/h")}}
    assert value(small.worked(**nouns).groups["G"].largest_inflow) * 3600 == pytest.approx(50)
    apart = small.worked(**nouns, never_together=[{"streams": ["in", "wash"], "because": "one valve"}])
    assert value(apart.groups["G"].largest_inflow) * 3600 == pytest.approx(30)
    assert small.worked(**nouns | {"streams": {}}).groups == {}


def protected(links: dict[str, Any] | None = None, **locks: dict[str, Any]) -> PumpResult:
    """A pump that no control moves, with interlocks that stop it, by way of a link where one is given."""
    switches = {tag: small.switch("falling", issued=height, role="trip") for tag, height in (("LSA", "1 m"), ("LSB", "0.8 m"))}
    switches["LSC"] = small.switch("rising", issued="0.6 m", role="trip")
    whole = {"area": "A", "service": "s", "kind": "trip", "then": {"P-1": "stopped"}}
    made = {name: whole | lock for name, lock in locks.items()}
    panels = {tag: {"area": "A", "where": "x"} for tag in ("L", "M")}
    return at_rest(("10 s",), controls={}, switches=switches, interlocks=made, panels=panels, links=links or {})["P-1"]


FALL = 1 / math.pi + 0.1  # a cubic metre drawn on pi m2, and the error of the device


def test_without_a_control_the_trips_stop_a_pump() -> None:
    assert value(protected(I={"when": "LSA"}).run_down_level) == pytest.approx(1 - FALL, abs=1e-6)
    lower = protected(I={"when": "LSA"}, J={"when": "LSB"})
    assert value(lower.run_down_level) == pytest.approx(0.8 - FALL, abs=1e-6)


def test_the_run_down_counts_the_link_on_both_ways() -> None:
    """0.25 s each way at 360 m3/h (a tenth of a cubic metre a second) over pi m2: 50 L more, 15.9 mm."""
    link = {"area": "A", "service": "x", "between": ["L", "M"], "carries": ["LSA", "P-1"], "carries_within": "0.25 s"}
    plain = protected(I={"when": "LSA"}).run_down_level
    across = protected(links={"NL": link}, I={"when": "LSA"}).run_down_level
    assert value(plain) - value(across) == pytest.approx(0.5 * 0.1 / math.pi, abs=1e-6)
    assert isinstance(across, Record) and [one.symbol for one in across.inputs[-3:]] == ["t_{in1}", "t_{out1}", "t_s"]


@pytest.mark.parametrize("lock", [
    {"kind": "permissive", "when": "LSB"}, {"when": {"not": "LSB"}}, {"when": "LSC"}], ids=["permissive", "negated", "rising"])
def test_what_does_not_stop_a_pump_on_a_falling_level_does_not_count(lock: dict[str, Any]) -> None:
    assert value(protected(I={"when": "LSA"}, J=lock).run_down_level) == pytest.approx(1 - FALL, abs=1e-6)
    alone = protected(J=lock).run_down_level
    assert isinstance(alone, Absence) and alone.missing == ("controls",)


def test_of_two_controls_the_lower_stop_counts_with_its_own_pumps() -> None:
    switches = {tag: small.switch("falling" if tag.startswith("LSL") else "rising", issued=height, role="control")
                for tag, height in (("LSL", "2 m"), ("LSL2", "1.5 m"), ("LSH", "3 m"), ("LSHH", "3.2 m"))}
    control = {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G"}
    controls = {"A": control | {"starts": ["LSH", "LSHH"], "stops": "LSL"}, "B": control | {"starts": ["LSH"], "stops": "LSL2"}}
    made = at_rest(("10 s", "5 s"), switches=switches, controls=controls)["P-1"].run_down_level
    assert value(made) == pytest.approx(1.4 - 1 / math.pi, abs=1e-6)
    assert isinstance(made, Record)
    assert [one.symbol for one in made.inputs] == ["h_{stop}", "V", "Q", "t_s"]
    elsewhere = small.switch("falling", issued="0.9 m", role="control") | {"in": "LX-2"}
    other = at_rest(("10 s",), switches=switches | {"LSX": elsewhere}, controls={"A": controls["B"] | {"stops": "LSX"}},
                    instruments={"LX-1": small.body(), "LX-2": small.body("T-2")},
                    tanks={"T-1": small.tank(), "T-2": small.tank()})["P-1"].run_down_level
    assert isinstance(other, Absence)  # the point stands in another tank


def test_a_pump_that_draws_from_outside_has_no_inlet_of_ours_and_can_be_tripped() -> None:
    """A level of the plant says nothing of an inlet in a road tanker: nothing is worked out, and nothing is missing."""
    road = small.pump("45 m3/h", suction={"tank": "outside"}, npsh_required="3 m", stop_time="2 s")
    nouns: dict[str, Any] = {
        "pumps": {"P-1": road}, "streams": {"in": small.stream("outside", "T-1", "45 m3/h", moved_by="P-1")},
        "pump_groups": {"GP": {"name": "g", "pumps": ["P-1"], "arrangement": "duty/duty"}},
        "switches": {"LSHH": small.switch("rising", issued="3 m", role="trip")},
        "interlocks": {"I-1": {"area": "A", "service": "s", "kind": "releasing interlock", "when": "LSHH",
                               "then": {"P-1": "stopped"}, "live_in": ["auto"], "by": "relays", "bad_signal": "trips"}},
        "modes": {"auto": {"name": "AUTO", "means": "by itself"}},
    }
    results = small.worked(**nouns)
    made = results.pumps["P-1"]
    for one in (made.submergence, made.lowest_level, made.air_time, made.run_down_level, made.inlet_velocity):
        assert isinstance(one, Absence)
        assert "draws from outside" in one.why
        assert one.missing == ()
    assert made.suction_head_level is made.head_available is made.head_spare is None
    assert results.groups == {}
    budget, = results.trips["I-1"]
    assert any(value(step.time) == pytest.approx(2) for step in budget.steps if isinstance(step.time, Record))
    assert isinstance(results.tanks["T-1"].dead_volume, Absence)


def test_suction_head_without_margin_air_or_loss() -> None:
    made = hot(SPAN | {"like_water": "yes"})
    assert value(made.head_spare) == pytest.approx(value(made.head_available) - 3)
    pump = small.pump("0.1 m3/s", stop_time="0 s", npsh_required="3 m", suction_loss="0.4 m")
    for head, keys, missing in (({}, {}, "plant/atmosphere"), ({"atmosphere": "97 kPa abs"}, {"suction_loss": None},
                                                              "pumps/P-1/suction_loss")):
        bare = {name: text for name, text in (pump | keys).items() if text is not None}
        found = run(bare, plant=head, liquids={"water": {"name": "Water", "like_water": "yes"} | SPAN}).head_available
        assert isinstance(found, Absence) and found.missing == (missing,)


def test_an_inlet_of_nothing_has_no_velocity_and_thin_liquids_have_a_head() -> None:
    assert isinstance(run(small.pump(suction=suction(diameter="0 mm"))).inlet_velocity, Absence)
    assert head_available(9.80665, 0.0, 0.5, 1.0, 0.0, 0.0) == pytest.approx(3.0)  # 9.80665 Pa / (0.5 x 9.80665) = 2 m


def test_water_is_worked_out_from_freezing_to_its_highest_and_its_records_say_what_they_are() -> None:
    liquid = {"name": "Water", "like_water": "yes", "temperature": {"lowest": "0 degC", "highest": "200 degC"},
              "density": {"lowest": "0 kg/m3", "highest": "0 kg/m3"}}
    results = small.worked(
        pumps={"P-1": small.pump(stop_time="0 s", npsh_required="3 m", suction_loss="0 m")}, liquids={"water": liquid},
        plant={"atmosphere": "17 bar abs"},
        switches={"LSL": small.switch("falling", issued="2 m", role="control"),
                  "LSH": small.switch("rising", issued="3 m", role="control")},
        controls={"LC": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["LSH"],
                         "stops": "LSL"}})
    found = {key.removeprefix("#water/"): one for key, one in results.records.items() if key.startswith("#water/")}
    # steam tables: 0 degC 0.611 kPa and 999.8 kg/m3, 200 degC 1554.9 kPa and 864.7 kg/m3
    assert value(found["vapour-pressure-coldest"]) == pytest.approx(611, abs=1)
    assert value(found["vapour-pressure-hottest"]) == pytest.approx(1554.9e3, rel=1e-3)
    assert value(found["density-coldest"]) == pytest.approx(999.8, abs=0.1)
    assert value(found["density-hottest"]) == pytest.approx(864.7, abs=0.2)
    said = (("vapour-pressure-hottest", "absolute pressure", "p_v"), ("density-hottest", "density", r"\rho"))
    for key, dimension, symbol in said:
        record = found[key]
        assert isinstance(record, Record)
        assert record.dimension == dimension and record.equation.startswith(symbol)
