"""The first page of the reference lists what the code takes: names of levels, states, values of references."""

from typing import get_args

from msgspec.structs import replace

from generator import read
from generator.model.interlock import State
from generator.model.page import Page
from generator.model.tank import Levels
from generator.pages import language
from generator.pages.language import MORE, Overview
from generator.pages.prose import reference
from generator.render.environment import fragment
from tests.pages.plants import DEMO, context


def _pages() -> list[Page]:
    whole = context(DEMO)
    return list(language.pages(replace(whole, knowledge=replace(whole.knowledge, language=read.language()))))


def test_the_lists_are_those_of_the_code() -> None:
    view = _pages()[0].view
    assert isinstance(view, Overview)
    assert [name for name, _ in view.levels] == ["bottom", *Levels.model_fields]
    assert {state for _, states in view.states for state in states} == set(get_args(State))
    assert all(means for _, means in view.levels)


def test_each_word_of_the_list_of_values_can_be_named_in_a_text() -> None:
    view, plant = _pages()[0].view, context(DEMO).plant
    assert isinstance(view, Overview)
    assert {link.text for link, _ in view.values} == {"tanks", "switches"}
    for link, words in view.values:
        for one in words:
            shown = [reference(context(DEMO), f"{tag} {one}") for tag in getattr(plant, link.text)]
            assert any(not amount.number.startswith("{") for amount in shown), one


def test_what_a_key_points_at_is_there() -> None:
    first, *nouns = (fragment(page) for page in _pages())
    for anchor in ("bands", "levels", "states", "values"):
        assert f'id="{anchor}"' in first
    said = "".join(nouns)
    assert said.count('definitions/index.html#levels"') >= 8 and said.count('definitions/index.html#states"') == 1
    assert all(link.text in said for links in MORE.values() for link in links)
