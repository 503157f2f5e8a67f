"""Mutation testing of the formula modules: change one thing, run the module's tests, see whether any of them fails.

The parent imports everything and runs the tests once. Each mutant is a forked child that swaps the changed code into the
functions of the module, clears what they had remembered, and runs the same tests up to the first failure. A mutant that
lets all tests pass has survived. Module-level tables are not mutated; they are data, held by published values.

    python -m tests.long.mutation cycle_times motors
"""

import argparse
import contextlib
import functools
import gc
import io
import os
import random
import signal
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FunctionType

import pytest
from hypothesis import Phase, settings

from tests.long.mutants import Mutant, mutants

ROOT = Path(__file__).parent.parent.parent
COMPUTE = ROOT / "generator" / "compute"
TESTS: dict[str, tuple[str, ...]] = {
    "cycle_times": ("test_laws", "test_cycling"),
    "cycles": ("test_laws", "test_needs", "test_published", "test_cycling"),
    "submergence": ("test_laws", "test_pumps"),
    "suction_head": ("test_laws", "test_pumps"),
    "motors": ("test_motors", "test_laws"),
    "motor_switching": ("test_motors",),
    "restarts": ("test_motors",),
    "pump_groups": ("test_pumps",),
    "pump_stops": ("test_pumps",),
    "liquid_state": ("test_pumps",),
    "alternation": ("test_cycling",),
    "cycling": ("test_cycling",),
    "travel": ("test_laws", "test_integration", "test_trips"),
    "water": ("test_published", "test_pumps"),
    "solids": ("test_published", "test_geometry", "test_laws"),
    "signals": ("test_published", "test_signals"),
    "reach": ("test_published", "test_needs", "test_setpoints"),
}
"""Formula modules and the tests that hold each of them, fast ones first."""
QUICK = ("-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:playwright", "--no-header", "--tb=no",
         "--hypothesis-seed=0", "--hypothesis-profile=mutants")
PATIENCE = 60
"""Seconds after which a mutant that never ends counts as found."""
# Shrinking a counterexample is for people; here the first one is enough.
settings.register_profile("mutants", phases=(Phase.explicit, Phase.generate), max_examples=25, deadline=None, database=None)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of the mutants of one module."""

    module: str
    killed: int
    survivors: tuple[Mutant, ...]

    @property
    def tried(self) -> int:
        """How many mutants were run."""
        return self.killed + len(self.survivors)


def run(module: str, share: float = 1.0, until: float = float("inf")) -> Outcome:
    """Try the mutants of a module, or a share of them drawn by chance but always the same, as long as there is time.

    Raises:
        RuntimeError: the tests fail without any change.
    """
    path = COMPUTE / f"{module}.py"
    tests = [str(ROOT / "tests" / "compute" / f"{name}.py") for name in TESTS[module]]
    if _tests(tests) != 0:
        raise RuntimeError(f"{module}: its tests fail as it stands")
    chosen = [one for one in mutants(path.read_text(encoding="utf-8")) if random.Random(one.name).random() < share]
    killed, survivors = 0, []
    for one in chosen:
        if time.monotonic() > until:
            break
        if _is_killed(one, path, tests):
            killed += 1
        else:
            survivors.append(one)
    return Outcome(module, killed, tuple(survivors))


def _is_killed(mutant: Mutant, path: Path, tests: list[str]) -> bool:
    child = os.fork()
    if child == 0:
        signal.alarm(PATIENCE)  # ends the child where a loop no longer does
        try:
            _swap(compile(mutant.tree, str(path), "exec"), path)
            os._exit(0 if _tests(tests) == 0 else 1)
        except BaseException:  # a mutant may break anything; the child ends here either way
            os._exit(1)
    _, status = os.waitpid(child, 0)
    return status != 0


def _tests(tests: list[str]) -> int:
    quiet = io.StringIO()
    with contextlib.redirect_stdout(quiet), contextlib.redirect_stderr(quiet):
        settings.load_profile("mutants")
        return int(pytest.main([*QUICK, *tests]))


def _swap(changed: CodeType, path: Path) -> None:
    """Put the changed code into every function of the module that lives, and forget what was worked out with the old."""
    new = {(code.co_qualname, code.co_firstlineno): code for code in _codes(changed)}
    for thing in gc.get_objects():
        if isinstance(thing, FunctionType) and thing.__code__.co_filename == str(path):
            code = new.get((thing.__code__.co_qualname, thing.__code__.co_firstlineno))
            if code is not None and len(code.co_freevars) == len(thing.__code__.co_freevars):
                thing.__code__ = code
        elif isinstance(thing, functools._lru_cache_wrapper):
            owner = thing.__wrapped__.__module__
            if owner.startswith(("generator.compute", "tests.compute")):
                thing.cache_clear()


def _codes(code: CodeType) -> Iterator[CodeType]:
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield constant
            yield from _codes(constant)


def main() -> int:
    """Try the modules named, or all of them, and print what survived."""
    options = argparse.ArgumentParser(prog="python -m tests.long.mutation", description=main.__doc__)
    options.add_argument("modules", nargs="*", default=list(TESTS), help="formula modules; all where left out")
    options.add_argument("--share", type=float, default=1.0, help="share of the mutants to try, always the same ones")
    options.add_argument("--seconds", type=float, default=float("inf"), help="time for all of it")
    asked = options.parse_args()
    until = time.monotonic() + asked.seconds
    for module in asked.modules:
        began = time.monotonic()
        outcome = run(module, asked.share, until)
        print(f"{module}: {outcome.killed} of {outcome.tried} killed ({time.monotonic() - began:.0f} s)", flush=True)
        for one in outcome.survivors:
            print(f"    {one.name}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main())
