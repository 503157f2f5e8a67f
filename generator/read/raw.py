"""Small looks into data as written, which may have any form."""

from collections.abc import Iterator
from typing import Any

from generator.model.definition import Mapping
from generator.model.scalar import Text


def blocks(whole: Mapping, noun: str) -> Iterator[tuple[str, Mapping]]:
    """The members of a noun that are blocks of keys."""
    members = whole.get(noun)
    for tag, block in members.items() if isinstance(members, Mapping) else ():
        if isinstance(block, Mapping):
            yield tag, block


def block(whole: Any, *keys: str | None) -> Mapping:
    """The block of keys reached by a way of keys; an empty one where the way ends."""
    for key in keys:
        whole = whole.get(key) if isinstance(whole, Mapping) and key is not None else None
    return whole if isinstance(whole, Mapping) else Mapping()


def members(value: Any, key: str) -> list[Any]:
    """The members of a list in a block; none where there is no list."""
    inner = value.get(key) if isinstance(value, Mapping) else None
    return inner if isinstance(inner, list) else []


def text(value: Any, key: str) -> Text | None:
    """A plain value in a block; None where there is none."""
    inner = value.get(key) if isinstance(value, Mapping) else None
    return inner if isinstance(inner, Text) and inner else None
