"""The matrix by keyboard, in a real browser: arrows move, the bar speaks, the page never scrolls sideways."""

import shutil
from pathlib import Path

import pytest

from generator.pages import matrices
from generator.render import assets
from generator.render.environment import fragment
from tests.pages.plants import LOGIC, context

pytestmark = [pytest.mark.browser,
              pytest.mark.skipif(shutil.which("chromium") is None, reason="no Chromium on this machine")]


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    """The sheet of area 10 as a page by itself."""
    page = next(page for page in matrices.pages(context(LOGIC)) if page.path == "matrices/10.html")
    files = assets.files()
    styles = "".join(text.decode() for name, text in files.items() if name.endswith(".css"))
    script = next(text.decode() for name, text in files.items() if name.endswith("matrix.js"))
    target = tmp_path / "sheet.html"
    target.write_text(
        f'<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
        f"<title>x</title><style>{styles}</style><body>{assets.sprite()}<main class='sheet'>{fragment(page)}</main>"
        f"<script>{script}</script></body></html>", encoding="utf-8")
    return target


def test_arrows_move_and_the_bar_speaks(sheet: Path) -> None:
    from playwright.sync_api import sync_playwright
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport={"width": 1000, "height": 800})
        page.goto(sheet.as_uri())
        assert page.locator("table.matrix .cell[tabindex='0']").count() == 1
        page.locator("table.matrix .cell[tabindex='0']").focus()
        bar = page.locator(".matrix-say")
        assert bar.inner_text().startswith("Nothing")
        for _ in range(4):
            page.keyboard.press("ArrowRight")
        assert bar.inner_text().startswith("When LSHH-101 opens at 3.30 m rising, after 2 s, XV-101 closes")
        page.keyboard.press("End")
        assert "alarm LAHH-101 comes" in bar.inner_text()
        page.keyboard.press("Control+Home")
        assert bar.inner_text().startswith("Nothing")
        page.keyboard.press("ArrowUp")  # already at the top: stays
        assert bar.inner_text().startswith("Nothing")
        for width in (390, 820, 1440):
            page.set_viewport_size({"width": width, "height": 800})
            assert page.evaluate("document.documentElement.scrollWidth") <= width
        page.set_viewport_size({"width": 390, "height": 800})
        assert page.locator(".cell[data-effect]").first.is_visible()  # the list of effects
        assert not page.locator("td.cell:not([data-effect])").first.is_visible()
        browser.close()
