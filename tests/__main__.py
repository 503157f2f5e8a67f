"""Every check and test of the project, in one command: `python -m tests`. `python -m tests --long` runs the long lane."""

import os
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).parent.parent
SCRIPTS = Path(sys.executable).parent
CHECKS = (
    ("style", (str(SCRIPTS / "ruff"), "check", "generator", "tests")),
    ("types", (str(SCRIPTS / "mypy"),)),
    ("imports", (str(SCRIPTS / "lint-imports"), "--no-logo")),
)
TESTS = (sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "loadscope", "--durations=8",
         "--doctest-modules", "generator", "tests")


def main() -> int:
    """Run the checks, then the tests; the first failure of a check does not hide the others."""
    failed = []
    for name, command in CHECKS:
        began = time.monotonic()
        done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
        print(f"{name}: {'ok' if done.returncode == 0 else 'FAILED'} ({time.monotonic() - began:.1f} s)", flush=True)
        if done.returncode != 0:
            print(done.stdout, done.stderr, sep="\n", flush=True)
            failed.append(name)
    lane = ("-m", "long") if "--long" in sys.argv else ("-m", "not long")
    around = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    tests = subprocess.run([*TESTS, *lane], cwd=ROOT, check=False, env=around)  # else each process compiles all code anew
    if failed:
        print("failed before the tests:", ", ".join(failed))
    return 1 if failed or tests.returncode != 0 else 0


if __name__ == "__main__":
    sys.exit(main())
