"""Relays by their contacts, what follows later and what tells by comparison: small plants, told by hand."""

from typing import Any

import pytest

from generator.compute.book import Book
from generator.compute.damage import Damage, Judge
from generator.compute.failure_sequels import deviating
from generator.compute.layers import Layers
from generator.model.failure import FailureEffect, Later
from generator.model.results import Results
from tests.compute import small

PUMPS = {"P-1": small.pump(), "P-2": small.pump()}


def relay(*drives: str, **keys: Any) -> dict[str, Any]:
    return {"panel": "LP", "kind": "interposing relay", "drives": list(drives), **keys}


def wired(relay: str, at_the_point: str = "opens") -> dict[str, Any]:
    return {"contact": {"at_the_point": at_the_point, "drives": relay}}


def plant(**nouns: Any) -> dict[str, Any]:
    return {"panels": {"LP": {"area": "A", "where": "hall"}}, "pumps": PUMPS,
            "streams": {"in": small.stream("outside", "T-1", "10 m3/h"),
                        "out": small.stream("T-1", "outside", "36 m3/h", moved_by="P-1")}, **nouns}


def lock(when: Any, then: dict[str, str], **keys: Any) -> dict[str, Any]:
    return {"area": "A", "service": "x", "kind": "releasing interlock", "because": "x", "when": when, "then": then,
            "bad_signal": "trips", **keys}


def effect(results: Results, device: str, mode: str) -> FailureEffect:
    (found,) = (one for one in results.failures[device] if one.mode == mode)
    return found


@pytest.mark.parametrize(("at_the_point", "wanted"), [("opens", "running"), ("closes", "running"), ("opens", "stopped")])
def test_a_relay_is_its_contact_whatever_the_machine_does_without_its_drive(at_the_point: str, wanted: str) -> None:
    """A float that opens to start a pump starts it by a relay that drops; one that closes, by one that pulls in."""
    made = small.worked(**plant(
        relays={"K": relay("P-1")},
        switches={"HH": small.switch("rising", issued="3 m", role="trip", **wired("K", at_the_point))},
        interlocks={"I": lock("HH", {"P-1": wanted})}))
    acts, silent = ("dropped out", "welded") if at_the_point == "opens" else ("welded", "dropped out")
    way = "falls" if wanted == "running" else "rises"
    assert (effect(made, "K", acts).acts, effect(made, "K", acts).levels) == (("I",), (("T-1", way),))
    assert (effect(made, "K", silent).lost, effect(made, "K", silent).acts) == (("I",), ())
    assert effect(made, "K", silent).levels == ()


def test_a_welded_relay_holds_its_devices_whatever_else_asks() -> None:
    made = small.worked(**plant(
        relays={"K": relay("P-1")}, signals={"FS": {"area": "A", "service": "flow", "kind": "flow", "fails": "on"}},
        switches={"HH": small.switch("rising", issued="3 m", role="trip", **wired("K"))},
        interlocks={"I": lock({"any_of": ["HH", "FS"]}, {"P-1": "stopped"})}))
    one = effect(made, "K", "welded")
    assert (one.lost, one.blind) == (("I",), ())  # the flow does not get past the relay either


def test_a_second_float_has_a_way_of_its_own_past_a_welded_relay() -> None:
    made = small.worked(**plant(
        instruments={"LX-1": small.body(), "LX-2": small.body()}, relays={"K": relay("P-1"), "K-2": relay("P-1")},
        switches={"HH": small.switch("rising", issued="3 m", role="trip", **wired("K")),
                  "HI": small.switch("rising", issued="3 m", role="trip", **wired("K-2"), **{"in": "LX-2"})},
        interlocks={"I": lock({"any_of": ["HH", "HI"]}, {"P-1": "stopped"})}))
    one = effect(made, "K", "welded")
    assert (one.lost, one.reduced, one.is_hidden) == ((), (("I", "HH"),), True)


def test_a_relay_that_drives_nothing_takes_its_alarm() -> None:
    made = small.worked(**plant(
        relays={"K": relay()}, switches={"H": small.switch("rising", issued="3 m", **wired("K"))},
        alarms={"LAH": {"from": "H", "text": "HIGH", "priority": "high", "means": "x", "consequence": "x", "first": "x"}}))
    assert (effect(made, "K", "welded").alarms_lost, effect(made, "K", "welded").is_hidden) == (("LAH",), True)
    assert effect(made, "K", "dropped out").sees == ("LAH",)


