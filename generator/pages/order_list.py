"""What must be ordered for each point: device, lengths, contact, relay, cable. From definitions and results only."""

from collections.abc import Iterator

from generator.model.instrument import Contact, Instrument
from generator.model.load import Switching
from generator.model.page import Amount, Page, Running
from generator.model.record import Absence, Outcome
from generator.model.scalar import Tag
from generator.pages import amounts, register
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.register import Group, Row, cell

COLUMNS = ("Point", "Device", "Nozzle", "Wetted, marking", "Length below the face", "To cut", "Contact", "Rating",
           "Switches", "Between it and the load", "Cable", "Cable length")
RELAYS = ("Relay", "Kind", "Panel", "Coil", "Contacts needed", "Has", "Its contacts switch", "Suppression")
NO_ROUTE = "not worked out: no cable route is recorded"


def pages(context: Context) -> Iterator[Page]:
    """Points by area, then relays and contactors by panel."""
    relays = tuple(_relay(context, tag) for tag in context.plant.relays)
    yield register.page(
        context, "order-list", "What must be ordered",
        "Device, lengths, contact, relay and cable of each point, as far as they are recorded or worked out. Where "
        "something is not recorded it says so; nothing is filled in by custom.", COLUMNS,
        register.by_area(context, context.plant.switches, lambda tag: _point(context, Tag(tag))))
    yield register.page(
        context, "order-list-relays", "Relays and contactors to be ordered",
        "One contact for each thing that a relay switches, and one for each other place that its points report to.", RELAYS,
        (Group("Relays and contactors", relays),) if relays else ())


def _point(context: Context, tag: Tag) -> Row:
    plant = context.plant
    point = plant.switches[tag]
    body = plant.instruments[point.in_]
    acting = context.results.actuations.get(str(tag))
    wiring = body.wiring
    return Row(slug(tag), (
        cell(context.paths.link(tag)), cell(context.paths.link(point.in_), f", {body.technology}, {_signal(body)}"),
        cell(_nozzle(context, body)), cell(_materials(body)),
        cell(_length(acting.below_face if acting else None, _without(body, "sits in the wall"))),
        cell(_length(acting.cut if acting else None, _without(body, "not cut to length"))),
        cell(_contact(point.contact, body)), cell(_rating(point.contact)), cell(_switches(context, tag)),
        cell(_between(context, tag)),
        cell(f"{wiring.cable or 'number not given'}, {_cores(context, point.in_)}" if wiring is not None else None),
        cell(NO_ROUTE),
    ))


def _cores(context: Context, tag: Tag) -> str:
    """Cores that carry the signals of a whole body: one for each rod, two for each contact or loop."""
    body = context.plant.instruments[tag]
    if body.technology == "conductive rods":
        return f"{body.geometry.rods} cores" if body.geometry.rods else "cores not worked out: number of rods not given"
    contacts = [one for one in context.plant.points_of[tag] if context.plant.switches[one].contact is not None]
    return f"{2 * len(contacts) if body.signal == 'contact' and contacts else 2} cores"


def _without(body: Instrument, words: str) -> str:
    return "a set point: no length" if body.signal == "4-20 mA" else words


def _signal(body: Instrument) -> str:
    return f"{body.signal} out" if body.signal != "contact" else "contact out"


def _nozzle(context: Context, body: Instrument) -> str:
    """Name, size and place of the nozzle."""
    if body.nozzle is None:
        return "hangs free"
    nozzle = context.plant.tanks[body.tank].nozzles.get(Tag(body.nozzle))
    if nozzle is None:
        return f"{body.nozzle}, not described"
    return f"{body.nozzle}, {nozzle.size or 'size not given'}, {nozzle.on}"


def _materials(body: Instrument) -> str:
    made = ", ".join(body.wetted) or "wetted materials not given"
    return f"{made}; {body.ratings.marking}" if body.ratings.marking else made


def _length(outcome: Outcome | None, otherwise: str) -> Amount | str:
    if outcome is None:
        return otherwise
    if isinstance(outcome, Absence):
        return Amount("not worked out", "", outcome.key, outcome.why)
    return amounts.millimetres(outcome.value, outcome.key)


def _contact(contact: Contact | None, body: Instrument) -> str:
    if contact is None:
        return "a set point, no contact of its own" if body.signal == "4-20 mA" else "not given"
    shelf = f"; {contact.on_the_shelf} on the shelf" if contact.on_the_shelf else "; state on the shelf not given"
    return f"{contact.at_the_point} at the point{shelf}{'; keeps its state' if contact.keeps_state else ''}"


def _rating(contact: Contact | None) -> str:
    if contact is None:
        return "none"
    parts = [contact.category or "category not given", contact.voltage.written if contact.voltage else "voltage not given",
             contact.current.written if contact.current else "current not given"]
    least = [f"clean from {contact.smallest_current.written}"] if contact.smallest_current else []
    return ", ".join([*parts, *least])


def _made(context: Context, tag: Tag) -> tuple[Switching, ...]:
    return context.results.loads.switching.get(str(tag), ())


def _switches(context: Context, tag: Tag) -> str:
    contact = context.plant.switches[tag].contact
    if contact is None:
        return "none"
    return "; ".join(one.load for one in _made(context, tag)) or "not given"


def _between(context: Context, tag: Tag) -> str:
    """The relay or contactor that has to be bought, or why it is not known."""
    contact = context.plant.switches[tag].contact
    if contact is None:
        return "none"
    made = _made(context, tag)
    needed = [one for each in made for one in each.needed]
    if needed:
        return " and ".join(dict.fromkeys(needed))
    several = context.results.loads.several.get(str(tag))
    if several:
        return f"interposing relay with {len(several)} contacts"
    missing = [field for each in made for field in each.missing]
    if missing:
        return f"{amounts.NOT_ASSESSED}: {', '.join(missing)} not given"
    if context.plant.instruments[context.plant.switches[tag].in_].signal == "two-wire sensor":
        return "the amplifier of its two-wire loop"
    return "nothing more" if made else f"{amounts.NOT_ASSESSED}: what it drives is not given"


def _relay(context: Context, tag: Tag) -> Row:
    relay, count = context.plant.relays[tag], context.results.loads.multiplied[str(tag)]
    coil = [one for one in (relay.coil_voltage and relay.coil_voltage.written, relay.coil_type,
                            relay.coil_current and relay.coil_current.written) if one]
    rated: Running = (", ".join(str(one) for one in (
        relay.category, relay.rated_voltage and relay.rated_voltage.written,
        relay.rated_current and relay.rated_current.written) if one) or "rating not given",)
    loads = "; ".join(one.load for one in _made(context, tag)) or "nothing recorded"
    return Row(slug(tag), (
        cell(context.paths.link(tag)), cell(relay.kind), cell(context.paths.link(relay.panel)),
        cell(" ".join(map(str, coil)) or ("measuring circuit" if relay.kind == "electrode relay" else None)),
        cell(f"{len(count.uses)}: {', '.join(count.uses)}" if count.uses else "none recorded"),
        cell(str(count.contacts) if count.contacts is not None else None), cell(*rated, f": {loads}"),
        cell({True: "fitted", False: "to be added", None: None}[relay.suppressed]),
    ))
