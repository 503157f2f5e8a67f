"""Counter-examples of proofs as a reader meets them: heights, the way of the level, what is missing. By hand on the four points
LL 0.5 m, L 1 m, H 2 m and HH 3 m of a tank whose overflow lies at 3.5 m; 10 mm of error put each edge 10 mm beside its height."""

import json
from functools import cache
from typing import Any

import pytest

from generator.compute.formulas import No, together
from generator.compute.proofs_of_causes import ProofsOfCauses
from generator.compute.reachable import TankState, point, unsettled
from generator.compute.world import World, told
from generator.model.plant import Definitions
from generator.model.proof import Proof
from generator.model.results import Results
from generator.model.scalar import Tag
from tests.check.small_plants import laid_over
from tests.compute import small
from tests.compute.test_proofs_by_hand import lock, nouns

KEY = {"longest": "8 h", "needs": "lead", "meanwhile": "care"}


@cache
def _worked(told: str) -> tuple[Definitions, Results]:
    locks, change = json.loads(told)
    without = laid_over(nouns({}), change)  # no height rests on an interlock
    return small.plant(**laid_over(nouns(locks), change)), _heights(json.dumps(without))


@cache
def _heights(made: str) -> Results:
    return small.worked(**json.loads(made))


def work(change: dict[str, Any], **locks: dict[str, Any]) -> tuple[ProofsOfCauses, Any]:
    plant, results = _worked(json.dumps((locks, change)))
    return ProofsOfCauses(plant, World(plant, results.setpoints, results.tanks)), plant


def asked(question: str, change: dict[str, Any] | None = None, **keys: Any) -> list[Proof]:
    proofs, plant = work(change or {}, I=lock(**keys))
    return [one for one in proofs.of(Tag("I"), plant.interlocks[Tag("I")]) if one.question == question]


OWN = {"plant": {"defaults": {"accuracy": {"own": "10 mm"}}}}
NO_HEIGHT = {"switches": {"HH": {"height": {"issued": "~", "needs": []}}}}


@pytest.mark.parametrize(("change", "when", "words"), [
    # above the overflow: by then the liquid has left
    ({"switches": {"HH": {"height": {"issued": "3.8 m"}}}}, "HH",
     "HH acts from 3.79 m up; by then the liquid has left T-1, from 3.50 m on. It can never act"),
    # a low point below the bottom cannot be told by the overflow
    ({"switches": {"LL": {"height": {"issued": "-0.2 m"}}}}, "LL",
     "LL acts from -0.19 m down; the level of T-1 can never stand so that all of it is true. It can never act"),
    ({}, {"all_of": ["HH", "LL"]},
     "HH acts from 2.99 m up, LL acts from 0.51 m down; the level of T-1 can never stand so that all of it is true. "
     "It can never act"),
    ({}, {"any_of": ["H", {"all_of": ["HH", "LL"]}]},
     "HH acts from 2.99 m up, LL acts from 0.51 m down; the level of T-1 can never stand so that all of it is true. "
     "That part of its cause can never bring it about"),
    ({}, {"all_of": [{"not": "H"}, "HH"]},
     "H is clear from 1.96 m down, HH acts from 2.99 m up; the level of T-1 can never stand so that all of it is true. "
     "It can never act"),
    ({}, {"all_of": ["O", {"not": "O"}]}, "The cause contradicts itself. It can never act"),
])
def test_why_a_cause_never_comes_true(change: dict[str, Any], when: Any, words: str) -> None:
    (found,) = asked("cause can come true", laid_over(OWN, change), when=when)
    assert (found.verdict, found.words) == ("fails", words)


def test_a_detector_of_spills_acts_only_once_the_tank_runs_over() -> None:
    above = {"switches": {"HH": {"height": {"issued": "3.8 m"}, "role": "spill detection"}}}
    (found,) = asked("cause can come true", laid_over(OWN, above), when="HH")
    assert found.verdict == "holds"
    (found,) = asked("cause can come true", laid_over(OWN, above), when={"all_of": ["HH", "O"]})
    assert found.verdict == "holds"  # a signal beside it changes nothing
    (found,) = asked("cause can come true", laid_over(OWN, {"switches": {"HH": {"height": {"issued": "3.8 m"}}}}),
                     when={"all_of": ["HH", "O"]})
    assert found.verdict == "fails"


