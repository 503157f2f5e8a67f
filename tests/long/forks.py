"""One forked child for each mutant: it swaps the changed code in, forgets what was worked out before, and runs the tests."""

import ast
import gc
import os
import resource
import signal
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
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
    failed (and "never ends" where its time ran out), or None where the mutant survived.
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
        """Try each mutant in turn, after the room as it stands, which must survive as long as a mutant is tried.

        Before a mutant counts as killed the same tests run in the same order on its module without the change. Where one
        fails then too, `fault` says so, since nothing killed would mean anything.
        """
        self.items = {item.nodeid: item for item in session.items}
        self.caches, self.functions = caches(), functions()
        gc.collect()
        gc.freeze()
        failed, _ = self.judged(dict(as_it_stands()), tuple(self.touched.costs), self.budget)
        if failed is not None:
            self.fault = f"the room as it stands would count as killed: {failed}"
            return True
        for module, mutant in self.trials:
            tests = self.touched.of(module, mutant.lines, mutant.around)
            killer, ran = self.judged({module: mutant.tree}, tests, self.budget)
            if killer and self.judged({module: ast.parse(mutant.source)}, ran, float("inf"))[0]:
                self.fault = f"without any change {killer} fails too, after {len(ran) - 1} others"
                return True
            if not self.tell(module, mutant, killer):
                break
        return True

    def judged(
        self, changed: Mapping[str, ast.Module], tests: tuple[str, ...], budget: float,
    ) -> tuple[str | None, tuple[str, ...]]:
        """Run tests on changed modules, in a child, until one of them fails or the budget is spent.

        The first that failed, with what else went wrong where it did not simply fail, and those that ran up to it.

        Raises:
            RuntimeError: something goes wrong before any test, which is no work of a mutant.
        """
        heard, says = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(heard)
            try:
                failed = self._child(changed, [self.items[name] for name in tests], budget, says)
                os._exit(1 if failed else 0)
            except BaseException as error:  # a mutant may break anything; the child ends here either way
                os.write(says, f"{type(error).__name__}\n".encode())
                os._exit(2)
        os.close(says)
        with os.fdopen(heard, "rb") as pipe:
            said = pipe.read().decode().removesuffix("\n").split("\n")
        _, status = os.waitpid(child, 0)
        if status == 0:
            return None, tuple(said)
        ran = tuple(name for name in said if name in self.items)
        if not ran:
            raise RuntimeError(f"no mutant but the driver fails: {said}")
        if said[-1] != ran[-1]:
            return f"{ran[-1]} {said[-1]}", ran
        is_failure = os.WIFEXITED(status) and os.WEXITSTATUS(status) == 1
        return ran[-1] + ("" if is_failure else " never ends"), ran

    def _child(self, changed: Mapping[str, ast.Module], tests: list[pytest.Item], budget: float, says: int) -> bool:
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        signal.signal(signal.SIGPROF, signal.SIG_DFL)
        for module, tree in changed.items():
            path = str(COMPUTE / module)
            source = Path(path).read_text(encoding="utf-8")
            swap(compile(source, path, "exec"), compile(tree, path, "exec"), self.functions.get(path, []))
        for cache in self.caches:
            cache.cache_clear()
        began = time.process_time()
        for item, then in zip(tests, [*tests[1:], None], strict=False):  # without any test nothing is found
            os.write(says, f"{item.nodeid}\n".encode())
            signal.setitimer(signal.ITIMER_PROF, PATIENCE + 2 * self.touched.costs[item.nodeid])
            if any(report.failed for report in runtestprotocol(item, log=False, nextitem=then)):
                return True
            if time.process_time() - began > budget:
                return False
        return False


def as_it_stands() -> Iterator[tuple[str, ast.Module]]:
    """Every module of the room without any change, for proof that nothing but a change is ever killed."""
    for path in sorted(COMPUTE.rglob("*.py")):
        yield path.relative_to(COMPUTE).as_posix(), ast.parse(path.read_text(encoding="utf-8"))


def swap(source: CodeType, changed: CodeType, living: list[FunctionType]) -> None:
    """Put the changed code into every function of the module that lives.

    Functions are known by their code, since two lambdas may stand on one line under one name.
    """
    new = dict(zip(_codes(source), _codes(changed), strict=True))
    for thing in living:
        code = new.get(thing.__code__)
        if code is not None and len(code.co_freevars) == len(thing.__code__.co_freevars):
            thing.__code__ = code


def _codes(code: CodeType) -> Iterator[CodeType]:
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield constant
            yield from _codes(constant)
