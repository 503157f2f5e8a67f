"""Cells of a spreadsheet file: a formula is made harmless, a negative amount is left as it is."""

import pytest

from generator.model.page import Download
from generator.render import downloads


@pytest.mark.parametrize(("cell", "written"), [
    ("-12", "-12"), ("-0.6", "-0.6"), ("-4 mm", "-4 mm"), ("-5 degC to 35 degC", "-5 degC to 35 degC"),
    ("=1+1", "'=1+1"), ("+1", "'+1"), ("@a", "'@a"), ("-2+3", "'-2+3"), ("-2 -3", "'-2 -3"),
    ("-1 a!A1", "'-1 a!A1"), ("-1 sum(A1)", "'-1 sum(A1)"), ("-A1", "'-A1"),
])
def test_only_what_a_spreadsheet_could_work_out_gets_an_apostrophe(cell: str, written: str) -> None:
    text = downloads.content(Download("data/x.csv", "csv", [[cell]])).decode("utf-8-sig")
    assert text == f"{written}\r\n"
