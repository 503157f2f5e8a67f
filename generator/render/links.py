"""Where the links of the site's pages lead: each must reach a page or file of the site, and an anchor that is there."""

import html
import posixpath
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from urllib.parse import unquote

_SCHEME = re.compile(r"[a-z][a-z0-9+.-]*:", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Marks:
    """The anchors of one page, each with how often it stands there, and the links that lead from it."""

    anchors: Counter[str]
    links: tuple[str, ...]


def marks(markup: str) -> Marks:
    """Anchors and links of a piece of markup."""
    return Marks(anchors_of(markup), tuple(sorted({*_values(markup, 'href="'), *_values(markup, ' src="')})))


def anchors_of(markup: str) -> Counter[str]:
    """Every anchor of a piece of markup, with how often it stands there."""
    return Counter(html.unescape(found) for found in _values(markup, ' id="'))


def _values(markup: str, opening: str) -> Iterator[str]:
    """Values of an attribute. Text cannot be taken for one: it has no bare quotation mark. Parting is far quicker than a
    search by pattern, and pages run to megabytes."""
    pieces = iter(markup.split(opening))
    next(pieces)
    return (piece.partition('"')[0] for piece in pieces)


def broken(pages: Mapping[str, Marks], files: Iterable[str], known: Iterable[str] = ()) -> Iterator[str]:
    """One sentence for each link that leads nowhere and each anchor that stands twice on a page.

    `pages` are what stands on each page by its path, `files` the paths of everything else in the site, `known` the
    anchors that stand on every page.
    """
    everywhere = frozenset(known)
    anchors = {path: page.anchors for path, page in pages.items()}
    others = frozenset(files)
    for path, page in pages.items():
        for anchor, times in page.anchors.items():
            if times > 1:
                yield f"{path}: the anchor {anchor} stands {times} times"
        for link in page.links:
            fault = _fault(path, html.unescape(link), anchors, others, everywhere)
            if fault:
                yield f"{path}: {link} {fault}"


def _fault(path: str, link: str, anchors: Mapping[str, Counter[str]], others: frozenset[str],
           everywhere: frozenset[str]) -> str:
    if _SCHEME.match(link):
        return "" if link.startswith(("https:", "http:", "mailto:")) else "is no link that a page may hold"
    address, _, anchor = link.partition("#")
    address = address.partition("?")[0]
    target = posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(address))) if address else path
    if target in others:
        return ""
    if target not in anchors:
        return "leads to no page of the site"
    if anchor and unquote(anchor) not in anchors[target] and unquote(anchor) not in everywhere:
        return "leads to a page without that anchor"
    return ""
