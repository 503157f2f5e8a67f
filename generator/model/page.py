"""What the pages room hands to the printer: pages, links and files, in data. Paths are relative to the site's root."""

from collections.abc import Callable
from functools import partial
from typing import Any

from msgspec import Struct

from generator.model.place import Place


class Link(Struct, frozen=True):
    """A link to a page of the site, with the text it shows.

    `noun` is the noun of a tag ("switches") and decides the shape of its chip; empty for an ordinary link.
    """

    text: str
    path: str
    noun: str = ""
    title: str = ""


class Entry(Struct, frozen=True):
    """A further entry of the search: something without a page of its own, where it stands and its other names."""

    path: str
    title: str
    words: tuple[str, ...] = ()


class Later:
    """View data that is laid out when somebody asks for it, so that many pages can be laid out at the same time."""

    __slots__ = ("lay_out",)

    def __init__(self, maker: Callable[..., Any], *arguments: Any, **named: Any) -> None:
        self.lay_out: Callable[[], Any] = partial(maker, *arguments, **named)


class Page(Struct, frozen=True):
    """One page: where it stands, what it is called, which template shows it and what it shows.

    `section` is its place in the navigation, outermost first; an empty section keeps it out of the navigation.
    `words` are further words by which the search finds it: old tags, alarm texts, tags without hyphens.
    """

    path: str
    title: str
    template: str
    shows: Any
    """The view data itself, or a `Later` that makes it."""
    section: tuple[str, ...] = ()
    nav: str = ""
    words: tuple[str, ...] = ()
    source: Place | None = None
    prose: bool = False
    """Whether it is running text that the theme's own typography sets."""
    leads: bool = False
    """Whether it is the page that the name of its section opens."""
    entries: tuple[Entry, ...] = ()
    """Further entries of the search that this page brings."""

    @property
    def view(self) -> Any:
        """What the page shows; laid out anew each time where it comes later."""
        return laid_out(self.shows)


class Download(Struct, frozen=True):
    """A file of the site that is not a page: its path, and what it holds as data for its writer.

    `writer` is "json" or "csv".
    """

    path: str
    writer: str
    holds: Any
    """The data itself, or a `Later` that makes it."""

    @property
    def data(self) -> Any:
        """What the file holds."""
        return laid_out(self.holds)


class Strip(Struct, frozen=True):
    """The status strip on every page."""

    plant: str
    title: str
    number: str
    revision: str
    status: str
    as_of: str
    fingerprint: str


class Site(Struct, frozen=True):
    """Everything there is to print."""

    strip: Strip
    pages: tuple[Page, ...]
    downloads: tuple[Download, ...] = ()
    sections: tuple[tuple[str, ...], ...] = ()
    """Order of the navigation's sections."""


class Amount(Struct, frozen=True):
    """A number as it stands on a page, with its unit and the key of the record that worked it out.

    Where nothing could be worked out, `number` is a word ("cannot be assessed") and `unit` is empty.
    """

    number: str
    unit: str = ""
    record: str = ""
    title: str = ""


Part = str | Link | Amount
Running = tuple[Part, ...]
"""Running text: words, with links and amounts in their places."""


def plain(parts: Running | str) -> str:
    """Running text without its links: for titles, attributes and spreadsheets."""
    if isinstance(parts, str):
        return parts
    return "".join(
        part if isinstance(part, str) else part.text if isinstance(part, Link) else f"{part.number} {part.unit}".strip()
        for part in parts
    )


def laid_out(shown: Any) -> Any:
    """View data, made now where it comes later.

    >>> laid_out(Later(sorted, "ba")), laid_out("ba")
    (['a', 'b'], 'ba')
    """
    return shown.lay_out() if isinstance(shown, Later) else shown
