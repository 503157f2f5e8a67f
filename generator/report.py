"""Words for the terminal: a rule explained, a tag followed through the stages."""

import textwrap

from generator import check
from generator.model.finding import Review
from generator.model.page import Site, plain
from generator.model.plant import Definitions
from generator.model.record import Absence, Outcome, Record
from generator.model.results import Results
from generator.model.units import SI
from generator.pages.register import Table


def rule(name: str) -> str | None:
    """What a rule asks, why, and on what basis; None where no rule has that number or name."""
    rules = (each.as_rule() for each in check.CHECKS)
    found = next((one for one in rules if name in (one.number, one.name, f"{one.number} {one.name}")), None)
    if found is None:
        return None
    return "\n".join((
        f"{found.number} {found.name}: {found.title}",
        "",
        textwrap.fill(found.text, 100, replace_whitespace=False) if "\n" not in found.text else found.text,
        "",
        f"severity: {found.severity}    looks at: {found.scope}",
        f"needs: {', '.join(found.needs) or 'nothing but the definition itself'}",
        f"belongs to: {found.published or 'no published rule; it always applies'}",
        f"basis: {found.basis}",
    ))


def follow(tag: str, plant: Definitions, results: Results, review: Review, site: Site) -> str:
    """One tag from the line where it is written to the pages that show it."""
    owner = plant.find(tag)
    lines = [f"{tag}  ({plant.noun_of[tag]})", f"written at {owner.place}", ""]
    for name in type(owner).model_fields:
        key = type(owner).model_fields[name].alias or name
        via = getattr(getattr(owner, name), "place", owner.place)
        via = getattr(via, "via", "")
        if via:
            lines.append(f"  {key}: by {via} ({getattr(owner, name).place})")
    worked = [f"  {_outcome(one)}" for key, one in results.records.items() if key.split("/")[0] == f"#{tag}"]
    findings = [f"  {one.rule} {one.name}: {one.verdict}" + (f": {one.stands}" if one.verdict != "pass" else "")
                for one in review.of(tag) if one.verdict != "does not apply"]
    pages = [f"  {page.path}" for page in site.pages if _shows(page.view, tag) or page.title.startswith(f"{tag} ")]
    for title, part in (("worked out", worked), ("review", findings), ("pages", pages)):
        lines += [f"{title}:", *(part or ["  nothing"]), ""]
    return "\n".join(lines).rstrip()


def _outcome(one: Outcome) -> str:
    if isinstance(one, Absence):
        return f"{one.name}: cannot be assessed: {one.why}"
    if not isinstance(one, Record):
        raise AssertionError(one)
    return f"{one.name} = {one.value:.6g} {SI.get(one.dimension, '')}    from {', '.join(str(i.name) for i in one.inputs)}"


def _shows(view: object, tag: str) -> bool:
    return isinstance(view, Table) and any(tag == plain(row.cells[0].parts) for group in view.groups for row in group.rows)
