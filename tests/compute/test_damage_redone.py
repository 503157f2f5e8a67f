"""What a damage leaves of an interlock, redone by sympy, an algebra of logic that the generator does not use; and of a control.

Every point stands once in the condition. Then a healthy point is a free symbol, and what is left is a question that sympy
answers: can the condition be satisfied at all, is it true whatever the free ones do. A point that cannot be counted on is
the constant that helps least: false where the condition asks for it, true where it asks for its opposite. Where levels
are among its causes they must be able to turn it: true with all that can be counted on, false with none, for some state
of the rest.
"""

from collections.abc import Mapping
from functools import cache
from typing import Any

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as some

from generator.compute.book import Book
from generator.compute.damage import Damage, Judge
from generator.compute.layers import Layers
from generator.model.condition import Acted, Condition, Not
from generator.model.interlock import Interlock
from generator.model.plant import Definitions
from generator.model.scalar import Tag
from tests.compute import small
from tests.conditions import expression

TRIPS, CONTROLS, BUTTON, LOST, OTHER = ("A", "B", "C"), ("D", "E"), "S", "L", "O"
BOTH = {"G": {"name": "Both", "pumps": ["P-1", "P-2"], "arrangement": "duty/assist"}}
TAGS = (*TRIPS, *CONTROLS, BUTTON, LOST, OTHER)
STATED = {**dict.fromkeys((*TRIPS, BUTTON, LOST), False), **dict.fromkeys((*CONTROLS, OTHER))}
"""In ordinary running no trip asks, nobody pushes, no supply is lost; of a control point and of a temperature it is open."""


@cache
def plant() -> Definitions:
    signals = {tag: {"area": "A", "service": "signal", "kind": kind} for tag, kind in (
        (BUTTON, "manual stop"), (LOST, "supply lost"), (OTHER, "temperature"))}
    roles = {**dict.fromkeys(TRIPS, "trip"), **dict.fromkeys(CONTROLS, "control")}
    return small.plant(signals=signals, switches={
        tag: small.switch("rising", issued="2 m", role=role) for tag, role in roles.items()})


@cache
def judge() -> Judge:
    return Judge(plant(), Layers(plant(), {}, {}, {}, Book()))


def lock(condition: Any, bad_signal: str) -> Interlock:
    return Interlock.model_validate({"area": "A", "service": "x", "kind": "trip", "because": "x", "when": condition,
                                     "then": {"XV": "closed"}, "bad_signal": bad_signal})


@some.composite
def conditions(draw: some.DrawFn) -> Any:
    """A condition in which every tag stands once: groups of groups, some negated."""
    parts: list[Any] = [tag if draw(some.booleans()) else {"not": tag}
                        for tag in draw(some.lists(some.sampled_from(TAGS), min_size=1, max_size=7, unique=True))]
    while len(parts) > 1:
        size = draw(some.integers(2, min(4, len(parts))))
        some_of = parts[:size]
        kind = draw(some.sampled_from(["any_of", "all_of", "vote"]))
        joined: Any = {f"{draw(some.integers(1, size))} of": some_of} if kind == "vote" else {kind: some_of}
        wrapped = draw(some.sampled_from(["plain", "not", "held"]))
        joined = {"not": joined} if wrapped == "not" else {"held": "5 s", "of": joined} if wrapped == "held" else joined
        parts = [*parts[size:], joined]
    return parts[0]


def asked_for(condition: Condition, positive: bool = True) -> dict[str, bool]:
    """Whether each tag is asked for as it is, or its opposite."""
    match condition:
        case Acted(tag=tag):
            return {str(tag): positive}
        case Not(part=part):
            return asked_for(part, not positive)
    parts = condition.parts()
    return {tag: way for part in parts for tag, way in asked_for(part, positive).items()}


damages = some.builds(
    Damage, forced=some.dictionaries(some.sampled_from(TAGS), some.booleans(), max_size=3),
    bad=some.frozensets(some.sampled_from(TAGS), max_size=3), still=some.frozensets(some.sampled_from(TAGS), max_size=3))
answers = some.sampled_from(["trips", "holds", "ignored"])


