"""Writing definitions: the reference of the language, shown where the plant asks for it."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.language import NounEntry
from generator.model.page import Link, Page
from generator.pages import rules
from generator.pages.context import Context
from generator.pages.paths import slug

SECTION = ("Writing definitions",)
SCHEMA = "data/definitions.schema.json"
_BANDS = Link("How a band is counted", "definitions/index.html#bands")
MORE = {
    "instruments": (Link("What each technology must be given", "technologies/index.html"), _BANDS),
    "switches": (_BANDS,),
    "interlocks": (Link("What the logic means", "what-the-logic-means.html"),),
    "waivers": (Link("The findings, each with what a waiver must accept", "review/findings.html"),),
}
"""What else to read for a noun."""


class Overview(Struct, frozen=True):
    """The first page: nouns, units, and the few rules that hold everywhere."""

    nouns: tuple[tuple[Link, NounEntry], ...]
    units: tuple[tuple[str, tuple[str, ...]], ...]
    schema: str
    levels: tuple[tuple[str, str], ...]
    states: tuple[tuple[Link, tuple[str, ...]], ...]
    values: tuple[tuple[Link, tuple[str, ...]], ...]
    """What a reference in free text may name, by the noun of its tag; of this plant."""
    rules: tuple[tuple[Link, str, tuple[str, ...]], ...]
    """Published rules by the name that a definition writes, with their title and the keys besides `rules_in_force` they suit."""


class NounPage(Struct, frozen=True):
    """One noun with all blocks below it; `anchors` finds a block by its name."""

    entry: NounEntry
    anchors: dict[str, str]
    more: tuple[Link, ...]
    """What else to read for it."""


def pages(context: Context) -> Iterator[Page]:
    """The overview and one page a noun; nothing where the plant does not ask for it."""
    if not context.plant.plant.show_language:
        return
    language = context.knowledge.language
    links = tuple((Link(entry.noun, f"definitions/{slug(entry.noun)}.html"), entry) for entry in language.nouns)
    to = {link.text: link for link, _ in links}
    values = tuple((to[noun], words) for noun in to if (words := _values(context, noun)))
    yield Page("definitions/index.html", "Writing definitions", "language", Overview(
        links, language.units, SCHEMA, language.levels, tuple((to[noun], states) for noun, states in language.states),
        values, tuple(_rules(context))), SECTION, "How to write")
    for link, entry in links:
        anchors = {block.name: slug(block.name) for block in entry.blocks}
        keys = tuple(key.key for block in entry.blocks for key in block.keys)
        yield Page(link.path, f"Definitions: {entry.noun}", "noun", NounPage(entry, anchors, MORE.get(entry.noun, ())),
                   SECTION, entry.noun, keys)


def _rules(context: Context) -> Iterator[tuple[Link, str, tuple[str, ...]]]:
    """Published rules: name with a link to what it says, title, and the keys that may name it once it is in force."""
    for rule in context.knowledge.rules.values():
        gap = ("gap_of",) if rule.time is not None or rule.height is not None else ()
        starts = ("starts_rule",) if rule.cycles else ()
        yield Link(rule.name, f"{rules.PATH}#{rules.anchor(rule.name)}"), rule.title, (*gap, *starts)


def _values(context: Context, noun: str) -> tuple[str, ...]:
    """What may be said of a tag of a noun in a reference, in the order in which the values are worked out."""
    members = getattr(context.plant, noun, {})
    found = (name.partition(" ") for name in context.values)
    return tuple(dict.fromkeys(words for tag, _, words in found if tag in members))
