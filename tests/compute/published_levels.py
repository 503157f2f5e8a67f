"""Formulas of overflows, growth, levels of concern, transmitters and floors, as rows of `published.yml` call them."""

import math
from collections.abc import Callable
from typing import Any

from generator import compute
from generator.compute import floors, gravity, growth, overflows
from generator.compute.geometry import vessel
from generator.model.knowledge import Knowledge
from generator.model.quantity import split
from generator.model.record import Outcome, Record
from generator.model.results import Results, Vessel
from generator.model.shape import VerticalCylinder
from generator.model.units import UNITS
from generator.read import knowledge
from tests.compute import small


def si(text: str) -> float:
    number, unit = split(text)
    return number * UNITS[unit][1] + UNITS[unit][2]


def value(outcome: Outcome | None) -> float:
    assert isinstance(outcome, Record), outcome
    return outcome.value


def upright(diameter: str, height: str, **keys: str) -> Vessel:
    made = vessel(VerticalCylinder.model_validate(
        {"kind": "vertical cylinder", "diameter": diameter, "height": height} | keys))
    assert isinstance(made, Vessel)
    return made


def emptying_time(diameter: str, depth: str, opening: str, coefficient: float) -> float:
    """Time to empty an upright tank: twice its volume over the flow at the start, since the flow falls evenly."""
    volume = upright(diameter, depth).capacity
    return 2 * volume / gravity.opening_flow(si(opening), si(depth), coefficient)


def grown(level: str, liquid: float, wall: float = 1.0) -> float:
    """How much higher a liquid stands that has grown, in an upright tank."""
    return growth.grown_level(upright("4 m", "20 m"), si(level), liquid, wall) - si(level)


def water_grows(lowest: str, highest: str) -> float:
    return growth.growth_of_water(si(lowest), si(highest))


def water_rises(level: str, lowest: str, highest: str, wall: float = 0.0) -> float:
    return grown(level, water_grows(lowest, highest), 1 + wall * (si(highest) - si(lowest)))


def concern(name: str, inflow: str, rule: str, category: str = "category 1") -> float:
    """A level of concern of a tank of 20 m whose liquid leaves at 19 m; without a time of the site's own."""
    big = small.tank({"kind": "vertical cylinder", "diameter": "20 m", "height": "20 m"},
                     levels={"overflow": "19 m"}, categories={rule: category})
    rules: Knowledge = knowledge()
    plant = small.plant(plant={"rules_in_force": {rule: {}}}, tanks={"T-1": big},
                        streams={"in": small.stream("outside", "T-1", inflow)})
    found = compute.results(plant, rules).tanks["T-1"].concerns
    return value(next(one.height for one in found if one.name.startswith(name)))


def transmitter(**keys: Any) -> Results:
    body = small.body(technology="differential pressure", signal="4-20 mA", **keys)
    return small.worked(instruments={"LX-1": body})


def range_value(end: str, lower: str, upper: str, density: str, **taps: str) -> float:
    """Signed range value of a transmitter on a tank, as a column of water of 1000 kg/m3. [m]"""
    found = transmitter(range={"lower": lower, "upper": upper}, calibration_density=density, taps=taps)
    made = found.transmitters["LX-1"]
    return value(made.lower_range_value if end == "lower" else made.upper_range_value) / (1000 * 9.80665)


def range_pressure(**given: str) -> float:
    return range_value(**given) * 1000 * 9.80665


def level_of_current(current: str, lower: str, upper: str) -> float:
    found = transmitter(range={"lower": lower, "upper": upper}).transmitters["LX-1"]
    return next(row.height for row in found.rows if math.isclose(row.current, si(current)))


def reading_off(upper: str, tap: str, set_for: str, actual: str) -> float:
    liquids = {"water": {"name": "Water", "density": {"lowest": actual, "highest": actual}}}
    body = small.body(technology="hydrostatic", signal="4-20 mA", range={"lower": "0 m", "upper": upper},
                      calibration_density=set_for, taps={"at": tap})
    return value(small.worked(instruments={"LX-1": body}, liquids=liquids).transmitters["LX-1"].reading_low)


def overflow_of(which: str, inflow: str, rim: str = "3.9 m", **size: str) -> float:
    tank = small.tank(levels={"overflow": "3.5 m", "rim": rim}, overflow={"to": "drain"} | size)
    found = small.worked(tanks={"T-1": tank}, streams={"in": small.stream("outside", "T-1", inflow)}).tanks["T-1"]
    return value(found.overflow_head if which == "head" else found.overflow_capacity)


WHAT: dict[str, Callable[..., float]] = {
    "weir flow": lambda width, head: overflows.weir_flow(si(width), si(head)),
    "weir head": lambda width, flow: overflows.weir_head(si(width), si(flow)),
    "rim flow": lambda diameter, head: overflows.rim_flow(si(diameter), si(head)),
    "rim head": lambda diameter, flow: overflows.rim_head(si(diameter), si(flow)),
    "overflow of a tank": overflow_of,
    "emptying time": emptying_time,
    "growth of water": water_grows,
    "rise of warmed water": water_rises,
    "rise of a grown liquid": grown,
    "level of concern": concern,
    "range value on a tank": range_value,
    "range pressure on a tank": range_pressure,
    "level of a current": level_of_current,
    "reading off": reading_off,
    "volume over a sloped floor": lambda diameter, fall, depth: floors.sloped_cylinder_volume(si(diameter), si(fall), si(depth)),
    "volume of a benched sump": lambda level, **shape: upright(bottom="conical", **shape).volume_at(si(level)),
}
