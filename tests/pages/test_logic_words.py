"""Words against truth: the nested list of a condition, read back word by word, is the condition (by sympy)."""

from itertools import combinations

import pytest
import sympy
from hypothesis import given, settings

from generator.model.condition import Condition
from generator.model.page import Amount, Link, plain
from generator.pages import logic_words, story
from generator.pages.interlocks import demand
from generator.pages.logic_words import Clause
from tests.compute.test_logic import written
from tests.conditions import expression, same
from tests.pages.plants import DEMO, LOGIC, context, definitions

TAGS = {"A": "LSHH-101", "B": "HS-101", "C": "TSH-101", "D": "LSL-104"}
CLEAR = (" is clear", " is off", " is not ")


def read_back(one: Clause, bypass: str = "") -> sympy.Basic:
    """What the words say, by a reader who knows English and nothing of the generator."""
    if not one.parts:
        if plain(one.words).startswith("it is not bypassed"):
            return sympy.Not(sympy.Symbol(bypass))
        tag = next((part.text for part in one.words if isinstance(part, Link)), None)
        if tag is None:
            return sympy.Symbol(plain(one.words))
        negated = any(isinstance(part, str) and part.startswith(CLEAR) for part in one.words)
        return sympy.Not(sympy.Symbol(tag)) if negated else sympy.Symbol(tag)
    parts = [read_back(part, bypass) for part in one.parts]
    if one.joined == "any of these":
        return sympy.Or(*parts)
    if one.joined == "every one of these":
        return sympy.And(*parts)
    if one.joined == "this does not stand":
        return sympy.Not(parts[0])
    words = one.joined.split(" ")
    assert words[:2] == ["at", "least"], one.joined
    return sympy.Or(*(sympy.And(*chosen) for chosen in combinations(parts, int(words[2]))))


def renamed(form: object) -> object:
    """A written condition over the tags of the plant."""
    if isinstance(form, str):
        return TAGS.get(form, form)
    if isinstance(form, list):
        return [renamed(part) for part in form]
    assert isinstance(form, dict)
    return {key: inner if key == "held" else renamed(inner) for key, inner in form.items()}


@settings(deadline=None)
@given(written)
def test_the_nested_list_says_what_the_condition_means(form: object) -> None:
    condition = Condition.read(renamed(form))
    assert same(read_back(logic_words.clause(context(LOGIC), condition)), expression(condition))


@pytest.mark.parametrize("source", [LOGIC, DEMO])
def test_the_words_of_each_interlock_are_its_cause_unless_bypassed_or_its_manual_stop(source: str) -> None:
    one = context(source)
    for tag, lock in one.plant.interlocks.items():
        bypass = "the bypass"
        asked = expression(lock.when)
        if lock.manual_stop is not None and lock.when != lock.manual_stop:
            automatic = expression(logic_words.automatic(lock))
            manual = sympy.Symbol(str(lock.manual_stop))
        else:
            automatic, manual = asked, sympy.false
        if lock.bypass is not None and lock.bypass.takes_out == "the whole function":  # else the vote lives on
            automatic = sympy.And(automatic, sympy.Not(sympy.Symbol(bypass)))
        if lock.live_in and set(lock.live_in) != set(one.plant.modes):
            names = [str(one.plant.modes[mode].name) for mode in lock.live_in]
            listed = names[0] if len(names) == 1 else ", ".join(names[:-1]) + " or " + names[-1]
            automatic = sympy.And(automatic, sympy.Symbol(f"{listed} is selected"))
        assert same(read_back(demand(one, lock), bypass), sympy.Or(automatic, manual)), tag


