"""Rows of "what trips what": the delay of a point and that of the interlock are added, and the sentence names each."""

import re

import pytest

from generator.model.page import plain
from generator.pages import tank_logic, tank_volumes
from tests.pages.plants import DEMO, context

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


def test_a_tank_from_which_no_pump_draws_has_no_dead_volume_to_assess() -> None:
    made = context(DEMO)
    bare = [tag for tag in made.plant.tanks if not made.plant.pumps_of[tag]]
    assert bare, "the demonstration plant has a tank that runs out by gravity"
    for tag in bare:
        row = next(one for one in tank_volumes.volumes(made, tag).rows if one.name == "Dead volume")
        assert row.amount.number == "does not apply" and "no pump draws" in row.says
