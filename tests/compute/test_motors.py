"""Current of motors, what may switch them, limits side by side, least rest, and what a supply gives while motors restart."""

from typing import Any

import pytest

from generator import compute
from generator.compute.motors import full_load_current
from generator.model.knowledge import Knowledge, PublishedRule
from generator.model.record import Absence, Record
from generator.model.results import PumpResult, Results
from generator.read import knowledge
from tests.compute import small

WHOLE = {"power": "4 kW", "voltage": "400 V", "phases": "3", "efficiency": "0.85", "power_factor": "0.82"}


def run(motor: dict[str, Any] | None, **nouns: Any) -> PumpResult:
    keys = nouns.pop("keys", {})
    pump = small.pump(**({"motor": motor} if motor is not None else {}), **keys)
    return compute.results(small.plant(**{"pumps": {"P-1": pump}} | nouns), knowledge()).pumps["P-1"]


def value(outcome: object) -> float:
    assert isinstance(outcome, Record), outcome
    return outcome.value


# ---- current ---------------------------------------------------------------------------------------------------------


def test_the_nameplate_counts_and_the_worked_current_stands_beside_it() -> None:
    made = run(WHOLE | {"full_load_current": "8.5 A"})
    assert value(made.full_load_current) == pytest.approx(8.5)
    assert value(made.worked_current) == pytest.approx(8.283, abs=5e-4)  # 4000 / (1.7321 x 400 x 0.85 x 0.82), by hand
    assert value(made.tabled_current) == pytest.approx(8.5)  # IEC 60947-4-1 guide value for 4 kW at 400 V, from memory
    assert value(run(WHOLE).full_load_current) == pytest.approx(8.283, abs=5e-4)


def test_one_phase_draws_more() -> None:
    made = run({"power": "1.5 kW", "voltage": "230 V", "phases": "1", "efficiency": "0.75", "power_factor": "0.85"})
    assert value(made.full_load_current) == pytest.approx(10.230, abs=5e-4)  # 1500 / (230 x 0.75 x 0.85), by hand


@pytest.mark.parametrize("field", ["voltage", "phases", "efficiency", "power_factor"])
def test_what_is_missing_for_the_current_is_named(field: str) -> None:
    made = run({name: text for name, text in WHOLE.items() if name != field})
    assert isinstance(made.full_load_current, Absence)
    assert made.full_load_current.missing == (f"pumps/P-1/motor/{field}",)
    assert made.worked_current is None


def test_the_equation_has_the_root_of_three_with_three_phases_alone() -> None:
    for phases, has_root in (("3", True), ("1", False)):
        worked = run(WHOLE | {"phases": phases}).worked_current
        assert isinstance(worked, Record) and (r"\sqrt{3}" in worked.equation) is has_root


def test_a_motor_without_losses_draws_its_power() -> None:
    bare = {"power": "1 W", "voltage": "1 V", "phases": "1", "efficiency": "1", "power_factor": "1"}
    assert full_load_current(1, 1, 1, 1, 1) == value(run(bare).worked_current) == 1  # 1 W / (1 V x 1 x 1)
    for voltage, efficiency, factor, phases in ((0, 1, 1, 1), (1, 1.5, 1, 1), (1, 1, 1.5, 1), (1, 0, 1, 1), (1, 1, 1, 2)):
        with pytest.raises(ValueError, match=r"\d"):
            full_load_current(1, voltage, efficiency, factor, phases)


@pytest.mark.parametrize("change", [{"efficiency": "1.2"}, {"efficiency": "88"}, {"efficiency": "0"}, {"power_factor": "1.2"},
                                    {"power_factor": "0"}, {"voltage": "0 V"}])
def test_shares_that_cannot_be_give_an_absence(change: dict[str, str]) -> None:
    made = run(WHOLE | change)
    assert isinstance(made.full_load_current, Absence)
    assert "at most one" in made.full_load_current.why


def test_no_motor_no_current() -> None:
    made = run(None)
    assert made.full_load_current is None and made.least_rest is None and made.start_limits == ()
    assert made.tabled_current is None and made.worked_current is None


@pytest.mark.parametrize(("motor", "amperes"), [
    # NFPA 70, Table 430.250: 10 hp at 460 V 14 A, at 230 V 28 A; 480 V stands under 460 V
    ({"power": "10 hp", "voltage": "460 V", "phases": "3"}, 14.0), ({"power": "10 hp", "voltage": "230 V", "phases": "3"}, 28.0),
    ({"power": "10 hp", "voltage": "480 V", "phases": "3"}, 14.0), ({"power": "9 hp", "voltage": "440 V", "phases": "3"}, 14.0),
    ({"power": "3 hp", "voltage": "230 V", "phases": "1"}, 17.0)])
