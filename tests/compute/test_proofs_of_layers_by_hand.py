"""What a bypass and what one failure leave against a hazard: cases and exposures written by hand, verdicts by their definition.

Only alarms and trips protect; controls and permissives hold the level. No other source.
"""

from typing import Any

import pytest

from generator.compute.book import Book
from generator.compute.layers import Layers
from generator.compute.proofs_of_layers import of_bypasses, of_hazards
from generator.model.failure import BypassCase, Exposure, FailureEffect, Layer, LayerKind
from generator.model.plant import Definitions
from generator.model.proof import Proof
from tests.compute import small
from tests.compute.test_proofs_by_hand import lock
from tests.compute.test_proofs_of_effects_by_hand import nouns
from tests.compute.test_proofs_of_purpose_by_hand import BEGINS, HAZARDS, worked

KINDS: dict[str, LayerKind] = {"A-1": "alarm", "A-2": "alarm", "I-1": "trip", "I-2": "trip", "I-3": "trip", "I-4": "permissive",
                               "C-1": "control"}
BYPASS = {"longest": "8 h", "needs": "shift lead", "meanwhile": "a person", "key": "KS-1"}
RELAY = {"K-1": {"panel": "PB", "kind": "interposing relay"}}


def made() -> Definitions:
    """I-1 and I-2 against HZ-O, both on one key; I-3 releases; alarms A-1 of HH and A-2 of H2."""
    no_key = {key: BYPASS[key] for key in BYPASS if key != "key"}
    locks = {"I-1": lock("HH", hazard="HZ-O", bypass=BYPASS), "I-2": lock("H", hazard="HZ-O", bypass=BYPASS | {"key": "KS-2"}),
             "I-3": lock("HH", hazard="HZ-2", kind="releasing interlock", bypass=no_key)}
    alarms = {tag: {"from": point, "text": tag, "priority": "high", "consequence": "x", "means": "x", "first": "x"}
              for tag, point in (("A-1", "HH"), ("A-2", "H2"))}
    return small.plant(**nouns(locks, {"HH": "alarm"}, alarms=alarms, relays=RELAY, **HAZARDS))


PLANT = made()
LAYERS = Layers(PLANT, worked().tanks, {}, {}, Book())


def some(hazard: str, *tags: str) -> tuple[Layer, ...]:
    return tuple(Layer(hazard, KINDS[tag], tag, (), (), ()) for tag in tags)


def exposed(hazard: str = "HZ-O", remains: tuple[str, ...] = (), lost: tuple[str, ...] = (), unassessed: tuple[str, ...] = (),
            demanded: bool = True) -> Exposure:
    return Exposure(hazard, demanded, some(hazard, *remains), some(hazard, *lost), (), None, some(hazard, *unassessed))


def bypass(*exposures: Exposure, tag: str = "I-1", **keys: Any) -> Proof:
    (found,) = of_bypasses(PLANT, LAYERS, [BypassCase((tag,), keys.pop("together", ()), exposures, **keys)])
    return found


