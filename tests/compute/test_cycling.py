"""Cycles of pumps against handbooks, and the staged cycle against a minimiser from another library."""

from typing import Any

import pytest
from scipy.optimize import minimize_scalar

from generator import compute
from generator.compute.cycle_times import cycle_time, last_volume, staged_cycle_time, worst_inflow
from generator.model.record import Absence, Record
from generator.model.results import CyclingResult, Results
from generator.read import knowledge
from tests.compute import small
from tests.compute.redone import redone

# USACE EI 11C201 chapter 7, V = t q / 4: t = 10 min and q = 45 L/s give 6750 L
WELL = {"kind": "rectangular basin", "length": "3 m", "width": "2.25 m", "height": "4 m"}  # 6.75 m3 a metre


def run(span: tuple[str, str] = ("0 L/s", "60 L/s"), moves: str = "P-1", starts: tuple[str, ...] = ("LSH-1",),
        **changes: Any) -> CyclingResult:
    heights = {"LSH-1": "2.0 m", "LSH-2": "2.5 m", "LSL-1": "1.0 m"}
    nouns: dict[str, Any] = {
        "plant": {"defaults": {"accuracy": {"own": "0 mm"}}},
        "tanks": {"T-1": small.tank(WELL)},
        "streams": {"in": small.stream("outside", "T-1", span[1], flow={"lowest": span[0]})},
        "pumps": {tag: small.pump("45 L/s") for tag in ("P-1", "P-2")},
        "switches": {tag: small.switch("falling" if tag == "LSL-1" else "rising", issued=height, role="control")
                     for tag, height in heights.items()},
        "controls": {"LC-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": moves,
                              "starts": list(starts), "stops": "LSL-1"}},
    }
    return compute.results(small.plant(**nouns | changes), knowledge()).cycling["LC-1"]


def value(outcome: object) -> float:
    assert isinstance(outcome, Record), outcome
    return outcome.value


@pytest.mark.parametrize(("share", "minutes"), [
    (0.1, 27.778), (0.25, 13.333), (0.5, 10.0), (0.75, 13.333), (0.9, 27.778)])
def test_cycle_time_of_the_handbook(share: float, minutes: float) -> None:
    # MIL-HDBK-1005/9A, 2.5.3.6, equation 1, worked for 6.75 m3 and 45 L/s
    assert cycle_time(6.75, 0.045, 0.045 * share) / 60 == pytest.approx(minutes, abs=5e-4)


def test_shortest_cycle_at_half_the_pump_flow() -> None:
    made = run()
    assert value(made.effective_volume) == pytest.approx(6.75)
    assert value(made.worst_inflow) == pytest.approx(0.0225)
    assert value(made.shortest_cycle) == pytest.approx(600)
    assert value(made.starts) * 3600 == pytest.approx(6)
    assert not made.alternation_counts and made.starts_alternating is None


@pytest.mark.parametrize(("span", "inflow"), [(("0 L/s", "11.25 L/s"), 0.01125), (("33.75 L/s", "40 L/s"), 0.03375)])
def test_an_inflow_that_never_meets_half_counts_as_it_is(span: tuple[str, str], inflow: float) -> None:
    made = run(span)
    assert value(made.worst_inflow) == pytest.approx(inflow)
    assert value(made.shortest_cycle) == pytest.approx(800)  # 13.333 min on either side of the half


def test_the_pump_that_never_stops() -> None:
    made = run(("45 L/s", "60 L/s"))
    assert isinstance(made.shortest_cycle, Absence) and "never stops" in made.shortest_cycle.why
    assert isinstance(made.starts, Absence)
    assert "does not stop" in run().worst_inflow.note  # type: ignore[union-attr]


def test_edges_take_from_the_volume() -> None:
    made = run(plant={"defaults": {"accuracy": {"own": "50 mm"}}})
    assert value(made.effective_volume) == pytest.approx(6.75 * 0.9)
    assert value(made.shortest_cycle) == pytest.approx(540)


