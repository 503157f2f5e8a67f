"""Which lines of the computing room each test runs, found once by tracing; a mutant is then tried on those tests only.

The map is kept in the system's folder for passing files, under a digest of everything that it follows from.
"""

import functools
import gc
import hashlib
import json
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from types import FrameType, FunctionType
from typing import Any

import pytest

ROOT = Path(__file__).parent.parent.parent
COMPUTE = ROOT / "generator" / "compute"
Line = tuple[str, int]
"""A module, its path from `compute/`, and a number of a line in it."""
ENOUGH = 50
"""Calls of one function that are traced within a test; what it has not passed by then it seldom passes."""
Tracer = Callable[[FrameType, str, Any], Any]


@dataclass(frozen=True, slots=True)
class Touched:
    """What tests run: their cost in seconds, and for each line the tests that pass it, the quickest first."""

    costs: dict[str, float]
    tests: dict[Line, tuple[str, ...]]

    def of(self, module: str, lines: range, around: range) -> tuple[str, ...]:
        """The tests that pass any of the lines; where none does, those that pass any line of the function around them."""
        for wanted in (lines, around):
            found = {test for number in wanted for test in self.tests.get((module, number), ())}
            if found:
                return tuple(sorted(found, key=self.costs.__getitem__))
        return ()


@dataclass
class Recorder:
    """A plug-in of pytest that notes what each test runs. Every test begins with nothing remembered from the one before."""

    costs: dict[str, float] = field(default_factory=dict)
    lines: dict[str, list[Line]] = field(default_factory=dict)
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
            self.lines[item.nodeid] = sorted(seen)

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
    """The map for the tests of some rooms: read where it is known, else found by running them all once.

    Raises:
        RuntimeError: a test fails without any change.
    """
    kept = Path(tempfile.gettempdir()) / f"touched-{_digest(rooms)}.json"
    if not kept.exists():
        recorder = Recorder()
        if pytest.main(arguments, plugins=[recorder]) != 0:
            raise RuntimeError(f"tests fail as they stand: {recorder.failed}")
        kept.write_text(json.dumps({"costs": recorder.costs, "lines": recorder.lines}), encoding="utf-8")
    read = json.loads(kept.read_text(encoding="utf-8"))
    tests: dict[Line, list[str]] = {}
    for test, lines in read["lines"].items():
        for module, number in lines:
            tests.setdefault((module, number), []).append(test)
    return Touched(read["costs"], {line: tuple(names) for line, names in tests.items()})


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


def _digest(rooms: tuple[str, ...]) -> str:
    found = hashlib.sha256(repr(rooms).encode())
    for folder in ("generator", "tests", "content"):
        for path in sorted((ROOT / folder).rglob("*")):
            if path.is_file() and path.suffix in (".py", ".yml", ".yaml", ".md", ".j2") and path.parent.name != "long":
                found.update(path.relative_to(ROOT).as_posix().encode() + b"\0" + path.read_bytes())
    return found.hexdigest()[:16]
