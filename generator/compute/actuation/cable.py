"""Floats on a cable: one that hangs from a clamp, a weight or a bracket and tilts about it, or slides on a guide.

Such a float turns about its fixing. With the free length L between fixing and float it acts at L sin(a_up) over the
fixing while it rises and lets go at L sin(a_down) under it while it falls; the span is L (sin a_up + sin a_down), and
with equal angles its middle is the height of the fixing. A float on a guide does not turn: see tubes.py.
"""

import math

from msgspec.structs import replace

from generator.compute.actuation import tubes
from generator.compute.actuation.common import Device, moved, shift_record
from generator.compute.actuation.finish import finished, placed
from generator.compute.floats import sinks
from generator.model.device import Actuation
from generator.model.record import Absence, Outcome, Record

_TILTS = "the float's middle stands for the surface: within half its height; set by trial in liquid"
_SHIFT = "at most: a float that lies has more of itself at the surface than an upright one and moves less"


def leg(length: float, angle: float) -> float:
    """Height between a fixing and the float at the end of a taut cable or a straight arm.

    u = L sin a

    Args:
        length: Free length, L. [m]
        angle: Angle to the horizontal, a. [rad]

    Returns:
        Height. [m]

    Source: trigonometry.

    >>> round(leg(0.1, math.radians(45)) * 2000, 1)
    141.4
    """
    return length * math.sin(angle)


def point(device: Device) -> Actuation:
    """One point on a float that hangs from a cable."""
    if device.body.geometry.hung_by == "guide":
        return tubes.point(device)
    missing = device.geometry("tether", "angle_up", "angle_down")
    sunk = sinks(device.body.geometry, "float_mass", device.liquid)
    up: Outcome
    down: Outcome
    if missing or sunk:
        why = sunk or "free length or angles are not given"
        up = device.absent("up", "Height over the fixing", why, () if sunk else missing)
        down = device.absent("down", "Height under the fixing", why, () if sunk else missing)
    else:
        up, down = _leg(device, "up", "over"), _leg(device, "down", "under")
    rising = device.switch.acts == "rising"
    step = up if rising else down
    start: Outcome
    if isinstance(step, Absence):
        start = device.absent("fixing", "Height of the fixing", step.why, step.missing)
    else:
        start = moved(device, "fixing", "Height of the fixing", device.standing(),
                      {"-" if rising else "+": step.as_input("u")}, "h", validity=_TILTS)
    fixing, is_set = placed(device, start)
    rise = _edge(device, "rise", "Rise point", fixing, "+", up)
    fall = _edge(device, "fall", "Fall point", fixing, "-", down)
    made = finished(device, "cable", "fixing of the free cable", fixing, is_set, rise, fall,
                    shift_record(device, note=_SHIFT, bound=True), notes=_notes(device))
    return replace(made, cable=_cable(device, made.below_face))


def _cable(device: Device, below: Outcome | None) -> Outcome | None:
    """Cable that hangs below the face: to the fixing, and the free cable from there to the float."""
    name, tether = "Cable below the mounting face", device.body.geometry.tether
    if below is None or isinstance(below, Absence) or tether is None:
        return None if below is None else device.absent(
            "cable", name, "the length to the fixing or the free cable is not known",
            [*(below.missing if isinstance(below, Absence) else ()), *device.geometry("tether")])
    return device.book.record(device.key("cable"), f"{name}, to the float of {device.tag}", below.value + tether.si, "length",
                              "l_c = l + L", [below.as_input("l"), device.input("tether", "L", "free cable")],
                              validity="without what the gland and the way to the box take up")


def _leg(device: Device, part: str, side: str) -> Record:
    angle = device.input(f"angle_{part}", r"\alpha", f"angle {side} the horizontal")
    tether = device.input("tether", "L", "free cable between fixing and float")
    return device.book.record(device.key(part), f"Height {side} the fixing at which {device.tag} acts",
                              leg(tether.value, angle.value), "length", r"u = L \sin\alpha", [tether, angle],
                              validity="cable held taut by the float", reference="trigonometry")


def _edge(device: Device, part: str, name: str, fixing: Outcome, sign: str, step: Outcome) -> Outcome:
    if isinstance(step, Absence):
        return device.absent(part, name, step.why, step.missing)
    return moved(device, part, name, fixing, {sign: step.as_input("u")}, "h_x", validity=_TILTS,
                 reference="trigonometry")


def _notes(device: Device) -> tuple[str, ...]:
    how = device.body.geometry.hung_by
    return {
        "clamp": ("Clamp the cable at the fixing; from there the float hangs on its free length.",),
        "weight": ("Tie the cable to the weight line at the fixing; the weight keeps the line straight.",),
        "bracket": ("Fix the cable on the bracket or rail at the fixing, with the free length below it.",),
    }.get(how or "", ("How the float is held is not recorded.",))