def test_the_error_that_a_body_shares_does_not_take_from_the_volume_between_its_points() -> None:
    # a datum that is 50 mm out moves start and stop alike; on two bodies each may be out its own way
    head = {"defaults": {"accuracy": {"own": "10 mm", "common": "50 mm"}}}
    assert value(run(plant=head).effective_volume) == pytest.approx(6.75 * 0.98)
    apart = {tag: small.switch("falling" if tag == "LSL-1" else "rising", issued=height, role="control", **{"in": body})
             for tag, height, body in (("LSH-1", "2.0 m", "LX-1"), ("LSL-1", "1.0 m", "LX-2"))}
    bodies = {tag: small.body() for tag in ("LX-1", "LX-2")}
    assert value(run(plant=head, switches=apart, instruments=bodies).effective_volume) == pytest.approx(6.75 * 0.88)


def group(**keys: Any) -> dict[str, Any]:
    return {"PG-1": {"name": "pumps", "pumps": ["P-1", "P-2"], "arrangement": "duty/standby", **keys}}


def in_turn(flow: str = "40 L/s", **changes: Any) -> CyclingResult:
    pumps = {tag: small.pump(flow, motor={"power": "11 kW"}) for tag in ("P-1", "P-2")}
    head = {"defaults": {"accuracy": {"own": "0 mm"}}, "rules_in_force": {"alternation-credit": {}}}
    nouns = {"plant": head, "pumps": pumps, "pump_groups": group(alternation="yes")}
    return run(moves="PG-1", **nouns | changes)


def test_alternation_halves_the_starts_of_each_of_two_identical_pumps() -> None:
    # EI 11C201, chapter 7: half the volume gives an alternated pair the same starts, so the same volume gives each half
    # of them: 3600 / (4 x 6.75 / 0.04) = 5.333 in an hour, 2.667 each
    made = in_turn()
    assert made.alternation_counts
    assert value(made.starts) * 3600 == pytest.approx(5.3333, abs=1e-4)
    assert value(made.starts_alternating) * 3600 == pytest.approx(2.6667, abs=1e-4)


@pytest.mark.parametrize(("broken", "changes"), [
    ("alike in flow", {"pumps": {"P-1": small.pump("40 L/s", motor={"power": "11 kW"}),
                                 "P-2": small.pump("38 L/s", motor={"power": "11 kW"})}}),
    ("alike in flow", {"pumps": {tag: small.pump("40 L/s") for tag in ("P-1", "P-2")}}),
    ("below 45 L/s", {"flow": "45 L/s"}),
    ("below 45 L/s", {"starts": ("LSH-1", "LSH-2")}),  # 2 x 40 L/s
    ("below 45 L/s", {"pumps": {"P-1": small.pump("46 L/s"), "P-2": small.pump("38 L/s")}}),
    ("one of them runs at a time", {"starts": ("LSH-1", "LSH-2")}),
    ("adopted the rule", {"plant": {"defaults": {"accuracy": {"own": "0 mm"}}}}),
])
def test_alternation_counts_only_where_each_condition_holds(broken: str, changes: dict[str, Any]) -> None:
    made = in_turn(**changes)
    assert not made.alternation_counts
    assert [words for words, holds in made.alternation if not holds and broken in words]
    unlike = len({one["flow"] for one in changes.get("pumps", {"P-1": {"flow": ""}}).values()}) > 1
    assert isinstance(made.starts_alternating, Absence if unlike else Record)  # shown beside, not counted


def test_starts_in_turn_are_those_of_the_worst_flow_and_none_for_unequal_pumps() -> None:
    """40 L/s each, 6.75 m3 to the first start and half of that to the second: alone 5.333 an hour, so 2.667 each in turn.

    Together both start in every cycle, the shortest of which a minimiser of another library finds.
    """
    together = minimize_scalar(lambda inflow: 6.75 / inflow + 3.375 / (inflow - 0.04) + 10.125 / (0.08 - inflow),
                               bounds=(0.0401, 0.06), method="bounded", options={"xatol": 1e-10})
    assert 3600 / together.fun == pytest.approx(4.78, abs=0.01)
    made = in_turn(starts=("LSH-1", "LSH-2"))
    assert value(made.starts_alternating) * 3600 == pytest.approx(3600 / together.fun, rel=1e-6)
    unlike = in_turn(pumps={"P-1": small.pump("40 L/s"), "P-2": small.pump("38 L/s")}).starts_alternating
    assert isinstance(unlike, Absence) and "not alike" in unlike.why
    motors = {tag: small.pump("40 L/s", motor={"power": power}) for tag, power in (("P-1", "11 kW"), ("P-2", "15 kW"))}
    assert isinstance(in_turn(pumps=motors).starts_alternating, Absence)


