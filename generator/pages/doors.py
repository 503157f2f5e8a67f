"""Which records a view shows, and where each stands: the map by which a template makes a number a door."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from typing import Any

from generator.model.page import Amount
from generator.pages.context import Context


def doors(context: Context, *shown: Any) -> Mapping[str, str]:
    """Paths of the records behind all amounts in views, rows and running text, however deep they stand."""
    keys = sorted({key for one in shown for key in _records(one)})
    return {key: context.paths.record(key) for key in keys if key in context.results.records}


def _records(shown: Any) -> Iterator[str]:
    if isinstance(shown, Amount):
        if shown.record:
            yield shown.record
    elif isinstance(shown, tuple | list):
        for part in shown:
            yield from _records(part)
    elif isinstance(shown, Mapping):
        yield from _records(tuple(shown.values()))
    elif is_dataclass(shown) and not isinstance(shown, type):
        for field in fields(shown):
            yield from _records(getattr(shown, field.name))
