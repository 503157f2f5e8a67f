"""Calculations: every record of the plant, one page a tank and one for what belongs to no tank."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.page import Later, Link, Page
from generator.model.record import Outcome
from generator.pages import records
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.records import AbsenceView, OutcomeView

SECTION = ("Calculations",)
Owners = dict[str, list[Outcome]]
"""Outcomes of one page by the tag that they belong to."""


class Group(Struct, frozen=True):
    """The records of one tag."""

    anchor: str
    title: str
    link: Link
    records: tuple[OutcomeView, ...]


class Calculations(Struct, frozen=True):
    """All records of one tank, by tag. `absent` counts what could not be worked out."""

    title: str
    tank: Link | None
    worked_out: int
    absent: tuple[AbsenceView, ...]
    groups: tuple[Group, ...]


def pages(context: Context) -> Iterator[Page]:
    """One page for each tank that has records, one for the plant."""
    by_page: dict[str, Owners] = {}
    for key, outcome in context.results.records.items():
        owner = key.removeprefix("#").split("/")[0]
        by_page.setdefault(context.paths.calculations(owner), {}).setdefault(owner, []).append(outcome)
    tanks = {context.paths.calculations(tag): tag for tag in context.plant.tanks}
    for path, owners in by_page.items():
        yield _page(context, path, tanks.get(path), owners)


def _page(context: Context, path: str, tank: str | None, owners: Owners) -> Page:
    title = f"Calculations, {tank}" if tank else "Calculations, whole plant"
    return Page(path, title, "calculations", Later(_view, context, title, tank, owners), SECTION, nav=tank or "Whole plant")


def _view(context: Context, title: str, tank: str | None, owners: Owners) -> Calculations:
    groups = tuple(
        Group(f"of-{slug(owner)}", _title(context, owner), context.paths.link(owner),
              tuple(records.view(context, outcome) for outcome in outcomes))
        for owner, outcomes in sorted(owners.items(), key=lambda one: one[0] != tank)
    )
    absent = tuple(one for group in groups for one in group.records if isinstance(one, AbsenceView))
    worked_out = sum(len(group.records) for group in groups) - len(absent)
    return Calculations(title, context.paths.link(tank) if tank else None, worked_out, absent, groups)


def _title(context: Context, owner: str) -> str:
    link = context.paths.link(owner)
    return link.title