# ---- every pump over every inflow ------------------------------------------------------------------------------------

# A basin of 7 m2, stop at 0.915 m and starts at 1.585 and 1.635 m between their edges, two pumps of 36 m3/h
PIT = {"kind": "rectangular basin", "length": "3.5 m", "width": "2 m", "height": "3.2 m"}


def pit(stop: float = 0.915, starts: tuple[float, ...] = (1.585, 1.635), flows: tuple[float, ...] = (36.0, 36.0),
        largest: float = 60.0, need: dict[str, Any] | None = None, **group_keys: Any) -> Results:
    pumps = {f"P-{number}": small.pump(f"{flow} m3/h", motor={"power": "7.5 kW", "starts": "2.9 per hour"})
             for number, flow in enumerate(flows, 1)}
    points = {f"LSH-{number}": small.switch("rising", *([need] if need and number == len(starts) else []),
                                            issued=f"{height} m", role="control") for number, height in enumerate(starts, 1)}
    nouns: dict[str, Any] = {
        "plant": {"defaults": {"accuracy": {"own": "0 mm"}}}, "tanks": {"T-1": small.tank(PIT, levels={"overflow": "2.8 m"})},
        "streams": {"in": small.stream("outside", "T-1", f"{largest} m3/h", flow={"lowest": "5 m3/h"})},
        "pumps": pumps, "pump_groups": {"PG-1": {"name": "pumps", "pumps": list(pumps), **group_keys}},
        "switches": points | {"LSL-1": small.switch("falling", issued=f"{stop} m", role="control")},
        "controls": {"LC-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "PG-1", "starts": list(points),
                              "stops": "LSL-1"}}}
    return compute.results(small.plant(**nouns), knowledge())


def stepped(inflow: float, starts: tuple[float, ...], flows: tuple[float, ...], stop: float = 0.915) -> list[float]:
    """Starts of each pump in an hour, by stepping the level in half seconds through 40 hours. [m3/h in, 1/h out]"""
    level, hours, step = stop, 40.0, 0.5 / 3600
    runs, made = [False] * len(flows), [0] * len(flows)
    for _ in range(int(hours / step)):
        level += (inflow - sum(flow for flow, on in zip(flows, runs, strict=True) if on)) * step / 7
        if level <= stop:
            runs = [False] * len(flows)
        for place, start in enumerate(starts):
            if level >= start and not runs[place]:
                runs[place], made[place] = True, made[place] + 1
    return [count / hours for count in made]


def test_a_duty_pump_starts_in_the_cycles_of_two_pumps_too() -> None:
    """0.67 m and 0.05 m of 7 m2 are 4.69 and 0.35 m3. Alone 36 / (4 x 4.69) = 1.92 an hour; with both at 44.8 m3/h 3.03."""
    made = pit(arrangement="duty/assist").cycling["LC-1"]
    found = minimize_scalar(lambda inflow: 4.69 / inflow + 0.35 / (inflow - 36) + 5.04 / (72 - inflow),
                            bounds=(36.01, 60), method="bounded", options={"xatol": 1e-10})
    assert (found.x, 1 / found.fun) == (pytest.approx(44.83, abs=0.01), pytest.approx(3.033, abs=1e-3))
    duty, assist = made.each
    assert value(duty.starts) * 3600 == value(assist.starts) * 3600 == pytest.approx(1 / found.fun, rel=1e-6)
    assert (duty.leads, assist.leads, duty.joining, duty.running, assist.running) == (True, False, None, 2, 2)
    assert value(duty.worst_inflow) * 3600 == pytest.approx(found.x, rel=1e-4)
    assert value(made.starts) == value(duty.starts)
    assert 1 / value(made.shortest_cycle) * 3600 == pytest.approx(1.919, abs=1e-3)  # the first pump alone
    assert isinstance(duty.starts, Record) and duty.starts.note == "most often with 2 pumps running"
    assert [one.symbol for one in duty.starts.inputs] == ["T_{1}", "T_{2}"]
    for inflow, most in ((45.0, 3.03), (18.0, 1.92)):  # second way: steps of half a second
        for pump, seen in zip((duty, assist), stepped(inflow, (1.585, 1.635), (36.0, 36.0)), strict=True):
            assert seen <= value(pump.starts) * 3600 + 0.05
        assert stepped(inflow, (1.585, 1.635), (36.0, 36.0))[0] == pytest.approx(most, abs=0.06)


