"""What the logic means: the rules that every interlock of the document follows, with tables worked by hand."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.knowledge import TruthTable
from generator.model.page import Page
from generator.pages.context import Context
from generator.pages.paths import slug

PATH = "what-the-logic-means.html"
_SHOWN = {"1": "yes", "0": "no", "?": "not known"}


class TableView(Struct, frozen=True):
    """One table. Cells are words; `answers` says of each column whether it is an answer."""

    anchor: str
    title: str
    says: str
    columns: tuple[str, ...]
    answers: tuple[bool, ...]
    rows: tuple[tuple[str, ...], ...]


class Meaning(Struct, frozen=True):
    """What the page shows beside its fixed text: the tables by the name they have in the data."""

    tables: tuple[TableView, ...]


def pages(context: Context) -> Iterator[Page]:
    """The page on the meaning of the logic."""
    tables = tuple(_table(table) for table in context.knowledge.truth_tables)
    yield Page(PATH, "What the logic means", "logic_meaning", Meaning(tables), ("How to read",),
               words=("truth table", "latch", "delay", "vote", "bad signal", "power return", "first scan"))


def _table(table: TruthTable) -> TableView:
    rows = tuple(tuple(_SHOWN.get(cell, cell) for cell in row) for row in table.rows)
    return TableView(slug(table.name), table.title, table.says, table.columns,
                     tuple(column in table.results for column in table.columns), rows)
