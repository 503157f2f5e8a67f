"""One page for each area: its tanks, switches, interlocks, machines, its matrix, and what is open in it."""

from collections.abc import Iterable, Iterator, Mapping, Set

from msgspec import Struct

from generator.model.page import Amount, Link, Page
from generator.model.scalar import Tag
from generator.pages import amounts, open_points
from generator.pages.context import Context
from generator.pages.doors import doors
from generator.pages.matrix_areas import grids, path_of

Members = dict[str, list[Tag]]
_NOUNS = ("tanks", "switches", "interlocks", "pumps", "valves", "equipment", "instruments", "alarms", "controls")


class AreaRow(Struct, frozen=True):
    """An area in one line of the home page."""

    number: str
    link: Link
    tanks: tuple[tuple[Link, str], ...]
    counts: str
    matrix: Link
    open: tuple[open_points.Tally, ...]


class TankRow(Struct, frozen=True):
    """A tank of the area."""

    tank: Link
    service: str
    liquid: str
    capacity: Amount
    switches: tuple[Link, ...]
    open: tuple[open_points.Tally, ...]


class SwitchRow(Struct, frozen=True):
    """A switch of the area."""

    switch: Link
    tank: Link
    acts: str
    role: str
    stands: Amount
    interlocks: tuple[Link, ...]
    alarms: tuple[Link, ...]


class LockRow(Struct, frozen=True):
    """An interlock of the area."""

    interlock: Link
    service: str
    kind: str
    causes: tuple[Link, ...]
    effects: tuple[Link, ...]


class MachineRow(Struct, frozen=True):
    """A pump, a valve or other equipment of the area."""

    machine: Link
    service: str
    kind: str
    driven_by: tuple[Link, ...]


class AreaView(Struct, frozen=True):
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
    sheets = frozenset(grids(context))
    for area, inside in members(context).items():
        name = context.plant.areas[area].name
        yield Page(context.paths.path(area) or "", f"Area {area}  {name}", "area", _view(context, area, inside, sheets))


def rows(context: Context) -> Iterator[AreaRow]:
    """The areas as the home page shows them."""
    plant = context.plant
    sheets = frozenset(grids(context))
    for area, inside in members(context).items():
        tanks = tuple((context.paths.link(tag), str(plant.tanks[tag].service)) for tag in inside["tanks"])
        yield AreaRow(area, Link(plant.areas[area].name, context.paths.path(area) or ""), tanks, _counts(inside),
                      _matrix(area, sheets), open_points.tally(context, _all(inside)))


def members(context: Context) -> Mapping[Tag, Members]:
    """Tags of each area by noun."""
    plant = context.plant
    made: dict[Tag, Members] = {area: {noun: [] for noun in _NOUNS} for area in plant.areas}
    for noun in _NOUNS:
        for tag in getattr(plant, noun):
            area = plant.area_of(tag)
            if area in made:
                made[area][noun].append(tag)
    return made


def counts(tanks: int, switches: int, interlocks: int, pumps: int, valves: int) -> str:
    """How much there is, in words."""
    rows = ((tanks, "tank", "tanks"), (switches, "switch", "switches"), (interlocks, "interlock", "interlocks"),
            (pumps, "pump", "pumps"), (valves, "valve", "valves"))
    said = (f"{number} {one if number == 1 else many}" for number, one, many in rows if number)
    return ", ".join(said) or "nothing yet"


def _counts(inside: Members) -> str:
    return counts(0, *(len(inside[noun]) for noun in ("switches", "interlocks", "pumps", "valves")))


def _all(inside: Members) -> frozenset[str]:
    return frozenset(tag for tags in inside.values() for tag in tags)


def _matrix(area: Tag, sheets: Set[str]) -> Link:
    return Link("cause and effect", path_of(area) if area in sheets else "matrices/index.html")


def _view(context: Context, area: Tag, inside: Members, sheets: Set[str]) -> AreaView:
    plant = context.plant
    tags = _all(inside)
    tanks = tuple(_tank(context, tag) for tag in inside["tanks"])
    switches = tuple(_switch(context, tag) for tag in inside["switches"])
    machines = tuple(_machine(context, noun, tag) for noun in ("pumps", "valves", "equipment") for tag in inside[noun])
    return AreaView(
        area, plant.areas[area].name, _links(context, plant.areas[area].drawings), _counts(inside),
        _matrix(area, sheets), open_points.tally(context, tags), tanks, switches,
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
