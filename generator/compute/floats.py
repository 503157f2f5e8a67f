"""Whether a float floats at all: what it weighs against the liquid that it can displace."""

import math

from generator.compute.suited_facts import Place
from generator.model.device import Judgement
from generator.model.instrument import Geometry, Instrument
from generator.model.tank import Liquid

BASIS = "Archimedes' principle"


def displaceable(shape: Geometry) -> float | None:
    """Largest volume of liquid that a float can push aside, as recorded; None where nothing recorded bounds it.

    Returns:
        The volume that is stated, else that of the sphere, else that of the upright cylinder round the float. [m3]

    Source: volumes of sphere and cylinder.
    """
    diameter, height = shape.float_diameter, shape.float_height
    if shape.float_volume is not None:
        volume = shape.float_volume.si
    elif diameter is not None and shape.float_shape == "sphere":
        volume = math.pi * diameter.si**3 / 6
    elif diameter is not None and height is not None:
        volume = math.pi * diameter.si**2 * height.si / 4
    else:
        return None
    return volume if volume > 0 else None


def carried(shape: Geometry, mass_field: str, liquid: Liquid) -> tuple[float, float] | None:
    """What the liquid must carry, and the most that the lightest liquid can; None where that is not recorded. [kg]

    Args:
        shape: Geometry of the device.
        mass_field: `float_mass`, or `lift_mass` of a displacer.
        liquid: What is in the tank.
    """
    mass, volume = getattr(shape, mass_field), displaceable(shape)
    if mass is None or volume is None or liquid.density is None or liquid.density.lowest.si <= 0:
        return None
    return mass.si, liquid.density.lowest.si * volume


def sinks(shape: Geometry, mass_field: str, liquid: Liquid) -> str:
    """Why the device never acts; empty where it floats, or where what is recorded does not tell."""
    both = carried(shape, mass_field, liquid)
    if both is None or both[0] <= both[1] * (1 + 1e-9):
        return ""
    weighs, can = (f"{one * 1000:.4g} g" for one in both)
    if mass_field == "lift_mass":
        return f"the displacer is never lifted: its contact asks for {weighs}, it can displace {can} of the lightest liquid"
    return f"the float sinks: it weighs {weighs}, can displace {can} of the lightest liquid"


def judgement(place: Place, body: Instrument, mass_field: str) -> Judgement:
    """The float's weight against its size; where they are not recorded, the rated density alone is judged."""
    both = carried(body.geometry, mass_field, place.liquid)
    if both is None:
        return Judgement("floats", "Weight and size", "does not apply",
                         "weight and size of the float, or the density of the liquid, are not recorded", basis=BASIS)
    said = f"it weighs {both[0] * 1000:.4g} g, can displace {both[1] * 1000:.4g} g"
    why = sinks(body.geometry, mass_field, place.liquid)
    return Judgement("floats", "Weight and size", "fail" if why else "pass", why or said, said if why else "", basis=BASIS)
