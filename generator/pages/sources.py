"""The definitions themselves, one page a file, each line an anchor that the rest of the site points at."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from generator.model.page import Link, Page
from generator.pages.context import Context
from generator.pages.paths import source_page
from generator.pages.reach import ReachView
from generator.pages.records import door

SECTION = ("Definitions",)


@dataclass(frozen=True, slots=True)
class LineReach:
    """A line with figures: the results that take them in, and the tags that they reach."""

    number: int
    line: Link
    anchor: str
    results: tuple[Link, ...]
    reach: ReachView


@dataclass(frozen=True, slots=True)
class Source:
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
    for file, text in context.sources.items():
        defines = sorted(by_file.get(file, ()), key=lambda one: one[0])
        reaches = tuple(_reaches(context, file))
        yield Page(source_page(file), file, "source",
                   Source(file, tuple(text.splitlines()), tuple((tag, line) for _, tag, line in defines), reaches,
                          {one.number: one.anchor for one in reaches}), SECTION,
                   nav=file.rsplit("/", 1)[-1])


def _reaches(context: Context, file: str) -> Iterator[LineReach]:
    """Lines of a file whose figures go into a result, in order."""
    graph = context.results.dependencies
    for (name, number), sources in sorted(graph.places.items()):
        if name == file:
            direct = dict.fromkeys(key for source in sources for key in graph.feeds.get(source, ()))
            yield LineReach(number, Link(f"line {number}", f"{source_page(file)}#L{number}"), f"if-L{number}",
                            tuple(door(context, key) for key in direct), context.reach_of(sources))
