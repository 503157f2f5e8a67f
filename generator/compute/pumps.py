"""Pumps: the lowest level at which each still draws liquid without air, and the time to it when a stop fails."""

from collections.abc import Iterator, Mapping

from generator.compute import limits
from generator.compute.book import Book
from generator.compute.causes import level_causes
from generator.compute.pump_levels import levels_of
from generator.compute.travel import time_between, worst_rate
from generator.model.interlock import StartStop
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.record import Outcome, Record
from generator.model.results import PumpResult, SetpointResult, TankResult
from generator.model.scalar import Tag


def results(
    plant: Definitions, _knowledge: Knowledge, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    book: Book,
) -> Mapping[str, PumpResult]:
    """Submergence, lowest level and time to air of every pump."""
    return {str(tag): _pump(plant, tanks, setpoints, book, str(tag)) for tag in plant.pumps}


def _pump(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult], book: Book, tag: str,
) -> PumpResult:
    submergence, lowest = levels_of(plant, tag, book)
    return PumpResult(tag, submergence, lowest, _air_time(plant, tanks, setpoints, book, tag),
                      book.outcomes.get(f"#{tag}/suction-head-level"))


# ---- when the stop fails ---------------------------------------------------------------------------------------------


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


def _air_time(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult], book: Book, tag: str,
) -> Outcome:
    key, name = f"#{tag}/air-time", f"time from a failed stop of {tag} to air at its inlet"
    pump = plant.pumps[Tag(tag)]
    tank = tanks[pump.suction.tank]
    lowest, rate = book.outcomes[f"#{tag}/lowest-level"], worst_rate(tank, "falling")
    lacking = book.lacking(key, name, [lowest, rate])
    if lacking is not None:
        return lacking
    points = list(stops_of(plant, tag))
    edges = [(band.low, point) for point in points
             if (result := setpoints.get(point)) is not None and (band := result.act) is not None]
    if tank.vessel is None:
        return book.absence(key, name, "the tank's shape gives no volume", (f"tanks/{pump.suction.tank}/shape",))
    if not points:
        return book.absence(key, name, "no level point on its tank stops it", ("controls",))
    if len(edges) < len(points):
        return book.absence(key, name, "it is not settled where the pump stops",
                            [f"switches/{point}/height" for point in points])
    assert isinstance(rate, Record) and isinstance(lowest, Record)
    if rate.value <= 0:
        return book.absence(key, name, "no operating case empties the tank")
    edge, point = min(edges)
    start = limits.edge_input(plant, setpoints[point], edge, "h_1", f"lower edge of {point}")
    return book.record(
        key, name, time_between(tank.vessel, edge, lowest.value, rate.value, "falling"), "time",
        r"t = \frac{V(h_1) - V(h_{lowest})}{Q}", (start, lowest.as_input("h_{lowest}"), rate.as_input("Q")),
        validity="worst emptying rate; air is counted from where the submergence is lost",
        note="The pump stops at or below its lowest level." if edge <= lowest.value else "",
    )
