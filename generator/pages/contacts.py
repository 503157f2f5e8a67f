"""The contact and relay register: what each contact does, where it is wired, what it may switch."""

from collections.abc import Iterator

from generator.model.instrument import Wiring
from generator.model.page import Page, Part, Running
from generator.model.scalar import Tag
from generator.pages import amounts, register
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.register import Group, Row, cell

COLUMNS = ("Point", "When it acts", "On the shelf", "Plant running", "Wire broken", "Cores shorted", "Supply lost",
           "Fails to the safe side", "Wired to", "Supply", "Supervised", "Rating", "What it drives, and may it")
_RELAYS = ("Relay", "Kind", "Panel", "Coil", "Suppressed", "Supply", "Drives", "Its own contacts", "May they switch that",
           "Contacts needed", "Driven by")


def pages(context: Context) -> Iterator[Page]:
    """Contacts of all points, then the relays and contactors between them and what they drive."""
    points = [tag for tag, point in context.plant.switches.items() if point.contact is not None]
    relays = tuple(_relay(context, tag) for tag in context.plant.relays)
    yield register.page(
        context, "contacts", "Contacts and what they switch",
        "The state of each contact in words. Open and closed are states between the terminals, not words on a device.",
        COLUMNS, register.by_area(context, points, lambda tag: _row(context, tag)),
    )
    yield register.page(
        context, "relays", "Relays and contactors", "What stands between a contact and what it drives.",
        _RELAYS, (Group("Relays and contactors", relays),) if relays else (),
    )


def _row(context: Context, tag: str) -> Row:
    plant = context.plant
    point = plant.switches[tag]  # type: ignore[index]  # a tag of the plant
    body = plant.instruments[point.in_]
    contact, wiring = point.contact, body.wiring
    result = context.results.contacts.get(tag)
    rating: list[Part] = []
    for part in (contact.category, contact.voltage, contact.current) if contact else ():
        if part is not None:
            rating += [", " if rating else "", part if isinstance(part, str) else amounts.as_written(part)]
    verdict = {True: "yes", False: "no", None: amounts.NOT_ASSESSED}[result.is_fail_safe if result else None]
    return Row(slug(tag), (
        cell(context.paths.link(tag)), cell(contact.at_the_point if contact else None),
        cell(contact.on_the_shelf if contact else None),
        cell(result.running if result else None), cell(result.wire_broken if result else None),
        cell(result.wire_shorted if result else None), cell(result.supply_lost if result else None),
        cell(verdict), cell(*_wired(context, wiring)),
        cell(context.paths.link(wiring.supply) if wiring and wiring.supply else None),
        cell({True: "yes", False: "no", None: None}[wiring.supervised] if wiring else None),
        cell(*(part for part in rating if part != "")), cell(_may(context, tag)),
    ))


def _wired(context: Context, wiring: Wiring | None) -> Running:
    """Panel, terminals and cable."""
    if wiring is None:
        return ("not given",)
    where = f" {wiring.terminals}" if wiring.terminals else ", terminals not given"
    return (context.paths.link(wiring.panel), f"{where}, {wiring.cable}" if wiring.cable else where)


def _relay(context: Context, tag: str) -> Row:
    relay = context.plant.relays[tag]  # type: ignore[index]  # a tag of the plant
    coil = " ".join(str(part) for part in (relay.coil_voltage and relay.coil_voltage.written, relay.coil_type) if part)
    own = [str(part) for part in (relay.category, relay.rated_voltage and relay.rated_voltage.written,
                                  relay.rated_current and relay.rated_current.written) if part]
    drivers = [point for point, one in context.plant.switches.items() if one.contact and one.contact.drives == tag]
    return Row(slug(tag), (
        cell(context.paths.link(tag)), cell(relay.kind), cell(context.paths.link(relay.panel)), cell(coil or None),
        cell({True: "yes", False: "no", None: None}[relay.suppressed]),
        cell(context.paths.link(relay.supply) if relay.supply else None),
        cell(register.links(context, relay.drives)), cell(", ".join(own) or None), cell(_may(context, tag)),
        cell(_needed(context, tag)), cell(register.links(context, drivers)),
    ))


def _may(context: Context, tag: str) -> Running:
    """Whether a contact may switch what is behind it, and what has to stand between."""
    made = context.results.loads.switching.get(str(tag), ())
    if not made:
        return ("names nothing",)
    verdict = {"pass": "yes", "fail": "no", "cannot be assessed": amounts.NOT_ASSESSED, "does not apply": "not by itself"}
    said: dict[str, list[str]] = {}
    for one in made:
        needed = f"; {' and '.join(one.needed)} needed" if one.needed else ""
        said.setdefault(f"{verdict[one.verdict]}, {one.why}{needed}", []).append(one.drives)
    parts: list[Part] = []
    for words, targets in said.items():
        parts += ["; " if parts else "", *register.links(context, map(Tag, targets)), f": {words}"]
    return tuple(part for part in parts if part != "")


def _needed(context: Context, tag: str) -> str:
    count = context.results.loads.multiplied[str(tag)]
    has = "its number is not given" if count.contacts is None else f"it has {count.contacts}"
    return f"{len(count.uses)}, {has}" if count.uses else "none recorded"
