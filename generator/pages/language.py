"""Writing definitions: the reference of the language, shown where the plant asks for it."""

from collections.abc import Iterator
from dataclasses import dataclass

from generator.model.language import NounEntry
from generator.model.page import Link, Page
from generator.pages.context import Context
from generator.pages.paths import slug

SECTION = ("Writing definitions",)
SCHEMA = "data/definitions.schema.json"


@dataclass(frozen=True, slots=True)
class Overview:
    """The first page: nouns, units, and the few rules that hold everywhere."""

    nouns: tuple[tuple[Link, NounEntry], ...]
    units: tuple[tuple[str, tuple[str, ...]], ...]
    schema: str


@dataclass(frozen=True, slots=True)
class NounPage:
    """One noun with all blocks below it; `anchors` finds a block by its name."""

    entry: NounEntry
    anchors: dict[str, str]


def pages(context: Context) -> Iterator[Page]:
    """The overview and one page a noun; nothing where the plant does not ask for it."""
    if not context.plant.plant.show_language:
        return
    language = context.knowledge.language
    links = tuple((Link(entry.noun, f"definitions/{slug(entry.noun)}.html"), entry) for entry in language.nouns)
    yield Page("definitions/index.html", "Writing definitions", "language", Overview(links, language.units, SCHEMA),
               SECTION, "How to write")
    for link, entry in links:
        anchors = {block.name: slug(block.name) for block in entry.blocks}
        keys = tuple(key.key for block in entry.blocks for key in block.keys)
        yield Page(link.path, f"Definitions: {entry.noun}", "noun", NounPage(entry, anchors), SECTION, entry.noun, keys)
