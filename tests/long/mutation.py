"""Mutation testing of the computing room: change one thing, run the tests that pass it, see whether any of them fails.

The parent imports everything, and a first run tells which tests pass which line (`touched.py`). Each mutant is a forked
child (`forks.py`) that swaps the changed code into the functions of the module and runs those tests, quick ones first, up
to the first failure. A mutant that lets all of them pass has survived. Tables of modules are not mutated; they are data,
held by published values.

    python -m tests.long.mutation cycle_times motors     every mutant of two modules
    python -m tests.long.mutation --sample 300           300 of all of them, drawn by chance but always the same

Judges are the tests of the room and the examples in its docstrings, unless `--rooms` names others.
"""

import argparse
import contextlib
import io
import random
import sys
import time
from collections import Counter
from collections.abc import Sequence
from math import sqrt

import pytest
from hypothesis import HealthCheck, Phase, settings

from tests.long.forks import Forks
from tests.long.mutants import Mutant, mutants
from tests.long.touched import COMPUTE, asked, judges, touched

FORMULAS = ("cycle_times", "cycles", "submergence", "suction_head", "motors", "motor_switching", "restarts", "pump_groups",
            "pump_stops", "liquid_state", "alternation", "cycling", "travel", "water", "solids", "signals", "reach", "lines")
"""The modules that hold formulas: figures that somebody may build on."""
QUICK = ("-q", "-p", "no:cacheprovider", "-p", "no:xdist", "-p", "no:playwright", "--no-header", "--tb=no",
         "--doctest-modules",
         "--hypothesis-seed=0", "--hypothesis-profile=mutants", "-m", "not long and not browser")
# Shrinking a counterexample is for people; here the first one is enough.
settings.register_profile("mutants", phases=(Phase.explicit, Phase.generate), max_examples=25, deadline=None, database=None,
                          suppress_health_check=list(HealthCheck))
Trial = tuple[str, Mutant]


def trials(modules: Sequence[str] = ()) -> list[Trial]:
    """Every mutant of the modules named, or of the whole room, as pairs of a path from `compute/` and the mutant."""
    paths = {path.relative_to(COMPUTE).as_posix(): path for path in sorted(COMPUTE.rglob("*.py"))}
    unknown = [name for name in modules if f"{name}.py" not in paths]
    if unknown:
        raise ValueError(f"no such modules in compute/: {', '.join(unknown)}")
    chosen = [f"{name}.py" for name in modules] or list(paths)
    return [(name, one) for name in chosen for one in mutants(paths[name].read_text(encoding="utf-8"))]


def sample(of: list[Trial], size: int, seed: str = "1") -> list[Trial]:
    """Some of the trials in an order of chance, so that what time leaves of them is a sample too; the same ones for a seed."""
    return random.Random(seed).sample(of, min(size, len(of)))


def wilson(killed: int, tried: int, z: float = 1.959964) -> tuple[float, float]:
    """The span that holds the true share with 95 in 100, by Wilson's score interval.

    (p + z²/2n ± z sqrt(p(1 - p)/n + z²/4n²)) / (1 + z²/n)

    Source: E. B. Wilson, Journal of the American Statistical Association 22 (1927); 8 of 10 from memory of tables: 0.49 to 0.94.

    >>> [round(end, 2) for end in wilson(8, 10)]
    [0.49, 0.94]
    """
    share, square = killed / tried, z * z / tried
    middle = share + square / 2
    half = z * sqrt(share * (1 - share) / tried + square / (4 * tried))
    return (middle - half) / (1 + square), (middle + half) / (1 + square)


def run(
    chosen: Sequence[Trial], rooms: tuple[str, ...], seconds: float, budget: float, killers: bool,
) -> dict[str, Counter[bool]]:
    """Try mutants as long as there is time, print each that survives, and count for each module what was killed.

    Raises:
        RuntimeError: tests fail without any change, so that nothing killed would mean anything.
    """
    counts: dict[str, Counter[bool]] = {}
    out = sys.stdout

    def tell(module: str, mutant: Mutant, killer: str | None) -> bool:
        counts.setdefault(module, Counter())[killer is not None] += 1
        if killer is None:
            print(f"    {module}:{mutant.name}", file=out, flush=True)
        elif killers:
            print(f"        {module}:{mutant.name}: {killer}", file=out, flush=True)
        return time.monotonic() < until

    until = float("inf")
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
        settings.load_profile("mutants")
        map_of_tests = touched(list(QUICK), rooms)
        until = time.monotonic() + seconds
        forks = Forks(chosen, map_of_tests, tell, budget)
        pytest.main([*QUICK, *asked(path for room in rooms for path in judges(room))], plugins=[forks])
    if forks.fault:
        raise RuntimeError(forks.fault)
    return counts


def main() -> int:
    """Try the mutants asked for, print what survived, and the share that was killed."""
    options = argparse.ArgumentParser(prog="python -m tests.long.mutation", description=main.__doc__)
    options.add_argument("modules", nargs="*", help="modules of compute/, as motors or actuation/rods; all where left out")
    options.add_argument("--sample", type=int, help="how many mutants to try, drawn by chance but always the same")
    options.add_argument("--seed", default="1", help="another seed draws another sample")
    options.add_argument("--only", nargs="*", default=[""], metavar="TEXT",
                         help="only mutants whose module, line and change as printed hold one of these texts, as motors.py:45:")
    options.add_argument("--rooms", nargs="*", default=["compute", "doctests"],
                         help="what judges: folders of tests/, and \"doctests\" for the examples in compute/")
    options.add_argument("--budget", type=float, default=10.0, help="processor seconds for one mutant")
    options.add_argument("--killers", action="store_true", help="also print what killed each")
    options.add_argument("--seconds", type=float, default=float("inf"), help="time for all of it")
    wanted = options.parse_args()
    began = time.monotonic()
    chosen = [one for one in trials(wanted.modules) if any(text in f"{one[0]}:{one[1].name}" for text in wanted.only)]
    if wanted.sample:
        chosen = sample(chosen, wanted.sample, wanted.seed)
    counts = run(chosen, tuple(wanted.rooms), wanted.seconds, wanted.budget, wanted.killers)
    for module, count in sorted(counts.items()):
        print(f"{module}: {count[True]} of {count.total()} killed")
    killed, tried = sum(count[True] for count in counts.values()), sum(count.total() for count in counts.values())
    if tried == 0:
        raise RuntimeError("no mutant was tried")
    low, high = wilson(killed, tried)
    print(f"all: {killed} of {tried} killed, {killed / tried:.1%}; 95 in 100: {low:.1%} to {high:.1%} "
          f"({time.monotonic() - began:.0f} s)")
    return 0


if __name__ == "__main__":
    sys.exit(main())
