"""How deep floats sit, and how light a liquid may become before they sink."""

import math


def cylinder_immersion(mass: float, density: float, diameter: float) -> float:
    """Depth in the liquid of an upright cylinder that floats.

    d = 4 m / (pi rho D^2)

    Args:
        mass: Mass that the liquid carries, m. [kg]
        density: Density of the liquid, rho. [kg/m3]
        diameter: Diameter of the cylinder, D. [m]

    Returns:
        Depth of its underside below the surface. [m]

    Raises:
        ValueError: density or diameter is not positive, or mass is negative.

    Valid while d is not more than the height of the cylinder. Source: Archimedes' principle.

    >>> round(cylinder_immersion(0.060, 1000.0, 0.050) * 1000, 3)
    30.558
    """
    if density <= 0 or diameter <= 0 or mass < 0:
        raise ValueError("density and diameter must be positive, mass not negative")
    return 4 * mass / (math.pi * density * diameter**2)


def sphere_immersion(mass: float, density: float, diameter: float) -> float:
    """Depth in the liquid of a sphere that floats.

    pi d^2 (3 R - d) / 3 = m / rho, R = D / 2

    Args:
        mass: Mass of the sphere, m. [kg]
        density: Density of the liquid, rho. [kg/m3]
        diameter: Diameter of the sphere, D. [m]

    Returns:
        Depth of its lowest point below the surface; the diameter where it does not float. [m]

    Raises:
        ValueError: density or diameter is not positive, or mass is negative.

    Source: Archimedes' principle, volume of a spherical cap; root by halving.

    >>> round(sphere_immersion(0.200, 1000.0, 0.100) * 1000, 3)
    42.065
    """
    if density <= 0 or diameter <= 0 or mass < 0:
        raise ValueError("density and diameter must be positive, mass not negative")
    radius, wanted = diameter / 2, mass / density
    low, high = 0.0, diameter
    for _ in range(60):
        middle = (low + high) / 2
        if math.pi * middle**2 * (3 * radius - middle) / 3 < wanted:
            low = middle
        else:
            high = middle
    return high


def least_density(mass: float, volume: float) -> float:
    """Density of the liquid in which a float is just held under.

    rho = m / V

    Args:
        mass: Mass of the float, m. [kg]
        volume: Outer volume of the float, V. [m3]

    Returns:
        Density; a float needs a denser liquid than this. [kg/m3]

    Raises:
        ValueError: volume is not positive, or mass is negative.

    Source: Archimedes' principle.

    >>> round(least_density(0.060, 117.81e-6), 1)
    509.3
    """
    if volume <= 0 or mass < 0:
        raise ValueError("volume must be positive, mass not negative")
    return mass / volume
