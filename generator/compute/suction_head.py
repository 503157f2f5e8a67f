"""Net positive suction head at the lowest level in ordinary running, hottest and coldest; velocity in the inlet."""

import math

from generator.compute import liquid_state
from generator.compute.book import Book, given
from generator.compute.liquid_state import End
from generator.compute.submergence import STANDARD_GRAVITY
from generator.model.plant import Definitions
from generator.model.record import Absence, Input, Outcome, Record
from generator.model.scalar import Tag

EQUATION = r"NPSH_a = \frac{p - p_v}{\rho\,g} + h - z - h_f"
VALIDITY = "tank open to the air, or under more than its pressure; the pump's datum is taken at its inlet; duty point"
REFERENCE = "definition of net positive suction head: ANSI/HI 9.6.1 and ISO 17769-1, from memory"


def head_available(
    pressure: float, vapour_pressure: float, density: float, level: float, inlet: float, loss: float,
) -> float:
    """Net positive suction head available.

    NPSHa = (p - p_v) / (rho g) + h - z - h_f

    Args:
        pressure: Absolute pressure on the liquid, p. [Pa]
        vapour_pressure: Vapour pressure of the liquid as it is, p_v, absolute. [Pa]
        density: Density of the liquid as it is, rho. [kg/m3]
        level: Level of the liquid, h. [m]
        inlet: Height of the pump's datum, z; taken at its inlet. [m]
        loss: Head lost on the way to the pump, h_f. [m]

    Returns:
        Head, absolute. [m]

    Raises:
        ValueError: density is not positive.

    Valid for a liquid at rest in the tank and the loss at the flow in question.
    Source: definition of the quantity, ANSI/HI 9.6.1 (from memory).

    >>> round(head_available(101325.0, 2339.3, 998.2, 3.0, 0.5, 0.4), 3)
    12.212
    """
    if density <= 0:
        raise ValueError(density)
    return (pressure - vapour_pressure) / (density * STANDARD_GRAVITY) + level - inlet - loss


def at_lowest_level(plant: Definitions, book: Book, tag: str, level: Outcome, end: End) -> Outcome | None:
    """Suction head at the level to which the stop lets the tank run down; None where no required head is recorded."""
    pump = plant.pumps[Tag(tag)]
    inlet = pump.inlet
    if pump.npsh_required is None or inlet is None:
        return None
    key, name = f"#{tag}/suction-head-{end}", f"NPSH available to {tag}, {end} liquid"
    liquid = plant.tanks[inlet.tank].liquid
    vapour = liquid_state.vapour_pressure(plant, liquid, end, book)
    air = plant.plant.atmosphere
    over = air.si - vapour.value if air is not None and isinstance(vapour, Input) else 0.0
    density, note = liquid_state.density_for_head(plant, liquid, end, over, book)
    lacking = book.lacking(key, name, [one if isinstance(one, Absence) else None for one in (level, vapour, density)])
    if lacking is not None:
        return lacking
    missing = [field for value, field in ((air, "plant/atmosphere"), (pump.suction_loss, f"pumps/{tag}/suction_loss"))
               if value is None]
    if air is None or pump.suction_loss is None:
        return book.absence(key, name, "not everything that it needs is recorded", missing)
    assert isinstance(level, Record) and isinstance(vapour, Input) and isinstance(density, Input)
    value = head_available(air.si, vapour.value, density.value, level.value, inlet.height.si,
                           pump.suction_loss.si)
    inputs = (given(air, "p", "lowest air pressure on site"), vapour, density, gravity(), level.as_input("h"),
              given(inlet.height, "z", "height of the inlet"),
              given(pump.suction_loss, "h_f", "loss in the suction line"))
    return book.record(key, name, value, "length", EQUATION, inputs, validity=VALIDITY, reference=REFERENCE, note=note)


def spare(plant: Definitions, book: Book, tag: str, available: Outcome | None) -> Outcome | None:
    """Suction head left over what the pump requires and its margin; None where no required head is recorded."""
    pump = plant.pumps[Tag(tag)]
    if pump.npsh_required is None or available is None:
        return None
    key, name = f"#{tag}/suction-head-spare", f"NPSH margin of {tag}"
    lacking = book.lacking(key, name, [available])
    if lacking is not None:
        return lacking
    assert isinstance(available, Record)
    inputs = [available.as_input("NPSH_a"), given(pump.npsh_required, "NPSH_r", "NPSH required")]
    equation, margin = r"\Delta = NPSH_a - NPSH_r", 0.0
    if pump.npsh_margin is not None:
        margin = pump.npsh_margin.si
        equation += " - m"
        inputs.append(given(pump.npsh_margin, "m", "margin"))
    return book.record(key, name, available.value - pump.npsh_required.si - margin, "length", equation, inputs)


def inlet_velocity(plant: Definitions, book: Book, tag: str) -> Outcome:
    """Velocity in the plane of the inlet."""
    key, name = f"#{tag}/inlet-velocity", f"velocity in the inlet of {tag}"
    pump = plant.pumps[Tag(tag)]
    if pump.inlet is None:
        return book.absence(key, name, f"does not apply: {tag} draws from outside the plant's tanks")
    diameter = pump.inlet.diameter
    if diameter is None or diameter.si <= 0:
        return book.absence(key, name, "the diameter of the inlet is not recorded", (f"pumps/{tag}/suction/diameter",))
    return book.record(
        key, name, 4 * pump.flow.si / (math.pi * diameter.si**2), "speed", r"v = \frac{4\,Q}{\pi\,D^2}",
        (given(pump.flow, "Q", "flow of the pump"), given(diameter, "D", "diameter of the inlet")))


def gravity() -> Input:
    """Standard gravity as an input."""
    return Input("g", "standard gravity", STANDARD_GRAVITY, "acceleration", "ISO 80000-3")
