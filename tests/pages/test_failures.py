"""Pages on single failures, independence and bypasses, against the results that they show."""

import pytest
from msgspec.structs import replace

from generator.model.page import Page, plain
from generator.pages import bypass_planner, failure_register, independence, logic_meaning, tank_failures
from generator.pages.context import Context
from generator.pages.single_failures import of_interlock, touching
from generator.render.environment import fragment
from tests.pages.plants import DEMO, context


@pytest.fixture(scope="module")
def demo() -> Context:
    return context(DEMO)


def test_every_failure_stands_in_the_register_once(demo: Context) -> None:
    (page,) = failure_register.pages(demo)
    lines = [line.row for part in page.view.parts for line in part.lines]
    assert len(lines) == sum(map(len, demo.results.failures.values()))
    assert len({line.anchor for line in lines}) == len(lines)
    assert {line.device.text for line in lines} == set(demo.results.failures)


def test_the_register_is_divided_where_it_is_long(demo: Context, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(failure_register, "MOST", 10)
    made = list(failure_register.pages(demo))
    assert sum(page.view.total for page in made) == sum(map(len, demo.results.failures.values()))
    assert {link.path for link in made[0].view.elsewhere} == {page.path for page in made[1:]}


def test_more_leads_to_the_row_on_the_tank_s_page(demo: Context) -> None:
    (register,) = failure_register.pages(demo)
    anchors = {f"{page.path}#{row.anchor}" for page in tank_failures.pages(demo) for group in page.view.groups
               for row in group.rows}
    wanted = {line.more.path for part in register.view.parts for line in part.lines if line.more}
    assert wanted <= anchors


def test_a_search_entry_leads_to_a_row(demo: Context) -> None:
    for page in tank_failures.pages(demo):
        anchors = {f"{page.path}#{row.anchor}" for group in page.view.groups for row in group.rows}
        assert {entry.path for entry in page.entries} <= anchors


def test_a_shared_failure_is_cut_down_to_the_tank(demo: Context) -> None:
    page = next(page for page in tank_failures.pages(demo) if page.view.tag == "T-310")
    common = next(group for group in page.view.groups if group.anchor == "common")
    row = next(row for row in common.rows if row.device.text == "MS-2")
    assert "T-420" not in plain(row.at_once)
    assert {one.hazard.text for one in row.hazards} <= {"HZ-01", "HZ-02"}


def test_the_page_of_an_interlock_shows_what_touches_it(demo: Context) -> None:
    rows = of_interlock(demo, "I-310", touching(demo))
    modes = {(row.device.text, row.mode) for row in rows}
    assert {("LX-312", "stuck dry"), ("LX-312", "stuck wet"), ("LSHH-312", "wire open"), ("K-312", "welded"),
            ("XV-310", "stuck open"), ("XV-311", "stuck shut")} <= modes
    assert ("LX-314", "stuck dry") not in modes


def test_a_failure_that_nobody_sees_says_so(demo: Context) -> None:
    rows = of_interlock(demo, "I-310", touching(demo))
    row = next(row for row in rows if (row.device.text, row.mode) == ("LX-312", "stuck dry"))
    assert plain(row.sees) == "nothing: found at the next test"
    assert row.mark == "fail"


def test_each_bypass_has_its_attachment_with_the_same_answer(demo: Context) -> None:
    planner, *attachments = bypass_planner.pages(demo)
    allowed = {tag for tag, lock in demo.plant.interlocks.items() if lock.bypass is not None}
    assert {case.bypassed[0].text for case in planner.view.singles} == allowed == {page.view.tag for page in attachments}
    assert {link.text for link in planner.view.without} == set(demo.plant.interlocks) - allowed
    cases = {case.bypassed[0].text: case for case in planner.view.singles}
    for page in attachments:
        assert page.view.case == cases[page.view.tag]
        assert cases[page.view.tag].attachment.path == page.path


def test_what_two_layers_share_is_marked_in_both(demo: Context) -> None:
    (page,) = independence.pages(demo)
    one = next(one for one in page.view.hazards if one.hazard.text == "HZ-12")
    bodies = {row.layer.text: row.parts[0] for row in one.rows}
    for tag in ("C-420", "LAL-423", "I-421"):
        assert [(link.text, shared) for link, shared in bodies[tag]] == [("LX-420", True)]
    assert any("share body LX-420" in plain(said) for said in one.shares)
    assert one.takes_all


def test_independence_is_divided_where_it_is_long(demo: Context, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(independence, "MOST", 5)
    first, *others = independence.pages(demo)
    assert sorted(one.hazard.text for page in others for one in page.view.hazards) == sorted(demo.results.layers)
    assert {link.path for link in first.view.elsewhere} == {page.path for page in others}


def test_every_number_on_these_pages_has_a_door(demo: Context) -> None:
    pages: list[Page] = [*tank_failures.pages(demo), *bypass_planner.pages(demo)]
    for page in pages:
        assert page.view.doors
        assert set(page.view.doors) <= set(demo.results.records)


def test_the_meaning_shows_every_table(demo: Context) -> None:
    (page,) = logic_meaning.pages(demo)
    assert len(page.view.tables) == len(demo.knowledge.truth_tables)
    cells = {cell for table in page.view.tables for row in table.rows for cell in row}
    assert {"yes", "no", "not known"} <= cells
    assert not {"1", "0", "?"} & cells


def test_a_dead_float_says_against_which_level_and_what_still_trips(demo: Context) -> None:
    (row,) = (one for one in of_interlock(demo, "I-510", touching(demo))
              if (one.device.text, one.mode) == ("LX-512", "stuck dry"))
    assert plain(row.lost) == ("I-510 can no longer act against high level in T-510 (it still acts by FS-510); "
                               "LAHH-512 no longer sounds at that level")
    assert (plain(row.sees), row.mark) == ("nothing: found at the next test", "fail")
    assert plain(row.hazards[0].remains).startswith("LAH-511 (")


def test_the_register_tells_of_relays_of_members_and_of_running_times(demo: Context) -> None:
    (page,) = failure_register.pages(demo)
    lines = {(line.row.device.text, line.row.mode): line.row for part in page.view.parts for line in part.lines}
    assert plain(lines["K-612", "dropped out"].at_once).startswith("I-610 acts for nothing")
    assert plain(lines["K-612", "welded"].lost).startswith("I-610 can no longer act")
    assert plain(lines["K-220", "welded, dropped out"].at_once).startswith("C-220 and C-221 run on")
    assert plain(lines["K-625", "welded"].lost) == "LAH-625 can no longer sound"
    assert plain(lines["LX-324A", "stuck dry"].sees).startswith("LDA-324B “")
    wet = lines["LX-324A", "stuck wet"]
    assert plain(wet.lost) == "I-321 no longer acts by LSLL-324A"
    assert plain(wet.sees) == ("LDA-324B and LDA-324C tell of it at CR-1, once the level has come to the point of one that still "
                               "moves; until then nothing")
    runs = lines["LX-621", "stuck wet"]
    assert "I-620 trips for nothing once YS-620 has been on for 10 min" in plain(runs.at_once)
    assert plain(runs.sees) == "LAHH-622 after 10 min"


def test_what_an_interlock_no_longer_moves_and_what_it_still_does_is_said_of_each_device(demo: Context) -> None:
    """By hand from the definitions: I-510 shuts XV-510 and sounds H-510; I-320 shuts XV-320 and stops both of GP-310."""
    def lost(lock: str, device: str, mode: str) -> str:
        (row,) = (one for one in of_interlock(demo, lock, touching(demo)) if (one.device.text, one.mode) == (device, mode))
        return plain(row.lost)

    assert lost("I-510", "XV-510", "stuck open") == "I-510 can no longer close XV-510 (it still sounds H-510)"
    assert lost("I-320", "P-310A", "does not stop (contactor welded)") == (
        "I-320 can no longer stop P-310A (it still closes XV-320 and stops P-310B)")
    assert not [one for one in of_interlock(demo, "I-410", touching(demo)) if (one.device.text, one.mode) == (
        "H-410", "does not go off")]


def test_a_failure_without_an_alarm_of_its_own_says_which_alarm_the_level_brings(demo: Context) -> None:
    """By hand from the definitions: T-610 meets LSH-611 on its way up and I-611 on its way down; C-610 holds the
    level of T-610 while C-620 fails; three starts stand at three heights.
    """
    (page,) = failure_register.pages(demo)
    lines = {(line.row.device.text, line.row.mode): line.row for part in page.view.parts for line in part.lines}
    assert plain(lines["LX-610D", "stuck wet"].sees) == "no alarm of its own; LALL-614 when the level gets there"
    assert plain(lines["LX-610D", "stuck dry"].sees) == "no alarm of its own; LAH-611 when the level gets there"
    assert plain(lines["LX-620", "stuck dry"].sees) == "no alarm of its own; LAH-625 when the level gets there"
    assert plain(lines["relays in LP-6", "stands still"].sees).endswith("; LAH-611 or LALL-614 when the level gets there")
    assert plain(lines["H-510", "does not go off"].sees) == "it is heard"
    assert plain(lines["H-510", "does not go on"].sees) == "nothing: found at the next test"
    assert plain(lines["LX-610B", "stuck dry"].lost) == "pump 2 starts by LSH-610C at 2.30 m, and one pump fewer of GP-610 runs"
    assert "HZ-05" in [one.hazard.text for one in lines["LX-610B", "stuck dry"].hazards]  # the well overflows with a pump fewer
    assert plain(lines["LX-610A", "stuck dry"].lost) == (
        "pump 1 starts by LSH-610B at 1.90 m and pump 2 starts by LSH-610C at 2.30 m, and one pump fewer of GP-610 runs")
    assert plain(lines["LX-610C", "stuck dry"].lost) == "one pump fewer of GP-610 runs"


def test_a_second_bypass_is_called_off_where_it_leaves_nothing_and_left_to_the_site_where_it_does_not(demo: Context) -> None:
    _, *attachments = bypass_planner.pages(demo)
    page = next(page for page in attachments if len(page.view.pairs) > 1)
    assert all(case.is_bare == any(one.is_bare for one in case.hazards) for case in page.view.pairs)
    first, *others = page.view.pairs
    for is_bare in (False, True):
        html = fragment(replace(page, shows=replace(page.view, pairs=(replace(first, is_bare=is_bare), *others))))
        said = [row.split("</tr>")[0] for case in (first, *others) for row in [html.split(f'id="{case.anchor}"')[1]]]
        assert ["not at the same time" in row for row in said] == [is_bare, *(one.is_bare for one in others)]
        assert ("is for the site to decide" in html) is (not is_bare)
