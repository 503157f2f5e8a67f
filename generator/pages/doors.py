"""Which records a view shows, and where each stands: the map by which a template makes a number a door."""

from collections.abc import Hashable, Iterator, Mapping
from functools import cache
from typing import Any, cast

from msgspec import Struct
from msgspec.structs import fields

from generator.model.page import Amount, Link
from generator.pages.context import Context


def doors(context: Context, *shown: Any) -> Mapping[str, str]:
    """Paths of the records behind all amounts in views, rows and running text, however deep they stand."""
    keys = sorted(set(_records(*shown)))
    return {key: context.paths.record(key) for key in keys if key in context.results.records}


def _records(*shown: Any) -> Iterator[str]:
    todo = list(shown)
    while todo:
        one = todo.pop()
        kind = type(one)
        if kind is str or kind is Link:
            continue
        if kind is Amount:
            if one.record:
                yield one.record
        elif kind is tuple or kind is list:
            todo += one
        elif isinstance(one, Mapping):
            todo += one.values()
        else:
            todo += [getattr(one, name) for name in _fields(cast(Hashable, kind))]


@cache
def _fields(kind: Hashable) -> tuple[str, ...]:
    """What a view holds beside plain words and figures; nothing for what is no view."""
    if not (isinstance(kind, type) and issubclass(kind, Struct)):
        return ()
    return tuple(field.name for field in fields(kind) if field.type not in _PLAIN)


_PLAIN = (str, int, float, bool, Link)
