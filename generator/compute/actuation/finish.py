"""The last steps that all families share: differential, action, difference to the height that stands, lengths."""

from generator.compute.actuation.common import Device
from generator.compute.book import because_of, missing_of
from generator.model.device import Actuation
from generator.model.record import Absence, Input, Outcome, Record


def finished(
    device: Device, family: str, word: str, fixing: Outcome, is_set: bool, rise: Outcome, fall: Outcome,
    shift: Outcome | None = None, cut_all: bool = False, notes: tuple[str, ...] = (),
) -> Actuation:
    """One point with everything that follows from its rise, its fall and its fixing.

    Args:
        device: The point.
        family: Name of the rules that were used.
        word: What its fixing is, in words.
        fixing: Height of the fixing. [m]
        is_set: Whether the fixing is given rather than worked out from the height that stands.
        rise: Height at which it acts while the level rises. [m]
        fall: Height at which it acts while the level falls. [m]
        shift: What the span of density moves it. [m]
        cut_all: Whether something is cut to the length below the face.
        notes: Sentences for the fitter.
    """
    acts = rise if device.switch.acts == "rising" else fall
    below = _below(device, fixing)
    return Actuation(
        device.tag, family, fixing, word, is_set, rise, fall, _differential(device, rise, fall), acts,
        _difference(device, acts), shift, below, _cut(device, below) if cut_all else None, notes,
    )


def _pair(device: Device, part: str, name: str, one: Outcome, other: Outcome, equation: str, dimension_of: tuple[str, str]
          ) -> Outcome:
    gaps = [outcome for outcome in (one, other) if isinstance(outcome, Absence)]
    if gaps or isinstance(one, Absence) or isinstance(other, Absence):
        return device.absent(part, name, because_of(gaps), missing_of(gaps))
    return device.book.record(device.key(part), f"{name} of {device.tag}", one.value - other.value, "length", equation,
                              [one.as_input(dimension_of[0]), other.as_input(dimension_of[1])])


def _differential(device: Device, rise: Outcome, fall: Outcome) -> Outcome:
    return _pair(device, "differential", "Differential by its geometry", rise, fall,
                 r"\Delta = h_{rise} - h_{fall}", ("h_{rise}", "h_{fall}"))


def _difference(device: Device, acts: Outcome) -> Outcome:
    standing = device.standing()
    name = "Difference from the height that stands"
    gaps = [outcome for outcome in (acts, standing) if isinstance(outcome, Absence)]
    if gaps or isinstance(acts, Absence) or isinstance(standing, Absence):
        return device.absent("difference", name, because_of(gaps), missing_of(gaps))
    return device.book.record(device.key("difference"), f"{name}, of {device.tag}", acts.value - standing.value,
                              "length", r"\delta = h_{acts} - h", [acts.as_input("h_{acts}"), standing])


def _below(device: Device, fixing: Outcome) -> Outcome | None:
    if device.is_side:
        return None
    face, name = device.face(), "Length below the mounting face"
    if face is None:
        return device.absent("below-face", name, "the mounting face is not given",
                             [f"instruments/{device.body_tag}/mounting_face"])
    if isinstance(fixing, Absence):
        return device.absent("below-face", name, fixing.why, fixing.missing)
    if face.value <= fixing.value:
        return device.absent("below-face", name, f"the mounting face, at {face.value:.3f} m, does not stand over what hangs "
                             f"from it, at {fixing.value:.3f} m", ())
    return device.book.record(device.key("below-face"), f"{name} of {device.tag}", face.value - fixing.value, "length",
                              "l = h_f - h_x", [face, fixing.as_input("h_x")])


def _cut(device: Device, below: Outcome | None) -> Outcome | None:
    """The length to cut, with what the head takes up; absent where that is not given."""
    if below is None:
        return None
    if isinstance(below, Absence):
        return device.absent("cut", "Length to cut", below.why, below.missing)
    missing = device.geometry("above_face")
    if missing:
        return device.absent("cut", "Length to cut", "what the head takes up is not given", missing)
    head: Input = device.input("above_face", "l_h", "taken up by the head")
    return device.book.record(device.key("cut"), f"Length to cut for {device.tag}", below.value + head.value, "length",
                              "l_c = l + l_h", [below.as_input("l"), head])


def placed(device: Device, start: Outcome) -> tuple[Outcome, bool]:
    """The fixing as it was ordered or cut, where that is given; else the one worked out.

    Returns:
        The height of the fixing, and whether it is given.
    """
    given_length, face = device.switch.below_face, device.face()
    if given_length is None or face is None:
        return start, False
    from_face = Input("l", "length below the mounting face, as ordered or cut", given_length.si, "length",
                      given_length.place)
    made: Record = device.book.record(
        device.key("fixing-given"), f"Height of what was ordered for {device.tag}", face.value - from_face.value,
        "length", "h_x = h_f - l", [face, from_face])
    return made, True
