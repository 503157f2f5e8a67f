"""Current of motors: from the nameplate, else worked out; a published table to check it by; least rest, limits of starts."""

import math
from collections.abc import Iterator

from generator.compute.book import Book, given
from generator.model.knowledge import Knowledge, PublishedRule
from generator.model.machine import Motor
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import StartLimit
from generator.model.scalar import Tag

ROOT_OF_THREE = math.sqrt(3)
PARTS = ("voltage", "efficiency", "power_factor", "phases")
VOLTAGE_CLASS = 0.05
"""A table's column serves voltages so near to its own, as a share: 440 to 480 V stand under 460 V."""
NEXT_SIZE = 1.7
"""The next larger motor of a table is at most so many times as large; beyond, the table says nothing of the motor."""


def full_load_current(power: float, voltage: float, efficiency: float, power_factor: float, phases: int) -> float:
    """Current of a motor at full load.

    I = P / (sqrt(3) U eta cos phi) with three phases, I = P / (U eta cos phi) with one.

    Args:
        power: Shaft power, P. [W]
        voltage: Voltage between the lines, U. [V]
        efficiency: Efficiency at full load, eta, as a share.
        power_factor: Power factor at full load, cos phi, as a share.
        phases: One or three.

    Returns:
        Current in each line. [A]

    Raises:
        ValueError: voltage, efficiency or power factor is not positive, a share is above one, or the phases are neither.

    Valid for a balanced sinusoidal supply. Source: definition of power and efficiency.

    >>> round(full_load_current(4000, 400, 0.85, 0.82, 3), 3)
    8.283
    """
    if voltage <= 0 or not 0 < efficiency <= 1 or not 0 < power_factor <= 1 or phases not in (1, 3):
        raise ValueError((voltage, efficiency, power_factor, phases))
    return power / ((ROOT_OF_THREE if phases == 3 else 1.0) * voltage * efficiency * power_factor)


def current(plant: Definitions, book: Book, tag: str) -> Outcome | None:
    """Full-load current of a pump's motor; None where nothing is said of a motor."""
    motor = plant.pumps[Tag(tag)].motor
    if motor is None:
        return None
    key, name = f"#{tag}/full-load-current", f"full-load current of {tag}"
    if motor.full_load_current is not None:
        return book.record(key, name, motor.full_load_current.si, "current", "I = I_{plate}",
                           (given(motor.full_load_current, "I_{plate}", "current on the nameplate"),))
    worked = worked_current(plant, book, tag)
    if isinstance(worked, Record):
        return book.record(key, name, worked.value, "current", "I = I_w", (worked.as_input("I_w"),))
    missing = [f"pumps/{tag}/motor/{field}" for field in PARTS if getattr(motor, field) is None]
    if missing:
        return book.absence(key, name, "it is not recorded, and not everything to work it out is", missing)
    return book.absence(key, name, "voltage, efficiency and power factor must be above nothing, the last two at most one",
                        [f"pumps/{tag}/motor/{field}" for field in PARTS])


def worked_current(plant: Definitions, book: Book, tag: str) -> Record | None:
    """Current worked out from power, voltage, efficiency and power factor; None where one of them is not there."""
    key, name = f"#{tag}/worked-current", f"full-load current of {tag}, worked out"
    found = book.outcomes.get(key)
    if isinstance(found, Record):
        return found
    motor = plant.pumps[Tag(tag)].motor
    if motor is None or motor.voltage is None or motor.efficiency is None or motor.power_factor is None \
            or motor.phases is None:
        return None
    if motor.voltage.si <= 0 or not 0 < motor.efficiency <= 1 or not 0 < motor.power_factor <= 1:
        return None
    value = full_load_current(motor.power.si, motor.voltage.si, motor.efficiency, motor.power_factor, int(motor.phases))
    root = r"\sqrt{3}\,U" if motor.phases == "3" else "U"
    inputs = (
        given(motor.power, "P", "shaft power"), given(motor.voltage, "U", "voltage"),
        Input(r"\eta", "efficiency", motor.efficiency, "", motor.place_of("efficiency")),
        Input(r"\cos\varphi", "power factor", motor.power_factor, "", motor.place_of("power_factor")),
    )
    return book.record(key, name, value, "current", rf"I = \frac{{P}}{{{root}\,\eta\,\cos\varphi}}", inputs,
                       validity="balanced sinusoidal supply, full load", reference="definition of power and efficiency")


