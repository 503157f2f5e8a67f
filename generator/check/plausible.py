"""Figures that may have been written in another unit: outside what is usual, and inside it with the other unit."""

from collections.abc import Iterator

from generator.model.instrument import Instrument
from generator.model.knowledge import Knowledge
from generator.model.quantity import Quantity, written
from generator.model.tank import Liquid
from generator.model.units import UNITS

CONFUSED: dict[str, tuple[tuple[str, str], ...]] = {
    "conductivity": (("mS/cm", "uS/cm"), ("uS/cm", "mS/cm"), ("mS/m", "uS/cm"), ("uS/cm", "mS/m"), ("S/m", "mS/cm"),
                     ("mS/cm", "S/m"), ("S/m", "uS/cm"), ("mS/cm", "mS/m"), ("mS/m", "mS/cm")),
    "density": (("kg/m3", "g/cm3"), ("g/cm3", "kg/m3"), ("kg/m3", "lb/ft3"), ("lb/ft3", "kg/m3"), ("kg/m3", "kg/L"),
                ("kg/L", "kg/m3")),
    "viscosity": (("Pa s", "mPa s"), ("mPa s", "Pa s"), ("cP", "Pa s")),
    "temperature": (("degC", "degF"), ("degF", "degC"), ("degC", "K"), ("K", "degC")),
    "length": (("m", "mm"), ("mm", "m"), ("in", "mm"), ("mm", "in"), ("cm", "mm"), ("mm", "cm"), ("m", "cm"),
               ("ft", "in"), ("m", "ft")),
    "mass": (("kg", "g"), ("g", "kg")),
}
"""Units that are taken for each other: the one written, the one that may have been meant."""
_SPANS = {"conductivity": "conductivity", "density": "density", "temperature": "temperature"}


def meant(value: Quantity, lowest: float, highest: float) -> str:
    """The unit that would bring a figure into a range; empty where none of those that are confused does.

    Args:
        value: The figure as written.
        lowest: Foot of the range, in SI.
        highest: Top of the range, in SI.
    """
    number = written(value.si, value.unit) if value.unit in UNITS else value.si
    for stands, other in CONFUSED.get(value.dimension, ()):
        if stands == value.unit:
            _, factor, offset = UNITS[other]
            if lowest <= number * factor + offset <= highest:
                return other
    return ""


def _said(words: str, value: Quantity | float, lowest: float, highest: float, why: str) -> str:
    """A sentence where a figure lies outside a range; empty where it lies in it."""
    si = value.si if isinstance(value, Quantity) else value
    if lowest <= si <= highest:
        return ""
    if not isinstance(value, Quantity):
        return f"{words} {value:g} is not usual for {why}"
    other = meant(value, lowest, highest)
    question = f"; was {other} meant?" if other else ""
    return f"{words} {value.written} is not usual for {why}{question}"


def slips_of_liquid(knowledge: Knowledge, liquid: Liquid) -> list[str]:
    """What is not usual about a liquid's figures, each with the unit that may have been meant."""
    return [said for name, words, value in _figures(liquid) if (said := _of_liquid(knowledge, liquid, name, words, value))]


def _figures(liquid: Liquid) -> Iterator[tuple[str, str, Quantity | float]]:
    for name in _SPANS:
        span = getattr(liquid, name)
        if span is not None:
            yield name, f"the lowest {name}", span.lowest
            yield name, f"the highest {name}", span.highest
    if liquid.viscosity is not None:
        yield "viscosity", "the viscosity", liquid.viscosity
    if liquid.dielectric_constant is not None:
        yield "dielectric constant", "the dielectric constant", liquid.dielectric_constant


def _of_liquid(knowledge: Knowledge, liquid: Liquid, name: str, words: str, value: Quantity | float) -> str:
    rows = [row for row in knowledge.usual if row.property == name and row.of in (liquid.chemistry, "any")]
    row = min(rows, key=lambda one: one.of == "any", default=None)
    return "" if row is None else _said(words, value, row.lowest, row.highest, str(liquid.chemistry) if row.of != "any" else
                                        "any liquid")


def slips_of_ratings(knowledge: Knowledge, body: Instrument) -> list[str]:
    """What is not usual about a device's figures, each with the unit that may have been meant."""
    technology = knowledge.technologies.get(body.technology)
    found = []
    for usual in technology.plausible if technology else ():
        value: object = body
        for step in usual.field.split("."):
            value = getattr(value, step, None)
        if isinstance(value, Quantity | float):
            name = usual.field.split(".")[-1].replace("_", " ")
            found.append(_said(name, value, usual.lowest, usual.highest, f"a device of its kind ({body.technology})"))
    return [one for one in found if one]