@pytest.mark.parametrize(("exposures", "keys", "bare"), [
    ([exposed(lost=("I-1",))], {}, "HZ-O"), ([exposed(lost=("I-1",), remains=("A-1",))], {}, ""),
    ([exposed(lost=("I-1",), remains=("I-2",))], {}, ""), ([exposed(lost=("I-1",), remains=("C-1", "A-1"))], {}, ""),
    ([exposed(lost=("I-1",), remains=("C-1", "I-4"))], {}, "HZ-O"),  # neither protects
    # a hazard of others counts only where the same key takes out what stands against it
    ([exposed("HZ-2", lost=("I-1", "I-3"))], {}, ""), ([exposed("HZ-2", lost=("I-1", "I-3"))], {"together": ("I-3",)}, "HZ-2"),
    ([exposed("HZ-2", lost=("I-3",))], {"together": ("I-2",)}, ""),
    ([exposed(lost=("I-1",), remains=("A-1",)), exposed("HZ-2", lost=("I-3",))], {"together": ("I-3",)}, "HZ-2"),
    # a substitute counts against the hazard of the bypass itself, whatever it is
    ([exposed(lost=("I-1",))], {"relies_on": ("A-2",)}, ""), ([exposed(lost=("I-1",))], {"relies_on": ("LX-H2",)}, ""),
    # against another hazard only where it watches that tank: as an alarm, a point or a body
    ([exposed("HZ-2", lost=("I-3",))], {"together": ("I-3",), "relies_on": ("A-2",)}, ""),
    ([exposed("HZ-2", lost=("I-3",))], {"together": ("I-3",), "relies_on": ("H2",)}, ""),
    ([exposed("HZ-2", lost=("I-3",))], {"together": ("I-3",), "relies_on": ("LX-H2",)}, ""),
    ([exposed("HZ-2", lost=("I-3",))], {"together": ("I-3",), "relies_on": ("A-1",)}, "HZ-2"),
    ([exposed("HZ-2", lost=("I-3",))], {"together": ("I-3",), "relies_on": ("HH",)}, "HZ-2"),
    ([exposed("HZ-2", lost=("I-3",))], {"together": ("I-3",), "relies_on": ("A-1", "A-2")}, ""),
    ([exposed("HZ-2", lost=("I-3",))], {"together": ("I-3",), "relies_on": ("XV-1",)}, "HZ-2"),  # watches nothing
    ([exposed("HZ-X", lost=("I-3",))], {"together": ("I-3",), "relies_on": ("A-2",)}, "HZ-X"),  # begins at no tank
])
def test_what_a_bypass_leaves(exposures: list[Exposure], keys: dict[str, Any], bare: str) -> None:
    found = bypass(*exposures, **keys)
    assert found.question == "bypass leaves a layer"
    assert (found.verdict, found.evidence) == (("fails", f"nothing against {bare}") if bare else ("holds", ""))
    assert found.others == ((bare, *keys.get("together", ())) if bare else ())


def test_two_bypasses_at_a_time_are_another_question() -> None:
    assert list(of_bypasses(PLANT, LAYERS, [BypassCase(("I-1", "I-2"), (), (exposed(lost=("I-1", "I-2")),))])) == []


@pytest.mark.parametrize(("tag", "keys", "begins"), [
    ("I-1", {}, "while I-1 is bypassed by KS-1, no trip"), ("I-2", {}, "while I-2 is bypassed by KS-2, no trip"),
    ("I-1", {"reduced": ("I-1",)}, "while one member of I-1 is bypassed by KS-1, no trip"),
    ("I-3", {}, "while I-3 is bypassed, no trip")])
def test_how_the_bypass_is_named(tag: str, keys: dict[str, Any], begins: str) -> None:
    hazard = str(PLANT.interlocks[tag].hazard)  # type: ignore[index]
    words = bypass(exposed(hazard, lost=(tag,)), tag=tag, **keys).words
    assert words.startswith(begins) and f"stands against {hazard} (what of {hazard})" in words
    assert "same key" not in words
    also = bypass(exposed(hazard, lost=(tag,)), tag=tag, together=("I-2",), **keys).words
    assert also.endswith("The same key takes out I-2.")


@pytest.mark.parametrize(("exposures", "keys", "words"), [
    ([exposed(lost=("I-1",), remains=("C-1", "A-1", "I-2"))], {}, "A-1 and I-2 remains"),
    ([exposed(lost=("I-1",), remains=("A-1",))], {"relies_on": ("LX-H2",)}, "A-1 and LX-H2 remains"),
    ([exposed(lost=("I-1",))], {"relies_on": ("LX-H2",)}, "LX-H2 remains"),
    ([exposed(remains=("A-1",)), exposed("HZ-2", remains=("A-1", "I-3"))], {}, "A-1 and I-3 remains"),
    ([], {}, "it stands against no listed hazard")])
def test_what_remains_is_named_once(exposures: list[Exposure], keys: dict[str, Any], words: str) -> None:
    assert bypass(*exposures, **keys).words == words


def single(effects: dict[str, tuple[FailureEffect, ...]]) -> dict[str, Proof]:
    """One proof a hazard; HZ-O and HZ-2 have something that protects, the others nothing."""
    return {one.subject: one for one in of_hazards(PLANT, LAYERS, effects)}


def failure(device: str, *exposures: Exposure, mode: str = "fails", controls: tuple[tuple[str, str], ...] = ()) -> FailureEffect:
    return FailureEffect(device, PLANT.noun_of.get(device, ""), mode, "T-1", exposures=exposures, controls=controls)