def test_the_next_larger_row_of_the_voltage_counts(motor: dict[str, str], amperes: float) -> None:
    assert value(run(motor).tabled_current) == pytest.approx(amperes)


@pytest.mark.parametrize("motor", [
    {"power": "10 hp", "voltage": "690 V", "phases": "3"}, {"power": "0.1 kW", "voltage": "400 V", "phases": "3"},
    {"power": "200 hp", "voltage": "460 V", "phases": "3"}, {"power": "10 hp", "phases": "3"},
    {"power": "10 hp", "voltage": "460 V"}])
def test_no_row_no_tabled_current(motor: dict[str, str]) -> None:
    assert run(motor).tabled_current is None


@pytest.mark.parametrize(("voltage", "amperes"), [("405 V", 8.5), ("410 V", 8.2)])
def test_of_two_near_columns_the_nearest_counts(voltage: str, amperes: float) -> None:
    # a made-up table: 405 V is 5 V from the one and 10 V from the other, 410 V the other way round
    rule = PublishedRule("t", "t", "table", "", "", "found", currents=((3, 400, 4000, 8.5), (3, 415, 4000, 8.2)))
    plant = small.plant(pumps={"P-1": small.pump(motor={"power": "4 kW", "voltage": voltage, "phases": "3"})})
    assert value(compute.results(plant, Knowledge(rules={"t": rule})).pumps["P-1"].tabled_current) == amperes


# ---- limits of starts and rest ---------------------------------------------------------------------------------------


def test_every_table_stands_beside_the_papers_and_they_disagree() -> None:
    made = run({"power": "10 hp", "starts": "8 /h"}, plant={"starts_rule": "handbook-cycles"})
    found = {one.rule: (round(value(one.allowed) * 3600, 3), one.counts) for one in made.start_limits}
    # EI 11C201 10 min, MIL-HDBK-1005/9A 6 min, 30 TAC 217.60 6 min, NEMA MG 10 12.5 an hour
    assert found == {"": (8.0, True), "pumping-station-cycles": (6.0, False), "handbook-cycles": (10.0, False),
                     "lift-station-cycles": (10.0, False), "motor-starts": (12.5, False)}


@pytest.mark.parametrize("rule", ["pumping-station-cycles", "handbook-cycles", "motor-starts"])
def test_without_papers_the_chosen_table_counts_alone(rule: str) -> None:
    made = run({"power": "10 hp"}, plant={"starts_rule": rule})
    assert [one.rule for one in made.start_limits if one.counts] == [rule]


def test_a_motor_above_the_table_is_no_row() -> None:
    made = run({"power": "60 hp"}, plant={"starts_rule": "handbook-cycles"})
    (limit,) = [one for one in made.start_limits if one.rule == "handbook-cycles"]
    assert isinstance(limit.allowed, Absence) and limit.counts


def test_least_rest_comes_from_the_papers_or_the_table() -> None:
    assert value(run({"power": "10 hp", "least_off_time": "90 s"}).least_rest) == pytest.approx(90)
    assert value(run({"power": "9 hp"}, plant={"starts_rule": "motor-starts"}).least_rest) == pytest.approx(46)  # MG 10, 10 hp
    for head in ({}, {"starts_rule": "handbook-cycles"}):
        missing = run({"power": "10 hp"}, plant=head).least_rest
        assert isinstance(missing, Absence) and missing.missing == ("pumps/P-1/motor/least_off_time",)
    assert isinstance(run({"power": "300 hp"}, plant={"starts_rule": "motor-starts"}).least_rest, Absence)


# ---- what switches it ------------------------------------------------------------------------------------------------


def contact(**keys: Any) -> dict[str, Any]:
    return {"LSL": small.switch("falling", issued="1 m", contact={"at_the_point": "opens", "drives": "P-1"} | keys)}


@pytest.mark.parametrize(("keys", "may", "why"), [
    ({"category": "AC-3", "current": "9 A"}, True, "rated for"), ({"category": "AC-3", "current": "8 A"}, True, "rated for"),
    ({"category": "AC-3", "current": "7 A"}, False, "rated for less"), ({"category": "AC-15", "current": "30 A"}, False, "AC-15"),
    ({"category": "AC-3"}, None, "rating"), ({}, None, "category")])
