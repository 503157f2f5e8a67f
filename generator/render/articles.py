"""Finished articles and files of a whole site, made on as many processors as there are while the caller goes on."""

import gc
import multiprocessing
import os
import threading
from collections.abc import Iterator, Sequence
from multiprocessing.pool import AsyncResult, Pool
from types import TracebackType
from typing import Any, Self

from msgspec import Struct

from generator.model.page import Download, Page, Site
from generator.render import downloads, links, search, typeface
from generator.render.environment import fragment
from generator.render.links import Marks

FEW = 60
"""So many pages are not worth a second process."""
BATCH = 8
"""Neighbouring pages go to one process together: they show the same records, which are then written once."""
LONG = frozenset({"calculations", "tank"})
"""Templates of pages that take longest: begun first and each by itself, so that no processor is left waiting at the end."""


class Article(Struct, frozen=True):
    """The markup of one page, with its links and anchors and what the search knows of it."""

    html: str
    marks: Marks
    entries: tuple[dict[str, object], ...]


class Articles:
    """Articles by path, and the bytes of files. The same on one processor as on many.

    Processes are forked, so that the pages need not travel to them; where that cannot be done (another system, a server
    with threads) an article is made when it is asked for. Must be closed.
    """

    def __init__(self, site: Site) -> None:
        self._items: dict[str, Page | Download] = {page.path: page for page in site.pages}
        self._items.update((download.path, download) for download in site.downloads)
        self._pool: Pool | None = None
        self._batches: dict[str, tuple[AsyncResult[list[Any]], int]] = {}
        workers = min(4, os.cpu_count() or 1)
        can_fork = "fork" in multiprocessing.get_all_start_methods() and threading.active_count() == 1
        if len(site.pages) >= FEW and workers > 1 and can_fork:
            self._begin(site, workers)

    def _begin(self, site: Site, workers: int) -> None:
        _shared.update(self._items)
        typeface.configuration()  # one folder for all processes, removed by this one: the others are ended, and tidy nothing up
        gc.freeze()  # else the collector of each process would copy the whole plant by touching it
        try:
            self._pool = multiprocessing.get_context("fork").Pool(workers, initializer=gc.disable)
        finally:
            gc.unfreeze()
            _shared.clear()
        for batch in _batches(site):
            promised = self._pool.apply_async(_finished, (batch,))
            self._batches |= {path: (promised, place) for place, path in enumerate(batch)}

    def article(self, path: str) -> Article:
        """The article of the page at a path; waits for it where it is still being made."""
        made = self._made(path)
        assert isinstance(made, Article)
        return made

    def file(self, path: str) -> bytes:
        """The bytes of the file at a path; waits likewise."""
        made = self._made(path)
        assert isinstance(made, bytes)
        return made

    def _made(self, path: str) -> Article | bytes:
        if self._pool is None:
            return _finish(self._items[path])
        promised, place = self._batches[path]
        made: Article | bytes = promised.get()[place]
        return made

    def close(self) -> None:
        """Let the processes go."""
        if self._pool is not None:
            self._pool.terminate()
            self._pool.join()
            self._pool = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()


_shared: dict[str, Page | Download] = {}
"""What is to be made, seen by processes that are forked while it stands here."""


def _batches(site: Site) -> Iterator[Sequence[str]]:
    """Paths in the order in which they are begun."""
    yield from ((download.path,) for download in site.downloads if download.writer == "json")
    yield from ((page.path,) for page in site.pages if page.template in LONG)
    rest = [page.path for page in site.pages if page.template not in LONG]
    rest += [download.path for download in site.downloads if download.writer != "json"]
    yield from (rest[first:first + BATCH] for first in range(0, len(rest), BATCH))


def _finished(paths: Sequence[str]) -> list[Article | bytes]:
    return [_finish(_shared[path]) for path in paths]


def _finish(one: Page | Download) -> Article | bytes:
    if isinstance(one, Download):
        return downloads.content(one)
    html = fragment(one)
    return Article(html, links.marks(html), tuple(search.entries(one, html)))
