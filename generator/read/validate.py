"""Plain data to typed definitions; every fault of form becomes a mistake in our own words."""

from collections.abc import Iterator
from functools import cache
from typing import Any, get_args

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from generator.model.condition import Condition
from generator.model.definition import Definition, Mapping, Sequence
from generator.model.finding import Mistake
from generator.model.place import NOWHERE, Place
from generator.model.plant import Definitions
from generator.model.scalar import Text
from generator.read import forms, words

Items = dict[str, dict[str, Definition]]


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
        for detail in details:
            mistakes.extend(_mistakes(whole, detail))
        return None, _readable(whole, {detail["loc"][:2] for detail in details})
    return made, {noun: {str(tag): one for tag, one in members.items()} for noun, members in made.nouns()}


def _readable(whole: Mapping, bad: set[tuple[int | str, ...]]) -> Items:
    items: Items = {}
    for noun, members in whole.items():
        adapter = _adapter(noun)
        if adapter is None or not isinstance(members, Mapping) or (noun,) in bad:
            continue
        items[noun] = {
            tag: adapter.validate_python(block) for tag, block in members.items() if (noun, tag) not in bad
        }
    return items


@cache
def _adapter(noun: str) -> TypeAdapter[Any] | None:
    field = Definitions.model_fields.get(noun)
    kinds = get_args(field.annotation) if field is not None and field.default == {} else ()
    return TypeAdapter(kinds[1]) if kinds else None


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
            said = words.of_custom(error.type, error.message(), error.context or {}, value)
            yield Mistake(place, said.rule, found.path, said.must, said.stands, said.cure)
        return
    said = words.of(detail, found.value, found.form)
    yield Mistake(found.place_of_key if said.at_key else found.place, said.rule, found.path, said.must, said.stands, said.cure)


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
            continue
        if isinstance(part, Sequence) and key not in ("not", "of"):
            for one in part:
                yield from _culprits(one, one.place)
        elif key in ("not", "of"):
            yield from _culprits(part, value.values_at[key])


class _Found:
    """What a location of the validator means: the value there, its form and place, its path in YAML keys.

    A location names the form of a block that can have several ("vertical cylinder") as if it were a key; a path does not.
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