def test_only_a_contact_for_motors_may_switch_one(keys: dict[str, str], may: bool | None, why: str) -> None:
    (one,) = run({"power": "4 kW", "full_load_current": "8 A"}, switches=contact(**keys)).switched_by
    assert one.by == "LSL" and one.may is may and why in one.why
    if may is False:
        assert "relay and contactor needed" in one.why
    if keys.get("category") == "AC-3" and "current" in keys:
        assert value(one.limit) == pytest.approx(float(keys["current"].split()[0]))


def test_an_unknown_current_leaves_the_contact_open() -> None:
    (one,) = run({"power": "4 kW"}, switches=contact(category="AC-3", current="9 A")).switched_by
    assert one.may is None and value(one.limit) == pytest.approx(9)


@pytest.mark.parametrize(("relay", "panel", "may"), [
    ({"kind": "contactor", "category": "AC-3", "rated_current": "9 A"}, False, True),
    ({"kind": "contactor", "category": "AC-3", "rated_current": "5 A"}, True, False),
    ({"kind": "contactor", "category": "AC-15"}, True, False), ({"kind": "interposing relay", "category": "AC-15"}, False, False),
    ({"kind": "interposing relay", "category": "AC-15"}, True, True), ({"kind": "interposing relay"}, True, True),
    ({"kind": "interposing relay"}, False, None), ({"kind": "contactor"}, True, None),
    ({"kind": "interposing relay", "category": "AC-3", "rated_current": "5 A"}, True, False)])
def test_a_relay_switches_the_motor_unless_a_starter_stands_between(relay: dict[str, str], panel: bool, may: bool | None) -> None:
    made = run({"power": "4 kW", "full_load_current": "8 A"}, keys={"panel": "LP"} if panel else {},
               panels={"LP": {"area": "A", "where": "here"}}, relays={"K-1": {"panel": "LP", "drives": ["P-1"]} | relay})
    assert [(one.by, one.may) for one in made.switched_by] == [("K-1", may)]


@pytest.mark.parametrize(("change", "by", "whose", "missing"), [
    ({"switches": contact(category="AC-3")}, "LSL", "LSL", "switches/LSL/contact/current"),
    ({"switches": contact()}, "LSL", "LSL", "switches/LSL/contact/category"),
    ({"relays": {"K-1": {"panel": "LP", "kind": "contactor", "category": "AC-3", "drives": ["P-1"]}}}, "K-1", "K-1",
     "relays/K-1/rated_current"),
    ({"relays": {"K-1": {"panel": "LP", "kind": "contactor", "drives": ["P-1"]}}}, "K-1", "K-1", "relays/K-1/category"),
    ({"keys": {"starter": {"category": "AC-3"}}}, "P-1", "the starter of P-1", "pumps/P-1/starter/rated_current"),
    ({"keys": {"starter": {"rated_current": "9 A"}}}, "P-1", "the starter of P-1", "pumps/P-1/starter/category"),
])
def test_the_field_that_is_missing_is_that_of_what_switches(
    change: dict[str, Any], by: str, whose: str, missing: str,
) -> None:
    panels = {"LP": {"area": "A", "where": "here"}}
    (one,) = run({"power": "4 kW", "full_load_current": "8 A"}, panels=panels, **change).switched_by
    assert one.by == by and one.may is None
    assert isinstance(one.limit, Absence) and one.limit.missing == (missing,)
    assert one.limit.name == f"largest motor current that {whose} may switch"


# ---- restart ---------------------------------------------------------------------------------------------------------


def restarting(after: dict[str, str | None], **nouns: Any) -> Results:
    pumps = {tag: small.pump(motor={"power": "4 kW", "full_load_current": "8 A", "start_current": "50 A"}, supply="S-1",
                             restart={"by_itself": "yes"} | ({"after": delay} if delay else {})) for tag, delay in after.items()}
    return small.worked(**{"pumps": pumps, "supplies": {"S-1": {"kind": "mains"}}} | nouns)


