"""Questions to interlocks, each answered by hand on a tank with a high and a low point; coverage redone by sympy."""

from typing import Any

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as some

from generator.compute.proofs_of_causes import ProofsOfCauses
from generator.compute.world import World
from generator.model.condition import Condition
from generator.model.proof import Proof
from generator.model.scalar import Tag
from tests.compute import small
from tests.conditions import expression

POINTS = {"LL": ("falling", "0.5 m"), "L": ("falling", "1 m"), "H": ("rising", "2 m"), "HH": ("rising", "3 m")}
"""Four points of one tank, far apart: the level can never have passed a low and a high one at once."""


def lock(when: Any, then: dict[str, str] | None = None, **keys: Any) -> dict[str, Any]:
    return {"area": "A", "service": "x", "kind": "trip", "because": "x", "when": when, "then": then or {"XV-1": "closed"}} | keys


def nouns(locks: dict[str, Any]) -> dict[str, Any]:
    """A tank with the four points, a temperature O, two inlet valves, a pump that empties it, and interlocks on them."""
    return {
        "plant": {"defaults": {"accuracy": {"own": "5 mm"}}},
        "instruments": {f"LX-{tag}": small.body(differential="50 mm") for tag in POINTS},
        "switches": {tag: small.switch(acts, issued=height, role="trip", **{"in": f"LX-{tag}"})
                  for tag, (acts, height) in POINTS.items()},
        "signals": {"O": {"area": "A", "service": "hot", "kind": "temperature"}},
        "streams": {"in": small.stream("outside", "T-1", "10 m3/h", through=["XV-1", "XV-2"]),
                 "out": small.stream("T-1", "outside", "10 m3/h", moved_by="P-1")},
        "valves": {tag: {"area": "A", "service": "inlet", "kind": "on-off"} for tag in ("XV-1", "XV-2")},
        "panels": {"PB": {"area": "A", "where": "gallery"}}, "pumps": {"P-1": small.pump(), "P-2": small.pump()},
        "modes": {tag: {"name": tag, "means": tag} for tag in ("auto", "hand")},
        "interlocks": {name.replace("_", "-"): one for name, one in locks.items()}}


def proofs(**locks: dict[str, Any]) -> dict[tuple[str, str], Proof]:
    """Proofs by question and interlock."""
    results = small.worked(**nouns(locks))
    return {(proof.question, proof.subject): proof for of_one in results.proofs.values() for proof in of_one}


def once(**locks: dict[str, Any]) -> str:
    """Evidence that an interlock says what another says; empty where it stands once."""
    found = proofs(**locks)["interlock stands once", "I-1"]
    assert found.verdict == ("fails" if found.evidence else "holds")
    return found.evidence


def test_two_that_say_the_same_are_told_apart_from_one_that_covers() -> None:
    assert once(I_1=lock("HH"), I_2=lock("HH")) == "same as I-2"
    either, wide = {"any_of": ["HH", "O"]}, {"XV-1": "closed", "P-1": "stopped"}
    assert once(I_1=lock("HH"), I_2=lock(either)) == "covered by I-2"
    assert once(I_1=lock(either), I_2=lock("HH")) == ""  # I-2 says less
    assert once(I_1=lock("HH"), I_2=lock("HH", wide)) == "covered by I-2"
    assert once(I_1=lock("HH", wide), I_2=lock("HH")) == ""
    assert once(I_1=lock("HH"), I_2=lock("HH", {"XV-1": "open"})) == ""


