"""The register of lengths to cut and set: every body with something to measure, in one table and one file."""

from collections.abc import Iterator

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
    yield register.page(
        context, "lengths", "Lengths to cut and set",
        "What a fitter cuts, hangs or sets for each point, straight down from the mounting face, and where the point then "
        "acts. Points set in a controller are left out. The sheet of each device shows the rest: reference electrode, "
        "counterweight, spacers, room and orientation.",
        COLUMNS, register.by_area(context, tags, lambda tag: _row(context, tag)),
    )


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
