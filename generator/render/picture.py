"""A diagram in a page: two drawings, of which the stylesheet shows one, or the reason why there is none."""


from markupsafe import Markup
from msgspec import Struct

from generator.errors import DrawingError
from generator.model.diagram import Diagram
from generator.render.diagram import drawn


class Picture(Struct, frozen=True):
    """Drawings left to right (desk, paper) and top to bottom (phone); or, where nothing could be drawn, the problem."""

    wide: Markup
    narrow: Markup
    problem: str


def picture(diagram: Diagram, root: str) -> Picture:
    """Draw a diagram for a page. A diagram that cannot be drawn costs a note; the page says the same in words."""
    try:
        wide, narrow = drawn(diagram, root, "LR"), drawn(diagram, root, "TB")
    except DrawingError as problem:
        return Picture(Markup(), Markup(), str(problem))
    return Picture(Markup(wide), Markup(narrow), "")  # noqa: S704  # written by our own writer, every text escaped
