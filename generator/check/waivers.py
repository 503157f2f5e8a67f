"""Waivers: which findings they cover, and rules 10.16 to 10.18 about the waivers themselves."""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import OfWaiver
from generator.check.words import listed
from generator.model.document import Waiver
from generator.model.finding import Finding
from generator.model.plant import Definitions

STANDING = ("fail", "cannot be assessed", "waived")
"""Verdicts of findings that a waiver can speak of."""
PRACTICE = "common practice, no source"


def _words(text: str) -> str:
    return " ".join(text.split())


def concerns(waiver: Waiver, finding: Finding) -> bool:
    """Whether a waiver speaks of a finding: same rule, by number or name, and same subject."""
    return _words(waiver.rule) in (finding.rule, finding.name) and _words(waiver.on) == finding.subject


def is_complete(waiver: Waiver, finding: Finding) -> bool:
    """Whether it has what the severity asks for: an error needs an answer and a second role, other than the first."""
    return finding.severity != "error" or bool(waiver.instead and waiver.second and waiver.second != waiver.by)


def apply(findings: Iterable[Finding], plant: Definitions) -> list[Finding]:
    """The findings, those that are covered marked as waived.

    A waiver covers a failed or unassessable finding with exactly the evidence that it accepts, until its last day.
    """
    by_rule: defaultdict[str, list[tuple[int, Waiver]]] = defaultdict(list)
    for number, waiver in enumerate(plant.waivers, 1):
        by_rule[_words(waiver.rule)].append((number, waiver))
    made: list[Finding] = []
    for finding in findings:
        if finding.verdict in ("fail", "cannot be assessed"):
            for number, waiver in (*by_rule[finding.rule], *by_rule[finding.name]):
                if concerns(waiver, finding) and _words(waiver.accepts) == _words(finding.evidence) \
                        and plant.plant.document.as_of <= waiver.until and is_complete(waiver, finding):
                    finding = finding.waived(number)
                    break
        made.append(finding)
    return made


def _concerned(subject: OfWaiver) -> Sequence[Finding]:
    return [finding for finding in subject.context.findings if concerns(subject.waiver, finding)]


CONCERNS_ONE = When("a finding stands that it speaks of", lambda waiver: bool(_concerned(waiver)))


@rule("10.16", "The waiver has something to waive", scope="waiver", severity="warning", basis=PRACTICE)
def waiver_has_something_to_waive(subject: OfWaiver) -> Answer:
    """Looks for an open finding of the rule and subject that the waiver names, and for the evidence that it accepts.

    A rule that is not there has no finding at all. When the evidence is another one the waiver has lapsed:
    what was accepted is not what stands.
    Cure: take it out, or have what stands now accepted anew.
    """
    waiver = subject.waiver
    found = _concerned(subject)
    if not found and _words(waiver.rule) not in subject.context.rules:
        meant = ".".join(part.lstrip("0") for part in _words(waiver.rule).split("."))
        return Fail(f"there is no rule {waiver.rule}", f"no rule {waiver.rule}",
                    f"did you mean `{meant}`?" if meant in subject.context.rules else
                    "write the number that the finding shows, in quotes", at=waiver.place_of("rule"))
    if not found:
        return Fail(f"no finding of rule {waiver.rule} on {waiver.on} stands", "nothing to waive", "take it out")
    if not any(_words(waiver.accepts) == _words(one.evidence) for one in found):
        stands = listed(one.evidence for one in found)
        return Fail(f"it accepts `{waiver.accepts}`, what stands is `{stands}`", f"lapsed: {stands}",
                    "have what stands now accepted, or cure it", at=waiver.place_of("accepts"))
    return Pass(f"rule {waiver.rule} on {waiver.on}")


@rule("10.17", "The waiver is still running", scope="waiver", severity="warning", basis=PRACTICE,
      conditions=(CONCERNS_ONE,))
def waiver_is_still_running(subject: OfWaiver) -> Answer:
    """Compares its last day with the day of the document.

    Cure: cure the finding, or decide anew.
    """
    until, today = subject.waiver.until, subject.context.plant.plant.document.as_of
    if today <= until:
        return Pass(f"until {until.isoformat()}")
    return Fail(f"it ended {until.isoformat()}", f"ended {until.isoformat()}", "cure the finding, or decide anew",
                at=subject.waiver.place_of("until"))


@rule("10.18", "The waiver of an error has an answer and a second role", scope="waiver", severity="error",
      basis=PRACTICE,
      conditions=(CONCERNS_ONE, When("the finding is an error", lambda waiver: any(
          finding.severity == "error" for finding in _concerned(waiver)))))
def waiver_of_an_error_is_complete(subject: OfWaiver) -> Answer:
    """Asks for `instead`, what is done until the error is cured, and for a second role that agrees.

    Cure: state both.
    """
    waiver = subject.waiver
    gone = [key for key in ("instead", "second") if not getattr(waiver, key)]
    if gone:
        return Fail(f"{listed(gone)} not stated", f"without {listed(gone)}", f"state {listed(gone)}")
    if waiver.second == waiver.by:
        return Fail("both roles are the same", "one role", "let another role agree", at=waiver.place_of("second"))
    return Pass(f"{waiver.by} and {waiver.second}")
