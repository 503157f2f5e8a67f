"""Runs every rule on every subject of its scope; works out what does not apply and what cannot be assessed."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from typing import Any

from generator.check.absences import missing_of
from generator.check.context import SEVERITY_BY_HARM, Context
from generator.check.gather import SUBJECTS
from generator.check.rule import Check, Fail, Missing, Pass
from generator.check.subjects import Subject
from generator.model.finding import Finding, Severity
from generator.model.record import Absence, Record
from generator.model.results import SetpointResult, TankResult
from generator.model.scalar import Tag

_WAITS_FOR = {
    "act": ("proposed", "error_own", "error_common"), "stands": ("proposed",),
    "reset": ("proposed", "error_own", "error_common", "differential"),
}
"""Fields of a setpoint that have no absence of their own, and the outcomes that they wait for."""


def run(checks: Iterable[Check], context: Context) -> Iterator[Finding]:
    """Every finding, subject by subject within a scope."""
    by_scope: defaultdict[str, list[Check]] = defaultdict(list)
    for check in checks:
        by_scope[check.scope].append(check)
    for scope, members in by_scope.items():
        for subject in SUBJECTS[scope](context):
            for check in members:
                yield judge(check, subject)


def judge(check: Check, subject: Subject) -> Finding:
    """One rule on one subject."""
    analogy = ""
    if check.published:
        adopted = subject.context.plant.plant.rules_in_force.get(Tag(check.published))
        if adopted is None:
            return _not_for(check, subject, f"the published rule {check.published} is not in force for this plant")
        if adopted.analogy:
            analogy = " (the rule is used as an analogy" + (f": {adopted.because})" if adopted.because else ")")
    for condition in check.conditions:
        if not condition.holds(subject):
            return _not_for(check, subject, "it applies only where " + condition.words)
    values: list[Any] = []
    missing: dict[str, None] = {}
    unsolved: dict[str, None] = {}
    for path in check.needs:
        value = _follow(subject, path)
        if isinstance(value, _Gap):
            (unsolved if value.is_unsolved else missing).update(dict.fromkeys(value.fields))
        else:
            values.append(value)
    answer = Missing((*missing, *unsolved)) if missing or unsolved else check.function(subject, *values)
    severity = severity_of(check, subject)
    match answer:
        case Pass(stands=stands):
            return Finding(check.number, check.name, subject.name, subject.tags, "pass", severity, check.must,
                           stands + analogy, place=subject.place)
        case Missing(fields=fields):
            recorded = [field for field in fields if field not in unsolved]
            stands = "; ".join(f"{head}: {', '.join(of)}" for head, of in (
                ("not recorded", recorded), ("not worked out", list(unsolved))) if of)
            return Finding(check.number, check.name, subject.name, subject.tags, "cannot be assessed", severity,
                           check.must, stands + analogy,
                           cure="record what is missing" if recorded else "cure what stands in its way",
                           evidence=stands, missing=fields,
                           place=subject.place)
        case Fail():
            tags = tuple(dict.fromkeys((*subject.tags, *answer.also)))
            return Finding(check.number, check.name, subject.name, tags, "fail", answer.severity or severity,
                           check.must, answer.stands + analogy, answer.cure, answer.evidence,
                           place=answer.at or subject.place)


def severity_of(check: Check, subject: Subject) -> Severity:
    """The severity of a rule for a subject: its own, or by whom the subject protects."""
    return SEVERITY_BY_HARM[subject.harm] if check.severity == "by consequence" else check.severity


def _not_for(check: Check, subject: Subject, condition: str) -> Finding:
    return Finding(check.number, check.name, subject.name, subject.tags, "does not apply", severity_of(check, subject),
                   check.must, "", condition=condition, place=subject.place)


class _Gap:
    """A needed value that is not there, with the fields that would give it; `is_unsolved` where no field is missing and
    the fields are what could not be worked out, and why."""

    __slots__ = ("fields", "is_unsolved")

    def __init__(self, fields: tuple[str, ...], is_unsolved: bool = False) -> None:
        self.fields = fields
        self.is_unsolved = is_unsolved


def _follow(subject: Subject, path: str) -> Any:
    """The value at the end of a path: a number for a record or quantity, a gap where anything on the way is absent."""
    steps = path.split(".")
    value: Any = subject
    for depth, step in enumerate(steps):
        owner, value = value, getattr(value, step)
        if isinstance(value, Absence):
            return _Gap(missing_of(value), not value.missing)
        if value is None or value == ():
            if isinstance(owner, TankResult) and step == "vessel" and isinstance(owner.capacity, Absence):
                return _Gap(missing_of(owner.capacity))
            if isinstance(owner, SetpointResult) and step == "reachable":
                return _Gap((f"{subject.owners['instrument']}: reach",))
            if isinstance(owner, SetpointResult):
                return _Gap(_behind(owner, step))
            tag = subject.owners.get(steps[0], subject.name)
            skipped = 1 if steps[0] in subject.owners and depth > 0 else 0
            return _Gap((f"{tag}: {'.'.join(one.rstrip('_') for one in steps[skipped:depth + 1])}",))
    if isinstance(value, Record):
        return value.value
    return getattr(value, "si", value)


def _behind(setpoint: SetpointResult, step: str) -> tuple[str, ...]:
    outcomes = [getattr(setpoint, name) for name in _WAITS_FOR.get(step, ())]
    if setpoint.stands is not None:
        outcomes = [outcome for outcome in outcomes if outcome is not setpoint.proposed]
    fields = tuple(dict.fromkeys(
        field for one in outcomes if isinstance(one, Absence) for field in missing_of(one)))
    return fields or (f"{setpoint.tag}: {'height.issued' if step in ('act', 'stands', 'issued') else step}",)
