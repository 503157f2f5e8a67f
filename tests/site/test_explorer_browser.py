"""The explorer in a browser: at every place it shows what the generator worked out, by keyboard too."""

from collections.abc import Iterator

import pytest

from tests.site import building

playwright = pytest.importorskip("playwright.sync_api")
pytestmark = pytest.mark.browser
TANK = "T-310"
SHOWN = """() => Object.fromEntries([...document.querySelectorAll(".explorer li[data-place]")].map(
    line => [line.querySelector(".explorer-tag").textContent.trim(), line.dataset.state]))"""
PUT = """([place, way, fault]) => { const box = document.querySelector(".explorer");
    box.querySelectorAll("input[type=radio]")[way % 2].click();
    const nobody = box.querySelector("input[type=checkbox]"); if (nobody.checked !== way > 1) nobody.click();
    const pick = box.querySelector("select"); pick.value = fault; pick.dispatchEvent(new Event("change"));
    const slide = box.querySelector("input[type=range]"); slide.value = place; slide.dispatchEvent(new Event("input")); }"""


@pytest.fixture(scope="module")
def page(browser: playwright.Browser, demo: building.Built) -> Iterator[playwright.Page]:
    made = browser.new_page(viewport={"width": 1440, "height": 900})
    made.goto((demo.folder / "tanks/t-310.html").as_uri())
    yield made
    made.close()


def test_every_state_is_the_one_worked_out(page: playwright.Page, demo: building.Built) -> None:
    results = demo.philosophy.results
    assert results is not None
    made = results.explorers[TANK]
    positions = page.evaluate("JSON.parse(document.querySelector('.explorer script').textContent).positions")
    first_of_band = {band: place for place, (band, *_) in reversed(list(enumerate(positions)))}
    assert set(first_of_band) == set(range(len(made.edges) + 1))
    for number in range(0, len(made.faults), 3):
        for way in range(4):
            shown = page.evaluate(f"puts => puts.map(put => {{ ({PUT})(put); return ({SHOWN})(); }})",
                                  [[place, way, number] for place in first_of_band.values()])
            for band, states in zip(first_of_band, shown, strict=True):
                wanted = {item.tag: state for item, state in zip(made.items, made.states[number][way][band], strict=True)}
                assert states == wanted, (made.faults[number].words, way, band)


def test_positions_lie_in_their_bands(page: playwright.Page, demo: building.Built) -> None:
    results = demo.philosophy.results
    assert results is not None
    made = results.explorers[TANK]
    bounds = (made.bottom, *made.edges, made.top)
    for band, height, *_ in page.evaluate("JSON.parse(document.querySelector('.explorer script').textContent).positions"):
        assert bounds[band] < height < bounds[band + 1]


def test_keyboard_and_next_change(page: playwright.Page) -> None:
    page.reload()
    slide = page.locator(".explorer input[type=range]")
    slide.focus()
    before = slide.get_attribute("aria-valuetext")
    page.keyboard.press("ArrowUp")
    assert slide.get_attribute("aria-valuetext") != before
    page.get_by_role("button", name="Go to next change").focus()
    for _ in range(30):
        page.keyboard.press("Enter")
        if "LSHH-312" in page.locator(".explorer-says").inner_text():
            break
    shown = page.evaluate(SHOWN)
    assert (shown["LSHH-312"], shown["XV-310"], shown["XV-311"]) == ("acted", "closed", "open")
    assert "Worked out from the document, not the plant." in page.locator(".not-plant").inner_text()


def test_without_the_fault_it_says_what_would_be(page: playwright.Page) -> None:
    place = page.evaluate("document.querySelector('.explorer input[type=range]').max")
    number = page.evaluate("""() => [...document.querySelectorAll(".explorer option")].findIndex(
        one => one.textContent === "LSHH-312 is stuck dry")""")
    page.evaluate(PUT, [place, 0, number])
    said = page.locator(".explorer li", has_text="XV-310").inner_text()
    assert "OPEN" in said
    assert "without the fault: SHUT" in said


def test_paper_has_no_explorer(page: playwright.Page) -> None:
    """What happens next and the single failures stand on paper; the explorer is for the screen."""
    page.emulate_media(media="print")
    assert not page.locator(".explorer").is_visible()
    assert not page.locator(".explorer-states table").is_visible()
    assert page.locator("#next").is_visible()
    page.emulate_media(media="screen")
