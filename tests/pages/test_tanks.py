"""The page of a tank says what the results say: minutes, heights, order, doors."""

import math
import re
from itertools import pairwise
from pathlib import Path

import pytest

from generator.model.page import Amount, Page, plain
from generator.model.record import Absence, Record
from generator.model.scalar import Tag
from generator.pages import tanks
from generator.pages.doors import _records
from generator.pages.explorers import explorer
from generator.pages.tank_card import CardRow
from generator.pages.tanks import TankView
from generator.render.environment import fragment
from tests.pages.plants import DEMO, context

PLANTS = ["tests/plants/condensate.yml", "tests/plants/bare.yml", "tests/plants/logic.yml", DEMO]
CONDENSATE = PLANTS[0]


def _page(source: str, tag: str) -> Page:
    return next(page for page in tanks.pages(context(source)) if page.nav == tag)


def _view(source: str, tag: str) -> TankView:
    view = _page(source, tag).view
    assert isinstance(view, TankView)
    return view


def _row(view: TankView, tag: str) -> CardRow:
    return next(row for row in view.card if row.alarm.text == tag)


def test_the_card_shows_the_minutes_of_the_results_and_never_more() -> None:
    view = _view(CONDENSATE, "T-210")
    times = context(CONDENSATE).results.alarms["LAH-211"]
    assert isinstance(times.to_trip, Record) and isinstance(times.to_limit, Record)
    shown = [(left.time.number, left.time.unit) for left in _row(view, "LAH-211").times]
    assert shown == [(f"{math.floor(one.value / 6 + 1e-9) / 10:.1f}", "min") for one in (times.to_trip, times.to_limit)]
    for (number, _), outcome in zip(shown, (times.to_trip, times.to_limit), strict=True):
        assert float(number) * 60 <= outcome.value + 1e-6 < float(number) * 60 + 6 + 1e-6


def test_the_minutes_stand_in_the_printed_card() -> None:
    html = fragment(_page(CONDENSATE, "T-210"))
    card = html[html.index('class="card"'):html.index('class="jump"')]
    article = next(part for part in card.split("<article")[1:] if "TK 210 LEVEL HIGH<" in part)
    figure = re.search(r'class="figure">.*?>([\d.]+)<span class="unit">\u202fmin', article)
    times = context(CONDENSATE).results.alarms["LAH-211"]
    assert figure is not None and isinstance(times.to_trip, Record)
    assert float(figure[1]) == math.floor(times.to_trip.value / 6 + 1e-9) / 10


def test_the_card_is_sorted_by_height_and_says_the_text_of_the_screen() -> None:
    view = _view(CONDENSATE, "T-210")
    assert [row.text for row in view.card] == ["TK 210 LEVEL HIGH HIGH", "TK 210 LEVEL HIGH", "TK 210 LEVEL LOW"]
    assert [row.mark for row in view.card] == ["trip", "high", "low"]
    assert plain(_row(view, "LAHH-210").first) == "check that XV-210 shows closed"


@pytest.mark.parametrize("source", PLANTS)
def test_every_computed_number_of_card_volumes_and_steps_has_a_record(source: str) -> None:
    records = context(source).results.records
    for page in tanks.pages(context(source)):
        view = page.view
        shown: list[Amount] = [left.time for row in view.card for left in row.times]
        shown += [row.amount for row in view.volumes.rows]
        shown += [part for step in (*view.levels.rising, *view.levels.falling) for part in step.after
                  if isinstance(part, Amount)]
        without = [one for one in shown if one.record not in records]
        assert {one.number for one in without} <= {"does not apply"}, without


@pytest.mark.parametrize("source", PLANTS)
def test_every_record_of_the_page_that_exists_is_a_door(source: str) -> None:
    made = context(source)
    for page in tanks.pages(made):
        view: TankView = page.view
        keys = {key for part in (view.card, view.trips, view.controls, view.setpoints, view.volumes, view.facts)
                for key in _records(part) if key in made.results.records}
        assert keys <= set(view.doors)
        assert all(path == made.paths.record(key) for key, path in view.doors.items())


@pytest.mark.parametrize("source", PLANTS)
def test_the_drawing_has_every_level_once_in_order(source: str) -> None:
    made = context(source)
    for page in tanks.pages(made):
        levels = made.results.tanks[page.nav].levels
        for drawing in (page.view.levels.wide, page.view.levels.narrow):
            names = ["".join(row.text for row in label.rows if row.style == "name").replace(" ", "")
                     for label in drawing.labels]
            expected = [(level.key if level.key in made.plant.switches else level.name) for level in levels]
            assert [name.lower() for name in names] == [name.lower().replace(" ", "") for name in expected]


@pytest.mark.parametrize("source", PLANTS)
def test_minutes_between_labels_are_those_of_the_intervals(source: str) -> None:
    made = context(source)
    for page in tanks.pages(made):
        times = {(one.lower, one.upper): one for one in made.results.tanks[page.nav].intervals}
        levels = made.results.tanks[page.nav].levels
        chips = iter(page.view.levels.wide.chips)
        for upper, lower in pairwise(levels):
            interval = times.get((lower.key, upper.key))
            if interval is None or abs(upper.height - lower.height) < 5e-4:
                continue
            text = "  ".join(next(chips).lines)
            for arrow, outcome in (("↑", interval.rising), ("↓", interval.falling)):
                if isinstance(outcome, Record) and 0 < outcome.value < 6000:
                    assert f"{arrow} {math.floor(outcome.value / 6 + 1e-9) / 10:.1f} min" in text
                if isinstance(outcome, Absence):
                    assert arrow not in text