@pytest.mark.parametrize(("mine", "theirs", "covered"), [
    ({}, {"kind": "permissive", "because": "x"}, False),  # a permissive stops nothing
    ({}, {"kind": "releasing interlock"}, False),  # what holds a trip must be a trip
    ({"kind": "releasing interlock"}, {}, True),
    ({"kind": "releasing interlock"}, {"kind": "releasing interlock"}, True),
    ({}, {"on_delay": "2 s"}, False),  # later than its own
    ({"on_delay": "2 s"}, {}, True),
    ({"on_delay": "2 s"}, {"on_delay": "2 s"}, True),
    ({"on_delay": "2 s"}, {"on_delay": "3 s"}, False),
    ({"live_in": ["auto", "hand"]}, {"live_in": ["auto"]}, False),  # silent in hand
    ({"live_in": ["auto"]}, {"live_in": ["auto", "hand"]}, True),
    ({"live_in": ["auto"]}, {"live_in": ["auto"]}, True),
])
def test_one_covers_another_only_as_firmly_as_early_and_as_long(
    mine: dict[str, Any], theirs: dict[str, Any], covered: bool,
) -> None:
    assert bool(once(I_1=lock("HH", **mine), I_2=lock("HH", **theirs))) is covered


written = some.recursive(
    some.sampled_from(["LL", "HH", "O"]),
    lambda parts: some.one_of(
        some.lists(parts, min_size=1, max_size=3).map(lambda inner: {"any_of": inner}),
        some.lists(parts, min_size=1, max_size=3).map(lambda inner: {"all_of": inner}),
        parts.map(lambda inner: {"not": inner}),
        some.lists(parts, min_size=2, max_size=3).map(lambda inner: {"2 of": inner})), max_leaves=5)


@settings(deadline=None, max_examples=40)
@given(written, written)
def test_an_interlock_is_covered_where_sympy_says_that_its_cause_follows(mine: Any, theirs: Any) -> None:
    one, other = (expression(Condition.read(form)) for form in (mine, theirs))
    follows = sympy.satisfiable(sympy.And(one, sympy.Not(other))) is False
    back = sympy.satisfiable(sympy.And(other, sympy.Not(one))) is False
    are_near = bool(set(Condition.read(mine).tags()) & set(Condition.read(theirs).tags()))
    wanted = ("same as I-2" if back else "covered by I-2") if follows and are_near else ""
    plant = small.plant(**nouns({"I_1": lock(mine), "I_2": lock(theirs)}))
    work = ProofsOfCauses(plant, World(plant, {}, {}))
    assert work.stands_once(Tag("I-1"), plant.interlocks[Tag("I-1")]).evidence == wanted


@pytest.mark.parametrize(("when", "verdict", "evidence"), [
    ("HH", "holds", ""),
    ({"all_of": ["HH", "LL"]}, "fails", "HH and LL at once"),
    ({"all_of": ["HH", "H"]}, "holds", ""),
    ({"any_of": ["HH", {"all_of": ["H", "L"]}]}, "fails", "H and L at once"),  # one of its alternatives
    ({"any_of": ["HH", {"not": "HH"}]}, "fails", "always true"),
    ({"all_of": ["O", {"not": "O"}]}, "fails", "O never"),
    ({"any_of": ["O", {"not": "H"}]}, "holds", ""),
])
def test_a_cause_that_can_come_true(when: Any, verdict: str, evidence: str) -> None:
    found = proofs(I=lock(when))["cause can come true", "I"]
    assert (found.verdict, found.evidence) == (verdict, evidence)


@pytest.mark.parametrize(("when", "words"), [
    ({"all_of": ["HH", "O"]}, "HH has acted; O is on (hot)"), ({"all_of": ["HH", {"not": "O"}]}, "HH has acted"),
    ({"all_of": ["O", {"not": "HH"}]}, "HH is clear; O is on (hot)"),
    ({"held": "5 s", "of": "O"}, "O is on (hot); it has lasted for 5 s"),
])
def test_a_state_in_the_words_of_an_operator(when: Any, words: str) -> None:
    assert proofs(I=lock(when))["cause can come true", "I"].words.partition(": ")[2 if "HH" in str(when) else 0] == words


