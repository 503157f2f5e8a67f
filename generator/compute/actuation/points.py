"""Devices that act where they sit (fork, capacitance, gap, optical, thermal), and displacers that hang at a height."""

from generator.compute.actuation.common import Device, immersion_record, moved, shift_record
from generator.compute.actuation.finish import finished, placed
from generator.compute.actuation.tubes import edges
from generator.compute.book import given
from generator.model.device import Actuation
from generator.model.record import Absence, Outcome


def point(device: Device) -> Actuation:
    """A device that acts at the height of its sensing part."""
    nozzle = device.nozzle
    if device.is_side and nozzle is not None:
        fixing: Outcome
        if nozzle.height is None:
            fixing = device.absent("fixing", "Height of the sensing part", "the height of its nozzle is not given",
                                   [f"tanks/{device.body.tank}/nozzles/{device.body.nozzle}/height"])
        else:
            fixing = moved(device, "fixing", "Height of the sensing part",
                           given(nozzle.height, "h_n", "middle of the nozzle"), {}, "h_n")
        is_set = True
    else:
        start = moved(device, "fixing", "Height of the sensing part", device.standing(), {}, "h")
        fixing, is_set = placed(device, start)
    rise, fall = edges(device, fixing)
    return finished(device, "point", "sensing part", fixing, is_set, rise, fall)


def displacer(device: Device) -> Actuation:
    """A displacer: its contact moves when the liquid carries a part of its weight, a depth over its underside."""
    depth = immersion_record(device, "lift_mass")
    start: Outcome
    if isinstance(depth, Absence):
        start = device.absent("fixing", "Height of the displacer's underside", depth.why, depth.missing)
    else:
        start = moved(device, "fixing", "Height of the displacer's underside", device.standing(),
                      {"-": depth.as_input("d")}, "h")
    fixing, is_set = placed(device, start)
    act: Outcome
    if isinstance(depth, Absence):
        act = device.absent("act", "Height of the surface as it acts", depth.why, depth.missing)
    else:
        act = moved(device, "act", "Height of the surface as it acts", fixing, {"+": depth.as_input("d")}, "h_x")
    rise, fall = edges(device, act)
    return finished(device, "displacer", "underside of the displacer", fixing, is_set, rise, fall,
                    shift_record(device, "lift_mass"))
