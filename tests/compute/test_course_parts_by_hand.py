"""One moment of a course: interlocks redone by sympy; orders, permissives, pumps in turn and flows worked by hand.

Points and final elements are stood in for, so that each says just what the test says of it.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any, cast

import pytest
import sympy
from hypothesis import given, settings

from generator.compute.course_links import Links
from generator.compute.course_logic import Logic
from generator.compute.course_machines import Machines
from generator.compute.course_points import Points
from generator.compute.timed import Moving, Timed
from generator.model.condition import Condition
from generator.model.plant import Definitions
from generator.model.scalar import Tag
from tests.compute import small
from tests.compute.test_logic import TAGS, written
from tests.conditions import expression


@dataclass
class Shown:
    """What points show: those that have acted, those with a bad signal, those of which nothing is known."""

    on: set[str] = field(default_factory=set)
    bad: set[str] = field(default_factory=set)
    unknown: set[str] = field(default_factory=set)
    faults: dict[str, str] = field(default_factory=dict)
    own: tuple[str, ...] = ()
    is_instant: bool = True
    links: Links = field(default_factory=lambda: Links(small.plant()))

    def acted(self, tag: str) -> bool:
        return tag in self.on

    def is_bad(self, tag: str) -> bool:
        return tag in self.bad

    def is_known(self, tag: str) -> bool:
        return tag not in self.unknown

    def held_back(self) -> frozenset[tuple[str, str]]:
        return frozenset()


@dataclass
class Stand:
    """Where final elements stand, and which of them are out."""

    moving: dict[Tag, str]
    out: frozenset[str] = frozenset()

    def state(self, tag: str) -> str:
        return self.moving.get(Tag(tag), "")

    def is_available(self, tag: str) -> bool:
        return tag not in self.out


def lock(when: Any, then: dict[str, str] | None = None, **keys: Any) -> dict[str, Any]:
    return {"area": "A", "service": "x", "kind": "trip", "because": "x", "when": when, "then": then or {"XV": "closed"}} | keys


def plant(**nouns: Any) -> Definitions:
    """Four points, two pumps in a group, a valve, a heater."""
    return small.plant(**({
        "switches": {tag: small.switch("rising", issued=f"{number} m") for number, tag in enumerate((*TAGS, "STOP"), 1)},
        "pumps": {"P-1": small.pump(), "P-2": small.pump()}, "equipment": {"E": {"area": "A", "service": "x", "kind": "heater"}},
        "valves": {"XV": {"area": "A", "service": "Inlet", "kind": "on-off"}},
        "modes": {"auto": {"name": "auto", "means": "x"}, "hand": {"name": "hand", "means": "x"}},
    } | nouns))


def logic(made: Definitions, shown: Shown, rest: dict[str, str], out: Iterable[str] = ()) -> Logic:
    stand = Stand({Tag(tag): state for tag, state in rest.items()}, frozenset(out))
    return Logic(made, ("T-1",), cast("Points", shown), cast("Machines", stand), rest)


@settings(deadline=None, max_examples=40)
@given(written)
def test_an_interlock_acts_in_just_the_states_in_which_sympy_says_that_its_cause_is_true(form: Any) -> None:
    """Of each random cause all sixteen states."""
    made = plant(interlocks={"I": lock(form)})
    said = expression(Condition.read(form))
    for number in range(1 << len(TAGS)):
        on = {tag for place, tag in enumerate(TAGS) if number >> place & 1}
        wanted = bool(said.subs({sympy.Symbol(tag): tag in on for tag in TAGS}))
        orders = logic(made, Shown(on), {"XV": "open"}).follow(0.0)
        assert orders["XV"] == ("closed" if wanted else "open")


@pytest.mark.parametrize(("when", "bad_signal", "on", "acts"), [
    ("A", "trips", "", True), ("A", "holds", "", False), ("A", "holds", "A", True), ("A", "ignored", "A", False),
    ({"not": "A"}, "trips", "A", True),  # a bad signal trips, whichever way it is asked
    ({"not": "A"}, "ignored", "", False),  # and takes no part, whichever way
    ({"2 of": ["A", "B", "C"]}, "trips", "B", True), ({"2 of": ["A", "B", "C"]}, "ignored", "AB", False),
    ({"2 of": ["A", "B", "C"]}, "ignored", "BC", True), ({"all_of": ["A", "B"]}, "trips", "B", True),
])
def test_what_a_bad_signal_counts_as(when: Any, bad_signal: str, on: str, acts: bool) -> None:
    made = plant(interlocks={"I": lock(when, bad_signal=bad_signal)})
    work = logic(made, Shown(set(on), bad={"A"}), {"XV": "open"})
    assert (work.follow(0.0)["XV"] == "closed") is acts


def test_a_latch_holds_until_its_reset_is_accepted() -> None:
    made = plant(interlocks={"I": lock("A", latch={"survives_power_loss": "no"}, reset={
        "at": ["PB"], "by": "operator", "when": {"not": "A"}}), "J": lock("B", {"E": "off"})},
        panels={"PB": {"area": "A", "where": "x"}})
    shown = Shown({"A", "B"})
    work = logic(made, shown, {"XV": "open", "E": "on"})
    assert work.follow(0.0) == {"XV": "closed", "E": "off"}
    assert work.is_accepted(Tag("I"), 0.0) is False and work.reset(Tag("I"), 0.0) is False
    assert work.is_accepted(Tag("J"), 0.0) is None and work.reset(Tag("J"), 0.0) is False
    shown.on.clear()
    assert work.follow(1.0) == {"XV": "closed", "E": "on"}
    assert work.reset(Tag("I"), 1.0) is True and work.reset(Tag("NONE"), 1.0) is False
    assert work.follow(2.0) == {"XV": "open", "E": "on"}


def test_a_reset_that_asks_for_a_time_is_accepted_once_that_is_over() -> None:
    """Clear for 10 s: from 5 s on, for 8 s and not long enough; from 20 s on, and so from 30 s."""
    reset = {"at": ["PB"], "by": "operator", "when": {"held": "10 s", "of": {"not": "A"}}}
    made = plant(interlocks={"I": lock("A", latch={"survives_power_loss": "no"}, reset=reset)},
                 panels={"PB": {"area": "A", "where": "x"}})
    shown = Shown({"A"}, is_instant=False)
    work = logic(made, shown, {"XV": "open"})
    for now, on in ((0.0, "A"), (5.0, ""), (13.0, "A"), (20.0, "")):
        shown.on = set(on)
        assert work.follow(now)["XV"] == "closed"
    assert 30.0 in list(work.dues())
    assert work.reset(Tag("I"), 29.9) is False
    assert work.reset(Tag("I"), 30.0) is True
    assert work.follow(30.0)["XV"] == "open"


@pytest.mark.parametrize(("bypassed", "mode", "acts"), [
    ((), None, True), (("I",), None, False), (("J",), None, True), ((), "auto", True), ((), "hand", False),
])
def test_an_interlock_that_is_bypassed_or_not_live_is_silent(bypassed: tuple[str, ...], mode: str | None, acts: bool) -> None:
    work = logic(plant(interlocks={"I": lock("A", live_in=["auto"])}), Shown({"A"}), {"XV": "open"})
    work.bypassed, work.asleep = set(map(Tag, bypassed)), frozenset({"I"} if mode == "hand" else ())
    assert (work.follow(0.0)["XV"] == "closed") is acts


@pytest.mark.parametrize(("ends", "moment", "on", "acts"), [
    ({"ends": {"not": "B"}}, 5.0, "AB", False), ({"ends": {"not": "B"}}, 5.0, "A", True),
    ({"ends_after": "10 min"}, 599.0, "AB", False), ({"ends_after": "10 min"}, 600.0, "AB", True),
    ({"ends": {"not": "B"}, "ends_after": "10 min"}, 600.0, "AB", True),
])
def test_a_start_up_bypass_ends_by_itself(ends: dict[str, Any], moment: float, on: str, acts: bool) -> None:
    bypass = {"longest": "1 h", "needs": "shift lead", "meanwhile": "a person watches", "start_up_only": "yes", **ends}
    work = logic(plant(interlocks={"I": lock("A", bypass=bypass)}), Shown({"A", "B"}), {"XV": "open"})
    work.bypass(Tag("I"), True, 0.0)
    assert work.follow(0.0)["XV"] == "open"
    assert list(work.dues()) == ([600.0] if "ends_after" in ends else [])
    work.points.on = set(on)
    assert (work.follow(moment)["XV"] == "closed") is acts
    assert work.ended == (["I"] if acts else [])
    assert (work.follow(moment)["XV"] == "closed") is acts, "it stays ended"


def test_a_start_up_bypass_that_a_person_ends_has_not_ended_by_itself() -> None:
    bypass = {"longest": "1 h", "needs": "shift lead", "meanwhile": "x", "start_up_only": "yes", "ends_after": "10 min"}
    work = logic(plant(interlocks={"I": lock("A", bypass=bypass)}), Shown({"A"}), {"XV": "open"})
    work.bypass(Tag("I"), True, 0.0)
    work.bypass(Tag("I"), False, 60.0)
    assert work.follow(600.0)["XV"] == "closed"
    assert work.ended == [] and list(work.dues()) == []


def test_a_manual_stop_acts_whatever_the_cause_says_and_a_bypass_leaves_it() -> None:
    made = plant(signals={"HS": {"area": "A", "service": "stop", "kind": "manual stop"}},
                 interlocks={"I": lock("A", manual_stop="HS")})
    for pushed in (True, False):
        work = logic(made, Shown({"HS"} if pushed else set()), {"XV": "open"})
        work.bypassed = {Tag("I")}
        assert (work.follow(0.0)["XV"] == "closed") is pushed


@pytest.mark.parametrize(("first", "second", "state", "undecided"), [
    ({"XV": "closed"}, {"XV": "open"}, "closed", True), ({"XV": "open"}, {"XV": "closed"}, "closed", True),
    ({"XV": "open"}, {"XV": "open"}, "open", False),
])
def test_where_two_want_two_things_what_shuts_is_taken(
    first: dict[str, str], second: dict[str, str], state: str, undecided: bool,
) -> None:
    work = logic(plant(interlocks={"I": lock("A", first), "J": lock("B", second)}), Shown({"A", "B"}), {"XV": "open"})
    assert work.follow(0.0)["XV"] == state
    assert work.undecided == ({("XV", "I", "J")} if undecided else set())


def test_the_one_that_wins_over_the_other_is_followed() -> None:
    locks = {"I": lock("A", {"XV": "open"}, wins_over=["J"]), "J": lock("B", {"XV": "closed"})}
    work = logic(plant(interlocks=locks), Shown({"A", "B"}), {"XV": "closed"})
    assert work.follow(0.0)["XV"] == "open" and not work.undecided
    assert logic(plant(interlocks=locks), Shown({"B"}), {"XV": "open"}).follow(0.0)["XV"] == "closed"


@pytest.mark.parametrize(("stands", "on", "unknown", "runs"), [
    ("stopped", "", "", "stopped"),  # not permitted: it may not start
    ("stopped", "B", "", "running"), ("stopped", "", "B", "running"),  # nothing is known: nothing bars it
    ("running", "", "", "running"),  # a permissive stops nothing
])
def test_a_permissive_bars_a_start_and_stops_nothing(stands: str, on: str, unknown: str, runs: str) -> None:
    made = plant(interlocks={"I": lock("B", {"P-1": "running"}, kind="permissive")}, controls={"C": {
        "kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["A"], "stops": "STOP"}})
    assert logic(made, Shown({"A", *on}, unknown=set(unknown)), {"P-1": stands}).follow(0.0)["P-1"] == runs
    assert logic(made, Shown({"STOP"}), {"P-1": stands}).follow(0.0)["P-1"] == "stopped"  # a stop is never barred


@pytest.mark.parametrize(("moves", "names"), [("P-1", ("running", "stopped")), ("XV", ("open", "closed")), ("E", ("on", "off"))])
def test_a_control_starts_and_stops_in_the_words_of_what_it_moves(moves: str, names: tuple[str, str]) -> None:
    made = plant(controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": moves, "starts": ["A"],
                                 "stops": "STOP"}})
    shown = Shown({"A"})
    work = logic(made, shown, {moves: names[1]})
    told = []
    for on in ("A", "", ("A", "STOP"), "", "A"):  # it starts, goes on, the stop wins, stays off, starts again
        shown.on = set(on)
        told.append(work.follow(0.0)[moves])
    assert told == [names[0], names[0], names[1], names[1], names[0]]
    shown.faults = {"C": "on"}
    shown.on = {"STOP"}
    assert work.follow(0.0)[moves] == names[0]
    shown.faults = {"C": "off"}
    assert work.follow(0.0)[moves] == names[1]


@pytest.mark.parametrize(("arrangement", "alternation", "out", "cycles"), [
    # pumps that run after one start point and after both, in three cycles
    ("duty/assist", "yes", (), [("1", "12"), ("2", "12"), ("1", "12")]),
    ("duty/assist", None, (), [("1", "12"), ("1", "12"), ("1", "12")]),
    ("duty/assist", None, ("P-1",), [("1", "12"), ("1", "12"), ("1", "12")]),  # nobody takes its place
    ("duty/standby", None, ("P-1",), [("12", "12"), ("12", "12"), ("12", "12")]),  # the other one does; the order to it stays
])
def test_pumps_of_a_group_in_turn(
    arrangement: str, alternation: str | None, out: tuple[str, ...], cycles: list[tuple[str, str]],
) -> None:
    group = {"name": "Both", "pumps": ["P-1", "P-2"], "arrangement": arrangement} | (
        {"alternation": alternation} if alternation else {})
    made = plant(pump_groups={"G": group}, controls={"C": {
        "kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G", "starts": ["A", "B"], "stops": "STOP"}})
    shown = Shown()
    work = logic(made, shown, {"P-1": "stopped", "P-2": "stopped"}, out)
    for one, both in cycles:
        for on, wanted in (({"A"}, one), ({"A", "B"}, both), ({"STOP"}, "")):
            shown.on = on
            orders = work.follow(0.0)
            assert "".join(pump[-1] for pump in ("P-1", "P-2") if orders[pump] == "running") == wanted


# ---- a delay and a stroke --------------------------------------------------------------------------------------------


def test_a_delay_follows_without_a_break_and_is_forgotten_by_one() -> None:
    timed = Timed()
    asked = [(0.0, True, False), (1.0, False, False), (2.0, True, False), (3.9, True, False), (4.0, True, True),
             (5.0, False, True), (7.9, False, True), (8.0, False, False)]
    for now, is_asked, wanted in asked:
        assert timed.follow(is_asked, now, on=2.0, off=3.0) is wanted


def test_a_stroke_ends_after_its_time_and_says_so_once() -> None:
    valve = Moving("open")
    assert [valve.go("closed", now, 8.0) for now in (0.0, 7.9, 8.0, 9.0)] == [False, False, True, False]
    assert [valve.go("open", now, 8.0) for now in (10.0, 12.0)] == [False, False]
    assert [valve.go("closed", 13.0, 8.0), valve.state] == [False, "closed"]  # turned back on its way: it never left
    assert [valve.go("open", now, 8.0) for now in (14.0, 18.0, 22.0)] == [False, False, True]  # the time runs anew
