"""Conductive rods: each acts where the liquid touches its tip, so the tip stands at the height and the rod is cut to it."""

from generator.compute.actuation.common import Device, moved
from generator.compute.actuation.finish import finished, placed
from generator.compute.actuation.tubes import edges
from generator.compute.book import given
from generator.compute.conductivity import EQUATION, REFERENCE, VALIDITY, coldest
from generator.compute.electrodes import two_rods
from generator.model.device import Actuation
from generator.model.record import Input, Outcome

WETTED = 0.010
"""Length of tip for which a resistance is shown: that of rods wetted to a depth of 10 mm. [m]"""
DROP = "A film or a drop lets go later than the tip leaves the liquid; the differential stated is the device's own."


def point(device: Device) -> Actuation:
    """One rod."""
    start = moved(device, "fixing", "Height of the rod tip", device.standing(), {}, "h",
                  reference="the circuit closes at the tip")
    fixing, is_set = placed(device, start)
    rise, fall = edges(device, fixing)
    _resistance(device)
    return finished(device, "rods", "rod tip", fixing, is_set, rise, fall, cut_all=True, notes=(DROP,))


def _resistance(device: Device) -> Outcome | None:
    """Resistance between two rods wetted at their tips, at the lowest conductivity, for the record alone."""
    shape, span, cold = device.body.geometry, device.liquid.conductivity, coldest(device.liquid)
    lowest: Input | None = None
    if cold.value is not None and cold.inputs:
        lowest = device.book.record(
            device.key("conductivity"), f"Lowest conductivity at {device.tag}, liquid at its coldest", cold.value,
            "conductivity", EQUATION, cold.inputs, validity=VALIDITY, reference=REFERENCE, note=cold.note,
        ).as_input(r"\sigma")
    elif cold.value is not None and span is not None:
        lowest = given(span.lowest, r"\sigma", "lowest conductivity")
    if lowest is None or shape.rod_diameter is None or shape.rod_spacing is None:
        return None
    if lowest.value <= 0 or shape.rod_diameter.si <= 0 or shape.rod_spacing.si <= shape.rod_diameter.si:
        return None
    value = two_rods(WETTED, shape.rod_spacing.si, shape.rod_diameter.si) / lowest.value
    return device.book.record(
        device.key("resistance"), f"Resistance at the tip of {device.tag}, in ohm", value, "",
        r"R = \frac{\operatorname{arcosh}\left( \frac{s}{d} \right)}{\pi l \sigma}",
        [device.input("rod_spacing", "s", "distance between rods"), device.input("rod_diameter", "d", "rod diameter"),
         Input("l", "wetted length of each rod", WETTED, "length", "convention of this working"), lowest],
        validity="two rods wetted over 10 mm, far from any wall", reference="two parallel cylinders, handbook")
