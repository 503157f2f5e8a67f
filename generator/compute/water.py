"""Vapour pressure and density of water: the one module that asks the property library (`chemicals`, IAPWS-95)."""

from functools import lru_cache

FREEZING, HIGHEST = 273.15, 473.15
"""Temperatures between which water is asked for: liquid at air pressure, and hot water under pressure. [K]"""
BOILING = 373.12
"""Up to here water is liquid in an open tank. [K]"""
DENSEST = 277.13
"""Temperature at which water is heaviest at air pressure. [K]"""
REFERENCE = "IAPWS-95, equation of state of water"
VALIDITY = "pure water; salts and solids lower the vapour pressure a little, which is the safe side"
_TRIPLE, _AIR = 273.16, 101325.0


def vapour_pressure(temperature: float) -> float:
    """Pressure at which water boils at a temperature.

    Args:
        temperature: Temperature of the water. [K]

    Returns:
        Absolute pressure. [Pa]

    Raises:
        ValueError: the temperature is not between FREEZING and HIGHEST.

    Source: IAPWS-95, saturation line.

    >>> round(vapour_pressure(353.15))
    47414
    """
    return _properties(temperature)[0]


def density(temperature: float) -> float:
    """Density of water at air pressure, from its boiling point on at saturation.

    Args:
        temperature: Temperature of the water. [K]

    Returns:
        Density. [kg/m3]

    Raises:
        ValueError: the temperature is not between FREEZING and HIGHEST.

    Source: IAPWS-95.

    >>> round(density(353.15), 1)
    971.8
    """
    return _properties(temperature)[1]


@lru_cache(maxsize=256)
def _properties(temperature: float) -> tuple[float, float]:
    """Vapour pressure [Pa] and density [kg/m3]; at freezing those of the triple point, a hundredth of a kelvin above."""
    # Imported late: it costs half a second, and a plant that gives its own figures never needs it.
    from chemicals import iapws

    if not FREEZING <= temperature <= HIGHEST:
        raise ValueError(temperature)
    settled = max(temperature, _TRIPLE)
    pressure = float(iapws.iapws95_Psat(settled))
    heavy = iapws.iapws95_rho(settled, max(_AIR, pressure * (1 + 1e-6)))
    return pressure, float(heavy)
