"""A plant into which faults were planted: each is found, with a counter-example in words; sound plants stay silent."""

from functools import cache

import pytest

from generator import check
from generator.model.finding import Finding
from tests.pages.plants import context

PROVED = {"3.6", "3.7", "3.10", "5.1", "5.2", "5.3", "5.5", "5.7", "5.11", "5.12", "5.13", "5.14", "5.15", "5.16", "5.17",
          "5.18", "5.19", "5.20", "5.21", "5.22", "5.23", "5.24", "9.8", "9.10", "9.12"}
PLANTED = [
    ("two tanks want one valve open and closed", "5.3", "XV-12",
     "T-1 stands between 3.19 m and 3.22 m: LSHH-1 has acted; T-2 stands between 3.19 m and 3.22 m: LSHH-2 has acted"),
    ("two control voltages from one feed", "3.6", "I-1", "share supply MS-1"),
    ("one mains runs the inlet open and silences the trip", "3.10", "H-1", "MS-1 lost: C-1 runs on, so T-1 rises"),
    ("a trip over the overflow", "5.15", "I-4", "by then the liquid has left T-3"),
    ("high and low at once, beside another cause", "5.15", "I-6", "can never stand so that all of it is true"),
    ("a bypass that leaves nothing", "9.10", "I-2", "no trip and no alarm stands against H-2"),
    ("a reset that works too early", "5.5", "I-2", "LSHH-2 has acted. The cause of I-2 stands, and a reset pushed now is"),
    ("a vote with two contacts of one body", "3.7", "I-3", "LSHH-3A and LSHH-3B are both on LX-3A"),
    ("a trip that floods the tank upstream", "5.13", "I-3", "T-4 rises, and no alarm and no trip on T-4 acts"),
    ("points at different heights that must agree", "5.14", "I-5", "LSH-3 changes nothing, wherever the level is"),
    ("a permissive where a trip is needed", "5.7", "I-8", "P-2 runs. T-2 falls past LSLL-2"),
    ("the same in other words", "5.11", "I-9", "I-3 says the same"),
    ("an effect that feeds its cause", "5.12", "I-7", "By that T-3 rises further"),
    ("a machine that nothing moves", "5.2", "B-1", "no interlock or control moves it"),
    ("a cause without an effect", "5.1", "XS-2", "nothing rests on it"),
]


@cache
def failed(source: str) -> tuple[Finding, ...]:
    """What fails of the rules that the logic proves, waived or not."""
    made = context(source)
    review = check.review(made.plant, made.results, made.knowledge)
    return tuple(one for one in review.findings if one.rule in PROVED and one.verdict in ("fail", "waived"))


@pytest.mark.parametrize(("rule", "subject", "words"), [one[1:] for one in PLANTED], ids=[one[0] for one in PLANTED])
def test_a_planted_fault_is_found(rule: str, subject: str, words: str) -> None:
    found = [one for one in failed("tests/plants/faults.yml") if one.rule == rule and subject in one.subject.split(", ")]
    assert len(found) == 1
    assert words in found[0].stands
    assert found[0].evidence
    assert found[0].cure


def test_a_sound_plant_has_none() -> None:
    assert failed("tests/check/base.yml") == ()


def test_the_demo_plant_has_two_that_are_real() -> None:
    """One guide tube carries control, alarm and trip of the hypochlorite tank: stuck wet, it empties the tank unseen. The
    drain pumps start by themselves after a power failure, which is waived with a reason."""
    assert [(one.rule, one.subject, one.verdict) for one in failed("content/plant")] == [
        ("5.16", "I-611", "waived"), ("3.10", "HZ-25", "fail")]
