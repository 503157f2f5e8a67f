"""Vapour pressure and density of a liquid at the ends of its temperature: as given, else those of water."""

from typing import Literal

from generator.compute import water
from generator.compute.book import Book, given
from generator.model.plant import Definitions
from generator.model.quantity import Temperature
from generator.model.record import Absence, Input, Record
from generator.model.scalar import Tag
from generator.model.tank import Liquid

End = Literal["hottest", "coldest"]
WATERS = ("pure water", "clean water")


def is_like_water(liquid: Liquid) -> bool:
    """Whether the liquid's vapour pressure and density may be taken as those of water."""
    return liquid.chemistry in WATERS if liquid.like_water is None else liquid.like_water


def vapour_pressure(plant: Definitions, tag: str, end: End, book: Book) -> Input | Absence:
    """Vapour pressure of a liquid at its hottest, as given or of water; at its coldest, of water alone. [Pa]"""
    liquid = plant.liquids[Tag(tag)]
    name = f"vapour pressure at its {end}, {liquid.name}"
    if end == "hottest" and liquid.vapour_pressure is not None:
        return given(liquid.vapour_pressure, "p_v", name)
    return _of_water(liquid, tag, end, "vapour-pressure", name, "p_v", book, "vapour_pressure")


def density(plant: Definitions, tag: str, end: End, book: Book) -> Input | Absence:
    """Density of a liquid at its hottest (its lowest) or coldest (its highest), as given or of water. [kg/m3]"""
    liquid = plant.liquids[Tag(tag)]
    name = f"density at its {end}, {liquid.name}"
    span = liquid.density
    stated = None if span is None else span.lowest if end == "hottest" else span.highest
    if stated is not None and stated.si > 0:
        return given(stated, r"\rho", name)
    return _of_water(liquid, tag, end, "density", name, r"\rho", book, "density")


def density_for_head(plant: Definitions, tag: str, end: End, pressure: float, book: Book) -> tuple[Input | Absence, str]:
    """The density to reckon a pump's suction head with, and a note where it is not that of the temperature. [kg/m3]

    The span of a liquid that is not like water may come from its strength and not from its heat, so nothing says that it
    is lightest where it is hottest: the end of the span that leaves the smallest head counts. Of a liquid like water the end
    that is stated and water at that temperature are compared, and the one that leaves the smaller head counts.

    Args:
        plant: The plant.
        tag: The liquid.
        end: Which end of its temperature is looked at.
        pressure: Air pressure less vapour pressure: over 0 the densest liquid gives the smallest head. [Pa]
        book: Where a density of water is entered.
    """
    liquid = plant.liquids[Tag(tag)]
    span = liquid.density
    if span is not None and is_like_water(liquid):
        return _stated_or_water(plant, tag, end, pressure, book)
    if span is None or span.lowest.si <= 0 or span.lowest.si == span.highest.si:
        return density(plant, tag, end, book), ""
    which, one = ("highest", span.highest) if pressure >= 0 else ("lowest", span.lowest)
    return given(one, r"\rho", f"{which} density, {liquid.name}"), (
        f"The density of the liquid runs from {span.lowest.written} to {span.highest.written}, and nothing says which of them "
        f"goes with the {end} liquid: the {which} leaves the smallest head and counts.")


def _stated_or_water(plant: Definitions, tag: str, end: End, pressure: float, book: Book) -> tuple[Input | Absence, str]:
    liquid, stated = plant.liquids[Tag(tag)], density(plant, tag, end, book)
    heat = temperature(liquid, end)
    if heat is None or not water.FREEZING <= heat.si <= water.HIGHEST or isinstance(stated, Absence):
        return stated, ""
    pure = _of_water(liquid, tag, end, "density", f"density of water at the {end}, {liquid.name}", stated.symbol, book, "density")
    if isinstance(pure, Absence) or (pure.value <= stated.value) == (pressure >= 0):
        return stated, ""
    return pure, (f"{stated.value:.4g} kg/m3 are stated, water at {heat.written} has {pure.value:.4g} kg/m3: it leaves the "
                  "smaller head and counts.")


def temperature(liquid: Liquid, end: End) -> Temperature | None:
    """Highest or lowest temperature of a liquid."""
    if liquid.temperature is None:
        return None
    return liquid.temperature.highest if end == "hottest" else liquid.temperature.lowest


def _of_water(
    liquid: Liquid, tag: str, end: End, what: str, name: str, symbol: str, book: Book, field: str,
) -> Input | Absence:
    key = f"#{tag}/{what}-{end}"
    if key not in book.outcomes:
        _enter(liquid, tag, end, what, key, name, book, field)
    outcome = book.outcomes[key]
    return outcome.as_input(symbol) if isinstance(outcome, Record) else outcome


def _enter(liquid: Liquid, tag: str, end: End, what: str, key: str, name: str, book: Book, field: str) -> None:
    heat = temperature(liquid, end)
    if not is_like_water(liquid):
        missing = (f"liquids/{tag}/{field}",) if end == "hottest" else (f"liquids/{tag}/like_water",)
        book.absence(key, name, "it is not given, and the liquid is not stated to be like water", missing)
    elif heat is None:
        book.absence(key, name, "its temperature is not recorded", (f"liquids/{tag}/temperature",))
    elif not water.FREEZING <= heat.si <= water.HIGHEST:
        book.absence(key, name, f"water is not worked out at {heat.written}", (f"liquids/{tag}/{field}",))
    else:
        formula = water.vapour_pressure if what == "vapour-pressure" else water.density
        dimension = "absolute pressure" if what == "vapour-pressure" else "density"
        equation = "p_v = p_s(T)" if what == "vapour-pressure" else r"\rho = \rho_s(T)"
        book.record(key, name, formula(heat.si), dimension, equation, (given(heat, "T", f"temperature at its {end}"),),
                    validity=water.VALIDITY, reference=water.REFERENCE)
