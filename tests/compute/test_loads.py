"""Loads of contacts against categories, designations and motor tables from outside the project."""

from typing import Any

import pytest

from generator.compute.two_wire import meaning_of_current, short_current
from generator.compute.utilisation import CATEGORIES, apparent_power
from generator.model.load import Switching
from generator.model.record import Record
from tests.compute import small

MOTOR = {"power": "1.1 kW", "voltage": "400 V", "phases": "3", "full_load_current": "2.7 A"}


def switched(contact: dict[str, Any], *, relay: dict[str, Any] | None = None, drives: str = "K-1", **nouns: Any) -> Switching:
    results = small.worked(
        panels={"LP-1": {"area": "A", "where": "gallery", **nouns.pop("panel", {})}},
        switches={"LS-1": small.switch("rising", issued="2 m", contact={"at_the_point": "opens", "drives": drives, **contact})},
        pumps={"P-1": small.pump(motor=nouns.pop("motor", MOTOR))},
        relays={"K-1": {"panel": "LP-1", "kind": "contactor", **(relay or {})}}, **nouns)
    (made,) = results.loads.switching["LS-1"]
    return made


def coil(volts: str, amps: str, kind: str = "ac", **more: str) -> dict[str, str]:
    return {"coil_voltage": volts, "coil_current": amps, "coil_type": kind, **more}


def rated(category: str, volts: str, amps: str, **more: str) -> dict[str, str]:
    return {"category": category, "voltage": volts, "current": amps, **more}


@pytest.mark.parametrize(("name", "category", "volts", "amps", "make", "break_"), [
    # contact designations of IEC 60947-5-1, annex A, which are those of NEMA ICS 5: current at the voltage, volt-amperes
    # made and broken. Found, in two published tables of these codes that agree. In dc make and break are one figure.
    ("A300", "AC-15", 120.0, 6.0, 7200.0, 720.0), ("A300", "AC-15", 240.0, 3.0, 7200.0, 720.0),
    ("B300", "AC-15", 120.0, 3.0, 3600.0, 360.0), ("B300", "AC-15", 240.0, 1.5, 3600.0, 360.0),
    ("C300", "AC-15", 120.0, 1.5, 1800.0, 180.0), ("C300", "AC-15", 240.0, 0.75, 1800.0, 180.0),
    ("D300", "AC-14", 120.0, 0.6, 432.0, 72.0), ("D300", "AC-14", 240.0, 0.3, 432.0, 72.0),
    ("E150", "AC-14", 120.0, 0.3, 216.0, 36.0),
    ("N300", "DC-13", 125.0, 2.2, 275.0, 275.0), ("P300", "DC-13", 125.0, 1.1, 138.0, 138.0),
    ("Q300", "DC-13", 125.0, 0.55, 69.0, 69.0), ("Q300", "DC-13", 250.0, 0.27, 69.0, 69.0),
    ("R300", "DC-13", 125.0, 0.22, 28.0, 28.0), ("R300", "DC-13", 250.0, 0.11, 28.0, 28.0)])
def test_designations_agree_with_the_multiple_of_their_category(
    name: str, category: str, volts: float, amps: float, make: float, break_: float,
) -> None:
    assert apparent_power(volts, amps) == pytest.approx(break_, rel=0.025), name  # the tables round the dc figures
    assert apparent_power(volts, CATEGORIES[category].makes * amps) == pytest.approx(make, rel=0.025), name


@pytest.mark.parametrize(("amps", "verdict"), [("210 mA", "pass"), ("230 mA", "fail")])
def test_a_dc_coil_on_a_small_designated_contact(amps: str, verdict: str) -> None:
    # R300 breaks 0.22 A at 125 V dc (found): a contactor coil of 26 W is in, one of 29 W is not
    made = switched(rated("DC-13", "125 V", "0.22 A"), relay=coil("125 V", amps, "dc"))
    assert made.verdict == verdict and made.needed == (() if verdict == "pass" else ("interposing relay",))


# ---- the coil of a motor's starter -----------------------------------------------------------------------------------

STARTER: dict[str, Any] = {
    # a contactor for 4 kW: some 8 VA held and 70 VA while it pulls in (common practice, no source)
    "coil": {"voltage": "230 V", "current": "35 mA", "inrush": "300 mA", "kind": "ac", "suppressed": "yes"},
    "category": "AC-3", "rated_current": "9 A"}


