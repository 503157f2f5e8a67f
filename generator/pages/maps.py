"""Maps: who acts on what. Tanks at the left, the functions that rest on them, what they move, and which liquid that is."""

from collections.abc import Iterator, Mapping
from textwrap import wrap

from msgspec import Struct

from generator.model.diagram import Diagram, Edge, Node
from generator.model.interlock import Interlock, StartStop
from generator.model.page import Later, Link, Page, Running
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.diagrams import WIDE
from generator.pages.doors import doors
from generator.pages.logic_words import GOES, MAY, sentence_list, tags
from generator.pages.paths import slug

SECTION = ("Maps",)
NARROW = 20
"""Letters in a line that is set in bold."""
MOST_BOXES = 36
"""A map with more boxes is drawn in parts."""


class MapRow(Struct, frozen=True):
    """One function in words: what it rests on, what it does, and which streams that moves."""

    function: Link
    kind: str
    rests_on: Running
    acts_on: Running
    moves: Running


class MapView(Struct, frozen=True):
    """The map of a tank or of an area, in one drawing or in parts, and the same as a table."""

    title: str
    about: Link
    says: str
    diagrams: tuple[Diagram, ...]
    rows: tuple[MapRow, ...]
    others: tuple[Link, ...]
    doors: Mapping[str, str]


def path_of_area(area: str) -> str:
    """Where the map of an area stands."""
    return f"maps/area-{slug(area)}.html"


def path_of_tank(tank: str) -> str:
    """Where the map of a tank stands."""
    return f"maps/tank-{slug(tank)}.html"


def pages(context: Context) -> Iterator[Page]:
    """One map for each area, then one for each tank that a function rests on or moves liquid of."""
    plant = context.plant
    by_tank = {tag: tuple(_functions_of(context, tag)) for tag in plant.tanks}
    for area, block in plant.areas.items():
        tanks = [tag for tag, tank in plant.tanks.items() if tank.area == area and by_tank[tag]]
        if not tanks:
            continue
        functions = tuple(dict.fromkeys(name for tag in tanks for name in by_tank[tag]))
        title = f"Area {area}  {block.name}"
        others = tuple(Link(f"Map of {tag}", path_of_tank(tag)) for tag in tanks)
        view = Later(_view, context, f"area-{area}", title, context.paths.link(area, title), functions, others)
        yield Page(path_of_area(area), f"Map, {title}", "map", view, SECTION, title)
    for tag, functions in by_tank.items():
        if functions:
            area = plant.tanks[tag].area
            others = (Link("Map of the whole area", path_of_area(area)),)
            title = f"{tag} {plant.tanks[tag].service}"
            view = Later(_view, context, str(tag), title, context.paths.link(tag), functions, others)
            yield Page(path_of_tank(tag), f"Map, {title}", "map", view, SECTION, str(tag))


def link(context: Context, tank: str) -> Link | None:
    """A link to the map of a tank; None where nothing acts on it."""
    is_there = next(_functions_of(context, tank), None) is not None
    return Link(f"Map: who acts on what in {tank}", path_of_tank(tank)) if is_there else None


def _functions_of(context: Context, tank: str) -> Iterator[Tag]:
    """Interlocks and controls that rest on a level of a tank or move its liquid."""
    plant = context.plant
    found = dict.fromkeys((*plant.controls_of_tank[tank], *plant.interlocks_of_tank[tank]))
    movers = {part for stream in (*plant.inflows_of[tank], *plant.outflows_of[tank])
              for part in (*plant.streams[stream].through, *((plant.streams[stream].moved_by,)
                                                             if plant.streams[stream].moved_by else ()))}
    elements = sorted({element for part in movers for element in (part, *plant.members_of(part))} | set(plant.pumps_of[tank]))
    found |= dict.fromkeys(lock for element in elements for lock in plant.interlocks_of_effect[element])
    found |= dict.fromkeys(name for element in elements for name in plant.controls_of_element[element])
    yield from found


