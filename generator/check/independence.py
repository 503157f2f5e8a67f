"""Layers that must not fail together: rules 3.1 to 3.19."""

from collections.abc import Callable

from generator.check.conditions import FORCES_A_STATE, IS_TRIP, RESTS_ON_LEVEL, names
from generator.check.logic import can_sense_without, parts_of
from generator.check.proved import proved
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import OfAlarm, OfHazard, OfInterlock
from generator.check.words import listed
from generator.model.condition import AllOf, AnyOf, Vote
from generator.model.instrument import Instrument
from generator.model.scalar import Tag

SIS = "IEC 61511-1:2016, independence of protection from control (from memory); PSLG"
PRACTICE = "common practice, no source"
MEASUREMENTS = ("temperature", "pressure", "flow")
"""Kinds of signal that measure the process; a button, a key or a position tells nothing of it."""


def _control_bodies(subject: OfInterlock) -> set[str]:
    tanks = subject.context.plant.tanks_of_interlock[subject.tag]
    return {body for tank in tanks for body in subject.context.control_bodies.get(tank, ())}


def _points_on(subject: OfInterlock, bodies: set[str]) -> set[str]:
    plant = subject.context.plant
    return {tag for tag in subject.interlock.when.tags() if tag in plant.switches and plant.switches[tag].in_ in bodies}


def _no_measurements(subject: OfInterlock) -> set[str]:
    signals = subject.context.plant.signals
    return {tag for tag in subject.interlock.when.tags() if tag in signals and signals[tag].kind not in MEASUREMENTS}


BESIDE_CONTROL = When("ordinary running rests on a level of the same tank",
                      lambda subject: bool(_control_bodies(subject)))


@rule("3.1", "The trip does not sense through the body of the control", scope="interlock", severity="by consequence",
      basis=SIS, conditions=(IS_TRIP, RESTS_ON_LEVEL, BESIDE_CONTROL))
def trip_sensor_is_not_the_control_sensor(subject: OfInterlock) -> Answer:
    """Asks whether the cause can still come true when every body of the ordinary running is dead.

    A float that sticks runs the pump wrongly and keeps the trip quiet in one failure. A button beside it that a person may
    push, or a signal that measures nothing of the process, does not make up for that.
    Cure: a body of its own for the trip, in a nozzle of its own.
    """
    shared = _points_on(subject, _control_bodies(subject))
    if can_sense_without(subject.interlock.when, shared, _no_measurements(subject)):
        return Pass("it can act without the bodies of the control")
    bodies = listed(subject.context.plant.switches[Tag(tag)].in_ for tag in sorted(shared))
    return Fail(f"with {bodies} dead it cannot act, and ordinary running rests on {bodies}", f"shares {bodies}",
                "give the trip a body of its own", also=tuple(sorted(shared)))


def _stops_what_it_runs(subject: OfInterlock) -> bool:
    """Whether it only stops pumps that draw from its own tank on a falling level: the contactor of the pump itself."""
    plant = subject.context.plant
    tanks = plant.tanks_of_interlock[subject.tag]
    falling = all(plant.switches[tag].acts == "falling" for tag in subject.interlock.when.tags()
                  if tag in plant.switches)
    elements = [one for target in subject.interlock.then for one in (plant.members_of(target) or (target,))]
    return falling and all(one in plant.pumps and plant.pumps[one].suction.tank in tanks for one in elements)


@rule("3.2", "The trip does not act through the valve or pump of the control alone", scope="interlock",
      severity="by consequence", basis=SIS, conditions=(
          IS_TRIP, RESTS_ON_LEVEL, BESIDE_CONTROL,
          When("it is no stop of a pump that draws from the tank as it runs dry",
               lambda subject: not _stops_what_it_runs(subject))))