def through_starter(contact: dict[str, Any], starter: dict[str, Any] | None, by_relay: bool = False) -> Switching:
    relay = {"panel": "LP-1", "kind": "interposing relay", "drives": ["P-1"], **{
        {"voltage": "rated_voltage", "current": "rated_current"}.get(key, key): value for key, value in contact.items()}}
    results = small.worked(
        panels={"LP-1": {"area": "A", "where": "gallery"}},
        pumps={"P-1": small.pump(motor=MOTOR, panel="LP-1", **({"starter": starter} if starter else {}))},
        relays={"K-1": relay} if by_relay else {},
        switches={"LS-1": small.switch("rising", issued="2 m", contact={"at_the_point": "opens", **(
            {"drives": "K-1"} if by_relay else {"drives": "P-1", **contact})})})
    (made,) = results.loads.switching["K-1" if by_relay else "LS-1"]
    return made


def with_coil(**changes: str | None) -> dict[str, Any]:
    return STARTER | {"coil": {key: value for key, value in (STARTER["coil"] | changes).items() if value is not None}}


@pytest.mark.parametrize("by_relay", [False, True])
@pytest.mark.parametrize(("contact", "starter", "verdict", "word"), [
    # IEC 60947-5-1 (found): AC-15 for ac electromagnets over 72 VA, AC-14 up to 72 VA, AC-12 for none, DC-13 for dc ones;
    # AC-15 makes ten times its current, AC-14 six times (annex A)
    (rated("AC-15", "230 V", "1 A"), STARTER, "pass", "35 mA"),
    (rated("AC-14", "230 V", "0.1 A"), STARTER, "pass", "35 mA"),
    (rated("AC-14", "230 V", "0.04 A"), STARTER, "fail", "inrush 300 mA, may make 0.24 A"),
    (rated("AC-12", "230 V", "5 A"), STARTER, "fail", "AC-12 is not for ac coils"),
    (rated("AC-15", "24 V", "1 A"), STARTER, "fail", "230 V, rated 24 V"),
    (rated("DC-13", "230 V", "1 A"), STARTER, "fail", "DC-13 is not for ac coils"),
    (rated("AC-15", "230 V", "0.03 A"), STARTER, "fail", "35 mA, rated 0.03 A"),
    (rated("DC-13", "24 V", "0.5 A"), with_coil(voltage="24 V", current="125 mA", inrush=None, kind="dc"), "pass", "125 mA"),
    (rated("AC-15", "230 V", "1 A"), with_coil(current=None), "cannot be assessed", "not recorded"),
    (rated("AC-15", "230 V", "1 A"), with_coil(kind=None), "cannot be assessed", "not recorded"),
    (rated("AC-15", "230 V", "1 A"), {"category": "AC-3"}, "cannot be assessed", "not recorded")])
def test_behind_a_starter_the_load_is_its_coil(by_relay: bool, contact: dict[str, Any], starter: dict[str, Any],
                                               verdict: str, word: str) -> None:
    made = through_starter(contact, starter, by_relay)
    assert made.verdict == verdict and word in made.why and not made.is_motor
    assert made.load == "coil of the starter of P-1"


def test_a_panel_whose_starter_nobody_described_is_not_passed() -> None:
    made = through_starter(rated("DC-13", "24 V", "1 A"), None, by_relay=True)
    assert made.verdict == "cannot be assessed" and made.missing == ("P-1: starter.coil",)


def test_the_starter_itself_is_held_against_the_motor() -> None:
    # NEC table 430.250, 460 V (found): 10 hp draw 14 A, so a starter for 9 A in AC-3 is too small, one for 18 A is not
    motor = {"power": "10 hp", "voltage": "460 V", "phases": "3", "full_load_current": "14 A"}
    for amps, may in (("9 A", False), ("18 A", True), (None, None)):
        starter = {key: value for key, value in (STARTER | {"rated_current": amps}).items() if value}
        one = small.worked(pumps={"P-1": small.pump(motor=motor, starter=starter)}).pumps["P-1"].switched_by[0]
        assert one.by == "P-1" and one.may is may, one.why


