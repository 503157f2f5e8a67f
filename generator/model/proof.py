"""What was proved of the logic, over every physically possible state; where it fails, with a counter-example in words."""

from typing import Literal

from msgspec import Struct

Question = Literal[
    "effects do not conflict", "cause can come true", "reset waits", "interlock stands once", "permissive is no trip",
    "effect does not feed its cause", "neighbours are protected", "every point counts", "bypass leaves a layer",
    "no single failure takes all", "start-up bypass ends", "effect serves its hazard", "it rests in ordinary running",
    "nothing beside holds it back", "priority does not hunt",
]
Outcome = Literal["holds", "fails", "cannot be assessed"]


class Proof(Struct, frozen=True):
    """One question put to one subject: an interlock, a device or a hazard.

    `words` is the counter-example in the words of an operator where it fails, what was shown where it holds, the reason
    where it cannot be assessed. `evidence` is the short form that a waiver accepts; `others` are further tags that take
    part; `missing` the fields that would decide it, as "tag: field". `steps` counts the partial states looked at.
    `eased` says that something recorded makes the failure weigh less.
    """

    question: Question
    subject: str
    verdict: Outcome
    words: str = ""
    evidence: str = ""
    others: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    steps: int = 0
    eased: bool = False