def trip_final_element_is_not_the_control_element(subject: OfInterlock) -> Answer:
    """Asks for a final element that ordinary running does not move.

    The level is high because that valve did not shut; a second order to the same valve changes nothing. A stop of the
    pump that runs dry is excluded: there the failure is a lost order, not a stuck pump; a welded contactor remains.
    Cure: a valve or pump of its own for the trip.
    """
    context = subject.context
    tanks = context.plant.tanks_of_interlock[subject.tag]
    running = {one for tank in tanks for one in context.control_elements.get(tank, ())}
    own = [element for element in subject.interlock.then if element not in running]
    if own:
        return Pass(f"{listed(own)} is not moved by ordinary running")
    shared, verb = listed(subject.interlock.then), "is" if len(subject.interlock.then) == 1 else "are"
    return Fail(f"{shared} {verb} also moved by ordinary running", f"only {shared}", "add a final element of its own",
                at=subject.interlock.place_of("then"), also=tuple(subject.interlock.then))


@rule("3.3", "A credited alarm has a body of its own", scope="alarm", severity="by consequence", basis=SIS, conditions=(
    When("the alarm is credited as protection", lambda alarm: alarm.alarm.safety),
    When("the alarm tells of a level", lambda alarm: alarm.switch is not None)))
def credited_alarm_has_its_own_body(alarm: OfAlarm) -> Answer:
    """Asks that neither a trip nor ordinary running of the tank rests on the body that raises the alarm.

    Two layers that one stuck float takes away are one layer. Cure: another body for the alarm, or no credit for it.
    """
    plant = alarm.context.plant
    body = alarm.switch.in_ if alarm.switch else ""
    others = [point for point in plant.points_of[body] if point != alarm.alarm.from_
              and (plant.switches[point].role == "trip" or plant.controls_of_point[point])]
    others += [lock for lock in plant.interlocks_of_cause[alarm.alarm.from_] if plant.interlocks[lock].kind == "trip"]
    shares_control = body in alarm.context.control_bodies.get(alarm.tank_tag or "", frozenset())
    if not others and not shares_control:
        return Pass(f"{body} serves this alarm alone")
    said = listed([*others, *(["ordinary running"] if shares_control else [])])
    return Fail(f"{body} also serves {said}", f"{body} serves {said}", "give the alarm a body of its own",
                also=(body, *others))


def _shared(subject: OfInterlock, of: Callable[[Instrument], object]) -> list[str]:
    """Bodies of the cause that share something with another body of the control, as words."""
    plant = subject.context.plant
    control = _control_bodies(subject)
    said: list[str] = []
    for body in subject.context.bodies_of(subject.interlock):
        mine = of(plant.instruments[Tag(body)])
        for other in sorted(control - {body}):
            if mine is not None and mine == of(plant.instruments[Tag(other)]):
                said.append(f"{body} and {other} share {mine}")
    return said


def _verdict(said: list[str], cure: str, fine: str) -> Answer:
    return Fail("; ".join(said), "; ".join(said), cure) if said else Pass(fine)


@rule("3.4", "Trip and control do not share a nozzle or a stilling well", scope="interlock", severity="warning",
      basis=PRACTICE, conditions=(IS_TRIP, RESTS_ON_LEVEL, BESIDE_CONTROL))
def layers_do_not_share_a_nozzle(subject: OfInterlock) -> Answer:
    """Compares nozzle and stilling well of the bodies of the trip with those of ordinary running.

    What plugs the nozzle, or bends the guide rod, takes both. Cure: a nozzle and a guide of its own for the trip.
    """
    said = _shared(subject, lambda body: f"nozzle {body.nozzle} of {body.tank}" if body.nozzle else None)
    said += _shared(subject, lambda body: body.stilling_well)
    return _verdict(said, "separate nozzle and guide", "nozzles and guides are separate")


@rule("3.5", "Trip and control do not share a card or a cable", scope="interlock", severity="warning",
      basis="common cause failures, IEC 61511-1:2016 (from memory)",
      conditions=(IS_TRIP, RESTS_ON_LEVEL, BESIDE_CONTROL))
