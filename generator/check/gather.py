"""Where the subjects of each scope come from."""

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from generator.check.context import Context, worst
from generator.check.points import pairs, point_of, points_of_plant
from generator.check.sentences import sentences
from generator.check.subjects import (
    Adopted,
    Body,
    Cause,
    Effect,
    Element,
    Group,
    OfAlarm,
    OfControl,
    OfHazard,
    OfHold,
    OfInterlock,
    OfLink,
    OfLiquid,
    OfPump,
    OfReference,
    OfRelay,
    OfSupply,
    OfTank,
    OfTest,
    OfWaiver,
    Subject,
    Tagged,
    TripTime,
    Whole,
)
from generator.model.interlock import StartStop
from generator.model.scalar import Tag

DRIVEN = ("pumps", "valves", "equipment")


def _whole(context: Context) -> Iterator[Whole]:
    plant = context.plant.plant
    document = plant.document
    yield Whole(str(document.number), (), document.place, "production", context, {"document": "document"}, document)


def _tanks(context: Context) -> Iterator[OfTank]:
    for tag, tank in context.plant.tanks.items():
        yield OfTank(
            tag, (tag,), tank.place, context.harm_of_tank(tag), context, {"tank": tag, "liquid": tank.liquid,
            "waves": tag}, tag, tank, context.plant.liquids.get(tank.liquid), context.results.tanks.get(tag),
            tank.waves or context.shared(tag, "waves"),
        )


def _bodies(context: Context) -> Iterator[Body]:
    waves: dict[str, Any] = {}
    for tag, body in context.plant.instruments.items():
        tank = context.plant.tanks[body.tank]
        points = tuple(point_of(context, point, waves) for point in context.plant.points_of[tag])
        harm = worst(point.harm for point in points) or "production"
        yield Body(
            tag, (tag, body.tank, *(point.tag for point in points)), body.place, harm, context,
            {"instrument": tag, "tank": body.tank, "liquid": tank.liquid}, tag, body, tank,
            context.plant.liquids.get(tank.liquid), points,
        )


def _trip_times(context: Context) -> Iterator[TripTime]:
    for lock, budgets in context.results.trips.items():
        for budget in budgets:
            yield TripTime(
                f"{lock} by {budget.point}", (lock, budget.point, budget.tank),
                context.plant.interlocks[Tag(lock)].place, context.harm_of_interlock(lock), context,
                {"budget": lock, "tank_result": budget.tank}, budget, context.results.setpoints.get(budget.point),
                context.results.tanks.get(budget.tank),
            )


def _interlocks(context: Context) -> Iterator[OfInterlock]:
    for tag, lock in context.plant.interlocks.items():
        tags = (tag, *context.plant.tanks_of_interlock[tag], *lock.when.tags())
        yield OfInterlock(tag, tuple(dict.fromkeys(tags)), lock.place, context.harm_of_interlock(tag), context,
                          {"interlock": tag}, tag, lock)


def _effects(context: Context) -> Iterator[Effect]:
    for tag, lock in context.plant.interlocks.items():
        for element, state in lock.then.items():
            yield Effect(
                f"{tag} on {element}", (tag, element), lock.place_of("then"), context.harm_of_interlock(tag), context,
                {"interlock": tag, "valve": element, "owner": element}, tag, lock, element, state,
                context.plant.valves.get(element), context.plant.find(element),
            )


def _causes(context: Context) -> Iterator[Cause]:
    for tag, point in context.plant.switches.items():
        yield Cause(tag, (tag, context.plant.tank_of(tag)), point.place, context.harm_of_point(tag), context, {}, tag,
                    None)
    for tag, signal in context.plant.signals.items():
        yield Cause(tag, (tag,), signal.place, "equipment", context, {}, tag, signal)


def _elements(context: Context) -> Iterator[Element]:
    for noun in DRIVEN:
        for tag, element in getattr(context.plant, noun).items():
            yield Element(tag, (tag,), element.place, context.harm_of_element(tag), context, {"element": tag}, tag,
                          noun, element)


def _controls(context: Context) -> Iterator[OfControl]:
    for tag, control in context.plant.controls.items():
        stop = context.results.setpoints.get(control.stops) if isinstance(control, StartStop) else None
        yield OfControl(tag, (tag, control.tank, control.moves), control.place, context.harm_of_tank(control.tank),
                        context, {"control": tag}, tag, control, context.results.cycling.get(tag), stop)


def _alarms(context: Context) -> Iterator[OfAlarm]:
    for tag, alarm in context.plant.alarms.items():
        tank = context.tank_of_alarm(tag)
        switch = context.plant.switches.get(alarm.from_)
        yield OfAlarm(
            tag, (tag, alarm.from_, *([tank] if tank else [])), alarm.place, context.harm_of_alarm(tag), context,
            {"alarm": tag, "operator_time": tag}, tag, alarm, switch, tank, context.results.alarms.get(tag),
            alarm.operator_time or context.shared(tank or "", "operator_time"),
        )


