"""A matrix means what its interlocks mean: proved with sympy, column by column."""

import re

import pytest
import sympy

from generator.pages import logic_words, matrices, matrix_areas, matrix_cells
from generator.pages.matrix_grid import ALARM, Cause, grid
from generator.render.environment import fragment
from tests.conditions import expression, same
from tests.pages.plants import DEMO, LOGIC, context

PLANTS = (LOGIC, DEMO)


def pairs(source: str) -> set[tuple[str, str, str, bool]]:
    """Every (interlock, final element, state, is permissive), a group standing for its pumps."""
    plant = context(source).plant
    return {
        (str(tag), str(element), state, lock.kind == "permissive")
        for tag, lock in plant.interlocks.items() for target, state in lock.then.items()
        for element in (plant.pump_groups[target].pumps if target in plant.pump_groups else (target,))
    }


def rows_mean(causes: tuple[Cause, ...], column: str, lock: str) -> sympy.Basic:
    """What the marks of one interlock in one column add up to."""
    return sympy.Or(*(
        expression(cause.condition) for cause in causes if cause.condition is not None
        and any(mark.by == lock and mark.sign in ("X", "X*", "P") for mark in cause.marks.get(column, ()))
    ))


@pytest.mark.parametrize("source", PLANTS)
def test_the_marks_of_each_interlock_add_up_to_its_condition_and_to_nothing_else(source: str) -> None:
    plant = context(source).plant
    whole = grid(plant, plant.interlocks)
    shown = set()
    for column in whole.columns:
        for cause in whole.causes:
            shown |= {(mark.by, column.tag, column.state, column.is_permitted)
                      for mark in cause.marks.get(column.key, ()) if mark.sign in ("X", "X*", "P")}
    assert shown == pairs(source)
    for lock, element, state, permitted in pairs(source):
        one = plant.interlocks[lock]
        asked = expression(one.when)
        if one.manual_stop:
            asked = sympy.Or(asked, sympy.Symbol(str(one.manual_stop)))
        assert same(rows_mean(whole.causes, f"{element} {'may ' if permitted else ''}{state}", lock), asked), lock


@pytest.mark.parametrize("source", PLANTS)
def test_signs_say_whether_it_stays(source: str) -> None:
    plant = context(source).plant
    for cause in grid(plant, plant.interlocks).causes:
        for mark in (mark for marks in cause.marks.values() for mark in marks if mark.by in plant.interlocks):
            lock = plant.interlocks[mark.by]
            allowed = {"P"} if lock.kind == "permissive" else {"X*"} if lock.latch else {"X"}
            assert mark.sign in allowed | {"B"}


def test_a_vote_is_one_row_and_its_members_carry_no_trip() -> None:
    plant = context(LOGIC).plant
    causes = {cause.key: cause for cause in grid(plant, plant.interlocks).causes}
    vote = causes["2 of (LSLL-102A, LSLL-102B, LSLL-102C)"]
    assert vote.members == ("LSLL-102A", "LSLL-102B", "LSLL-102C")
    assert set(causes["LSLL-102A"].marks) == {ALARM}  # its own alarm, and nothing of the vote
    assert "LSLL-102B" not in causes


def test_delays_add_up_under_the_mark() -> None:
    one = context(LOGIC)
    causes = {cause.key: cause for cause in grid(one.plant, one.plant.interlocks).causes}
    times = {key: [sum(delay.si for delay in mark.delays) for mark in causes[key].marks["XV-101 closed"]]
             for key in ("LSHH-101", "TSH-101", "HS-101", "HB-101")}
    # 2 s of the interlock; 10 s held before them; the manual stop and the bypass key wait for nothing
    assert times == {"LSHH-101": [2.0], "TSH-101": [12.0], "HS-101": [0.0], "HB-101": [0.0]}


def test_a_lost_supply_marks_what_its_loss_alone_moves() -> None:
    plant = context(LOGIC).plant
    causes = {cause.key: cause for cause in grid(plant, plant.interlocks).causes}
    # XV-101 fails closed and is closed by I-101; XV-201 fails open while I-201 closes it; a dead horn does not sound
    assert set(causes["IA-1 lost"].marks) == {"XV-101 closed"}
    assert set(causes["MS-1 lost"].marks) == {"P-101A stopped", "P-101B stopped"}
    # UPS-1 feeds the loop of LSHH-101, whose contact opens at its point: the interlock acts two seconds after it is lost.
    # LSLL-102A, B and C hang on it as well: two of the three fall.
    ups = causes["UPS-1 lost"].marks
    assert {(mark.sign, mark.by) for marks in ups.values() for mark in marks} == {
        ("X*", "I-101"), ("X*", "I-102"), ("A", "LAHH-101")}
    assert [sum(delay.si for delay in mark.delays) for mark in ups["XV-101 closed"]] == [2.0]


@pytest.mark.parametrize("source", PLANTS)
def test_every_interlock_and_every_alarm_with_a_cause_has_a_row(source: str) -> None:
    one = context(source)
    shown = {mark.by for sheet in matrix_areas.grids(one).values() for cause in sheet.causes
             for marks in cause.marks.values() for mark in marks}
    assert set(one.plant.interlocks) <= shown
    assert {tag for tag, alarm in one.plant.alarms.items()} <= shown


