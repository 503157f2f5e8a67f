"""Members of a vote, points that stand in for each other, and trips of one hazard: rules 3.11 and 3.12."""

from collections import defaultdict
from collections.abc import Iterator

from generator.check.conditions import FORCES_A_STATE
from generator.check.logic import can_act_without, parts_of
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import OfHazard, OfInterlock
from generator.check.words import listed
from generator.model.condition import Acted, AnyOf, Condition, Vote
from generator.model.plant import Definitions
from generator.model.scalar import Tag


def _sets(subject: OfInterlock) -> Iterator[tuple[list[Tag], int]]:
    """Points that count opinions on one level, each set with how many of them must agree."""
    plant = subject.context.plant
    for form in (Vote, AnyOf):
        for part in parts_of(subject.interlock.when, form):
            members = _members(plant, part)
            seen = {(plant.tank_of(tag), plant.switches[tag].acts) for tag in members}
            if len(members) > 1 and len(members) == len(part.parts()) and len(seen) == 1:
                yield members, part.needed if isinstance(part, Vote) else 1


def _members(plant: Definitions, part: Condition) -> list[Tag]:
    return [one.tag for one in part.parts() if isinstance(one, Acted) and one.tag in plant.switches]


@rule(
    "3.11",
    "No one thing takes more members of a vote than it can spare",
    scope="interlock",
    severity="warning",
    basis="MooN tolerates N - M dangerous failures, IEC 61508-6 (from memory)",
    conditions=(FORCES_A_STATE, When("several points of one level count together", lambda subject: bool(list(_sets(subject))))),
)
def vote_spares_what_its_members_share(subject: OfInterlock) -> Answer:
    """Counts the members that hang in one nozzle or stilling well, or end on one card, cable or supply, and asks whether
    those that are left can still make the vote.

    Two of three in one nozzle are one opinion when the nozzle plugs. A supply counts only where its loss does not trip
    the contact. Two contacts of one body are for rule 3.7 to name. Cure: nozzles, cards and cables of their own.
    """
    plant = subject.context.plant
    for members, needed in _sets(subject):
        shared: defaultdict[str, list[Tag]] = defaultdict(list)
        for tag in members:
            for thing in _things(subject, tag):
                shared[thing].append(tag)
        for thing, on in shared.items():
            bodies = {plant.switches[tag].in_ for tag in on}
            if len(bodies) > 1 and len(members) - len(on) < needed:
                left = [str(tag) for tag in members if tag not in on]
                said = f"{listed(left)} alone cannot make {needed} of {len(members)}" if left else "none is left"
                return Fail(
                    f"{listed(map(str, on))} share {thing}: what takes it takes both at once, and {said}"
                    if len(on) == 2
                    else f"{listed(map(str, on))} share {thing}: what takes it takes them all, and {said}",
                    f"{listed(map(str, on))} share {thing}",
                    "separate them",
                    also=tuple(map(str, on)),
                )
    return Pass("enough members are left when anything they share is lost")


def _things(subject: OfInterlock, tag: Tag) -> Iterator[str]:
    """What a point hangs in and ends on, in words."""
    plant = subject.context.plant
    body = plant.instruments[plant.switches[tag].in_]
    if body.nozzle is not None:
        yield f"nozzle {body.nozzle} of {body.tank}"
    if body.stilling_well is not None:
        yield f"stilling well {body.stilling_well} of {body.tank}"
    if body.wiring is None:
        return
    if body.wiring.card is not None:
        yield f"card {body.wiring.card}"
    if body.wiring.cable is not None:
        yield f"cable {body.wiring.cable}"
    contact = subject.context.results.contacts.get(tag)
    if contact is not None and not (contact.is_fail_safe or contact.contradiction):
        yield from (f"supply {supply}" for supply in plant.feeds_of(body.wiring.supply))


def _trips(subject: OfHazard) -> list[str]:
    """Trips against a hazard that rest on a level."""
    plant = subject.context.plant
    return [tag for tag in subject.context.interlocks_of_hazard.get(subject.tag, ())
            if plant.interlocks[Tag(tag)].kind == "trip" and plant.tanks_of_interlock.get(tag)]


@rule("3.12", "Two trips against one hazard sense through bodies of their own", scope="hazard", severity="by consequence",
      basis="IEC 61511-1:2016, independence of protection layers (from memory)", conditions=(
          When("two trips that rest on a level stand against it", lambda subject: len(_trips(subject)) > 1),))
def trips_of_one_hazard_stand_apart(subject: OfHazard) -> Answer:
    """Compares the bodies behind the trips that name this hazard: each must be able to act with every body of the other dead.

    Two trips on one float are one layer, however many valves they shut. Cure: a body of its own, or one trip with both effects.
    """
    context, plant, trips = subject.context, subject.context.plant, _trips(subject)
    for place, one in enumerate(trips):
        for other in trips[place + 1:]:
            bodies = {tag: set(context.bodies_of(plant.interlocks[Tag(tag)])) for tag in (one, other)}
            shared = sorted(bodies[one] & bodies[other])
            if shared and not all(can_act_without(plant.interlocks[Tag(tag)].when, {
                    str(point) for body in shared for point in plant.points_of[body]}) for tag in (one, other)):
                return Fail(f"{one} and {other} both rest on {listed(shared)}: when that sticks, neither acts",
                            f"{one} and {other} share {listed(shared)}", "give one of them a body of its own",
                            also=(one, other, *shared))
    return Pass(f"{listed(trips)} stand apart")
