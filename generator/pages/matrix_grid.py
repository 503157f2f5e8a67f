"""The grid of a cause-and-effect matrix: which causes, which effects, and what each does to each.

Causes are rows, effects are columns. A condition falls into rows where it is an `any_of`; what needs several things
at once (`all_of`, a vote, a `not`, a time held) is one row with its members beneath, so that nobody reads 2 of 3 as
1 of 3.
"""

from collections.abc import Iterable, Iterator
from typing import Literal

from msgspec import Struct, field

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Not, Vote
from generator.model.interlock import Interlock, State
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.results import Results
from generator.model.scalar import Tag
from generator.pages import logic_words
from generator.pages.matrix_losses import (
    LOST,
    NO_SIGNAL,
    acting_links,
    dropping_links,
    feeders,
    silent_bodies,
    state_without_drive,
    trips_of_losses,
)

Sign = Literal["X", "X*", "P", "B", "F", "A"]
"""X drives and lets go by itself; X* drives and stays until reset; P allows a start; B takes a function out; F goes
there by itself when its drive or order is lost; A alarms."""
ALARM = "alarm"
"""Key of the column for alarms."""


class Column(Struct, frozen=True):
    """One effect: a final element and what it is driven to, or what it may do. `tag` is empty for the alarms."""

    key: str
    tag: str
    state: State | None
    is_permitted: bool = False


class Mark(Struct, frozen=True):
    """What one cause does in one column by one interlock, bypass or alarm. Delays are added along the way."""

    sign: Sign
    by: str
    delays: tuple[Duration, ...] = ()


class Cause(Struct):
    """One row: a tag, or a condition in words whose members stand beneath. Marks by column key."""

    key: str
    tag: str
    condition: Condition | None
    members: tuple[str, ...] = ()
    marks: dict[str, list[Mark]] = field(default_factory=dict)

    def mark(self, column: str, mark: Mark) -> None:
        """Set a mark, once."""
        there = self.marks.setdefault(column, [])
        if mark not in there:
            there.append(mark)

    @property
    def locks(self) -> tuple[str, ...]:
        """Interlocks whose cause this is, in the order of their marks."""
        return tuple(
            dict.fromkeys(mark.by for marks in self.marks.values() for mark in marks if mark.sign in ("X", "X*", "P"))
        )


class Grid(Struct, frozen=True):
    """Rows and columns of one sheet, in the order of the definitions."""

    causes: tuple[Cause, ...]
    columns: tuple[Column, ...]


def grid(plant: Definitions, locks: Iterable[str], alone: Iterable[str] = (), results: Results | None = None) -> Grid:
    """The grid of some interlocks, with causes that only alarm in `alone`; with results also what the loss of a link moves."""
    causes: dict[str, Cause] = {}
    columns: dict[str, Column] = {}
    locks = tuple(locks)
    for tag in locks:
        _add(plant, tag, plant.interlocks[Tag(tag)], causes, columns)
    for tag in alone:
        causes.setdefault(tag, Cause(tag, tag, None))
    for cause in causes.values():
        for mark in _alarm_marks(plant, cause):
            cause.mark(ALARM, mark)
    for member in {member for cause in causes.values() for member in cause.members}:
        own = causes.get(member)
        if own is None and plant.alarms_of[member]:
            causes[member] = Cause(member, member, None)
            for mark in _alarm_marks(plant, causes[member]):
                causes[member].mark(ALARM, mark)
    causes.update(_losses(plant, columns.values(), locks))
    causes.update(_silent(plant, locks))
    if results is not None and plant.links:
        causes.update(_links(plant, results, columns.values(), locks))
    if any(ALARM in cause.marks for cause in causes.values()):
        columns[ALARM] = Column(ALARM, "", None)
    order = {
        str(tag): number
        for number, tag in enumerate((*plant.switches, *plant.instruments, *plant.signals, *plant.supplies, *plant.links))
    }
    sorted_causes = sorted(causes.values(), key=lambda cause: (order[_first(cause)], bool(cause.members), cause.key))
    elements = {str(tag): number for number, tag in enumerate((*plant.pumps, *plant.valves, *plant.equipment))}
    ordered = sorted(
        columns.values(), key=lambda column: (elements.get(column.tag, len(elements)), column.is_permitted)
    )
    return Grid(tuple(sorted_causes), tuple(ordered))