@pytest.mark.parametrize("source", PLANTS)
def test_each_printed_cell_holds_its_sentence_with_cause_and_effect(source: str) -> None:
    one = context(source)
    for page in matrices.pages(one):
        text = fragment(page)
        cells = re.findall(r'<td class="cell [a-z]+" data-effect="([^"]+)" title="([^"]+)">', text)
        sheet = getattr(page.view, "crossing", page.view)
        if sheet is None:
            continue
        marked = [cell for group in sheet.groups for row in group.rows for cell in row.cells if cell.marks]
        assert len(cells) == len(marked) > 0
        for effect, sentence in cells:
            assert effect == "Alarm" or effect.split(" ")[0] in sentence
            assert sentence.startswith(("When ", "While ")) or " may " in sentence


def test_sentences_read_as_a_person_would_say_them() -> None:
    sheet = next(page.view for page in matrices.pages(context(LOGIC)) if page.path == "matrices/10.html")
    said = {cell.sentence for group in sheet.groups for row in group.rows for cell in row.cells}
    assert ("When LSHH-101 opens at 3.30 m rising, after 2 s, XV-101 closes and stays closed until reset at LP-1 "
            "by shift operator (I-101).") in said
    assert "While HB-101 is on (turned), I-101 does not drive XV-101, 8 h at most." in said
    assert "When IA-1 is lost, XV-101 closes by itself: its drive is gone." in said


def test_a_battery_that_holds_the_loop_of_a_trip_has_its_row() -> None:
    """BT-6 feeds the loops and relays of both drain interlocks; K-622 of I-620 hangs on CV-2, behind UPS-2 and MS-2."""
    plant = context(DEMO).plant
    causes = {cause.key: cause for cause in grid(plant, plant.interlocks).causes}
    by = {key: {mark.by for marks in causes[key].marks.values() for mark in marks if mark.sign in ("X", "X*")}
          for key in ("BT-6 lost", "CV-2 lost", "UPS-2 lost")}
    assert {"I-610", "I-611"} <= by["BT-6 lost"] and "I-620" in by["CV-2 lost"] and "I-620" in by["UPS-2 lost"]
    late = [sum(delay.si for delay in mark.delays) for mark in causes["MS-2 lost"].marks["XV-620 closed"] if mark.by == "I-620"]
    assert late == [45 * 60 + 2.0]  # as long as UPS-2 lasts, then the interlock's own two seconds
    # a mark's delay of what feeds it is said in its sentence too
    column = next(one for one in grid(plant, plant.interlocks).columns if one.key == "XV-620 closed")
    said = matrix_cells.cell(context(DEMO), causes["MS-2 lost"], column, {})
    assert "When MS-2 is lost, after 10 min, XV-620 closes by itself" in said.sentence
    assert "When MS-2 is lost, after 45 min, XV-620 closes and stays closed" in said.sentence


@pytest.mark.parametrize("source", PLANTS)
def test_the_delay_in_a_cell_is_the_delay_in_its_words(source: str) -> None:
    """Whatever the words say of time, added up, is what stands under the mark; what members hold is said besides."""
    one = context(source)
    whole = grid(one.plant, one.plant.interlocks, [tag for tag in one.plant.switches if one.plant.alarms_of[tag]])
    units = {"ms": 0.001, "s": 1.0, "min": 60.0, "h": 3600.0}
    seen = 0
    for cause in whole.causes:
        for column in whole.columns:
            for mark in cause.marks.get(column.key, ()):
                if mark.sign == "B" or cause.members:
                    continue
                words = matrix_cells.sentence(one, cause, column, mark)
                times = re.findall(r"(?:for|after|,) ([\d.]+) (ms|s|min|h)\b(?! at most)", words)
                total = sum(float(number) * units[unit] for number, unit in times)
                asked = sum(delay.si for delay in mark.delays)
                assert abs(total - asked) <= (0.0 if asked < 120 else 6.0), words
                seen += bool(times)
    assert seen > 10 or source == LOGIC


def test_rows_that_cross_areas_stand_on_the_plant_sheet() -> None:
    index = next(page.view for page in matrices.pages(context(LOGIC)) if page.path == "matrices/index.html")
    assert index.crossing is not None
    text = " ".join(cell.sentence for group in index.crossing.groups for row in group.rows for cell in row.cells)
    assert "(I-201)" in text and "(I-103)" in text  # I-201 stops pumps of area 10; I-103 asks a point of area 20
    assert "(I-101)" not in text


def test_numbers_are_the_order_on_the_sheet() -> None:
    for page in matrices.pages(context(LOGIC)):
        sheet = getattr(page.view, "crossing", page.view)
        rows = [row.number for group in sheet.groups for row in group.rows]
        assert rows == [str(place) for place in range(1, len(rows) + 1)]
        assert [head.number for head in sheet.heads] == [str(place) for place in range(1, len(sheet.heads) + 1)]


def test_words_of_a_state_are_complete() -> None:
    states = set(logic_words.GOES)
    assert states == set(logic_words.ACTION) == set(logic_words.STANDS) == set(logic_words.MAY)
