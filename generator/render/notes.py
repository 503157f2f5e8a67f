"""The engineers' own Markdown: raw HTML shown as text, links that could run a script dropped, references filled in."""

import html
from collections.abc import Callable
from html.parser import HTMLParser

import nh3
from markdown import Markdown
from markdown.extensions import Extension
from markupsafe import Markup

from generator.model.page import Amount, Running
from generator.render.environment import environment

_TAGS = {
    "a", "abbr", "b", "blockquote", "br", "code", "dd", "del", "div", "dl", "dt", "em", "h1", "h2", "h3", "h4", "h5",
    "h6", "hr", "i", "img", "li", "ol", "p", "pre", "s", "span", "strong", "sub", "sup", "table", "tbody", "td", "th",
    "thead", "tr", "ul",
}
_SCHEMES = {"http", "https", "mailto"}
_ATTRIBUTES = {
    "*": {"id", "title"}, "a": {"href"}, "img": {"src", "alt"}, "ol": {"start"}, "td": {"align"}, "th": {"align"},
}
_LEFT_ALONE = ("a", "code", "pre")


class PlainHtml(Extension):
    """Markdown in which raw HTML is text like any other: `T1 <x>` shows as written."""

    def extendMarkdown(self, md: Markdown) -> None:  # noqa: N802  # the name that Markdown calls
        """Take out what lets raw HTML through."""
        md.preprocessors.deregister("html_block", strict=False)
        md.inlinePatterns.deregister("html", strict=False)


def finished(article: str, fill: Callable[[str], Running], root: str) -> tuple[str, tuple[str, ...]]:
    """An article made from Markdown, ready to be placed, and the references in it that lead nowhere."""
    clean = nh3.clean(article, tags=_TAGS, attributes=_ATTRIBUTES, url_schemes=_SCHEMES, link_rel=None)
    filler = _Filler(fill, root)
    filler.feed(clean)
    filler.close()
    return "".join(filler.out), tuple(filler.lost)


class _Filler(HTMLParser):
    """Copies markup as it is and hands every piece of text to `fill`, outside links and code."""

    def __init__(self, fill: Callable[[str], Running], root: str) -> None:
        super().__init__(convert_charrefs=True)
        self._fill = fill
        self._root = root
        self._inside: list[str] = []
        self._template = environment().get_template("running.html.j2")
        self.out: list[str] = []
        self.lost: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _LEFT_ALONE:
            self._inside.append(tag)
        self.out.append(self.get_starttag_text() or "")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.out.append(self.get_starttag_text() or "")

    def handle_endtag(self, tag: str) -> None:
        if self._inside and self._inside[-1] == tag:
            self._inside.pop()
        self.out.append(f"</{tag}>")

    def handle_data(self, data: str) -> None:
        if self._inside:
            self.out.append(html.escape(data, quote=False))
            return
        parts = self._fill(data)
        self.lost += [part.number for part in parts if isinstance(part, Amount) and part.number.startswith("{")]
        self.out.append(self._template.render(parts=parts, root=self._root))


def escaped(text: str) -> Markup:
    """Text for the theme's own templates, which escape nothing themselves."""
    return Markup(html.escape(text))  # noqa: S704  # escaped here
