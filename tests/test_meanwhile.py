"""Work in a second process gives what it gives in this one, whatever becomes of that process."""

import multiprocessing
import os
import signal
import threading

import pytest

from generator.meanwhile import meanwhile


@pytest.fixture
def forks(monkeypatch: pytest.MonkeyPatch) -> None:
    """As on a machine with two processors and without threads: those of the test runner fork nothing themselves."""
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    monkeypatch.setattr(threading, "active_count", lambda: 1)
    if "fork" not in multiprocessing.get_all_start_methods():
        pytest.skip("this system has no fork")


@pytest.mark.usefixtures("forks")
def test_work_is_done_in_another_process() -> None:
    assert meanwhile(os.getpid)() != os.getpid()


@pytest.mark.parametrize("lacking", ["processors", "threads"])
@pytest.mark.usefixtures("forks")
def test_work_is_done_here_where_no_process_can_be_had(lacking: str, monkeypatch: pytest.MonkeyPatch) -> None:
    if lacking == "processors":
        monkeypatch.setattr(os, "cpu_count", lambda: 1)
    else:
        monkeypatch.setattr(threading, "active_count", lambda: 2)
    assert meanwhile(os.getpid)() == os.getpid()


@pytest.mark.usefixtures("forks")
def test_a_fault_of_the_work_is_raised_where_it_is_asked_for() -> None:
    made = meanwhile(lambda: [][0])
    with pytest.raises(IndexError):
        made()


@pytest.mark.usefixtures("forks")
def test_a_process_that_is_killed_costs_nothing_but_time() -> None:
    here = os.getpid()

    def work() -> str:
        if os.getpid() != here:
            os.kill(os.getpid(), signal.SIGKILL)
        return "done"

    assert meanwhile(work)() == "done"


@pytest.mark.usefixtures("forks")
def test_what_cannot_travel_is_made_here() -> None:
    assert meanwhile(lambda: (lambda: 7))()() == 7


@pytest.mark.usefixtures("forks")
def test_more_than_a_pipe_holds_comes_through() -> None:
    assert len(meanwhile(lambda: "x" * 10_000_000)()) == 10_000_000
