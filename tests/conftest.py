"""What holds for every test: properties are tried on the same examples each time, so that a change alone turns one red.

New examples: `python -m pytest --hypothesis-profile=default tests/compute`; one that fails is then written down as a test.
"""

import pytest
from hypothesis import settings

settings.register_profile("same", derandomize=True, database=None)


def pytest_configure(config: pytest.Config) -> None:
    """Load our profile where the command line names no other."""
    if not config.getoption("--hypothesis-profile"):
        settings.load_profile("same")
