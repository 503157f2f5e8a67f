"""Cautions on pages: no row is lost, the strongest stand open, each is written out once, equal ones of a tank are one."""

import re

import pytest

from generator.model.caution import JOBS, SIGNAL_WORDS
from generator.pages import cautions, tanks
from generator.pages.cautions import STRONGEST, CautionGroups
from generator.render.environment import fragment
from tests.pages.plants import DEMO, context

CAUTIOUS = "tests/plants/cautious.yml"


def _rows(groups: CautionGroups) -> list[tuple[str, str, str]]:
    return [(group.job, row.key, row.again) for group in groups for row in (*group.strongest, *group.more, *group.again)]


@pytest.mark.parametrize("source", [CAUTIOUS, DEMO])
def test_no_caution_of_a_tag_is_lost_and_each_is_written_out_once(source: str) -> None:
    whole = context(source)
    for tag, mine in whole.results.cautions.items():
        rows = _rows(cautions.by_job(whole, tag))
        wanted = {(cautions.WHAT_IT_IS[job], one.key) for one in mine for job in one.jobs}
        assert {(job, key) for job, key, _ in rows} == wanted
        assert sorted(key for _, key, again in rows if not again) == sorted(one.key for one in mine)


def test_the_strongest_stand_open_and_the_fold_says_what_is_in_it() -> None:
    whole = context(CAUTIOUS)
    groups = cautions.by_job(whole, "LSHH-1A")
    assert [group.job for group in groups] == [cautions.WHAT_IT_IS[job] for job in JOBS]
    for group in groups:
        ranks = [SIGNAL_WORDS.index(row.word) for row in (*group.strongest, *group.more)]
        assert ranks == sorted(ranks)
        assert len(group.strongest) <= STRONGEST and (not group.more or len(group.strongest) == STRONGEST)
        assert sum(int(part.split()[0]) for part in group.words.split(", ") if part) == len(group.more)


def test_a_tank_joins_the_cautions_of_its_points() -> None:
    whole = context(DEMO)
    tag = "T-310"
    rows = [row for group in cautions.of_tank(whole, tag) for row in (*group.strongest, *group.more)]
    keys = [row.key for row in rows]
    assert len(keys) == len(set(keys))
    points = whole.plant.switches_of[tag]
    assert set(keys) == {one.key for each in (tag, *points) for one in whole.results.cautions[each]}
    own = {one.key for one in whole.results.cautions[tag]}
    for row in rows:
        assert bool(row.of) is (row.key not in own)
        assert {link.text for link in row.of} <= set(points)


def test_print_needs_no_colour_and_no_unfolding() -> None:
    whole = context(DEMO)
    page = next(page for page in tanks.pages(whole) if page.path == whole.paths.path("T-310"))
    html = fragment(page)
    groups = cautions.of_tank(whole, "T-310")
    assert html.count('class="caution ') == sum(len(group.strongest) + len(group.more) for group in groups)
    assert html.count('<li class="again-') == sum(len(group.again) for group in groups) > 0
    assert all(f"</svg> {word}</b>" in html for word in ("DANGER", "WARNING", "NOTICE"))  # shape and word stand together
    # ANSI Z535.4 and Z535.6: the safety alert symbol is not used with NOTICE (from memory)
    marks = set(re.findall(r'<use href="#mk-([a-z]+)"/></svg> (DANGER|WARNING|CAUTION|NOTICE)</b>', html))
    assert marks == {("alert", "DANGER"), ("alert", "WARNING"), ("alert", "CAUTION"), ("notice", "NOTICE")}


def test_a_test_sheet_asks_for_the_jobs_of_testing_only() -> None:
    whole = context(DEMO)
    groups = cautions.for_jobs(whole, whole.plant.tests["TS-310"].covers, ("every job", "test"))  # type: ignore[index]
    assert [group.job for group in groups] == [cautions.WHAT_IT_IS["every job"], cautions.WHAT_IT_IS["test"]]
    assert "wetted-test" in {key for _, key, _ in _rows(groups)}
    assert {again for _, _, again in _rows(groups)} <= {"", "every job"}