def put(condition: Condition, known: Mapping[str, bool]) -> Any:
    return expression(condition).subs({sympy.Symbol(tag): sympy.true if value else sympy.false for tag, value in known.items()})


@settings(deadline=None)
@given(conditions(), damages, answers)
def test_whether_a_cause_can_still_come_about_is_whether_a_level_can_turn_it(form: Any, damage: Damage, bad: str) -> None:
    condition = Condition.read(form)
    known: dict[str, bool] = {}
    for tag, way in asked_for(condition).items():
        if tag in damage.forced:
            known[tag] = damage.forced[tag]
        elif tag == BUTTON:
            known[tag] = False  # nobody pushes it
        elif tag in damage.bad:
            known[tag] = way if bad == "trips" else not way
        elif tag in damage.still:
            rest = STATED[tag]
            known[tag] = not way if rest is None else rest
    ways = asked_for(condition)
    useless = {tag: value for tag, value in known.items() if value != ways[tag]}
    levels = [tag for tag in ways if tag in (*TRIPS, *CONTROLS)]
    best = put(condition, {**{tag: ways[tag] for tag in levels}, **useless})
    worst = put(condition, {**{tag: not ways[tag] for tag in levels}, **useless})
    turned_by_level = sympy.And(best, sympy.Not(worst)) if levels else best
    assert judge().can_ask(lock(form, bad), damage) is (sympy.satisfiable(turned_by_level) is not False)


@settings(deadline=None)
@given(conditions(), damages, answers)
def test_whether_a_cause_stands_in_ordinary_running_is_whether_it_is_true_whatever_is_open(
    form: Any, damage: Damage, bad: str,
) -> None:
    condition = Condition.read(form)
    known: dict[str, bool] = {}
    for tag, way in asked_for(condition).items():
        rest = STATED[tag]
        if tag in damage.forced:
            known[tag] = damage.forced[tag]
        elif tag in damage.bad and bad == "trips":
            known[tag] = way
        elif rest is not None:
            known[tag] = rest
    wanted = sympy.satisfiable(sympy.Not(put(condition, known))) is False
    assert judge().asks(lock(form, bad), damage) is wanted


# ---- controls: by hand, from what a start-and-stop control is ---------------------------------------------------------


@cache
def pumped() -> Judge:
    made = small.plant(
        pumps={"P-1": small.pump(), "P-2": small.pump()}, pump_groups=BOTH,
        instruments={"LX-1": small.body(), "LX-2": small.body(known_defect="bent"),
                     "LT": small.body(technology="free space radar", signal="4-20 mA")},
        valves={"CV": {"area": "A", "service": "Outlet", "kind": "control"}},
        switches={tag: small.switch(acts, issued=height, role="control") for tag, acts, height in (
            ("STOP", "falling", "1 m"), ("START", "rising", "2 m"), ("MORE", "rising", "2.5 m"))} | {
            "HIGH": small.switch("rising", issued="3 m", **{"in": "LX-2"}),
            "SHOWN": small.switch("rising", issued="3 m", **{"in": "LT"})},
        controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G", "starts": ["START", "MORE"],
                        "stops": "STOP"},
                  "LC": {"kind": "modulating", "area": "A", "tank": "T-1", "moves": "CV", "measures": "LT",
                         "rising_level": "opens", "bad_signal": "shuts"}},
    )
    return Judge(made, Layers(made, {}, {}, {}, Book()))


@pytest.mark.parametrize(("damage", "does"), [
    (Damage(), ""),
    (Damage(forced={"STOP": True}), "does not run"),  # it is told to stop for ever
    (Damage(forced={"STOP": False}), "runs on"),  # once started nothing stops it
    (Damage(forced={"START": True}), "runs on"),
    (Damage(forced={"MORE": True}), "runs on"),
    (Damage(forced={"START": True, "STOP": True}), "does not run"),  # the stop wins
    (Damage(forced={"START": False}), ""),  # the other start point still starts a pump
    (Damage(forced={"START": False, "MORE": False}), "does not run"),
    (Damage(bad=frozenset({"START"})), "either"),
    (Damage(still=frozenset({"STOP"})), "either"),
    (Damage(dead=frozenset({"C"})), "either"),
    (Damage(dead=frozenset({"LC"})), ""),
    (Damage(states={"P-1": "stopped"}), ""),  # the other pump still runs
    (Damage(states={"P-1": "stopped", "P-2": "stopped"}), "does not run"),
    (Damage(states={"P-1": "running"}), "runs on"),
    (Damage(states={"P-1": "stopped", "P-2": "running"}), "runs on"),
    (Damage(states={"P-1": "stopped"}, dead=frozenset({"C"})), "either"),
])
def test_what_a_damage_does_to_a_start_and_stop_control(damage: Damage, does: str) -> None:
    assert pumped().control("C", damage) == does


