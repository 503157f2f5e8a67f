"""Builds sites with MkDocs for the tests, and walks what was built."""

import logging
import re
from collections import Counter
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from mkdocs.commands.build import build as mkdocs_build
from mkdocs.config import load_config

from generator import publish  # sets the theme's banner off before the theme is imported
from generator.build import Philosophy

ROOT = Path(__file__).parent.parent.parent
assert publish


@dataclass(frozen=True)
class Built:
    """A site that MkDocs wrote: where, every warning and error said on the way, and what it was made from."""

    folder: Path
    said: list[str]
    philosophy: Philosophy = field(repr=False)  # a failing test shows its arguments, and a whole plant has no end


def build(definitions: Path, into: Path, notes: Path) -> Built:
    """Build a site as `mkdocs build` does."""
    config = load_config(str(ROOT / "mkdocs.yml"), site_dir=str(into), docs_dir=str(notes))
    config.plugins["philosophy"].config.definitions = str(definitions)
    said = _Collector()
    logger = logging.getLogger("mkdocs")
    logger.addHandler(said)
    try:
        config.plugins.on_startup(command="build", dirty=False)
        mkdocs_build(config)
    finally:
        logger.removeHandler(said)
    return Built(into, said.messages, config.plugins["philosophy"].philosophy)


class _Collector(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(record.getMessage())


@dataclass
class Walked:
    """What a page holds: anchors with their number, links with the element and attribute that hold them."""

    ids: Counter[str] = field(default_factory=Counter)
    links: list[tuple[str, str, str]] = field(default_factory=list)
    handlers: list[str] = field(default_factory=list)
    scripts: list[str] = field(default_factory=list)
    data: list[str] = field(default_factory=list)
    """Data for scripts, which no browser runs."""
    headings: Counter[str] = field(default_factory=Counter)
    kind: str = ""
    words: list[str] = field(default_factory=list)


class _Walker(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.page = Walked()
        self._inside: str = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._inside = tag if tag in ("script", "style") else ""
        if self._inside and dict(attrs).get("type") == "application/json":
            self._inside = "data"
        self.page.headings[tag] += 1
        for name, value in attrs:
            if name == "id":
                self.page.ids[value or ""] += 1
            if name in ("href", "src", "xlink:href", "action", "poster", "data"):
                self.page.links.append((tag, name, value or ""))
            if name.startswith("on"):
                self.page.handlers.append(f"{tag} {name}={value}")
            if tag == "article" and name == "class":
                self.page.kind = next((part.removeprefix("sheet-") for part in (value or "").split()
                                       if part.startswith("sheet-")), self.page.kind)

    def handle_endtag(self, tag: str) -> None:
        self._inside = ""

    def handle_data(self, data: str) -> None:
        if self._inside == "script":
            self.page.scripts.append(data)
        if self._inside == "data":
            self.page.data.append(data)
        elif not self._inside:
            self.page.words.append(data)


_ARTICLE = re.compile(r'<article class="[^"]*sheet[^"]*"[^>]*>(.*)</article>|<main class="sheet">(.*)</main>', re.DOTALL)


def walk(file: Path) -> Walked:
    """Read one page with the standard library's parser; an article that both printers print is read once."""
    page = file.read_text(encoding="utf-8")
    found = _ARTICLE.search(page)
    if found is None:
        return _read(page)
    begin, end = found.span(found.lastindex or 0)
    frame, article = _read(page[:begin] + page[end:]), _article(page[begin:end].strip())
    return Walked(frame.ids + article.ids, frame.links + article.links, frame.handlers + article.handlers,
                  frame.scripts + article.scripts, frame.data + article.data, frame.headings + article.headings,
                  frame.kind, frame.words + article.words)


def _read(markup: str) -> Walked:
    walker = _Walker()
    walker.feed(markup)
    walker.close()
    return walker.page


_article = cache(_read)


@cache
def site(folder: Path) -> dict[str, Walked]:
    """Every page of a site by its path."""
    return {file.relative_to(folder).as_posix(): walk(file) for file in sorted(folder.rglob("*.html"))}


def one_of_each_kind(pages: dict[str, Walked]) -> list[str]:
    """The first page of each kind, the engineers' own pages being one kind; of calculations one that is not the longest."""
    first: dict[str, str] = {}
    for path, page in sorted(pages.items(), key=lambda one: len(one[1].ids) if one[1].kind == "calculations" else 0):
        first.setdefault(page.kind, path)
    return sorted(first.values())


def hostile(value: Any, spoil: str, name: str = "") -> Any:
    """The same definitions with something nasty at the end of every free text."""
    from generator.model.definition import Definition
    from generator.model.scalar import Prose, Text

    if isinstance(value, Prose) or (type(value) is Text and name in _FREE):
        return type(value)(f"{value} {spoil}", value.place)
    if isinstance(value, Definition):
        return value.model_copy(update={
            field: hostile(getattr(value, field), spoil, field) for field in type(value).model_fields
        })
    if isinstance(value, dict):
        return {key: hostile(inner, spoil) for key, inner in value.items()}
    if isinstance(value, tuple):
        return tuple(hostile(inner, spoil) for inner in value)
    return value


_FREE = {"text", "number", "prepared", "checked", "approved", "owner", "by", "needs", "size", "revision", "latest",
         "change_order", "node"}