def layers_do_not_share_a_card(subject: OfInterlock) -> Answer:
    """Compares input card and cable of the bodies of the trip with those of ordinary running.

    One dead card, or one dug-up cable, takes both. Cure: separate cards and cables.
    """
    said = _shared(subject, lambda body: f"card {body.wiring.card}" if body.wiring and body.wiring.card else None)
    said += _shared(subject, lambda body: f"cable {body.wiring.cable}" if body.wiring and body.wiring.cable else None)
    return _verdict(said, "separate cards and cables", "cards and cables are separate")


@rule("3.6", "A trip that needs power does not share it with the control", scope="interlock", severity="warning",
      basis="common cause failures, IEC 61511-1:2016 (from memory)",
      conditions=(IS_TRIP, RESTS_ON_LEVEL, BESIDE_CONTROL))
def layers_do_not_share_a_supply(subject: OfInterlock) -> Answer:
    """Compares the supply of the bodies of the trip, and what feeds it, with that of ordinary running.

    The relay behind a contact counts with it, and what drives the pump or valve of the control with the control. A loop
    that trips on loss is free, and a battery or other store on the way parts two feeds.

    A lost supply that stops the control and silences the trip is one failure for two layers.
    Cure: another supply, or a loop that trips when it is lost.
    """
    plant, contacts = subject.context.plant, subject.context.results.contacts
    points = [tag for tag in subject.interlock.when.tags() if tag in plant.switches]
    # Where what is stated of a contact cannot be true, the rule on the shelf state says so and this one keeps quiet.
    safe = {plant.switches[tag].in_ for tag in points
            if (one := contacts.get(tag)) is not None and (one.is_fail_safe or one.contradiction)}
    said = []
    for body in subject.context.bodies_of(subject.interlock):
        for other in sorted(_control_bodies(subject) - {body}):
            mine, theirs = (plant.feeds_of(wiring.supply) if (wiring := plant.instruments[Tag(one)].wiring) else ()
                            for one in (body, other))
            common = next((supply for supply in mine if supply in theirs), None)
            if common is not None and body not in safe:
                by = listed(one for one in (mine[0], theirs[0]) if one != common)
                said.append(f"{body} and {other} share supply {common}" + (f" by {by}" if by else ""))
    said += _relays_and_drives(subject, points, safe)
    return _verdict(said, "separate the supplies", "a lost supply trips, or the supplies are separate")


def _relays_and_drives(subject: OfInterlock, points: list[Tag], safe: set[Tag]) -> list[str]:
    """Supplies by which a relay that must pull in, or a body, goes silent together with the control's own pump or valve."""
    plant = subject.context.plant
    mine: dict[str, tuple[Tag, ...]] = {}
    for tag in points:
        contact, wiring = plant.switches[tag].contact, plant.instruments[plant.switches[tag].in_].wiring
        if contact is not None and contact.drives in plant.relays and contact.at_the_point == "closes":
            mine[str(contact.drives)] = plant.feeds_of(plant.relays[Tag(str(contact.drives))].supply)
        if wiring is not None and plant.switches[tag].in_ not in safe:
            mine[str(plant.switches[tag].in_)] = plant.feeds_of(wiring.supply)
    tanks = plant.tanks_of_interlock[subject.tag]
    driven = {one: plant.feeds_of(getattr(plant.find(one), "supply", None)) for tank in tanks
              for one in sorted(subject.context.control_elements.get(tank, ())) if one in plant.pumps or one in plant.valves}
    said = []
    for own, feeds in mine.items():
        shared = {supply: [one for one, others in driven.items() if supply in others] for supply in feeds}
        supply = next((one for one, elements in shared.items() if elements), None)
        if supply is not None:
            said.append(f"{listed([own, *shared[supply]])} share supply {supply}")
    return said


