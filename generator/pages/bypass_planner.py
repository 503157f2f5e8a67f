"""The bypass planner: what still stands against each hazard while one function, or two, are out of use."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.model.failure import BypassCase
from generator.model.page import Link, Page, Running
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.doors import doors
from generator.pages.failures import HazardRow, hazard_row, tags
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.story import Fact, bypass_facts

PATH = "review/bypass-planner.html"


class CaseView(Struct, frozen=True):
    """One bypass or a pair. `is_bare` where a hazard is left with nothing that acts; `members` are those of the bypassed
    interlocks that lose one member of their vote only."""

    anchor: str
    bypassed: tuple[Link, ...]
    together: Running
    hazards: tuple[HazardRow, ...]
    relies_on: Running
    driven: tuple[Running, ...]
    is_bare: bool
    attachment: Link | None
    members: tuple[str, ...]


class Planner(Struct, frozen=True):
    """The page. `without` are interlocks that may not be bypassed."""

    singles: tuple[CaseView, ...]
    pairs: tuple[CaseView, ...]
    without: tuple[Link, ...]
    defects: Running
    doors: Mapping[str, str]


class Attachment(Struct, frozen=True):
    """One page to print and hang on the permit: the bypass of one interlock."""

    tag: str
    interlock: Link
    service: Running
    facts: tuple[Fact, ...]
    case: CaseView
    pairs: tuple[CaseView, ...]
    defects: Running
    doors: Mapping[str, str]


def attachment_path(tag: str) -> str:
    """Where the attachment of an interlock stands."""
    return f"review/bypass/{slug(tag)}.html"


def pages(context: Context) -> Iterator[Page]:
    """The planner, then an attachment for each interlock that may be bypassed."""
    views = [(case, _case(context, case)) for case in context.results.bypasses]
    singles = tuple(view for case, view in views if len(case.bypassed) == 1)
    pairs = tuple(view for case, view in views if len(case.bypassed) > 1)
    without = tuple(context.paths.link(tag) for tag, lock in context.plant.interlocks.items() if lock.bypass is None)
    defects = _defects(context)
    planner = Planner(singles, pairs, without, defects, doors(context, singles, pairs))
    yield Page(PATH, "Bypass planner", "bypass_planner", planner, ("Review",),
               words=("permit", "override", "out of use"))
    of_pair: dict[str, list[CaseView]] = {}
    for case, view in views:
        if len(case.bypassed) > 1:
            for tag in case.bypassed:
                of_pair.setdefault(tag, []).append(view)
    for case, view in views:
        if len(case.bypassed) == 1:
            tag = case.bypassed[0]
            lock = context.plant.interlocks[Tag(tag)]
            facts, also = bypass_facts(context, lock), tuple(of_pair.get(tag, ()))
            yield Page(attachment_path(tag), f"{tag} bypass, attachment to the permit", "bypass_attachment", Attachment(
                tag, context.paths.link(tag), running(context, lock.service), facts, view, also, defects,
                doors(context, facts, view, also)), ("Review", "Bypass attachments"), nav=tag, words=("permit", "bypass"))


def _case(context: Context, case: BypassCase) -> CaseView:
    rows = tuple(hazard_row(context, one, case.reduced) for one in case.exposures)
    single = case.bypassed[0] if len(case.bypassed) == 1 else ""
    return CaseView(
        slug(" ".join(case.bypassed)), tuple(context.paths.link(tag) for tag in case.bypassed),
        tags(context, case.together) if case.together else (), rows,
        tags(context, case.relies_on) if case.relies_on else (), tuple(_driven(context, case)), any(row.is_bare for row in rows),
        Link("Attachment to the permit", attachment_path(single)) if single else None,
        tuple(tag for tag in case.bypassed if tag in case.reduced))


def _driven(context: Context, case: BypassCase) -> Iterator[Running]:
    """Which trips of other tanks, still in use, would drive a level towards a hazard that is laid bare."""
    for one in case.driven:
        yield ("When ", context.paths.link(one.interlock), " acts, ", context.paths.link(one.tank), f" {one.goes} towards ",
               context.paths.link(one.hazard), ".")


def _defects(context: Context) -> Running:
    """Bodies that are recorded as defective."""
    bodies = [str(tag) for tag, body in context.plant.instruments.items() if body.known_defect is not None]
    return tags(context, bodies) if bodies else ()


