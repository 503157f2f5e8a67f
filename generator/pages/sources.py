"""The definitions themselves, one page a file, each line an anchor that the rest of the site points at."""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from generator.model.page import Later, Link, Page
from generator.pages.context import Context
from generator.pages.paths import source_page
from generator.pages.reach import ReachView
from generator.pages.records import door

SECTION = ("Definitions",)


class LineReach(Struct, frozen=True):
    """A line with figures: the results that take them in, and the tags that they reach."""

    number: int
    line: Link
    anchor: str
    results: tuple[Link, ...]
    reach: ReachView


class Source(Struct, frozen=True):
    """One file: its lines, the tags that it defines with the line of each, and what each line with figures reaches."""

    file: str
    lines: tuple[str, ...]
    defines: tuple[tuple[Link, Link], ...]
    reaches: tuple[LineReach, ...]
    anchors: Mapping[int, str]


def pages(context: Context) -> Iterator[Page]:
    """A page for each definition file, where the plant shows its source."""
    if not context.plant.plant.show_source:
        return
    by_file: dict[str, list[tuple[int, Link, Link]]] = {}
    for _, members in context.plant.nouns():
        for tag, definition in members.items():
            place = definition.place
            if place.file:
                line = Link(f"line {place.line}", f"{source_page(place.file)}#L{place.line}")
                by_file.setdefault(place.file, []).append((place.line, context.paths.link(tag), line))
    figures: dict[str, list[tuple[int, Sequence[str]]]] = {}
    for (name, number), sources in context.results.dependencies.places.items():
        figures.setdefault(name, []).append((number, sources))
    for file, text in context.sources.items():
        defines = tuple((tag, line) for _, tag, line in sorted(by_file.get(file, ()), key=lambda one: one[0]))
        yield Page(source_page(file), file, "source", Later(_view, context, file, text, defines, figures.get(file, [])),
                   SECTION, nav=file.rsplit("/", 1)[-1])


def _view(context: Context, file: str, text: str, defines: tuple[tuple[Link, Link], ...],
          figures: list[tuple[int, Sequence[str]]]) -> Source:
    reaches = tuple(_reaches(context, file, figures))
    return Source(file, tuple(text.splitlines()), defines, reaches, {one.number: one.anchor for one in reaches})


def _reaches(context: Context, file: str, figures: list[tuple[int, Sequence[str]]]) -> Iterator[LineReach]:
    """Lines of a file whose figures go into a result, in order."""
    feeds = context.results.dependencies.feeds
    for number, sources in sorted(figures):
        direct = dict.fromkeys(key for source in sources for key in feeds.get(source, ()))
        yield LineReach(number, Link(f"line {number}", f"{source_page(file)}#L{number}"), f"if-L{number}",
                        tuple(door(context, key) for key in direct), context.reach_of(sources))
