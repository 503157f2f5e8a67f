"""Files that leave the site: JSON and CSV."""

import csv
import io
import json
import re
from typing import Any

from generator.model.page import Download


def content(download: Download) -> bytes:
    """The bytes of one file."""
    return _WRITERS[download.writer](download.data)


def _json(data: Any) -> bytes:
    return (json.dumps(data, ensure_ascii=False, separators=(",", ":")) + "\n").encode()


def _csv(rows: Any) -> bytes:
    """Rows as CSV; a cell that a spreadsheet would take for a formula gets an apostrophe before it."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    for row in rows:
        writer.writerow([_harmless(str(cell)) for cell in row])
    return out.getvalue().encode("utf-8-sig")


_NUMBER = re.compile(r"-\d+(\.\d+)?( [a-zA-Z°µ%][\w°³²/µ·%., -]*)?\Z")
"""A negative number, alone or with its unit and what follows in words: no spreadsheet can work that out."""


def _harmless(cell: str) -> str:
    looks_like_formula = cell.startswith(("=", "+", "-", "@", "\t", "\r"))
    is_number = _NUMBER.match(cell) is not None
    return "'" + cell if looks_like_formula and not is_number else cell


_WRITERS = {"json": _json, "csv": _csv}
