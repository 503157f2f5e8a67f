"""The review: what failed, what could not be assessed, what is waived, and how much passed."""

from collections import Counter
from collections.abc import Iterator

from msgspec import Struct

from generator.model.finding import Finding, Rule, Verdict
from generator.model.page import Link, Page, Running
from generator.pages import prose
from generator.pages.context import Context
from generator.pages.paths import slug

SECTION = ("Review",)
TO_LOOK_AT: tuple[Verdict, ...] = ("fail", "cannot be assessed", "waived")
"""Verdicts that somebody must look at, worst first."""
_SEVERITY = ("error", "warning", "note")


class FindingRow(Struct, frozen=True):
    """One finding as it is shown anywhere on the site."""

    finding: Finding
    rule: Link
    subject: tuple[Link, ...]
    must: Running
    stands: Running
    cure: Running
    source: Link


class Count(Struct, frozen=True):
    """How a rule fared over the plant."""

    rule: Link
    title: str
    passed: int
    failed: int
    cannot: int
    waived: int
    not_applicable: int


class Findings(Struct, frozen=True):
    """What the page of findings shows."""

    blocks: tuple[str, ...]
    passed: int
    failed: int
    cannot: int
    waived: int
    not_applicable: int
    open: tuple[tuple[str, tuple[FindingRow, ...]], ...]
    counts: tuple[Count, ...]


def pages(context: Context) -> Iterator[Page]:
    """The findings, worst first; passes are counts."""
    review = context.review
    counted = Counter((one.rule, one.verdict) for one in review.findings)
    rows = shown(context, context.review.findings)
    groups = tuple(
        (title, tuple(row for row in rows if row.finding.verdict == verdict))
        for verdict, title in (("fail", "Failed"), ("cannot be assessed", "Cannot be assessed"), ("waived", "Waived"))
    )
    yield Page("review/findings.html", "Findings", "findings", Findings(
        review.blocks, review.count("pass"), review.count("fail"), review.count("cannot be assessed"),
        review.count("waived"), review.count("does not apply"), tuple(group for group in groups if group[1]),
        tuple(_count(rule, counted) for rule in review.rules),
    ), SECTION)


def shown(context: Context, findings: tuple[Finding, ...]) -> tuple[FindingRow, ...]:
    """Findings that somebody must look at, worst first, as rows for a page."""
    return tuple(row(context, finding) for finding in sorted(
        (one for one in findings if one.verdict in TO_LOOK_AT),
        key=lambda one: (TO_LOOK_AT.index(one.verdict), _SEVERITY.index(one.severity), _number(one.rule), one.subject),
    ))


def row(context: Context, finding: Finding) -> FindingRow:
    """One finding with its links."""
    return FindingRow(
        finding, rule_link(finding.rule, finding.name), tuple(context.paths.link(tag) for tag in finding.tags),
        prose.running(context, finding.must), prose.running(context, finding.stands), prose.running(context, finding.cure),
        context.paths.source(finding.place),
    )


def rule_link(number: str, name: str) -> Link:
    """A link to the published page of a rule."""
    return Link(f"{number} {name}", f"review/rules.html#{slug(f'rule-{number}')}")


def _number(rule: str) -> tuple[int, ...]:
    return tuple(int(part) for part in rule.split("."))


def _count(rule: Rule, counted: Counter[tuple[str, Verdict]]) -> Count:
    of = rule.number
    return Count(rule_link(of, rule.name), rule.title, counted[of, "pass"], counted[of, "fail"],
                 counted[of, "cannot be assessed"], counted[of, "waived"], counted[of, "does not apply"])
