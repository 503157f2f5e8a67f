"""Sites built once for all tests of this folder, and one browser that looks at them."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator import plain, read
from tests.site import building

SPOIL = "</style></title><script>alert('x')</script><img src=x onerror=alert(1)> {{ 7*7 }} \"quoted\" & 'all'"


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> building.Built:
    """The demo plant's site, built once in a run: the second process that wants it was handed what the first should do."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        (tmp_path_factory.getbasetemp().parent / "the-demo-is-built").touch(exist_ok=False)
    into = tmp_path_factory.mktemp("demo") / "site"
    return building.build(building.ROOT / "content/plant", into, building.ROOT / "content/pages")


@pytest.fixture(scope="session")
def small_plant() -> Path:
    """A small plant that uses much of the language."""
    return building.ROOT / "tests/plants/condensate.yml"


@pytest.fixture(scope="session")
def plain_site(tmp_path_factory: pytest.TempPathFactory, demo: building.Built) -> Path:
    """The same pages printed without a theme."""
    into = tmp_path_factory.mktemp("plain")
    assert demo.philosophy.site is not None
    plain.write(demo.philosophy.site, into)
    return into


@pytest.fixture(scope="session")
def hostile_site(tmp_path_factory: pytest.TempPathFactory, small_plant: Path) -> Path:
    """A small plant whose every free text tries to leave its place, with a note that does the same."""
    into = tmp_path_factory.mktemp("hostile")
    notes = into / "notes"
    notes.mkdir()
    (notes / "nasty.md").write_text(
        f"# Nasty {SPOIL}\n\nRaw <b>bold</b> and <x>.\n\n"
        "[run](javascript:alert(1)) [out](https://example.org/)\n\n"
        "The trip acts at {LSHH-210 height}; nothing stands at {LSHH-999 height}.\n\n"
        "`{LSHH-210 height}`\n", encoding="utf-8")
    real = read.plant

    def spoilt(*given: object, **named: object) -> object:
        plant, mistakes = real(*given, **named)  # type: ignore[arg-type]
        return building.hostile(plant, SPOIL), mistakes

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(read, "plant", spoilt)
        built = building.build(small_plant, into / "site", notes)
    assert [line for line in built.said if "LSHH-999" in line], "a reference that leads nowhere is a warning"
    return into / "site"


@pytest.fixture(scope="package")
def browser() -> Iterator[Any]:
    """Chromium, as Playwright drives it."""
    tools = pytest.importorskip("playwright.sync_api")
    chromium = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if chromium is None:
        if os.environ.get("REQUIRE_BROWSER"):
            pytest.fail("Chromium is asked for and not there")
        pytest.skip("Chromium is not installed")
    with tools.sync_playwright() as driver:
        made = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        yield made
        made.close()
