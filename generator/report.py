"""Words for the terminal: a rule explained, a tag followed through the stages."""

import re
import textwrap
from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct
from msgspec.structs import asdict

from generator import check
from generator.model.definition import Definition
from generator.model.finding import Finding, Review
from generator.model.page import Link, Page, Site, plain
from generator.model.place import Place
from generator.model.plant import Definitions
from generator.model.record import Absence, Outcome, Record
from generator.model.results import Results
from generator.pages import amounts
from generator.pages.paths import Paths, source_page

MOST = 30
"""Lines of one part; what is beyond is counted."""


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
    own = [one for key, one in results.records.items() if key.split("/")[0] == f"#{tag}"]
    written = set(_places(owner))
    fed = [one for one in results.records.values() if one not in own and isinstance(one, Record)
           and any(one_input.source in written for one_input in one.inputs)]
    findings = [one for one in review.findings if one.verdict != "does not apply" and _concerns(one, tag, written, plant)]
    parts = [("worked out", [_outcome(one) for one in own]), ("goes into", [_outcome(one) for one in fed]),
             ("review", [_finding(one) for one in findings]),
             ("pages", [f"{page.path}  {page.title}" for page in pages_with(tag, plant, site)])]
    if plant.noun_of[tag] == "areas":
        parts.insert(0, ("tanks in it", [str(tank) for tank, one in plant.tanks.items() if one.area == tag]))
    for title, part in parts:
        lines += [f"{title}:", *(f"  {line}" for line in part[:MOST]), *([] if part else ["  nothing"]),
                  *([f"  and {len(part) - MOST} more"] if len(part) > MOST else []), ""]
    return "\n".join(lines).rstrip()


def pages_with(tag: str, plant: Definitions, site: Site) -> list[Page]:
    """Every page that carries a tag, its own first: a link to it, or its name in a text."""
    path = Paths(plant).path(tag)
    own = (path.partition("#")[0] if path else "", source_page(plant.find(tag).place.file))
    is_telling = re.search(r"[A-Za-z]", tag) and re.search(r"[0-9]", tag)  # a word or a bare number stands in many a text
    named = re.compile(rf"(?<![\w./-]){re.escape(tag)}(?![\w/-])") if is_telling else None

    def carries(one: Link | str) -> bool:
        if isinstance(one, Link):
            return (bool(one.path) and one.path == path) or (bool(one.noun) and one.text == tag)
        return (one == tag and not tag.isdigit()) or (named is not None and named.search(one) is not None)

    found = [page for page in site.pages if page.path in own or any(map(carries, _said((page.title, page.view))))]
    return sorted(found, key=lambda page: page.path != own[0])


def _said(view: Any) -> Iterator[Link | str]:
    """Every link and every text in a view, however deep it stands; keys of mappings too."""
    todo = [view]
    while todo:
        one = todo.pop()
        if isinstance(one, Link | str):
            yield one
        elif isinstance(one, Mapping):
            todo += (*one.keys(), *one.values())
        elif isinstance(one, tuple | list | frozenset):
            todo += one
        elif isinstance(one, Definition):
            todo += (value for _, value in one)
        elif isinstance(one, Struct):
            todo += asdict(one).values()


def _places(block: Any) -> Iterator[Place]:
    """Where each value of a block was written, those aside that it inherits."""
    if isinstance(block, Definition):
        for _, value in block:
            yield from _places(value)
    elif isinstance(block, Mapping):
        for value in block.values():
            yield from _places(value)
    elif isinstance(block, tuple):
        for value in block:
            yield from _places(value)
    elif isinstance(place := getattr(block, "place", None), Place) and not place.via:
        yield place


def _concerns(finding: Finding, tag: str, written: set[Place], plant: Definitions) -> bool:
    """Whether a finding names a tag, stands at a line of it, or (open, of an area) at something in it."""
    if tag in finding.tags or finding.place in written:
        return True
    return plant.noun_of[tag] == "areas" and finding.is_open and any(plant.area_of(one) == tag for one in finding.tags)


def _finding(one: Finding) -> str:
    subject = "" if one.verdict == "pass" else f": {one.subject}: {one.stands}"
    return f"{one.rule} {one.name}: {one.verdict}{subject}"


def _outcome(one: Outcome) -> str:
    if isinstance(one, Absence):
        return f"{one.name}: cannot be assessed: {one.why}"
    inputs = ", ".join(str(each.name) for each in one.inputs)
    return f"{one.name} = {plain((amounts.outcome(one),))}" + (f"    from {inputs}" if inputs else "")
