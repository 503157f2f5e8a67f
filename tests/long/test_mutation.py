"""The computing room under mutation: at least 85 in 100 mutants must be found by its tests. Long lane, time-boxed."""

import re
import subprocess
import sys

import pytest

from tests.long import mutation

pytestmark = pytest.mark.long
ENOUGH = 0.85
SAMPLE = 250
"""Mutants of each run, always the same ones; `python -m tests.long.mutation` tries as many as are wanted."""
BOX = 15 * 60
"""Time for a run, without the first one that finds out which tests pass which line. [s]"""


@pytest.mark.parametrize("modules", [mutation.FORMULAS, ()], ids=["formulas", "the whole room"])
def test_the_tests_find_most_mutants(modules: tuple[str, ...]) -> None:
    done = subprocess.run(
        (sys.executable, "-m", "tests.long.mutation", *modules, "--sample", str(SAMPLE), "--seconds", str(BOX)),
        cwd=mutation.ROOT, capture_output=True, text=True, check=False)
    found = re.search(r"^all: (\d+) of (\d+) killed", done.stdout, re.MULTILINE)
    assert found is not None, done.stdout + done.stderr
    killed, tried = int(found[1]), int(found[2])
    assert tried > SAMPLE / 2, "the time was used up; run: python -m tests.long.mutation"
    assert killed >= ENOUGH * tried, done.stdout
