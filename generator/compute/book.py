"""The book of calculation records: every outcome of a plant once, under its key."""

from collections.abc import Iterable
from typing import TypeVar

from generator.errors import GeneratorError
from generator.model.quantity import Quantity
from generator.model.record import Absence, Input, Outcome, Record

Kind = TypeVar("Kind", Record, Absence)


class KeyUsedTwiceError(GeneratorError):
    """Two results want the same key: a fault of the generator."""


class Book:
    """Collects outcomes by key, in the order of working, and helps to write them."""

    def __init__(self) -> None:
        self.outcomes: dict[str, Outcome] = {}

    def add(self, outcome: Kind) -> Kind:
        """Enter an outcome and hand it back.

        Raises:
            KeyUsedTwiceError: its key stands in the book already.
        """
        if outcome.key in self.outcomes:
            raise KeyUsedTwiceError(outcome.key)
        self.outcomes[outcome.key] = outcome
        return outcome

    def record(
        self, key: str, name: str, value: float, dimension: str, equation: str, inputs: Iterable[Input] = (), *,
        validity: str = "", reference: str = "", note: str = "",
    ) -> Record:
        """Enter a result with its working."""
        return self.add(Record(key, name, value, dimension, equation, tuple(inputs), validity, reference, note))

    def absence(self, key: str, name: str, why: str, missing: Iterable[str] = ()) -> Absence:
        """Enter a quantity that cannot be worked out."""
        return self.add(Absence(key, name, why, tuple(missing)))

    def lacking(self, key: str, name: str, outcomes: Iterable[Outcome | None]) -> Absence | None:
        """Enter an absence that follows from the absences among `outcomes`; nothing where there is none."""
        gaps = absences(outcomes)
        if not gaps:
            return None
        return self.absence(key, name, because_of(gaps), missing_of(gaps))


def absences(outcomes: Iterable[Outcome | None]) -> tuple[Absence, ...]:
    """The absences among some outcomes."""
    return tuple(outcome for outcome in outcomes if isinstance(outcome, Absence))


def because_of(gaps: Iterable[Absence]) -> str:
    """Why something that rests on absences is absent itself."""
    return "; ".join(dict.fromkeys(f"{gap.name}: {gap.why}" for gap in gaps))


def missing_of(gaps: Iterable[Absence]) -> tuple[str, ...]:
    """The fields that would decide some absences, each once."""
    return tuple(dict.fromkeys(field for gap in gaps for field in gap.missing))


def given(quantity: Quantity, symbol: str, name: str) -> Input:
    """A quantity of the definitions as an input: its SI value and where it was written."""
    return Input(symbol, name, quantity.si, quantity.dimension, quantity.place)