def tabled_current(plant: Definitions, knowledge: Knowledge, book: Book, tag: str) -> Outcome | None:
    """Full-load current of a published table for the motor's power: to check by, never reckoned with."""
    motor = plant.pumps[Tag(tag)].motor
    if motor is None or motor.voltage is None or motor.phases is None:
        return None
    for rule in knowledge.rules.values():
        row = _row(rule, motor)
        if row is not None:
            return book.record(
                f"#{tag}/tabled-current", f"full-load current of {tag} by a table", row[3], "current", "I",
                (Input("I", f"row up to {row[2] / 1000:.3g} kW at {row[1]:.0f} V", row[3], "current", rule.standard),
                 given(motor.power, "P", "shaft power")),
                validity="a value to check by; the nameplate counts", reference=rule.standard,
                note="The table's mark is " + rule.mark + ".")
    return None


def _row(rule: PublishedRule, motor: Motor) -> tuple[float, float, float, float] | None:
    if motor.voltage is None:
        return None
    voltage = motor.voltage.si
    rows = [row for row in rule.currents
            if str(int(row[0])) == motor.phases and abs(voltage - row[1]) <= VOLTAGE_CLASS * row[1]
            and motor.power.si <= row[2] * (1 + 1e-3) <= NEXT_SIZE * motor.power.si]
    nearest = min((abs(voltage - row[1]) for row in rows), default=0.0)
    return next((row for row in rows if abs(voltage - row[1]) == nearest), None)


def start_limits(plant: Definitions, knowledge: Knowledge, book: Book, tag: str) -> Iterator[StartLimit]:
    """What the motor's papers and each published table allow, side by side. The papers count, else the plant's table."""
    motor = plant.pumps[Tag(tag)].motor
    if motor is None:
        return
    own = motor.starts
    if own is not None:
        record = book.record(f"#{tag}/starts-by/papers", f"starts of {tag} that its papers allow", own.si, "rate", "n",
                             (given(own, "n", "most starts"),))
        yield StartLimit("", "its papers", record, True)
    for rule in knowledge.rules.values():
        if not rule.cycles:
            continue
        key, name = f"#{tag}/starts-by/{rule.name}", f"starts of {tag} by {rule.title}"
        cycle = next((cycle for power, cycle in rule.cycles if motor.power.si <= power), None)
        counts = own is None and rule.name == plant.plant.starts_rule
        if cycle is None:
            yield StartLimit(rule.name, rule.title, book.absence(key, name, "the table ends below its power"), counts)
            continue
        inputs = (Input("T", "shortest time from start to start", cycle, "time", rule.standard),
                  given(motor.power, "P", "shaft power"))
        yield StartLimit(rule.name, rule.title, book.record(
            key, name, 1 / cycle, "rate", r"n = \frac{1}{T}", inputs, validity=rule.scope, reference=rule.standard,
        ), counts)


def least_rest(plant: Definitions, knowledge: Knowledge, book: Book, tag: str) -> Outcome | None:
    """Least time between a stop and the next start: the motor's own, else that of the plant's table of starts."""
    motor = plant.pumps[Tag(tag)].motor
    if motor is None:
        return None
    key, name = f"#{tag}/least-rest", f"least rest of {tag}"
    if motor.least_off_time is not None:
        return book.record(key, name, motor.least_off_time.si, "time", "t",
                           (given(motor.least_off_time, "t", "least time at rest, from its papers"),))
    rule = knowledge.rules.get(plant.plant.starts_rule or "")
    rest = next((rest for power, rest in rule.rests if motor.power.si <= power), None) if rule else None
    if rule is None or rest is None:
        return book.absence(key, name, "the motor's papers are not quoted, and no table of the plant states it",
                            (f"pumps/{tag}/motor/least_off_time",))
    return book.record(key, name, rest, "time", "t(P)",
                       (Input("t", "least time at rest", rest, "time", rule.standard),
                        given(motor.power, "P", "shaft power")), validity=rule.scope, reference=rule.standard)
