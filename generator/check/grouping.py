"""Findings with one cause become one finding with all its dependants."""

from collections.abc import Iterable
from dataclasses import replace

from generator.check.words import listed
from generator.model.finding import Finding, Severity

SEVERITIES: tuple[Severity, ...] = ("error", "warning", "note")


def grouped(findings: Iterable[Finding]) -> list[Finding]:
    """The findings, those merged that a rule makes for one cause.

    One cause is a missing field of something that several subjects rest on ("condensate: density.lowest"), or one
    line of a pattern that fails in the same way in every row. The first of them keeps its place in the order; the
    subject is then what lacks the field, or all subjects in a row, and `tags` holds every dependant.
    """
    together: dict[object, list[Finding]] = {}
    for position, finding in enumerate(findings):
        together.setdefault(_cause(finding) or position, []).append(finding)
    return [_merged(same) if len(same) > 1 else same[0] for same in together.values()]


def _cause(finding: Finding) -> object:
    if finding.verdict == "cannot be assessed" and not any(
            field.startswith(f"{finding.subject}:") for field in finding.missing):
        return "missing", finding.rule, finding.missing
    if finding.verdict == "fail" and finding.place.via.startswith("pattern "):
        place = finding.place
        return "pattern", finding.rule, finding.evidence, place.file, place.line, place.column, place.via.split(",")[0]
    return None


def _merged(same: list[Finding]) -> Finding:
    first = same[0]
    tags = tuple(dict.fromkeys(tag for one in same for tag in one.tags))
    severity = min((one.severity for one in same), key=SEVERITIES.index)
    subjects = list(dict.fromkeys(one.subject for one in same))
    if first.verdict == "fail":
        return replace(first, subject=", ".join(subjects), tags=tags, severity=severity,
                       stands=f"{first.stands} (the same for {listed(subjects)})")
    owners = ", ".join(dict.fromkeys(field.split(":", 1)[0] for field in first.missing))
    return replace(first, subject=owners, tags=(*owners.split(", "), *tags), severity=severity,
                   stands=f"{first.stands}; {len(subjects)} subjects wait for it: {listed(subjects)}")
