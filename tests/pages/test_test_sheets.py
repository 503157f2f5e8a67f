"""Test sheets: each test has one; it says what must be seen, what stays hidden, and leaves room to write."""

import re

import pytest

from generator.model.page import plain
from generator.model.record import Record
from generator.model.scalar import Tag
from generator.pages import surroundings, test_sheets
from generator.pages.register import Table
from generator.pages.test_sheets import Sheet
from generator.render.environment import fragment
from tests.pages.plants import DEMO, context


def _sheet(tag: str) -> Sheet:
    view = next(page.view for page in test_sheets.pages(context(DEMO)) if page.nav == tag)
    assert isinstance(view, Sheet)
    return view


def test_every_test_has_its_sheet_and_the_register_leads_there() -> None:
    whole = context(DEMO)
    pages = {page.path: page for page in test_sheets.pages(whole)}
    assert list(pages) == [f"tests/{tag.lower()}.html" for tag in whole.plant.tests]
    register = next(page.view for page in surroundings.pages(whole) if page.path == "registers/tests.html")
    assert isinstance(register, Table)
    rows = [row for group in register.groups for row in group.rows]
    assert [part.path for row in rows for part in row.cells[0].parts if hasattr(part, "path")] == list(pages)
    for page in pages.values():
        html = fragment(page)
        ids = re.findall(r'\sid="([^"]+)"', html)
        assert len(ids) == len(set(ids))
        assert html.count('class="measured') >= 12  # name, day and signature of four people


def test_what_a_test_covers_must_be_seen_within_the_time_the_trip_needs() -> None:
    sheet = _sheet("TS-310")
    assert [row.point.text for row in sheet.points] == ["LSHH-312"]
    assert [(row.what.text, row.must.split(",")[0]) for row in sheet.seen] == [
        ("XV-310", "closed"), ("XV-311", "open"), ("LAHH-312", "shows COND TK 310 OVERFILL TRIP")]
    assert sheet.seen[0].within.record == "#TS-310/within/I-310/XV-310"


@pytest.mark.parametrize(("sheet", "what", "by", "limit"), [
    # sensor + delay of the interlock + 50 ms of logic + 100 ms of relay + own stroke, start or stop, from the definitions by hand
    ("TS-620", "XV-620", "I-620", 2.0 + 2.0 + 0.05 + 0.1 + 6.0), ("TS-220", "XV-220", "I-220", None),
    ("TS-220", "P-110A", "I-220", None),
])
def test_each_element_has_a_limit_of_its_own(sheet: str, what: str, by: str, limit: float | None) -> None:
    whole = context(DEMO)
    found = whole.results.test_limits[sheet][by, what]
    assert isinstance(found, Record)
    (budget, *_) = whole.results.trips[by]
    before = sum(step.time.value for step in budget.steps if isinstance(step.time, Record) and step.name not in (
        "final element", "line drain-down"))
    plant = whole.plant
    own = plant.valves[Tag(what)].closing_time if Tag(what) in plant.valves else plant.pumps[Tag(what)].stop_time
    assert own is not None and found.value == pytest.approx(before + own.si)
    if limit is not None:
        assert found.value == pytest.approx(limit, abs=0.05)
    row = next(one for one in _sheet(sheet).seen if one.what.text == what and by in one.must)
    assert row.within.unit == "s" and float(row.within.number) >= found.value - 1e-6


def test_an_alarm_has_its_own_delay() -> None:
    """LAHH-612 sounds 5 s after its float, so not at once."""
    whole = context(DEMO)
    found = whole.results.test_limits["TS-610"]["I-610", "LAHH-612"]
    # sensor 2 s, the level held for 5 s, logic 50 ms, relay 100 ms
    assert isinstance(found, Record) and found.value == pytest.approx(7.15)
    assert not any(row.within.number == "at once" for tag in whole.plant.tests for row in _sheet(tag).seen)


def test_a_hand_on_a_float_of_a_wetted_test_and_what_no_step_tries_are_named() -> None:
    hidden = _sheet("TS-620").hidden
    assert any(one.startswith("LSHH-622, tilt float") and "neither of the two heights" in one for one in hidden)
    assert any(one.startswith("I-620: no step tries") and "YS-620" in one for one in hidden)
    assert any("P-110B, P-220B" in one or ("P-110B" in one and "P-220B" in one) for one in _sheet("TS-220").hidden)
    assert any("P-340B" in one for one in _sheet("TS-340").hidden)
    assert not any("No step names" in one for one in _sheet("TS-610").hidden)


def test_a_simulated_test_says_what_it_leaves_hidden() -> None:
    whole = context(DEMO)
    for tag, test in whole.plant.tests.items():
        hidden, points = _sheet(tag).hidden, [one for one in test.covers if one in whole.plant.switches]
        for point in points:
            technology = whole.plant.instruments[whole.plant.switches[point].in_].technology
            said = any(words.startswith(f"{point}, {technology}") for words in hidden)
            assert said is (test.method != "wetted" or point in test.simulated), (tag, point)


def test_what_an_interlock_drives_and_a_test_leaves_out_is_named() -> None:
    whole = context(DEMO)
    for tag, test in whole.plant.tests.items():
        covered = {element for one in test.covers for element in (one, *whole.plant.members_of(one))}
        for point in (one for one in test.covers if one in whole.plant.switches):
            for lock in whole.plant.interlocks_of_cause[point]:
                for target in whole.plant.interlocks[lock].then:
                    if target not in covered and not covered.intersection(whole.plant.members_of(target)):
                        assert any(lock in words and target in words for words in _sheet(tag).hidden), (tag, target)


def test_it_is_put_back_and_due_again() -> None:
    sheet = _sheet("TS-310")
    assert plain(sheet.proof.restores).startswith("pumps back to AUTO")
    assert any("test lever is back" in one for one in sheet.restore)
    assert sheet.proof.due == "due 18 Mar 2027"  # done on 18 Mar 2026, every twelve months
