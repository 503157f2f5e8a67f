"""Which lines of the computing room each test runs, found once by tracing; a mutant is then tried on those tests only.

The map is kept in the system's folder for passing files, file by file of the tests, under a digest of all that it
follows from.
"""

import functools
import gc
import hashlib
import json
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType, FunctionType
from typing import Any

import pytest

ROOT = Path(__file__).parent.parent.parent
COMPUTE = ROOT / "generator" / "compute"
Line = tuple[str, int]
"""A module, its path from `compute/`, and a number of a line in it."""
DEAR = 0.3
"""What a test costs that is no longer quick, traced. [s]"""
ENOUGH = 50
"""Calls of one function that are traced within a test; what it has not passed by then it seldom passes."""
Tracer = Callable[[FrameType, str, Any], Any]


@dataclass(frozen=True, slots=True)
class Touched:
    """What tests run: their cost as they were traced [s], and for each line the tests that pass it."""

    costs: dict[str, float]
    tests: dict[Line, tuple[str, ...]]

    def of(self, module: str, lines: range, around: range) -> tuple[str, ...]:
        """The tests that pass any of the lines; where none does, those that pass the function around them. Quick ones first."""
        for wanted in (lines, around):
            found = {test for number in wanted for test in self.tests.get((module, number), ())}
            if found:
                return tuple(self._in_turn(found))
        return ()

    def _in_turn(self, tests: set[str]) -> list[str]:
        """All that are quick; then of the dear ones one of each file, then another of each.

        What a file of tests works out once, its next tests have for nothing.
        """
        places: dict[str, int] = {}
        turns = []
        for test in sorted(tests, key=self.costs.__getitem__):
            file = test.split("::")[0]
            if self.costs[test] > DEAR:
                places[file] = places.get(file, 0) + 1
            turns.append((places.get(file, 0), self.costs[test], test))
        return [test for _, _, test in sorted(turns)]


@dataclass
class Recorder:
    """A plug-in of pytest that notes what each test runs. Every test begins with nothing remembered from the one before."""

    costs: dict[str, float] = field(default_factory=dict)
    lines: dict[str, dict[str, list[int]]] = field(default_factory=dict)
    failed: list[str] = field(default_factory=list)
    names: dict[str, str | None] = field(default_factory=dict)
    """The module of each file met so far; None outside the computing room."""

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> None:
        """What remembers is looked for once, when every module is imported."""
        self.caches = caches()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Trace one test with its fixtures."""
        for cache in self.caches:
            cache.cache_clear()
        seen: set[Line] = set()
        began = time.process_time()
        sys.settrace(_tracer(seen, self.names))
        try:
            return (yield)
        finally:
            sys.settrace(None)
            self.costs[item.nodeid] = time.process_time() - began
            lines = self.lines[item.nodeid] = {}
            for module, number in sorted(seen):
                lines.setdefault(module, []).append(number)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """A test that fails without any change can judge no mutant."""
        if report.failed:
            self.failed.append(report.nodeid)


def _tracer(seen: set[Line], names: dict[str, str | None]) -> Tracer:
    calls: dict[int, int] = {}

    def on_call(frame: FrameType, event: str, value: Any) -> Tracer | None:
        file = frame.f_code.co_filename
        if file not in names:
            names[file] = Path(file).relative_to(COMPUTE).as_posix() if Path(file).is_relative_to(COMPUTE) else None
        name = names[file]
        if name is None:
            return None
        code = id(frame.f_code)  # the code itself would be compared whole at each look-up
        calls[code] = calls.get(code, 0) + 1
        if calls[code] > ENOUGH:
            return None

        def on_line(frame: FrameType, event: str, value: Any) -> Tracer:
            seen.add((name, frame.f_lineno))
            return on_line

        seen.add((name, frame.f_lineno))
        return on_line

    return on_call


def touched(arguments: list[str], rooms: tuple[str, ...]) -> Touched:
    """The map for the tests of some rooms: read where it is known, else found by running them once, file by file.

    Raises:
        RuntimeError: a test fails without any change.
    """
    common = _digest(path for folder in ("generator", "tests", "content") for path in sorted((ROOT / folder).rglob("*"))
                     if path.suffix in (".py", ".yml") and not path.name.startswith("test_") and path.parent.name != "long")
    files = [path for room in rooms for path in judges(room)]
    kept = {path: Path(tempfile.gettempdir()) / f"touched-{common}-{_digest([path])}.json" for path in files}
    unknown = [path for path in files if not kept[path].exists()]
    if unknown:
        recorder = Recorder()
        ended = pytest.main([*arguments, *asked(unknown)], plugins=[recorder])
        for path in unknown if ended in (pytest.ExitCode.OK, pytest.ExitCode.TESTS_FAILED) else ():
            of_file = [test for test in recorder.costs if ROOT / test.split("::")[0] == path]
            if not set(of_file) & set(recorder.failed):  # a file that fails is traced again once it is mended
                kept[path].write_text(json.dumps({test: (recorder.costs[test], recorder.lines[test]) for test in of_file}))
        if ended != pytest.ExitCode.OK:
            raise RuntimeError(f"tests fail as they stand: {recorder.failed}")
    costs: dict[str, float] = {}
    tests: dict[Line, list[str]] = {}
    for path in files:
        for test, (cost, lines) in json.loads(kept[path].read_text(encoding="utf-8")).items():
            costs[test] = cost
            for module, numbers in lines.items():
                for number in numbers:
                    tests.setdefault((module, number), []).append(test)
    return Touched(costs, {line: tuple(names) for line, names in tests.items()})


def judges(room: str) -> list[Path]:
    """Files of tests in a room of `tests/`; for "doctests" the modules of the computing room that show examples."""
    if room == "doctests":
        return [path for path in sorted(COMPUTE.rglob("*.py")) if ">>>" in path.read_text(encoding="utf-8")]
    return sorted((ROOT / "tests" / room).rglob("test_*.py"))


def asked(files: Iterable[Path]) -> list[str]:
    """Files of tests as pytest is asked for them: of the computing room only the folder, or its functions would be tests."""
    return list(dict.fromkeys(str(COMPUTE if path.is_relative_to(COMPUTE) else path) for path in files))


def caches() -> list[Any]:
    """Everything in the computing room and in the tests that remembers what it was asked."""
    return [thing for thing in gc.get_objects() if isinstance(thing, functools._lru_cache_wrapper)
            and thing.__wrapped__.__module__.startswith(("generator.compute", "tests."))]


def functions() -> dict[str, list[FunctionType]]:
    """Every living function of the computing room, by the file it was written in."""
    found: dict[str, list[FunctionType]] = {}
    for thing in gc.get_objects():
        if isinstance(thing, FunctionType) and Path(thing.__code__.co_filename).is_relative_to(COMPUTE):
            found.setdefault(thing.__code__.co_filename, []).append(thing)
    return found


def _digest(paths: Iterable[Path]) -> str:
    found = hashlib.sha256()
    for path in paths:
        found.update(path.relative_to(ROOT).as_posix().encode() + b"\0" + path.read_bytes())
    return found.hexdigest()[:12]