def test_a_relay_that_starts_and_stops_can_weld_either_way() -> None:
    """Filling: the lower rod opens to start, the upper one closes to stop. Pulled in it has stopped, dropped out it fills."""
    made = small.worked(**plant(
        relays={"K": relay("P-2")},
        switches={"LO": small.switch("falling", issued="1 m", role="control", **wired("K", "opens")),
                  "HI": small.switch("rising", issued="2 m", role="control", **wired("K", "closes"))},
        controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-2", "starts": ["LO"], "stops": "HI"}}))
    assert {one.mode: one.controls for one in made.failures["K"]} == {
        "welded, pulled in": (("C", "does not run"),), "welded, dropped out": (("C", "runs on"),),
        "dropped out": (("C", "runs on"),)}


def test_a_relay_that_no_contact_works_cannot_be_assessed() -> None:
    made = small.worked(**plant(relays={"K": relay("P-1")}))
    assert {(one.mode, one.is_unknown) for one in made.failures["K"]} == {("welded", True), ("dropped out", True)}
    assert all(one.note.startswith("cannot be assessed") and not one.levels for one in made.failures["K"])


def test_a_device_that_the_relay_is_not_recorded_to_reach_is_named() -> None:
    made = small.worked(**plant(
        relays={"K": relay("K-2"), "K-2": relay("P-1")},
        switches={"HH": small.switch("rising", issued="3 m", role="trip", **wired("K"))},
        interlocks={"I": lock("HH", {"P-1": "stopped", "P-2": "stopped"})}))
    note = effect(made, "K", "welded").note
    assert note == "cannot be assessed, for it is not recorded: by what way I reaches P-2"


def test_a_supply_lost_drops_its_relays() -> None:
    made = small.worked(**plant(
        supplies={"DC": {"kind": "control voltage"}}, relays={"K": relay("P-1", supply="DC"), "K-9": relay("P-2", supply="DC")},
        switches={"HH": small.switch("rising", issued="3 m", role="trip", **wired("K"))},
        interlocks={"I": lock("HH", {"P-1": "running"})}))
    one = effect(made, "DC", "lost")
    assert (one.acts, one.levels) == (("I",), (("T-1", "falls"),))
    assert one.note == "what K-9 does cannot be assessed: no contact is recorded that works it"


# ---- later, and by comparison ------------------------------------------------------------------------------------


def test_a_pump_that_runs_on_names_the_interlock_that_trips_by_its_running_time() -> None:
    opens, closes = {"contact": {"at_the_point": "opens"}}, {"contact": {"at_the_point": "closes"}}
    long_run = {"all_of": [{"held": "10 min", "of": "YS"}, {"not": "UA"}]}
    alarm = {"from": "I", "text": "RAN LONG", "priority": "high", "means": "x", "consequence": "x", "first": "x"}
    made = small.worked(**plant(
        signals={"YS": {"area": "A", "service": "runs", "kind": "running", "fails": "off", "of": "P-1"},
                 "UA": {"area": "A", "service": "mains lost", "kind": "supply lost", "fails": "on"}},
        instruments={"LX-1": small.body(), "LX-2": small.body(), "LX-3": small.body()},
        switches={"GO": small.switch("rising", issued="2 m", role="control", **closes),
                  "NO": small.switch("falling", issued="1 m", role="control", **opens, **{"in": "LX-2"}),
                  "HH": small.switch("rising", issued="3 m", role="trip", **opens, **{"in": "LX-3"})},
        controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["GO"], "stops": "NO"}},
        interlocks={"I": lock({"any_of": ["HH", long_run]}, {"P-2": "stopped"}),
                    "J": lock("YS", {"P-2": "stopped"})},
        alarms={"LAHH": alarm}))
    for device, mode in (("LX-1", "stuck wet"), ("LX-2", "stuck wet"), ("P-1", "does not stop (contactor welded)")):
        one = effect(made, device, mode)
        assert one.later == (Later("I", "YS", True, "10 min"),)
        assert (one.acts, one.sees, one.sees_later, one.is_hidden) == ((), (), ("LAHH",), False)
    assert effect(made, "LX-2", "stuck dry").later == ()
    assert effect(made, "YS", "wire short").later == ()  # that is no running pump: the signal itself trips at once


@pytest.mark.parametrize(("damage", "sounds"), [
    (Damage({"A": True}), ("AB", "AC")), (Damage({"B": True}), ("AB",)), (Damage({"A": False}), ()),
    (Damage({"A": True, "B": True}), ("AC",)), (Damage({"A": True, "B": True, "C": True}), ()),
])
def test_a_float_that_differs_from_its_fellows_is_told_by_comparison(damage: Damage, sounds: tuple[str, ...]) -> None:
    alarm = {"text": "DIFFER", "priority": "low", "means": "x", "consequence": "x", "first": "x"}
    made = small.plant(
        signals={"D": {"area": "A", "service": "differ", "kind": "other"}},
        instruments={f"LX-{one}": small.body() for one in "ABC"},
        switches={one: small.switch("falling", issued="1 m", role="trip", **{"in": f"LX-{one}"}) for one in "ABC"},
        alarms={name: {"from": "D", "deviation_of": [f"LX-{one}" for one in name], **alarm} for name in ("AB", "AC")})
    assert deviating(made, Judge(made, Layers(made, {}, {}, {}, Book())), damage) == sounds


def test_a_level_that_everything_stopped_holds_still_goes_nowhere() -> None:
    """The mains takes the only pump that lowers the tank: nothing can take the level to where that pump runs bare."""
    made = small.worked(**plant(
        supplies={"MS": {"kind": "mains"}}, pumps={"P-1": small.pump(supply="MS"), "P-2": small.pump(supply="MS")},
        switches={"LL": small.switch("falling", issued="1 m", role="trip", contact={"at_the_point": "opens"}),
                  "GO": small.switch("rising", issued="2 m", role="control", contact={"at_the_point": "closes"})},
        hazards={"H": {"what": "runs bare", "harms": "equipment", "begins_at": "T-1 bottom", "safe_state": "stopped"}},
        controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["GO"], "stops": "LL"}},
        interlocks={"I": lock("LL", {"P-1": "stopped"}, hazard="H")}))
    assert [one.hazard for one in effect(made, "LL", "wire short").exposures] == ["H"]
    assert effect(made, "MS", "lost").exposures == ()
