"""Row and column numbers of the cause-and-effect matrices: allotted once, never used again."""

from collections.abc import Mapping

from msgspec import Struct, field

PLANT = "plant"
"""Name of the sheet that holds what crosses areas."""


class SheetNumbers(Struct, frozen=True):
    """The numbers of one sheet: what each row and each column stands for, by number."""

    rows: Mapping[int, str] = field(default_factory=dict)
    columns: Mapping[int, str] = field(default_factory=dict)


class Numbers(Struct, frozen=True):
    """The ledger: sheets by their area, the plant's own under `plant`."""

    sheets: Mapping[str, SheetNumbers] = field(default_factory=dict)

    def sheet(self, area: str) -> SheetNumbers:
        """The numbers of an area's sheet, of the plant's where `area` is empty; empty where none were allotted."""
        return self.sheets.get(area or PLANT, SheetNumbers())


def allotted(before: Mapping[int, str], now: tuple[str, ...]) -> dict[int, str]:
    """The numbers of before, and the next free one for each that has none. A number is never taken away.

    >>> allotted({1: "A", 2: "B"}, ("B", "C"))
    {1: 'A', 2: 'B', 3: 'C'}
    """
    made = dict(sorted(before.items()))
    known = set(made.values())
    following = max(made, default=0) + 1
    for key in now:
        if key not in known:
            made[following] = key
            following += 1
    return made
