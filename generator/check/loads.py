"""What contacts and relays switch: rules 4.4 to 4.6, 4.9, 4.10, 4.18, 4.35 and 4.36."""

from generator.check.conditions import HAS_CONTACT
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import Body, OfRelay, Point
from generator.check.words import listed
from generator.model.load import Line, Switching
from generator.model.quantity import written
from generator.model.record import Record

PRACTICE = "common practice, no source"
CATEGORIES = "IEC 60947-5-1 (categories AC-12 to AC-15, DC-12, DC-13); IEC 60947-4-1 (AC-3)"

LINES = "Ohm's law; IEC 60228 for the cores (found, in public tables); the warmth of a cable is common practice, no source"


def _switching(point: Point) -> Switching | None:
    """What the contact of a point switches, motors and what does not apply left out."""
    found = point.context.results.loads.switching.get(point.tag, ())
    return next((one for one in found if one.verdict != "does not apply"), None)


def _is_motor(point: Point) -> bool:
    made = _switching(point)
    return made is not None and made.is_motor


DRIVES_A_LOAD = When("it drives a relay, a solenoid, an input or another load",
                     lambda point: _switching(point) is not None and not _is_motor(point))


@rule("4.4", "The contact carries its load", scope="point", severity="by consequence", basis=CATEGORIES,
      conditions=(HAS_CONTACT, DRIVES_A_LOAD))
def contact_carries_its_load(point: Point) -> Answer:
    """Compares voltage, current and inrush of what it switches, the coil of a motor's starter included,
    with what the contact is rated for in its category.

    A contact that breaks more than it is rated for welds, and then it neither opens nor trips.
    Cure: a smaller relay, a suppressed coil, or a better contact.
    """
    made = _switching(point)
    assert made is not None
    return _answer(made, "use a smaller relay or a better contact")


def _answer(made: Switching, cure: str) -> Answer:
    if made.verdict == "fail":
        return Fail(made.why, made.evidence, cure, also=(made.drives,))
    if made.missing:
        return Missing(made.missing)
    return Pass(made.why)


@rule("4.5", "The contact switches enough current to stay clean", scope="point", severity="warning", basis=PRACTICE,
      conditions=(HAS_CONTACT, DRIVES_A_LOAD, When(
          "the contact states a least current",
          lambda point: point.switch.contact is not None and point.switch.contact.smallest_current is not None)),
      needs=("switch.contact.smallest_current",))
def contact_stays_clean(point: Point, smallest: float) -> Answer:
    """Compares the current of the load with the least that keeps the contact clean.

    A silver contact made for amperes grows a film under milliamperes and then does not close.
    Cure: a gold contact, or a larger relay.
    """
    made = _switching(point)
    assert made is not None
    if not isinstance(made.clean, Record):
        return Missing(made.clean.missing if made.clean is not None else ())
    load = written(made.clean.value + smallest, "mA")
    if made.clean.value >= -1e-12:
        return Pass(f"{load:g} mA")
    return Fail(f"{load:g} mA of at least {smallest * 1000:g} mA", f"{load:g} mA of {smallest * 1000:g} mA",
                "use a contact for small currents")


@rule("4.6", "A relay stands between contact and motor", scope="point", severity="warning", basis=CATEGORIES,
      conditions=(HAS_CONTACT, When("the contact names what it drives", lambda point: (
          point.switch.contact is not None and point.switch.contact.drives is not None))))
def relay_stands_between_contact_and_motor(point: Point) -> Answer:
    """Asks that a level contact drives a relay, not the motor itself, unless it is rated for motors.

    The inrush of a motor is six times its current; a small contact welds at the first start.
    Cure: an interposing relay and a contactor.
    """
    contact = point.switch.contact
    if contact is None or not _is_motor(point):
        return Pass(f"it drives {contact.drives if contact else None}")
    made = point.context.results.loads.switching[point.tag][0]
    if made.verdict == "pass":
        return Pass(made.why)
    return Fail(f"it drives the motor of {made.drives} directly: {made.why}", f"drives {made.drives}",
                "put a relay and a contactor between", at=contact.place_of("drives"), also=(made.drives,))


@rule("4.9", "A two-wire sensor's line is watched", scope="point", severity="warning",
      basis="IEC 60947-5-6 (from memory)", conditions=(
          When("the body is a two-wire sensor", lambda point: point.instrument.signal == "two-wire sensor"),),
      needs=("instrument.wiring.supervised",))
