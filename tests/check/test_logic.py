"""What a condition can still do with dead members, against tables written out by hand."""

import pytest

from generator.check.logic import can_act_without
from generator.model.condition import Condition

A_OR_B, A_AND_B, NOT_A = {"any_of": ["A", "B"]}, {"all_of": ["A", "B"]}, {"not": "A"}
TWO_OF_THREE = {"2 of": ["A", "B", "C"]}
HELD = {"held": "5 s", "of": "A"}


@pytest.mark.parametrize(("written", "dead", "acts"), [
    ("A", "A", False), ("A", "B", True), (A_OR_B, "A", True), (A_OR_B, "AB", False), (A_AND_B, "B", False),
    (NOT_A, "A", False), (NOT_A, "B", True),
    (TWO_OF_THREE, "A", True),  # 2 of 3 bears one dead member, not two: N - M
    (TWO_OF_THREE, "AB", False), (HELD, "A", False),
])
def test_dead_members(written: object, dead: str, acts: bool) -> None:
    assert can_act_without(Condition.read(written), set(dead)) == acts
