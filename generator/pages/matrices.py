"""Cause-and-effect matrices: one sheet an area, and a plant sheet that lists them and holds what crosses areas."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.page import Link, Page
from generator.pages.context import Context
from generator.pages.matrix_areas import areas_of, grids, path_of
from generator.pages.matrix_grid import grid
from generator.pages.matrix_sheet import Sheet, sheet

SECTION = ("Cause and effect",)


class Entry(Struct, frozen=True):
    """One line of the list of sheets."""

    link: Link
    causes: int
    effects: int


class Index(Struct, frozen=True):
    """The plant sheet: the sheets of the areas, and the matrix of what crosses them."""

    entries: tuple[Entry, ...]
    crossing: Sheet | None


def pages(context: Context) -> Iterator[Page]:
    """The plant sheet, then one sheet for each area that has a cause."""
    sheets = {area: sheet(context, area, one) for area, one in grids(context).items()}
    crossing = [tag for tag in context.plant.interlocks if len(areas_of(context, tag)) > 1]
    entries = tuple(Entry(Link(one.title, path_of(area)), one.rows, sum(not head.is_gone for head in one.heads))
                    for area, one in sheets.items())
    across = sheet(context, "", grid(context.plant, crossing, (), context.results)) if crossing else None
    yield Page("matrices/index.html", "Cause and effect", "matrices", Index(entries, across), SECTION, "All areas")
    for area, one in sheets.items():
        yield Page(path_of(area), f"Cause and effect, {one.title}", "matrix", one, SECTION, one.title)
