"""The page of a switch: setpoint, contact, what protects when it fails, lengths."""

import re

import pytest
from msgspec.structs import replace

from generator.model.page import Page, plain
from generator.pages import bodies, switches
from generator.pages.switches import SwitchView
from generator.render.environment import fragment
from tests.compute import small
from tests.pages.plants import DEMO, context

CONDENSATE, BARE = "tests/plants/condensate.yml", "tests/plants/bare.yml"
PLANTS = [CONDENSATE, BARE, "tests/plants/logic.yml", DEMO]


def _page(source: str, tag: str) -> Page:
    return next(page for page in switches.pages(context(source)) if page.nav == tag)


def _view(source: str, tag: str) -> SwitchView:
    view = _page(source, tag).view
    assert isinstance(view, SwitchView)
    return view


@pytest.mark.parametrize("source", PLANTS)
def test_every_switch_has_its_page_with_unique_ids(source: str) -> None:
    pages = list(switches.pages(context(source)))
    assert [page.nav for page in pages] == list(context(source).plant.switches)
    for page in pages:
        ids = re.findall(r'\sid="([^"]+)"', fragment(page))
        assert len(ids) == len(set(ids))


def test_the_height_is_the_large_figure() -> None:
    html = fragment(_page(CONDENSATE, "LSHH-210"))
    figure = re.search(r'class="figure"><span class="num">([\d.]+)', html)
    assert figure is not None and figure[1] == "1.55"


def test_elevation_is_the_height_on_the_plant_datum() -> None:
    """By hand: 101.250 m + 1.55 m."""
    setpoint = _view(CONDENSATE, "LSHH-210").setpoint
    assert setpoint is not None and float(setpoint.elevation.number) == pytest.approx(102.80)


def test_the_contact_has_its_sentences_running_first() -> None:
    contact = _view(CONDENSATE, "LSHH-210").contact
    assert contact is not None
    assert [one.state for one in contact.sentences] == ["closed", "open", "open", "closed", "open"]
    assert [one.is_normal for one in contact.sentences] == [True, False, False, False, False]
    assert contact.verdict == "Fails to the safe side"


def test_a_point_of_the_same_body_does_not_count_as_independent() -> None:
    backup = {row.point.text: row for row in _view(BARE, "LSHH-1").backups}
    assert not backup["LSH-1"].is_independent
    assert plain(backup["LSH-1"].shares) == "shares its body LX-1: fails with it"
    other = {row.point.text: row for row in _view(CONDENSATE, "LSHH-210").backups}
    assert other["LSH-211"].is_independent and plain(other["LSH-211"].comes) == "comes before it"


def test_points_of_the_other_direction_do_not_protect() -> None:
    assert {row.point.text for row in _view(CONDENSATE, "LSH-211").backups} == {"LSHH-210"}


def test_a_body_of_unknown_geometry_says_what_is_missing_instead_of_a_length() -> None:
    sheet = _view(CONDENSATE, "LSH-211").fitter
    assert sheet is not None
    assert {row.cut.number for row in sheet.cuts} == {"cannot be assessed"}
    assert sheet.sketch is None
    side = _view(CONDENSATE, "LSHH-210").fitter
    assert side is not None and side.cuts == ()  # in the wall: nothing is cut


def test_a_test_is_judged_against_the_day_of_the_data() -> None:
    """By hand: last on 2 March 2026, every 12 months; on 14 November 2026 it is not due."""
    test = next(one for one in _view(CONDENSATE, "LSHH-210").tests if one.test.text == "TEST-210")
    assert test.last == "2 Mar 2026" and test.due.startswith("due ") and "Mar 2027" in test.due and not test.is_overdue


def test_technology_says_what_defeats_it() -> None:
    technology = _view(CONDENSATE, "LSHH-210").technology
    assert technology is not None and technology.name == "side lever float" and technology.defeated_by


def test_the_interlock_and_its_bypass_stand_on_the_page() -> None:
    view = _view(CONDENSATE, "LSHH-210")
    assert [effect.link.text for effect in view.effects] == ["I-210"]
    assert "hand dips every half hour" in [plain(fact.words) for fact in view.bypasses[0].facts]
    assert [row.text for row in view.alarms] == ["TK 210 LEVEL HIGH HIGH"]


def test_a_start_point_of_a_group_starts_one_pump_more_and_the_stop_point_stops_all() -> None:
    def said(tag: str) -> str:
        return next(plain(one.sentences[0]) for one in _view(DEMO, tag).effects if one.kind == "control")

    control = context(DEMO).plant.controls["C-610"]
    assert len(control.starts) > 1
    group = "the drain pumps (P-610A, P-610B and P-610C)"
    assert said(control.starts[0]).endswith(f", the first pump of {group} starts.")
    assert said(control.starts[1]).endswith(f", the next pump of {group} starts.")
    assert said(control.stops).endswith(f", {group} stop.")


def test_a_device_that_nothing_but_its_taps_places_does_not_lack_a_geometry() -> None:
    """LT-610 hangs from 4.60 m and measures from 0.15 m; what a hydrostatic probe must be given names no geometry."""
    facts = {fact.label: plain(fact.words) for fact in bodies.body(context(DEMO), "LT-610").facts}
    assert "Geometry" not in facts
    assert facts["Measures from"].startswith("0.15")


def test_a_geometry_that_is_missing_is_named() -> None:
    made = small.plant(instruments={"LX-1": small.body(technology="free space radar")})
    facts = bodies.geometry(replace(context(DEMO), plant=made), made.instruments["LX-1"])  # type: ignore[index]
    assert [plain(fact.words) for fact in facts] == ["not recorded; to be given: blind distance under the mounting face"]
