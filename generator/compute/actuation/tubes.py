"""Floats that slide on a guide tube or a support and work a contact on it.

A contact acts when the float's magnet passes it. The magnet sits a known height over the float's underside, and the
underside a depth d below the surface, so the surface stands at contact - magnet + d. On the way back the contact lets
go its differential lower; a contact that keeps its state lets go where the float passes it again.
"""

from generator.compute.actuation.common import Device, immersion_record, moved, shift_record
from generator.compute.actuation.finish import finished, placed
from generator.compute.book import because_of, missing_of
from generator.model.device import Actuation
from generator.model.record import Absence, Outcome, Record

_FREE = "the float slides freely and floats upright"
KEEPS = ("This contact keeps its last state until the float passes back: prove its state after every power return, "
         "and set it by moving the float past it once.")


def point(device: Device) -> Actuation:
    """One contact on a guide."""
    depth = immersion_record(device)
    magnet_missing = device.geometry("magnet_height")
    gaps = [depth] if isinstance(depth, Absence) else []
    start: Outcome
    act: Outcome
    if gaps or magnet_missing or isinstance(depth, Absence):
        why = because_of(gaps) or "the height of the float's magnet is not given"
        missing = dict.fromkeys((*missing_of(gaps), *magnet_missing))
        start = device.absent("fixing", "Height of the contact", why, missing)
        act = device.absent("act", "Height of the surface at the contact", why, missing)
        fixing, is_set = placed(device, start)
    else:
        magnet, immersed = device.input("magnet_height", "a", "magnet over the float's underside"), depth.as_input("d")
        start = moved(device, "fixing", "Height of the contact", device.standing(), {"+": magnet, "-": immersed}, "h",
                      validity=_FREE)
        fixing, is_set = placed(device, start)
        act = moved(device, "act", "Height of the surface at the contact", fixing, {"-": magnet, "+": immersed}, "h_x",
                    validity=_FREE)
    rise, fall = edges(device, act)
    contact = device.switch.contact
    notes = ["The contact's place on the guide is fixed once it is made."] if device.body.geometry.hung_by != "guide" \
        else ["The stop on the guide decides the height; mark it."]
    if contact is not None and contact.keeps_state:
        notes.append(KEEPS)
    return finished(device, "tube", "contact on the guide", fixing, is_set, rise, fall, shift_record(device),
                    notes=tuple(notes))


def edges(device: Device, act: Outcome) -> tuple[Outcome, Outcome]:
    """Rise and fall of a point that acts at a height and lets go its stated differential away."""
    gap = device.setpoint.differential
    rising = device.switch.acts == "rising"
    here, back = ("rise", "fall") if rising else ("fall", "rise")
    names = {"rise": "Rise point", "fall": "Fall point"}
    first: Outcome
    second: Outcome
    if isinstance(act, Absence):
        first = device.absent(here, names[here], act.why, act.missing)
    else:
        first = moved(device, here, names[here], act, {}, "h_{act}")
    if isinstance(act, Record) and isinstance(gap, Record):
        second = moved(device, back, names[back], act, {"-" if rising else "+": gap.as_input(r"\Delta")}, "h_{act}")
    else:
        gaps = [one for one in (act, gap) if isinstance(one, Absence)]
        second = device.absent(back, names[back], because_of(gaps), missing_of(gaps))
    return (first, second) if rising else (second, first)