def _pumps(context: Context) -> Iterator[OfPump]:
    for tag, pump in context.plant.pumps.items():
        tank = pump.inlet.tank if pump.inlet else ""
        stops = [control.stops for name in context.plant.controls_of_element[tag]
                 if isinstance(control := context.plant.controls[name], StartStop) and control.tank == tank]
        stop = stops[0] if stops else ""
        yield OfPump(
            tag, (tag, *([tank] if tank else []), *stops), pump.place, context.harm_of_element(tag), context,
            {"pump": tag, "stop": stop}, tag, pump, context.results.pumps.get(tag), stop,
            context.results.setpoints.get(stop), context.results.tanks.get(tank),
        )


def _groups(context: Context) -> Iterator[Group]:
    for tag, group in context.plant.pump_groups.items():
        pumps = tuple(context.plant.pumps[pump] for pump in group.pumps)
        tanks = [pump.inlet.tank for pump in pumps if pump.inlet is not None]
        harm = worst(context.harm_of_tank(tank) for tank in tanks) or "equipment"
        tags = (tag, *group.pumps, *tanks)
        yield Group(tag, tuple(dict.fromkeys(tags)), group.place, harm, context, {"group": tag}, tag, group, pumps)


def _relays(context: Context) -> Iterator[OfRelay]:
    for tag, relay in context.plant.relays.items():
        yield OfRelay(tag, (tag,), relay.place, "equipment", context, {"relay": tag}, tag, relay)


def _supplies(context: Context) -> Iterator[OfSupply]:
    for tag, supply in context.plant.supplies.items():
        yield OfSupply(tag, (tag,), supply.place, "equipment", context, {"supply": tag}, tag, supply)


def _links(context: Context) -> Iterator[OfLink]:
    """Links; each as grave as the gravest harm that a function across it protects from."""
    plant = context.plant
    for tag, link in plant.links.items():
        across = context.results.crossings[str(tag)]
        harm = worst(context.harm_of_interlock(Tag(one)) for one in across.functions if one in plant.interlocks) or "production"
        yield OfLink(tag, (tag,), link.place, harm, context, {"link": tag}, tag, link, across)


def _hazards(context: Context) -> Iterator[OfHazard]:
    for tag, hazard in context.plant.hazards.items():
        yield OfHazard(tag, (tag,), hazard.place, hazard.harms, context, {"hazard": tag}, tag, hazard)


def _tests(context: Context) -> Iterator[OfTest]:
    for tag, test in context.plant.tests.items():
        covered = next(iter(test.covers))
        tank = context.plant.tank_of(covered) if covered in context.plant.switches else next(
            iter(context.plant.tanks_of_interlock[covered]), "")
        yield OfTest(tag, (tag, *test.covers), test.place, "equipment", context, {"test": tag, "interval": tag}, tag,
                     test, test.interval or context.shared(tank, "test_interval"))


def _tags(context: Context) -> Iterator[Tagged]:
    for noun, members in context.plant.nouns():
        for tag, member in members.items():
            yield Tagged(tag, (tag,), member.place, "production", context, {}, tag, noun)


def _references(context: Context) -> Iterator[OfReference]:
    for tag, reference in context.plant.references.items():
        yield OfReference(tag, (tag,), reference.place, "production", context, {"reference": tag}, tag, reference)


def _holds(context: Context) -> Iterator[OfHold]:
    for tag, hold in context.plant.holds.items():
        yield OfHold(tag, (tag, *(str(about) for about in hold.about)), hold.place, "production", context,
                     {"hold": tag}, tag, hold)


def _adopted(context: Context) -> Iterator[Adopted]:
    for name, adoption in context.plant.plant.rules_in_force.items():
        yield Adopted(name, (), adoption.place, "production", context, {"adoption": name}, name, adoption)


def _waivers(context: Context) -> Iterator[OfWaiver]:
    for number, waiver in enumerate(context.plant.waivers, 1):
        yield OfWaiver(f"waiver {number}", tuple(str(waiver.on).replace(" and ", ", ").split(", ")), waiver.place,
                       "production", context, {"waiver": f"waiver {number}"}, number, waiver)


def _liquids(context: Context) -> Iterator[OfLiquid]:
    """Liquids that stand in a tank."""
    for tag, liquid in context.plant.liquids.items():
        tanks = tuple(str(tank) for tank, owner in context.plant.tanks.items() if owner.liquid == tag)
        if tanks:
            yield OfLiquid(tag, (tag, *tanks), liquid.place, "equipment", context, {"liquid": tag}, tag, liquid)


SUBJECTS: Mapping[str, Callable[[Context], Iterator[Subject]]] = {
    "plant": _whole, "tank": _tanks, "point": points_of_plant, "pair": pairs, "body": _bodies, "trip time": _trip_times,
    "interlock": _interlocks, "effect": _effects, "cause": _causes, "element": _elements, "control": _controls,
    "alarm": _alarms, "pump": _pumps, "group": _groups, "relay": _relays, "supply": _supplies, "link": _links, "hazard": _hazards,
    "test": _tests, "tag": _tags, "prose": sentences, "reference": _references, "hold": _holds,
    "adopted rule": _adopted, "waiver": _waivers, "liquid": _liquids,
}
"""The subjects of each scope."""
