"""The bar of a level budget: to scale, closed, labels in order and apart; a shortfall is an overlap."""

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from generator.draw.labels import LINE
from generator.draw.level_budget import BudgetDrawing, Given, level_budget


def drawn(far: list[float], margin: float, near: list[float], rises: bool = True) -> BudgetDrawing:
    pieces = [*(Given("other", "other point", length, "x") for length in far), Given("margin", "margin", margin, "x"),
              *(Given("travel: some step with a long name", "travel", length, "x") for length in near)]
    return level_budget("b", "title", "limit", "point", pieces, rises)


LENGTHS = st.lists(st.floats(0.0, 1.0), min_size=0, max_size=12)


@settings(max_examples=80, deadline=None)
@given(LENGTHS, st.floats(-0.5, 1.0), LENGTHS, st.booleans())
def test_labels_stay_apart_and_inside(far: list[float], margin: float, near: list[float], rises: bool) -> None:
    made = drawn(far, margin, near, rises)
    rows = [y for label in made.labels for _, y in label.lines]
    assert rows == sorted(rows)
    assert all(below - above >= LINE - 1e-6 for above, below in pairwise(rows))
    assert all(0 <= y <= made.height for y in rows)
    assert all(segment.top >= -1e-6 and segment.top + segment.height <= made.height + 1e-6 for segment in made.segments)


def test_lengths_are_to_scale_and_close_between_limit_and_point() -> None:
    made = drawn([0.1], 0.2, [0.3, 0.4])
    heights = [segment.height for segment in made.segments]
    assert [round(height / heights[0], 6) for height in heights] == [1, 2, 3, 4]
    assert made.limit_y < made.point_y
    assert abs(sum(heights) - (made.point_y - made.limit_y)) < 1e-6


def test_a_falling_level_has_its_limit_below() -> None:
    made = drawn([0.1], 0.2, [0.3], rises=False)
    assert made.limit_y > made.point_y
    assert made.segments[0].top > made.segments[-1].top


def test_a_shortfall_is_drawn_as_an_overlap() -> None:
    made = drawn([0.2], -0.1, [0.3])
    assert made.short
    far, margin, near = made.segments
    assert far.top + far.height > near.top  # both reach into what is missing
    assert abs(margin.height - (far.top + far.height - near.top)) < 1e-6
