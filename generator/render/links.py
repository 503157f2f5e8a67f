"""Where the links of the site's pages lead: each must reach a page or file of the site, and an anchor that is there."""

import html
import posixpath
import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from urllib.parse import unquote

from msgspec import Struct

_SCHEME = re.compile(r"[a-z][a-z0-9+.-]*:", re.IGNORECASE)


class Marks(Struct, frozen=True):
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
    sound: defaultdict[str, set[str]] = defaultdict(set)
    """Links that lead somewhere from every page of a folder: most stand on many pages."""
    for path, page in pages.items():
        for anchor, times in page.anchors.items():
            if times > 1:
                yield f"{path}: the anchor {anchor} stands {times} times"
        folder = posixpath.dirname(path)
        for link in page.links:
            if link in sound[folder] or (link[:1] == "#" and link[1:] in page.anchors):
                continue
            fault = _fault(path, _target(folder, link), anchors, others, everywhere)
            if fault:
                yield f"{path}: {link} {fault}"
            elif link[:1] != "#":
                sound[folder].add(link)


def _target(folder: str, link: str) -> tuple[str, str, str]:
    """Scheme, path and anchor of a link on a page of a folder; the path of a link within its page is empty."""
    address, _, anchor = html.unescape(link).partition("#")
    scheme, path = _place(folder, address)
    return scheme, path, "" if scheme else unquote(anchor)


@lru_cache(maxsize=1 << 14)
def _place(folder: str, address: str) -> tuple[str, str]:
    scheme = _SCHEME.match(address)
    if scheme:
        return scheme[0], ""
    address = address.partition("?")[0]
    return "", posixpath.normpath(posixpath.join(folder, unquote(address))) if address else ""


def _fault(page: str, target: tuple[str, str, str], anchors: Mapping[str, Counter[str]], others: frozenset[str],
           everywhere: frozenset[str]) -> str:
    scheme, path, anchor = target
    if scheme:
        return "" if scheme in ("https:", "http:", "mailto:") else "is no link that a page may hold"
    if path in others:
        return ""
    here = anchors.get(path or page)
    if here is None:
        return "leads to no page of the site"
    return "" if not anchor or anchor in here or anchor in everywhere else "leads to a page without that anchor"
