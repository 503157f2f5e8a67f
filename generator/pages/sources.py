"""The definitions themselves, one page a file, each line an anchor that the rest of the site points at."""

from collections.abc import Iterator
from dataclasses import dataclass

from generator.model.page import Link, Page
from generator.pages.context import Context
from generator.pages.paths import source_page

SECTION = ("Definitions",)


@dataclass(frozen=True, slots=True)
class Source:
    """One file: its lines, and the tags that it defines with the line of each."""

    file: str
    lines: tuple[str, ...]
    defines: tuple[tuple[Link, Link], ...]


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
        yield Page(source_page(file), file, "source",
                   Source(file, tuple(text.splitlines()), tuple((tag, line) for _, tag, line in defines)), SECTION,
                   nav=file.rsplit("/", 1)[-1])