def test_coils_of_a_designated_contact() -> None:
    # B300 breaks 1.5 A and makes 15 A at 240 V (from memory): a contactor coil of 10 VA held and 80 VA pulling in is in
    held = coil("240 V", "41.7 mA", coil_inrush="333 mA")
    made = switched(rated("AC-15", "240 V", "1.5 A"), relay=held)
    assert made.verdict == "pass"
    assert isinstance(made.making, Record) and made.making.value == pytest.approx(15.0)
    assert isinstance(made.spare, Record) and made.spare.value == pytest.approx(1.4583)
    # one that pulls in with 3840 VA is over the 3600 VA of the designation
    over = switched(rated("AC-15", "240 V", "1.5 A"), relay=coil("240 V", "1.4 A", coil_inrush="16 A"))
    assert over.verdict == "fail" and "inrush" in over.why and over.needed == ("interposing relay",)


@pytest.mark.parametrize(("category", "amps", "kind", "verdict"), [
    # AC-14 is for electromagnets up to 72 VA, AC-15 for larger ones (found on a supplier page); 24 V: 3 A is 72 VA
    ("AC-14", "2.9 A", "ac", "pass"), ("AC-14", "3.1 A", "ac", "fail"), ("AC-15", "3.1 A", "ac", "pass"),
    # AC-12 and DC-12 are for resistive loads and optocouplers, DC-13 for dc electromagnets (IEC 60947-5-1, found)
    ("AC-12", "1 A", "ac", "fail"), ("DC-12", "1 A", "dc", "fail"), ("DC-13", "1 A", "dc", "pass"),
    ("AC-15", "1 A", "dc", "fail"), ("DC-13", "1 A", "ac", "fail")])
def test_category_decides_which_coil(category: str, amps: str, kind: str, verdict: str) -> None:
    assert switched(rated(category, "24 V", "6 A"), relay=coil("24 V", amps, kind)).verdict == verdict


@pytest.mark.parametrize("category", ["AC-12", "AC-14", "AC-15", "DC-13"])
def test_a_small_float_contact_never_switches_a_motor(category: str) -> None:
    # common practice, no source: a small float contact that may switch 1.1 kW directly needs a relay above it
    made = switched(rated(category, "400 V", "6 A"), drives="P-1")
    assert made.verdict == "fail"
    assert made.needed == ("interposing relay", "contactor")
    assert category in made.why and "AC-3" in made.why


@pytest.mark.parametrize(("hp", "full", "amps", "verdict"), [
    # NEC table 430.250, three phases, 460 V (found): 5 hp 7.6 A, 10 hp 14 A
    ("5 hp", "7.6 A", "9 A", "pass"), ("10 hp", "14 A", "9 A", "fail"), ("10 hp", "14 A", "14 A", "pass")])
def test_a_motor_rating_is_held_against_the_tables_full_load_current(hp: str, full: str, amps: str, verdict: str) -> None:
    motor = {"power": hp, "voltage": "460 V", "phases": "3", "full_load_current": full}
    made = switched(rated("AC-3", "460 V", amps), drives="P-1", motor=motor)
    assert made.verdict == verdict
    assert made.needed == (() if verdict == "pass" else ("contactor",))


def test_a_starting_current_over_ten_times_the_rating_fails() -> None:
    # AC-3 makes ten times its current (IEC 60947-4-1, from memory); a motor draws six to eight times when it starts
    for start, verdict in (("60 A", "pass"), ("95 A", "fail")):
        motor = MOTOR | {"full_load_current": "8.3 A", "start_current": start}
        assert switched(rated("AC-3", "400 V", "9 A"), drives="P-1", motor=motor).verdict == verdict


def test_what_is_not_recorded_never_passes() -> None:
    whole = rated("DC-13", "24 V", "1 A")
    for key in whole:
        made = switched({name: value for name, value in whole.items() if name != key}, relay=coil("24 V", "35 mA", "dc"))
        assert made.verdict == "cannot be assessed" and made.missing == (f"LS-1: contact.{key}",)
    assert switched(whole, relay=coil("24 V", "35 mA", "dc")).verdict == "pass"
    for key in coil("24 V", "35 mA", "dc"):
        lacking = {name: value for name, value in coil("24 V", "35 mA", "dc").items() if name != key}
        assert switched(whole, relay=lacking).missing == (f"K-1: {key}",)
    for contact, field in (({}, "category"), ({"category": "AC-3"}, "current")):
        made = switched(contact, drives="P-1")
        assert made.is_motor
        assert made.verdict == "cannot be assessed" and made.missing == (f"LS-1: contact.{field}",)
    assert switched(rated("AC-3", "400 V", "9 A"), drives="P-1", motor={"power": "4 kW"}).verdict == "cannot be assessed"


