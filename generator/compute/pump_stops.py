"""Where a pump stops in ordinary running, and how far the level falls until everything stands."""

from collections.abc import Iterator, Mapping

from generator.compute import run_down
from generator.compute.book import Book
from generator.compute.causes import level_causes
from generator.compute.limits import edge_input
from generator.compute.pump_levels import draws_from_outside
from generator.compute.tanks import vessel_input
from generator.model.interlock import StartStop
from generator.model.plant import Definitions
from generator.model.record import Absence, Input, Outcome
from generator.model.results import SetpointResult, TankResult
from generator.model.scalar import Tag

RUN_DOWN_VALIDITY = "full flow counted until the last pump stands; every pump that the stop can find running"


def stops_of(plant: Definitions, tag: str) -> Iterator[Tag]:
    """Falling points on the pump's own tank that stop it in ordinary running, else those of its interlocks."""
    tank = plant.pumps[Tag(tag)].suction.tank
    controls = [plant.controls[one] for one in plant.controls_of_element[tag]]
    ordinary = [one.stops for one in controls if isinstance(one, StartStop)]
    protective = [
        cause.tag for lock in plant.interlocks_of_effect[tag]
        for cause in level_causes(plant, plant.interlocks[lock].when)
        if plant.interlocks[lock].kind != "permissive" and not cause.is_negated
    ]
    for group in (ordinary, protective):
        points = [one for one in group if one in plant.switches and plant.tank_of(one) == tank
                  and plant.switches[one].acts == "falling"]
        if points:
            yield from dict.fromkeys(points)
            return


def stopping_point(plant: Definitions, setpoints: Mapping[str, SetpointResult], tag: str) -> Tag | None:
    """The point from whose stop the levels of a pump count; None where it has none or it is not settled where it acts."""
    points = list(stops_of(plant, tag))
    lows = {point: result.act.low for point in points if (result := setpoints.get(point)) is not None and result.act}
    return min(lows, key=lambda point: (lows[point], point)) if points and len(lows) == len(points) else None


def lowest_stop(
    plant: Definitions, setpoints: Mapping[str, SetpointResult], tag: str, key: str, name: str, book: Book,
) -> tuple[Tag, Input] | Absence:
    """The point that stops a pump lowest, with the lower edge at which it does; else the absence, entered under `key`."""
    points = list(stops_of(plant, tag))
    if not points:
        return book.absence(key, name, "no level point on its tank stops it", ("controls",))
    point = stopping_point(plant, setpoints, tag)
    band = setpoints[point].act if point is not None else None
    if point is None or band is None:
        return book.absence(key, name, "it is not settled where the pump stops",
                            [f"switches/{point}/height" for point in points])
    return point, edge_input(plant, setpoints[point], band.low, "h_{stop}", f"lower edge of {point}")


def run_down_level(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult], book: Book, tag: str,
) -> Outcome:
    """Lowest level in ordinary running: the lower edge of the pump's stop, less what is drawn until it stands.

    Everything from the liquid at the stop to the last pump at rest counts, as in the need of submergence.
    """
    key, name = f"#{tag}/run-down-level", f"level at which {tag} has come to rest"
    if plant.pumps[Tag(tag)].inlet is None:
        return book.absence(key, name, draws_from_outside(tag))
    stop = lowest_stop(plant, setpoints, tag, key, name, book)
    if isinstance(stop, Absence):
        return stop
    point, edge = stop
    tank = plant.pumps[Tag(tag)].suction.tank
    vessel = tanks[tank].vessel
    if vessel is None:
        return book.absence(key, name, "the tank's shape gives no volume", (f"tanks/{tank}/shape",))
    found = run_down.of_pump(run_down.Stop(plant, tanks[tank], point), Tag(tag), stopped_together(plant, tag, point))
    if found.never_stand:
        missing = [f"pumps/{one}/stop_time" if one in plant.pumps else f"valves/{one}/closing_time"
                   for one in found.never_stand]
        return book.absence(key, name, "it is not recorded how long it takes to stand", missing)
    level = vessel.level_at(vessel.volume_at(edge.value) - found.volume)
    return book.record(
        key, name, min(level, edge.value), "length", rf"V(h) = V(h_{{stop}}) - {found.expression}",
        [edge, vessel_input(tank, vessel), *found.inputs], validity=RUN_DOWN_VALIDITY,
        reference="volume balance, common practice",
        note=f"not recorded and not counted: {', '.join(found.unrecorded)}" if found.unrecorded else "")


def stopped_together(plant: Definitions, tag: str, point: Tag) -> tuple[Tag, ...]:
    """The pumps that a control's stop can find running: as many of the group as it has starts, this pump among them.

    Nothing for the stop of an interlock, which finds running whatever it stops or the worst emptying moves.
    """
    for name in plant.controls_of_element[tag]:
        control = plant.controls[name]
        if isinstance(control, StartStop) and control.stops == point:
            others = sorted(
                (one for one in plant.members_of(control.moves) if one != tag and one in plant.pumps),
                key=lambda one: -_drawn(plant, one))
            return (Tag(tag), *others[:len(control.starts) - 1])
    return ()


def _drawn(plant: Definitions, tag: Tag) -> float:
    pump = plant.pumps[tag]
    return pump.flow.si * pump.stop_time.si if pump.stop_time else float("inf")