def test_three_pumps_start_in_the_cycles_from_their_own_start_on() -> None:
    """4.69, 0.35 and 1.4 m3: the first pump in all cycles, the third only in those of three; by another library."""
    made = pit(starts=(1.585, 1.635, 1.835), flows=(36.0, 36.0, 36.0), largest=100.0, arrangement="duty/assist").cycling["LC-1"]
    three = minimize_scalar(lambda q: 4.69 / q + 0.35 / (q - 36) + 1.4 / (q - 72) + 6.44 / (108 - q),
                            bounds=(72.01, 100), method="bounded", options={"xatol": 1e-10})
    two = 3.0326
    assert [value(one.starts) * 3600 for one in made.each] == [
        pytest.approx(two, abs=1e-3), pytest.approx(two, abs=1e-3), pytest.approx(1 / three.fun, rel=1e-6)]
    assert [one.running for one in made.each] == [2, 2, 3]


def test_pumps_that_change_places_are_judged_in_the_worst() -> None:
    """One start, a spare of 25 m3/h beside a pump of 40: alone each makes Q / 4 V, 4.69 m3 (EI 11C201, chapter 7)."""
    made = pit(starts=(1.585,), flows=(40.0, 25.0), arrangement="duty/standby").cycling["LC-1"]
    assert [value(one.starts) * 3600 for one in made.each] == [pytest.approx(40 / 4 / 4.69), pytest.approx(25 / 4 / 4.69)]
    assert all(one.leads and one.joining is None for one in made.each)
    turns = pit(flows=(30.0, 45.0), arrangement="duty/assist", alternation="yes").cycling["LC-1"]
    shortest = min(minimize_scalar(lambda q, first=first: 4.69 / q + 0.35 / (q - first) + 5.04 / (75 - q),
                                   bounds=(first + 0.01, 60), method="bounded", options={"xatol": 1e-10}).fun
                   for first in (30.0, 45.0))
    assert [value(one.starts) * 3600 for one in turns.each] == [pytest.approx(1 / shortest, rel=1e-5)] * 2


def test_a_cycle_that_cannot_be_worked_out_leaves_the_duty_pump_open() -> None:
    made = pit(starts=(1.585, 1.5), arrangement="duty/assist").cycling["LC-1"]
    assert isinstance(made.starts, Absence) and "wrong order" in made.starts.why
    alone = pit(largest=30.0, arrangement="duty/assist").cycling["LC-1"]
    assert value(alone.each[0].starts) * 3600 == pytest.approx(36 / 4 / 4.69)  # the second is never needed
    spare = pit(starts=(1.585, 1.635), largest=30.0, arrangement="duty/standby").cycling["LC-1"]
    assert isinstance(spare.stages[0].shortest_cycle, Absence) and "never needed" in spare.stages[0].shortest_cycle.why


def test_the_need_of_an_assist_pump_uses_its_own_cycle() -> None:
    """At the height that the need asks for, the worst of its cycles is as long as the limit: 2.9 starts an hour."""
    asked = pit(need={"cycling": "P-2", "above": "LSL-1"}, arrangement="duty/assist")
    limit = asked.setpoints["LSH-2"].needs[0].limit
    assert isinstance(limit, Record) and limit.value == pytest.approx(1.6497, abs=5e-4)
    added = (limit.value - 1.585) * 7
    found = minimize_scalar(lambda q: 4.69 / q + added / (q - 36) + (4.69 + added) / (72 - q),
                            bounds=(36.01, 60), method="bounded", options={"xatol": 1e-10})
    assert 1 / found.fun == pytest.approx(2.9, rel=1e-6)
    there = pit(starts=(1.585, limit.value), arrangement="duty/assist").cycling["LC-1"].each[1]
    assert value(there.starts) * 3600 == pytest.approx(2.9, rel=1e-6)  # rule 6.10 judges by the same cycle
    assert limit.value > 0.915 + 36 / 4 / 2.9 / 7  # one pump alone would be content with 1.358 m
    assert {"Q_i", "Q_{p,1}", "Q_{p,2}", "V_{1}", "n"} <= {one.symbol for one in limit.inputs}
    assert redone(limit, asked.tanks["T-1"].vessel) == pytest.approx(limit.value, rel=1e-9)


