"""Cause-and-effect matrices: one sheet an area, and a plant sheet that lists them and holds what crosses areas."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from generator.model.page import Link, Page, Running
from generator.model.scalar import Tag
from generator.pages import logic_words, matrix_cells
from generator.pages.context import Context
from generator.pages.doors import doors
from generator.pages.matrix_cells import Cell
from generator.pages.matrix_grid import ALARM, Cause, Column, Grid, grid
from generator.pages.matrix_notes import notes_of
from generator.pages.paths import slug
from generator.pages.prose import running

SECTION = ("Cause and effect",)
_COMMON = ("manual stop", "emergency stop", "reset", "bypass key", "supply lost", "air lost", "controller stopped")
_DASH = "–"


@dataclass(frozen=True, slots=True)
class Head:
    """The head of a column."""

    number: int
    anchor: str
    link: Link
    service: str
    action: str
    elsewhere: str


@dataclass(frozen=True, slots=True)
class Note:
    """A note under the row where it first matters."""

    number: int
    words: Running


@dataclass(frozen=True, slots=True)
class Row:
    """One cause: number, what it is, where it acts; its cells; members of a vote or group; notes."""

    number: int
    anchor: str
    name: Running
    service: Running
    setting: Running
    is_group: bool
    cells: tuple[Cell, ...]
    members: tuple[tuple[str, Running], ...]
    notes: tuple[Note, ...]


@dataclass(frozen=True, slots=True)
class Group:
    """Rows of one tank, or those common to the sheet."""

    title: str
    link: Link | None
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
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


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the list of sheets."""

    link: Link
    causes: int
    effects: int


@dataclass(frozen=True, slots=True)
class Index:
    """The plant sheet: the sheets of the areas, and the matrix of what crosses them."""

    entries: tuple[Entry, ...]
    crossing: Sheet | None


def pages(context: Context) -> Iterator[Page]:
    """The plant sheet, then one sheet for each area that has a cause."""
    sheets = {area: sheet(context, area, one) for area, one in grids(context).items()}
    crossing = [tag for tag in context.plant.interlocks if len(areas_of(context, tag)) > 1]
    entries = tuple(Entry(Link(one.title, path_of(area)), one.rows, len(one.heads)) for area, one in sheets.items())
    across = sheet(context, "", grid(context.plant, crossing)) if crossing else None
    yield Page("matrices/index.html", "Cause and effect", "matrices", Index(entries, across), SECTION, "All areas")
    for area, one in sheets.items():
        yield Page(path_of(area), f"Cause and effect, {one.title}", "matrix", one, SECTION, one.title)


def path_of(area: str) -> str:
    """Where the sheet of an area stands."""
    return f"matrices/{slug(area)}.html"


def anchor_of(cause: str) -> str:
    """The anchor of a row."""
    return f"cause-{slug(cause)}"


def grids(context: Context) -> Mapping[str, Grid]:
    """The grid of each area that has a cause or an effect, in the plant's order."""
    plant = context.plant
    made = {}
    for area in plant.areas:
        locks = [tag for tag in plant.interlocks if area in drawn_in(context, tag)]
        alone = [tag for tag in (*plant.switches, *plant.instruments, *plant.signals)
                 if plant.alarms_of[tag] and plant.area_of(tag) == area]
        if locks or alone:
            made[str(area)] = grid(plant, locks, alone)
    return made


def drawn_in(context: Context, tag: str) -> set[str]:
    """Areas on whose sheet an interlock stands: its own, and those of what it drives."""
    plant = context.plant
    lock = plant.interlocks[Tag(tag)]
    driven = {str(plant.area_of(element)) for target in lock.then for element in plant.members_of(target) or (target,)}
    return {str(lock.area), *driven}


def areas_of(context: Context, tag: str) -> set[str]:
    """Every area that an interlock touches, those of its causes counted."""
    lock = context.plant.interlocks[Tag(tag)]
    causes = {str(context.plant.area_of(cause)) for cause in lock.when.tags()}
    return drawn_in(context, tag) | causes


def rows_of(context: Context) -> Mapping[str, tuple[Link, ...]]:
    """Links to the rows of each interlock, on the sheet of its own area."""
    links: dict[str, list[Link]] = {}
    for area, one in grids(context).items():
        for number, cause in enumerate(in_order(context, one), 1):
            for mark in (mark for marks in cause.marks.values() for mark in marks):
                lock = context.plant.interlocks.get(Tag(mark.by))
                link = Link(f"row {number}", f"{path_of(area)}#{anchor_of(cause.key)}")
                if lock is not None and lock.area == area and link not in links.setdefault(mark.by, []):
                    links[mark.by].append(link)
    return {tag: tuple(found) for tag, found in links.items()}