def two_wire_line_is_watched(point: Point, supervised: bool) -> Answer:
    """Asks whether anything looks at the currents by which a two-wire sensor shows a broken or shorted line.

    The sensor shows both by itself, but only an amplifier that tells them makes the line a watched one. Where the
    definitions say no, the line counts as not watched. Cure: an amplifier with line monitoring, or correct the entry.
    """
    if supervised:
        return Pass("breaks and shorts are told")
    wiring = point.instrument.wiring
    return Fail("the definitions say that nothing tells of a break or a short", "line not watched",
                "use an amplifier that tells of line faults, or correct `supervised`",
                at=wiring.place_of("supervised") if wiring else None)


@rule("4.10", "A relay's contacts carry their loads", scope="relay", severity="warning", basis=CATEGORIES,
      conditions=(When("it switches a coil, a solenoid or another load", lambda subject: any(
          _is_judged(one) for one in subject.context.results.loads.switching.get(subject.tag, ()))),))
def relay_carries_its_loads(subject: OfRelay) -> Answer:
    """Compares what a relay switches with the category, voltage and current of its own contacts, and counts them.

    A relay multiplies one level contact: each thing that it serves wants a contact of its own.
    A relay that acts on a pump's starter switches the coil of that starter; a motor itself is judged with the pump.
    Cure: another relay for what is too large or too many.
    """
    made = [one for one in subject.context.results.loads.switching[subject.tag] if _is_judged(one)]
    bad = [one for one in made if one.verdict == "fail"]
    if bad:
        return Fail("; ".join(f"{one.drives}: {one.why}" for one in bad), "; ".join(one.evidence for one in bad),
                    "use a better relay", also=tuple(one.drives for one in bad))
    count = subject.context.results.loads.multiplied[subject.tag]
    if count.enough is False:
        return Fail(f"{len(count.uses)} contacts are needed, it has {count.contacts}",
                    f"{len(count.uses)} of {count.contacts} contacts", "add a relay that multiplies the contact")
    gone = tuple(dict.fromkeys(field for one in made for field in one.missing))
    if gone:
        return Missing(gone)
    return Pass("; ".join(f"{one.drives}: {one.why}" for one in made))


def _is_judged(made: Switching) -> bool:
    return made.verdict != "does not apply" and not made.is_motor


@rule("4.18", "One contact serves one place", scope="point", severity="warning", basis=PRACTICE, conditions=(
    HAS_CONTACT, When("it is said what carries its functions", lambda point: bool(
        point.context.plant.interlocks_of_cause[point.tag] or point.context.plant.controls_of_point[point.tag]))))
def contact_serves_one_place(point: Point) -> Answer:
    """Asks for a relay that multiplies the contact where two places need it, as hard-wired relays and a controller.

    Two circuits on one contact feed each other. Cure: an interposing relay with a contact for each place.
    """
    places = point.context.results.loads.several.get(point.tag)
    if not places:
        return Pass("one place, or a relay multiplies it")
    return Fail(f"{listed(places)} need it, and no relay multiplies it", f"{listed(places)} on one contact",
                "put a relay with a contact for each between")


def _line(line: Line, cure: str) -> Answer:
    if line.verdict == "fail":
        return Fail(f"{line.load}: {line.why}", line.evidence, cure)
    return Missing(line.missing) if line.missing else Pass(line.why)


@rule("4.35", "Enough voltage is left at the end of the contact's cable", scope="point", severity="by consequence", basis=LINES,
      conditions=(When("the cores of its cable, or its length and the voltage of its loop, are recorded",
                       lambda point: point.tag in point.context.results.lines),))
def cable_leaves_voltage_for_the_load(point: Point) -> Answer:
    """Takes the resistance of both cores, warm, and the largest current of what the contact switches, and compares the voltage
    that is left with the least with which that works.

    A coil at the end of a thin cable pulls in on a good day and hums on a bad one. Cure: thicker cores, a relay with a smaller
    coil in the panel, or a higher control voltage.
    """
    return _line(point.context.results.lines[point.tag], "use thicker cores, or a relay with a smaller coil")


@rule("4.36", "Enough voltage is left for the transmitter", scope="body", severity="by consequence", basis=LINES,
      conditions=(When("it sends 4 to 20 mA, and the cores of its cable, or its length and the voltage of its loop, are recorded",
                       lambda body: body.tag in body.context.results.lines),))
def loop_leaves_voltage_for_the_transmitter(body: Body) -> Answer:
    """Takes the resistance of both cores, warm, with that of barrier and input, at the largest current of the loop, and compares
    the voltage that is left with the least that the transmitter asks for.

    A loop that runs short of voltage follows the level up to some height and stays there, perhaps below the trip. Cure: thicker
    cores, an isolator that feeds more, or an input of less resistance.
    """
    return _line(body.context.results.lines[body.tag], "use thicker cores, or an isolator that feeds more")
