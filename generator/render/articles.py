"""The articles of a whole site: every page's HTML, on as many processors as there are."""

import gc
import multiprocessing
import os
import threading
from collections.abc import Mapping, Sequence

from generator.model.page import Page
from generator.render.environment import environment, fragment

FEW = 60
"""So many pages are not worth a second process."""
CHUNK = 12
"""Neighbouring pages go to one process together: they show the same records, which are then written once."""
_shared: list[Page] = []


def articles(pages: Sequence[Page]) -> Mapping[str, str]:
    """The article of each page by its path. The same on one processor as on many.

    Processes are forked, so that the pages need not travel to them; where that cannot be done (another system, a server
    with threads) the work is done here.
    """
    workers = min(4, os.cpu_count() or 1)
    can_fork = "fork" in multiprocessing.get_all_start_methods() and threading.active_count() == 1
    if len(pages) < FEW or workers < 2 or not can_fork:
        return {page.path: fragment(page) for page in pages}
    for name in environment().list_templates(extensions=["j2"]):
        environment().get_template(name)  # compiled once, before the processes part
    _shared[:] = pages
    gc.freeze()  # else the collector of each process would copy the whole plant by touching it
    try:
        with multiprocessing.get_context("fork").Pool(workers, initializer=gc.disable) as pool:
            made = pool.map(_article, range(len(pages)), chunksize=CHUNK)
    finally:
        _shared.clear()
        gc.unfreeze()
    return {page.path: article for page, article in zip(pages, made, strict=True)}


def _article(number: int) -> str:
    return fragment(_shared[number])
