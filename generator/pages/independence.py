"""Layers against each hazard, what each is made of, and what two of them share."""

from collections.abc import Iterator, Mapping
from itertools import combinations

from msgspec import Struct

from generator.model.failure import Layer
from generator.model.page import Amount, Link, Page, Part, Running
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.doors import doors
from generator.pages.failures import tags
from generator.pages.logic_words import sentence_list
from generator.pages.paths import slug
from generator.pages.prose import running

PATH = "review/independence.html"
MOST = 60
"""Most hazards of one page; a larger plant has a page for each area."""
KINDS = {"control": "ordinary running", "alarm": "alarm", "permissive": "permissive", "trip": "trip or interlock"}
COLUMNS = (("body", "Body"), ("place", "Nozzle, well"), ("line", "Card, cable"), ("panel", "Panel"), ("supply", "Supply"),
           ("relay", "Relay"), ("link", "Link"), ("logic", "Logic"), ("final element", "Final element"))
_PLACES = {"nozzle": "place", "stilling well": "place", "card": "line", "cable": "line"}


class LayerRow(Struct, frozen=True):
    """One layer. `parts` follow the columns: each a list of (link or words, whether another layer has it too)."""

    kind: str
    layer: Link
    minutes: Amount
    parts: tuple[tuple[tuple[Link, bool], ...], ...]


class HazardLayers(Struct, frozen=True):
    """One hazard with its layers and what they share."""

    anchor: str
    hazard: Link
    what: Running
    harms: str
    rows: tuple[LayerRow, ...]
    shares: tuple[Running, ...]
    takes_all: tuple[Running, ...]


class Independence(Struct, frozen=True):
    """The page."""

    title: str
    columns: tuple[str, ...]
    hazards: tuple[HazardLayers, ...]
    sharing: int
    elsewhere: tuple[Link, ...]
    doors: Mapping[str, str]


def pages(context: Context) -> Iterator[Page]:
    """The page of all hazards; where there are many, a page for each area."""
    bare = _taken(context)
    layers = context.results.layers
    if len(layers) <= MOST:
        yield _page(context, PATH, "Independence of layers", layers, bare, ())
        return
    by_area: dict[str, dict[str, tuple[Layer, ...]]] = {}
    for tag, many in layers.items():
        begins = str(context.plant.hazards[Tag(tag)].begins_at)
        tank = begins if begins in context.plant.tanks else begins.split(" ", 1)[0]
        by_area.setdefault(str(context.plant.area_of(tank) or ""), {})[tag] = many
    links = tuple(Link(_title(context, area), _path(area)) for area in by_area)
    yield _page(context, PATH, "Independence of layers", {}, bare, links)
    for area, some in by_area.items():
        yield _page(context, _path(area), f"Independence of layers, {_title(context, area)}", some, bare,
                    (Link("All areas", PATH),))


def _path(area: str) -> str:
    return f"review/independence-{slug(area)}.html"


def _title(context: Context, area: str) -> str:
    return f"Area {area}  {context.plant.areas[Tag(area)].name}" if area else "Whole plant"


def _page(
    context: Context, where: str, title: str, layers: Mapping[str, tuple[Layer, ...]],
    bare: Mapping[str, tuple[Running, ...]], elsewhere: tuple[Link, ...],
) -> Page:
    hazards = tuple(_hazard(context, tag, many, bare.get(tag, ())) for tag, many in layers.items())
    view = Independence(title, tuple(title for _, title in COLUMNS), hazards, sum(bool(one.shares) for one in hazards),
                        elsewhere, doors(context, tuple(row.minutes for one in hazards for row in one.rows)))
    return Page(where, title, "independence", view, ("Review",), nav="Independence" if where == PATH else title,
                words=("common cause", "layers", "shared"))


def _hazard(context: Context, tag: str, layers: tuple[Layer, ...], bare: tuple[Running, ...]) -> HazardLayers:
    hazard = context.plant.hazards[Tag(tag)]
    count: dict[tuple[str, str], int] = {}
    for layer in layers:
        for part in layer.parts:
            count[part] = count.get(part, 0) + 1
    rows = tuple(LayerRow(KINDS[layer.kind], context.paths.link(layer.tag),
                          amounts.outcome(layer.minutes, "minutes") if layer.minutes else Amount("not timed"),
                          tuple(_cell(context, layer, column, count) for column, _ in COLUMNS)) for layer in layers)
    return HazardLayers(slug(tag), context.paths.link(tag), running(context, hazard.what), hazard.harms, rows,
                        tuple(_shares(context, layers)), bare)


def _cell(context: Context, layer: Layer, column: str, count: Mapping[tuple[str, str], int]) -> tuple[tuple[Link, bool], ...]:
    return tuple((_part(context, name), count[kind, name] > 1) for kind, name in layer.parts
                 if _PLACES.get(kind, kind) == column)


def _part(context: Context, name: str) -> Link:
    return context.paths.link(name) if name in context.plant.noun_of else Link(name, "")


def _shares(context: Context, layers: tuple[Layer, ...]) -> Iterator[Running]:
    """Sentences: which two layers share what, worst first as the parts stand."""
    for one, other in combinations(layers, 2):
        if not (one.protects or other.protects):
            continue
        common = [part for part in one.parts if part in other.parts]
        if common:
            said: list[Running] = [(f"{kind} ", _part(context, name)) for kind, name in common]
            yield (context.paths.link(one.tag), " and ", context.paths.link(other.tag), " share ", *sentence_list(said))


def _taken(context: Context) -> Mapping[str, tuple[Running, ...]]:
    """Failures that leave no trip and no alarm, by hazard: the level goes there, or would if it came to it."""
    made: dict[str, list[Running]] = {}
    for effects in context.results.failures.values():
        for effect in effects:
            for one in effect.exposures:
                lost = [layer.tag for layer in one.lost if layer.protects]
                if lost and not any(layer.protects for layer in one.remains):
                    parts: list[Part] = [context.paths.link(effect.device), f" {effect.mode} takes away ", *tags(context, lost)]
                    if one.is_demanded:
                        parts.append(", and drives the level there by itself")
                    made.setdefault(one.hazard, []).append(tuple(parts))
    return {hazard: tuple(said) for hazard, said in made.items()}