@pytest.mark.parametrize(("reset", "verdict", "evidence"), [
    ({"not": "HH"}, "holds", ""), ({"not": "O"}, "fails", "accepted with HH"), ("L", "holds", ""),
    ("H", "fails", "accepted with HH"),
])
def test_a_reset_that_waits_for_the_cause_to_go(reset: Any, verdict: str, evidence: str) -> None:
    made = lock("HH", latch={"survives_power_loss": "yes"}, reset={"at": ["PB"], "by": "operator", "when": reset})
    found = proofs(I=made)["reset waits", "I"]
    assert (found.verdict, found.evidence) == (verdict, evidence)


@pytest.mark.parametrize(("when", "evidence"), [
    ({"all_of": ["HH", "O"]}, ""), ({"all_of": ["HH", "H"]}, "H changes nothing"), ({"2 of": ["HH", "H"]}, "H changes nothing"),
    ({"all_of": ["LL", "L"]}, "L changes nothing"), ({"1 of": ["HH", "H"]}, ""), ({"any_of": ["HH", "H"]}, ""),
    ({"any_of": ["O", {"all_of": ["HH", "H"]}]}, "H changes nothing"),
    ({"all_of": ["HH", {"not": "LL"}]}, "LL changes nothing"),
])
def test_a_point_that_changes_nothing(when: Any, evidence: str) -> None:
    found = proofs(I=lock(when)).get(("every point counts", "I"))
    assert (found.evidence if found is not None else "") == evidence


@pytest.mark.parametrize(("ends", "verdict", "evidence"), [
    ("L", "fails", "L ends it only once the cause stands"),  # the bypass of a low trip that only a lower level would end
    ({"not": "L"}, "holds", ""), ("H", "holds", ""), ("O", "holds", ""),
    ({"all_of": ["H", "L"]}, "fails", "H and L never ends it"),
])
def test_a_start_up_bypass_ends_before_it_is_needed(ends: Any, verdict: str, evidence: str) -> None:
    found = proofs(I=lock("L", {"P-1": "stopped"}, bypass={
        "longest": "8 h", "needs": "shift lead", "meanwhile": "a person", "ends": ends}))["start-up bypass ends", "I"]
    assert (found.verdict, found.evidence) == (verdict, evidence)


@pytest.mark.parametrize(("permits", "holds_at", "holds", "evidence"), [
    ("H", "L", {"P-1": "stopped"}, ""), ("L", "L", {"P-1": "stopped"}, "I-2 bars every start"),
    ("LL", "L", {"P-1": "stopped"}, "I-2 bars every start"), ("L", "LL", {"P-1": "stopped"}, ""),
    ("L", "L", {"P-1": "running"}, ""), ("L", "L", {"XV-1": "closed"}, ""),
    ("L", "L", {"P-1": "running", "P-2": "stopped"}, ""),  # it holds the other pump back
])
def test_a_permissive_that_permits_nothing(permits: str, holds_at: str, holds: dict[str, str], evidence: str) -> None:
    found = proofs(**{"I-1": lock(permits, {"P-1": "running"}, kind="permissive"), "I-2": lock(holds_at, holds)})
    assert found["cause can come true", "I-1"].evidence == evidence


@pytest.mark.parametrize(("then", "note", "verdict"), [
    ({"XV-1": "open"}, "", "fails"),  # it lets in what it is afraid of
    ({"XV-1": "closed"}, "", "holds"),
    ({"XV-1": "open", "P-1": "running"}, "", "fails"), ({"XV-1": "open", "P-1": "running"}, "XV-1 flushes to the drain", "holds"),
    ({"XV-1": "open"}, "XV-1 flushes to the drain", "fails"),  # a note alone excuses nothing: something must help
])
def test_an_effect_that_feeds_its_cause(then: dict[str, str], note: str, verdict: str) -> None:
    made = nouns({"I": lock("HH", then, **({"note": note} if note else {}))})
    made["streams"] = {"in": small.stream("outside", "T-1", "10 m3/h", through=["XV-1"]),
                       "out": small.stream("T-1", "outside", "10 m3/h", moved_by="P-1")}
    (found,) = [one for one in small.worked(**made).proofs["I"] if one.question == "effect does not feed its cause"]
    assert found.verdict == verdict
