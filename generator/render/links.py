"""Where the links of the site's pages lead: each must reach a page or file of the site, and an anchor that is there."""

import html
import posixpath
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from urllib.parse import unquote

_LINK = re.compile(r"\s(?:href|src|xlink:href)=\"([^\"]*)\"")
_ID = re.compile(r"\sid=\"([^\"]*)\"")
_SCHEME = re.compile(r"[a-z][a-z0-9+.-]*:", re.IGNORECASE)


def anchors_of(markup: str) -> Counter[str]:
    """Every anchor of a piece of markup, with how often it stands there."""
    return Counter(html.unescape(found) for found in _ID.findall(markup))


def broken(articles: Mapping[str, str], files: Iterable[str], known: Iterable[str] = ()) -> Iterator[str]:
    """One sentence for each link that leads nowhere and each anchor that stands twice on a page.

    `articles` are the pages' markup by path, `files` the paths of everything else in the site, `known` the
    anchors that stand on every page.
    """
    everywhere = frozenset(known)
    anchors = {path: anchors_of(article) for path, article in articles.items()}
    others = frozenset(files)
    for path, article in articles.items():
        for anchor, times in anchors[path].items():
            if times > 1:
                yield f"{path}: the anchor {anchor} stands {times} times"
        for link in sorted(set(_LINK.findall(article))):
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
