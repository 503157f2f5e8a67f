"""Level budget, headroom, signal, cases and reach on the pages against the results."""

import pytest

from generator.model.margin import Headroom
from generator.model.record import Record
from generator.pages import amounts, sources, switch_budget, tank_volumes
from generator.pages.context import Context
from generator.pages.switch_budget import _headroom
from tests.pages.plants import DEMO, context


@pytest.fixture(scope="module")
def demo() -> Context:
    return context(DEMO)


def test_a_budget_is_drawn_where_every_piece_is_known(demo: Context) -> None:
    drawn, open_ = 0, 0
    for tag, found in demo.results.level_budgets.items():
        view = switch_budget.budget(demo, tag)
        assert view is not None
        known = all(isinstance(piece.length, Record) for piece in found.pieces)
        assert (view.drawing is not None) is known
        assert len(view.rows) == len(found.pieces)
        absent = [row for row, piece in zip(view.rows, found.pieces, strict=True) if not isinstance(piece.length, Record)]
        assert all(row.missing for row in absent)
        drawn += known
        open_ += not known
    assert drawn > 40
    assert open_ > 0  # the plant has a line whose draining nobody recorded


def test_headroom_names_what_breaks_or_why_nothing_does(demo: Context) -> None:
    rows = [row for tag in demo.results.headrooms for row in switch_budget.headroom(demo, tag)]
    assert len(rows) > 60
    assert all(row.breaks or row.why for row in rows)


def test_the_signal_holds_the_point_between_its_limits(demo: Context) -> None:
    view = switch_budget.transmitter(demo, "LSH-311", demo.results.setpoints["LSH-311"])
    assert view is not None
    assert [row.is_point for row in view.rows].count(True) == 1
    currents = [float(row.current.number) for row in view.rows]
    assert currents == sorted(currents, reverse=True)
    assert switch_budget.transmitter(demo, "LSHH-312", demo.results.setpoints["LSHH-312"]) is None  # a contact


def test_each_case_says_what_carries_its_streams(demo: Context) -> None:
    view = tank_volumes.volumes(demo, "T-310")
    worst = next(one for one in view.cases if one.title == "Filling, worst")
    assert [link.text for link in worst.moving[0].carried_by] == ["XV-310"]


def test_levels_of_concern_of_the_fuel_tank_carry_their_rules(demo: Context) -> None:
    rows = tank_volumes.volumes(demo, "T-410").concerns
    assert [row.is_analogy for row in rows if row.name.startswith("high-high")] == [False]
    assert all(row.where for row in rows)


def test_a_line_of_the_definitions_names_what_it_reaches(demo: Context) -> None:
    shown = Context(demo.plant, demo.results, demo.review, demo.knowledge,
                    {"content/plant/t-310-condensate-return.yml": "x"})
    page = next(iter(sources.pages(shown)))
    elevation = demo.plant.tanks["T-310"].datum.elevation.place  # type: ignore[index]  # a tag of the plant
    reach = next(one for one in page.view.reaches if one.number == elevation.line)
    assert {link.text for link in reach.reach.tags} == {str(tag) for tag in demo.plant.switches_of["T-310"]}


def test_headroom_of_a_broken_need_shows_no_figure_up_to_which_all_would_hold() -> None:
    at = Record("#X/headroom", "Largest inflow", 0.25, "flow", "Q")
    broken = _headroom(Headroom("largest inflow", at, at, "60 s before overflow", "already broken: above S: short by 48 mm"))
    assert (broken.at.number, broken.breaks) == ("does not hold", "already broken: above S: short by 48 mm")
    own = _headroom(Headroom("largest inflow", at, at, "60 s before rim", "already broken: 60 s before rim: short by 48 mm"))
    assert own.at.number == "900.0" and own.breaks.startswith("already broken")
    assert _headroom(Headroom("largest inflow", at, at, "60 s before rim")).breaks == "60 s before rim"


def test_a_person_needs_the_same_time_in_the_headroom_as_elsewhere() -> None:
    """340 s are 5.67 min: what somebody needs is rounded up, what is left is cut off."""
    time = Record("#LAH-1/needed", "time that a person needs", 340.0, "time", "t")
    left = Record("#LSH-1/headroom/person-LAH-1", "longest time", 340.0, "time", "t")
    for broken in ("", "already broken: it is late"):
        row = _headroom(Headroom("longest time of a person after LAH-1", time, left, "I-1 comes first", broken))
        assert row.today.number == "5.7"
        assert amounts.outcome(time, "needed").number == "5.7"
    assert _headroom(Headroom("longest time of a person after LAH-1", time, left, "I-1 comes first")).at.number == "5.6"