@rule("3.7", "The members of a vote are separate bodies", scope="interlock", severity="by consequence",
      basis="common practice, no source; it follows from what a vote counts", conditions=(
          FORCES_A_STATE, When("the cause has a vote",
                               lambda subject: bool(list(parts_of(subject.interlock.when, Vote))))))
def vote_members_are_separate_bodies(subject: OfInterlock) -> Answer:
    """Asks that no two members of a vote are points of one body.

    Two contacts of one float agree in every failure, and the vote counts one opinion twice. Cure: one body for each.
    """
    plant = subject.context.plant
    twice: list[str] = []
    for vote in parts_of(subject.interlock.when, Vote):
        seen: dict[str, str] = {}
        for tag in vote.tags():
            body = str(plant.switches[tag].in_) if tag in plant.switches else tag
            if body in seen and seen[body] != tag:
                twice.append(f"{seen[body]} and {tag} are both on {body}")
            seen[body] = tag
    if not twice:
        return Pass("each member is a body of its own")
    return Fail(f"{'; '.join(twice)}: when that body sticks or breaks, both say the same wrong thing, and the vote counts "
                "one opinion twice", "; ".join(twice), "one body for each member")


@rule("3.8", "Redundant members differ in the way they sense", scope="interlock", severity="note",
      basis="diversity against common cause, IEC 61511-1:2016 (from memory)", conditions=(
          FORCES_A_STATE, When("several bodies stand in for each other", lambda subject: (
              len(subject.context.bodies_of(subject.interlock)) > 1
              and not list(parts_of(subject.interlock.when, AllOf))
              and bool([*parts_of(subject.interlock.when, AnyOf), *parts_of(subject.interlock.when, Vote)])))))
def redundant_members_differ(subject: OfInterlock) -> Answer:
    """Compares the technologies of the bodies that stand in for each other.

    What coats one rod coats them all. The same kind may still be right. Cure: two technologies, or a
    `note` that names the technology and says why.
    """
    plant = subject.context.plant
    kinds = {str(plant.instruments[Tag(body)].technology) for body in subject.context.bodies_of(subject.interlock)}
    if len(kinds) > 1 or names(subject.interlock.note, kinds):
        return Pass(listed(sorted(kinds)))
    return Fail(f"all are: {listed(kinds)}", f"all {listed(kinds)}", "use a second technology, or say why in `note`")


@rule("3.9", "The trip acts without the bodies that are known to be defective", scope="interlock",
      severity="by consequence", basis="common practice, no source; a known defect counts as a failure",
      conditions=(FORCES_A_STATE, RESTS_ON_LEVEL))
def trip_acts_without_defective_bodies(subject: OfInterlock) -> Answer:
    """Takes every body with a `known_defect` as dead and asks whether the cause can still come true.

    A defect that stands for months is part of the plant. Cure: repair it, or protect by other means and waive this.
    """
    plant = subject.context.plant
    bodies = {body for body in subject.context.bodies_of(subject.interlock)
              if plant.instruments[Tag(body)].known_defect}
    dead = _points_on(subject, bodies)
    if not dead or can_sense_without(subject.interlock.when, dead, _no_measurements(subject)):
        return Pass("no known defect takes it away")
    return Fail(f"{listed(sorted(bodies))} has a known defect, and without it the cause cannot come true",
                f"defect of {listed(sorted(bodies))}", "repair it", also=tuple(sorted(bodies)))


@rule("3.10", "No single failure raises the demand and takes every layer against it", scope="hazard",
      severity="by consequence", basis="common practice, no source; IEC 61511-1:2016, common cause (from memory)")
def no_single_failure_takes_all(subject: OfHazard) -> Answer:
    """Takes each body, supply, panel, relay and place of logic as failed, one at a time, and looks at each hazard.

    It fails where the level is driven to the hazard and no trip and no alarm can act. A trip that shares its body with
    ordinary running, pumps and valves have rules of their own. Cure: another body or supply for one of the layers.
    """
    return proved(subject.context, "no single failure takes all", subject.tag, "separate one of the layers")
