"""The formula modules under mutation: at least 85 in 100 mutants must be found by their tests. Long lane, time-boxed."""

import re
import subprocess
import sys
import time

import pytest

from tests.long import mutation

pytestmark = pytest.mark.long
ENOUGH = 0.85
SHARE = 1 / 3
BOX = 15 * 60
"""Time for all modules together. [s]"""
BEGAN = time.monotonic()


@pytest.mark.parametrize("module", mutation.TESTS)
def test_the_tests_find_most_mutants(module: str) -> None:
    """A third of the mutants, always the same ones; `python -m tests.long.mutation` tries them all."""
    left = BEGAN + BOX - time.monotonic()
    if left <= 0:
        pytest.skip(f"the {BOX // 60} minutes are used up; run: python -m tests.long.mutation {module}")
    done = subprocess.run(
        (sys.executable, "-m", "tests.long.mutation", module, "--share", str(SHARE), "--seconds", str(left)),
        cwd=mutation.ROOT, capture_output=True, text=True, check=True)
    found = re.search(rf"^{module}: (\d+) of (\d+) killed", done.stdout, re.MULTILINE)
    assert found is not None, done.stdout + done.stderr
    killed, tried = int(found[1]), int(found[2])
    assert tried > 0
    assert killed >= ENOUGH * tried, done.stdout
