"""The site in a browser, opened from a folder: search, both schemes, a phone's width, nothing fetched."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.site import building

playwright = pytest.importorskip("playwright.sync_api")
pytestmark = pytest.mark.browser


class _Watched:
    """A page that remembers complaints and requests that leave the folder."""

    def __init__(self, browser: playwright.Browser, folder: Path, width: int, scheme: str = "light") -> None:
        self.page = browser.new_page(viewport={"width": width, "height": 900}, color_scheme=scheme)
        self.folder = folder
        self.complaints: list[str] = []
        self.page.on("console", lambda said: self._complain(said.text) if said.type == "error" else None)
        self.page.on("pageerror", lambda error: self._complain(str(error)))
        self.page.on("request", lambda asked: None if asked.url.startswith(("file:", "data:", "about:", "blob:"))
                     else self._complain(f"asked for {asked.url}"))

    def _complain(self, words: str) -> None:
        self.complaints.append(f"{self.page.url}: {words}")

    def open(self, path: str) -> playwright.Page:
        self.page.goto((self.folder / path).as_uri())
        return self.page


def test_no_page_scrolls_sideways_or_complains(browser: playwright.Browser, demo: building.Built) -> None:
    watched = _Watched(browser, demo.folder, 1440)
    wide = []
    for path in building.one_of_each_kind(building.site(demo.folder)):
        watched.page.goto("about:blank")  # what is wide again is an empty page, not the one before
        watched.page.set_viewport_size({"width": 1440, "height": 900})  # before: the theme slides its search open
        page = watched.open(path)
        for width in (1440, 820, 390):
            page.set_viewport_size({"width": width, "height": 900})
            if page.evaluate("document.documentElement.scrollWidth > window.innerWidth + 1"):
                wide.append(f"{path} at {width} px")
    watched.page.close()
    assert wide == []
    assert watched.complaints == []


@pytest.fixture(scope="module")
def home(browser: playwright.Browser, demo: building.Built) -> Iterator[_Watched]:
    """The first page, opened once and asked again and again."""
    watched = _Watched(browser, demo.folder, 1440)
    watched.open("index.html")
    yield watched
    watched.page.close()


def _searched(home: _Watched, typed: str) -> list[str]:
    """Where the search of the site leads for what is typed into the field; closed and emptied before it answers."""
    page, found = home.page, home.page.locator(".md-search-result__link")
    assert found.count() == 0  # of what was asked before
    page.fill("#ask", typed)
    page.click("button.everywhere")
    found.first.wait_for(timeout=15000)
    paths = [str(path) for path in found.evaluate_all("all => all.map(one => one.href)")]
    query = page.locator(".md-search__input")
    query.fill("")
    query.press("Backspace")  # the theme reads its field when a key goes up; of a reset it learns by the focus, a moment late
    found.first.wait_for(state="detached")
    query.press("Escape")
    return paths


@pytest.mark.parametrize(("typed", "first"), [
    ("T-310", "tanks/t-310.html"), ("t310", "tanks/t-310.html"), ("T 420", "tanks/t-420.html"),
    ("lshh312", "switches/lshh-312.html"), ("LSHH-312", "switches/lshh-312.html"),
    ("COND TK 310 OVERFILL TRIP", "tanks/t-310.html#lahh-312"), ("lahh-312", "tanks/t-310.html#lahh-312"),
    ("drain well 610 high", "tanks/t-610.html#lah"), ("LX-612", "tanks/t-610.html#lx-612"),
    ("TS-410", "tests/ts-410.html"), ("hz-05", "registers/hazards.html#hz-05"), ("C-3112", "tanks/t-310.html#lx-312"),
    ("FEED TANK PUMPS LOW LOW", "tanks/t-320.html#lall-32"), ("feed pumps low low trip", "tanks/t-320.html#lall-32"),
    ("SUMP HIGH HIGH", "tanks/t-340.html#lahh-"), ("FEED TK 320 LEVEL LO", "tanks/t-320.html#lal-323"),
    ("alarm LAH-311", "tanks/t-310.html#lah-311"), ("reset I-322", "interlocks/i-322.html"),
    ("why did p 310a stop", "pumps/p-310a.html"),
    ("T-310 N4", "tanks/t-310.html#nozzle-n4"), ("N4", "tanks/t-1"),
])
def test_the_field_knows_tags_and_the_words_of_the_screen(home: _Watched, typed: str, first: str) -> None:
    home.page.fill("#ask", "")
    assert home.page.locator("#answers a").count() == 0
    home.page.fill("#ask", typed)
    answer = home.page.locator("#answers a").first.get_attribute("href", timeout=5000) or ""
    assert answer.startswith(first)
    assert home.complaints == []


def test_low_low_of_a_tank_is_no_low(home: _Watched) -> None:
    """The screen says FEED PUMPS LO-LO TRIP; the operator types the tank and LOW LOW."""
    home.page.fill("#ask", "FEED TK LOW LOW")
    answers = home.page.locator("#answers b").all_inner_texts()
    assert "LALL-324" in answers and "LAL-323" not in answers


@pytest.mark.parametrize(("typed", "leads"), [
    ("reset I-322", "interlocks/i-322.html"), ("SOFT WATER TK 220 OVERFILL TRIP", "tanks/t-220.html#"),
    ("N4", None), ("FEED TK LOW LOW", None),  # several: the key must not choose for the reader
])
def test_enter_opens_what_is_meant_and_points_at_the_first_of_several(home: _Watched, typed: str, leads: str | None) -> None:
    home.open("index.html")
    home.page.fill("#ask", typed)
    assert home.page.locator("#answers a").count() > (0 if leads else 1)
    home.page.press("#ask", "Enter")
    if leads:
        home.page.wait_for_url(f"**/{leads}*", timeout=5000)
    else:
        assert home.page.evaluate("document.activeElement === document.querySelector('#answers a')")
    home.open("index.html")


def test_every_answer_of_the_field_leads_somewhere(home: _Watched, demo: building.Built) -> None:
    known = home.page.evaluate("JSON.parse(document.getElementById('known').textContent)")
    assert len(known) > 300
    pages = building.site(demo.folder)
    for tag, _, path, *_ in known:
        page, _, anchor = path.partition("#")
        assert page in pages and (not anchor or anchor in pages[page].ids), tag


@pytest.mark.parametrize(("typed", "first"), [
    ("gallery", "registers/wiring.html"), ("LSHH-312", "switches/lshh-312.html"), ("HZ-05", "registers/hazards.html"),
])
def test_search_finds_without_server_and_network(home: _Watched, typed: str, first: str) -> None:
    found = _searched(home, typed)
    assert any(first in path for path in found[:4]), found[:5]
    assert not any("undefined" in path for path in found)
    assert home.complaints == []


@pytest.mark.parametrize(("typed", "first"), [
    ("bypass LSHH-622", "switches/lshh-622.html"), ("LSHH-622 stuck", "switches/lshh-622.html"),
    ("P-340A does not start", "pumps/p-340a.html"), ("how do I reset I-340", "interlocks/i-340.html"),
    ("SOFT WATER TK 220 OVERFILL TRIP", "tanks/t-220.html"),
])
def test_a_question_with_a_tag_in_it_finds_the_tag_first(home: _Watched, typed: str, first: str) -> None:
    found = _searched(home, typed)
    assert first in found[0], found[:5]


def test_filter_of_the_tags(browser: playwright.Browser, demo: building.Built) -> None:
    watched = _Watched(browser, demo.folder, 1440)
    page = watched.open("tags.html")
    page.fill("#find", "lshh312")
    shown = page.locator("tr[data-find]:visible th")
    assert [" ".join(text.split()) for text in shown.all_inner_texts()] == ["LSHH-312"]
    assert page.locator("form.filter output").inner_text() == "1 tag"
    assert watched.complaints == []
    page.close()


def test_the_register_of_failures_finds_a_point_with_its_body(browser: playwright.Browser, demo: building.Built) -> None:
    watched = _Watched(browser, demo.folder, 1440)
    page = watched.open("registers/single-failures.html")
    page.fill("#find", "LSHH-222")
    shown = {" ".join(text.split()) for text in page.locator("tr[data-find]:visible th").all_inner_texts()}
    assert shown == {"LSHH-222", "LX-222"}
    assert watched.complaints == []
    page.close()


def _luminance(colour: str) -> float:
    """Relative luminance of an "rgb(r, g, b)". W3C, WCAG 2.2, definition of relative luminance."""
    parts = [int(one) / 255 for one in re.findall(r"\d+", colour)[:3]]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_glass_in_the_search_is_seen(browser: playwright.Browser, demo: building.Built, scheme: str) -> None:
    """3 to 1 at least: WCAG 2.2, 1.4.11 Non-text contrast."""
    watched = _Watched(browser, demo.folder, 1440, scheme)
    page = watched.open("index.html")
    shades = page.evaluate("""() => [getComputedStyle(document.querySelector("label.md-search__icon svg")).fill,
        getComputedStyle(document.querySelector(".md-search__form")).backgroundColor]""")
    dark, light = sorted(map(_luminance, shades))
    assert (light + 0.05) / (dark + 0.05) >= 3, shades
    page.close()


def test_night_is_dark_and_paper_is_white(browser: playwright.Browser, demo: building.Built) -> None:
    watched = _Watched(browser, demo.folder, 1440, "dark")
    page = watched.open("index.html")
    lightness = "(name) => getComputedStyle(document.body).getPropertyValue(name).trim()"
    assert page.evaluate(lightness, "--sheet") == "#191f25"
    page.emulate_media(media="print")
    assert page.evaluate(lightness, "--sheet") == "#ffffff"
    assert page.evaluate(lightness, "--ink") == "#000000"
    page.close()


def test_folds_are_open_on_paper_and_the_foot_names_the_document(browser: playwright.Browser,
                                                                 demo: building.Built) -> None:
    style = (demo.folder / "index.html").read_text(encoding="utf-8")
    assert "@bottom-left" in style and "counter(page)" in style
    watched = _Watched(browser, demo.folder, 1440)
    page = watched.open("tanks/t-310.html")
    page.emulate_media(media="print")
    closed = page.evaluate("""() => [...document.querySelectorAll("article details")].filter(
        fold => [...fold.children].slice(1).some(part => !part.matches(".small") && part.getBoundingClientRect().height === 0)
                && !fold.querySelector(".record") && !fold.closest(".record, section:has(#explorer)")).length""")
    assert closed == 0
    page.close()


@pytest.mark.parametrize("path", ["switches/lshh-322.html", "interlocks/i-321.html", "tanks/t-320.html"])
def test_a_phone_reaches_the_cautions_from_the_head(browser: playwright.Browser, demo: building.Built, path: str) -> None:
    page = _Watched(browser, demo.folder, 390).open(path)
    link = page.locator(".jump a[href='#cautions']")
    assert link.count() == 1
    if not path.startswith("tanks"):  # a tank shows first what to do about its alarms
        assert (link.bounding_box() or {"y": 9e9})["y"] < 900
    assert page.evaluate("[...document.querySelectorAll('.jump a')].every(one => document.querySelector(one.hash))")
    page.close()


def test_a_phone_asks_first(browser: playwright.Browser, demo: building.Built) -> None:
    """The field stands on the first screen of a small phone, 667 px high, in its upper half."""
    page = _Watched(browser, demo.folder, 390).open("index.html")
    assert (page.locator("#ask").bounding_box() or {"y": 9e9})["y"] < 667 / 2
    page.close()
