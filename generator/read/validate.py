"""Plain data to typed definitions; every fault of form becomes a mistake in our own words."""

from collections.abc import Iterator
from functools import cache
from typing import Annotated, Any

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from generator.model.condition import Condition
from generator.model.definition import Definition, Mapping, Sequence
from generator.model.finding import Mistake
from generator.model.place import NOWHERE, Place
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.scalar import Text
from generator.read import forms, words

Items = dict[str, dict[str, Definition]]
"""The members of each noun by the end of their paths: ".T-210" under "tanks", "[1]" under "waivers"."""


def definitions(whole: Mapping, mistakes: list[Mistake]) -> tuple[Definitions | None, Items]:
    """The typed definitions, with the members of each noun.

    Where anything has no meaning it joins `mistakes`; then there are no definitions, and the members are those that can
    be read by themselves, so that they can still be looked at.
    """
    _python_names(whole, "", mistakes)
    try:
        made = Definitions.model_validate(whole)
    except ValidationError as error:
        details = error.errors(include_url=False)
        mistakes.extend(_causes([mistake for detail in details for mistake in _mistakes(whole, detail)]))
        return None, _readable(whole, {end for detail in details for end in _ends(detail["loc"])})
    return made, {noun: _members(noun, getattr(made, noun)) for noun in whole}


def _ends(location: tuple[int | str, ...]) -> Iterator[str]:
    """The members that a location of the validator lies in: the noun alone where all of it is of another form."""
    noun, *more = location
    if len(more) == 0 or not forms.keys(Definitions)[str(noun)].inner():
        yield str(noun)
    else:
        yield f"{noun}[{more[0] + 1}]" if isinstance(more[0], int) else f"{noun}.{more[0]}"


def _causes(found: list[Mistake]) -> list[Mistake]:
    """The same mistakes without those that a misspelt key beside them explains."""
    meant = {
        (mistake.subject.rpartition(".")[0], word) for mistake in found if mistake.rule == "unknown-key"
        for word in [mistake.cure.partition("`")[2].partition("`")[0].partition(":")[0]]
        if mistake.cure.startswith(("did you mean", "a space must follow"))
    }
    return [one for one in found if one.rule != "value-missing" or one.subject.rpartition(".")[::2] not in meant]


def _members(noun: str, value: Any) -> dict[str, Any]:
    """The members of a noun by the end of their paths: a tag, a number in a list, or nothing for a single block."""
    if isinstance(value, dict):
        return {f".{tag}": one for tag, one in value.items()} if forms.keys(Definitions)[noun].inner() else {"": value}
    return (
        {f"[{number}]": one for number, one in enumerate(value, 1)} if isinstance(value, list | tuple) else {"": value}
    )


def _readable(whole: Mapping, bad: set[str]) -> Items:
    items: Items = {}
    for noun, value in whole.items():
        if noun in bad or noun not in Definitions.model_fields:
            continue
        adapter = _adapter(noun)
        items[noun] = {
            end: adapter.validate_python(block) for end, block in _members(noun, value).items() if noun + end not in bad
        }
    return items


@cache
def _adapter(noun: str) -> TypeAdapter[Any]:
    at = forms.keys(Definitions)[noun]
    inner = at.inner()[-1] if at.inner() else at
    kind: Any = Annotated[inner.kind, *inner.metadata] if inner.metadata else inner.kind
    return TypeAdapter(kind)


def _python_names(value: Any, path: str, mistakes: list[Mistake]) -> None:
    # The model answers to `in_` and `from_` too, since Python keeps the bare words for itself; the language does not.
    if isinstance(value, Mapping):
        for key, part in value.items():
            inner = f"{path}.{key}" if path else str(key)
            if key in ("in_", "from_"):
                mistakes.append(Mistake(value.keys_at[key], "unknown-key", inner, "only known keys may stand here",
                                        f"`{key}` is none of them", f"did you mean `{key[:-1]}`?"))
            _python_names(part, inner, mistakes)
    elif isinstance(value, Sequence):
        for number, part in enumerate(value, 1):
            _python_names(part, f"{path}[{number}]", mistakes)