def _first(cause: Cause) -> str:
    return cause.tag or cause.members[0]


def _add(plant: Definitions, tag: str, lock: Interlock, causes: dict[str, Cause], columns: dict[str, Column]) -> None:
    targets = [column for target, state in lock.then.items() for column in _columns(plant, lock, target, state)]
    for column in targets:
        columns.setdefault(column.key, column)
    sign: Sign = "P" if lock.kind == "permissive" else "X*" if lock.latch else "X"
    for condition in branches(logic_words.automatic(lock)):
        cause, delays = _cause(plant, condition, causes)
        for column in targets:
            cause.mark(column.key, Mark(sign, tag, (*delays, *((lock.on_delay,) if lock.on_delay else ()))))
    pushed = logic_words.manual(lock)
    if pushed is not None:
        stop = causes.setdefault(pushed, Cause(pushed, pushed, Acted(lock.place, pushed)))
        for column in targets:
            stop.mark(column.key, Mark(sign, tag))
    if lock.bypass is not None and lock.bypass.key is not None:
        key = causes.setdefault(
            lock.bypass.key, Cause(lock.bypass.key, lock.bypass.key, Acted(lock.place, lock.bypass.key))
        )
        for column in targets:
            key.mark(column.key, Mark("B", tag))


def _columns(plant: Definitions, lock: Interlock, target: str, state: State) -> Iterator[Column]:
    permitted = lock.kind == "permissive"
    for element in plant.members_of(target) or (target,):
        yield Column(f"{element} {'may ' if permitted else ''}{state}", element, state, permitted)


def branches(condition: Condition) -> Iterator[Condition]:
    """The conditions of which one is enough."""
    alone = len(condition.parts()) == 1 and getattr(condition, "needed", 1) == 1
    if isinstance(condition, AnyOf) or (isinstance(condition, AllOf | Vote) and alone):
        for part in condition.parts():
            yield from branches(part)
    else:
        yield condition


def _cause(plant: Definitions, condition: Condition, causes: dict[str, Cause]) -> tuple[Cause, tuple[Duration, ...]]:
    """The row of a condition and the delays that stand before it acts."""
    delays: tuple[Duration, ...] = ()
    while isinstance(condition, Held):
        delays = (*delays, condition.time)
        condition = condition.part
    if isinstance(condition, Acted):
        tag = str(condition.tag)
        own = plant.switches[condition.tag].on_delay if tag in plant.switches else None
        return causes.setdefault(tag, Cause(tag, tag, condition)), (*((own,) if own else ()), *delays)
    key = spelled(condition)
    members = tuple(dict.fromkeys(str(tag) for tag in condition.tags()))
    return causes.setdefault(key, Cause(key, "", condition, members)), delays


def spelled(condition: Condition) -> str:
    """A condition as a key: the same condition, wherever it was written, has the same key.

    >>> spelled(Condition.read({"all_of": ["A", {"not": "B"}]}))
    'all of (A, not B)'
    """
    match condition:
        case Acted(tag=tag):
            return str(tag)
        case Not(part=part):
            return f"not {spelled(part)}"
        case Held(time=time, part=part):
            return f"{spelled(part)} for {time.si:g} s"
        case Vote(needed=needed, inner=parts):
            return f"{needed} of ({', '.join(map(spelled, parts))})"
        case AllOf(inner=parts):
            return f"all of ({', '.join(map(spelled, parts))})"
        case AnyOf(inner=parts):
            return f"any of ({', '.join(map(spelled, parts))})"
        case _:
            raise TypeError(f"unknown form of condition: {type(condition).__name__}")


