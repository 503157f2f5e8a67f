"""Conductive and capacitive electrodes: resistance between rods, capacity of a coaxial probe."""

import math

ELECTRIC_CONSTANT = 8.8541878128e-12
"""Permittivity of vacuum. [F/m] Source: CODATA 2018."""


def two_rods(length: float, spacing: float, diameter: float) -> float:
    """Cell constant of two parallel rods that stand in liquid.

    K = arcosh(s / d) / (pi l)

    Args:
        length: Wetted length of each rod, l. [m]
        spacing: Distance between their axes, s. [m]
        diameter: Diameter of each rod, d. [m]

    Returns:
        Cell constant; resistance is K over conductivity. [1/m]

    Raises:
        ValueError: length or diameter is not positive, or the rods touch.

    Valid for rods long against their spacing, in a wide vessel. Source: two parallel cylinders, any handbook of
    electrostatics.

    >>> round(two_rods(0.010, 0.020, 0.004) / 0.05, 1)  # 500 uS/cm
    1459.4
    """
    if length <= 0 or diameter <= 0 or spacing <= diameter:
        raise ValueError("length and diameter must be positive, spacing more than the diameter")
    return math.acosh(spacing / diameter) / (math.pi * length)


def rod_in_vessel(length: float, inner: float, outer: float) -> float:
    """Cell constant of a rod in the middle of a round conducting vessel.

    K = ln(D / d) / (2 pi l)

    Args:
        length: Wetted length, l. [m]
        inner: Diameter of the rod, d. [m]
        outer: Inside diameter of the vessel, D. [m]

    Returns:
        Cell constant. [1/m]

    Raises:
        ValueError: a length is not positive, or the rod fills the vessel.

    Source: coaxial cylinders, any handbook of electrostatics.

    >>> round(rod_in_vessel(0.050, 0.006, 1.0), 3)
    16.285
    """
    if length <= 0 or inner <= 0 or outer <= inner:
        raise ValueError("length and rod must be positive, the vessel wider than the rod")
    return math.log(outer / inner) / (2 * math.pi * length)


def coaxial_capacity(inner: float, outer: float, dielectric: float) -> float:
    """Capacity of a coaxial probe for each metre of length.

    C / l = 2 pi e0 er / ln(D / d)

    Args:
        inner: Diameter of the rod, d. [m]
        outer: Inside diameter of the tube around it, D. [m]
        dielectric: Dielectric constant of what fills it, er.

    Returns:
        Capacity for a length. [F/m]

    Raises:
        ValueError: a diameter is not positive, the rod fills the tube, or the constant is below one.

    Source: coaxial cylinders, any handbook of electrostatics.

    >>> round(coaxial_capacity(0.01, 0.10, 1.0) * 1e12, 3)
    24.161
    """
    if inner <= 0 or outer <= inner or dielectric < 1:
        raise ValueError("the rod must be positive, the tube wider, the constant at least one")
    return 2 * math.pi * ELECTRIC_CONSTANT * dielectric / math.log(outer / inner)
