"""One forked child for each mutant: it swaps the changed code in, forgets what was worked out before, and runs the tests."""

import gc
import os
import resource
import signal
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from types import CodeType, FunctionType

import pytest
from _pytest.runner import runtestprotocol

from tests.long.mutants import Mutant, unchanged
from tests.long.touched import COMPUTE, Touched, caches, functions

PATIENCE = 10.0
"""Processor time beyond five times what its tests need, after which a mutant that never ends counts as found. [s]"""
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
    budget: float = 20.0
    """What the tests of one mutant may cost together as they were traced; the dearest are left out beyond it. [s]"""
    items: dict[str, pytest.Item] = field(default_factory=dict)

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Try each mutant in turn, after each module as it stands, which must survive.

        Raises:
            RuntimeError: a module without any change is killed, so that nothing killed would mean anything.
        """
        self.items = {item.nodeid: item for item in session.items}
        self.caches, self.functions = caches(), functions()
        gc.collect()
        gc.freeze()
        for module in dict.fromkeys(module for module, _ in self.trials):
            failed = self.judged(module, unchanged((COMPUTE / module).read_text(encoding="utf-8")))
            if failed is not None:
                raise RuntimeError(f"{module} as it stands would count as killed: {failed}")
        for module, mutant in self.trials:
            if not self.tell(module, mutant, self.judged(module, mutant)):
                break
        return True

    def judged(self, module: str, mutant: Mutant) -> str | None:
        """Run the tests that pass the changed lines, in a child, until one of them fails."""
        tests = list(self._affordable(self.touched.of(module, mutant.lines, mutant.around)))
        heard, says = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(heard)
            try:
                failed = self._child(module, mutant, tests)
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

    def _affordable(self, names: tuple[str, ...]) -> Iterator[pytest.Item]:
        spent = 0.0
        for name in names:
            spent += self.touched.costs[name]
            if spent > self.budget:
                return
            yield self.items[name]

    def _child(self, module: str, mutant: Mutant, tests: list[pytest.Item]) -> str | None:
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        allowed = PATIENCE + 5 * sum(self.touched.costs[item.nodeid] for item in tests)
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        signal.signal(signal.SIGPROF, signal.SIG_DFL)
        signal.setitimer(signal.ITIMER_PROF, allowed)
        path = COMPUTE / module
        swap(compile(mutant.tree, str(path), "exec"), self.functions.get(str(path), []))
        for cache in self.caches:
            cache.cache_clear()
        for item, then in zip(tests, [*tests[1:], None], strict=True):
            if any(report.failed for report in runtestprotocol(item, log=False, nextitem=then)):
                return item.nodeid
        return None


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
