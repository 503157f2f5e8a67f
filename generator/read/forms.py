"""The language's own shape, read off the model: which keys a block has, which type a value must have."""

from collections.abc import Hashable
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, cast, get_args, get_origin

from msgspec import Struct
from pydantic.fields import FieldInfo

from generator.model import need
from generator.model.condition import Condition
from generator.model.definition import Definition, Mapping, Sequence
from generator.model.place import Place
from generator.model.quantity import Percent, Quantity, Stand, example_units
from generator.model.scalar import OneOrSeveral, Tag, Text, To


class Form(Struct, frozen=True):
    """A type of the language with its metadata; `None` beside it is left aside."""

    kind: Any
    metadata: tuple[Any, ...] = ()

    @property
    def to(self) -> To | None:
        """The kinds of definition that a value of this form may name."""
        return next((one for one in self.metadata if isinstance(one, To)), None)

    @property
    def models(self) -> tuple[type[Definition], ...]:
        """The blocks that may stand here: none, one, or several told apart by a key."""
        return _models(self.kind)

    def inner(self) -> "tuple[Form, ...]":
        """The forms of the members of a list, or of the keys and values of a mapping from tags."""
        return _inner(self.kind)


@cache
def form(annotation: Any, metadata: tuple[Any, ...] = ()) -> Form:
    """The form that an annotation stands for."""
    if get_origin(annotation) is Annotated:
        base, *more = get_args(annotation)
        return form(base, (*metadata, *more))
    if get_origin(annotation) in (Union, UnionType):
        parts = [part for part in get_args(annotation) if part is not NoneType]
        if len(parts) == 1:
            return form(parts[0], metadata)
    return Form(annotation, metadata)


@cache
def _models(kind: Any) -> tuple[type[Definition], ...]:
    if get_origin(kind) in (Union, UnionType):
        return tuple(model for part in get_args(kind) for model in form(part).models)
    return (kind,) if isinstance(kind, type) and issubclass(kind, Definition) else ()


@cache
def _inner(kind: Any) -> tuple[Form, ...]:
    if get_origin(kind) is tuple:
        return (form(get_args(kind)[0]),)
    if get_origin(kind) is dict:
        key, value = get_args(kind)
        return form(key), form(value)
    return ()


@cache
def keys(model: type[Definition]) -> dict[str, Form]:
    """The YAML keys of a block with their forms, in the order of the model."""
    return {
        name: form(cast(Hashable, field.annotation), tuple(field.metadata)) for name, field in fields(model).items()
    }


@cache
def fields(model: type[Definition]) -> dict[str, FieldInfo]:
    """The fields of a block by their YAML keys."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def told_apart(models: tuple[type[Definition], ...], word: str | None) -> type[Definition] | None:
    """Of several blocks that may stand somewhere, the one that a word names: its `kind`, or the key that opens it."""
    for model in models:
        kind = model.model_fields.get("kind")
        if kind is None:
            if word is not None and word in fields(model) and next(iter(fields(model))) == word:
                return model
        elif word in get_args(kind.annotation):
            return model
    return None


def chosen(models: tuple[type[Definition], ...], block: Any) -> type[Definition] | None:
    """The block that a mapping is meant to be; None where it does not say so."""
    if len(models) == 1:
        return models[0]
    if not isinstance(block, Mapping):
        return None
    word = block.get("kind", need.which(block))
    return told_apart(models, word) if isinstance(word, str) else None


class Spot(Struct, frozen=True):
    """One value of the definitions as written, with what the language takes it for."""

    value: Any
    form: Form
    path: str
    place: Place


def spots(value: Any, at: Form, path: str, place: Place) -> list[Spot]:
    """Every scalar, condition and tag-like key below a value that stands in a known form; the rest is left aside."""
    found: list[Spot] = []
    _gather(found, value, at, path, place)
    return found


def _gather(found: list[Spot], value: Any, at: Form, path: str, place: Place) -> None:
    # A list that grows: nested generators would hand each spot up through every level above it.
    if at.kind is Condition:
        found.append(Spot(value, at, path, place))
    elif at.models:
        model = chosen(at.models, value)
        if model is not None and isinstance(value, Mapping):
            known = keys(model)
            for key, part in value.items():
                if key in known:
                    _gather(found, part, known[key], f"{path}.{key}", value.values_at[key])
    elif isinstance(value, Text):
        found.append(Spot(value, at, path, place))
    elif inner := at.inner():
        if isinstance(value, Sequence):
            for number, part in enumerate(value, 1):
                _gather(found, part, inner[0], f"{path}[{number}]", part.place)
        elif isinstance(value, Mapping) and len(inner) == 2:
            of_key, of_value = inner
            for key, part in value.items():
                found.append(Spot(key, of_key, f"{path}.{key}", value.keys_at[key]))
                _gather(found, part, of_value, f"{path}.{key}", value.values_at[key])


def in_words(at: Form) -> str:
    """What must stand in a form, in words."""
    kind = at.kind
    if at.to is not None:
        others = [f"`{word}`" for word in at.to.also]
        return " or ".join([a_kind(*at.to.nouns), *others])
    if get_origin(kind) is Literal:
        return one_of(get_args(kind))
    if kind in (bool, int, float):
        return {bool: "`yes` or `no`", int: "a whole number", float: "a number"}[kind]
    if isinstance(kind, type) and issubclass(kind, Quantity):
        return f"a {kind.dimension} in {example_units(kind.dimension)}"
    if kind is Stand:
        return "a height, a volume, or a share such as `62 % of height`"
    if kind is Percent:
        return "a share such as `62 % of range`"
    if kind is Condition:
        return "a condition"
    if at.models:
        return "a block of keys"
    if get_origin(kind) is tuple and any(isinstance(one, OneOrSeveral) for one in at.metadata):
        return f"{in_words(at.inner()[0])}; or a list of such words"
    if get_origin(kind) is tuple:
        return f"a list, each {in_words(at.inner()[0])}"
    if get_origin(kind) is dict:
        return "tags, each with what belongs to it"
    if getattr(kind, "__name__", "") == "date":
        return "a day such as 2026-11-14"
    return "a tag" if kind is Tag else "words"


def one_of(names: tuple[str, ...]) -> str:
    """Words that may stand somewhere, in words."""
    shown = [f"`{name}`" for name in names]
    return shown[0] if len(shown) == 1 else f"one of {', '.join(shown[:-1])} or {shown[-1]}"


SINGULAR = {
    "areas": "an area", "liquids": "a liquid", "tanks": "a tank", "streams": "a stream", "cases": "an operating case",
    "technologies": "a technology of the plant",
    "instruments": "an instrument", "switches": "a switch", "pumps": "a pump", "pump_groups": "a pump group",
    "valves": "a valve", "equipment": "a piece of equipment", "relays": "a relay", "signals": "a signal",
    "controls": "a control", "interlocks": "an interlock", "alarms": "an alarm", "hazards": "a hazard",
    "modes": "a mode", "supplies": "a supply", "panels": "a panel", "links": "a link", "attendance": "a place in `attendance`",
    "tests": "a test", "references": "a reference", "holds": "a hold", "scenarios": "a scenario",
    "patterns": "a pattern", "rules": "a published rule", "level": "a level of the tank",
}


def a_kind(*nouns: str) -> str:
    """What a tag of these nouns is the name of: "the tag of a pump or a valve"."""
    names = [SINGULAR[noun] for noun in nouns]
    if nouns in (("rules",), ("level",)):
        return f"the name of {names[0]}"
    return "the tag of " + (names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}")
