"""What is used up and what is left of a distance, a rate or a signal: cases, budgets, headroom, bands."""

from typing import Literal

from msgspec import Struct

from generator.model.record import Outcome


class RateCase(Struct, frozen=True):
    """The streams behind one net rate of a tank: those that move the level, and those counted on against it.

    Pairs of (stream, flow taken [m3/s]). `silent` run in the case against the level, but no flow of theirs counts.
    """

    direction: Literal["filling", "emptying"]
    kind: Literal["worst", "ordinary"]
    case: str
    moving: tuple[tuple[str, float], ...]
    against: tuple[tuple[str, float], ...]
    silent: tuple[str, ...]
    net: Outcome


class Spill(Struct, frozen=True):
    """Filling of a tank while another one, the source, overflows into it by a stream. [m3/s]"""

    source: str
    stream: str
    rate: Outcome


class SpilledTime(Struct, frozen=True):
    """Times at the rate of a spill instead of the worst rate, in the order of those that they stand beside. [s]"""

    spill: Spill
    times: tuple[Outcome | None, ...]


class Concern(Struct, frozen=True):
    """A level of concern that a published rule in force asks for: its name, height [m], and what the rule says of it."""

    name: str
    height: Outcome
    rule: str
    is_analogy: bool
    where: str


PieceKind = Literal["overflow head", "wave", "error", "other point", "travel", "operator", "margin"]


class Piece(Struct, frozen=True):
    """One piece of a level budget. [m] Its length is negative only for a margin that falls short."""

    name: str
    kind: PieceKind
    length: Outcome


class LevelBudget(Struct, frozen=True):
    """How the distance between a point and the level it keeps the liquid from is used up.

    `pieces` run from the limit to the point and add up to `distance`. Heights above the tank's datum. [m]
    """

    tag: str
    tank: str
    direction: Literal["rising", "falling"]
    limit: str
    limit_height: float | None
    stands: float | None
    pieces: tuple[Piece, ...]
    distance: Outcome


class Headroom(Struct, frozen=True):
    """How far one thing may go until a need of a point fails: what, from where it is today, to where; what fails first.

    `at` is an absence where nothing that is written limits it, with the reason. `broken` names what does not hold even
    as things are today; nothing where all holds.
    """

    what: str
    today: Outcome | None
    at: Outcome
    breaks: str
    broken: str = ""


class SignalRow(Struct, frozen=True):
    """One current of a transmitter: share of range, height [m] and what the current means. [A]"""

    name: str
    current: float
    share: float
    height: float
    meaning: Literal["failure", "undefined", "measurement"]


class TransmitterResult(Struct, frozen=True):
    """What a transmitter of 4 to 20 mA shows: rows from the highest current down, and the pressures behind its range.

    The range values are None for a transmitter that measures no pressure. [Pa]
    """

    tag: str
    rows: tuple[SignalRow, ...]
    standard: str
    """The standard that the limits of the signal come from."""
    lower_range_value: Outcome | None = None
    upper_range_value: Outcome | None = None
    reading_low: Outcome | None = None
    """Error of the reading at the top of the range with the lightest liquid; negative. [m]"""
    reading_high: Outcome | None = None
    """The same with the heaviest liquid. [m]"""
    hung: Outcome | None = None
    """For a probe that hangs on its cable: from the mounting face down to its membrane. [m]"""
    foot: float | None = None
    """Where the column that it weighs begins; None where that is not known, or no column is weighed. [m]"""


class Room(Struct, frozen=True):
    """What a tank still takes from the top of its normal band [m3], or how long its pumps draw from the foot of it [s].

    `until` is the point, or the pumps, that ends it; empty for the ceiling.
    """

    name: str
    until: str
    outcome: Outcome
