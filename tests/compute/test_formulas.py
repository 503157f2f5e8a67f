"""The search for a state against sympy's satisfiability, over random conditions; and votes against the published table."""

from itertools import combinations
from typing import Any

import pytest
import sympy
from hypothesis import given, settings

from generator.compute.damage import Damage, Judge
from generator.compute.formulas import Block, Formulas, No, search, smallest, together, value
from generator.compute.layers import Layers
from generator.model.condition import Condition
from generator.model.interlock import Interlock
from tests.compute import small
from tests.compute.test_logic import written
from tests.conditions import expression


def free(forms: Formulas) -> list[Block]:
    """Every bit by itself."""
    return [Block(1 << bit, (0, 1 << bit)) for bit in forms.bits.values()]


def held_free(form: Any) -> Any:
    """The same condition without its times: sympy's side takes every delay as over."""
    if isinstance(form, str):
        return form
    if "held" in form:
        return held_free(form["of"])
    (key, inner), = form.items()
    return {key: held_free(inner) if key == "not" else [held_free(part) for part in inner]}


@settings(deadline=None, max_examples=150)
@given(written)
def test_a_state_is_found_where_sympy_finds_one(form: object) -> None:
    forms = Formulas()
    condition = Condition.read(held_free(form))
    formula = forms.of(condition)
    found = search(formula, free(forms))
    assert found.is_complete
    assert found.is_possible == (sympy.satisfiable(expression(condition)) is not False)
    if found.is_possible:
        few = smallest(formula, free(forms), found)
        assert value(formula, few.true, few.known) is True
        chosen = {sympy.Symbol(tag): bool(few.true >> bit & 1) for tag, bit in forms.bits.items() if few.known >> bit & 1}
        assert expression(condition).subs(chosen) == True  # noqa: E712  # sympy's true, whatever is left open


@settings(deadline=None, max_examples=100)
@given(written, written)
def test_one_condition_covers_another_where_sympy_says_so(one: object, other: object) -> None:
    forms = Formulas()
    first, second = Condition.read(held_free(one)), Condition.read(held_free(other))
    apart = search(together(forms.of(first), No(forms.of(second))), free(forms))
    assert apart.is_possible == (sympy.satisfiable(sympy.And(expression(first), sympy.Not(expression(second)))) is not False)


def test_a_time_that_is_held_is_over_only_while_its_part_stands() -> None:
    forms = Formulas()
    formula = together(forms.of(Condition.read({"held": "5 s", "of": "A"})), No(forms.of(Condition.read("A"))))
    assert not search(formula, free(forms)).is_possible
    waiting = together(No(forms.of(Condition.read({"held": "5 s", "of": "A"}))), forms.of(Condition.read("A")))
    assert search(waiting, free(forms)).is_possible


# Dangerous and safe failures that an architecture bears: N - M and M - 1. IEC 61508-6:2010, annex B, architectures
# (from memory); the same arithmetic stands in every text on voting.
BORNE = {(1, 1): (0, 0), (1, 2): (1, 0), (2, 2): (0, 1), (2, 3): (1, 1), (1, 3): (2, 0), (2, 4): (2, 1), (3, 3): (0, 2)}


@pytest.mark.parametrize(("vote", "borne"), BORNE.items(), ids=lambda one: str(one))
def test_votes_bear_the_published_number_of_failures(vote: tuple[int, int], borne: tuple[int, int]) -> None:
    needed, members = vote
    points = [f"LS-{number}" for number in range(members)]
    plant = small.plant(
        instruments={f"LX-{number}": small.body() for number in range(members)},
        switches={tag: {"in": f"LX-{number}", "acts": "rising", "role": "trip", "height": {"issued": "3 m", "because": "x"}}
                  for number, tag in enumerate(points)},
    )
    judge = Judge(plant, Layers(plant, {}, {}, {}, None))  # type: ignore[arg-type]  # no book is asked for here
    lock = Interlock.model_validate({"area": "A", "service": "x", "kind": "trip", "because": "x", "then": {"XV": "closed"},
                                     "when": {f"{needed} of": points}})

    def bears(stuck: bool) -> int:
        """How many members, whichever they are, may show one state without harm."""
        for number in range(1, members + 1):
            for some_points in combinations(points, number):
                damage = Damage(dict.fromkeys(some_points, stuck))
                if (judge.asks(lock, damage) if stuck else not judge.can_ask(lock, damage)):
                    return number - 1
        return members

    assert (bears(stuck=False), bears(stuck=True)) == borne


def test_what_is_forced_is_no_question_any_more() -> None:
    """A fixed on leaves B alone; B fixed off leaves the negation of A; one that is fixed and not named changes nothing."""
    condition = Condition.read({"any_of": [{"all_of": ["A", "B"]}, {"not": "A"}]})
    for forced, true in (({"A": True}, {"B"}), ({"A": False}, {"", "B"}), ({"B": False}, {""}), ({"C": True}, {"", "B", "AB"})):
        forms = Formulas()
        made = forms.of(condition, forced)
        free = [tag for tag in "AB" if tag not in forced]
        found = set()
        for number in range(1 << len(free)):
            on = [tag for place, tag in enumerate(free) if number >> place & 1]
            bits = [forms.tag(tag) for tag in free]
            assert bits is not None
            mask = sum(1 << forms.bits[tag] for tag in on)
            known = sum(1 << forms.bits[tag] for tag in free)
            if value(made, mask, known):
                found.add("".join(on))
        assert found == true
