"""The Web Content Accessibility Guidelines 2.2, A and AA, as far as a machine can judge: one page of each kind. Long lane.

The judge is axe-core, a general checker that the project itself does not use.
"""

import os
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

playwright = pytest.importorskip("playwright.sync_api")
axe = pytest.importorskip("axe_playwright_python")
pytestmark = pytest.mark.long
CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
SITE = Path(__file__).parents[2] / "site_demo"
GUIDELINES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
MOST = 400_000
"""The judge takes minutes over pages that are larger. [bytes]"""
DESK: dict[str, Any] = {"viewport": {"width": 1440, "height": 900}, "color_scheme": "light"}
TABLET: dict[str, Any] = {**DESK, "viewport": {"width": 820, "height": 1180}, "color_scheme": "dark", "has_touch": True}


def smallest_of_each_kind() -> list[Path]:
    """Pages by kind, the smallest of each."""
    kinds: dict[str, Path] = {}
    for path in sorted(SITE.rglob("*.html"), key=lambda path: (path.stat().st_size, path)):
        kind = re.search(r'class="[^"]*sheet-([a-z_]+)"', path.read_text(encoding="utf-8"))
        kinds.setdefault(kind[1] if kind else "note", path)
    return [path for path in kinds.values() if path.stat().st_size <= MOST]


@pytest.mark.parametrize(("device", "without"), [(DESK, ("target-size",)), (TABLET, ())], ids=["desk", "tablet"])
def test_no_page_shuts_anybody_out(device: dict[str, Any], without: tuple[str, ...]) -> None:
    """On a desk a pointer is fine enough for tags that stand close together; a finger is not."""
    if CHROMIUM is None:
        if os.environ.get("REQUIRE_BROWSER"):
            pytest.fail("Chromium is asked for and not there")
        pytest.skip("Chromium is not installed")
    judge = next(Path(axe.__file__).parent.rglob("axe.min.js")).read_text(encoding="utf-8")
    options = {"runOnly": GUIDELINES, "rules": {name: {"enabled": False} for name in without}}
    found = []
    with playwright.sync_playwright() as tools:
        browser = tools.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_page(**device)
        for path in smallest_of_each_kind():
            page.goto(path.as_uri())
            page.evaluate(judge)
            for fault in page.evaluate("options => axe.run(document, options)", options)["violations"]:
                found += [f"{path.relative_to(SITE)}: {fault['id']}: {node['html'][:120]}" for node in fault["nodes"][:3]]
        browser.close()
    assert found == []
