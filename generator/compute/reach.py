"""What nozzle and body allow: the heights a point can be set to, and the distance between acting and letting go."""

import math

from generator.compute.book import Book, given
from generator.model.instrument import Instrument
from generator.model.plant import Definitions
from generator.model.quantity import Size
from generator.model.record import Outcome
from generator.model.results import Band
from generator.model.scalar import Tag

SIDE_POINTS = ("vibrating fork", "capacitance", "ultrasonic gap", "optical", "thermal dispersion", "side lever float",
               "conductive rods")
"""Devices that act at the height of a wall nozzle."""

SWING = r"d = l \left( \sin\alpha_u + \sin\alpha_d \right)"


def swing(length: float, angle_up: float, angle_down: float) -> float:
    """Height between acting and letting go of a float on an arm or a free cable.

    d = l (sin a_up + sin a_down)

    Args:
        length: Arm from pivot to float, or free cable from its fixing to a tilting float, l. [m]
        angle_up: Angle over the horizontal at which it acts. [rad]
        angle_down: Angle under the horizontal at which it lets go. [rad]

    Returns:
        Height. [m]

    Valid for a straight arm, or a cable held taut by the float. Source: geometry of the arm.

    >>> round(swing(0.3, math.radians(20), math.radians(20)), 4)
    0.2052
    """
    return length * (math.sin(angle_up) + math.sin(angle_down))


def reachable(plant: Definitions, tag: str) -> Band | None:
    """Heights at which a point can be set; None where neither reach nor a wall nozzle decides it. [m]

    A stated reach counts first, then a transmitter's range. A point device in a wall nozzle acts at the nozzle's
    height, a lever float within the swing of its arm and half its float about it.
    """
    body = plant.instruments[plant.switches[Tag(tag)].in_]
    if body.reach is not None:
        return Band(body.reach.lowest.si, body.reach.highest.si)
    if body.range is not None:
        return Band(min(body.range.lower.si, body.range.upper.si), max(body.range.lower.si, body.range.upper.si))
    nozzle = plant.tanks[body.tank].nozzles.get(Tag(body.nozzle)) if body.nozzle else None
    if nozzle is None or nozzle.on != "wall" or nozzle.height is None or body.technology not in SIDE_POINTS:
        return None
    arm = body.geometry.arm if body.technology == "side lever float" else None
    if arm is None:
        return Band(nozzle.height.si, nozzle.height.si)
    up, down = (math.sin(angle.si) if angle else 1.0 for angle in (body.geometry.angle_up, body.geometry.angle_down))
    # The surface stands somewhere between the float's bottom and its top, by how deep the liquid lets it swim.
    half = body.geometry.float_diameter.si / 2 if body.geometry.float_diameter else 0.0
    return Band(nozzle.height.si - arm.si * down - half, nozzle.height.si + arm.si * up + half)


def differential(plant: Definitions, tag: str, book: Book) -> Outcome:
    """Distance between acting and letting go: stated for the point, for its body, or from arm or tether and angles."""
    switch = plant.switches[Tag(tag)]
    body = plant.instruments[switch.in_]
    key, name = f"#{tag}/differential", f"Differential of {tag}"
    stated = switch.differential or body.differential
    if stated is not None:
        return book.record(key, name, stated.si, "length", "d", [given(stated, "d", "differential")])
    length, up, down = _arm(body), body.geometry.angle_up, body.geometry.angle_down
    if length is not None and up is not None and down is not None:
        return book.record(key, name, swing(length.si, up.si, down.si), "length", SWING,
                           [given(length, "l", "arm or free cable"), given(up, r"\alpha_u", "angle at which it acts"),
                            given(down, r"\alpha_d", "angle at which it lets go")],
                           validity="straight arm, or a cable held taut by the float", reference="geometry of the arm")
    return book.absence(key, name, "no differential is given",
                        [f"switches/{tag}/differential", f"instruments/{switch.in_}/differential"])


def _arm(body: Instrument) -> Size | None:
    if body.technology in ("side lever float", "top lever float"):
        return body.geometry.arm
    return body.geometry.tether if body.technology in ("cable float", "tilt float") else None
