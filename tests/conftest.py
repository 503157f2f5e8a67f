"""What holds for every test: the same examples of properties each time, and how processes share the work and keep it quick.

Properties are tried on the same examples each time, so that a change alone turns one red. New examples:
`python -m pytest --hypothesis-profile=default tests/compute`; one that fails is then written down as a test.
"""

import gc
from typing import Any

import pytest
from hypothesis import settings

settings.register_profile("same", derandomize=True, database=None)

LONGEST = ("tests/site/", "tests/check/test_rules.py", "tests/command/")
"""What takes longest begins first, so that the processes end together."""


def pytest_configure(config: pytest.Config) -> None:
    """Load our profile where the command line names no other."""
    if not config.getoption("--hypothesis-profile"):
        settings.load_profile("same")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The longest first."""
    items.sort(key=lambda item: next((at for at, name in enumerate(LONGEST) if item.nodeid.startswith(name)), len(LONGEST)))


def pytest_collection_finish() -> None:
    """Spare the collector of rings what stands until the end, and let it come less often: it took a tenth of the time."""
    gc.freeze()
    gc.set_threshold(500_000)


def shared(test: str) -> str:
    """What one process runs as a whole, of a test's name: a file; all of the built sites, which share what was built."""
    return LONGEST[0] if test.startswith(LONGEST[0]) else test.partition("::")[0]


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Hand out what `shared` keeps together. The marks of `--dist loadgroup` are lost on the way in pytest 9.2."""
    from xdist.scheduler import LoadScopeScheduling

    class Handed(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            return shared(nodeid)

    config.option.loadscopereorder = False
    return Handed(config, log)
