"""Findings with one cause become one finding with all its dependants."""

from collections.abc import Iterable

from msgspec.structs import replace

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
    if finding.verdict == "cannot be assessed" and (elsewhere := _elsewhere(finding)):
        return "missing", finding.rule, elsewhere
    if finding.verdict == "fail" and finding.place.via.startswith("pattern "):
        place = finding.place
        return "pattern", finding.rule, finding.evidence, place.file, place.line, place.column, place.via.split(",")[0]
    return None


def _elsewhere(finding: Finding) -> tuple[str, ...]:
    """Missing fields of something else than the subject itself."""
    return tuple(field for field in finding.missing if not field.startswith(f"{finding.subject}:"))


def _merged(same: list[Finding]) -> Finding:
    first = same[0]
    tags = tuple(dict.fromkeys(tag for one in same for tag in one.tags))
    severity = min((one.severity for one in same), key=SEVERITIES.index)
    subjects = list(dict.fromkeys(one.subject for one in same))
    if first.verdict == "fail":
        return replace(first, subject=", ".join(subjects), tags=tags, severity=severity,
                       stands=f"{first.stands} (the same for {listed(subjects)})")
    fields = _elsewhere(first)
    owners = list(dict.fromkeys(field.split(":", 1)[0] for field in fields))
    stands = "not recorded: " + ", ".join(fields)
    missing = tuple(dict.fromkeys((*fields, *(field for one in same for field in one.missing))))
    return replace(first, subject=", ".join(owners), tags=tuple(dict.fromkeys((*owners, *tags))), severity=severity,
                   stands=f"{stands}; {len(subjects)} subjects wait for it: {listed(subjects)}", evidence=stands,
                   missing=missing)
