"""What turns a row of `published.yml` about pumps, motors and water into the value that the generator works out."""

from collections.abc import Callable
from typing import Any

from generator import compute
from generator.compute import cycle_times, motors, suction_head, water
from generator.compute.submergence import STANDARD_GRAVITY
from generator.model.quantity import split
from generator.model.record import Record
from generator.model.results import PumpResult
from generator.model.units import UNITS
from generator.read import knowledge
from tests.compute import small


def si(text: str) -> float:
    number, unit = split(text)
    return number * UNITS[unit][1] + UNITS[unit][2]


def machine(**motor: Any) -> PumpResult:
    plant = small.plant(plant={"starts_rule": motor.pop("table", "motor-starts")},
                        pumps={"P-1": small.pump(motor={name: str(value) for name, value in motor.items()})})
    return compute.results(plant, knowledge()).pumps["P-1"]


def value(outcome: object) -> float:
    assert isinstance(outcome, Record), outcome
    return outcome.value


def starts(table: str, power: str) -> float:
    (limit,) = [one for one in machine(table=table, power=power).start_limits if one.rule == table]
    assert limit.counts
    return value(limit.allowed)


def velocity(diameter: str, flow: str) -> float:
    suction = {"tank": "T-1", "kind": "bell", "height": "0 m", "diameter": diameter}
    results = small.worked(pumps={"P-1": small.pump(flow, suction=suction)})
    return value(results.pumps["P-1"].inlet_velocity)


def head(air: str, height: str, vapour: str, losses: str) -> float:
    weight = 1000.0 * STANDARD_GRAVITY
    return suction_head.head_available(si(air) * weight, si(vapour) * weight, 1000.0, si(height), 0.0, si(losses))


WHAT: dict[str, Callable[..., float]] = {
    "cycle": lambda volume, flow, inflow: cycle_times.cycle_time(si(volume), si(flow), si(inflow)),
    "staged cycle": lambda volumes, flows, inflow: cycle_times.staged_cycle_time(
        [si(one) for one in volumes], [si(one) for one in flows], si(inflow)),
    "starts by table": starts,
    "rest by table": lambda table, power: value(machine(table=table, power=power).least_rest),
    "full-load current": lambda power, voltage, efficiency, power_factor, phases: motors.full_load_current(
        si(power), si(voltage), efficiency, power_factor, phases),
    "tabled current": lambda **motor: value(machine(**motor).tabled_current),
    "suction head": head,
    "inlet velocity": velocity,
    "vapour pressure of water": lambda temperature: water.vapour_pressure(si(temperature)),
    "density of water": lambda temperature: water.density(si(temperature)),
}