def tank_of(context: Context, cause: Cause) -> str:
    """The tank under whose heading a cause stands; empty for what is common to the sheet."""
    plant = context.plant
    tag = cause.tag or next((member for member in cause.members if member in plant.switches), cause.members[0])
    if tag in plant.switches or tag in plant.instruments:
        return context.paths.tank(tag) or ""
    signal = plant.signals.get(Tag(tag))
    if signal is None or signal.kind in _COMMON:
        return ""
    if signal.of in plant.instruments:
        return str(plant.instruments[Tag(str(signal.of))].tank)
    tanks = {tank for lock in plant.interlocks_of_cause[tag] for tank in plant.tanks_of_interlock[lock]}
    return str(tanks.pop()) if len(tanks) == 1 else ""


def in_order(context: Context, one: Grid) -> tuple[Cause, ...]:
    """Causes as they stand on the sheet: by tank in the plant's order, common ones last. Rows are numbered in this order."""
    order = {tank: number for number, tank in enumerate(context.plant.tanks)}
    return tuple(sorted(one.causes, key=lambda cause: order.get(Tag(tank_of(context, cause) or _DASH), len(order))))


def sheet(context: Context, area: str, one: Grid) -> Sheet:
    """The sheet of one area; of the whole plant where `area` is empty."""
    plant = context.plant
    notes = notes_of(context, one)
    groups: dict[str, list[Row]] = {}
    told: set[int] = set()
    for number, cause in enumerate(in_order(context, one), 1):
        row = _row(context, number, cause, one, notes, told)
        groups.setdefault(tank_of(context, cause), []).append(row)
    document, latest = plant.plant.document, plant.revisions[-1] if plant.revisions else None
    signs = {mark.sign for cause in one.causes for marks in cause.marks.values() for mark in marks}
    names = tuple(_group(context, area, tank, rows) for tank, rows in groups.items())
    drawings = plant.areas[Tag(area)].drawings if area else ()
    return Sheet(
        f"Area {area}  {plant.areas[Tag(area)].name}" if area else "Rows that cross areas",
        (f"{len(one.causes)} causes, {len(one.columns)} effects", "Causes are rows", "Heights above each tank's own datum"),
        tuple(context.paths.link(drawing) for drawing in drawings),
        tuple((sign, matrix_cells.STYLE[sign], said) for sign, said in matrix_cells.KEY if sign in signs),
        tuple(_head(context, number, column, area) for number, column in enumerate(one.columns, 1)),
        names, doors(context, names),
        (("Prepared", str(document.prepared or "")), ("Checked", str(document.checked or "")), ("Approved", str(document.approved or ""))),
        str(document.number), f"{latest.revision}, {latest.on}" if latest else "none issued",
    )


def _group(context: Context, area: str, tank: str, rows: list[Row]) -> Group:
    if not tank:
        return Group(f"Common to area {area}" if area else "Common", None, tuple(rows))
    return Group(str(context.plant.tanks[Tag(tank)].service), context.paths.link(tank), tuple(rows))


def _head(context: Context, number: int, column: Column, area: str) -> Head:
    anchor = f"effect-{slug(column.key)}"
    if column.key == ALARM:
        return Head(number, anchor, Link("alarms", "registers/alarms.html"), "On the screen", "ALARM", "")
    owner, there = context.plant.find(column.tag), str(context.plant.area_of(column.tag))
    return Head(number, anchor, context.paths.link(column.tag), str(owner.service), matrix_cells.action(column),
                f"Area {there}" if area and there != area else "")


def _row(context: Context, number: int, cause: Cause, one: Grid, notes: dict[str, tuple[int, Running]], told: set[int]) -> Row:
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
    elif cause.tag in plant.instruments:
        setting = ("deviation from its partner" if any(plant.alarms[a].deviation_of for a in plant.alarms_of[cause.tag]) else "its own alarm",)
    return Row(
        number, anchor_of(cause.key), name, service, setting, bool(members),
        tuple(matrix_cells.cell(context, cause, column, numbers) for column in one.columns), members,
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
