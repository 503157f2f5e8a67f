"""Mistakes, which leave a definition without a meaning, and findings, which the review makes of what has one."""

from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from generator.model.place import NOWHERE, Place

Verdict = Literal["fail", "cannot be assessed", "waived", "pass", "does not apply"]
Severity = Literal["error", "warning", "note"]


class Mistake(Struct, frozen=True):
    """Something in the definitions that cannot be given a meaning. No site is built from it.

    Shown as `file:line:column: rule subject: must, stands` with a cure.
    """

    place: Place
    rule: str
    """A name in words: "unknown-key", "unit-missing", "tag-twice"."""
    subject: str
    must: str
    stands: str
    cure: str = ""

    def __str__(self) -> str:
        head = f"{self.place}: {self.rule} {self.subject}".rstrip()
        said = f"{head}: {self.must}; {self.stands}"
        return f"{said}\n    cure: {self.cure}" if self.cure else said


class Finding(Struct, frozen=True):
    """What one rule says of one subject.

    `evidence` is the short text that a waiver accepts ("gap 35 mm"); `missing` the fields without which it cannot
    be assessed, as paths ("LX-210: accuracy"); `condition` what excluded it where it does not apply.
    """

    rule: str
    name: str
    subject: str
    tags: tuple[str, ...]
    verdict: Verdict
    severity: Severity
    must: str
    stands: str
    cure: str = ""
    evidence: str = ""
    missing: tuple[str, ...] = ()
    condition: str = ""
    place: Place = NOWHERE
    waiver: int | None = None
    """Number of the waiver that covers it, counted from one."""

    @property
    def is_open(self) -> bool:
        """Whether it stands in the way: failed, or an error that could not be assessed."""
        return self.verdict == "fail" or (self.verdict == "cannot be assessed" and self.severity == "error")

    def waived(self, number: int) -> "Finding":
        """The same finding, covered by a waiver."""
        return replace(self, verdict="waived", waiver=number)

    def __str__(self) -> str:
        said = f"{self.place}: {self.rule} {self.name} {self.subject}: {self.must}; {self.stands}"
        more = (("cure", self.cure), ("to waive, accept", self.accepts))
        return said + "".join(f"\n    {head}: {text}" for head, text in more if text)

    @property
    def accepts(self) -> str:
        """What a waiver of it must state under `accepts`; empty where there is nothing to waive."""
        return self.evidence if self.verdict in ("fail", "cannot be assessed") else ""


class Rule(Struct, frozen=True):
    """A rule of the review: its function's docstring is its published page."""

    number: str
    name: str
    title: str
    text: str
    severity: str
    """Severity in words: "error", "by consequence"."""
    scope: str
    needs: tuple[str, ...]
    published: str
    """Name of the published rule it belongs to; empty for one that always applies."""
    basis: str


class Review(Struct, frozen=True):
    """All findings of one plant, with the catalogue of rules that made them."""

    findings: tuple[Finding, ...] = ()
    rules: tuple[Rule, ...] = ()
    blocks: tuple[str, ...] = ()
    """Sentences that say why the document may not carry the status it claims."""

    def of(self, tag: str) -> tuple[Finding, ...]:
        """Findings that name a tag."""
        return tuple(finding for finding in self.findings if tag in finding.tags)

    def count(self, verdict: Verdict) -> int:
        """How many findings have a verdict."""
        return sum(finding.verdict == verdict for finding in self.findings)
