"""Numbers of the matrices: allotted once, kept for good, never used again."""

from pathlib import Path

import pytest
from msgspec.structs import replace

from generator import ledger, read
from generator.model.numbers import Numbers, SheetNumbers, allotted
from generator.pages import matrices
from generator.pages.matrix_numbers import wanted
from tests.pages.plants import LOGIC, context


def test_numbers_are_never_used_again() -> None:
    first = allotted({}, ("A", "B", "C"))
    second = allotted(first, ("A", "C", "D"))
    third = allotted(second, ("D", "B", "E"))
    assert third == {1: "A", 2: "B", 3: "C", 4: "D", 5: "E"}


def test_the_ledger_reads_as_it_was_written(tmp_path: Path) -> None:
    source = tmp_path / "plant"
    source.mkdir()
    numbers = Numbers({"10": SheetNumbers({1: 'a "quoted" row', 7: "all of (A, not B)"}, {2: "P-1 stopped"}),
                       "plant": SheetNumbers()})
    (tmp_path / "numbers.yml").write_text(ledger.text(numbers), encoding="utf-8")
    assert read.numbers(source) == (numbers, ())


@pytest.mark.parametrize("text", [
    "10: {rows: {one: A}}", "10: {rows: {1: A, 2: A}}", "10: [1]", "10: {lines: {1: A}}", "10: {rows: {0: A}}",
    "10: {rows: {1: [A]}}", "10: {rows: {1: A, 1: B}}", "{",
])
def test_a_spoilt_ledger_is_a_mistake(tmp_path: Path, text: str) -> None:
    (tmp_path / "numbers.yml").write_text(text, encoding="utf-8")
    numbers, mistakes = read.numbers(tmp_path / "plant")
    assert not numbers.sheets
    assert mistakes
    assert all(mistake.place.line in (1, 2) for mistake in mistakes)


def test_sheets_show_new_and_unused_numbers() -> None:
    one = context(LOGIC)
    sheets = {}
    for area, rows, columns in wanted(one):
        sheets[area] = SheetNumbers({40: "LSHH-OLD", **dict(enumerate(rows[1:], 50))},
                                    {9: "XV-OLD closed", **dict(enumerate(columns, 10))})
    for page in matrices.pages(replace(one, numbers=Numbers(sheets))):
        sheet = getattr(page.view, "crossing", page.view)
        shown = [row.number for group in sheet.groups for row in group.rows]
        assert shown[0] == "new"
        assert shown[1:-1] == [str(place) for place in range(50, 50 + len(shown) - 2)]
        assert shown[-1] == "40"
        assert [head.number for head in sheet.heads] == [*(str(place) for place in range(10, 9 + len(sheet.heads))), "9"]
        gone = sheet.heads[-1]
        assert gone.is_gone
        assert (gone.service, gone.action, gone.link.text) == ("was XV-OLD closed", "GONE", "not used")
        rows = [row for group in sheet.groups for row in group.rows]
        assert all(len(row.cells) == len(sheet.heads) and not row.cells[-1].marks for row in rows)
        assert any("1 row and 1 column taken out" in fact for fact in sheet.facts)
