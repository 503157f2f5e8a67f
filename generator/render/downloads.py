"""Files that leave the site: JSON and CSV."""

import csv
import io
import json
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


def _harmless(cell: str) -> str:
    looks_like_formula = cell.startswith(("=", "+", "-", "@", "\t", "\r"))
    is_number = cell.removeprefix("-").replace(".", "", 1).isdigit()
    return "'" + cell if looks_like_formula and not is_number else cell


_WRITERS = {"json": _json, "csv": _csv}
