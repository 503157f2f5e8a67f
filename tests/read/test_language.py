"""The reference of the language: each key has an example, and a plant made of the examples builds."""

import json
from pathlib import Path

from generator import build, read
from generator.model.plant import Definitions
from generator.read import forms
from generator.read.language import REFERENCE


def test_every_key_has_meaning_form_and_example() -> None:
    entries = [(noun.noun, block.name, key) for noun in read.language().nouns for block in noun.blocks for key in block.keys]
    assert len(entries) > 250
    poor = [(noun, block, key.key) for noun, block, key in entries if not (key.means and key.form and key.example)]
    assert poor == []
    wrong = [(noun, block, key.key) for noun, block, key in entries if not key.example.startswith((f"{key.key}:", f'"{key.key}'))]
    assert wrong == []


def test_every_noun_is_in_the_reference_and_its_example_opens_with_it() -> None:
    nouns = read.language().nouns
    assert [noun.noun for noun in nouns] == list(forms.keys(Definitions))
    assert all(noun.example.startswith(f"{noun.noun}:") for noun in nouns)


def test_the_plant_of_examples_builds() -> None:
    made = build.philosophy(REFERENCE)
    assert made.mistakes == ()
    assert made.site is not None
    assert set(made.plant.tanks) == {
        "T-1", "B-2", "T-3", "T-4", "T-5", "T-6", "T-7", "T-8", "T-9", "B-3"}  # type: ignore[union-attr]
    assert "LSLL-1" in made.plant.switches  # type: ignore[union-attr]  # made by the pattern


def test_the_schema_for_editors_is_plain_json_and_asks_for_nothing_at_the_top() -> None:
    schema = json.loads(json.dumps(read.language().schema()))
    assert "required" not in schema
    assert schema["properties"]["tanks"]["type"] == "object"
    assert schema["additionalProperties"] is False


def test_reference_plant_is_small_enough_to_read() -> None:
    assert sum(len(path.read_text().splitlines()) for path in Path(REFERENCE).glob("*.yml")) < 700


def test_no_example_carries_a_brace_too_many() -> None:
    for noun in read.language().nouns:
        for block in noun.blocks:
            for entry in block.keys:
                assert entry.example.count("{") == entry.example.count("}"), entry.example
                assert entry.example.count("[") == entry.example.count("]"), entry.example
