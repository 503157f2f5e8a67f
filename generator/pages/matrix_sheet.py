"""One sheet of a matrix, ready to place: heads, rows by tank, cells, notes, key and signatures."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.model.page import Link, Running
from generator.model.scalar import Tag
from generator.pages import logic_words, matrix_areas, matrix_cells, matrix_numbers
from generator.pages.context import Context
from generator.pages.doors import doors
from generator.pages.matrix_areas import anchor_of, tank_of
from generator.pages.matrix_cells import Cell
from generator.pages.matrix_grid import ALARM, Cause, Column, Grid
from generator.pages.matrix_losses import NO_SIGNAL
from generator.pages.matrix_notes import notes_of
from generator.pages.paths import slug
from generator.pages.prose import running


class Head(Struct, frozen=True):
    """The head of a column."""

    number: str
    anchor: str
    link: Link
    service: str
    action: str
    elsewhere: str
    is_gone: bool = False
    """Whether its effect was taken out: the column stays empty under its number."""


class Note(Struct, frozen=True):
    """A note under the row where it first matters."""

    number: int
    words: Running


class Row(Struct, frozen=True):
    """One cause: number, what it is, where it acts; its cells; members of a vote or group; notes."""

    number: str
    anchor: str
    name: Running
    service: Running
    setting: Running
    is_group: bool
    cells: tuple[Cell, ...]
    members: tuple[tuple[str, Running], ...]
    notes: tuple[Note, ...]


class Group(Struct, frozen=True):
    """Rows of one tank, or those common to the sheet."""

    title: str
    link: Link | None
    rows: tuple[Row, ...]


class Sheet(Struct, frozen=True):
    """A whole matrix."""

    title: str
    facts: tuple[str, ...]
    drawings: tuple[Link, ...]
    key: tuple[tuple[str, str, str], ...]
    heads: tuple[Head, ...]
    groups: tuple[Group, ...]
    doors: Mapping[str, str]
    signatures: tuple[tuple[str, str], ...]
    number: str
    revision: str

    @property
    def rows(self) -> int:
        """How many causes it has."""
        return sum(len(group.rows) for group in self.groups)

    @property
    def is_crowded(self) -> bool:
        """Whether tags must stand upright even on the large sheet: past 24 columns, or one of over eight signs."""
        return len(self.heads) > 24 or any(len(word) > 8 for head in self.heads for word in head.link.text.split())


def sheet(context: Context, area: str, one: Grid) -> Sheet:
    """The sheet of one area; of the whole plant where `area` is empty."""
    plant = context.plant
    notes = notes_of(context, one)
    groups: dict[str, list[Row]] = {}
    told: set[int] = set()
    closed = tuple(Cell(key, "", (), "") for _, key in _gone_columns(context, area, one))
    for number, cause in matrix_areas.rows(context, area, one):
        row = _row(context, number, cause, one, notes, told, closed)
        groups.setdefault(tank_of(context, cause), []).append(row)
    document, latest = plant.plant.document, plant.revisions[-1] if plant.revisions else None
    signs = {mark.sign for cause in one.causes for marks in cause.marks.values() for mark in marks}
    names = tuple(_group(context, area, tank, rows) for tank, rows in groups.items())
    drawings = plant.areas[Tag(area)].drawings if area else ()
    return Sheet(
        f"Area {area}  {plant.areas[Tag(area)].name}" if area else "Rows that cross areas",
        (
            f"{len(one.causes)} causes, {len(one.columns)} effects",
            "Causes are rows",
            "Heights above each tank's own datum",
            *_numbering(context, area, one),
        ),
        tuple(context.paths.link(drawing) for drawing in drawings),
        tuple((sign, matrix_cells.STYLE[sign], said) for sign, said in matrix_cells.KEY if sign in signs),
        (*(_head(context, number, column, area)
           for number, column in zip(matrix_numbers.columns(context, area, one), one.columns, strict=True)),
         *(Head(number, f"not-used-column-{number}", Link("not used", ""), f"was {key}", "GONE", "", is_gone=True)
           for number, key in _gone_columns(context, area, one))),
        (*names, *_gone(context, area, one)),
        doors(context, names),
        (
            ("Prepared", str(document.prepared or "")),
            ("Checked", str(document.checked or "")),
            ("Approved", str(document.approved or "")),
        ),
        str(document.number),
        f"{latest.revision}, {latest.on}" if latest else "none issued",
    )


def _group(context: Context, area: str, tank: str, rows: list[Row]) -> Group:
    if not tank:
        return Group(f"Common to area {area}" if area else "Common", None, tuple(rows))
    return Group(str(context.plant.tanks[Tag(tank)].service), context.paths.link(tank), tuple(rows))


def _numbering(context: Context, area: str, one: Grid) -> Iterator[str]:
    """What must be known about the numbers of a sheet: provisional ones, and how many are gone."""
    ledger = context.numbers.sheet(area)
    if not ledger.rows and not ledger.columns:
        yield "Numbers are provisional: none has been allotted"
    rows, columns = len(_gone_rows(context, area, one)), len(_gone_columns(context, area, one))
    said = [f"{count} {word}{'s' if count > 1 else ''}" for count, word in ((rows, "row"), (columns, "column")) if count]
    if said:
        yield f"{' and '.join(said)} taken out since the numbers were allotted, marked not used"


def _gone_columns(context: Context, area: str, one: Grid) -> tuple[tuple[str, str], ...]:
    return matrix_numbers.unused(context.numbers.sheet(area).columns, {column.key for column in one.columns})


def _gone_rows(context: Context, area: str, one: Grid) -> tuple[tuple[str, str], ...]:
    return matrix_numbers.unused(context.numbers.sheet(area).rows, {cause.key for cause in one.causes})


def _gone(context: Context, area: str, one: Grid) -> Iterator[Group]:
    """Rows whose cause is gone: the number stays, so that an older print never means something else."""
    gone = _gone_rows(context, area, one)
    empty = (*(Cell(column.key, matrix_cells.effect(column), (), "") for column in one.columns),
             *(Cell(key, "", (), "") for _, key in _gone_columns(context, area, one)))
    if gone:
        yield Group("Not used any more", None, tuple(
            Row(number, f"not-used-{number}", ("not used",), (f"it was {key}",), (), False, empty, (), ())
            for number, key in gone))


def _head(context: Context, number: str, column: Column, area: str) -> Head:
    anchor = f"effect-{slug(column.key)}"
    if column.key == ALARM:
        return Head(number, anchor, Link("alarms", "registers/alarms.html"), "On the screen", "ALARM", "")
    owner, there = context.plant.find(column.tag), str(context.plant.area_of(column.tag))
    return Head(
        number,
        anchor,
        context.paths.link(column.tag),
        str(owner.service),
        matrix_cells.action(column),
        f"Area {there}" if area and there != area else "",
    )


def _row(
    context: Context, number: str, cause: Cause, one: Grid, notes: dict[str, tuple[int, Running]], told: set[int],
    closed: tuple[Cell, ...],
) -> Row:
    plant, numbers = context.plant, {lock: note for lock, (note, _) in notes.items()}
    fresh = [(note, said) for lock in cause.locks if lock in notes for note, said in (notes[lock],) if note not in told]
    told.update(note for note, _ in fresh)
    name, parts = _name(context, cause)
    members = tuple((f"{number}{chr(ord('a') + place)}", part) for place, part in enumerate(parts))
    owner = plant.find(cause.tag) if cause.tag else None
    service = running(context, getattr(owner, "service", None) or getattr(owner, "purpose", None))
    setting: Running = ()
    if cause.tag in plant.switches:
        setting = (logic_words.height(context, cause.tag), f" {plant.switches[Tag(cause.tag)].acts}")
    elif cause.tag in plant.signals:
        signal = plant.signals[Tag(cause.tag)]
        setting = (str(signal.condition or signal.kind),)
    elif cause.tag in plant.supplies:
        service, setting = (f"{plant.supplies[Tag(cause.tag)].kind} lost",), ()
    elif cause.tag in plant.links:
        setting = ("nothing comes through",)
    elif cause.key == f"{cause.tag} {NO_SIGNAL}":
        service, setting = ("signal lost: wire broken, or a fault that is seen",), ()
    elif cause.tag in plant.instruments:
        setting = (
            "deviation from its partner"
            if any(plant.alarms[a].deviation_of for a in plant.alarms_of[cause.tag])
            else "its own alarm",
        )
    return Row(
        number,
        anchor_of(cause.key),
        name,
        service,
        setting,
        bool(members),
        (*(matrix_cells.cell(context, cause, column, numbers) for column in one.columns), *closed),
        members,
        tuple(Note(note, said) for note, said in dict.fromkeys(fresh)),
    )


def _name(context: Context, cause: Cause) -> tuple[Running, tuple[Running, ...]]:
    """The name of a row, and its members in words where it needs several things at once."""
    if cause.tag or cause.condition is None:
        return (context.paths.link(cause.tag),), ()
    said = logic_words.clause(context, cause.condition)
    if not said.parts:
        return logic_words.inline(context, cause.condition), ()
    leaves = tuple(logic_words.leaves(said))
    if any(part.parts for part in said.parts):
        return logic_words.inline(context, cause.condition), leaves
    return (f"{said.joined[0].upper()}{said.joined[1:]}:",), leaves
