"""One forked child for each mutant: it swaps the changed code in, forgets what was worked out before, and runs the tests."""

import ast
import gc
import os
import resource
import signal
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import CodeType, FunctionType

import pytest
from _pytest.runner import runtestprotocol

from tests.long.mutants import Mutant
from tests.long.touched import COMPUTE, Touched, caches, functions

PATIENCE = 10.0
"""Processor time beyond twice what a test needs, traced, after which a mutant that never ends counts as found. [s]"""
MEMORY = 4 << 30
"""Memory that a mutant may take before it counts as found. [bytes]"""


@dataclass
class Forks:
    """A plug-in of pytest that tries mutants on the tests collected, in place of running them all.

    Each trial is a module's path from `compute/` and a mutant of it; `tell` is given both, with the first test that
    failed, "never ends" where the time ran out, or None where the mutant survived.
    """

    trials: Sequence[tuple[str, Mutant]]
    touched: Touched
    tell: Callable[[str, Mutant, str | None], bool]
    """Answers whether to go on."""
    budget: float
    """Processor time for one mutant; what has survived till then counts as survived. [s]"""
    items: dict[str, pytest.Item] = field(default_factory=dict)
    fault: str = ""

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Try each mutant in turn, after the room as it stands, which must survive.

        Where it does not, `fault` says so, since nothing killed would mean anything.
        """
        self.items = {item.nodeid: item for item in session.items}
        self.caches, self.functions = caches(), functions()
        gc.collect()
        gc.freeze()
        failed = self.judged(dict(as_it_stands()), tuple(self.touched.costs))
        if failed is not None:
            self.fault = f"the room as it stands would count as killed: {failed}"
            return True
        for module, mutant in self.trials:
            tests = self.touched.of(module, mutant.lines, mutant.around)
            if not self.tell(module, mutant, self.judged({module: mutant.tree}, tests)):
                break
        return True

    def judged(self, changed: Mapping[str, ast.Module], tests: tuple[str, ...]) -> str | None:
        """Run tests on changed modules, in a child, until one of them fails or the budget is spent."""
        heard, says = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(heard)
            try:
                failed = self._child(changed, [self.items[name] for name in tests])
                os.write(says, (failed or "").encode())
                os._exit(1 if failed else 0)
            except BaseException as error:  # a mutant may break anything; the child ends here either way
                os.write(says, type(error).__name__.encode())
                os._exit(1)
        os.close(says)
        with os.fdopen(heard, "rb") as pipe:
            words = pipe.read().decode()
        _, status = os.waitpid(child, 0)
        return None if status == 0 else words or "never ends"

    def _child(self, changed: Mapping[str, ast.Module], tests: list[pytest.Item]) -> str | None:
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        signal.signal(signal.SIGPROF, signal.SIG_DFL)
        for module, tree in changed.items():
            path = str(COMPUTE / module)
            swap(compile(tree, path, "exec"), self.functions.get(path, []))
        for cache in self.caches:
            cache.cache_clear()
        began = time.process_time()
        for item, then in zip(tests, [*tests[1:], None], strict=False):  # without any test nothing is found
            signal.setitimer(signal.ITIMER_PROF, PATIENCE + 2 * self.touched.costs[item.nodeid])
            if any(report.failed for report in runtestprotocol(item, log=False, nextitem=then)):
                return item.nodeid
            if time.process_time() - began > self.budget:
                return None
        return None


def as_it_stands() -> Iterator[tuple[str, ast.Module]]:
    """Every module of the room without any change, for proof that nothing but a change is ever killed."""
    for path in sorted(COMPUTE.rglob("*.py")):
        yield path.relative_to(COMPUTE).as_posix(), ast.parse(path.read_text(encoding="utf-8"))


def swap(changed: CodeType, living: list[FunctionType]) -> None:
    """Put the changed code into every function of the module that lives."""
    new = {(code.co_qualname, code.co_firstlineno): code for code in _codes(changed)}
    for thing in living:
        code = new.get((thing.__code__.co_qualname, thing.__code__.co_firstlineno))
        if code is not None and len(code.co_freevars) == len(thing.__code__.co_freevars):
            thing.__code__ = code


def _codes(code: CodeType) -> Iterator[CodeType]:
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield constant
            yield from _codes(constant)