@pytest.mark.parametrize(("damage", "does"), [
    (Damage(), ""),
    (Damage(forced={"LT reads": True}), "runs on"),  # it opens on a level that it takes for high
    (Damage(forced={"LT reads": False}), "does not run"),
    (Damage(bad=frozenset({"LT"})), "does not run"),  # a bad signal shuts it
    (Damage(bad=frozenset({"SHOWN"})), "does not run"),
    (Damage(still=frozenset({"LT"})), "either"),
    (Damage(states={"CV": "open"}), "runs on"),
    (Damage(states={"CV": "closed"}), "does not run"),
    (Damage(dead=frozenset({"LC"})), "either"),
])
def test_what_a_damage_does_to_a_loop(damage: Damage, does: str) -> None:
    assert pumped().control("LC", damage) == does


def test_a_body_with_a_defect_stands_still_with_its_points() -> None:
    assert pumped().defects == {"LX-2", "HIGH"}


@pytest.mark.parametrize(("then", "damage", "left"), [
    ({"XV": "closed"}, Damage(), "whole"),
    ({"XV": "closed"}, Damage(states={"XV": "closed"}), "whole"),  # it stands where it is wanted
    ({"XV": "closed"}, Damage(states={"XV": "open"}), "nothing"),
    ({"XV": "closed"}, Damage(dead=frozenset({"I"})), "nothing"),
    ({"XV": "closed"}, Damage(forced={"HH": False}), "nothing"),
    ({"XV": "closed"}, Damage(unreached=frozenset({("I", "XV")})), "nothing"),
    ({"XV": "closed"}, Damage(unreached=frozenset({("J", "XV")})), "whole"),
    ({"XV": "closed", "P-1": "stopped"}, Damage(states={"XV": "open"}), "part"),
    ({"XV": "closed", "HORN": "on"}, Damage(states={"XV": "open"}), "nothing"),  # a horn keeps no liquid back
    ({"XV": "closed", "HORN": "on"}, Damage(states={"HORN": "off"}), "part"),
    ({"HORN": "on"}, Damage(), "whole"),
    ({"HORN": "on"}, Damage(states={"HORN": "off"}), "nothing"),
    ({"G": "running"}, Damage(states={"P-1": "stopped"}), "whole"),  # one of the two is enough to pump
    ({"G": "running"}, Damage(states={"P-1": "stopped", "P-2": "stopped"}), "nothing"),
    ({"G": "stopped"}, Damage(states={"P-1": "running"}), "nothing"),  # one that runs on is enough to pump
    ({"G": "stopped"}, Damage(unreached=frozenset({("I", "P-2")})), "nothing"),
    ({"G": "running"}, Damage(unreached=frozenset({("I", "P-2")})), "whole"),
    ({"G": "running"}, Damage(unreached=frozenset({("I", "G")})), "nothing"),
])
def test_what_a_damage_leaves_of_an_interlock(then: dict[str, str], damage: Damage, left: str) -> None:
    made = small.plant(
        pumps={"P-1": small.pump(), "P-2": small.pump()}, pump_groups=BOTH,
        valves={"XV": {"area": "A", "service": "Inlet", "kind": "on-off"}},
        equipment={"HORN": {"area": "A", "service": "Horn", "kind": "horn"}},
        switches={"HH": small.switch("rising", issued="3 m", role="trip")},
        interlocks={"I": {"area": "A", "service": "x", "kind": "trip", "because": "x", "when": "HH", "then": then}})
    judge = Judge(made, Layers(made, {}, {}, {}, Book()))
    assert judge.reach("I", made.interlocks[Tag("I")], damage) == left
