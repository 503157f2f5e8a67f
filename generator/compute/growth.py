"""Thermal growth: how much higher a liquid stands when it has warmed in the tank, wall and all."""


from msgspec import Struct

from generator.compute import water
from generator.compute.asked import About, Asked
from generator.compute.book import given
from generator.compute.heights import Unknown
from generator.compute.liquid_state import is_like_water
from generator.compute.travel import level_of
from generator.model.need import RoomFor
from generator.model.record import Input
from generator.model.results import Vessel
from generator.model.scalar import Tag

EQUATION = r"b = \frac{\rho_c}{\rho_h}"


class Growth(Struct, frozen=True):
    """Volume when hottest over volume when heaviest, of the liquid; length of the wall likewise; with its working."""

    liquid: float
    wall: float
    inputs: tuple[Input, ...]
    equation: str
    reference: str


def growth_of_water(lowest: float, highest: float) -> float:
    """Largest volume of water over its smallest, within a span of temperatures.

    b = rho_max / rho_min; water is heaviest at 4 degC, so warming below that makes it shrink.

    Args:
        lowest: Lowest temperature. [K]
        highest: Highest temperature, not below the lowest. [K]

    Returns:
        Ratio, one or more.

    Source: IAPWS-95.

    >>> round(growth_of_water(293.15, 313.15), 5)
    1.00604
    """
    heaviest = water.density(min(max(lowest, water.DENSEST), highest))
    return heaviest / min(water.density(lowest), water.density(highest))


def grown_level(vessel: Vessel, level: float, liquid: float, wall: float) -> float:
    """Level to which a liquid grows in a vessel whose wall grows too.

    V(h1) b = s^3 V((h2 - h_b) / s + h_b): every length of the vessel grows by s, so every volume by s^3.

    Args:
        vessel: The vessel, cold.
        level: Level before, h1. [m]
        liquid: Growth of the liquid's volume, b.
        wall: Growth of the wall's lengths, s.

    Returns:
        Level after, h2. [m]

    Source: definition of the coefficients; for an upright cylinder h2 = h1 b / s^2.
    """
    height, _ = level_of(vessel, vessel.volume_at(level) * liquid / wall**3)
    return vessel.bottom + wall * (height - vessel.bottom)


def level_before(vessel: Vessel, level: float, liquid: float, wall: float) -> tuple[float, str]:
    """Level from which a liquid grows to a level: the way back of `grown_level`, with its remark. [m]"""
    cold = vessel.bottom + (level - vessel.bottom) / wall
    return level_of(vessel, vessel.volume_at(cold) * wall**3 / liquid)


def growth(about: About) -> Growth | Unknown:
    """Growth of a tank's liquid between its lowest and highest temperature."""
    tank = about.plant.tanks[Tag(about.tank.tag)]
    liquid = about.plant.liquids[tank.liquid]
    span = liquid.temperature
    if span is None:
        return Unknown(f"the temperatures of {liquid.name} are not given", (f"liquids/{tank.liquid}/temperature",))
    cold = given(span.lowest, "T_c", f"lowest temperature of {liquid.name}")
    hot = given(span.highest, "T_h", f"highest temperature of {liquid.name}")
    if hot.value < cold.value:
        return Unknown("its highest temperature lies under its lowest", (f"liquids/{tank.liquid}/temperature",))
    inputs, wall, equation = [cold, hot], 1.0, ""
    if tank.wall_expansion is not None:
        inputs.append(Input(r"\alpha", "growth of the wall for one kelvin", tank.wall_expansion, "",
                            tank.place_of("wall_expansion")))
        wall = 1 + tank.wall_expansion * (hot.value - cold.value)
        equation = r", \quad s = 1 + \alpha \left( T_h - T_c \right)"
    if liquid.expansion is not None:
        inputs.append(Input(r"\beta", f"growth of {liquid.name} for one kelvin", liquid.expansion, "",
                            liquid.place_of("expansion")))
        ratio = 1 + liquid.expansion * (hot.value - cold.value)
        return Growth(ratio, wall, tuple(inputs), r"b = 1 + \beta \left( T_h - T_c \right)" + equation, "")
    if not is_like_water(liquid):
        return Unknown(f"how {liquid.name} grows is not given", (f"liquids/{tank.liquid}/expansion",))
    if cold.value < water.FREEZING or hot.value > water.BOILING:
        return Unknown("water is no liquid over all of its temperatures", (f"liquids/{tank.liquid}/temperature",))
    heaviest = min(max(cold.value, water.DENSEST), hot.value)
    inputs += [Input(r"\rho_c", "density of water when heaviest", water.density(heaviest), "density", water.REFERENCE),
               Input(r"\rho_h", "density of water when lightest",
                     min(water.density(cold.value), water.density(hot.value)), "density", water.REFERENCE)]
    return Growth(growth_of_water(cold.value, hot.value), wall, tuple(inputs), EQUATION + equation, water.REFERENCE)


def room_for(need: RoomFor, about: About) -> Asked | Unknown:
    """At its latest action the liquid is cold and as heavy as it gets; grown it stays below a level."""
    edge, vessel, grown = about.edge(need.below, "at most"), about.vessel(), growth(about)
    if isinstance(edge, Unknown):
        return edge
    if isinstance(vessel, Unknown):
        return vessel
    if isinstance(grown, Unknown):
        return grown
    height, note = level_before(vessel, edge.height, grown.liquid, grown.wall)
    has_wall = grown.wall != 1.0
    scaled = rf"s^3 \cdot V\left( \frac{{{edge.expression}}}{{s}} \right)" if has_wall else f"V\\left( {edge.expression} \\right)"
    return Asked(height, rf"V^{{-1}}\left( \frac{{{scaled}}}{{b}} \right), \quad {grown.equation}",
                 (*edge.terms, about.vessel_input(), *grown.inputs), about.is_on_same_body(need.below),
                 "all of the liquid at one temperature; the wall as warm as the liquid", grown.reference, note)
