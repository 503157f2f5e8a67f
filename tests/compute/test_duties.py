"""What rests on a point, told by hand: whether it is the point's action or its return, and what is still lacking then."""

from typing import Any

import pytest

from generator.compute.duties import Duty, duties
from tests.compute import small

TAGS = ("A", "B", "C", "D")


def rests(when: Any, kind: str = "trip", then: dict[str, str] | None = None, **nouns: Any) -> tuple[Duty, ...]:
    """What rests on A."""
    lock = {"area": "A", "service": "x", "kind": kind, "because": "x", "when": when, "then": then or {"XV": "closed"}}
    return duties(small.plant(
        switches={tag: small.switch("rising", issued=f"{number} m") for number, tag in enumerate(TAGS, 1)},
        valves={"XV": {"area": "A", "service": "x", "kind": "on-off"}}, pumps={"P": small.pump()},
        interlocks={"I": lock}, **nouns), "A")


@pytest.mark.parametrize(("when", "kind", "then", "what", "on_act"), [
    ("A", "trip", {"XV": "closed"}, "stops", True), ({"not": "A"}, "trip", {"XV": "closed"}, "stops", False),
    ("A", "trip", {"P": "running"}, "starts to protect", True),
    ({"not": "A"}, "trip", {"P": "running"}, "starts to protect", False),
    ("A", "trip", {"P": "running", "XV": "closed"}, "stops", True),
    # a permissive lets through while its cause stands: what protects is the other state
    ("A", "permissive", {"P": "running"}, "withholds a start", False),
    ({"not": "A"}, "permissive", {"P": "running"}, "withholds a start", True),
])
def test_which_state_of_the_point_is_the_demand(when: Any, kind: str, then: dict[str, str], what: str, on_act: bool) -> None:
    (one,) = rests(when, kind, then)
    assert (one.tag, one.kind, one.on_act) == ("I", what, on_act)


@pytest.mark.parametrize(("when", "lacks"), [
    ("A", ""), ({"any_of": ["A", "B"]}, ""), ({"any_of": [{"held": "5 s", "of": "A"}, "B"]}, ""),
    ({"1 of": ["A", "B"]}, ""),  # one of two is each of them by itself
    ({"2 of": ["A", "B", "C"]}, "1 of the other 2 has acted too"),
    ({"3 of": ["A", "B", "C", "D"]}, "2 of the other 3 have acted too"),
    ({"all_of": ["A", "B"]}, "the rest of its cause stands too"),
    ({"any_of": [{"all_of": ["A", "B"]}, "C"]}, "the rest of its cause stands too"),
    ({"2 of": [{"all_of": ["A", "B"]}, "C", "D"]}, "the rest of its cause stands too"),
])
def test_what_is_still_lacking_when_the_point_has_acted(when: Any, lacks: str) -> None:
    (one,) = rests(when)
    assert one.words == ("I acts: XV closed" if not lacks else f"I counts this point as acted, and acts (XV closed) once {lacks}")


def test_alarms_and_controls_answer_to_the_action_of_the_point() -> None:
    control = {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P", "starts": ["B"], "stops": "A"}
    alarm = {"from": "A", "text": "HIGH", "priority": "high", "means": "x", "first": "x"}
    found = rests("D", controls={"C": control, "V": control | {"moves": "XV", "starts": ["A", "B"], "stops": "C"}},
                  alarms={"L": alarm})
    assert [(one.tag, one.kind, one.on_act, one.words) for one in found] == [
        ("C", "control", True, "C stops P"), ("V", "control", True, "V opens pump 1 of XV"),
        ("L", "alarm", True, "alarm L sounds")]
