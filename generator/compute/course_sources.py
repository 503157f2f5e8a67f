"""What the courses of tanks rest on besides their shapes: heights, delays, strokes and flows, for the graph of dependencies.

A course has no formula whose inputs could be listed; its record shows where it begins and ends. Everything that its logic
reads is named here instead, so that a change of any of it is known to reach the course.
"""

from collections.abc import Iterable, Iterator, Mapping

from generator.compute.causes import level_causes
from generator.compute.course_machines import relevant
from generator.compute.logic_times import answer, signal
from generator.model.course import Course
from generator.model.dependencies import node
from generator.model.interlock import StartStop
from generator.model.plant import Definitions
from generator.model.quantity import Quantity
from generator.model.results import SetpointResult
from generator.model.scalar import Tag

TIMES = ("opening_time", "closing_time", "start_time", "stop_time", "flow")


def sources(
    plant: Definitions, setpoints: Mapping[str, SetpointResult], courses: Mapping[str, tuple[Course, ...]],
) -> dict[str, tuple[str, ...]]:
    """For each place or result that the courses of a tank read, the keys of their records."""
    made: dict[str, dict[str, None]] = {}
    of_tank: dict[str, dict[str, None]] = {}
    for tank, many in courses.items():
        for course in many:
            for moving in (tank, *(beside.tank for beside in course.beside)):
                if moving not in of_tank:
                    of_tank[moving] = dict.fromkeys(_of_tank(plant, setpoints, moving))
                for source in of_tank[moving]:
                    made.setdefault(source, {})[course.outcome.key] = None
    for name, scenario in plant.scenarios.items():
        key = f"#{scenario.tank}/courses/{name}"
        for place in (scenario.lasts.place, *(event.at.place for event in scenario.events), scenario.starts_at.place,
                      *(level.place for level in scenario.beside.values()),
                      *(flow.place for event in scenario.events for flow in event.streams.values())):
            made.setdefault(node(place), {})[key] = None
    return {source: tuple(keys) for source, keys in made.items()}


def _of_tank(plant: Definitions, setpoints: Mapping[str, SetpointResult], tank: str) -> Iterator[str]:
    yield from (f"#{tank}/{word}" for word in ("capacity", "ceiling", "overflow-capacity"))
    yield from _places(plant.tanks[Tag(tank)].levels, *type(plant.tanks[Tag(tank)].levels).model_fields)
    yield from (node(mark.height.place) for mark in plant.tanks[Tag(tank)].marks.values())
    machines = relevant(plant, (tank,))
    driving = [lock for tag in machines for lock in plant.interlocks_of_effect[tag]]
    locks = dict.fromkeys((*plant.interlocks_of_tank[tank], *driving))
    points = dict.fromkeys((*plant.switches_of[tank], *(
        cause.tag for lock in locks for cause in level_causes(plant, plant.interlocks[lock].when))))
    for point in points:
        switch = plant.switches[point]
        yield from _places(switch, "on_delay")
        yield from _places(plant.instruments[switch.in_], "response_time")
        yield f"#{point}/differential"
        issued = switch.height.issued
        yield setpoints[point].proposed.key if issued is None else node(issued.place)
        for alarm in plant.alarms_of[point]:
            yield from _places(plant.alarms[alarm], "on_delay", "off_delay")
    for lock in locks:
        yield from _places(plant.interlocks[lock], "on_delay", "off_delay")
        yield from _answers(plant, lock, plant.tanks_of_interlock[lock], plant.interlocks[lock].when.tags())
        yield from (node(held.place) for cause in level_causes(plant, plant.interlocks[lock].when) for held in cause.held)
    for name in plant.controls_of_tank[tank]:
        control = plant.controls[name]
        if isinstance(control, StartStop):
            yield from _answers(plant, name, (tank,), (*control.starts, control.stops))
    for machine in machines:
        owner = plant.find(machine)
        if owner is not None:
            yield from _places(owner, *TIMES)
            yield f"#{machine}/restart"
            yield from _places(getattr(owner, "restart", None), "after")
            yield from _places(getattr(owner, "motor", None), "least_off_time")
    for supply in plant.supplies.values():
        yield from _places(supply, "lasts")
    for stream in (*plant.inflows_of[tank], *plant.outflows_of[tank]):
        yield from _places(plant.streams[stream].flow, "lowest", "normal", "highest")
        yield from _places(plant.streams[stream], "drains_after_stop")


def _answers(plant: Definitions, function: Tag, tanks: Iterable[str], causes: Iterable[str]) -> Iterator[str]:
    """Times of the links, the logic and the relay between the points of an interlock or a control and its orders."""
    steps = (*(step for cause in causes for step in signal(plant, function, Tag(cause))),
             *(step for tank in tanks for step in answer(plant, tank, function)))
    yield from (node(step.time.place) for step in steps if step.time is not None)


def _places(block: object, *fields: str) -> Iterator[str]:
    """Where the quantities of some fields were written, of those that are given."""
    for field in fields:
        value = getattr(block, field, None)
        if isinstance(value, Quantity):
            yield node(value.place)
