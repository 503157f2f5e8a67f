"""The glossary: words of the trade as this document uses them, each linked to its neighbours."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model import page
from generator.model.page import Link, Page
from generator.pages.context import Context
from generator.pages.paths import slug

PATH = "glossary.html"


class Entry(Struct, frozen=True):
    """One word."""

    anchor: str
    word: str
    meaning: str
    source: str
    see: tuple[Link, ...]


class Glossary(Struct, frozen=True):
    """Entries by first letter."""

    letters: tuple[tuple[str, tuple[Entry, ...]], ...]
    number: int


def pages(context: Context) -> Iterator[Page]:
    """The glossary."""
    known = {word.word for word in context.knowledge.words}
    by_letter: dict[str, list[Entry]] = {}
    for word in sorted(context.knowledge.words, key=lambda word: word.word.lower()):
        see = tuple(Link(other, f"{PATH}#{slug(other)}") for other in word.see if other in known)
        entry = Entry(slug(word.word), word.word, word.meaning, word.source, see)
        by_letter.setdefault(word.word[0].upper(), []).append(entry)
    letters = tuple((letter, tuple(entries)) for letter, entries in by_letter.items())
    yield Page(PATH, "Glossary", "glossary", Glossary(letters, len(known)), ("How to read",), entries=tuple(
        page.Entry(f"{PATH}#{slug(word.word)}", f"{word.word}, in the glossary") for word in context.knowledge.words
    ))
