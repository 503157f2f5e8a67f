"""One member of a vote never says that it trips alone, wherever its action is told."""

import pytest

from generator.draw.drawing import LevelDrawing
from generator.model.condition import Condition
from generator.model.page import plain
from generator.pages import point_words, switch_backup, tank_levels
from tests.pages import plants

MEMBERS = ("LSLL-324A", "LSLL-324B", "LSLL-324C")
"""Two of these three stop GP-320 in the demo."""


@pytest.mark.parametrize("tag", MEMBERS)
def test_a_member_says_what_it_needs_beside_it(tag: str) -> None:
    context = plants.context(plants.DEMO)
    others = [one for one in MEMBERS if one != tag]
    assert f"with one more of {others[0]} and {others[1]}, GP-320 stops" in plain(point_words.does(context, tag))


def test_the_drawing_and_what_happens_next_say_it_too() -> None:
    context = plants.context(plants.DEMO)
    levels = tank_levels.levels(context, "T-320")
    said = [label for drawing in (levels.wide, levels.narrow) for label in _labels(drawing)]
    steps = [step for step in levels.falling if step.name.text in MEMBERS]
    assert [step.name.text for step in steps] == list(MEMBERS)
    assert all("with one more of" in plain(step.does) for step in steps)
    assert [plain(step.after) for step in steps][1:] == ["at the same height"] * 2
    assert not [one for one in said if "trip: GP-320" in one], said


def test_members_of_one_height_come_neither_before_nor_after() -> None:
    context = plants.context(plants.DEMO)
    rows = {row.point.text: row for row in switch_backup.backups(context, MEMBERS[1])}
    for other in (MEMBERS[0], MEMBERS[2]):
        assert plain(rows[other].comes) == "at the same height"
        assert "with one more of" in plain(rows[other].does)


@pytest.mark.parametrize(("written", "tag", "beside"), [
    ("A", "A", None), ({"any_of": ["A", "B"]}, "A", None), ({"1 of": ["A", "B"]}, "A", None),
    ({"held": "5 s", "of": "A"}, "A", None), ({"not": {"any_of": [{"not": "A"}, {"not": "B"}]}}, "A", (2, ("B",))),
    ({"2 of": ["A", "B", "C"]}, "A", (2, ("B", "C"))), ({"3 of": ["A", "B", "C"]}, "B", (3, ("A", "C"))),
    ({"all_of": ["A", "B"]}, "B", (2, ("A",))), ({"any_of": ["H", {"2 of": ["A", "B", "C"]}]}, "C", (2, ("A", "B"))),
    ({"all_of": ["A", {"not": "B"}]}, "A", (2, ())), ({"all_of": ["H", {"2 of": ["A", "B", "C"]}]}, "A", (0, ())),
    ({"any_of": ["A", {"2 of": ["A", "B", "C"]}]}, "A", None),
])
def test_what_must_stand_beside_a_cause(written: object, tag: str, beside: tuple[int, tuple[str, ...]] | None) -> None:
    assert point_words.beside(Condition.read(written), tag) == beside


def _labels(drawing: LevelDrawing) -> list[str]:
    return [" ".join(row.text for row in label.rows) for label in drawing.labels]