def _mistakes(whole: Mapping, detail: ErrorDetails) -> Iterator[Mistake]:
    found = _Found(whole, detail["loc"])
    if found.form.kind is Condition and detail["type"] != "missing":
        for value, place, error in _culprits(found.value, found.place):
            said = words.of_custom(error.type, error.message(), {**(error.context or {}), "form": found.form}, value)
            yield Mistake(place, said.rule, found.path, said.must, said.stands, said.cure)
        return
    said = words.of(detail, found.value, found.form)
    place, path = found.place_of_key if said.at_key else found.place, found.path
    if detail["type"] == "union_tag_invalid":
        place, path = found.value.values_at["kind"], f"{path}.kind"
    if detail["type"] == "missing" and place.via:
        place = found.place  # the key is a tag from a row; what is left out was left out in the pattern's block
    yield Mistake(place, said.rule, path, said.must, said.stands, said.cure)


def _culprits(value: Any, place: Place) -> Iterator[tuple[Any, Place, PydanticCustomError]]:
    """The smallest parts of a condition that have no meaning."""
    try:
        Condition.read(value)
    except PydanticCustomError as error:
        inner = list(_inner_culprits(value))
        yield from inner or [(value, place, error)]


def _inner_culprits(value: Any) -> Iterator[tuple[Any, Place, PydanticCustomError]]:
    if not isinstance(value, Mapping) or (len(value) != 1 and set(value) != {"held", "of"}):
        return
    for key, part in value.items():
        if key == "held":
            try:
                Duration.read(part)
            except PydanticCustomError as error:
                yield part, value.values_at[key], error
        elif isinstance(part, Sequence) and key not in ("not", "of"):
            for one in part:
                yield from _culprits(one, one.place)
        elif key in ("not", "of"):
            yield from _culprits(part, value.values_at[key])


class _Found:
    """What a location of the validator means: the value there, its form and place, its path in YAML keys.

    A location names the form of a block that can have several ("vertical cylinder") like a key; a path does not.
    """

    def __init__(self, whole: Mapping, location: tuple[int | str, ...]) -> None:
        self.value: Any = whole
        self.form = forms.form(Definitions)
        self.place = self.place_of_key = whole.place
        parts: list[str] = []
        for part in location:
            if part == "[key]":
                self.value, self.place = Text(parts[-1]), self.place_of_key
                self.form = self.key_form
                continue
            if len(self.form.models) > 1:
                model = forms.told_apart(self.form.models, str(part))
                if model is not None:
                    self.form = forms.form(model)
                    continue
            self._enter(part)
            parts.append(f"[{part + 1}]" if isinstance(part, int) else part)
        self.path = ".".join(parts).replace(".[", "[")
        if self.place == NOWHERE:
            self.place = self.place_of_key = first_place(whole)

    def _enter(self, part: int | str) -> None:
        self.key_form = forms.form(Text)
        inner = self.form.inner()
        if isinstance(part, int):
            if isinstance(self.value, Sequence) and part < len(self.value):
                self.value = self.value[part]
                self.place = self.place_of_key = self.value.place
            self.form = inner[0] if inner else forms.form(Text)
            return
        if isinstance(self.value, Mapping) and part in self.value:
            self.place_of_key, self.place = self.value.keys_at[part], self.value.values_at[part]
            self.value = self.value[part]
        else:
            self.value = None
        if len(inner) == 2:
            self.key_form, self.form = inner
        elif len(self.form.models) == 1:
            self.block = self.form.models[0]
            self.form = forms.keys(self.block).get(part, forms.Form(None, (self.block,)))
        else:
            self.form = forms.form(Text)


def first_place(whole: Mapping) -> Place:
    """The first place that anything in the definitions has."""
    return min(whole.keys_at.values(), key=lambda at: (at.file, at.line), default=Place("", 1, 1))
