"""The rules behind the review, each with its reason and basis, and the published rules that the plant adopts or not."""

from collections import Counter
from collections.abc import Iterator
from typing import get_args

from msgspec import Struct

from generator.model.finding import Rule, Verdict
from generator.model.knowledge import PublishedRule
from generator.model.page import Amount, Entry, Link, Page, Running
from generator.pages import amounts, findings
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running

PATH = "review/rules.html"
SUBJECTS = {
    "1": "Set points and geometry", "2": "Alarms", "3": "Independence", "4": "Failing and wiring", "5": "Logic",
    "6": "Pumps", "7": "Device and liquid", "8": "Installation", "9": "Tests and bypasses", "10": "The document",
}


class RuleView(Struct, frozen=True):
    """One rule of the review, with how many of its findings are open."""

    anchor: str
    rule: Rule
    paragraphs: tuple[str, ...]
    published: Link | None
    counts: tuple[tuple[str, int], ...]


class PublishedView(Struct, frozen=True):
    """One published rule and how this plant stands to it."""

    anchor: str
    rule: PublishedRule
    is_in_force: bool
    is_analogy: bool
    where: Running
    because: Running
    limits: tuple[tuple[str, Amount], ...]
    cycles: tuple[tuple[Amount, Amount], ...]
    rests: tuple[tuple[Amount, Amount], ...]
    currents: tuple[tuple[str, Amount, Amount, Amount], ...]


class Rules(Struct, frozen=True):
    """What the page shows."""

    groups: tuple[tuple[str, str, tuple[RuleView, ...]], ...]
    in_force: tuple[PublishedView, ...]
    not_in_force: tuple[PublishedView, ...]
    number: int


def pages(context: Context) -> Iterator[Page]:
    """The page of all rules."""
    groups: dict[str, list[RuleView]] = {}
    verdicts = Counter((one.rule, one.verdict) for one in context.review.findings)
    for rule in context.review.rules:
        groups.setdefault(rule.number.split(".")[0], []).append(_rule(context, rule, verdicts))
    published = [_published(context, rule) for rule in context.knowledge.rules.values()]
    yield Page(PATH, "Rules behind the checks", "rules", Rules(
        tuple((f"subject-{slug(key)}", SUBJECTS.get(key, f"Subject {key}"), tuple(rows))
              for key, rows in groups.items()),
        tuple(one for one in published if one.is_in_force), tuple(one for one in published if not one.is_in_force),
        len(context.review.rules),
    ), findings.SECTION, entries=tuple(
        Entry(f"{PATH}#{slug(f'rule-{rule.number}')}", f"{rule.number} {rule.title}", (rule.name,))
        for rule in context.review.rules
    ))


def _rule(context: Context, rule: Rule, verdicts: Counter[tuple[str, Verdict]]) -> RuleView:
    known = rule.published in context.knowledge.rules
    link = Link(context.knowledge.rules[rule.published].title, f"{PATH}#{anchor(rule.published)}") if known else None
    paragraphs = tuple(" ".join(part.split()) for part in rule.text.split("\n\n") if part.strip())
    counts = tuple((verdict, number) for verdict in get_args(Verdict) if (number := verdicts[rule.number, verdict]))
    return RuleView(slug(f"rule-{rule.number}"), rule, paragraphs, link, counts)


def anchor(name: str) -> str:
    """Where a published rule stands on the page."""
    return slug(f"published-{name}")


def _published(context: Context, rule: PublishedRule) -> PublishedView:
    adopted = context.plant.plant.rules_in_force.get(rule.name)  # type: ignore[call-overload]  # tags are text
    limits = []
    if rule.time is not None:
        limits.append(("Time", amounts.duration(rule.time)))
    if rule.height is not None:
        limits.append(("Height", amounts.millimetres(rule.height)))
    if rule.flow is not None:
        limits.append(("Flow below", amounts.in_unit(rule.flow, "L/s", 0)))
    return PublishedView(
        anchor(rule.name), rule, adopted is not None, bool(adopted and adopted.analogy),
        running(context, adopted.where if adopted else None), running(context, adopted.because if adopted else None),
        tuple(limits), tuple((amounts.amount(power, "power"), amounts.duration(cycle)) for power, cycle in rule.cycles),
        tuple((amounts.amount(power, "power"), amounts.duration(rest)) for power, rest in rule.rests),
        tuple((f"{phases:.0f}", amounts.in_unit(volts, "V", 0), amounts.amount(power, "power"),
               amounts.amount(current, "current")) for phases, volts, power, current in rule.currents),
    )
