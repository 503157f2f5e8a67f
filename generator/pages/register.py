"""Registers: tables over the whole plant, shown on one template and written out as spreadsheets rows."""

from collections.abc import Callable, Iterable, Mapping

from msgspec import Struct

from generator.model.page import Amount, Page, Part, Running, plain
from generator.pages.context import Context
from generator.pages.paths import slug

SECTION = ("Registers",)


class Cell(Struct, frozen=True):
    """One cell: running text; numbers stand at the right."""

    parts: Running
    is_number: bool = False

    @property
    def is_short(self) -> bool:
        """Whether it is one short word, such as a cable's number, that no line should break."""
        return len(self.parts) == 1 and isinstance(self.parts[0], str) and " " not in self.parts[0] and (
            len(self.parts[0]) <= 14)


class Row(Struct, frozen=True):
    """One row with the anchor by which links find it."""

    anchor: str
    cells: tuple[Cell, ...]


class Group(Struct, frozen=True):
    """Rows under a heading: an area."""

    title: str
    rows: tuple[Row, ...]


class Table(Struct, frozen=True):
    """A register: its columns and its rows by group. `doors` maps record keys to where they stand."""

    title: str
    intro: str
    columns: tuple[str, ...]
    groups: tuple[Group, ...]
    doors: Mapping[str, str]
    download: str


def cell(*parts: Part | Running | None, number: bool = False) -> Cell:
    """A cell from words, links, amounts and running text; what is missing shows as a word."""
    flat: list[Part] = []
    for part in parts:
        if isinstance(part, tuple):
            flat += part
        elif part is not None:
            flat.append(part)
    if not any(flat):
        flat = ["not given"]
    return Cell(tuple(flat), number or (len(flat) == 1 and isinstance(flat[0], Amount)))


def links(context: Context, tags: Iterable[str], none: str = "none") -> Running:
    """Tags as links with spaces between them."""
    parts: list[Part] = []
    for tag in tags:
        parts += [context.paths.link(tag), " "]
    return tuple(parts[:-1]) if parts else (none,)


def by_area(context: Context, tags: Iterable[str], row: Callable[[str], Row]) -> tuple[Group, ...]:
    """Rows grouped by area in the plant's order; what belongs to no area comes last."""
    groups: dict[str, list[Row]] = {area: [] for area in context.plant.areas}
    rest: list[Row] = []
    for tag in tags:
        area = context.plant.area_of(tag)
        groups.get(area or "", rest).append(row(tag))
    named = [Group(f"Area {area}  {context.plant.areas[area].name}", tuple(rows))  # type: ignore[index]  # own keys
             for area, rows in groups.items() if rows]
    return (*named, *([Group("Whole plant", tuple(rest))] if rest else []))


def page(context: Context, name: str, title: str, intro: str, columns: tuple[str, ...],
         groups: tuple[Group, ...], section: tuple[str, ...] = SECTION) -> Page:
    """The page of one register under registers/."""
    keys = {part.record for group in groups for row in group.rows for one in row.cells for part in one.parts
            if isinstance(part, Amount) and part.record}
    doors = {key: context.paths.record(key) for key in sorted(keys) if key in context.results.records}
    table = Table(title, intro, columns, groups, doors, f"data/{slug(name)}.csv")
    return Page(f"registers/{slug(name)}.html", title, "register", table, section)


def rows(table: Table) -> list[list[str]]:
    """A register as rows for a spreadsheet, its heading first.

    Where the figures of a column are of one unit, the unit goes into the heading and the cells are bare numbers, so that
    they can be sorted and added up.
    """
    cells = [row.cells for group in table.groups for row in group.rows]
    units = [_unit(column) for column in zip(*cells, strict=True)] if cells else ["" for _ in table.columns]
    heads = [f"{name} [{unit}]" if unit else name for name, unit in zip(table.columns, units, strict=True)]
    made = [["Area", *heads]]
    for group in table.groups:
        made += [[group.title, *(_in_column(one, unit) for one, unit in zip(row.cells, units, strict=True))]
                 for row in group.rows]
    return made


def _unit(column: tuple[Cell, ...]) -> str:
    """The unit of all figures of a column; empty where there is none, or more than one, or figures among words."""
    amounts = [part for one in column for part in one.parts if isinstance(part, Amount) and part.unit]
    alone = sum(_is_figure(one) for one in column)
    units = {amount.unit for amount in amounts}
    return units.pop() if len(units) == 1 and alone == len(amounts) else ""


def _is_figure(one: Cell) -> bool:
    return len(one.parts) == 1 and isinstance(one.parts[0], Amount) and bool(one.parts[0].unit)


def _in_column(one: Cell, unit: str) -> str:
    first = one.parts[0] if one.parts else ""
    if unit and isinstance(first, Amount) and first.unit:
        return first.number.replace("\u202f", "").replace("\u2212", "-")
    return plain(one.parts)
