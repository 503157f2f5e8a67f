"""What an interlock is for, each verdict worked out by hand on the two tanks of the proofs of effects. No other source."""

from functools import cache
from typing import Any

import pytest

from generator.compute.book import Book
from generator.compute.layers import Layers
from generator.compute.proofs_of_purpose import ProofsOfPurpose
from generator.model.proof import Proof
from generator.model.results import Results
from generator.model.scalar import Tag
from tests.compute import small
from tests.compute.test_proofs_by_hand import lock
from tests.compute.test_proofs_of_effects_by_hand import nouns

BEGINS = {"HZ-O": "T-1 overflow", "HZ-B": "T-1 bottom", "HZ-2": "T-2 overflow"}
HAZARDS = {"hazards": {tag: {"what": f"what of {tag}", "begins_at": begins, "harms": "equipment", "safe_state": "x"}
                       for tag, begins in (BEGINS | {"HZ-X": "burner"}).items()}}


@cache
def worked() -> Results:
    return small.worked(**nouns({}, **HAZARDS))


def asked(when: Any, then: dict[str, str], hazard: str | None = None, **keys: Any) -> dict[str, Proof]:
    """Proofs of purpose of one interlock, by question."""
    others = keys.pop("others", {})
    made = lock(when, then, **({"hazard": hazard} if hazard else {}), **keys)
    plant = small.plant(**(nouns({"I-1": made}, **HAZARDS) | others))
    work = ProofsOfPurpose(plant, Layers(plant, worked().tanks, {}, {}, Book()))
    return {one.question: one for one in work.of(Tag("I-1"), plant.interlocks[Tag("I-1")])}


SERVES, FREE, RESTS = "effect serves its hazard", "nothing beside holds it back", "it rests in ordinary running"


@pytest.mark.parametrize(("hazard", "kind", "questions"), [
    ("HZ-O", "trip", {RESTS, SERVES, FREE}), (None, "trip", {RESTS}),
    ("HZ-X", "trip", {RESTS}),  # begins at no level
    ("HZ-O", "permissive", set()), ("HZ-O", "releasing interlock", {RESTS, SERVES, FREE})])
def test_what_is_asked_of_which_interlock(hazard: str | None, kind: str, questions: set[str]) -> None:
    assert set(asked("HH", {"XV-1": "closed"}, hazard, kind=kind)) == questions


@pytest.mark.parametrize(("when", "clear"), [
    ("HH", None), ("L", None), ({"all_of": ["HH", {"not": "L"}]}, None), ("O", None),
    ({"not": "HH"}, ("HH",)), ({"any_of": ["O", {"not": "L"}]}, ("L",)), ({"not": "O"}, None),
    ({"all_of": [{"not": "HH"}, {"not": "L"}]}, ("HH", "L")), ({"not": {"any_of": ["HH", "HH"]}}, ("HH",)),
])
def test_an_interlock_that_acts_though_nothing_is_wrong(when: Any, clear: tuple[str, ...] | None) -> None:
    found = asked(when, {"XV-1": "closed", "P-1": "stopped"})[RESTS]
    assert (found.verdict, found.others) == (("fails", clear) if clear else ("holds", ()))
    if clear:
        assert f"{' and '.join(clear)} is clear, and just that makes I-1 act (XV-1 closed and P-1 stopped)" in found.words


EQUIPMENT = {"equipment": {tag: {"area": "A", "service": "x", "kind": kind} for tag, kind in (
    ("HN-1", "horn"), ("BE-1", "beacon"), ("CO-1", "call-out"), ("M-1", "heater"))}}
LOOP = {"streams": {
    "in": small.stream("outside", "T-1", "10 m3/h", through=["XV-1"]),
    "over": small.stream("T-2", "T-1", "10 m3/h", moved_by="P-2", through=["XV-2"]),
    "fed": small.stream("outside", "T-2", "10 m3/h", through=["XV-3"]),
    "away": small.stream("T-1", "outside", "10 m3/h", through=["XV-4"]),
    "round": small.stream("T-1", "T-1", "10 m3/h", moved_by="P-1")}}
LOOP["valves"] = {f"XV-{number}": {"area": "A", "service": "x", "kind": "on-off"} for number in (1, 2, 3, 4, 9)}  # type: ignore[assignment]


@pytest.mark.parametrize(("then", "hazard", "verdict"), [
    ({"XV-1": "closed"}, "HZ-O", "holds"), ({"XV-1": "open"}, "HZ-O", "fails"),
    ({"XV-1": "closed"}, "HZ-B", "fails"), ({"XV-1": "open"}, "HZ-B", "holds"),
    ({"XV-4": "open"}, "HZ-O", "holds"), ({"XV-4": "closed"}, "HZ-O", "fails"), ({"XV-4": "closed"}, "HZ-B", "holds"),
    ({"XV-1": "open", "XV-4": "open"}, "HZ-O", "holds"),  # one that helps is enough
    # what shuts off the tank that feeds this one works on this one later
    ({"XV-3": "closed"}, "HZ-O", "holds"), ({"XV-3": "open"}, "HZ-O", "fails"), ({"XV-3": "open"}, "HZ-B", "holds"),
    ({"XV-2": "closed"}, "HZ-O", "holds"), ({"P-2": "stopped"}, "HZ-O", "holds"), ({"P-2": "running"}, "HZ-O", "fails"),
    ({"P-1": "running"}, "HZ-O", "holds"),  # takes from the tank and gives to it: not known, and not held against it
    ({"XV-1": "closed"}, "HZ-2", "fails"),  # nothing of T-1 comes into T-2
    ({"XV-9": "closed"}, "HZ-O", "cannot be assessed"), ({"XV-9": "closed", "XV-1": "open"}, "HZ-O", "cannot be assessed"),
    ({"XV-9": "closed", "XV-1": "closed"}, "HZ-O", "holds"),
    ({"HN-1": "on"}, "HZ-O", "fails"), ({"BE-1": "on"}, "HZ-O", "fails"), ({"CO-1": "on"}, "HZ-O", "fails"),
    ({"M-1": "off"}, "HZ-O", "holds"),  # what a machine does to a level is not known, and not held against it
])
def test_whether_an_effect_works_against_its_hazard(then: dict[str, str], hazard: str, verdict: str) -> None:
    found = asked("HH", then, hazard, others=LOOP | EQUIPMENT)[SERVES]
    assert found.verdict == verdict
    assert found.missing == (("XV-9: stream that it moves or lets through",) if verdict == "cannot be assessed" else ())
    assert found.others == ((hazard, BEGINS[hazard].split()[0]) if verdict == "fails" else ())


