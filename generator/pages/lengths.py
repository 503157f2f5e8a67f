"""The register of lengths to cut and set: every body with something to measure, in one table and one file."""

from collections.abc import Callable, Iterator

from generator.model.page import Link, Page
from generator.model.record import Record, value_of
from generator.model.scalar import Tag
from generator.pages import amounts, register
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.register import Row, cell

COLUMNS = ("Point", "Device", "Technology", "What", "Cut or set to", "Below the face", "Height", "Rise", "Fall",
           "Off its height", "Moved by density", "Sheet")


def pages(context: Context) -> Iterator[Page]:
    """The register of lengths."""
    tags = [tag for tag in context.plant.switches if tag in context.results.actuations]
    hung = [tag for tag, one in context.results.transmitters.items() if one.hung is not None]
    referred = [tag for tag, one in context.results.fittings.items() if one.reference is not None]
    kinds: dict[str, Callable[[Context, str], Row]] = {
        **dict.fromkeys(tags, _row), **dict.fromkeys(hung, _hung), **dict.fromkeys(referred, _reference)}
    yield register.page(
        context, "lengths", "Lengths to cut and set",
        "What a fitter cuts, hangs or sets for each point, straight down from the mounting face, and where the point then "
        "acts. Points set in a controller are left out; the probe that hangs on its cable is not. The sheet of each "
        "device shows the rest: counterweight, spacers, room and orientation.",
        COLUMNS, register.by_area(context, list(kinds), lambda tag: kinds[tag](context, tag)),
    )


def _hung(context: Context, tag: str) -> Row:
    """A probe on a cable: its length is cut for the membrane, whatever points stand on its signal."""
    length, points = context.results.transmitters[tag].hung, context.plant.points_of[Tag(tag)]
    at = context.plant.instruments[Tag(tag)].taps
    sheet = Link("sheet", f"{context.paths.path(points[0])}#fitter-sheet") if points else "no point, no sheet"
    return Row(slug(tag), (
        cell(context.paths.link(tag), " itself"), cell(context.paths.link(tag)),
        cell(context.plant.instruments[Tag(tag)].technology), cell("membrane"), cell(amounts.outcome(length, "mm")),
        cell(amounts.outcome(length, "mm")), cell(amounts.metres(at.at.si) if at is not None and at.at is not None else None),
        cell("continuous"), cell("continuous"), cell("set in the signal"), cell("see its error with the density"), cell(sheet),
    ))


def _reference(context: Context, tag: str) -> Row:
    """The reference electrode of a body with rods: it is cut like the others, though it is no point."""
    fitting, body = context.results.fittings[tag], context.plant.instruments[Tag(tag)]
    cut = fitting.reference_cut if isinstance(fitting.reference_cut, Record) else fitting.reference
    face, below = value_of(fitting.face), value_of(fitting.reference)
    return Row(slug(tag), (
        cell(context.paths.link(tag), " reference"), cell(context.paths.link(tag)), cell(body.technology),
        cell("reference electrode"), cell(amounts.outcome(cut, "mm")), cell(amounts.outcome(fitting.reference, "mm")),
        cell(amounts.metres(face - below) if face is not None and below is not None else amounts.NOT_ASSESSED),
        cell("no point"), cell("no point"), cell("no point"), cell("no point"),
        cell(Link("sheet", f"{context.paths.path(fitting.points[0])}#fitter-sheet") if fitting.points else "no point, no sheet"),
    ))


def _row(context: Context, tag: str) -> Row:
    acting = context.results.actuations[tag]
    body = context.plant.switches[Tag(tag)].in_
    in_wall = acting.below_face is None
    cut = acting.cut if isinstance(acting.cut, Record) else acting.below_face
    shift = acting.shift
    moved = "not moved" if shift is None else amounts.outcome(shift) if value_of(shift) is None else amounts.in_unit(
        value_of(shift) or 0.0, "mm", 1, shift.key)
    return Row(slug(tag), (
        cell(context.paths.link(tag)), cell(context.paths.link(body)),
        cell(context.plant.instruments[body].technology), cell(acting.fixing_word),
        cell("sits in its nozzle") if in_wall else cell(amounts.outcome(cut, "mm")),
        cell("in the wall") if in_wall else cell(amounts.outcome(acting.below_face, "mm")),
        cell(amounts.outcome(acting.fixing)), cell(amounts.outcome(acting.rise)), cell(amounts.outcome(acting.fall)),
        cell(amounts.outcome(acting.difference, "mm")), cell(moved),
        cell(Link("sheet", f"{context.paths.path(tag)}#fitter-sheet")),
    ))
