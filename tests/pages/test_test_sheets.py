"""Test sheets: each test has one; it says what must be seen, what stays hidden, and leaves room to write."""

import re

from generator.model.page import plain
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
    budget = context(DEMO).results.trips["I-310"][0].needed
    assert sheet.seen[0].within.record == budget.key


def test_a_simulated_test_says_what_it_leaves_hidden() -> None:
    whole = context(DEMO)
    for tag, test in whole.plant.tests.items():
        hidden, points = _sheet(tag).hidden, [one for one in test.covers if one in whole.plant.switches]
        for point in points:
            technology = whole.plant.instruments[whole.plant.switches[point].in_].technology
            said = any(words.startswith(f"{point}, {technology}") for words in hidden)
            assert said is (test.method != "wetted"), (tag, point)


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