def test_motors_restart_one_after_the_other() -> None:
    line = restarting({"P-1": "30 s", "P-2": "10 s", "P-3": "20 s"}).restarts["S-1"]
    assert [(step.tag, value(step.after), value(step.current)) for step in line.steps] == [
        ("P-2", 10, 50), ("P-3", 20, 58), ("P-1", 30, 66)]  # 50 A of the one that starts, 8 A of each that runs: by hand
    assert all(step.together == () for step in line.steps)
    assert isinstance(line.steps[1].current, Record) and isinstance(line.largest, Record)
    assert [one.symbol for one in line.steps[1].current.inputs] == ["I_{1}", "I_{start,1}"]
    assert [one.symbol for one in line.largest.inputs] == ["I_{1}", "I_{2}", "I_{3}"]
    assert value(line.largest) == pytest.approx(66)


def test_motors_that_restart_together_add_their_currents() -> None:
    line = restarting({"P-1": "10 s", "P-2": "10 s", "P-3": "60 s"}).restarts["S-1"]
    assert [step.together for step in line.steps] == [("P-2",), ("P-1",), ()]
    assert value(line.largest) == pytest.approx(100) and value(line.steps[2].current) == pytest.approx(66)


def test_a_group_staggers_what_has_no_delay_of_its_own() -> None:
    groups = {"G": {"name": "g", "pumps": ["P-2", "P-1"], "arrangement": "duty/assist", "stagger": "15 s"}}
    line = restarting({"P-1": None, "P-2": None, "P-3": None}, pump_groups=groups).restarts["S-1"]
    assert [(step.tag, value(step.after)) for step in line.steps] == [("P-2", 0), ("P-3", 0), ("P-1", 15)]


@pytest.mark.parametrize(("delays", "stagger", "wanted"), [
    (("10 s", "10 s"), "15 s", [("P-1", 10), ("P-2", 25)]),
    (("5 s", None, None), "12 s", [("P-1", 5), ("P-2", 17), ("P-3", 29)]),
    ((None, None, None), "12 s", [("P-1", 0), ("P-2", 12), ("P-3", 24)]),
    (("5 s", "40 s", "10 s"), "12 s", [("P-1", 5), ("P-2", 40), ("P-3", 52)])])
def test_own_delay_is_the_earliest_and_the_group_keeps_its_stagger(
        delays: tuple[str | None, ...], stagger: str, wanted: list[tuple[str, float]]) -> None:
    """By hand: the larger of its own delay and of the one before it plus the stagger. Peak: full load of those that run."""
    after = {f"P-{number}": delay for number, delay in enumerate(delays, 1)}
    groups = {"G": {"name": "g", "pumps": list(after), "arrangement": "duty/assist", "stagger": stagger}}
    line = restarting(after, pump_groups=groups).restarts["S-1"]
    assert [(step.tag, value(step.after)) for step in line.steps] == wanted
    assert value(line.largest) == pytest.approx(50 + 8 * (len(wanted) - 1))


def test_a_pump_that_waits_for_a_person_takes_no_turn() -> None:
    pumps = {tag: small.pump(supply="S-1", restart={"by_itself": "no" if tag == "P-2" else "yes", "after": "5 s"})
             for tag in ("P-1", "P-2", "P-3")}
    groups = {"G": {"name": "g", "pumps": list(pumps), "arrangement": "duty/assist", "stagger": "12 s"}}
    line = restarting({}, pumps=pumps, pump_groups=groups).restarts["S-1"]
    assert [(step.tag, value(step.after)) for step in line.steps] == [("P-1", 5), ("P-3", 17)]


def test_who_waits_and_of_whom_nothing_is_known() -> None:
    pumps = {"P-1": small.pump(supply="S-1", restart={"by_itself": "no"}), "P-2": small.pump(supply="S-1"),
             "P-3": small.pump()}
    line = restarting({}, pumps=pumps).restarts["S-1"]
    assert (line.steps, line.waits, line.unknown) == ((), ("P-1",), ("P-2",))
    assert value(line.largest) == 0


@pytest.mark.parametrize(("field", "missing"), [
    ("start_current", "pumps/P-1/motor/start_current"), ("full_load_current", "pumps/P-1/motor/voltage")])
def test_a_current_that_nobody_recorded_leaves_the_sum_open(field: str, missing: str) -> None:
    motor = {"power": "4 kW", "full_load_current": "8 A", "start_current": "50 A"}
    pumps = {tag: small.pump(motor={name: text for name, text in motor.items() if tag == "P-2" or name != field}, supply="S-1",
                             restart={"by_itself": "yes", "after": delay}) for tag, delay in (("P-1", "1 s"), ("P-2", "2 s"))}
    line = restarting({}, pumps=pumps).restarts["S-1"]
    assert isinstance(line.largest, Absence) and missing in line.largest.missing