@pytest.mark.parametrize(("device", "exposure", "is_taken"), [
    ("K-1", exposed(lost=("I-1", "A-1")), True), ("PB", exposed(lost=("I-1",)), True), ("LX-HH", exposed(lost=("A-1",)), True),
    ("a wire", exposed(lost=("I-1",)), True),  # without a tag of its own
    ("P-1", exposed(lost=("I-1",)), False), ("XV-1", exposed(lost=("I-1",)), False),  # judged by a rule of their own
    ("K-1", exposed(lost=("I-1",), demanded=False), False), ("K-1", exposed(lost=()), False),
    ("K-1", exposed(lost=("C-1", "I-4")), False),  # neither protects
    ("K-1", exposed(lost=("I-1",), remains=("A-1",)), False), ("K-1", exposed(lost=("I-1",), remains=("C-1", "I-4")), True),
    ("K-1", exposed(lost=("I-1",), remains=("C-1", "A-1")), False),
    ("K-1", exposed(lost=("I-1",), unassessed=("A-1",)), False), ("K-1", exposed(lost=("I-1",), unassessed=("C-1",)), True),
    # shared with a trip: a rule of its own
    ("LX-HH", exposed(lost=("I-1", "A-1")), False), ("LX-HH", exposed(lost=("A-1", "I-1")), False),
    ("LX-HH", exposed(lost=("I-3", "A-1")), True),  # what releases is no trip
    ("K-1", exposed(lost=("A-1", "I-1")), True),
])
def test_one_failure_that_raises_a_demand_and_takes_every_layer(device: str, exposure: Exposure, is_taken: bool) -> None:
    found = single({device: (failure(device, exposure),)})
    assert list(found) == ["HZ-O", "HZ-2"]
    proof = found["HZ-O"]
    lost = tuple(layer.tag for layer in exposure.lost if layer.protects)
    assert (proof.verdict, proof.others) == (("fails", (device, *lost)) if is_taken else ("holds", ()))
    assert found["HZ-2"].verdict == "holds"


def test_the_first_failure_that_takes_all_is_told() -> None:
    one, other, calm = exposed(lost=("I-1",)), exposed(lost=("I-2",)), exposed(lost=("I-1",), demanded=False)
    found = single({"K-1": (failure("K-1", calm, mode="drops"), failure("K-1", one, mode="welds")),
                    "PB": (failure("PB", other, mode="is lost"),)})
    assert found["HZ-O"].evidence == "K-1 welds" and found["HZ-O"].others == ("K-1", "I-1")


@pytest.mark.parametrize(("hazard", "controls", "said"), [
    ("HZ-O", (), "K-1 fails: the level moves, so T-1 rises; I-1 cannot act, and nothing else stands against HZ-O"),
    ("HZ-B", (("C-1", "starts P-1"), ("C-2", "opens XV-1")), "K-1 fails: C-1 starts P-1 and C-2 opens XV-1, so T-1 falls"),
    ("HZ-2", (), "K-1 fails: the level moves, so T-2 rises")])
def test_how_a_failure_drives_the_level(hazard: str, controls: tuple[tuple[str, str], ...], said: str) -> None:
    locks = {"I-1": lock("L", hazard="HZ-B"), "I-2": lock("H2", hazard="HZ-2"), "I-3": lock("HH", hazard="HZ-O")}
    plant = small.plant(**nouns(locks, relays=RELAY, **HAZARDS))
    layers = Layers(plant, worked().tanks, {}, {}, Book())
    effects = {"K-1": (failure("K-1", exposed(hazard, lost=("I-1",)), controls=controls),)}
    found = {one.subject: one for one in of_hazards(plant, layers, effects)}
    assert found[hazard].words.startswith(said) and set(found) == set(BEGINS)


def test_a_hazard_against_which_nothing_protects_is_not_asked() -> None:
    plant = small.plant(**nouns({"I-4": lock("H", {"XV-1": "open"}, kind="permissive", hazard="HZ-O")}, **HAZARDS))
    assert list(of_hazards(plant, Layers(plant, worked().tanks, {}, {}, Book()), {})) == []
