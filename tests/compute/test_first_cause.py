"""The first cause of a trip: its memory against Boolean equations simplified by sympy, and courses that tell it."""

from itertools import product

import pytest
from sympy import symbols  # type: ignore[import-untyped]  # the library has no types
from sympy.logic.boolalg import And, Not, Or  # type: ignore[import-untyped]  # the library has no types

from generator.compute import logic_states
from generator.compute.course_causes import FirstCauses
from generator.model.interlock import Interlock
from generator.model.scalar import Tag
from tests.compute.test_courses import run, scenario, sump

HELD_A, HELD_B, A, B, R = symbols("HELD_A HELD_B A B R")
EMPTY = And(Not(HELD_A), Not(HELD_B))
KEEPS = Not(And(R, Not(Or(A, B))))
AFTER = {"A": Or(And(HELD_A, KEEPS), And(EMPTY, A)), "B": Or(And(HELD_B, KEEPS), And(EMPTY, B))}
"""Each bit of the memory after one step, as a set-reset latch, blocked while the memory is taken."""


@pytest.mark.parametrize("bits", list(product((False, True), repeat=5)))
def test_memory_is_that_of_the_equations(bits: tuple[bool, ...]) -> None:
    values = dict(zip((HELD_A, HELD_B, A, B, R), bits, strict=True))
    before = [name for name, bit in zip("AB", bits, strict=False) if bit]
    standing = [name for name, bit in zip("AB", bits[2:], strict=False) if bit]
    after = logic_states.first_cause(before, standing, bits[4])
    assert set(after) == {name for name, wanted in AFTER.items() if bool(wanted.subs(values))}


def said(first: dict[str, str] | None, on: dict[str, str], when: object, **more: object) -> list[str]:
    """What a course says of a trip while signals come on at their times; a reset is tried at 60 s."""
    tags = ("SX-1", "SX-2", "SX-3")
    lock = {"area": "A", "service": "First", "kind": "trip", "because": "test", "when": when, "then": {"XV-1": "closed"},
            "latch": {"survives_power_loss": "no"}, "reset": {"at": [], "by": "x", "when": {"not": {"any_of": list(tags)}}}}
    if first is not None:
        lock["first_cause"] = first
    script = [{"at": at, "what": "x", "fails": tag} for tag, at in on.items()]
    script += [{"at": "50 s", "what": "x", "returns": tag} for tag in on] + [{"at": "60 s", "what": "x", "resets": ["I-1"]}]
    plant = sump(interlocks={"I-1": lock | more}, scenarios=scenario(*script, lasts="2 min"),
                 signals={tag: {"area": "A", "service": "x", "kind": "other"} for tag in tags})
    course, _ = run(plant, "one")
    return [event.what for event in course.events if event.kind == "interlock"]


ANY, VOTE = {"any_of": ["SX-1", "SX-2"]}, {"2 of": ["SX-1", "SX-2", "SX-3"]}
KEPT = {"held": "yes", "told_apart": "100 ms"}


@pytest.mark.parametrize(("first", "on", "when", "words"), [
    (KEPT, {"SX-2": "5 s", "SX-1": "6 s"}, ANY, "I-1 acts, first cause SX-2"),
    (KEPT, {"SX-1": "5 s", "SX-2": "5.05 s"}, ANY, "I-1 acts, first cause SX-1"),  # it has acted before SX-2 comes
    (KEPT, {"SX-3": "5 s", "SX-1": "20 s"}, VOTE, "I-1 acts, first cause SX-3"),
    (KEPT, {"SX-2": "19.95 s", "SX-1": "20 s"}, VOTE, "I-1 acts, first cause SX-1 or SX-2, not told apart"),
    (KEPT, {"SX-2": "19.9 s", "SX-1": "20 s"}, VOTE, "I-1 acts, first cause SX-2"),  # exactly 100 ms apart
    ({"held": "no"}, {"SX-2": "5 s"}, ANY, "I-1 acts, first cause SX-2 (nothing keeps it)"),
    (None, {"SX-2": "5 s"}, ANY, "I-1 acts, first cause SX-2 (not recorded whether anything keeps it)"),
    (None, {"SX-1": "5 s"}, {"all_of": ["SX-1", {"not": "SX-3"}]}, "I-1 acts, first cause SX-1 with SX-3 clear"),
])
def test_a_course_names_the_first_cause(first: dict[str, str] | None, on: dict[str, str], when: object, words: str) -> None:
    assert said(first, on, when) == [words, "I-1 lets go"]


def test_what_came_during_the_delay_counts_from_when_it_came() -> None:
    assert said(KEPT, {"SX-2": "5 s", "SX-1": "6 s"}, ANY, on_delay="4 s")[0] == "I-1 acts, first cause SX-2"


def test_a_manual_stop_is_a_cause() -> None:
    assert said(KEPT, {"SX-3": "5 s", "SX-1": "6 s"}, ANY, manual_stop="SX-3")[0] == "I-1 acts, first cause SX-3"


def test_a_cause_that_is_bypassed_is_no_first_cause() -> None:
    bypass = {"longest": "1 h", "needs": "x", "meanwhile": "x"}
    lock = {"area": "A", "service": "First", "kind": "trip", "because": "test", "when": ANY, "then": {"XV-1": "closed"},
            "latch": {"survives_power_loss": "no"}, "bypass": bypass, "manual_stop": "SX-3", "first_cause": KEPT}
    script = ({"at": "1 s", "what": "x", "bypasses": ["I-1"]}, {"at": "5 s", "what": "x", "fails": "SX-1"},
              {"at": "9 s", "what": "x", "fails": "SX-3"})
    plant = sump(interlocks={"I-1": lock}, scenarios=scenario(*script, lasts="2 min"),
                 signals={tag: {"area": "A", "service": "x", "kind": "other"} for tag in ("SX-1", "SX-2", "SX-3")})
    course, _ = run(plant, "one")
    assert [event.what for event in course.events if event.kind == "interlock"] == ["I-1 acts, first cause SX-3"]


def test_what_is_kept_outlives_its_cause_and_ends_with_the_trip() -> None:
    lock = Interlock.model_validate({"area": "A", "service": "x", "kind": "trip", "because": "x", "when": ANY,
                                     "then": {"XV": "closed"}, "manual_stop": "SX-3"})
    causes, tag = FirstCauses({Tag("I-1"): lock}), Tag("I-1")

    def step(now: float, *on: str, acts: bool = True) -> tuple[str, ...]:
        causes.follow(tag, now, lambda way: bool(set(way.tags()) & set(on)), "SX-3" in on, acts)
        return causes.held[tag]

    assert step(0, "SX-2", acts=False) == ()
    assert step(1, "SX-2", "SX-1") == ("SX-2",)
    assert step(2, "SX-1") == ("SX-2",)
    assert step(3) == ("SX-2",)
    assert step(4, acts=False) == ()
    assert step(5, "SX-3", "SX-1") == ("SX-1", "SX-3")
