"""Which records a view shows, and where each stands: the map by which a template makes a number a door."""

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, cast

from generator.model.page import Amount
from generator.pages.context import Context


def doors(context: Context, *shown: Any) -> Mapping[str, str]:
    """Paths of the records behind all amounts in views, rows and running text, however deep they stand."""
    keys = sorted(set(_records(*shown)))
    return {key: context.paths.record(key) for key in keys if key in context.results.records}


def _records(*shown: Any) -> Iterator[str]:
    todo = list(shown)
    while todo:
        one = todo.pop()
        if isinstance(one, str):
            continue
        if isinstance(one, Amount):
            if one.record:
                yield one.record
        elif isinstance(one, tuple | list):
            todo += one
        elif isinstance(one, Mapping):
            todo += one.values()
        else:
            todo += [getattr(one, name) for name in _fields(cast(Hashable, type(one)))]


@cache
def _fields(kind: Any) -> tuple[str, ...]:
    """What a view holds; nothing for what is no view."""
    return tuple(field.name for field in fields(kind)) if is_dataclass(kind) else ()
