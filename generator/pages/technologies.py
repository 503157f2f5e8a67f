"""Technologies: one page each, and a comparison of all of them against the plant's own liquids."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.model.knowledge import Technology
from generator.model.page import Amount, Link, Page
from generator.model.scalar import Tag
from generator.model.technology import OwnTechnology
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.suited import MARKS, WORDS, CareRow, interval, link, path_of, tidy

PATH = "technologies/index.html"
SECTION = ("Technologies",)
AT_A_TIME = 5
"""Liquids beside each other in one table."""
ACTS = {
    "cable": "A float turns about its fixing; it acts at the free length times the sine of the angle over the fixing, and "
             "lets go as far under it as the lower angle gives.",
    "rods": "Each rod acts at its tip; the rod is cut to the height.",
    "lever": "Arm and angles give the height of the float over the pivot; its depth in the liquid gives the surface.",
    "tube": "A contact acts when the float's magnet passes it; the depth of the float in the liquid gives the surface.",
    "point": "It acts at the height of its sensing part.",
    "displacer": "It acts when the liquid carries a part of its weight, some depth over its underside.",
    "range": "It measures; the point is a set point in the logic, and nothing is cut to it.",
    "none": "Nothing acts on it.",
}
"""How each family acts, in words."""


class Cell(Struct, frozen=True):
    """One technology against one liquid."""

    verdict: str
    mark: str
    tone: str
    why: str


class FitRow(Struct, frozen=True):
    """One technology against every liquid, with the devices of the plant that use it."""

    technology: Link
    used: int
    cells: tuple[Cell, ...]


class Comparison(Struct, frozen=True):
    """The page that opens the technologies."""

    parts: tuple[tuple[tuple[Link, ...], tuple[FitRow, ...]], ...]
    """Some liquids at a time, so that the table fits a screen and a sheet of paper, with a row for each technology."""
    own: tuple[tuple[str, str, Link, str], ...]
    """The plant's own entries: anchor, tag, what each is based on, for which devices it holds."""


class UseRow(Struct, frozen=True):
    """One device of the plant."""

    body: Link
    points: tuple[Link, ...]
    liquid: Link
    verdict: str
    mark: str
    tone: str
    why: str


class TechnologyPage(Struct, frozen=True):
    """One technology."""

    name: str
    principle: str
    acts: str
    needs: tuple[str, ...]
    defeated_by: tuple[str, ...]
    unfit: tuple[tuple[str, str, str], ...]
    judged_by: tuple[tuple[str, str], ...]
    usual: tuple[Amount, ...]
    must_give: tuple[str, ...]
    plausible: tuple[tuple[str, Amount, Amount], ...]
    cautions: tuple[str, ...]
    care: tuple[CareRow, ...]
    test: str
    wetted: str
    hidden: str
    restore: tuple[str, ...]
    references: tuple[str, ...]
    liquids: tuple[tuple[Link, Cell], ...]
    uses: tuple[UseRow, ...]
    own: tuple[tuple[str, str, tuple[str, ...], Link], ...]


def pages(context: Context) -> Iterator[Page]:
    """The comparison, then a page for each technology."""
    plant = context.plant
    liquids = tuple(context.paths.link(tag, str(liquid.name)) for tag, liquid in plant.liquids.items())
    users = {name: [tag for tag, body in plant.instruments.items() if body.technology == name]
             for name in context.knowledge.technologies}
    own_users = {str(kind): [tag for tag, body in plant.instruments.items() if body.kind == kind]
                 for kind in plant.technologies}
    tags = tuple(plant.liquids)
    parts = tuple((liquids[first:first + AT_A_TIME], tuple(
        FitRow(_row_link(context, name), len(users.get(name, own_users.get(name, []))),
               tuple(_cell(fits[tag]) for tag in tags[first:first + AT_A_TIME]))
        for name, fits in context.results.suited.items())) for first in range(0, len(tags), AT_A_TIME))
    mine = tuple((slug(tag), str(tag), link(own.based_on), "all of its devices" if own.everywhere else "devices that name it")
                 for tag, own in plant.technologies.items())
    yield Page(PATH, "Technologies", "technologies", Comparison(parts, mine), SECTION, leads=True,
               words=("ways of sensing", "comparison", "which switch"))
    for name, known in context.knowledge.technologies.items():
        if name != "other" or users[name]:
            yield Page(path_of(name), _title(name), "technology", _page(context, known, users[name]), SECTION,
                       words=(name,))


