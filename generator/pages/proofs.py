"""Proof tests of one tag or tank: what is done, when it was done last, when it is due."""

from collections.abc import Iterable
from datetime import timedelta

from msgspec import Struct

from generator.model.document import Test
from generator.model.page import Link, Running
from generator.model.quantity import Duration
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.days import day
from generator.pages.prose import running


class ProofRow(Struct, frozen=True):
    """One test. `due` is in words; `is_overdue` is judged against the day of the data."""

    test: Link
    covers: tuple[Link, ...]
    method: str
    steps: Running
    passes: Running
    restores: Running
    interval: str
    last: str
    due: str
    is_overdue: bool


def proofs(context: Context, tags: Iterable[str]) -> tuple[ProofRow, ...]:
    """Every test that covers one of some tags, each once."""
    found = dict.fromkeys(test for tag in tags for test in context.plant.tests_of[tag])
    return tuple(row(context, tag) for tag in found)


def row(context: Context, tag: Tag) -> ProofRow:
    """One test."""
    test = context.plant.tests[tag]
    interval = _interval(context, test)
    as_of = context.plant.plant.document.as_of
    due, is_overdue = "never done", True
    if test.last is not None:
        due, is_overdue = "no interval is recorded", False
        if interval is not None:
            on = test.last + timedelta(seconds=interval.si)
            is_overdue = on < as_of
            due = f"{'was due' if is_overdue else 'due'} {day(on)}"
    return ProofRow(
        context.paths.link(tag), tuple(context.paths.link(covered) for covered in test.covers), test.method,
        running(context, test.steps), running(context, test.passes), running(context, test.restores),
        interval.written if interval else "not recorded", day(test.last) if test.last else "never", due, is_overdue,
    )


def _interval(context: Context, test: Test) -> Duration | None:
    """Its own interval, else that of the first thing it covers: tank, area, plant."""
    if test.interval is not None:
        return test.interval
    plant = context.plant
    tank = context.paths.tank(test.covers[0])
    area = plant.area_of(test.covers[0])
    blocks = [plant.tanks[Tag(tank)].defaults] if tank else []
    blocks += [plant.areas[area].defaults] if area else []
    return next((block.test_interval for block in (*blocks, plant.plant.defaults) if block.test_interval), None)
