"""Conditions against sympy, over random conditions and states; and hand-worked rows of truth tables."""

from itertools import product

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as some

from generator.compute.logic import demanded, evaluate
from generator.model.condition import Condition
from generator.model.interlock import Interlock
from tests.conditions import expression

TAGS = "ABCD"


def votes(parts: some.SearchStrategy[object]) -> some.SearchStrategy[object]:
    """Votes of any strength, one that can never be met included."""
    return some.tuples(some.integers(1, 4), some.lists(parts, min_size=1, max_size=4)).map(
        lambda pair: {f"{pair[0]} of": pair[1]}
    )


written = some.recursive(
    some.sampled_from(TAGS),
    lambda parts: some.one_of(
        some.lists(parts, min_size=1, max_size=3).map(lambda inner: {"any_of": inner}),
        some.lists(parts, min_size=1, max_size=3).map(lambda inner: {"all_of": inner}),
        parts.map(lambda inner: {"not": inner}),
        parts.map(lambda inner: {"held": "5 s", "of": inner}),
        votes(parts),
    ),
    max_leaves=8,
)


@settings(deadline=None)
@given(written, some.sets(some.sampled_from(TAGS)))
def test_a_condition_says_what_sympy_says(form: object, acted: set[str]) -> None:
    condition = Condition.read(form)
    state = {sympy.Symbol(tag): tag in acted for tag in TAGS}
    assert evaluate(condition, acted) == bool(expression(condition).subs(state))


@settings(deadline=None)
@given(written, some.sets(some.sampled_from(TAGS)), some.sets(some.sampled_from(TAGS)))
def test_an_answer_given_in_doubt_holds_however_the_doubt_ends(
    form: object, acted: set[str], unknown: set[str],
) -> None:
    condition = Condition.read(form)
    answer = evaluate(condition, acted - unknown, unknown)
    if answer is None:
        return
    for ends in product((False, True), repeat=len(unknown)):
        state = (acted - unknown) | {tag for tag, on in zip(sorted(unknown), ends, strict=True) if on}
        assert evaluate(condition, state) is answer


# Hand-worked; the three-valued rows are Kleene's strong tables (1952, from memory).
@pytest.mark.parametrize(("form", "acted", "unknown", "answer"), [
    ({"2 of": ["A", "B", "C"]}, "AB", "", True),
    ({"2 of": ["A", "B", "C"]}, "A", "", False),
    ({"2 of": ["A", "B", "C"]}, "A", "B", None),
    ({"2 of": ["A", "B", "C"]}, "", "A", False),
    ({"any_of": ["A", "B"]}, "A", "B", True),
    ({"any_of": ["A", "B"]}, "", "B", None),
    ({"all_of": ["A", "B"]}, "", "B", False),
    ({"all_of": ["A", "B"]}, "A", "B", None),
    ({"not": "A"}, "", "A", None),
    ({"held": "10 s", "of": "A"}, "A", "", True),
])
def test_rows_of_truth_tables(form: object, acted: str, unknown: str, answer: bool | None) -> None:
    assert evaluate(Condition.read(form), set(acted), set(unknown)) is answer


def lock(**more: object) -> Interlock:
    return Interlock.model_validate(
        {"area": "10", "service": "trip", "kind": "trip", "when": "A", "then": {"V": "closed"}, **more}
    )


def test_a_bypass_takes_out_the_cause_and_leaves_the_manual_stop() -> None:
    trip = lock(manual_stop="B")
    assert demanded(trip, {"A"}) is True
    assert demanded(trip, {"A"}, bypassed=True) is False
    assert demanded(trip, {"B"}, bypassed=True) is True
    assert demanded(trip, set(), unknown={"B"}) is None
    assert demanded(trip, {"A"}, unknown={"B"}) is True
    assert demanded(lock(), set(), unknown={"A"}) is None
