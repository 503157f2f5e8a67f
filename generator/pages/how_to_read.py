"""How to read the document: marks, minutes, drawings, the matrix, contacts, modes, and what it is not."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.page import Page, Running
from generator.pages import strip
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running

PATH = "how-to-read.html"
MARKS = (
    ("Levels", (
        ("trip", "filled diamond, thick line", "trip: a forced state that stays until it is reset"),
        ("high", "triangle upwards, dashed line", "alarm on a rising level"),
        ("low", "triangle downwards, dashed line", "alarm on a falling level"),
        ("control", "ring, thin line", "control: ordinary running"),
        ("vessel", "two bars, dash-dot line", "fixed by the vessel: overflow, rim, pump limit"),
        ("permissive", "arrow at a bar", "permissive: needed for a start, stops nothing"),
    )),
    ("Contacts and machines", (
        ("closed", "bar through two dots", "contact closed between its terminals"),
        ("open", "lifted arm, hollow dot", "contact open between its terminals"),
        ("run", "disc with an arrow", "pump or machine runs"),
        ("stop", "ring with a square", "pump or machine is stopped"),
        ("vopen", "hollow bow-tie", "valve open"),
        ("vshut", "filled bow-tie", "valve shut"),
        ("latch", "padlock", "latched: stays until a person resets it"),
    )),
    ("The review", (
        ("pass", "tick", "checked, and it holds"),
        ("fail", "filled square with a cross", "checked, and it does not hold"),
        ("cannot", "dashed ring with a question mark", "cannot be assessed: something is not recorded"),
        ("waived", "half-filled ring", "somebody decided to live with it, for a time"),
        ("hold", "octagon with two bars", "not settled yet"),
    )),
    ("Decisions and changes", (
        ("bypass", "arch over a gap", "bypass: put out of use on purpose, for a time"),
        ("changed", "hollow triangle and a bar at the left", "changed since an earlier issue"),
        ("alert", "filled triangle with a bar", "DANGER, WARNING or CAUTION: somebody can be hurt, read before you touch it"),
        ("notice", "square with an i", "NOTICE: nobody is hurt, but property, product or protection may be"),
        ("alarm", "bell", "alarm as it stands on the screen"),
    )),
)


class ModeView(Struct, frozen=True):
    """One mode of the plant."""

    anchor: str
    name: str
    means: Running


class HowToRead(Struct, frozen=True):
    """What the page shows beside its fixed text."""

    marks: tuple[tuple[str, tuple[tuple[str, str, str], ...]], ...]
    modes: tuple[ModeView, ...]
    datum: Running
    standing: str
    not_covered: tuple[Running, ...]


def pages(context: Context) -> Iterator[Page]:
    """The page on reading."""
    plant = context.plant
    yield Page(PATH, "How to read this document", "how_to_read", HowToRead(
        MARKS, tuple(ModeView(slug(tag), mode.name, running(context, mode.means)) for tag, mode in plant.modes.items()),
        running(context, plant.plant.datum), strip.standing(context),
        tuple(running(context, one) for one in plant.plant.not_covered),
    ), ("How to read",), nav="How to read this", words=("symbols", "legend", "marks"), leads=True)
