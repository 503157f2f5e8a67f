"""What must be ordered: each device once, with the lengths and contacts of its points, and each relay. Nothing made up."""

from collections.abc import Callable, Iterable, Iterator

from generator.model.device import Actuation
from generator.model.instrument import Contact, Instrument
from generator.model.load import Switching
from generator.model.page import Amount, Page, Part, Running
from generator.model.record import Absence, Outcome
from generator.model.scalar import Tag
from generator.pages import amounts, register
from generator.pages.context import Context
from generator.pages.fields import in_words
from generator.pages.paths import slug
from generator.pages.register import Group, Row, cell

COLUMNS = ("Device", "Points", "Nozzle", "Wetted, marking", "Below the face, to cut", "Contact and rating",
           "Switches, and what must stand between", "Cable")
RELAYS = ("Relay", "Kind", "Panel", "Coil", "Contacts needed", "Has", "Its contacts switch", "Suppression")


def pages(context: Context) -> Iterator[Page]:
    """Devices by area, then relays and contactors."""
    relays = tuple(_relay(context, tag) for tag in context.plant.relays)
    yield register.page(
        context, "order-list", "What must be ordered",
        "Each device once, with the lengths, contacts and relays of its points and its cable, as far as they are recorded "
        "or worked out. Where something is not recorded it says so; nothing is filled in by custom.", COLUMNS,
        register.by_area(context, context.plant.instruments, lambda tag: _body(context, Tag(tag))))
    yield register.page(
        context, "order-list-relays", "Relays and contactors to be ordered",
        "One contact for each thing that a relay switches, and one for each other place that its points report to.", RELAYS,
        (Group("Relays and contactors", relays),) if relays else ())


def _body(context: Context, tag: Tag) -> Row:
    plant = context.plant
    body, points = plant.instruments[tag], plant.points_of[tag]
    acting = context.results.actuations
    return Row(slug(tag), (
        cell(context.paths.link(tag), f", {body.technology}, {_signal(body)}"),
        cell(register.links(context, points, "none: it indicates only")),
        cell(_nozzle(context, body)), cell(_materials(body)),
        cell(_hung(context, tag) or _each(points, lambda one: _lengths(acting.get(str(one)), body)), _reference(context, tag)),
        cell(_each(points, lambda one: (_contact(plant.switches[one].contact, body),
                                        f"; {_rating(plant.switches[one].contact)}" if plant.switches[one].contact else ""))),
        cell(_each(points, lambda one: (f"{_switches(context, one)}; between: {_between(context, one)}"
                                        if plant.switches[one].contact else "none",))),
        cell(_cable(context, tag, body)),
    ))


def _each(points: Iterable[Tag], said: Callable[[Tag], Running]) -> Running:
    """What is said of each point: once where it is the same of all, else with the point before it."""
    found = {point: said(point) for point in points}
    if len(set(found.values())) <= 1:
        return next(iter(found.values()), ("none",))
    parts: list[Part] = []
    for point, words in found.items():
        parts += ["; " if parts else "", f"{point} ", *words]
    return tuple(part for part in parts if part != "")


def _lengths(acting: Actuation | None, body: Instrument) -> Running:
    """Length below the face, and what to cut it to where that is another."""
    if acting is None or acting.below_face is None:
        return (_without(body, "sits in the wall"),)
    below = _length(acting.below_face, "")
    if acting.cable is not None:
        return (below, ", cable to the float ", _length(acting.cable, ""))
    return (below,) if acting.cut is None else (below, ", cut ", _length(acting.cut, ""))


def _hung(context: Context, tag: Tag) -> Running:
    """The length of a probe that hangs on its cable; nothing for any other body."""
    found = context.results.transmitters.get(str(tag))
    if found is None or found.hung is None:
        return ()
    return (_length(found.hung, ""), ", cable from the face to the membrane")


def _reference(context: Context, tag: Tag) -> Running:
    """The reference electrode, which carries no point and is cut all the same."""
    fitting = context.results.fittings.get(str(tag))
    if fitting is None or fitting.reference is None:
        return ()
    cut = fitting.reference_cut if fitting.reference_cut is not None else fitting.reference
    return ("; reference electrode ", _length(fitting.reference, ""), ", cut ", _length(cut, ""))


def _cable(context: Context, tag: Tag, body: Instrument) -> Running:
    wiring = body.wiring
    if wiring is None:
        return ("not given",)
    length: Part = amounts.as_written(wiring.cable_length) if wiring.cable_length is not None else "length not given"
    return (f"{wiring.cable or 'number not given'}, {_cores(context, tag)}, ", length)


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
    if body.technology == "site gauge":
        return "read on the spot"
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
        return f"{amounts.NOT_ASSESSED}: {in_words(missing)} not given"
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
