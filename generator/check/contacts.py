"""Contacts and what they switch: rules 4.1 to 4.3, 4.7, 4.8, 4.19, 4.23 and 4.24."""

from generator.check.conditions import FORCES_A_STATE, HAS_CONTACT, OF_A_TRIP, STARTS_TO_PROTECT, STOPS_TO_PROTECT
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import Element, OfInterlock, OfRelay, Point
from generator.check.words import listed
from generator.model.machine import Equipment, Load, Pump
from generator.model.scalar import Tag

PRACTICE = "common practice, no source"
CAN_BE_TRUE = When("what is stated of the contact can be true",
                   lambda point: point.contact is None or not point.contact.contradiction)


@rule("4.1", "The contact is stated", scope="point", severity="by consequence", basis=PRACTICE,
      conditions=(HAS_CONTACT, CAN_BE_TRUE))
def contact_is_stated(point: Point) -> Answer:
    """Asks for what the contact does at the point, and for its state dry and without power.

    "Normally closed" means one thing on the shelf and another in the plant; both must be written down.
    Cure: state `at_the_point` and `on_the_shelf`.
    """
    contact = point.switch.contact
    if contact is None:
        return Fail("nothing is said of the contact", "no contact stated", "state `contact`")
    if contact.on_the_shelf is None:
        return Fail("its state on the shelf is not stated", "no shelf state", "state `on_the_shelf`",
                    at=contact.place, severity="warning")
    return Pass(f"{contact.at_the_point} at the point, {contact.on_the_shelf} on the shelf")


@rule("4.2", "The contact of a trip opens to trip", scope="point", severity="by consequence",
      basis="IEC 61511-1:2016, de-energise to trip (from memory)",
      conditions=(OF_A_TRIP, HAS_CONTACT, STOPS_TO_PROTECT, CAN_BE_TRUE),
      needs=("switch.contact",))
def trip_contact_opens_to_trip(point: Point, _contact: object) -> Answer:
    """Asks for a contact that opens at the point, so that a broken wire and a lost supply trip as well.

    A contact that closes to trip needs a supervised wire and a reason in `energise_to_act` of the interlock.
    Functions that start something to protect are judged by another rule.
    Cure: use the other contact of the device, or supervise the wire and give the reason.
    """
    stated = point.switch.contact
    if stated is not None and stated.at_the_point == "opens":
        return Pass("it opens")
    plant = point.context.plant
    locks = [plant.interlocks[tag] for tag in plant.interlocks_of_cause[point.tag]]
    supervised = bool(point.instrument.wiring and point.instrument.wiring.supervised)
    if supervised and locks and all(lock.energise_to_act for lock in locks):
        return Pass("it closes; the wire is supervised and the reason is stated")
    gone = "the wire is not supervised" if not supervised else "no reason is stated"
    return Fail(f"it closes to trip, and {gone}", f"closes; {gone}", "use a contact that opens",
                at=stated.place_of("at_the_point") if stated else None)


@rule("4.3", "What starts to protect has a supervised wire", scope="point", severity="by consequence", basis=PRACTICE,
      conditions=(HAS_CONTACT, STARTS_TO_PROTECT), needs=("instrument.wiring.supervised",))
def start_to_protect_is_supervised(point: Point, supervised: bool) -> Answer:
    """Asks for a supervised wire where a point starts a pump or opens a drain to protect.

    Loss of power is not safe there whatever the contact does: the pump has none either. A broken wire must at least
    be seen. Cure: supervise the wire, or let a contact that opens start the pump.
    """
    if supervised or (point.switch.contact and point.switch.contact.at_the_point == "opens"):
        return Pass("a broken wire is seen or starts it")
    return Fail("a broken wire is not seen", "wire not supervised", "supervise the wire")


@rule("4.25", "A broken wire does not silence an alarm", scope="point", severity="warning", basis=PRACTICE,
      conditions=(When("an alarm and no interlock rests on the point", lambda point: bool(
          point.context.plant.alarms_of[point.tag]) and not point.context.plant.interlocks_of_cause[point.tag]),
          HAS_CONTACT, CAN_BE_TRUE), needs=("switch.contact",))
def broken_wire_does_not_silence_an_alarm(point: Point, _contact: object) -> Answer:
    """Asks for a contact that opens to sound, or for a line on which a break is told.

    A contact that closes to sound is open while all is well, and a line that has broken looks just like it: the alarm is
    gone, and nobody knows until the next test. Points on which an interlock rests are judged by the rules of trips.
    Cure: use the other contact of the device, or supervise the line.
    """
    stated = point.switch.contact
    if stated is not None and stated.at_the_point == "opens":
        return Pass("it opens to sound")
    wiring = point.instrument.wiring
    if wiring is None or wiring.supervised is None:
        return Missing((f"{point.switch.in_}: wiring.supervised",))
    if wiring.supervised:
        return Pass("it closes to sound; a break is told")
    return Fail("it closes to sound, and a broken wire stays hidden", "closes; the wire is not supervised",
                "use a contact that opens, or supervise the line", at=stated.place_of("at_the_point") if stated else None)


@rule("4.7", "The coil has its suppression", scope="relay", severity="warning", basis=PRACTICE,
      needs=("relay.suppressed",))
def coil_is_suppressed(_subject: OfRelay, suppressed: bool) -> Answer:
    """Asks for a diode, a varistor or another part that takes the energy of the coil.

    Without it each opening burns the contact that switches the coil. Cure: fit it and record it.
    """
    return Pass("fitted") if suppressed else Fail("none is fitted", "no suppression", "fit a suppressor")


@rule("4.23", "Starters and solenoids have their suppression", scope="element", severity="warning", basis=PRACTICE,
      conditions=(When("the coil that works it is recorded", lambda subject: _coil(subject) is not None),))
