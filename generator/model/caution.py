"""Cautions: what a person must know before touching a point."""

from typing import Literal

from msgspec import Struct

SignalWord = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]
Job = Literal["enter", "open", "lift", "test", "bypass", "adjust", "every job"]
SIGNAL_WORDS: tuple[SignalWord, ...] = ("DANGER", "WARNING", "CAUTION", "NOTICE")
JOBS: tuple[Job, ...] = ("every job", "enter", "open", "lift", "test", "bypass", "adjust")
DEFERS = (
    "This list is worked out from recorded data. It does not replace the permit, the risk assessment, local codes, "
    "licensed people or the device's manual."
)


class CautionRow(Struct, frozen=True):
    """One row of the knowledge file: when it shows and what it says.

    `when` is a list of alternatives; each alternative a mapping of fact name to the value it must have.
    Facts form a closed vocabulary (compute/cautions.py). `unless_known` names facts whose absence joins the
    merged "not recorded" line of the point.
    """

    key: str
    word: SignalWord
    jobs: tuple[Job, ...]
    when: tuple[tuple[tuple[str, str], ...], ...]
    hazard: str
    consequence: str
    avoid: str
    defer_to: str
    basis: str


class Caution(Struct, frozen=True):
    """A caution as it stands on a page. `because` says which recorded facts brought it there."""

    key: str
    word: SignalWord
    jobs: tuple[Job, ...]
    hazard: str
    consequence: str
    avoid: str
    defer_to: str
    because: str
