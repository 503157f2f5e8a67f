"""Waivers and holds: what somebody decided to live with, and what is not settled."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.document import Hold, Waiver
from generator.model.page import Link, Page, Running
from generator.pages import findings
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running


class WaiverRow(Struct, frozen=True):
    """One waiver and the findings it covers."""

    number: int
    waiver: Waiver
    rule: Link
    because: Running
    instead: Running
    covers: tuple[findings.FindingRow, ...]
    source: Link


class HoldRow(Struct, frozen=True):
    """One hold."""

    tag: str
    anchor: str
    hold: Hold
    what: Running
    about: tuple[Link, ...]
    is_overdue: bool
    source: Link


class Decisions(Struct, frozen=True):
    """What the page shows."""

    waivers: tuple[WaiverRow, ...]
    holds: tuple[HoldRow, ...]
    as_of: str


def pages(context: Context) -> Iterator[Page]:
    """The page of waivers and holds."""
    plant = context.plant
    names = {rule.number: rule.name for rule in context.review.rules}
    yield Page("review/waivers-and-holds.html", "Waivers and holds", "waivers", Decisions(
        tuple(_waiver(context, number, waiver, names) for number, waiver in enumerate(plant.waivers, 1)),
        holds(context), str(plant.plant.document.as_of),
    ), findings.SECTION)


def holds(context: Context) -> tuple[HoldRow, ...]:
    """Every hold, open ones first."""
    as_of = context.plant.plant.document.as_of
    rows = [
        HoldRow(tag, slug(tag), hold, running(context, hold.what), tuple(context.paths.link(one) for one in hold.about),
                hold.closed is None and hold.due < as_of, context.paths.source(hold.place))
        for tag, hold in context.plant.holds.items()
    ]
    return tuple(sorted(rows, key=lambda row: (row.hold.closed is not None, row.hold.due)))


def _waiver(context: Context, number: int, waiver: Waiver, names: dict[str, str]) -> WaiverRow:
    covered = tuple(findings.row(context, one) for one in context.review.findings if one.waiver == number)
    return WaiverRow(number, waiver, findings.rule_link(waiver.rule, names.get(waiver.rule, "")),
                     running(context, waiver.because), running(context, waiver.instead), covered,
                     context.paths.source(waiver.place))
