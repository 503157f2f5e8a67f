"""Trends: labels and flags never over each other, whatever the levels and events."""

import random
from itertools import pairwise

import pytest

from generator.draw.trend import NARROW, WIDE, TrendLayout, trend
from generator.model.place import NOWHERE
from generator.model.results import Band, Level


@pytest.mark.parametrize("layout", [WIDE, NARROW])
@pytest.mark.parametrize("seed", range(12))
def test_nothing_overlaps(layout: TrendLayout, seed: int) -> None:
    dice = random.Random(seed)
    count = dice.choice([1, 2, 8, 22])
    heights = sorted((round(dice.uniform(0, dice.choice([0.01, 4.0])), 3) for _ in range(count)), reverse=True)
    levels = [Level(f"L-{place}", "", "trip", height, Band(height - 0.01, height + 0.01), "rising", NOWHERE)
              for place, height in enumerate(heights)]
    lasts = dice.choice([5.0, 600.0, 90_000.0])
    moments = sorted(dice.uniform(0, lasts) for _ in range(dice.choice([0, 1, 40])))
    made = trend("k", "t", "d", [(0.0, 1.0), (lasts, 2.0)], levels, [(level.key, "") for level in levels], moments, layout)
    for upper, lower in pairwise(made.labels):
        assert lower.y - upper.y >= 17
    for left, right in pairwise(made.flags):
        assert left.x + left.width / 2 <= right.x - right.width / 2 + 1e-6
    numbers = [int(part) for flag in made.flags for part in (flag.text.split("-")[0], flag.text.split("-")[-1])]
    assert numbers == sorted(numbers)
    assert (numbers[-1] if numbers else 0) == len(moments)
    for x, y in made.curve:
        assert layout.left - 0.1 <= x <= layout.right + 0.1
        assert made.upper - 0.1 <= y <= made.lower + 0.1


def test_a_trend_needs_points_and_names() -> None:
    with pytest.raises(ValueError, match="needs points"):
        trend("k", "t", "d", [], [], [], [], WIDE)
