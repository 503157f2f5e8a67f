"""What a contact switches, and whether it may; what is wired to which terminals. SI."""

from typing import Literal

from msgspec import Struct

from generator.model.record import Outcome

MaySwitch = Literal["pass", "fail", "cannot be assessed", "does not apply"]


class Switching(Struct, frozen=True):
    """One contact and one thing that it switches.

    `by` is the point or the relay whose contact it is. `evidence` is the short form that a waiver accepts; `missing` the
    fields that would decide it, as "tag: field". `needed` names what has to stand between, in the order of the wiring.
    """

    by: str
    drives: str
    load: str
    """What it is, in words: coil of interposing relay K-210."""
    verdict: MaySwitch
    why: str
    evidence: str = ""
    missing: tuple[str, ...] = ()
    needed: tuple[str, ...] = ()
    limit: Outcome | None = None
    """Largest current that the contact may carry and break in its category. [A]"""
    spare: Outcome | None = None
    """That limit less the current of the load. [A]"""
    making: Outcome | None = None
    """Largest current that it may make. [A]"""
    clean: Outcome | None = None
    """Current of the load less the smallest that keeps the contact clean; None where no smallest is recorded. [A]"""
    is_motor: bool = False
    """Whether it is a motor itself, not the coil of its starter."""
    suppressed: bool | None = None
    """Whether the energy of a coil is taken up; None where there is no coil or nobody says."""


class Multiplied(Struct, frozen=True):
    """How many contacts a relay needs for what it switches and reports. `enough` is None where its number is not said."""

    relay: str
    uses: tuple[str, ...]
    contacts: int | None
    enough: bool | None


class Loads(Struct, frozen=True):
    """Everything that contacts of points and relays switch."""

    switching: dict[str, tuple[Switching, ...]]
    """Per point or relay."""
    multiplied: dict[str, Multiplied]
    """Per relay."""
    several: dict[str, tuple[str, ...]]
    """Points with one contact that more than one place needs, and no relay on it: the places."""


class Line(Struct, frozen=True):
    """The cable of a point or a transmitter as a line: what it takes of the voltage, and whether enough is left.

    `missing` are the fields that would decide it, as "tag: field".
    """

    tag: str
    load: str
    """What it feeds, in words."""
    verdict: MaySwitch
    why: str
    evidence: str = ""
    missing: tuple[str, ...] = ()
    resistance: Outcome | None = None
    """Of both cores, warm. [ohm]"""
    left: Outcome | None = None
    """Voltage at what it feeds. [V]"""
    needs: str = ""
    """Least voltage with which that works, as written."""