def test_without_volumes_before_the_last_volume_is_that_of_the_handbook() -> None:
    volume, inflow = last_volume((), (0.045,), 600.0)  # EI 11C201: V = t q / 4
    assert (volume, inflow) == (pytest.approx(6.75), pytest.approx(0.0225, rel=1e-6))
    real, _ = last_volume((), (0.045,), 800.0, 0.01125)  # MIL-HDBK-1005/9A, equation 1, as above
    assert real == pytest.approx(6.75)
    assert last_volume((10.0,), (0.045, 0.045), 60.0)[0] == 0.0  # what stands already suffices
    with pytest.raises(ValueError, match="0"):
        last_volume((1.0,), (0.045,), 600.0)


def test_without_the_published_rule_no_station_is_small_enough() -> None:
    pumps = {tag: small.pump("10 L/s", motor={"power": "11 kW"}) for tag in ("P-1", "P-2")}
    controls = {"LC-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "PG-1", "starts": ["LSH-1"],
                         "stops": "LSL-1"}}
    switches = {"LSH-1": small.switch("rising", issued="2 m"), "LSL-1": small.switch("falling", issued="1 m")}
    made = small.worked(pumps=pumps, pump_groups=group(alternation="yes"), controls=controls, switches=switches)
    assert dict(made.cycling["LC-1"].alternation)["the station is small"] is False


def test_what_does_not_take_turns_says_nothing_of_alternation() -> None:
    still = in_turn(pump_groups=group(alternation="no"))
    assert not still.alternation_counts and still.alternation == () and still.starts_alternating is None


@pytest.mark.parametrize("span", [("0 L/s", "60 L/s"), ("0 L/s", "10 L/s"), ("40 L/s", "44 L/s")])
def test_cycle_at_any_inflow_stands_beside_the_real_one_and_is_never_longer(span: tuple[str, str]) -> None:
    made = run(span)
    assert value(made.at_any_inflow) == pytest.approx(600)  # EI 11C201: V = t q / 4
    assert value(made.shortest_cycle) >= value(made.at_any_inflow) - 1e-6


def test_allowed_starts_come_from_the_motor_or_the_adopted_table() -> None:
    own = run(pumps={"P-1": small.pump("45 L/s", motor={"power": "11 kW", "starts": "10 /h"})})
    assert value(own.allowed) * 3600 == pytest.approx(10)
    limits = {"pumping-station-cycles": 6.0, "handbook-cycles": 10.0, "motor-starts": 10.7}
    for rule, starts in limits.items():  # 11 kW is 14.75 hp: EI 11C201 10 min, MIL-HDBK 6 min, MG 10 at 15 hp 10.7
        head = {"starts_rule": rule, "defaults": {"accuracy": {"own": "0 mm"}}}
        made = run(plant=head, pumps={"P-1": small.pump("45 L/s", motor={"power": "11 kW"})})
        assert value(made.allowed) * 3600 == pytest.approx(starts, rel=1e-4)
    for power, starts in (("15 hp", 10.7), ("15 kW", 9.6), ("15.5 kW", 8.8)):  # MG 10, four poles; 15 kW is sold as 20 hp
        made = run(plant={"starts_rule": "motor-starts"}, pumps={"P-1": small.pump("45 L/s", motor={"power": power})})
        assert value(made.allowed) * 3600 == pytest.approx(starts, rel=1e-4)
    none = run(pumps={"P-1": small.pump("45 L/s", motor={"power": "11 kW"})})
    assert isinstance(none.allowed, Absence)
    assert none.allowed.missing == ("pumps/P-1/motor/starts", "plant/starts_rule")
    large = run(plant={"starts_rule": "handbook-cycles"}, pumps={"P-1": small.pump("45 L/s", motor={"power": "50 hp"})})
    assert isinstance(large.allowed, Absence) and large.allowed.missing == ("pumps/P-1/motor/starts",)  # below 50 hp


