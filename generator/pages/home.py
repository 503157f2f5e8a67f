"""The home page: how the document stands, a search, three doors in the reader's words, areas, what is open."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.page import Link, Page, Running, Strip
from generator.pages import areas, open_points, strip
from generator.pages.answers import Answer, answers
from generator.pages.context import Context
from generator.pages.days import day
from generator.pages.prose import running

MOST_OPEN = 20
DOORS = (
    ("An alarm is up", (
        ("What does it mean, what do I do first", "registers/alarms.html"),
        ("Why did this pump stop, what clears it", "tags.html#pumps"),
        ("Why did this valve move, what clears it", "tags.html#valves"),
        ("How is this trip reset, and where", "registers/interlocks.html"),
        ("What starts by itself when power is back", "registers/power-return.html"),
    )),
    ("I am going to work on it", (
        ("What must I know before I open it", "tags.html#switches"),
        ("What still protects on bypass", "registers/bypasses.html"),
        ("Contacts and what they may switch", "registers/contacts.html"),
        ("Terminals, cables, what is live", "registers/wiring.html"),
        ("Lengths to cut and set", "registers/lengths.html"),
        ("What must I order", "registers/order-list.html"),
        ("Proof tests", "registers/tests.html"),
    )),
    ("I am checking it", (
        ("Why is this setpoint this number", "registers/setpoints.html"),
        ("Cause-and-effect matrices", "matrices/index.html"),
        ("Checks: passed, failed, not assessable, waived", "review/findings.html"),
        ("What protects from each hazard", "registers/hazards.html"),
        ("What one failure does", "registers/single-failures.html"),
        ("What two layers share", "review/independence.html"),
        ("Can two interlocks fight", "registers/contending.html"),
        ("Rules of the review", "review/rules.html"),
    )),
)


class Issue(Struct, frozen=True):
    """One issue of the document."""

    revision: str
    on: str
    status: str
    why: Running


class Home(Struct, frozen=True):
    """What the page shows."""

    strip: Strip
    about: Running
    passed: int
    tally: tuple[open_points.Tally, ...]
    blocks: tuple[str, ...]
    doors: tuple[tuple[str, tuple[Link, ...]], ...]
    totals: str
    areas: tuple[areas.AreaRow, ...]
    open: tuple[open_points.OpenPoint, ...]
    open_in_all: int
    refusal: str
    standing: str
    issues: tuple[Issue, ...]
    facts: tuple[tuple[str, str], ...]
    not_covered: tuple[Running, ...]
    answers: tuple[Answer, ...]


def pages(context: Context) -> Iterator[Page]:
    """The home page."""
    plant = context.plant
    open_now = open_points.points(context, by_rule=True)
    issues = tuple(Issue(one.revision, day(one.on), one.status, running(context, one.why))
                   for one in reversed(plant.revisions))
    status = strip.strip(context)
    yield Page("index.html", status.title, "home", Home(
        status, running(context, plant.plant.about), context.review.count("pass"), open_points.tally(context),
        context.review.blocks,
        _doors(context),
        areas.counts(len(plant.tanks), len(plant.switches), len(plant.interlocks), len(plant.pumps), len(plant.valves)),
        tuple(areas.rows(context)), open_now[:MOST_OPEN], len(open_now), _refusal(context),
        strip.standing(context), issues, tuple(_facts(context, status)),
        tuple(running(context, one) for one in plant.plant.not_covered), answers(context),
    ), nav="Home")


def _doors(context: Context) -> tuple[tuple[str, tuple[Link, ...]], ...]:
    """The doors; one that leads to a kind of thing which the plant has not, is left out. Valves stand in for pumps."""
    lacking = {f"tags.html#{noun}" for noun in ("pumps", "switches", "valves") if not getattr(context.plant, noun)}
    if context.plant.pumps:
        lacking.add("tags.html#valves")
    return tuple((title, tuple(Link(text, path) for text, path in rows if path not in lacking)) for title, rows in DOORS)


def _refusal(context: Context) -> str:
    if any(one.is_open and one.severity == "error" for one in context.review.findings):
        return "with an open error the document cannot be issued for construction"
    return "no open error"


def _facts(context: Context, status: Strip) -> Iterator[tuple[str, str]]:
    document = context.plant.plant.document
    last = context.plant.revisions[-1] if context.plant.revisions else None
    yield "Number", status.number
    yield "Revision", f"{last.revision}, {day(last.on)}" if last else "not issued yet"
    yield "Status", status.status
    yield "Data of", status.as_of
    yield "Heights from", f"each tank's own datum; elevations from {context.plant.plant.datum}"
    yield "Prepared", document.prepared or "open"
    yield "Checked", document.checked or "open"
    yield "Approved", document.approved or "open"
    yield "Fingerprint", f"{status.fingerprint}: the same on paper and screen means the same data"
