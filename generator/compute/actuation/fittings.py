"""What a whole body needs beside its points: counterweight, reference electrode, spacers, room to swing."""

import math
from collections.abc import Mapping, Sequence

from generator.compute.actuation.common import mounting_face
from generator.compute.book import Book, given
from generator.model.device import Actuation, Fitting
from generator.model.instrument import Instrument
from generator.model.plant import Definitions
from generator.model.record import Absence, Input, Outcome, Record, value_of
from generator.model.scalar import Tag

SPACER_EVERY_USUAL = "rods are usually tied about every 0.45 m; common practice, no source"
TIP_FREE = 0.050
"""Length by which a spacer keeps away from the tip of any rod: a wet one bridges it. Common practice, no source. [m]"""
MOST_MORE = 12
"""How many spacers more than needed are tried, before a fitter has to place them by hand."""


def fitting(plant: Definitions, tag: str, points: Mapping[str, Actuation], book: Book) -> Fitting:
    """Everything for one body. `points` are its own, by tag."""
    body = plant.instruments[Tag(tag)]
    face_input = mounting_face(plant, tag)
    face: Outcome
    if face_input is None:
        face = book.absence(f"#{tag}/fitting/face", f"Mounting face of {tag}", "no face is given that looks down",
                            [f"instruments/{tag}/mounting_face"])
    else:
        face = book.record(f"#{tag}/fitting/face", f"Mounting face of {tag}", face_input.value, "length", "h_f",
                           [face_input])
    deep = sorted(points.values(), key=lambda one: value_of(one.below_face) or 0.0)
    lengths = [one.below_face for one in deep if isinstance(one.below_face, Record)]
    family = deep[0].family if deep else ""
    weight, weight_length = _weight(tag, body, deep, face, book) if family == "cable" else (None, None)
    reference, reference_cut = _reference(tag, body, lengths, book) if family == "rods" else (None, None)
    tied = sorted([*(one.value for one in lengths), *([] if (longest := value_of(reference)) is None else [longest])])
    swing = _swing(tag, body, family, book)
    return Fitting(
        tag, face, tuple(one.tag for one in deep), weight, weight_length,
        None if weight is None else _weight_room(tag, body, book), reference, reference_cut,
        _spacers(tag, body, tied, book) if family == "rods" else (), swing, _room(tag, body, swing, book),
    )


def _weight(tag: str, body: Instrument, deep: Sequence[Actuation], face: Outcome, book: Book
            ) -> tuple[Outcome | None, Outcome | None]:
    if body.geometry.hung_by != "weight":
        return None, None
    name = f"Counterweight of {tag}"
    lowest = min((one.fixing for one in deep if isinstance(one.fixing, Record)), key=lambda one: one.value, default=None)
    if body.geometry.weight_below is None or lowest is None or isinstance(face, Absence):
        missing = [f"instruments/{tag}/geometry/weight_below"] if body.geometry.weight_below is None else [
            field for one in deep if isinstance(one.fixing, Absence) for field in one.fixing.missing]
        gap = book.absence(f"#{tag}/fitting/weight", name, "its place on the line is not given", missing)
        return gap, gap
    below = given(body.geometry.weight_below, "b", "counterweight under the lowest fixing")
    height = book.record(f"#{tag}/fitting/weight", f"{name}, height above the datum", lowest.value - below.value,
                         "length", "h_w = h_x - b", [lowest.as_input("h_x"), below])
    return height, book.record(f"#{tag}/fitting/weight-length", f"{name}, below the mounting face",
                               face.value - height.value, "length", "l = h_f - h_w",
                               [face.as_input("h_f"), height.as_input("h_w")])


def _weight_room(tag: str, body: Instrument, book: Book) -> Outcome:
    """From the counterweight up to the underside of the lowest float, tilted as far as it must."""
    key, name = f"#{tag}/fitting/weight-room", f"Room between the float and the counterweight of {tag}"
    shape = body.geometry
    below, tether, angle, float_ = shape.weight_below, shape.tether, shape.angle_down, shape.float_diameter
    if below is None or tether is None or angle is None or float_ is None:
        values = {"weight_below": below, "tether": tether, "angle_down": angle, "float_diameter": float_}
        return book.absence(key, name, "weight, free cable, angle or float is not given",
                            [f"instruments/{tag}/geometry/{field}" for field, value in values.items() if value is None])
    return book.record(key, name, below.si - tether.si * math.sin(angle.si) - float_.si / 2, "length",
                       r"s = b - L \sin \beta - \frac{D}{2}",
                       [given(below, "b", "counterweight under the lowest fixing"), given(tether, "L", "free cable"),
                        given(angle, r"\beta", "angle under the horizontal"), given(float_, "D", "diameter of the float")])