def test_a_second_pump_is_a_stage_of_its_own() -> None:
    made = run(("0 L/s", "100 L/s"), "PG-1", ("LSH-1", "LSH-2"), pump_groups=group())
    (stage,) = made.stages
    assert stage.pump == "P-2" and not stage.alternation_counts
    volumes, flows = (6.75, 3.375), (0.045, 0.045)
    found = minimize_scalar(lambda inflow: staged_cycle_time(volumes, flows, inflow), bounds=(0.0451, 0.0899),
                            method="bounded", options={"xatol": 1e-10})
    assert value(stage.shortest_cycle) == pytest.approx(found.fun, rel=1e-6)
    assert value(stage.worst_inflow) == pytest.approx(found.x, rel=1e-4)
    idle = run(("0 L/s", "40 L/s"), "PG-1", ("LSH-1", "LSH-2"), pump_groups=group()).stages[0]
    assert isinstance(idle.shortest_cycle, Absence) and "never needed" in idle.shortest_cycle.why


def test_workings_name_the_heights_and_the_equation_of_their_own_stage() -> None:
    made = run(("0 L/s", "100 L/s"), "PG-1", ("LSH-1", "LSH-2"), pump_groups=group())
    (stage,) = made.stages
    for result, start in ((made, 2.0), (stage, 2.5)):  # as written: the starts at 2.0 and 2.5 m, the stop at 1.0 m
        assert isinstance(result.effective_volume, Record)
        inputs = {one.symbol: one.value for one in result.effective_volume.inputs}
        assert (inputs["h_{start}"], inputs["h_{stop}"], inputs["V"]) == (start, 1.0, 27.0)  # V: the capacity, which says V(h)
    one, two = made.shortest_cycle, stage.shortest_cycle
    assert isinstance(one, Record) and isinstance(two, Record)
    assert (one.key, two.key) == ("#LC-1/shortest-cycle", "#LC-1/2/shortest-cycle")
    assert one.equation == r"T = \frac{V}{Q_i} + \frac{V}{Q_p - Q_i}"  # MIL-HDBK-1005/9A, 2.5.3.6, equation 1
    assert [each.symbol for each in one.inputs] == ["V", "Q_p", "Q_i"]
    assert two.equation == r"T = \frac{V_{1}}{Q_i} + \frac{V_{2}}{Q_i - Q_{p,1}} + \frac{V}{Q_{p,1} + Q_{p,2} - Q_i}"
    assert [each.symbol for each in two.inputs] == ["V", "V_{1}", "V_{2}", "Q_{p,1}", "Q_{p,2}", "Q_i"]
    assert isinstance(made.worst_inflow, Record) and isinstance(stage.worst_inflow, Record)
    assert r"\frac{Q_p}{2}" in made.worst_inflow.equation and "dT" in stage.worst_inflow.equation


def test_a_pump_that_just_meets_the_largest_inflow_does_not_stop() -> None:
    for largest, words in (("44 L/s", ""), ("45 L/s", "At the largest flow P-1 does not stop.")):
        worst = run(("0 L/s", largest)).worst_inflow
        assert isinstance(worst, Record) and worst.note == words


def test_worst_inflow_of_several_pumps_keeps_to_its_span() -> None:
    assert worst_inflow((6.75, 3.375), (0.045, 0.045), 0.08, 0.085) == pytest.approx(0.08, rel=1e-6)
    assert worst_inflow((6.75, 3.375), (0.045, 0.045), 0.0, 0.04) is None


def test_filling_mirrors_emptying() -> None:
    switches = {"LSL-1": small.switch("falling", issued="1.0 m", role="control"),
                "LSH-1": small.switch("rising", issued="2.0 m", role="control")}
    control = {"LC-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-9", "starts": ["LSL-1"],
                        "stops": "LSH-1"}}
    made = run(switches=switches, controls=control, tanks={"T-1": small.tank(WELL), "T-9": small.tank(WELL)},
               pumps={"P-9": small.pump("45 L/s", suction={"tank": "T-9", "kind": "bell", "height": "0 m"})},
               streams={"out": small.stream("T-1", "outside", "60 L/s")})
    assert value(made.shortest_cycle) == pytest.approx(600)


