"""Calculation records: a result with its working. What cannot be worked out is an absence with its reason."""


from msgspec import Struct

from generator.model.place import Place


class Input(Struct, frozen=True):
    """One value that went into a result.

    `source` is the place in the definitions, the key of another record, or words for a constant
    ("standard gravity"). `value` is in the SI unit of `dimension`; a bare number has dimension "".
    """

    symbol: str
    name: str
    value: float
    dimension: str
    source: Place | str

    @property
    def is_record(self) -> bool:
        """Whether the source is another record."""
        return isinstance(self.source, str) and self.source.startswith("#")


class Record(Struct, frozen=True):
    """A result: SI value, equation (LaTeX), inputs, range of validity, reference.

    `key` is stable and readable, unique in the plant, and opens with "#": "#LSHH-210/needs/1".
    """

    key: str
    name: str
    value: float
    dimension: str
    equation: str
    inputs: tuple[Input, ...] = ()
    validity: str = ""
    reference: str = ""
    note: str = ""

    def as_input(self, symbol: str, name: str = "") -> Input:
        """This result as an input of another."""
        return Input(symbol, name or self.name, self.value, self.dimension, self.key)


class Absence(Struct, frozen=True):
    """A quantity that cannot be worked out: why, and the fields that would decide it."""

    key: str
    name: str
    why: str
    missing: tuple[str, ...] = ()


Outcome = Record | Absence


def value_of(outcome: "Outcome | None") -> float | None:
    """The SI value of a record; None for an absence."""
    return outcome.value if isinstance(outcome, Record) else None