def _losses(plant: Definitions, columns: Iterable[Column], locks: Iterable[str]) -> dict[str, Cause]:
    """A row for each supply whose loss, by itself or through what it feeds, moves a final element or makes an interlock act."""
    losses: dict[str, Cause] = {}
    for column in columns:
        element = plant.find(column.tag)
        if not element.supply or column.is_permitted or column.state != state_without_drive(plant, column.tag):
            continue
        for supply, lasting in feeders(plant, element.supply):
            loss = losses.setdefault(f"{supply} {LOST}", Cause(f"{supply} {LOST}", str(supply), None))
            loss.mark(column.key, Mark("F", str(supply), lasting))
    for supply, name, lasting in trips_of_losses(plant, locks):
        _acts(plant, losses.setdefault(f"{supply} {LOST}", Cause(f"{supply} {LOST}", str(supply), None)), name, lasting)
    return losses


def _silent(plant: Definitions, locks: Iterable[str]) -> dict[str, Cause]:
    """A row for each body whose lost signal alone makes an interlock act."""
    rows: dict[str, Cause] = {}
    for body, names in silent_bodies(plant, locks).items():
        row = rows.setdefault(f"{body} {NO_SIGNAL}", Cause(f"{body} {NO_SIGNAL}", str(body), None))
        for name in names:
            _acts(plant, row, name, ())
    return rows


def _links(plant: Definitions, results: Results, columns: Iterable[Column], locks: Iterable[str]) -> dict[str, Cause]:
    """A row for each link whose loss makes an interlock act, or drops the order of a device to a column's state."""
    rows: dict[str, Cause] = {}

    def row(link: str) -> tuple[Cause, tuple[Duration, ...]]:
        watched = plant.links[Tag(link)].watched_for
        return rows.setdefault(f"{link} {LOST}", Cause(f"{link} {LOST}", link, None)), (watched,) if watched else ()

    for column in list(columns):
        if column.tag and not column.is_permitted and column.state == state_without_drive(plant, column.tag):
            for link in dropping_links(plant, results.crossings, column.tag):
                cause, noticed = row(link)
                cause.mark(column.key, Mark("F", link, noticed))
    for link, names in acting_links(results.crossings, results.failures).items():
        for name in (one for one in names if one in locks):
            cause, noticed = row(link)
            _acts(plant, cause, name, noticed)
    for cause in rows.values():
        shown = plant.links[Tag(cause.tag)].loss_shown_by
        for alarm in ((shown,) if shown in plant.alarms else plant.alarms_of[shown or ""]):
            noticed = row(cause.tag)[1]
            cause.mark(ALARM, Mark("A", str(alarm), noticed))
    return rows


def _acts(plant: Definitions, row: Cause, name: str, before: tuple[Duration, ...]) -> None:
    """Set the marks of an interlock that acts after some delays: on what it drives, and its alarms."""
    lock = plant.interlocks[Tag(name)]
    sign: Sign = "X*" if lock.latch else "X"
    delays = (*before, *_given(lock.on_delay))
    for target, state in lock.then.items():
        for column in _columns(plant, lock, target, state):
            row.mark(column.key, Mark(sign, name, delays))
    for alarm in plant.alarms_of[name]:
        row.mark(ALARM, Mark("A", alarm, (*delays, *_given(plant.alarms[alarm].on_delay))))


def _given(delay: Duration | None) -> tuple[Duration, ...]:
    return () if delay is None or delay.si == 0 else (delay,)


def _alarm_marks(plant: Definitions, cause: Cause) -> Iterator[Mark]:
    """Alarms of the cause's own tag, and of the interlocks that it drives, each with all delays on the way."""
    point = plant.switches.get(Tag(cause.tag))
    before: dict[str, tuple[Duration, ...]] = {cause.tag: _given(point.on_delay if point is not None else None)}
    for marks in cause.marks.values():
        before.update((mark.by, mark.delays) for mark in marks if mark.sign in ("X", "X*", "P"))
    for origin in (one for one in (cause.tag, *cause.locks) if one):
        for alarm in plant.alarms_of[origin]:
            yield Mark("A", alarm, (*before[origin], *_given(plant.alarms[alarm].on_delay)))
