"""Pumps: levels, suction head, time to air when a stop fails, limits of starts, motor current; each pump once."""

from collections.abc import Mapping

from msgspec.structs import replace

from generator.compute import motor_switching, motors, suction_head
from generator.compute.book import Book
from generator.compute.pump_levels import draws_from_outside, levels_of
from generator.compute.pump_stops import lowest_stop, run_down_level, stopping_point
from generator.compute.tanks import vessel_input
from generator.compute.travel import time_between, worst_rate
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.record import Absence, Outcome, Record
from generator.model.results import PumpResult, SetpointResult, TankResult
from generator.model.scalar import Tag


def results(
    plant: Definitions, knowledge: Knowledge, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    book: Book,
) -> Mapping[str, PumpResult]:
    """Submergence, lowest level, suction head, time to air, limits of starts and motor current of every pump."""
    return {str(tag): _pump(plant, knowledge, tanks, setpoints, book, str(tag)) for tag in plant.pumps}


def _pump(
    plant: Definitions, knowledge: Knowledge, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    book: Book, tag: str,
) -> PumpResult:
    submergence, lowest = levels_of(plant, tag, book)
    run_down = run_down_level(plant, tanks, setpoints, book, tag)
    hottest = suction_head.at_lowest_level(plant, book, tag, run_down, "hottest")
    current = motors.current(plant, book, tag)
    return PumpResult(
        tag, submergence, lowest, _air_time(plant, tanks, setpoints, book, tag),
        book.outcomes.get(f"#{tag}/suction-head-level"),
        stopped_by=str(stopping_point(plant, setpoints, tag) or ""),
        run_down_level=run_down,
        inlet_velocity=suction_head.inlet_velocity(plant, book, tag),
        head_available=hottest,
        head_available_cold=suction_head.at_lowest_level(plant, book, tag, run_down, "coldest"),
        head_spare=suction_head.spare(plant, book, tag, hottest),
        start_limits=tuple(motors.start_limits(plant, knowledge, book, tag)),
        least_rest=motors.least_rest(plant, knowledge, book, tag),
        full_load_current=current,
        worked_current=motors.worked_current(plant, book, tag),
        tabled_current=motors.tabled_current(plant, knowledge, book, tag),
        switched_by=tuple(motor_switching.switched_by(plant, book, tag, current)),
    )


# ---- when the stop fails ---------------------------------------------------------------------------------------------


def _air_time(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult], book: Book, tag: str,
) -> Outcome:
    key, name = f"#{tag}/air-time", f"time from a failed stop of {tag} to air at its inlet"
    inlet = plant.pumps[Tag(tag)].inlet
    if inlet is None:
        return book.absence(key, name, draws_from_outside(tag))
    tank = tanks[inlet.tank]
    lowest, rate = book.outcomes[f"#{tag}/lowest-level"], worst_rate(tank, "falling")
    lacking = book.lacking(key, name, [lowest, rate])
    if lacking is not None:
        return lacking
    if tank.vessel is None:
        return book.absence(key, name, "the tank's shape gives no volume", (f"tanks/{inlet.tank}/shape",))
    found = lowest_stop(plant, setpoints, tag, key, name, book)
    if isinstance(found, Absence):
        return found
    assert isinstance(rate, Record) and isinstance(lowest, Record)
    if rate.value <= 0:
        return book.absence(key, name, "no operating case empties the tank")
    start = replace(found[1], symbol="h_1")
    return book.record(
        key, name, time_between(tank.vessel, start.value, lowest.value, rate.value, "falling"), "time",
        r"t = \frac{V(h_1) - V(h_{lowest})}{Q}", (start, lowest.as_input("h_{lowest}"),
                                                      vessel_input(tank.tag, tank.vessel), rate.as_input("Q")),
        validity="worst emptying rate; air is counted from where the submergence is lost",
        note="The pump stops at or below its lowest level." if start.value <= lowest.value else "",
    )
