"""The fitter's sheet of a body: cut list, counterweight, spacers, room, orientation, and where its points then act."""

from collections.abc import Iterator

from msgspec import Struct

from generator.draw.fitter_sketch import FitterSketch, Item, Kind, arm, hanging
from generator.model.device import Actuation, Fitting
from generator.model.page import Amount, Link, Running
from generator.model.quantity import Quantity
from generator.model.record import Outcome, Record, value_of
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.story import Fact

_PART: dict[str, Kind] = {"cable": "float", "tube": "contact", "rods": "rod", "lever": "pivot", "point": "probe",
                          "displacer": "weight"}
_FACE_TO = {"cable": "face to fixing", "tube": "face to contact", "rods": "face to tip", "lever": "face to pivot",
            "point": "face to sensing part", "displacer": "face to underside"}


class CutRow(Struct, frozen=True):
    """One line of the cut list; `cut` is the number to cut or set to, with an empty box beside it."""

    what: Running
    which: Running
    cut: Amount
    measure: str
    down: Amount
    height: Amount
    is_own: bool


class ActRow(Struct, frozen=True):
    """Where one point then acts."""

    point: Link
    rise: Amount
    fall: Amount
    differential: Amount
    difference: Amount
    shift: Amount
    is_own: bool


class FitterSheet(Struct, frozen=True):
    """Everything on the sheet."""

    anchor: str
    body: str
    technology: str
    where: str
    brief: Running
    """The numbers that the point of this page is cut or set to, in one line."""
    cuts: tuple[CutRow, ...]
    acts: tuple[ActRow, ...]
    facts: tuple[Fact, ...]
    spacers: tuple[Amount, ...]
    spacers_why: str
    notes: tuple[Running, ...]
    cautions: tuple[str, ...]
    sketch: FitterSketch | None
    document: str


def sheet(context: Context, tag: str) -> FitterSheet | None:
    """The sheet of the body that a switch is a point of; None for a set point on a transmitter that is not cut or hung."""
    body_tag = str(context.plant.switches[Tag(tag)].in_)
    found = context.results.transmitters.get(body_tag)
    if found is not None and found.hung is not None:
        return _hung(context, body_tag, found.hung)
    fitting = context.results.fittings.get(body_tag)
    if fitting is None or tag not in context.results.actuations:
        return None
    body = context.plant.instruments[Tag(body_tag)]
    acting = [context.results.actuations[point] for point in fitting.points]
    known = context.knowledge.technologies.get(body.technology)
    nozzle = f"nozzle {body.nozzle}" if body.nozzle else "hangs free"
    notes = tuple(dict.fromkeys(note for one in acting for note in one.notes))
    document = context.plant.plant.document
    return FitterSheet(
        slug(body_tag), body_tag, body.technology, f"{body.tank}, {nozzle}",
        _brief(context.results.actuations[tag]), tuple(_cuts(context, fitting, acting, tag)),
        tuple(_act(context, one, tag) for one in acting), tuple(_facts(context, body_tag, fitting, acting[0])),
        tuple(amounts.outcome(one, "mm") for one in fitting.spacers if isinstance(one, Record)),
        next((one.why for one in fitting.spacers if not isinstance(one, Record)), ""),
        tuple(running(context, note) for note in notes), known.cautions if known else (),
        _sketch(context, body_tag, fitting, acting, tag), f"{document.number}, {document.status}",
    )


def _hung(context: Context, tag: str, hung: Outcome) -> FitterSheet:
    """The sheet of a probe that hangs on its cable: one length, whatever points stand on its signal."""
    body = context.plant.instruments[Tag(tag)]
    down, document = amounts.outcome(hung, "mm"), context.plant.plant.document
    at = body.taps.at if body.taps is not None else None
    known = context.knowledge.technologies.get(body.technology)
    length = value_of(hung)
    items = [Item("probe", length, tag, _down(hung), True)] if length is not None and length >= 0 else []
    facts = []
    if at is not None and length is not None:
        facts.append(Fact("Mounting face", (amounts.metres(at.si + length), " above the tank's datum")))
    facts.append(Fact("Orientation", (running(context, body.orientation) if body.orientation else ("not recorded",))))
    return FitterSheet(
        slug(tag), tag, body.technology, f"{body.tank}, nozzle {body.nozzle}" if body.nozzle else f"{body.tank}, hangs free",
        ("Face to membrane ", down, ". Its points are set in the signal."),
        (CutRow((context.paths.link(tag),), ("membrane",), down, "face to membrane", down,
                amounts.metres(at.si) if at else Amount(amounts.NOT_ASSESSED), True),),
        (), tuple(facts), (), "", (), known.cautions if known else (),
        hanging(f"sketch-{slug(tag)}", f"What hangs from the mounting face of {tag}, lengths to scale", items, [], 0.0)
        if items else None, f"{document.number}, {document.status}",
    )