def _row_link(context: Context, name: str) -> Link:
    """A technology, or the plant's own entry on the page of what it is based on."""
    mine = context.plant.technologies.get(Tag(name))
    return link(name) if mine is None else Link(name, f"{path_of(mine.based_on)}#own-{slug(name)}")


def _title(name: str) -> str:
    return name[0].upper() + name[1:]


def _cell(fit: tuple[str, str]) -> Cell:
    verdict, why = fit
    mark, tone = MARKS[verdict]  # type: ignore[index]  # one of the four
    return Cell("can suit" if verdict == "pass" else WORDS[verdict], mark, tone, tidy(why))  # type: ignore[index]  # likewise


def _page(context: Context, known: Technology, bodies: list[Tag]) -> TechnologyPage:
    fits: Mapping[str, tuple[str, str]] = context.results.suited.get(known.name, {})
    return TechnologyPage(
        _title(known.name), known.principle, ACTS[known.actuation], known.needs, known.defeated_by,
        tuple((one.what, one.because, _excuse(one.unless, one.only)) for one in known.unfit_for),
        tuple((context.knowledge.criteria[name].title, f"{context.knowledge.criteria[name].sense} its own rating; "
               f"{context.knowledge.criteria[name].because}") for name in known.judged_by),
        tuple(amounts.millimetres(value) for value in (*known.accuracy, *known.differential))
        if any((*known.accuracy, *known.differential)) else (), known.must_give,
        tuple((one.field, _usual(one.field, one.lowest), _usual(one.field, one.highest)) for one in known.plausible),
        known.cautions, tuple(CareRow(row.where, interval(row.every), row.do, "common practice")
                              for row in known.care),
        known.test, known.wetted_test, known.hidden_by_simulation, known.restore, known.references,
        tuple((context.paths.link(tag, str(context.plant.liquids[Tag(tag)].name)), _cell(fit)) for tag, fit in fits.items()),
        tuple(_use(context, tag) for tag in bodies),
        tuple((slug(tag), str(tag), tuple(_own_words(own)), context.paths.source(own.place))
              for tag, own in context.plant.technologies.items() if own.based_on == known.name),
    )


def _excuse(unless: tuple[str, ...], only: tuple[str, ...]) -> str:
    said = [f"unless {' or '.join(unless)}" if unless else "", f"only in a {' or '.join(only)}" if only else ""]
    return "; ".join(one for one in said if one)


_UNITS = {"density_lowest": "density", "conductivity_lowest": "conductivity", "viscosity_highest": "viscosity",
          "float_mass": "mass", "calibration_density": "density", "dielectric_lowest": ""}


def _usual(field: str, value: float) -> Amount:
    dimension = _UNITS.get(field.split(".")[-1], "length")
    if dimension == "length":
        return amounts.millimetres(value)
    return amounts.amount(value, dimension)


def _own_words(own: OwnTechnology) -> Iterator[str]:
    for name, words in (("principle", ""), ("needs", "needs "), ("defeated_by", "defeated by ")):
        value = getattr(own, name)
        for one in value if isinstance(value, tuple) else [value] if value else []:
            yield f"{words}{one}"
    limits = own.limits
    for name in type(limits).model_fields:
        if (value := getattr(limits, name)) is not None:
            yield f"limit of the site: {name.replace('_', ' ')} {getattr(value, 'written', value)}"
    for name, words in (("unfit_for", "not used with "), ("fit_for", "used in spite of ")):
        for one in getattr(own, name):
            yield f"{words}{one.what}: {one.because}"
    if own.accuracy is not None:
        yield f"usual error here {own.accuracy.written}"
    if own.must_give:
        yield f"a device of it must give {', '.join(own.must_give)}"
    for one in own.care:
        yield f"cleaned for {one.where} every {one.every.written}: {one.do}"
    if own.wetted_test:
        yield f"a wetted test needs: {own.wetted_test}"
    if own.references:
        yield f"rests on {', '.join(own.references)}"


def _use(context: Context, tag: Tag) -> UseRow:
    body = context.plant.instruments[tag]
    made = context.results.suitability[str(tag)]
    liquid = context.plant.tanks[body.tank].liquid
    why = "; ".join(f"{one.title}: {one.why}" for one in made.judgements if one.verdict == made.verdict) if (
        made.verdict in ("fail", "cannot be assessed")) else ""
    return UseRow(context.paths.link(tag), tuple(context.paths.link(point) for point in context.plant.points_of[tag]),
                  context.paths.link(liquid, str(context.plant.liquids[liquid].name)), WORDS[made.verdict],
                  *MARKS[made.verdict], tidy(why))
