"""Properties of water from the reference equation of state. The only room for `chemicals`."""

from functools import cache

from chemicals import iapws as library

ATMOSPHERE = 101325.0
"""Pressure at which a liquid in an open tank is looked up. [Pa]"""

REFERENCE = "IAPWS-95, equation of state of water"
COLDEST, HOTTEST = 273.16, 373.12
"""Between freezing and boiling at atmospheric pressure. [K]"""
DENSEST = 277.13
"""Temperature at which water is heaviest at atmospheric pressure. [K]"""


@cache
def density(temperature: float) -> float:
    """Density of pure water at atmospheric pressure.

    Args:
        temperature: Temperature. [K]

    Returns:
        Density. [kg/m3]

    Raises:
        ValueError: water is no liquid at this temperature and atmospheric pressure.

    Source: IAPWS-95.

    >>> round(density(293.15), 3)
    998.207
    """
    if not COLDEST <= temperature <= HOTTEST:
        raise ValueError(temperature)
    value: float = library.iapws95_rho(temperature, ATMOSPHERE)
    return value


@cache
def saturation_pressure(temperature: float) -> float:
    """Pressure at which pure water boils.

    Args:
        temperature: Temperature, from the triple point to the critical point. [K]

    Returns:
        Absolute pressure. [Pa]

    Source: IAPWS-95.

    >>> round(saturation_pressure(293.15))
    2339
    """
    value: float = library.iapws95_Psat(temperature)
    return value
