"""Heights as the screens show them, against currents reckoned by hand over the limits of NAMUR NE 43."""

import pytest

from generator.model.page import plain
from generator.pages import screen, switch_budget
from generator.pages.context import Context
from tests.compute import small
from tests.pages.plants import of


def plant(issued: str) -> Context:
    """LT-1 measures 1 m (4 mA) to 3 m (20 mA): 1 mA is 125 mm. The float has a point, and so has the transmitter."""
    return of(
        instruments={"LT-1": small.body(technology="free space radar", signal="4-20 mA",
                                        range={"lower": "1 m", "upper": "3 m"}), "LX-1": small.body()},
        switches={"LSLL-1": small.switch("falling", issued=issued), "LSL-2": small.switch(
            "falling", issued=issued, **{"in": "LT-1"})})


@pytest.mark.parametrize(("issued", "said", "means"), [
    ("2.00 m", "50.0 % of range on LT-1", "measurement"),  # 12 mA
    ("0.98 m", "-1.0 % of range on LT-1", "measurement"),  # 3.84 mA: measured down to 3.8 mA
    ("0.96 m", "below what LT-1 can show; its signal may show as failed", "neither measurement nor failure"),  # 3.68 mA
    ("0.94 m", "below what LT-1 can show; its signal may show as failed", "failure"),  # 3.52 mA: failed at 3.6 mA and below
    ("3.06 m", "103.0 % of range on LT-1", "measurement"),  # 20.48 mA: measured up to 20.5 mA
    ("3.08 m", "above what LT-1 can show; its signal may show as failed", "neither measurement nor failure"),  # 20.64 mA
    ("3.20 m", "above what LT-1 can show; its signal may show as failed", "failure"),  # 21.6 mA: failed at 21 mA and above
])
def test_a_height_beyond_what_the_signal_carries_has_no_percent(issued: str, said: str, means: str) -> None:
    made = plant(issued)
    assert plain(screen.of_point(made, "LSLL-1")) == plain(screen.of_point(made, "LSL-2")) == said
    signal = switch_budget.transmitter(made, "LSL-2", made.results.setpoints["LSL-2"])
    assert signal is not None and [row.meaning for row in signal.rows if row.name.startswith("LSL-2")] == [means]


def test_of_two_heights_only_the_one_beyond_the_range_has_no_percent() -> None:
    assert plain(screen.shown(plant("2 m"), "T-1", (0.5, 2.0))) == (
        "from below what LT-1 can show to 50 % of range on LT-1")
    assert plain(screen.shown(plant("2 m"), "T-1", (1.5, 2.0))) == "25 to 50 % of range on LT-1"