def test_the_head_over_an_overflow_lets_the_level_come_higher() -> None:
    for head, verdict in (("0.2 m", "fails"), ("0.31 m", "holds")):
        change = laid_over(OWN, {"switches": {"HH": {"height": {"issued": "3.8 m"}}},
                                 "tanks": {"T-1": small.tank(overflow={"to": "drain", "head_at_full_inflow": head})}})
        (found,) = asked("cause can come true", change, when="HH")
        assert found.verdict == verdict


def test_steps_are_the_sum_of_what_was_looked_at() -> None:
    when = {"any_of": ["HH", {"all_of": ["L", "O"]}]}
    proofs, plant = work({}, I=lock(when))
    forms, world = proofs.world.formulas, proofs.world
    condition = plant.interlocks[Tag("I")].when
    legs = [forms.of(part) for part in condition.parts()]
    steps = sum(world.can(leg).steps for leg in legs) + world.can(No(forms.of(condition))).steps
    assert proofs.can_come_true(Tag("I"), plant.interlocks[Tag("I")]).steps == steps
    ends = lock("L", {"P-1": "stopped"}, bypass=KEY | {"ends": "H"})
    proofs, plant = work({}, I=ends)
    forms, world = proofs.world.formulas, proofs.world
    ending, cause = forms.of(plant.interlocks[Tag("I")].bypass.ends), forms.of(plant.interlocks[Tag("I")].when)
    steps = world.can(ending, True).steps + world.can(together(ending, No(cause)), True).steps
    made = plant.interlocks[Tag("I")]
    assert proofs.start_up_ends(Tag("I"), made, made.bypass.ends).steps == steps
    proofs, plant = work({}, I=lock("HH"), J=lock("HH", {"XV-1": "open"}), K=lock({"any_of": ["HH", "O"]}))
    assert proofs.stands_once(Tag("I"), plant.interlocks[Tag("I")]).steps == 2


@pytest.mark.parametrize(("when", "reset", "on"), [
    ({"any_of": ["HH", "O"]}, {"not": "HH"}, ("O",)), ({"any_of": ["HH", "O"]}, {"not": "O"}, ("HH",)),
    ({"all_of": ["HH", "O"]}, "H", ("HH", "O")), ({"not": "L"}, "O", ("L",)),  # nothing of it has acted: all of it is named
])
def test_a_reset_that_is_taken_names_what_still_stands(when: Any, reset: Any, on: tuple[str, ...]) -> None:
    (found,) = asked("reset waits", when=when, latch={"survives_power_loss": "yes"},
                     reset={"at": ["PB"], "by": "operator", "when": reset})
    assert (found.verdict, found.others) == ("fails", on)


def test_what_a_missing_height_leaves_open() -> None:
    both = {"all_of": ["HH", "H"]}
    assert [one.verdict for one in asked("cause can come true", NO_HEIGHT, when=both)] == ["cannot be assessed"]
    found = asked("every point counts", NO_HEIGHT, when=both)
    assert [(one.verdict, one.missing) for one in found] == [("cannot be assessed", ("HH: height.issued",))] * 2
    (found_,) = asked("reset waits", NO_HEIGHT, when="HH", latch={"survives_power_loss": "yes"},
                      reset={"at": ["PB"], "by": "operator", "when": "H"})
    assert (found_.verdict, found_.missing) == ("cannot be assessed", ("HH: height.issued",))
    (found_,) = asked("start-up bypass ends", NO_HEIGHT, when="L", then={"P-1": "stopped"}, bypass=KEY | {"ends": both})
    assert found_.verdict == "cannot be assessed"
    accuracy = {"plant": {"defaults": {"accuracy": "~"}}}
    (found_,) = asked("cause can come true", accuracy, when=both)
    assert found_.missing == ("HH: accuracy", "H: accuracy")


def test_a_point_that_changes_nothing_names_what_covers_it() -> None:
    (found,) = asked("every point counts", when={"all_of": ["HH", "H"]})
    assert found.words == "by the time that HH asks, H has asked already: H changes nothing, wherever the level is"
    assert found.others == ("H", "HH")
    (found,) = asked("every point counts", when={"all_of": [{"any_of": ["H", "O"]}, "HH"]})
    assert found.evidence == "H and O changes nothing"  # a signal beside the point does not hide it
    assert asked("every point counts", when={"all_of": ["O", "HH"]}) == []


