"""Where in the definitions a value was written."""

from typing import Protocol, Self, runtime_checkable

from msgspec import Struct
from msgspec.structs import replace


class Place(Struct, frozen=True):
    """One spot in a definition file: the file as given, line and column counted from one.

    `via` says how the value reached its owner when it was not written there:
    "plant defaults", "area 20 defaults", "pattern wet_well_float, row 2".
    """

    file: str
    line: int
    column: int
    via: str = ""

    def through(self, via: str) -> "Place":
        """The same spot, reached by inheritance or a pattern."""
        return replace(self, via=via)

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


NOWHERE = Place("", 0, 0)


@runtime_checkable
class Traced(Protocol):
    """A value that can say how it reached its owner."""

    def reached(self, via: str) -> Self:
        """The same value, reached by inheritance or a pattern."""
