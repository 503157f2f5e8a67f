"""What the search knows of a page: its title, its words, and one entry for each of its sections."""

import html
import re
from collections.abc import Iterable, Iterator

from generator.model.page import Page

SEPARATOR = r"[\s,;:!?()\[\]{}\"|·→]+|\.(?=\s|$)"
"""Where the search parts words. Not at a hyphen, so that a tag typed in full finds that tag alone."""

TITLE_ONLY = frozenset({"source", "calculations", "tags", "glossary", "language", "noun"})
"""Templates whose text would only repeat what other pages say, or is not for reading."""
HEAD_ONLY = frozenset({"working", "cautions", "findings"})
"""Anchors of sections that every switch and tank has in much the same words: found by their page, not by their text."""

_UNREAD = ("details", "svg", "math", "script", "style", "template")
"""Elements whose text is no reading matter, or stands elsewhere too."""
_SECTION = re.compile(r"<h2[^>]*\bid=\"([^\"]+)\"[^>]*>(.*?)</h2>", re.DOTALL)
_MARKUP = re.compile(r"<[^>]*>")
_PARTED = re.compile(r"[A-Za-z0-9]+(?:[-_./][A-Za-z0-9]+)+")


def entries(page: Page, article: str) -> Iterator[dict[str, object]]:
    """Entries of one page. The search shows titles and texts as markup, so both come escaped."""
    title = html.escape(page.title, quote=False)
    first, *sections = _sections(article) if page.template not in TITLE_ONLY else [("", "", "")]
    shown = first[2].removeprefix(title).strip()
    entry: dict[str, object] = {"location": page.path, "title": title,
                                "text": " ".join(part for part in (shown, *spellings(page.title)) if part)}
    if words := _words(page.title, page.words):
        entry["tags"] = words
    yield entry
    for anchor, name, text in sections:
        if not text:
            continue
        yield {"location": f"{page.path}#{anchor}", "title": name, "text": text}
    for one in page.entries:
        further: dict[str, object] = {"location": one.path, "title": html.escape(one.title, quote=False),
                                      "text": " ".join(spellings(one.title))}
        if words := _words(one.title, one.words):
            further["tags"] = words
        yield further


def _words(title: str, words: Iterable[str]) -> list[str]:
    """Words that outweigh the text. The tag that a title begins with stands among them in its parts, twice.

    The search parts what is typed at hyphens as well, whatever SEPARATOR says: of "bypass LSHH-622" it looks for LSHH and
    for 622. Twice, so that the page of I-340 comes before one whose alarm text names 340 once.
    """
    first = _PARTED.match(title)
    own = list(spellings(first[0]))[1:] if first else []
    return [html.escape(word, quote=False) for word in (*own, *own, *words)]


def spellings(text: str) -> Iterator[str]:
    """Tags of a text as hurried people type them: in one piece, and with spaces.

    >>> list(spellings("LSHH-210 High-high"))
    ['LSHH210', 'LSHH 210']
    """
    for tag in _PARTED.findall(text):
        if any(letter.isdigit() for letter in tag) and any(letter.isalpha() for letter in tag):
            pieces = re.split(r"[-_./]", tag)
            yield "".join(pieces)
            yield " ".join(pieces)


def _sections(article: str) -> list[tuple[str, str, str]]:
    """(anchor, title, text) of what stands before the first section and of each section."""
    parts = _SECTION.split(_readable(article))
    made = [("", "", _text(parts[0]))]
    for place in range(1, len(parts), 3):
        text = "" if parts[place] in HEAD_ONLY else _text(parts[place + 2])
        made.append((parts[place], _text(parts[place + 1]), text))
    return made


def _readable(article: str) -> str:
    """An article without the elements that are not read. Parting is far quicker than a search by pattern."""
    for name in _UNREAD:
        first, *rest = article.split(f"<{name}")
        article = " ".join((first, *(piece.partition(f"</{name}>")[2] for piece in rest)))
    return article


def _text(markup: str) -> str:
    """Words of a piece of markup, with a space wherever an element began or ended."""
    return html.escape(" ".join(html.unescape(_MARKUP.sub(" ", markup)).split()), quote=False)