def test_an_input_of_logic_asks_for_a_contact_that_stays_clean() -> None:
    # 24 V inputs draw a few milliamperes; a silver contact for 10 mA and more films over (common practice, no source)
    panel = {"input": {"voltage": "24 V", "current": "6 mA", "kind": "dc"}}
    silver = switched(rated("DC-12", "24 V", "1 A", smallest_current="10 mA"), drives="LP-1", panel=panel)
    gold = switched(rated("DC-12", "24 V", "0.1 A", smallest_current="1 mA"), drives="LP-1", panel=panel)
    assert isinstance(silver.clean, Record) and silver.clean.value == pytest.approx(-0.004)
    assert isinstance(gold.clean, Record) and gold.clean.value == pytest.approx(0.005)
    assert silver.verdict == gold.verdict == "pass"


def test_a_relay_multiplies_one_contact() -> None:
    # common practice, no source: a contact for each circuit; hard-wired relays and a controller never share one
    def loads(contacts: str | None, drives: str) -> Any:
        return small.worked(
            panels={"LP-1": {"area": "A", "where": "gallery"}}, pumps={"P-1": small.pump(), "P-2": small.pump()},
            relays={"K-1": {"panel": "LP-1", "kind": "interposing relay", "drives": ["P-1", "P-2"],
                            **({} if contacts is None else {"contacts": contacts})}},
            switches={"LS-1": small.switch("falling", issued="1 m", contact={"at_the_point": "opens", "drives": drives})},
            interlocks={f"I-{number}": {"area": "A", "service": "stop", "kind": "trip", "when": "LS-1", "by": by,
                                        "then": {"P-1": "stopped"}} for number, by in ((1, "relays"), (2, "controller"))},
        ).loads

    assert loads("3", "K-1").multiplied["K-1"].uses == ("P-1", "P-2", "controller")
    assert [loads(number, "K-1").multiplied["K-1"].enough for number in ("3", "2", None)] == [True, False, None]
    assert loads("3", "K-1").several == {}
    assert loads("3", "LP-1").several == {"LS-1": ("relays", "controller")}


# ---- two-wire sensors ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("milliamperes", "meaning"), [
    # IEC 60947-5-6: states at 1.2 mA and 2.1 mA (found); broken up to 0.05 mA, perhaps to 0.35 mA; shorted over 6 mA
    # (from memory)
    (0.0, "broken"), (0.04, "broken"), (0.2, "broken or low"), (0.9, "low"), (1.19, "low"), (1.6, "undefined"),
    (2.11, "high"), (4.0, "high"), (6.5, "high or shorted"), (8.0, "shorted")])
def test_currents_of_a_two_wire_sensor(milliamperes: float, meaning: str) -> None:
    assert meaning_of_current(milliamperes / 1000) == meaning


def test_a_short_draws_more_than_six_milliamperes() -> None:
    # 8.2 V behind 1 kilohm; shorted where 100 to 360 ohm are left: over 6 mA (from memory)
    assert short_current(0.0) == pytest.approx(0.0082)
    assert short_current(360.0) > 0.006
    with pytest.raises(ValueError):
        short_current(-1.0)


@pytest.mark.parametrize(("kind", "panel", "is_motor"), [
    ("interposing relay", None, True), ("interposing relay", "LP-1", False), ("contactor", None, True),
    ("contactor", "LP-1", True)])
def test_a_relay_switches_the_motor_itself_where_no_panel_holds_a_starter(kind: str, panel: str | None, is_motor: bool) -> None:
    relay = {"kind": kind, "panel": "LP-1", "drives": ["P-1"], "category": "AC-3", "rated_current": "9 A"}
    results = small.worked(panels={"LP-1": {"area": "A", "where": "gallery"}}, relays={"K-1": relay},
                           pumps={"P-1": small.pump(motor=MOTOR, **({"panel": panel} if panel else {}))})
    (made,) = results.loads.switching["K-1"]
    assert made.is_motor is is_motor
    assert made.verdict == ("pass" if is_motor else "cannot be assessed")  # 2.7 A at full load on 9 A in AC-3
    assert made.missing == (() if is_motor else ("P-1: starter.coil",))