def _cuts(context: Context, fitting: Fitting, acting: list[Actuation], tag: str) -> Iterator[CutRow]:
    for one in acting:
        if one.below_face is None:
            continue
        number = one.cut if isinstance(one.cut, Record) else one.below_face
        measure = "whole length" if isinstance(one.cut, Record) else _FACE_TO[one.family]
        rod = context.plant.switches[Tag(one.tag)].rod
        yield CutRow((context.paths.link(one.tag),), _which(one, rod), amounts.outcome(number, "mm"), measure,
                     amounts.outcome(one.below_face, "mm"), amounts.outcome(one.fixing), one.tag == tag)
    if fitting.reference is not None:
        cut = fitting.reference_cut if isinstance(fitting.reference_cut, Record) else fitting.reference
        yield CutRow(("Reference electrode",), (_reach(context, fitting.tag),), amounts.outcome(cut, "mm"),
                     "whole length" if cut is fitting.reference_cut else "face to tip",
                     amounts.outcome(fitting.reference, "mm"), _height_of(fitting), False)
    if fitting.weight is not None:
        yield CutRow(("Counterweight",), ("its top",), amounts.outcome(fitting.weight_below_face, "mm"), "face to weight",
                     amounts.outcome(fitting.weight_below_face, "mm"), amounts.outcome(fitting.weight), False)


def _reach(context: Context, tag: str) -> str:
    """How far down the reference electrode must reach, in words."""
    below = context.plant.instruments[Tag(tag)].geometry.reference_below
    return "reaches below the lowest rod" if below is not None and below.si > 0 else "reaches as far down as the lowest rod"


def _which(one: Actuation, rod: str | None) -> Running:
    """What is set, and how much cable that takes."""
    word = str(rod or one.fixing_word)
    return (word,) if one.cable is None else (word, "; cable below the face ", amounts.outcome(one.cable, "mm"),
                                              ", the free cable counted")


def _brief(one: Actuation) -> Running:
    length: Running = ()
    if isinstance(one.cut, Record):
        length = ("Cut to ", amounts.outcome(one.cut, "mm"), " whole length. ")
    elif one.below_face is not None:
        length = (f"{_FACE_TO[one.family].capitalize()} ", amounts.outcome(one.below_face, "mm"), ". ")
    return (*length, "It acts at ", amounts.outcome(one.rise), " rising and ", amounts.outcome(one.fall), " falling.")


def _height_of(fitting: Fitting) -> Amount:
    face, length = value_of(fitting.face), value_of(fitting.reference)
    return amounts.metres(face - length) if face is not None and length is not None else Amount(amounts.NOT_ASSESSED)


def _act(context: Context, one: Actuation, tag: str) -> ActRow:
    return ActRow(
        context.paths.link(one.tag), amounts.outcome(one.rise), amounts.outcome(one.fall),
        amounts.outcome(one.differential, "mm"), amounts.outcome(one.difference, "mm"), _mm(one.shift), one.tag == tag,
    )


def _mm(outcome: Outcome | None) -> Amount:
    """Millimetres to a tenth, for shifts that are often less than one; a word where density does not count."""
    if outcome is None:
        return Amount("not moved")
    return amounts.in_unit(outcome.value, "mm", 1, outcome.key) if isinstance(outcome, Record) else amounts.outcome(outcome)


