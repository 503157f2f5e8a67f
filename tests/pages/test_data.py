"""The data file: every worked-out value is a number under a key that names its unit."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from generator.pages import data
from tests.pages.plants import DEMO, context

UNIT = re.compile(r"value(_[A-Za-z0-9]+)*")


def _values(record: Mapping[str, Any]) -> Iterator[Any]:
    named = [key for key in record if UNIT.fullmatch(key)]
    assert len(named) == 1, record
    yield record[named[0]]


def test_every_value_of_a_record_is_one_number() -> None:
    records = data.philosophy(context(DEMO), {})["records"]
    counted = 0
    for record in records.values():
        if "cannot_be_assessed" in record:
            continue
        for one in (record, *record["inputs"]):
            for value in _values(one):
                assert isinstance(value, int | float) and not isinstance(value, bool), one
                counted += 1
    assert counted > 10_000


def test_a_value_of_nothing_keeps_its_unit() -> None:
    """A least demand of 0 m³/s is a flow, as any other."""
    record = data.philosophy(context(DEMO), {})["records"]
    nothing = [one for made in record.values() for one in made.get("inputs", ()) if one.get("value_m3_per_s") == 0]
    assert nothing