def _reference(tag: str, body: Instrument, lengths: Sequence[Record], book: Book
               ) -> tuple[Outcome | None, Outcome | None]:
    if body.geometry.reference_below is None or not lengths:
        return None, None
    below = given(body.geometry.reference_below, "b", "reference electrode under the lowest rod")
    longest = max(lengths, key=lambda one: one.value)
    made = book.record(f"#{tag}/fitting/reference", f"Reference electrode of {tag}, below the mounting face",
                       longest.value + below.value, "length", "l_r = l + b", [longest.as_input("l"), below])
    head = body.geometry.above_face
    if head is None:
        return made, book.absence(f"#{tag}/fitting/reference-cut", f"Length to cut for the reference electrode of {tag}",
                                  "what the head takes up is not given", [f"instruments/{tag}/geometry/above_face"])
    taken = given(head, "l_h", "taken up by the head")
    return made, book.record(f"#{tag}/fitting/reference-cut", f"Length to cut for the reference electrode of {tag}",
                             made.value + taken.value, "length", "l_c = l_r + l_h", [made.as_input("l_r"), taken])


def _spacers(tag: str, body: Instrument, tied: Sequence[float | None], book: Book) -> tuple[Outcome, ...]:
    """Spacers at equal steps between the face and the end of the second longest rod, none further apart than allowed.

    A wet spacer beside a tip holds that rod wet. Where equal steps would put one there, more of them are taken.
    """
    known = [one for one in tied if one is not None]
    if len(known) < 2:
        return ()
    every, name = body.geometry.spacer_every, f"Spacers of {tag}"
    if every is None or every.si <= 0:
        return (book.absence(f"#{tag}/fitting/spacers", name, "their distance is not given; "
                             + SPACER_EVERY_USUAL, [f"instruments/{tag}/geometry/spacer_every"]),)
    reach = known[-2]
    least = max(0, math.ceil(reach / every.si - 1e-9) - 1)
    count = next((one for one in range(least, least + MOST_MORE + 1) if _keep_clear(reach, one, known)), None)
    if count is None:
        return (book.absence(f"#{tag}/fitting/spacers", name, "equal steps would put one beside the tip of a rod, where a wet "
                             f"spacer bridges it: place them by hand, {TIP_FREE * 1000:.0f} mm from every tip"),)
    shared = Input("l_2", "second longest rod below the face", reach, "length", "lengths of the rods")
    moved = f"More than the {least} that the stretches ask for, so that none sits beside the tip of a rod and bridges it." \
        if count > least else ""
    return tuple(
        book.record(f"#{tag}/fitting/spacers/{number}", f"Spacer {number} of {tag}, below the mounting face",
                    reach * number / (count + 1), "length", r"l_i = \frac{i l_2}{n + 1}",
                    [shared, Input("i", "number of the spacer", number, "", "counted from the face"),
                     Input("n", "spacers, so that no stretch is longer than allowed", count, "", "counted"),
                     given(every, "s", "longest stretch without a spacer")], reference=SPACER_EVERY_USUAL,
                    validity=f"at least {TIP_FREE * 1000:.0f} mm from the tip of every rod", note=moved)
        for number in range(1, count + 1))


def _keep_clear(reach: float, count: int, tips: Sequence[float]) -> bool:
    """Whether so many spacers at equal steps all keep away from every tip."""
    return all(abs(reach * number / (count + 1) - tip) >= TIP_FREE - 1e-9 for number in range(1, count + 1) for tip in tips)


def _swing(tag: str, body: Instrument, family: str, book: Book) -> Outcome | None:
    """Free radius about the axis: tether or arm, and half the float."""
    shape = body.geometry
    if family not in ("cable", "lever") or shape.hung_by == "guide":
        return None
    reach, field = (shape.tether, "tether") if family == "cable" else (shape.arm, "arm")
    if reach is None or shape.float_diameter is None:
        missing = [f"instruments/{tag}/geometry/{name}" for name, value in ((field, reach), (
            "float_diameter", shape.float_diameter)) if value is None]
        return book.absence(f"#{tag}/fitting/swing", f"Room to swing of {tag}", "arm, tether or float is not given", missing)
    inputs = [given(reach, "L", "free cable" if family == "cable" else "arm")]
    value, equation = reach.si, r"r = L + \frac{D}{2}"
    if family == "lever" and shape.arm_outer is not None:
        inputs.append(given(shape.arm_outer, "b", "outer part of the arm"))
        value, equation = value + shape.arm_outer.si, r"r = L + b + \frac{D}{2}"
    half = given(shape.float_diameter, "D", "diameter of the float")
    return book.record(f"#{tag}/fitting/swing", f"Room to swing of {tag}", value + half.value / 2, "length", equation,
                       [*inputs, half])


def _room(tag: str, body: Instrument, swing: Outcome | None, book: Book) -> Outcome | None:
    if swing is None:
        return None
    clearance = body.geometry.clearance
    if isinstance(swing, Absence) or clearance is None:
        missing = [*(swing.missing if isinstance(swing, Absence) else ()),
                   *([f"instruments/{tag}/geometry/clearance"] if clearance is None else [])]
        return book.absence(f"#{tag}/fitting/room", f"Room left around {tag}", "clearance or swing is not given", missing)
    free = given(clearance, "c", "free distance around its axis")
    return book.record(f"#{tag}/fitting/room", f"Room left around {tag}", free.value - swing.value, "length",
                       "s = c - r", [free, swing.as_input("r")])
