"""Rows of "what trips what": the delay of a point and that of the interlock are added, and the sentence names each."""

import re

import pytest

from generator.model.page import plain
from generator.pages import interlock_register, tank_logic, tank_volumes
from tests.pages.plants import DEMO, LOGIC, context

# By hand from the definitions of the demonstration plant: delay of the point + delay of the interlock.
DELAYS = {"I-610": "5 s", "I-310": "2 s", "I-120": "5 s", "I-240": "4 s"}


@pytest.mark.parametrize(("tag", "shown"), DELAYS.items())
def test_after_is_the_sum_of_both_delays(tag: str, shown: str) -> None:
    made = context(DEMO)
    row = tank_logic.trip(made, tag)
    assert plain(row.after) == shown
    lock = made.plant.interlocks[tag]  # type: ignore[index]
    own = lock.on_delay.si if lock.on_delay else 0.0
    said = [float(number) for number in re.findall(r"(?:for|waits) ([\d.]+) s", plain(row.when))]
    assert sum(said) == pytest.approx(float(shown.split()[0]))
    assert not own or own in said


def test_each_cause_has_its_own_delay_where_they_differ() -> None:
    """I-620: 2 s of its own after the float; after the running pump ten minutes more. By hand from the definitions."""
    made = context(DEMO)
    assert plain(tank_logic.trip(made, "I-620").after) == "2 s by LSHH-622; 10 min + 2 s by YS-620"
    (register,) = (page for page in interlock_register.pages(made) if page.path.endswith("interlocks.html"))
    cells = next([plain(cell.parts) for cell in row.cells] for group in register.view.groups for row in group.rows
                 if row.anchor == "i-620")
    assert "2 s by LSHH-622; 10 min + 2 s by YS-620" in cells


def test_no_delay_of_an_interlock_is_a_range() -> None:
    """Only a vote whose members wait for different times has no single one."""
    made = context(DEMO)
    for tag in made.plant.interlocks:
        assert "up to" not in plain(tank_logic.trip(made, tag).after), tag
    vote = tank_logic.trip(context(LOGIC), "I-102")  # 2 of 3, of which one waits 3 s
    assert plain(vote.after) == "up to 3 s"


def test_a_tank_from_which_no_pump_draws_has_no_dead_volume_to_assess() -> None:
    made = context(DEMO)
    bare = [tag for tag in made.plant.tanks if not made.plant.pumps_of[tag]]
    assert bare, "the demonstration plant has a tank that runs out by gravity"
    for tag in bare:
        row = next(one for one in tank_volumes.volumes(made, tag).rows if one.name == "Dead volume")
        assert row.amount.number == "does not apply" and "no pump draws" in row.says