def _view(context: Context, key: str, title: str, about: Link, functions: tuple[Tag, ...],
          others: tuple[Link, ...]) -> MapView:
    parts = tuple(_parts(context, functions))
    diagrams = tuple(_diagram(context, f"map-{slug(key)}-{number}", part, title if len(parts) == 1 else
                              f"{title}, part {number} of {len(parts)}") for number, part in enumerate(parts, 1))
    rows = tuple(_row(context, name) for name in functions)
    says = "" if len(parts) == 1 else f"More than {MOST_BOXES} boxes: drawn in {len(parts)} parts, so that it stays legible."
    return MapView(f"Who acts on what: {title}", about, says, diagrams, rows, others, doors(context, rows))


def _parts(context: Context, functions: tuple[Tag, ...]) -> Iterator[tuple[Tag, ...]]:
    """Functions in runs whose drawings keep to the limit; one that passes it alone stands alone."""
    run: list[Tag] = []
    for name in functions:
        if run and len(_graph(context, (*run, name))[0]) > MOST_BOXES:
            yield tuple(run)
            run = []
        run.append(name)
    if run:
        yield tuple(run)


def _diagram(context: Context, key: str, functions: tuple[Tag, ...], title: str) -> Diagram:
    nodes, edges = _graph(context, functions)
    return Diagram(key, f"Map of {title}: tanks, what rests on them, what it moves", tuple(nodes.values()), tuple(edges))


def _graph(context: Context, functions: tuple[Tag, ...]) -> tuple[dict[str, Node], dict[Edge, None]]:
    nodes: dict[str, Node] = {}
    edges: dict[Edge, None] = {}

    def add(tag: str, kind: str, words: str, says: str = "") -> str:
        path = context.paths.path(tag) or ""
        lines = (*(wrap(says, NARROW) or (str(tag),)), *wrap(words, WIDE))
        nodes.setdefault(tag, Node(tag, lines, kind, path, f"{tag} {words}"))  # type: ignore[arg-type]  # of BoxKind
        return tag

    plant = context.plant
    for name in functions:
        owner = plant.find(name)
        words = str(owner.service) if isinstance(owner, Interlock) else "ordinary running"
        function = add(name, "function", words)
        for source in _sources(context, name):
            edges[Edge(add(source, "tank" if source in plant.tanks else "cause", str(plant.find(source).service)),
                       function)] = None
        for target in _targets(context, name):
            for element in plant.members_of(target) or (target,):
                edges[Edge(function, add(element, "machine", str(plant.find(element).service)))] = None
                for stream in plant.streams_of[element]:
                    one = plant.streams[stream]
                    add(stream, "stream", str(one.name), f"{one.from_} to {one.into}")
                    edges[Edge(element, stream)] = None
    return nodes, edges


def _sources(context: Context, name: Tag) -> tuple[str, ...]:
    """Tanks that a function rests on; where it rests on none, its signals."""
    plant = context.plant
    if name in plant.controls:
        return (str(plant.controls[name].tank),)
    return tuple(map(str, plant.tanks_of_interlock[name] or dict.fromkeys(
        tag for tag in plant.interlocks[name].when.tags() if tag in plant.signals)))


def _targets(context: Context, name: Tag) -> tuple[Tag, ...]:
    plant = context.plant
    return (plant.controls[name].moves,) if name in plant.controls else tuple(plant.interlocks[name].then)


def _row(context: Context, name: Tag) -> MapRow:
    plant, link = context.plant, context.paths.link
    if name in plant.controls:
        control = plant.controls[name]
        points = dict.fromkeys((*control.starts, control.stops)) if isinstance(control, StartStop) else (control.measures,)
        kind, rests = "ordinary running", tags(context, points)
        acts: Running = (link(control.moves),)
    else:
        lock = plant.interlocks[name]
        kind, rests = lock.kind, tags(context, dict.fromkeys(lock.when.tags()))
        acts = sentence_list([(link(target), f" may {MAY[state]}" if lock.kind == "permissive" else f" {GOES[state][0]}")
                              for target, state in lock.then.items()])
    streams = dict.fromkeys(stream for target in _targets(context, name)
                            for element in (target, *plant.members_of(target)) for stream in plant.streams_of[element])
    moves = sentence_list([(link(stream, str(plant.streams[stream].name)),) for stream in streams])
    return MapRow(link(name), kind, rests, acts, moves or ("no liquid",))
