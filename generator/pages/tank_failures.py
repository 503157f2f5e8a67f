"""Single failures of one tank on a page of their own: its bodies, wires, machines, and what it shares with others."""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from generator.model.failure import FailureEffect
from generator.model.page import Entry, Link, Page, Running
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.doors import doors
from generator.pages.failures import FailureRow, amounts_of, anchor, focused, rows, touches
from generator.pages.paths import slug

SECTION = ("Review", "Single failures by tank")
GROUPS = (
    ("sensors", "Bodies", ("instruments",)), ("wires", "Wires of switches and signals", ("switches", "signals")),
    ("relays", "Relays", ("relays",)), ("machines", "Pumps, valves, machines", ("pumps", "valves", "equipment")),
)


class GroupView(Struct, frozen=True):
    """Failures under one heading."""

    anchor: str
    title: str
    rows: tuple[FailureRow, ...]


class TankFailures(Struct, frozen=True):
    """The page."""

    tag: str
    tank: Link
    service: str
    hidden: int
    total: int
    groups: tuple[GroupView, ...]
    hazards: tuple[tuple[Link, Running], ...]
    doors: Mapping[str, str]


def path(tank: str) -> str:
    """Where the failures of a tank stand."""
    return f"failures/{slug(tank)}.html"


def pages(context: Context) -> Iterator[Page]:
    """One page for each tank on which anything can fail."""
    own: dict[str, list[FailureEffect]] = {}
    shared: list[FailureEffect] = []
    for effects in context.results.failures.values():
        for effect in effects:
            (own.setdefault(effect.tank, []) if effect.tank else shared).append(effect)
    begins = _hazards(context)
    common = _by_tank(context, shared, begins)
    for tag, tank in context.plant.tanks.items():
        groups = tuple(_groups(context, own.get(tag, ()), common.get(tag, ())))
        if not groups:
            continue
        shown = [row for group in groups for row in group.rows]
        hazards = tuple((context.paths.link(hazard), (str(context.plant.hazards[Tag(hazard)].what),))
                        for hazard in begins.get(str(tag), ()))
        view = TankFailures(str(tag), context.paths.link(tag), str(tank.service), sum(one.mark == "fail" for one in shown),
                            len(shown), groups, hazards, doors(context, amounts_of(shown)))
        first: dict[str, FailureEffect] = {}
        for effect in own.get(tag, ()):
            if effect.noun in ("instruments", "relays"):
                first.setdefault(effect.device, effect)
        entries = tuple(Entry(f"{path(tag)}#{anchor(effect)}", f"{device}, if it fails") for device, effect in first.items())
        yield Page(path(tag), f"{tag} single failures", "tank_failures", view, SECTION, nav=str(tag), entries=entries)


def _groups(
    context: Context, own: Sequence[FailureEffect], common: Sequence[FailureEffect],
) -> Iterator[GroupView]:
    for name, title, nouns in GROUPS:
        found = rows(context, (effect for effect in own if effect.noun in nouns))
        if found:
            yield GroupView(name, title, found)
    if common:
        yield GroupView("common", "Shared with other tanks: supplies, panels, links, logic", rows(context, common))


def _hazards(context: Context) -> Mapping[str, tuple[str, ...]]:
    """Hazards by the tank at which they begin."""
    made: dict[str, list[str]] = {}
    for tag, hazard in context.plant.hazards.items():
        begins = str(hazard.begins_at)
        tank = begins if begins in context.plant.tanks else begins.split(" ", 1)[0]
        made.setdefault(tank, []).append(str(tag))
    return {tank: tuple(tags) for tank, tags in made.items()}


def _by_tank(
    context: Context, shared: list[FailureEffect], hazards: Mapping[str, tuple[str, ...]],
) -> Mapping[str, list[FailureEffect]]:
    """What is shared, by each tank that it concerns, cut down to that tank."""
    tank_of = {hazard: tank for tank, many in hazards.items() for hazard in many}
    made: dict[str, list[FailureEffect]] = {}
    for effect in shared:
        functions = (*effect.acts, *effect.lost, *effect.weakened, *effect.alarms_lost,
                     *(control for control, _ in effect.controls), *(one.control for one in effect.fewer),
                     *(tag for tag, _ in effect.unassessed))
        tanks = {tank for tag in functions if (tank := context.paths.tank(tag))}
        tanks |= {tank_of[one.hazard] for one in effect.exposures if one.is_demanded and one.hazard in tank_of}
        by_tank: dict[str, set[str]] = {}
        for tag in functions:
            by_tank.setdefault(context.paths.tank(tag) or "", set()).add(tag)
        exposed: dict[str, set[str]] = {}
        for one in effect.exposures:
            exposed.setdefault(tank_of.get(one.hazard, ""), set()).add(one.hazard)
        for tank in tanks:
            mine, near = by_tank.get(tank, set()), exposed.get(tank, set())
            cut = focused(effect, near.__contains__, mine.__contains__, tank.__eq__)
            if touches(cut):
                made.setdefault(tank, []).append(cut)
    return made