def test_a_pump_that_no_stream_names_is_placed_by_its_suction() -> None:
    none = {"streams": {}, "pump_groups": {tag: {"name": "x", "pumps": pumps, "arrangement": "duty/assist"} for tag, pumps in (
                ("PG-1", ["P-1", "P-3"]), ("PG-2", ["P-2", "P-3"]))},
            "pumps": {"P-1": small.pump(), "P-2": small.pump(suction={"tank": "T-2", "kind": "bell", "height": "0.2 m"}),
                      "P-3": small.pump(suction={"tank": "outside"})}}
    found = {then: asked("HH", {then: "running"}, "HZ-O", others=none)[SERVES].verdict for then in (
        "P-1", "P-2", "P-3", "PG-1", "PG-2")}
    assert found == {"P-1": "holds", "P-2": "fails", "P-3": "cannot be assessed", "PG-1": "holds", "PG-2": "fails"}


@pytest.mark.parametrize(("hazard", "then", "said"), [
    ("HZ-O", {"XV-1": "open", "HN-1": "on"}, "goes on to rise. It acts: XV-1 open and HN-1 on. That makes T-1 rise all the more"),
    ("HZ-B", {"XV-1": "closed"}, "goes on to fall. It acts: XV-1 closed. That makes T-1 fall all the more"),
    ("HZ-O", {"HN-1": "on"}, "It acts: HN-1 on. That leaves the level of T-1 as it goes")])
def test_what_does_not_serve_is_told_with_what_it_does_instead(hazard: str, then: dict[str, str], said: str) -> None:
    found = asked("HH", then, hazard, others=EQUIPMENT)[SERVES]
    assert said in found.words and f"protect from {hazard} (what of {hazard})" in found.words


def test_what_serves_names_only_what_helps() -> None:
    assert asked("HH", {"XV-1": "closed", "XV-2": "closed", "P-1": "running"}, "HZ-O")[SERVES].words == (
        "XV-1 closed and P-1 running works against HZ-O")


@pytest.mark.parametrize(("when", "hazard", "held_by"), [
    ("HH", "HZ-O", ()), ({"any_of": ["HH", "H2"]}, "HZ-O", ()), ("H2", "HZ-O", ()),  # all of it next door: another question
    ({"all_of": ["HH", "H2"]}, "HZ-O", ("H2",)), ({"all_of": ["HH", "L2"]}, "HZ-O", ("L2",)),
    ({"all_of": ["HH", {"not": "H2"}]}, "HZ-O", ("H2",)), ({"all_of": ["HH", "O"]}, "HZ-O", ()),  # signals count as they suit
    ({"all_of": ["HH", {"not": "O"}]}, "HZ-O", ()), ({"all_of": ["L", "H2"]}, "HZ-B", ("H2",)),
    ({"all_of": ["L", "H2"]}, "HZ-O", ()),  # a low point does not act on a rising level, whatever stands beside it
    ({"all_of": ["HH", "H2"]}, "HZ-B", ()), ({"all_of": [{"not": "L"}, "H2"]}, "HZ-O", ("H2",)),
    ({"all_of": [{"not": "HH"}, "H2"]}, "HZ-O", ()), ({"2 of": ["H", "HH", "H2"]}, "HZ-O", ()),
    ({"3 of": ["H", "HH", "H2"]}, "HZ-O", ("H2",)), ({"all_of": ["H2", "HH"]}, "HZ-2", ("HH",)),
    ({"all_of": ["HH", {"any_of": ["H2", "L2"]}]}, "HZ-O", ("H2", "L2")), ({"all_of": ["HH", "O", "H2"]}, "HZ-O", ("H2",)),
])
def test_a_trip_that_another_tank_holds_back(when: Any, hazard: str, held_by: tuple[str, ...]) -> None:
    found = asked(when, {"XV-1": "closed"}, hazard)[FREE]
    assert (found.verdict, found.others) == (("fails", (hazard, *held_by)) if held_by else ("holds", ()))


@pytest.mark.parametrize(("when", "hazard", "said"), [
    ({"all_of": ["HH", "H2"]}, "HZ-O", "T-1 rises past every point that it has, on to HZ-O"),
    ({"all_of": ["L", "H2"]}, "HZ-B", "T-1 falls past every point that it has, on to HZ-B")])
def test_what_is_held_back_is_told_with_the_tank_that_holds_it(when: Any, hazard: str, said: str) -> None:
    words = asked(when, {"XV-1": "closed"}, hazard)[FREE].words
    assert words.startswith(said) and "T-2 stands where H2 does not ask, and I-1 stays quiet" in words
