"""Signals of transmitters: range, percent, current, and the pressures that a level makes."""

from typing import Literal

from generator.compute.submergence import STANDARD_GRAVITY

LOWEST_CURRENT, CURRENT_SPAN = 0.004, 0.016
NE43 = "NAMUR NE 43, signal level for the failure information of digital transmitters"

Meaning = Literal["failure", "undefined", "measurement"]


def share_of_range(value: float, lower: float, upper: float) -> float:
    """Share of a measuring range, one for the whole.

    p = (x - LRV) / (URV - LRV)

    Args:
        value: Measured value, x.
        lower: Lower range value, LRV, in the same unit.
        upper: Upper range value, URV, in the same unit; not equal to the lower.

    Returns:
        Share; under 0 or over 1 outside the range.

    Raises:
        ValueError: the range has no width.

    Source: definition of a measuring range, IEC 60050-300.

    >>> share_of_range(1.5, 1.0, 3.0)
    0.25
    """
    if lower == upper:
        raise ValueError((lower, upper))
    return (value - lower) / (upper - lower)


def current_of_share(share: float) -> float:
    """Current of a 4-20 mA signal.

    I = 4 mA + 16 mA p

    Args:
        share: Share of the measuring range, p.

    Returns:
        Current. [A]

    Source: IEC 60381-1, direct current signals.

    >>> round(current_of_share(0.5), 6)
    0.012
    """
    return LOWEST_CURRENT + CURRENT_SPAN * share


def share_of_current(current: float) -> float:
    """Share of the measuring range that a 4-20 mA signal shows.

    p = (I - 4 mA) / 16 mA

    Args:
        current: Current, I. [A]

    Returns:
        Share.

    Source: IEC 60381-1, direct current signals.

    >>> round(share_of_current(0.0205), 5)
    1.03125
    """
    return (current - LOWEST_CURRENT) / CURRENT_SPAN


def meaning_of_current(current: float) -> Meaning:
    """What a current of a 4-20 mA signal means: a measurement, a failure, or nothing defined.

    Measurement from 3.8 mA to 20.5 mA; failure at 3.6 mA or under, at 21.0 mA or over; between them undefined.

    Args:
        current: Current. [A]

    Source: NAMUR NE 43.

    >>> meaning_of_current(0.0037), meaning_of_current(0.021)
    ('undefined', 'failure')
    """
    hair = 1e-9
    if current <= 0.0036 + hair or current >= 0.021 - hair:
        return "failure"
    return "measurement" if 0.0038 - hair <= current <= 0.0205 + hair else "undefined"


def hydrostatic_pressure(density: float, depth: float) -> float:
    """Pressure of a column of liquid.

    p = rho g h

    Args:
        density: Density, rho. [kg/m3]
        depth: Height of the column, h. [m]

    Returns:
        Pressure over that at the surface. [Pa]

    Source: hydrostatics; standard gravity of ISO 80000-3.

    >>> round(hydrostatic_pressure(1000.0, 1.0), 2)
    9806.65
    """
    return density * STANDARD_GRAVITY * depth


def open_range(density: float, lowest: float, highest: float, below_tap: float = 0.0) -> tuple[float, float]:
    """Lower and upper range value of a pressure transmitter on an open tank.

    LRV = rho g (d + h_min),  URV = rho g (d + h_max)

    Args:
        density: Density of the liquid, rho. [kg/m3]
        lowest: Level at 4 mA over the lower tap, h_min. [m]
        highest: Level at 20 mA over the lower tap, h_max. [m]
        below_tap: How far the transmitter sits below the tap, d. [m]

    Returns:
        Signed range values. [Pa]

    Source: hydrostatics.

    >>> [round(value) for value in open_range(1000.0, 0.0, 2.0, below_tap=0.5)]
    [4903, 24517]
    """
    return (hydrostatic_pressure(density, below_tap + lowest), hydrostatic_pressure(density, below_tap + highest))


def wet_leg_range(
    density: float, leg_density: float, leg_height: float, lowest: float, highest: float,
) -> tuple[float, float]:
    """Lower and upper range value of a differential-pressure transmitter with a filled leg on a closed tank.

    LRV = rho g h_min - rho_leg g H,  URV = rho g h_max - rho_leg g H

    Args:
        density: Density of the liquid, rho. [kg/m3]
        leg_density: Density of the fill, rho_leg. [kg/m3]
        leg_height: Height of the leg over the lower tap, H. [m]
        lowest: Level at 4 mA over the lower tap, h_min. [m]
        highest: Level at 20 mA over the lower tap, h_max. [m]

    Returns:
        Signed range values. [Pa] The words suppression and elevation are used both ways; the signs are not.

    Valid with the transmitter level with the lower tap, or both sides equally far below it; the vapour weighs nothing.
    Source: hydrostatics.

    >>> [round(value) for value in wet_leg_range(850.0, 1000.0, 3.5, 0.5, 3.0)]
    [-30155, -9316]
    """
    leg = hydrostatic_pressure(leg_density, leg_height)
    return hydrostatic_pressure(density, lowest) - leg, hydrostatic_pressure(density, highest) - leg
