"""The reference of the language, generated: keys and their meaning from the model, examples from the reference plant."""

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, get_origin

from generator.errors import KnowledgeError
from generator.model.definition import Definition, Mapping, Sequence
from generator.model.finding import Mistake
from generator.model.interlock import State
from generator.model.language import BlockEntry, KeyEntry, Language, NounEntry
from generator.model.plant import Definitions
from generator.model.scalar import Prose
from generator.model.tank import Levels
from generator.model.units import ALIASES, UNITS
from generator.read import forms
from generator.read.fitting import STATES
from generator.read.forms import Form
from generator.read.merge import merge
from generator.read.yaml_text import load

REFERENCE = Path(__file__).parent.parent / "knowledge" / "reference"
_MOST_LINES = 9
Examples = dict[tuple[str, str], str]


@cache
def language() -> Language:
    """The language as its reference shows it.

    Raises:
        KnowledgeError: the reference plant cannot be read, or a key has no example in it.
    """
    texts = {path.name: path.read_text(encoding="utf-8") for path in sorted(REFERENCE.glob("*.yml"))}
    mistakes: list[Mistake] = []
    roots = [root for name, text in texts.items() if (root := load(name, text, mistakes)) is not None]
    if mistakes:
        raise KnowledgeError("; ".join(map(str, mistakes)))
    whole = merge(roots, mistakes)
    examples: Examples = {}
    for noun, value in whole.items():
        _collect(value, forms.keys(Definitions)[noun], texts, examples)
    nouns = tuple(_noun(noun, whole, texts, examples) for noun in forms.keys(Definitions))
    dimensions = dict.fromkeys(dimension for dimension, _, _ in UNITS.values())
    units = tuple((dimension, tuple(_spellings(dimension))) for dimension in dimensions)
    levels = (("bottom", "Lowest point of the inside."), *((key, _text(field.description))
                                                          for key, field in forms.fields(Levels).items()))
    return Language(nouns, units, levels, tuple(STATES.items()), _schema)


def _spellings(dimension: str) -> Iterator[str]:
    yield from (spelling for spelling, (owner, _, _) in UNITS.items() if owner == dimension)
    yield from (alias for alias, spelling in ALIASES.items() if UNITS[spelling][0] == dimension)


def _collect(value: Any, at: Form, texts: dict[str, str], examples: Examples) -> None:
    """Note the first use of each key of each block below a value."""
    if at.models:
        model = forms.chosen(at.models, value)
        if model is None or not isinstance(value, Mapping):
            return
        for key, part in value.items():
            examples.setdefault((model.__name__, key), _lines(texts, value, key))
            if key in forms.keys(model):
                _collect(part, forms.keys(model)[key], texts, examples)
    elif isinstance(value, Sequence):
        for part in value:
            for inner in at.inner()[:1]:
                _collect(part, inner, texts, examples)
    elif isinstance(value, Mapping) and len(at.inner()) == 2:
        for part in value.values():
            _collect(part, at.inner()[1], texts, examples)


def _lines(texts: dict[str, str], owner: Mapping, key: str) -> str:
    """The lines that write a key: its line, and what is indented under it."""
    place = owner.keys_at[key]
    lines = texts[place.file].splitlines()[place.line - 1:]
    first = lines[0]
    if first[: place.column - 1].strip(" -"):
        return _within(first, place.column)
    made = [first]
    for line in lines[1:]:
        if line.strip() and len(line) - len(line.lstrip()) < place.column:
            break
        made.append(line)
    made = [line for line in made if line.strip()]
    cut = made[:_MOST_LINES] + (["  ..."] if len(made) > _MOST_LINES else [])
    indent = place.column - 1
    return "\n".join(line[indent:] if not line[:indent].strip(" -") else line.strip() for line in cut)


def _within(line: str, column: int) -> str:
    """A key inside braces: from the key to the comma that ends its value."""
    depth, quote = 0, ""
    rest = line[column - 1:]
    for index, letter in enumerate(rest):
        if quote:
            quote = "" if letter == quote else quote
        elif letter in "\"'" and rest[index - 1:index] in ("", " ", "[", "{", ","):  # else an apostrophe inside a word
            quote = letter
        elif letter in "{[":
            depth += 1
        elif letter in "}]," and depth == 0:
            return rest[:index].strip()
        elif letter in "}]":
            depth -= 1
    return rest.strip()


def _noun(noun: str, whole: Mapping, texts: dict[str, str], examples: Examples) -> NounEntry:
    at = forms.keys(Definitions)[noun]
    field = forms.fields(Definitions)[noun]
    owner = at if at.models else at.inner()[-1]
    blocks: dict[str, BlockEntry] = {}
    todo = list(owner.models)
    while todo:
        model = todo.pop(0)
        if model.__name__ in blocks:
            continue
        blocks[model.__name__] = _block(model, examples)
        todo += [below for form in forms.keys(model).values() for below in _below(form)]
    example = _lines(texts, whole, noun) if noun in whole else ""
    shape = "one block" if at.models else "a list" if get_origin(at.kind) is tuple else "tags, each with its block"
    return NounEntry(noun, _text(field.description), shape, tuple(blocks.values()), example)


def _listed(form: Form) -> str:
    """The list that says what may stand in a form."""
    if form.to is not None and form.to.nouns == ("level",):
        return "levels"
    if form.kind is Prose:
        return "values"
    return "states" if form.inner() and form.inner()[-1].kind == State else ""


def _below(form: Form) -> tuple[type[Definition], ...]:
    if form.models:
        return form.models
    return tuple(model for inner in form.inner() for model in inner.models)


def _block(model: type[Definition], examples: Examples) -> BlockEntry:
    entries = []
    for key, field in forms.fields(model).items():
        form = forms.keys(model)[key]
        example = examples.get((model.__name__, key))
        if example is None:
            raise KnowledgeError(f"the reference plant has no example of `{key}` in {in_words(model)}")
        default = field.default
        shown = str(default) if isinstance(default, str) else {True: "yes", False: "no"}.get(default, "") if isinstance(
            default, bool) else ""
        entries.append(KeyEntry(key, _text(field.description), forms.in_words(form), field.is_required(), shown, example,
                                tuple(in_words(below) for below in _below(form)), _listed(form)))
    return BlockEntry(in_words(model), _text(model.__doc__), tuple(entries))


def in_words(model: type[Definition]) -> str:
    """The name of a block in words.

    >>> class VerticalCylinder(Definition): ...
    >>> in_words(VerticalCylinder)
    'vertical cylinder'
    """
    return re.sub(r"(?<=[a-z])(?=[A-Z])", " ", model.__name__).lower()


def _text(words: str | None) -> str:
    return " ".join((words or "").split())


@cache
def _schema() -> dict[str, object]:
    """A JSON Schema for editors: any file may hold any noun, so nothing is required at the top."""
    made = Definitions.model_json_schema(by_alias=True)
    made.pop("required", None)
    made["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    made["title"] = "Definitions of a level-control philosophy"
    return made


