"""Lever floats from the side or the top: a straight or bent arm between two angles, and the depth at which it floats.

With the inner part a of the arm at an angle t to the horizontal and the outer part b turned down by an angle k, the
float's middle stands at a sin(t) + b sin(t - k) over the pivot; a straight arm has b = 0. The surface stands over the
float's middle by its immersion less half its height.
"""

import math

from generator.compute.actuation.common import Device, immersion_record, moved, shift_record
from generator.compute.actuation.finish import finished, placed
from generator.compute.book import because_of, given, missing_of
from generator.compute.floats import sinks
from generator.model.device import Actuation
from generator.model.record import Absence, Input, Outcome, Record

_ARM = "the float is held by its arm alone; lift of the arm's own volume not counted"


def float_height(inner: float, outer: float, bend: float, angle: float) -> float:
    """Height of a float's middle over the pivot of a bent arm.

    u = a sin t + b sin(t - k)

    Args:
        inner: Arm from the pivot to the bend, a; the whole arm where it is straight. [m]
        outer: Arm from the bend to the float, b; 0 where it is straight. [m]
        bend: Angle by which the outer part is turned down, k. [rad]
        angle: Angle of the inner part over the horizontal, t. [rad]

    Returns:
        Height; negative below the pivot. [m]

    Source: trigonometry.

    >>> up = float_height(0.3, 0.0, 0.0, math.radians(20))
    >>> round((up - float_height(0.3, 0.0, 0.0, math.radians(-20))) * 1000, 1)
    205.2
    """
    return inner * math.sin(angle) + outer * math.sin(angle - bend)


def point(device: Device) -> Actuation:
    """One point of a lever float."""
    up, down, line = _arm(device, "up", 1), _arm(device, "down", -1), _waterline(device)
    rising = device.switch.acts == "rising"
    step = up if rising else down
    fixing: Outcome
    is_set = True
    if device.is_side and device.nozzle is not None:
        fixing = _pivot(device)
    else:
        gaps = [one for one in (step, line) if isinstance(one, Absence)]
        if gaps or isinstance(step, Absence) or isinstance(line, Absence):
            fixing = device.absent("fixing", "Height of the pivot", because_of(gaps), missing_of(gaps))
        else:
            fixing = moved(device, "fixing", "Height of the pivot", device.standing(),
                           {"- arm": step.as_input("u"), "- line": line.as_input("w")}, "h", validity=_ARM)
        fixing, is_set = placed(device, fixing)
    rise = _edge(device, "rise", "Rise point", fixing, up, line)
    fall = _edge(device, "fall", "Fall point", fixing, down, line)
    return finished(device, "lever", "pivot of the arm", fixing, is_set, rise, fall, shift_record(device),
                    notes=("Swing the arm by hand over its whole way before the device is closed.",))


def _arm(device: Device, part: str, sign: int) -> Outcome:
    name = f"Float over the pivot, {'rising' if sign > 0 else 'falling'},"
    shape = device.body.geometry
    missing = [*device.geometry("arm", f"angle_{part}")]
    if shape.arm_outer is not None:
        missing += device.geometry("bend")
    if missing:
        return device.absent(part, name, "arm or angles are not given", missing)
    arm = device.input("arm", "a", "arm from pivot to float" if shape.arm_outer is None else "arm from pivot to bend")
    angle = device.input(f"angle_{part}", "t", "angle over the horizontal" if sign > 0 else "angle under it")
    inputs: list[Input] = [arm, angle]
    outer = bend = 0.0
    equation = r"u = a \sin t" if sign > 0 else r"u = - a \sin t"
    if shape.arm_outer is not None and shape.bend is not None:
        outer, bend = shape.arm_outer.si, shape.bend.si
        inputs += [given(shape.arm_outer, "b", "arm from bend to float"), given(shape.bend, "k", "bend, downwards")]
        equation = (r"u = a \sin t + b \sin\left( t - k \right)" if sign > 0
                    else r"u = - a \sin t - b \sin\left( t + k \right)")
    return device.book.record(device.key(part), f"{name} of {device.tag}",
                              float_height(arm.value, outer, bend, sign * angle.value), "length", equation, inputs,
                              reference="trigonometry")


def _waterline(device: Device) -> Outcome:
    """Surface over the float's middle: immersion less half the height."""
    shape = device.body.geometry
    name = "Surface over the float's middle"
    if shape.float_shape == "other" and not sinks(shape, "float_mass", device.liquid):
        return device.book.record(device.key("waterline"), f"{name}, for {device.tag}", 0.0, "length", "w = 0",
                                  validity="shape not worked out: right within half the float's height")
    depth = immersion_record(device)
    sphere = shape.float_shape == "sphere"
    missing = () if sphere else device.geometry("float_height")
    gaps = [depth] if isinstance(depth, Absence) else []
    if gaps or missing or isinstance(depth, Absence):
        return device.absent("waterline", name, because_of(gaps) or "the float's height is not given",
                             dict.fromkeys((*missing_of(gaps), *missing)))
    height = device.input("float_diameter", "H", "float's height, a sphere") if sphere else \
        device.input("float_height", "H", "float's height")
    return device.book.record(device.key("waterline"), f"{name}, for {device.tag}", depth.value - height.value / 2,
                              "length", r"w = d - \frac{H}{2}", [depth.as_input("d"), height])


def _pivot(device: Device) -> Outcome:
    nozzle = device.nozzle
    if nozzle is None or nozzle.height is None:
        return device.absent("fixing", "Height of the pivot", "the height of its nozzle is not given",
                             [f"tanks/{device.body.tank}/nozzles/{device.body.nozzle}/height"])
    return moved(device, "fixing", "Height of the pivot", given(nozzle.height, "h_n", "middle of the nozzle"), {},
                 "h_n", validity="pivot in the middle of the nozzle")


def _edge(device: Device, part: str, name: str, pivot: Outcome, arm: Outcome, line: Outcome) -> Outcome:
    gaps = [one for one in (arm, line) if isinstance(one, Absence)]
    if gaps or not isinstance(arm, Record) or not isinstance(line, Record):
        return device.absent(part, name, because_of(gaps), missing_of(gaps))
    return moved(device, part, name, pivot, {"+ arm": arm.as_input("u"), "+ line": line.as_input("w")}, "h_x",
                 validity=_ARM, reference="trigonometry; Archimedes' principle")
