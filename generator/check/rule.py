"""What a rule of the review is: one function, its number, and what it declares about itself."""

from collections.abc import Callable
from typing import Any, Literal

from msgspec import Struct

from generator.model.finding import Rule, Severity
from generator.model.place import Place

Scope = Literal[
    "plant", "tank", "point", "pair", "body", "trip time", "interlock", "effect", "cause", "element", "control",
    "alarm", "pump", "group", "relay", "supply", "hazard", "test", "tag", "prose", "reference", "hold", "adopted rule",
    "waiver", "liquid", "link",
]
Weight = Literal["error", "warning", "note", "by consequence"]


class Pass(Struct, frozen=True):
    """The rule holds."""

    stands: str = ""


class Fail(Struct, frozen=True):
    """The rule does not hold: what stands instead, the short evidence that a waiver would accept, the cure.

    `at` is the place to change, the subject's own where left out. `severity` lowers or raises that of the rule
    for this one subject. `also` names further tags that the finding concerns.
    """

    stands: str
    evidence: str
    cure: str = ""
    at: Place | None = None
    severity: Severity | None = None
    also: tuple[str, ...] = ()


class Missing(Struct, frozen=True):
    """The rule cannot be judged: the fields without which it cannot, as `tag: field`."""

    fields: tuple[str, ...]


Answer = Pass | Fail | Missing


class When(Struct, frozen=True):
    """A condition under which a rule looks at a subject: in words, and as a test."""

    words: str
    holds: Callable[[Any], bool]


class Check(Struct, frozen=True):
    """A rule with what it declares. Calling it calls the function."""

    function: Callable[..., Answer]
    number: str
    must: str
    scope: Scope
    severity: Weight
    needs: tuple[str, ...]
    conditions: tuple[When, ...]
    published: str
    basis: str
    name: str

    def __call__(self, subject: Any, *values: Any) -> Answer:
        return self.function(subject, *values)

    def as_rule(self) -> Rule:
        """The rule as it stands in the published catalogue."""
        return Rule(
            self.number, self.name, self.must, _unindented(self.function.__doc__ or ""), self.severity, self.scope,
            self.needs, self.published, self.basis,
        )


def rule(
    number: str, must: str, *, scope: Scope, severity: Weight, basis: str, needs: tuple[str, ...] = (),
    conditions: tuple[When, ...] = (), published: str = "",
) -> Callable[[Callable[..., Answer]], Check]:
    """Make a rule of a function.

    Args:
        number: Number by subject: 1 setpoints and geometry, 2 alarms, 3 independence, 4 failing and wiring,
            5 logic, 6 pumps, 7 device and liquid, 8 installation, 9 tests and bypasses, 10 document.
        must: What must stand, as a sentence without a full stop.
        scope: The kind of subject; one subject at a time goes in as the first argument.
        severity: How much a failure weighs; "by consequence" follows whom the subject protects.
        basis: Standard, edition and clause, or "common practice, no source".
        needs: Paths from the subject to what the rule needs. The runner hands the values on in this order, SI numbers
            for quantities and records; where one is not there, the answer is "cannot be assessed".
        conditions: Conditions under which the rule looks at the subject at all.
        published: Name of the published rule that it belongs to; it then applies only where the plant adopts it.
    """

    def wrap(function: Callable[..., Answer]) -> Check:
        name = function.__name__.replace("_", "-")
        return Check(function, number, must, scope, severity, needs, conditions, published, basis, name)

    return wrap


def _unindented(text: str) -> str:
    first, _, rest = text.strip().partition("\n")
    return "\n".join([first, *(line.strip() for line in rest.splitlines())])
