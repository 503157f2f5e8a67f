"""Which cause stands on which sheet of the matrix, under which heading, in which order."""

from collections.abc import Mapping

from generator.model.page import Link
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.matrix_grid import Cause, Grid, grid
from generator.pages.paths import slug

_COMMON = ("manual stop", "emergency stop", "reset", "bypass key", "supply lost", "air lost",
           "communication lost", "controller stopped")
NEW = "new"
"""What stands in place of a number that the ledger has not allotted yet."""


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
        alone = [
            tag
            for tag in (*plant.switches, *plant.instruments, *plant.signals)
            if plant.alarms_of[tag] and plant.area_of(tag) == area
        ]
        if locks or alone:
            made[str(area)] = grid(plant, locks, alone, context.results)
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


def rows(context: Context, area: str, one: Grid) -> tuple[tuple[str, Cause], ...]:
    """Each row of a sheet with its number, as they stand; "new" for one that the ledger does not know yet."""
    ledger = {key: str(number) for number, key in context.numbers.sheet(area).rows.items()}
    return tuple((ledger.get(cause.key, NEW) if ledger else str(place), cause)
                 for place, cause in enumerate(in_order(context, one), 1))


def rows_of(context: Context) -> Mapping[str, tuple[Link, ...]]:
    """Links to the rows of each interlock, on the sheet of its own area."""
    links: dict[str, list[Link]] = {}
    for area, one in grids(context).items():
        for number, cause in rows(context, area, one):
            for mark in (mark for marks in cause.marks.values() for mark in marks):
                lock = context.plant.interlocks.get(Tag(mark.by))
                link = Link(f"row {number}" if number != NEW else "new row", f"{path_of(area)}#{anchor_of(cause.key)}")
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
    """Causes as they stand on the sheet and are numbered: by tank in the plant's order, common ones last."""
    order = {tank: number for number, tank in enumerate(context.plant.tanks)}
    return tuple(sorted(one.causes, key=lambda cause: order.get(Tag(tank_of(context, cause) or "–"), len(order))))