def test_the_story_is_one_plain_sentence_after_the_other() -> None:
    one = context(LOGIC)
    assert plain(story.main(one, one.plant.interlocks["I-102"])) == (
        "When at least 2 of LSLL-102A opens at 0.40 m falling, LSLL-102B opens at 0.40 m falling and "
        "LSLL-102C opens at 0.40 m falling for 3 s, pumps (P-101A and P-101B) stops and stays stopped.")
    said = [plain(sentence) for sentence in story.story(one, "I-101")]
    assert said[0] == ("When LSHH-101 opens at 3.30 m rising or TSH-101 is on (above its limit) for 10 s, and that "
                       "lasts for 2 s, XV-101 closes and stays closed and HA-1 sounds and keeps sounding.")
    assert said[1] == "Pushing HS-101 does the same at once, bypassed or not."
    assert said[2] == "It acts in every mode: AUTO and HAND."
    assert plain(story.live(one, one.plant.interlocks["I-102"])) == "It acts in AUTO, and not in HAND."
    assert [plain(part) for part in story.story(one, "I-201")][1] == "It lets go by itself 5 s after the cause is gone."


@pytest.mark.parametrize("source", [LOGIC, DEMO])
def test_every_story_names_every_cause_every_effect_and_the_delay(source: str) -> None:
    one = context(source)
    for tag, lock in one.plant.interlocks.items():
        sentences = story.story(one, tag)
        links = {part.text for sentence in sentences for part in sentence if isinstance(part, Link)}
        assert set(lock.when.tags()) | set(lock.then) <= links, tag
        if lock.on_delay:
            shown = {float(part.number) for part in sentences[0] if isinstance(part, Amount) and part.unit == "s"}
            assert lock.on_delay.si in shown or lock.on_delay.si >= 120


def test_clear_is_the_far_edge_of_the_deadband() -> None:
    one = context(LOGIC)
    for tag, point in one.plant.switches.items():
        reset = one.results.setpoints[tag].reset
        assert reset is not None
        edge = next(part for part in logic_words.clear(one, tag) if isinstance(part, Amount))
        side = plain(logic_words.clear(one, tag))
        assert abs(float(edge.number) - (reset.low if point.acts == "rising" else reset.high)) < 5.1e-4
        assert ("below" if point.acts == "rising" else "above") in side


def said(form: object, source: str = DEMO) -> str:
    """A condition as part of a sentence."""
    return plain(logic_words.inline(context(source), Condition.read(form)))


def test_points_of_one_height_stand_together_in_a_sentence() -> None:
    three = ["LSLL-324A", "LSLL-324B", "LSLL-324C"]
    assert said({"2 of": three}) == "at least 2 of LSLL-324A, LSLL-324B and LSLL-324C open at 0.70 m falling"
    assert said({"any_of": three}) == "LSLL-324A, LSLL-324B or LSLL-324C opens at 0.70 m falling"
    assert said({"not": {"any_of": [*three, "HS-322"]}}) == (
        "LSLL-324A, LSLL-324B and LSLL-324C are clear (above 0.745 m) and HS-322 is not pushed")


def test_points_that_differ_are_told_one_by_one() -> None:
    assert said({"all_of": ["LSLL-324A", "LSHH-322"]}) == "LSLL-324A opens at 0.70 m falling and LSHH-322 opens at 3.50 m rising"
    vote = said({"2 of": ["LSLL-102A", "LSLL-102B", "LSLL-102C"]}, LOGIC)  # one of them waits
    assert vote.count("opens at 0.40 m falling") == 3


@pytest.mark.parametrize("tag", sorted(map(str, definitions(DEMO).switches)))
def test_clear_is_said_of_a_height_at_which_the_point_can_no_longer_act(tag: str) -> None:
    """One height on every page: let go whatever its error, and out of the band in which it may act (waves and all)."""
    made = context(DEMO)
    point = made.results.setpoints[tag]
    if point.act is None or point.reset is None:
        return
    assert point.clear_at is not None
    if point.acts == "rising":
        assert point.clear_at <= point.act.low and point.clear_at <= point.reset.low
    else:
        assert point.clear_at >= point.act.high and point.clear_at >= point.reset.high
    assert plain((logic_words.amounts.metres(point.clear_at),)) in plain(logic_words.clear(made, tag))