def test_who_says_the_same_is_told_so() -> None:
    for theirs, said in (("HH", "J says the same"), ({"any_of": ["HH", "O"]}, "J acts whenever it does, on the same devices")):
        proofs, plant = work({}, I=lock("HH"), J=lock(theirs))
        assert proofs.stands_once(Tag("I"), plant.interlocks[Tag("I")]).words.startswith(said)


# ---- states in words -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("way", "words"), [
    (((1.0, 2.0),), "T-1 stands between 1.00 m and 2.00 m"),
    (((2.0, 3.0), (1.0, 2.0)), "T-1 stands between 2.00 m and 3.00 m, then falls to between 1.00 m and 2.00 m"),
    (((1.0, 2.0), (2.0, 3.0)), "T-1 stands between 1.00 m and 2.00 m, then rises to between 2.00 m and 3.00 m"),
    (((2.0, 3.0), (1.0, 2.0), (1.5, 2.5)),
     "T-1 stands between 2.00 m and 3.00 m, then falls to between 1.00 m and 2.00 m, then rises to between 1.50 m and 2.50 m")])
def test_the_way_of_a_level_in_words(way: Any, words: str) -> None:
    state = TankState(*way[-1], frozenset({"A", "B"}), frozenset({"A"}), way)
    assert told("T-1", state, ["A", "B", "C"]) == f"{words}: A has acted, B has acted, its delay still running, C is clear"


def test_points_as_the_search_takes_them() -> None:
    """Own 10 mm and shared 5 mm: the band is 30 mm wide, 20 mm of it its own."""
    change = {"plant": {"defaults": {"accuracy": {"own": "10 mm", "common": "5 mm"}}}, "switches": {"LL": {"on_delay": "2 s"}}}
    made = laid_over(nouns({}), change)
    plant, results = small.plant(**made), small.worked(**made)
    one = point(plant, results.setpoints["HH"])
    assert one is not None and one.is_rising and not one.is_delayed and one.body == "LX-HH"
    assert (one.act.low, one.act.high) == (pytest.approx(2.985), pytest.approx(3.015))
    assert (one.own_act.low, one.own_act.high) == (pytest.approx(2.99), pytest.approx(3.01))
    assert (one.own_reset.low, one.own_reset.high) == (pytest.approx(2.94), pytest.approx(2.96))
    other = point(plant, results.setpoints["LL"])
    assert other is not None and not other.is_rising and other.is_delayed
    bare = laid_over(made, NO_HEIGHT)
    assert point(small.plant(**bare), small.worked(**bare).setpoints["HH"]) is None


@pytest.mark.parametrize(("tags", "open_"), [
    (["HH"], ()), (["HH", "H"], ("HH",)), (["HH", "FAR"], ()), (["HH", "H", "FAR"], ("HH",)), (["H", "L"], ()),
    (["L", "HH"], ("HH",))])
def test_a_point_without_a_height_matters_beside_another_of_its_tank(tags: list[str], open_: tuple[str, ...]) -> None:
    far = {"tanks": {"T-1": small.tank(), "T-2": small.tank()}, "instruments": {"LX-FAR": small.body("T-2")},
           "switches": {"FAR": small.switch("rising", issued="1 m", **{"in": "LX-FAR"})}}
    made = laid_over(laid_over(nouns({}), NO_HEIGHT), far)
    plant, setpoints = small.plant(**made), small.worked(**made).setpoints
    assert unsettled(plant, setpoints, tags) == open_
    known = {tag: one for tag, one in setpoints.items() if tag != "HH"}
    assert unsettled(plant, known, tags) == open_  # of which nothing is worked out at all


def test_a_tank_without_a_shape_has_no_ends() -> None:
    made = nouns({})
    plant, results = small.plant(**made), small.worked(**made)
    free = World(plant, results.setpoints, {})
    deep = free._tank("T-1", (), False)
    assert (deep.bottom, deep.top) == (float("-inf"), float("inf"))
    bound = World(plant, results.setpoints, results.tanks)
    assert [(one.bottom, one.top) for one in (bound._tank("T-1", (), False), bound._tank("T-1", (), True))] == [(0.0, 4.0), (0.0,
     3.5)]
    states = [bound.states_of("T-1", ("H", "HH"), is_open) for is_open in (False, True, False)]
    assert states[0] is states[2] and states[0] is not states[1]
