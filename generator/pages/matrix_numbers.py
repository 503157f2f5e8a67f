"""The numbers of rows and columns: as the ledger allots them; without a ledger as they stand on the sheet."""

from collections.abc import Iterator, Mapping

from generator.model.numbers import PLANT
from generator.pages.context import Context
from generator.pages.matrix_areas import NEW, areas_of, grids, in_order
from generator.pages.matrix_grid import Grid, grid


def columns(context: Context, area: str, one: Grid) -> tuple[str, ...]:
    """The number of each column, as they stand."""
    ledger = {key: str(number) for number, key in context.numbers.sheet(area).columns.items()}
    return tuple(ledger.get(column.key, NEW) if ledger else str(place) for place, column in enumerate(one.columns, 1))


def unused(allotted: Mapping[int, str], there: set[str]) -> tuple[tuple[str, str], ...]:
    """Numbers that stand for nothing any more, with what they stood for."""
    return tuple((str(number), key) for number, key in sorted(allotted.items()) if key not in there)


def wanted(context: Context) -> Iterator[tuple[str, tuple[str, ...], tuple[str, ...]]]:
    """Every sheet with the keys of its rows and columns, in their order: what the ledger must number."""
    crossing = [tag for tag in context.plant.interlocks if len(areas_of(context, tag)) > 1]
    if crossing:
        yield (PLANT, *_keys(context, grid(context.plant, crossing, (), context.results)))
    for area, one in grids(context).items():
        yield (area, *_keys(context, one))


def _keys(context: Context, one: Grid) -> tuple[tuple[str, ...], tuple[str, ...]]:
    return tuple(cause.key for cause in in_order(context, one)), tuple(column.key for column in one.columns)