def test_the_faster_time_stands_beside_that_at_the_worst_rate() -> None:
    """T-340 fills at 20 m3/h, and at 38 m3/h while T-320 overflows into it: 5.4 min become 5.4 x 20 / 38 = 2.8 min."""
    levels = _view(DEMO, "T-340").levels
    assert "↑↑ filling at 38.0 m³/h while T-320 overflows into it" in plain(levels.rates)
    step = next(one for one in levels.rising if one.name.text == "LSHH-342")
    assert plain(step.after) == "at least 5.4 min later, 2.8 min while T-320 overflows into it"
    assert all("overflows" not in plain(one.after) for one in levels.falling)
    chips = ["  ".join(chip.lines) for chip in (*levels.wide.chips, *levels.narrow.chips)]
    assert sum("↑ 5.4 min  ↑↑ 2.8 min" in text for text in chips) == 2
    assert not any("↑↑" in text for chip in _view(DEMO, "T-320").levels.wide.chips for text in chip.lines)


@pytest.mark.parametrize("source", PLANTS)
def test_ids_of_a_page_are_unique(source: str) -> None:
    for page in tanks.pages(context(source)):
        ids = re.findall(r'\sid="([^"]+)"', fragment(page))
        assert len(ids) == len(set(ids))


def test_setpoints_show_what_stands_and_each_need() -> None:
    view = _view(CONDENSATE, "T-210")
    result = context(CONDENSATE).results.setpoints["LSHH-210"]
    row = next(row for row in view.setpoints if row.tag.text == "LSHH-210")
    assert (row.stands.number, row.stands.unit, row.is_proposed) == ("1.55", "m", False)
    assert len(row.needs) == len(result.needs) == 2
    assert sum(need.is_tightest for need in row.needs) == 1
    assert result.act is not None
    assert plain(row.act) == f"{result.act.low:.2f} to {result.act.high:.2f} m" or "0.0" not in plain(row.act)


def test_what_trips_what_says_latch_and_release() -> None:
    view = _view(CONDENSATE, "T-210")
    said = {row.interlock.text: plain(row.afterwards) for row in view.trips}
    assert said["I-210"].startswith("Stays until it is reset at LP-2 by the shift operator, accepted once ")
    assert said["I-211"] == "Releases by itself as soon as the cause is gone."


def test_a_machine_without_a_recorded_restart_is_not_called_safe() -> None:
    said = {row.subject.text: (plain(row.says), row.moves) for row in _view(CONDENSATE, "T-210").power}
    assert said["P-210A"] == ("stays stopped until somebody starts it", False)
    said = {row.subject.text: (plain(row.says), row.moves) for row in _view("tests/plants/bare.yml", "T-1").power}
    assert said["P-1"] == ("what it does is not recorded: expect that it starts", None)


def test_what_cannot_be_assessed_is_said_in_words() -> None:
    html = fragment(_page("tests/plants/bare.yml", "T-1"))
    assert "cannot be assessed" in html
    assert "could not be worked out" in html  # the drawing: a torispherical end without its radii
    assert "Normal band not given" in html


def test_a_nozzle_says_what_it_carries() -> None:
    rows = {row.name: plain(row.carries) for row in _view(CONDENSATE, "T-210").levels.nozzles}
    assert rows["N4"] == "LX-210 side lever float"
    assert rows["N2"] == "to feed to the boilers"


def test_search_words_hold_tags_without_hyphens_old_tags_and_alarm_texts() -> None:
    page = _page(CONDENSATE, "T-210")
    assert {"T210", "TK 210 LEVEL HIGH", "LX-210"} <= set(page.words)


def test_a_tank_of_another_tag_has_its_own_page() -> None:
    assert context("tests/plants/bare.yml").paths.path(Tag("T-2")) == "tanks/t-2.html"


def test_a_stream_stands_at_one_nozzle_though_both_tanks_have_one_of_its_name(tmp_path: Path) -> None:
    plant = tmp_path / "plant.yml"
    plant.write_text("""
plant: {name: Two, document: {number: "1", status: draft, as_of: 2026-01-01}}
areas: {A: {name: Area}}
liquids: {water: {name: Water}}
tanks:
  T-1: {area: A, service: Upper, liquid: water, datum: {elevation: 5 m},
      shape: {kind: vertical cylinder, diameter: 2 m, height: 3 m},
      nozzles: {N1: {on: wall}, N2: {on: wall}}}
  T-2: {area: A, service: Lower, liquid: water, datum: {elevation: 0 m},
      shape: {kind: vertical cylinder, diameter: 2 m, height: 3 m},
      nozzles: {N1: {on: roof}}}
streams:
  down: {name: run-down, from: T-1, into: T-2, flow: {highest: 5 m3/h}, nozzle: N1}
  side: {name: side draw, from: T-1, into: T-2, flow: {highest: 5 m3/h}, nozzle: N2}
""", encoding="utf-8")
    found = {(tank, row.name): plain(row.carries) for tank in ("T-1", "T-2") for row in _view(str(plant), tank).levels.nozzles}
    assert found == {("T-1", "N1"): "nothing recorded", ("T-1", "N2"): "to side draw", ("T-2", "N1"): "from run-down"}


def test_the_explorer_names_what_a_level_alone_does_not_bring_about() -> None:
    made = explorer(context(DEMO), "T-620")
    assert made is not None
    assert [plain(words) for words in made.running_times] == ["I-620 also acts once YS-620 has been on for 10 min"]
    other = explorer(context(DEMO), "T-340")
    assert other is not None and other.running_times == ()
    said = [plain(row.falling).partition("; while nobody resets: ") for row in other.rows]
    assert any("I-340" not in given and "I-340 held; a reset is accepted here" in held for given, _, held in said)
