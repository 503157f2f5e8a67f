"""Pages as they print: how many sheets they take, and that nothing of their working is lost on the way to paper."""

import re
from collections.abc import Iterator

import pytest

from generator.model.page import plain
from generator.pages.calculations import Calculations
from generator.pages.records import RecordView
from tests.site import building

playwright = pytest.importorskip("playwright.sync_api")
pytestmark = pytest.mark.browser


def printed(browser: playwright.Browser, demo: building.Built, path: str) -> Iterator[playwright.Page]:
    """A page as print sets it, as wide as the text of an A4 sheet: 210 mm less 12 mm each side are 703 px."""
    page = browser.new_page(viewport={"width": 703, "height": 1000})
    page.emulate_media(media="print")
    page.goto((demo.folder / path).as_uri())
    yield page
    page.close()


def sheets(page: playwright.Page) -> int:
    """Sheets of a PDF: its page objects."""
    return len(re.findall(rb"/Type\s*/Page\b", page.pdf(prefer_css_page_size=True)))


def squeezed(text: str) -> str:
    """Text without blanks, whose number depends on how a page is laid out."""
    return "".join(text.split()).lower()


def test_calculations_print_compactly_and_whole(browser: playwright.Browser, demo: building.Built) -> None:
    """Above 400 records on at most 30 sheets; each with its result, equation, inputs and where these come from."""
    assert demo.philosophy.site is not None
    view = next(page.view for page in demo.philosophy.site.pages if page.path == "calculations/t-310.html")
    assert isinstance(view, Calculations) and view.worked_out > 400
    for page in printed(browser, demo, "calculations/t-310.html"):
        assert 1 < sheets(page) <= 30
        shown = {anchor: squeezed(text) for anchor, text in page.evaluate(
            "[...document.querySelectorAll('.worked-out .record')].map(one => [one.id, one.innerText])")}
        wide = page.evaluate("""[...document.querySelectorAll('.worked-out .record math')].filter(one =>
            one.getBoundingClientRect().right > one.closest('.record').getBoundingClientRect().right + 1).map(
            one => one.closest('.record').id)""")
    assert wide == []
    for record in (one for group in view.groups for one in group.records if isinstance(one, RecordView)):
        inputs = [words for one in record.inputs
                  for words in (one.name, plain((one.shown,)), one.source.text.rpartition("/")[2])]
        for words in (record.name, plain((record.shown,)), record.validity, record.reference, record.note, *inputs):
            assert squeezed(words) in shown[record.anchor], (record.key, words)


@pytest.mark.parametrize("tank", ["t-520", "t-610", "t-620"])
def test_a_short_card_shares_its_sheet_with_what_trips_what(
    browser: playwright.Browser, demo: building.Built, tank: str,
) -> None:
    """An A4 sheet less margins and foot holds 260 mm (983 px at 96 to the inch); before the drawing, as on screen after it."""
    tops = """() => { const at = name => document.querySelector(`section:has(> .head > #${name})`).getBoundingClientRect();
        const from = document.querySelector(".sheet").getBoundingClientRect().top;
        return [at("card").top, at("trips").top, at("trips").bottom, at("levels").top].map(one => one - from); }"""
    for page in printed(browser, demo, f"tanks/{tank}.html"):
        card, trips, ends, levels = page.evaluate(tops)
        assert card < trips < levels and ends <= 983
        page.emulate_media(media="screen")
        assert page.evaluate(tops)[1] > page.evaluate(tops)[3]


def test_a_long_card_keeps_the_drawing_next(browser: playwright.Browser, demo: building.Built) -> None:
    for page in printed(browser, demo, "tanks/t-310.html"):
        assert page.evaluate("document.querySelectorAll('.early').length") == 0


@pytest.mark.parametrize(("width", "media"), [(1440, "screen"), (1497, "print")])
def test_the_head_of_a_matrix_keeps_each_tag_whole_and_apart(
    browser: playwright.Browser, demo: building.Built, width: int, media: str,
) -> None:
    """The sheet is signed: no tag broken in two, none touching the next. A3 across less margins: 396 mm, 1497 px."""
    page = browser.new_page(viewport={"width": width, "height": 1000})
    page.emulate_media(media=media)
    page.goto((demo.folder / "matrices/30.html").as_uri())
    tags = page.evaluate("""[...document.querySelectorAll('.effect > a')].map(one => {
        const text = document.createRange(); text.selectNodeContents(one);
        const all = [...text.getClientRects()], box = one.parentElement.getBoundingClientRect();
        return [one.textContent, all.length, all[0].left - box.left, box.right - all[0].right]; })""")
    assert len(tags) > 15
    assert [one for one in tags if one[1] != 1 or min(one[2], one[3]) < 2] == []
    over = page.evaluate("""[...document.querySelectorAll('.cell .tile')].filter(one => one.getBoundingClientRect().width > 0 &&
        one.getBoundingClientRect().right > one.closest('td').getBoundingClientRect().right + 1).length""")
    assert over == 0
    if media == "print":  # a dash is twice as long as thick, a gap about as long: three dashes need some eight times the width
        border, height = page.evaluate("""() => { const one = document.querySelector('.cell .tile-permits b');
            return [parseFloat(getComputedStyle(one).borderTopWidth), one.getBoundingClientRect().height]; }""")
        assert height >= 8 * border
    page.close()


def test_words_of_a_printed_trend_can_be_read(browser: playwright.Browser, demo: building.Built) -> None:
    """Six points at least, as print of drawings asks for: common practice, no source. A point is 4/3 px."""
    for page in printed(browser, demo, "tanks/t-420.html"):
        sizes = page.evaluate("""[...document.querySelectorAll('.courses svg.trend text')].filter(
            one => one.getBoundingClientRect().width > 0).map(
            one => parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a)""")
        assert sizes and min(sizes) >= 6 * 4 / 3
