"""Conductivity at the coldest of a liquid, where it is known at another temperature only."""


from msgspec import Struct

from generator.compute.book import given
from generator.model.quantity import Temperature
from generator.model.record import Input
from generator.model.tank import ConductivitySpan, Liquid

REFERRED_TO = 298.15
"""Temperature to which conductivities and the coefficient are referred. [K] Source: ISO 7888, 25 degC (found)."""
USUAL_COEFFICIENT = 0.02
"""Growth of conductivity with temperature, referred to 25 degC. [1/K] Common practice for natural water, salts and most
solutions (found; published coefficients lie between 0.013 for acids and 0.0214 for common salt)."""
REFERENCE = "ISO 7888, linear correction referred to 25 degC (found); 2 % a kelvin where not stated: common practice"
EQUATION = (r"\sigma = \sigma_0 \min\left( 1, \frac{1 + \alpha \left( T - T_{25} \right)}"
            r"{1 + \alpha \left( T_0 - T_{25} \right)} \right)")
VALIDITY = "solutions and natural water between 0 and some 50 degC; not the purest water, which changes faster"


def conductivity_at(known: float, at: float, temperature: float, coefficient: float = USUAL_COEFFICIENT) -> float:
    """Conductivity at another temperature than that at which it is known.

    s = s0 (1 + a (T - T25)) / (1 + a (T0 - T25))

    Args:
        known: Conductivity, s0. [S/m]
        at: Temperature at which it is known, T0. [K]
        temperature: Temperature at which it is wanted, T. [K]
        coefficient: Growth referred to 25 degC, a. [1/K]

    Returns:
        Conductivity at T; nothing where the straight line has come down to nothing. [S/m]

    Raises:
        ValueError: the straight line has come down to nothing where it is known.

    Valid for solutions and natural water between 0 and some 50 degC. Source: ISO 7888, linear correction (found).

    >>> round(conductivity_at(0.1413, 298.15, 288.15) * 1e4)  # 1413 uS/cm at 25 degC, ten kelvin colder
    1130
    """
    base = 1 + coefficient * (at - REFERRED_TO)
    if base <= 0:
        raise ValueError(at)
    return known * max(0.0, 1 + coefficient * (temperature - REFERRED_TO)) / base


class Coldest(Struct, frozen=True):
    """The lowest conductivity of a liquid at its coldest. [S/m]

    `inputs` stand where it was worked out from another temperature; `note` says so in words. `missing` names the field
    of the liquid that would decide it.
    """

    value: float | None
    note: str = ""
    inputs: tuple[Input, ...] = ()
    missing: str = ""


def coldest(liquid: Liquid) -> Coldest:
    """The lowest conductivity at the coldest: as stated, or worked out from the temperature at which it was measured."""
    span = liquid.conductivity
    if span is None:
        return Coldest(None, missing="conductivity")
    if span.at is None:
        return Coldest(span.lowest.si)
    if liquid.temperature is None:
        return Coldest(None, missing="temperature")
    if span.per_kelvin is None and liquid.chemistry == "pure water":
        # the purest water grows by some 5 % a kelvin and not along a line (from memory): 2 % would read too much
        return Coldest(None, missing="conductivity.per_kelvin")
    return _corrected(span, span.at, liquid.temperature.lowest)


def _corrected(span: ConductivitySpan, at: Temperature, cold: Temperature) -> Coldest:
    coefficient = USUAL_COEFFICIENT if span.per_kelvin is None else span.per_kelvin
    if 1 + coefficient * (at.si - REFERRED_TO) <= 0:
        return Coldest(None, missing="conductivity.per_kelvin")
    # that a liquid is always warmer than when it was measured is not counted on
    value = min(span.lowest.si, conductivity_at(span.lowest.si, at.si, cold.si, coefficient))
    said = "assumed, common practice" if span.per_kelvin is None else "as stated"
    return Coldest(
        value, f"worked out for {cold.written} from {span.lowest.written} at {at.written}, with {coefficient * 100:g} % "
        f"a kelvin ({said})",
        (given(span.lowest, r"\sigma_0", "lowest conductivity, as measured"), given(at, "T_0", "temperature it was measured at"),
         given(cold, "T", "coldest liquid"),
         Input("T_{25}", "25 degC, to which the coefficient is referred", REFERRED_TO, "temperature", "ISO 7888"),
         Input(r"\alpha", "growth for one kelvin", coefficient, "",
               f"{said}; {REFERENCE}" if span.per_kelvin is None else span.place)))
