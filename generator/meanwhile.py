"""Work that a second process does while this one goes on."""

import multiprocessing
import os
import threading
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any, TypeVar

Made = TypeVar("Made")


def meanwhile(work: Callable[[], Made]) -> Callable[[], Made]:
    """Begin a piece of work beside this process; what is handed back waits for what it makes.

    Where no second process can be had, or it fails, the work is done when it is asked for. Either way it makes the same, so
    it must have no effect but what it hands back.
    """
    if not may_fork():
        return work
    fork = multiprocessing.get_context("fork")
    ours, theirs = fork.Pipe(duplex=False)
    other = fork.Process(target=_tell, args=(work, theirs), daemon=True)
    other.start()
    theirs.close()

    def made() -> Made:
        told: tuple[Any, ...] = ()
        with suppress(EOFError, OSError):  # where it was ended from outside
            told = ours.recv()
        ours.close()
        other.join()
        result: Made = told[0] if told else work()
        return result

    return made


def may_fork() -> bool:
    """Whether a second process would be quicker and safe: one of a server with threads might wait for ever."""
    return (
        (os.cpu_count() or 1) > 1
        and "fork" in multiprocessing.get_all_start_methods()
        and threading.active_count() == 1
        and not multiprocessing.current_process().daemon
    )


def _tell(work: Callable[[], object], end: Connection) -> None:
    try:
        end.send((work(),))
    except Exception:  # whoever asked does the work again, where it fails in the open
        end.send(())
