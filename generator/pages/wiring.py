"""The wiring table: panel by panel, what is behind each terminal, what feeds it, and what else is live in there."""

import re
from collections.abc import Iterator

from generator.model.instrument import Instrument, Wiring
from generator.model.page import Page, Part, Running
from generator.model.scalar import Tag
from generator.pages import amounts, register
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.register import Group, Row, cell

COLUMNS = ("Terminals", "Cable", "Device", "Points", "Contact in the plant, and acted", "Goes to", "Loop fed from",
           "Also live in the panel", "Supervised", "Card")


def pages(context: Context) -> Iterator[Page]:
    """One table a panel, by terminal."""
    bodies: dict[Tag, list[tuple[Tag, Instrument, Wiring]]] = {panel: [] for panel in context.plant.panels}
    for tag, body in context.plant.instruments.items():
        if body.wiring is not None:
            bodies[body.wiring.panel].append((tag, body, body.wiring))
    groups = tuple(
        Group(f"{panel}  {context.plant.panels[panel].where}",
              tuple(_row(context, *one) for one in sorted(found, key=lambda one: _in_order(one[2].terminals, one[0]))))
        for panel, found in bodies.items() if found)
    yield register.page(
        context, "wiring", "Terminals and wiring",
        "What a panel holds, by terminal. Treat every terminal as live until it was proved dead: a loop fed from another "
        "place stays live when the panel is switched off.", COLUMNS, groups)


def _in_order(terminals: str | None, tag: str) -> tuple[bool, list[tuple[bool, int, str]], str]:
    """Terminals in the order of their numbers, what has none last.

    >>> sorted(["11-12", "2-3", "X2:1", "X1:10", "X1:9"], key=lambda one: _in_order(one, ""))
    ['2-3', '11-12', 'X1:9', 'X1:10', 'X2:1']
    """
    parts = re.findall(r"\d+|[^\d\W]+", terminals or "")
    return terminals is None, [(not one.isdigit(), int(one) if one.isdigit() else 0, one) for one in parts], tag


def _row(context: Context, tag: Tag, body: Instrument, wiring: Wiring) -> Row:
    plant = context.plant
    panel = plant.panels[wiring.panel]
    others = [one for one in panel.supplies if one != wiring.supply]
    return Row(slug(tag), (
        cell(wiring.terminals or "not given"), cell(wiring.cable), cell(context.paths.link(tag), f", {body.technology}"),
        cell(register.links(context, plant.points_of[tag])), cell(_states(context, tag, body)), cell(_goes_to(context, tag)),
        cell(_fed(context, wiring)), cell(_live(context, others, panel.battery)),
        cell({True: "yes", False: "no", None: None}[wiring.supervised]), cell(wiring.card),
    ))


def _states(context: Context, tag: Tag, body: Instrument) -> str:
    """Each point's contact while the plant runs and when it has acted."""
    if body.signal == "4-20 mA":
        return "4-20 mA"
    said = []
    for point in context.plant.points_of[tag]:
        result = context.results.contacts.get(point)
        if result is not None and result.running:
            said.append(f"{point} {result.running}, {result.acted}")
    return "; ".join(said) or "not given"


def _goes_to(context: Context, tag: Tag) -> Running:
    targets = dict.fromkeys(
        contact.drives for point in context.plant.points_of[tag]
        if (contact := context.plant.switches[point].contact) is not None and contact.drives is not None)
    return register.links(context, targets, "not given")


def _fed(context: Context, wiring: Wiring) -> Running:
    """The supply of the loop with its voltage, and a word where it comes from elsewhere."""
    if wiring.supply is None:
        return ("not given",)
    voltage = context.plant.supplies[wiring.supply].voltage
    foreign = wiring.supply not in context.plant.panels[wiring.panel].supplies
    return (context.paths.link(wiring.supply), *((" ", amounts.as_written(voltage)) if voltage else ()),
            *((", from outside this panel",) if foreign else ()))


def _live(context: Context, supplies: list[Tag], battery: bool) -> Running:
    parts: list[Part] = []
    for one in supplies:
        voltage = context.plant.supplies[one].voltage
        parts += [", " if parts else "", f"{one} ", amounts.as_written(voltage) if voltage else "(voltage not given)"]
    if battery:
        parts += [", " if parts else "", "a battery"]
    return tuple(part for part in parts if part != "") or ("nothing else is recorded",)
