"""Work in a second process gives what it gives in this one, whatever becomes of that process."""

import multiprocessing
import os
import signal
import threading
from pathlib import Path

import pytest

from generator import build, compute, starter
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


def test_a_plant_comes_out_the_same_with_a_second_process_and_without(
    forks: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(compute, "MANY", 1)
    starter.write(tmp_path)
    source = tmp_path / "content" / "plant"
    made = [build.philosophy(source)]
    monkeypatch.setattr(threading, "active_count", lambda: 2)
    made.append(build.philosophy(source))
    with_it, without = (one.results for one in made)
    assert with_it is not None and without is not None
    assert any(with_it.courses.values()) and with_it.courses == without.courses
    assert list(with_it.records) == list(without.records)
    assert with_it.dependencies == without.dependencies
    monkeypatch.setattr(with_it.explorers, "_makers", {})  # so that an explorer that did not come along is missed
    assert len(without.explorers) > 0
    for tank, explorer in without.explorers.items():
        assert with_it.explorers[tank] == explorer
