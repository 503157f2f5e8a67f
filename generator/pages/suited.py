"""How a device suits its liquid, place and duty, how it is tended and how it is tried."""

import re
from collections.abc import Mapping

from msgspec import Struct

from generator.model.device import Fit, Suitability
from generator.model.page import Amount, Link
from generator.model.plant import Definitions
from generator.model.scalar import Tag
from generator.model.tank import Liquid
from generator.model.technology import OwnTechnology
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.paths import slug

MARKS: Mapping[Fit, tuple[str, str]] = {
    "fail": ("fail", "st-trip"), "cannot be assessed": ("cannot", "st-alarm"), "pass": ("pass", ""),
    "does not apply": ("vessel", "quiet"),
}
WORDS: Mapping[Fit, str] = {
    "fail": "does not suit", "cannot be assessed": "cannot be assessed", "pass": "suits", "does not apply": "does not apply",
}
SOLIDS = {"fine": "fine solids", "rags": "rags", "settling": "settling solids", "crystallising": "crystallising solids"}


class JudgementRow(Struct, frozen=True):
    """One criterion with its outcome and reason."""

    title: str
    verdict: Fit
    mark: str
    tone: str
    why: str
    basis: str


class AlternativeRow(Struct, frozen=True):
    """Another technology and what it would need."""

    technology: Link
    needs: tuple[str, ...]


class SuitabilityView(Struct, frozen=True):
    """How one device suits: the verdict, each criterion, what would serve instead."""

    verdict: str
    mark: str
    tone: str
    rows: tuple[JudgementRow, ...]
    aside: tuple[str, ...]
    """Titles of the criteria that do not apply."""
    alternatives: tuple[AlternativeRow, ...]


class CareRow(Struct, frozen=True):
    """One reason to clean the device, how often, and whose interval it is."""

    where: str
    every: Amount
    do: str
    whose: str


class CareView(Struct, frozen=True):
    """Care and test of one device."""

    care: tuple[CareRow, ...]
    wetted: str
    hidden: str
    restore: tuple[str, ...]
    missing: tuple[str, ...]


_MONTH = 2629800.0
_UNITS = re.compile(r"\b(kg/m3|uS/cm|mPa s|degC)\b")


def tidy(words: str) -> str:
    """Words with their units as print sets them."""
    return _UNITS.sub(lambda match: amounts.pretty(match[1]), words)


def interval(si: float) -> Amount:
    """A time between two cleanings: whole months where it is that."""
    months = si / _MONTH
    if abs(months - round(months)) < 1e-6 and months >= 1:
        return Amount(f"{round(months)}", "month" if round(months) == 1 else "months")
    return amounts.duration(si)


def path_of(technology: str) -> str:
    """The page of a technology."""
    return f"technologies/{slug(technology)}.html"


def link(technology: str) -> Link:
    """A link to the page of a technology."""
    return Link(technology, path_of(technology))


def suitability(context: Context, body: str) -> SuitabilityView | None:
    """How a body suits its liquid and place; None where its technology is not known."""
    made: Suitability | None = context.results.suitability.get(body)
    if made is None or not made.judgements:
        return None
    order: tuple[Fit, ...] = ("fail", "cannot be assessed", "pass")
    rows = tuple(JudgementRow(one.title, one.verdict, *MARKS[one.verdict], tidy(one.why), one.basis)
                 for verdict in order for one in made.judgements if one.verdict == verdict)
    others = tuple(AlternativeRow(link(one.technology), tuple(map(tidy, one.needs))) for one in made.alternatives)
    return SuitabilityView(WORDS[made.verdict], *MARKS[made.verdict], rows, tuple(
        one.title for one in made.judgements if one.verdict == "does not apply"), others)


def own(plant: Definitions, technology: str, kind: str | None) -> tuple[tuple[Tag, OwnTechnology], ...]:
    """The plant's own entries that hold for a device of a technology."""
    return tuple((tag, one) for tag, one in plant.technologies.items()
                 if tag == kind or (one.everywhere and one.based_on == technology))


def troubles(liquid: Liquid) -> dict[str, bool | None]:
    """What a liquid does to devices, as far as cleaning goes; None where it is not recorded."""
    known: dict[str, bool | None] = {
        "foam": liquid.foam, "coating": liquid.coating, "magnetic particles": liquid.magnetic_particles}
    return known | {name: None if liquid.solids is None else one in liquid.solids for one, name in SOLIDS.items()}


def care(context: Context, body_tag: str) -> CareView | None:
    """Care and test of a body: the intervals that this liquid asks for, the site's own before the common ones."""
    body = context.plant.instruments[Tag(body_tag)]
    known = context.knowledge.technologies.get(body.technology)
    if known is None:
        return None
    liquid = context.plant.liquids[context.plant.tanks[body.tank].liquid]
    found, entries = troubles(liquid), own(context.plant, body.technology, body.kind)
    rows: dict[str, CareRow] = {}
    for row in known.care:
        rows[row.where] = CareRow(row.where, interval(row.every), row.do, "common practice")
    for tag, entry in entries:
        for mine in entry.care:
            rows[mine.where] = CareRow(mine.where, amounts.as_written(mine.every), str(mine.do), f"site: {tag}")
    asked = tuple(row for where, row in rows.items() if found.get(where))
    missing = tuple(where for where in rows if where in found and found[where] is None)
    if not asked and not missing:
        asked = tuple(row for where, row in rows.items() if where == "clean liquid")
    wetted = next((str(one.wetted_test) for _, one in entries if one.wetted_test), known.wetted_test)
    return CareView(asked, wetted, known.hidden_by_simulation, known.restore, missing)


