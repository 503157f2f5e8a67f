"""Truth of conditions against truth tables written out by hand."""

from itertools import product

import pytest

from generator.check.logic import can_act_without, is_true
from generator.model.condition import Condition

A_OR_B, A_AND_B, NOT_A = {"any_of": ["A", "B"]}, {"all_of": ["A", "B"]}, {"not": "A"}
TWO_OF_THREE = {"2 of": ["A", "B", "C"]}
HELD = {"held": "5 s", "of": "A"}


@pytest.mark.parametrize(("written", "true_for"), [
    ("A", {"A", "AB", "AC", "ABC"}),
    (A_OR_B, {"A", "B", "AB", "AC", "BC", "ABC"}),
    (A_AND_B, {"AB", "ABC"}),
    (NOT_A, {"", "B", "C", "BC"}),
    (TWO_OF_THREE, {"AB", "AC", "BC", "ABC"}),
    (HELD, {"A", "AB", "AC", "ABC"}),
    ({"all_of": [NOT_A, {"any_of": ["B", "C"]}]}, {"B", "C", "BC"}),
])
def test_truth(written: object, true_for: set[str]) -> None:
    condition = Condition.read(written)
    for bits in product((False, True), repeat=3):
        acted = {tag for tag, on in zip("ABC", bits, strict=True) if on}
        assert is_true(condition, acted) == ("".join(sorted(acted)) in true_for)


@pytest.mark.parametrize(("written", "dead", "acts"), [
    ("A", "A", False), ("A", "B", True), (A_OR_B, "A", True), (A_OR_B, "AB", False), (A_AND_B, "B", False),
    (NOT_A, "A", False), (NOT_A, "B", True),
    (TWO_OF_THREE, "A", True),  # 2 of 3 bears one dead member, not two: N - M
    (TWO_OF_THREE, "AB", False), (HELD, "A", False),
])
def test_dead_members(written: object, dead: str, acts: bool) -> None:
    assert can_act_without(Condition.read(written), set(dead)) == acts
