"""Allotting numbers to the rows and columns of the matrices, once, into a file that is kept with the definitions."""

import json
from pathlib import Path

from generator import read
from generator.build import Philosophy
from generator.errors import PrintError
from generator.model.numbers import Numbers, SheetNumbers, allotted
from generator.pages.context import Context
from generator.pages.matrix_numbers import wanted

HEAD = """# Row and column numbers of the cause-and-effect matrices, by the area of the sheet.
# Written by `philosophy number`. A number stays with its row for good: what is gone keeps it, so that an old print never lies.
"""


def number(made: Philosophy, definitions: Path) -> tuple[Path, int]:
    """Give every row and column that has no number the next free one; the file, and how many were given.

    Raises:
        PrintError: the ledger cannot be read.
    """
    before, mistakes = read.numbers(definitions)
    if mistakes or made.plant is None or made.results is None:
        raise PrintError("; ".join(str(mistake) for mistake in mistakes) or "there is no plant to number")
    context = Context(made.plant, made.results, made.review, read.knowledge(), {})
    sheets = dict(before.sheets)
    given = 0
    for area, rows, columns in wanted(context):
        old = sheets.get(area, SheetNumbers())
        sheets[area] = SheetNumbers(allotted(old.rows, rows), allotted(old.columns, columns))
        given += len(sheets[area].rows) - len(old.rows) + len(sheets[area].columns) - len(old.columns)
    path = read.numbers_path(definitions)
    path.write_text(text(Numbers(sheets)), encoding="utf-8", newline="\n")
    return path, given


def text(numbers: Numbers) -> str:
    """The ledger as YAML."""
    lines = [HEAD.rstrip("\n")]
    for area, sheet in numbers.sheets.items():
        lines.append(f"{json.dumps(area)}:")
        for kind, block in (("rows", sheet.rows), ("columns", sheet.columns)):
            lines.append(f"  {kind}:" + ("" if block else " {}"))
            lines += [f"    {place}: {json.dumps(key, ensure_ascii=False)}" for place, key in sorted(block.items())]
    return "\n".join(lines) + "\n"
