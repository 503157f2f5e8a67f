"""Free text anywhere in the definitions."""

import re
from collections.abc import Iterator, Mapping, Sequence

from generator.check.context import Context
from generator.check.subjects import Sentence
from generator.model.definition import Definition
from generator.model.scalar import Prose

_ITSELF = frozenset({("liquids", "name"), ("plant", "datum")})
"""Texts whose number is the thing itself and stands nowhere else: the grade in a liquid's name, the height of the datum."""
_LOOKED_AT = re.compile(r"[\d{}]")


def sentences(context: Context) -> Iterator[Sentence]:
    """Free text with a digit or a brace in it, anywhere in the definitions, once for each place."""
    seen: set[object] = set()
    for noun, members in context.plant.nouns():
        for tag, member in members.items():
            for key, text in _prose(member):
                if _LOOKED_AT.search(text) and text.place not in seen and (noun, key) not in _ITSELF:
                    seen.add(text.place)
                    yield Sentence(f"{tag}: {key}", (tag,), text.place, "production", context, {}, str(text))
    for noun in ("plant", "revisions", "never_together", "waivers"):
        for key, text in _prose(getattr(context.plant, noun)):
            if _LOOKED_AT.search(text) and text.place not in seen and (noun, key) not in _ITSELF:
                seen.add(text.place)
                yield Sentence(f"{noun}: {key}", (), text.place, "production", context, {}, str(text))


def _prose(value: object, key: str = "") -> Iterator[tuple[str, Prose]]:
    if isinstance(value, Prose):
        yield key, value
    elif isinstance(value, Definition):
        for name in type(value).model_fields:
            inner = getattr(value, name)
            if inner is not None and not isinstance(inner, bool | int | float):
                yield from _prose(inner, name.rstrip("_"))
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from _prose(inner, key)
    elif isinstance(value, Sequence) and not isinstance(value, str):
        for inner in value:
            yield from _prose(inner, key)
