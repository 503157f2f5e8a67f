"""The pages of calculations: every record once, each input with its source, what feeds what in both directions."""

import re

import pytest

from generator.model.page import Page, plain
from generator.model.record import Absence, Record
from generator.pages import amounts, calculations, records
from generator.pages.paths import slug
from generator.render.environment import fragment
from tests.pages.plants import DEMO, context

CONDENSATE, BARE = "tests/plants/condensate.yml", "tests/plants/bare.yml"


def _pages(source: str) -> dict[str, Page]:
    return {page.path: page for page in calculations.pages(context(source))}


@pytest.mark.parametrize("source", [CONDENSATE, BARE, DEMO])
def test_every_record_stands_where_its_door_leads(source: str) -> None:
    made = context(source)
    anchors = {path: re.findall(r'\sid="([^"]+)"', fragment(page)) for path, page in _pages(source).items()}
    for key in made.results.records:
        path, _, anchor = made.paths.record(key).partition("#")
        assert anchors[path].count(anchor) == 1, key


def test_what_feeds_what_is_the_inverse_of_the_inputs() -> None:
    made = context(CONDENSATE)
    pairs = {(source, key) for source, keys in made.feeds.items() for key in keys}
    inputs = {(str(one.source), key) for key, outcome in made.results.records.items() if isinstance(outcome, Record)
              for one in outcome.inputs if one.is_record}
    assert pairs >= inputs and inputs
    assert {key for _, key in pairs - inputs} <= {key for key in made.results.records if "/courses/" in key}


def test_an_input_links_to_its_line_or_to_its_record() -> None:
    made = context(CONDENSATE)
    shown = records.view(made, made.results.records["#LSHH-210/elevation"])
    assert isinstance(shown, records.RecordView)
    sources = [one.source for one in shown.inputs]
    assert any(re.search(r"condensate\.yml:\d+", link.text) and link.path.startswith("sources/") for link in sources)
    assert all(link.path or link.text for link in sources)


def test_a_result_is_shown_in_si_and_in_the_unit_of_the_pages() -> None:
    """By hand: 20 m3/h is 0.00555556 m3/s (20 / 3600)."""
    made = context(CONDENSATE)
    shown = records.view(made, made.results.records["#T-210/filling"])
    assert isinstance(shown, records.RecordView)
    assert (shown.shown.number, shown.shown.unit) == ("20.0", "m³/h")
    assert (shown.si.number, shown.si.unit) == ("0.00555556", "m³/s")


def test_an_absence_says_why_and_what_is_missing() -> None:
    made = context(BARE)
    outcome = made.results.records["#T-1/capacity"]
    assert isinstance(outcome, Absence)
    page = _pages(BARE)["calculations/t-1.html"]
    html = fragment(page)
    assert slug(outcome.key) in {one.anchor for one in page.view.absent}
    assert outcome.why in html and all(field in html for field in outcome.missing)


def test_equations_are_set_as_mathml() -> None:
    assert fragment(_pages(CONDENSATE)["calculations/t-210.html"]).count("<math") > 50


@pytest.mark.parametrize(("amperes", "shown"), [
    (0.0145, "14.50 mA"), (0.013185185, "13.19 mA"), (0.0040, "4.00 mA"), (0.012, "12 mA"), (0.1505, "150.50 mA"),
    (0.15, "150 mA"), (-0.0145, "-14.50 mA"), (8.2, "8.20 A")])
def test_a_current_is_never_cut_to_whole_milliamperes(amperes: float, shown: str) -> None:
    """4 to 20 mA by IEC 60381-1: half a milliampere is three per cent of the range."""
    assert plain((amounts.amount(amperes, "current"),)) == shown


def test_a_core_of_a_cable_is_said_in_square_millimetres() -> None:
    small, large = amounts.amount(1.5e-6, "area"), amounts.amount(3.2, "area")
    assert (small.number, small.unit, large.number, large.unit) == ("1.50", "mm²", "3.20", "m²")