def test_points_in_the_wrong_order_or_without_a_level_give_an_absence() -> None:
    swapped = {"LSH-1": small.switch("rising", issued="1.0 m"), "LSL-1": small.switch("falling", issued="2.0 m")}
    assert isinstance(run(switches=swapped).effective_volume, Absence)
    together = {"LSH-1": small.switch("rising", issued="1.0 m"), "LSL-1": small.switch("falling", issued="1.0 m")}
    assert isinstance(run(switches=together).effective_volume, Absence)  # no volume: the pump would start as it stops
    late = {tag: small.switch(acts, issued=height) for tag, acts, height in (
        ("LSH-1", "rising", "2.0 m"), ("LSH-2", "rising", "1.5 m"), ("LSL-1", "falling", "1.0 m"))}
    (second,) = run(moves="PG-1", starts=("LSH-1", "LSH-2"), switches=late, pump_groups=group()).stages
    assert isinstance(second.effective_volume, Absence) and "wrong order" in second.effective_volume.why
    stops = {"LC-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["LSH-1"], "stops": "HS-1"}}
    by_hand = run(controls=stops, signals={"HS-1": {"area": "A", "service": "stop", "kind": "other"}}).effective_volume
    assert isinstance(by_hand, Absence) and by_hand.why == "HS-1: no level point of T-1"
    signal = run(starts=("HS-1",), signals={"HS-1": {"area": "A", "service": "start", "kind": "other"}})
    assert isinstance(signal.effective_volume, Absence) and isinstance(signal.shortest_cycle, Absence)


def test_flows_that_cannot_be_give_an_absence() -> None:
    none = run(pumps={"P-1": small.pump("0 L/s")})
    assert isinstance(none.shortest_cycle, Absence) and "no flow" in none.shortest_cycle.why
    still = run(("0 L/s", "0 L/s"))
    assert isinstance(still.shortest_cycle, Absence) and still.shortest_cycle.why == "nothing flows against it"
    assert isinstance(still.shortest_off, Absence) and still.shortest_off.why == "nothing flows against it"
    turned = run(("40 L/s", "20 L/s"))
    assert isinstance(turned.shortest_cycle, Absence) and "above" in turned.shortest_cycle.why


def test_a_staged_cycle_has_no_meaning_at_the_ends_of_its_span() -> None:
    for inflow in (0.02, 0.04):  # at the flow of one pump the level never reaches the second start, at that of both no stop
        with pytest.raises(ValueError, match=r"0\.0"):
            staged_cycle_time((1.0, 1.0), (0.02, 0.02), inflow)
    assert worst_inflow((1.0, 1.0), (0.02, 0.02), 0.04, 0.05) is None
    assert worst_inflow((1.0, 1.0), (0.02, 0.02), 0.0, 0.02) is None


def test_worst_inflow_of_several_pumps_keeps_to_the_largest_that_occurs() -> None:
    volumes, flows = (6.75, 3.375), (0.045, 0.045)
    free = worst_inflow(volumes, flows, 0.0, 1.0)
    assert free is not None and free > 0.06
    assert worst_inflow(volumes, flows, 0.0, 0.05) == pytest.approx(0.05, rel=1e-6)
    assert worst_inflow(volumes, flows, 0.06, 0.06) == pytest.approx(0.06, rel=1e-6)  # an inflow that never changes


def test_time_at_rest_and_the_parts_of_a_stage_by_hand() -> None:
    """6.75 m3 from the stop to the first start, half of that to the second; at 100 L/s the first are gone in 67.5 s."""
    made = run(("0 L/s", "100 L/s"), "PG-1", ("LSH-1", "LSH-2"), pump_groups=group())
    assert value(made.shortest_off) == pytest.approx(67.5)
    (stage,) = made.stages
    assert isinstance(stage.effective_volume, Record) and isinstance(stage.shortest_cycle, Record)
    heights = [one.symbol for one in stage.effective_volume.inputs if one.symbol.startswith("h")]
    assert heights == ["h_{start}", "h_{stop}", "h_{1}"]
    parts = {one.symbol: (one.name, one.value) for one in stage.shortest_cycle.inputs if one.symbol in ("V_{1}", "V_{2}")}
    assert parts == {"V_{1}": ("volume between the stop and the start of pump 1", pytest.approx(6.75)),
                     "V_{2}": ("volume between the starts of pumps 1 and 2", pytest.approx(3.375))}
