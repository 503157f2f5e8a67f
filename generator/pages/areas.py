"""One page for each area: its tanks, switches, interlocks, machines, its matrix, and what is open in it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from generator.model.page import Amount, Link, Page
from generator.model.scalar import Tag
from generator.pages import amounts, matrices, open_points
from generator.pages.context import Context
from generator.pages.doors import doors


@dataclass(frozen=True, slots=True)
class AreaRow:
    """An area in one line of the home page."""

    number: str
    link: Link
    tanks: tuple[tuple[Link, str], ...]
    counts: str
    matrix: Link
    open: tuple[open_points.Tally, ...]


@dataclass(frozen=True, slots=True)
class TankRow:
    """A tank of the area."""

    tank: Link
    service: str
    liquid: str
    capacity: Amount
    switches: tuple[Link, ...]
    open: tuple[open_points.Tally, ...]


@dataclass(frozen=True, slots=True)
class SwitchRow:
    """A switch of the area."""

    switch: Link
    tank: Link
    acts: str
    role: str
    stands: Amount
    interlocks: tuple[Link, ...]
    alarms: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class LockRow:
    """An interlock of the area."""

    interlock: Link
    service: str
    kind: str
    causes: tuple[Link, ...]
    effects: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class MachineRow:
    """A pump, a valve or other equipment of the area."""

    machine: Link
    service: str
    kind: str
    driven_by: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class AreaView:
    """What the page of an area shows."""

    number: str
    name: str
    drawings: tuple[Link, ...]
    counts: str
    matrix: Link
    tally: tuple[open_points.Tally, ...]
    tanks: tuple[TankRow, ...]
    switches: tuple[SwitchRow, ...]
    interlocks: tuple[LockRow, ...]
    machines: tuple[MachineRow, ...]
    open: tuple[open_points.OpenPoint, ...]
    doors: dict[str, str]


def pages(context: Context) -> Iterator[Page]:
    """The page of each area."""
    for area in context.plant.areas:
        name = context.plant.areas[area].name
        yield Page(context.paths.path(area) or "", f"Area {area}  {name}", "area", _view(context, area))


def row(context: Context, area: Tag) -> AreaRow:
    """An area as the home page shows it."""
    plant = context.plant
    inside = members(context, area)
    tanks = tuple((context.paths.link(tag), str(plant.tanks[tag].service)) for tag in inside["tanks"])
    return AreaRow(area, Link(plant.areas[area].name, context.paths.path(area) or ""), tanks, _counts(inside),
                   _matrix(context, area), open_points.tally(context, _all(inside)))


def members(context: Context, area: Tag) -> dict[str, list[Tag]]:
    """Tags of an area by noun."""
    plant = context.plant
    nouns = ("tanks", "switches", "interlocks", "pumps", "valves", "equipment", "instruments", "alarms", "controls")
    return {noun: [tag for tag in getattr(plant, noun) if plant.area_of(tag) == area] for noun in nouns}


def counts(tanks: int, switches: int, interlocks: int, pumps: int, valves: int) -> str:
    """How much there is, in words."""
    rows = ((tanks, "tank", "tanks"), (switches, "switch", "switches"), (interlocks, "interlock", "interlocks"),
            (pumps, "pump", "pumps"), (valves, "valve", "valves"))
    said = (f"{number} {one if number == 1 else many}" for number, one, many in rows if number)
    return ", ".join(said) or "nothing yet"


def _counts(inside: dict[str, list[Tag]]) -> str:
    return counts(0, *(len(inside[noun]) for noun in ("switches", "interlocks", "pumps", "valves")))


def _all(inside: dict[str, list[Tag]]) -> frozenset[str]:
    return frozenset(tag for tags in inside.values() for tag in tags)


def _matrix(context: Context, area: Tag) -> Link:
    has_sheet = area in matrices.grids(context)
    return Link("cause and effect", matrices.path_of(area) if has_sheet else "matrices/index.html")


def _view(context: Context, area: Tag) -> AreaView:
    plant = context.plant
    inside = members(context, area)
    tags = _all(inside)
    tanks = tuple(_tank(context, tag) for tag in inside["tanks"])
    switches = tuple(_switch(context, tag) for tag in inside["switches"])
    machines = tuple(_machine(context, noun, tag) for noun in ("pumps", "valves", "equipment") for tag in inside[noun])
    return AreaView(
        area, plant.areas[area].name, _links(context, plant.areas[area].drawings), _counts(inside),
        _matrix(context, area), open_points.tally(context, tags), tanks, switches,
        tuple(_lock(context, tag) for tag in inside["interlocks"]), machines, open_points.points(context, tags),
        dict(doors(context, tanks, switches)),
    )


def _tank(context: Context, tag: Tag) -> TankRow:
    plant = context.plant
    tank = plant.tanks[tag]
    result = context.results.tanks.get(tag)
    return TankRow(
        context.paths.link(tag), tank.service, plant.liquids[tank.liquid].name if tank.liquid in plant.liquids else "",
        amounts.outcome(result.capacity if result else None), _links(context, plant.switches_of[tag]),
        open_points.tally(context, frozenset((tag, *plant.switches_of[tag]))),
    )


def _switch(context: Context, tag: Tag) -> SwitchRow:
    plant = context.plant
    switch = plant.switches[tag]
    result = context.results.setpoints.get(tag)
    stands = result.stands if result else None
    height = amounts.metres(stands, f"#{tag}/stands") if stands is not None else Amount(amounts.NOT_ASSESSED)
    return SwitchRow(
        context.paths.link(tag), context.paths.link(plant.tank_of(tag)), switch.acts, switch.role, height,
        _links(context, plant.interlocks_of_cause[tag]), _links(context, plant.alarms_of[tag]),
    )


def _lock(context: Context, tag: Tag) -> LockRow:
    lock = context.plant.interlocks[tag]
    return LockRow(
        context.paths.link(tag), lock.service, lock.kind,
        _links(context, dict.fromkeys(lock.when.tags())), _links(context, lock.then),
    )


def _machine(context: Context, noun: str, tag: Tag) -> MachineRow:
    plant = context.plant
    machine = plant.find(tag)
    kind = {"pumps": "pump", "valves": "valve"}.get(noun, "")
    words = f"{getattr(machine, 'kind', '')} {kind}".strip()
    drivers = dict.fromkeys((*plant.interlocks_of_effect[tag], *plant.controls_of_element[tag]))
    return MachineRow(context.paths.link(tag), machine.service, words, _links(context, drivers))


def _links(context: Context, tags: Iterable[str]) -> tuple[Link, ...]:
    return tuple(context.paths.link(tag) for tag in tags)