def starter_or_solenoid_is_suppressed(subject: Element) -> Answer:
    """Asks of the coil of a motor's starter, of a solenoid and of other equipment with a coil what is asked of a relay's.

    The contact that opens the coil takes its energy as an arc, and one that has burnt or welded no longer stops the pump.
    Cure: fit a diode, a varistor or another suppressor, and record it.
    """
    field, coil = _coil(subject) or ("", None)
    if coil is None or coil.suppressed is None:
        return Missing((f"{subject.tag}: {field}.suppressed",))
    return Pass("fitted") if coil.suppressed else Fail("none is fitted", "no suppression", "fit a suppressor",
                                                       at=coil.place_of("suppressed"))


def _coil(subject: Element) -> tuple[str, Load] | None:
    """The coil by which an element is worked, with the name of its field; None where none is recorded."""
    element = subject.element
    if isinstance(element, Pump):
        return ("starter.coil", element.starter.coil) if element.starter and element.starter.coil else None
    if isinstance(element, Equipment) and element.kind == "heater":
        return None
    return ("load", element.load) if element.load else None


@rule("4.8", "A lost supply of the device is seen", scope="point", severity="by consequence", basis=PRACTICE,
      conditions=(
    When("the point alarms or trips", lambda point: point.switch.role in ("alarm", "trip")),
    When("the body needs a supply to sense", lambda point: point.instrument.powered is not False)),
    needs=("instrument.powered", "instrument.wiring.supply"))
def supply_loss_is_seen(point: Point, _powered: bool, supply: str) -> Answer:
    """Asks that the loss of the supply trips, alarms, or is shown by something named.

    A powered device without power looks like a calm tank.
    Cure: let it fail to the alarmed side, or state `loss_shown_by` on the supply.
    """
    if point.contact is not None and point.contact.is_fail_safe:
        return Pass("the loss acts like the point itself")
    stored = point.context.plant.supplies.get(Tag(supply))
    shown = stored.loss_shown_by if stored else None
    if shown:
        return Pass(f"shown by {shown}")
    return Fail(f"nothing shows that {supply} is lost", f"loss of {supply} not shown", "state `loss_shown_by`",
                also=(supply,))


@rule("4.19", "The state on the shelf follows from the contact", scope="point", severity="error", basis=PRACTICE,
      conditions=(When("the device needs no power and its contact does not keep its state",
                       lambda point: bool(point.contact and point.contact.shelf)),
                  When("the state on the shelf is stated", lambda point: bool(
                      point.switch.contact and point.switch.contact.on_the_shelf))))
def shelf_state_follows_from_the_contact(point: Point) -> Answer:
    """Works out the state of a dry device from the direction in which it acts and from what its contact does there.

    Nothing but the liquid moves such a contact, and on the shelf there is none. One that opens on a rising level is
    closed on the shelf, one that opens on a falling level is open there. If the two do not agree, one of them is wrong,
    and a contact may be wired the wrong way round. Whether the trip is fail-safe is not judged until they do.
    Cure: try the device dry, and correct `acts`, `at_the_point` or `on_the_shelf`.
    """
    made, contact = point.contact, point.switch.contact
    if made is None or contact is None or not made.contradiction:
        return Pass(f"{made.shelf if made else ''} on the shelf")
    return Fail(f"it acts {point.switch.acts} and {contact.at_the_point} there, so a dry one is {made.shelf}; "
                f"{contact.on_the_shelf} is stated", f"{contact.on_the_shelf} stated, {made.shelf} when dry",
                "try the device dry, and correct `acts`, `at_the_point` or `on_the_shelf`",
                at=contact.place_of("on_the_shelf"))


def _relays(subject: OfInterlock) -> tuple[Tag, ...]:
    """Relays that the contacts of an interlock's points work, and those that these switch in turn."""
    plant = subject.context.plant
    waiting: list[Tag] = [switch.contact.drives for tag in subject.interlock.when.tags()
                          if (switch := plant.switches.get(tag)) and switch.contact and switch.contact.drives in plant.relays]
    found: dict[Tag, None] = {}
    while waiting:
        one = waiting.pop(0)
        if one not in found:
            found[one] = None
            waiting += [target for target in plant.relays[one].drives if target in plant.relays]
    return tuple(found)


@rule("4.24", "The way from the contact to each effect is recorded", scope="interlock", severity="warning", basis=PRACTICE,
      conditions=(FORCES_A_STATE,
                  When("it is hard-wired", lambda subject: subject.interlock.by in (None, "relays")),
                  When("a contact of it works a relay", lambda subject: bool(_relays(subject)))))
def way_to_each_effect_is_recorded(subject: OfInterlock) -> Answer:
    """Asks that the relays which the contacts work are recorded to switch every pump, valve and machine of the effect.

    What a relay that welds or drops out does to the rest cannot be told, nor whether a test of the contact proves it.
    Cure: complete `drives` of the relay, or record the relay that switches the rest.
    """
    plant, relays = subject.context.plant, _relays(subject)
    reach = {one for relay in relays for target in plant.relays[relay].drives for one in (target, *plant.members_of(target))}
    if not reach - set(plant.relays):
        return Missing(tuple(f"{relay}: drives" for relay in relays))
    devices = dict.fromkeys(one for target in subject.interlock.then for one in plant.members_of(target) or (target,))
    without = [str(one) for one in devices if one not in reach]
    if not without:
        return Pass(f"by {listed(list(map(str, relays)))}")
    return Fail(f"{listed(list(map(str, relays)))} is not recorded to switch {listed(without)}",
                f"no way to {listed(without)}", "complete `drives`, or record the relay that switches them",
                at=plant.relays[relays[0]].place_of("drives"), also=tuple(map(str, relays)))
