"""Python's collector of rings, kept from walking through what is being built."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_held_back() -> Iterator[None]:
    """Hold the collector back for a while.

    Everything that is read and worked out lives until the site is printed, so each walk finds nothing; on a plant of
    some hundred tanks those walks took as long as the work itself.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