def _facts(context: Context, body_tag: str, fitting: Fitting, first: Actuation) -> Iterator[Fact]:
    body = context.plant.instruments[Tag(body_tag)]
    shape = body.geometry
    if first.below_face is None:
        yield Fact(f"Height of the {first.fixing_word}", (amounts.outcome(first.fixing), ", the middle of its nozzle"))
    if isinstance(fitting.face, Record):
        yield Fact("Mounting face", (amounts.outcome(fitting.face), " above the tank's datum"))
    if shape.hung_by is not None:
        yield Fact("Held by", (f"a {shape.hung_by}",))
    for label, names in (("Taken up by the head", ("above_face",)), ("Free cable", ("tether",)),
                         ("Angles over and under the horizontal", ("angle_up", "angle_down")),
                         ("Arm", ("arm", "arm_outer")), ("Bend of the arm", ("bend",)), ("Tube", ("tube_length",)),
                         ("Float, diameter and mass", ("float_diameter", "float_mass")),
                         ("Magnet over the float's underside", ("magnet_height",)),
                         ("Least distance of two points", ("least_spacing",)), ("Rod diameter", ("rod_diameter",)),
                         ("Distance between rods", ("rod_spacing",))):
        given = [value for name in names if isinstance(value := getattr(shape, name), Quantity)]
        if given:
            parts: list[Amount | str] = []
            for value in given:
                parts += [" and " if parts else "", amounts.as_written(value)]
            yield Fact(label, tuple(part for part in parts if part != ""))
    if body.differential_by is not None:
        yield Fact("Rise to fall", ("fixed by its make",) if body.differential_by == "make" else (
            "set at the device: ", amounts.outcome(first.differential, "mm"), ", then locked and read back"))
    if shape.dirt_guard is not None:
        yield Fact("Against dirt", ("nothing over the pivot" if shape.dirt_guard == "none" else
                                    f"{shape.dirt_guard} over the pivot, whole and in place",))
    if shape.rods is not None:
        yield Fact("Rods in the head", (str(shape.rods),))
    if fitting.swing is not None:
        yield Fact("Room all round its axis", ("needs ", amounts.outcome(fitting.swing, "mm"), ", left over ",
                                               amounts.outcome(fitting.room, "mm")))
    if fitting.weight_room is not None:
        yield Fact("Tilted float to the weight", (amounts.outcome(fitting.weight_room, "mm"), " left over"))
    yield Fact("Orientation", (running(context, body.orientation) if body.orientation else ("not recorded",)))


def _sketch(context: Context, body_tag: str, fitting: Fitting, acting: list[Actuation], tag: str) -> FitterSketch | None:
    key = f"sketch-{slug(body_tag)}"
    body = context.plant.instruments[Tag(body_tag)]
    if acting[0].family == "lever" and acting[0].below_face is None:
        shape, one = body.geometry, acting[0]
        if shape.arm is None or shape.angle_up is None or shape.angle_down is None:
            return None
        outer = shape.arm_outer.si if shape.arm_outer else 0.0
        return arm(key, f"Arm of {body_tag} at its two angles", shape.angle_up.si, shape.angle_down.si,
                   shape.bend.si if shape.bend else 0.0, outer / (shape.arm.si + outer) if shape.arm.si + outer else 0.0,
                   (("rises to", _said(one.rise)), ("falls to", _said(one.fall))))
    items = [Item(_PART[one.family], value, one.tag, _down(one.below_face), one.tag == tag) for one in acting
             if (value := value_of(one.below_face)) is not None and value >= 0]
    for name, kind, outcome in (("Reference electrode", "reference", fitting.reference),
                                ("Counterweight", "weight", fitting.weight_below_face)):
        if (value := value_of(outcome)) is not None and value >= 0:
            items.append(Item(kind, value, name, _down(outcome)))  # type: ignore[arg-type]  # a kind from the row above
    if not items:
        return None
    spacers = [value for one in fitting.spacers if (value := value_of(one)) is not None]
    return hanging(key, f"What hangs from the mounting face of {body_tag}, lengths to scale", items, spacers,
                   body.geometry.tube_length.si if acting[0].family == "tube" and body.geometry.tube_length else 0.0)


def _down(outcome: Outcome | None) -> str:
    shown = amounts.outcome(outcome, "mm")
    return f"{shown.number} {shown.unit} down".replace("  ", " ")


def _said(outcome: Outcome) -> str:
    shown = amounts.outcome(outcome)
    return f"{shown.number} {shown.unit}".strip()
