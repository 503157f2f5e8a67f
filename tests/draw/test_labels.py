"""Label places: no overlap, order kept, least total shift."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from generator.draw.labels import spread, wrap

boxes = st.lists(st.tuples(st.floats(0, 500), st.floats(10, 60)), min_size=1, max_size=25)


@given(boxes, st.floats(0, 400))
@settings(max_examples=150, deadline=None)
def test_labels_never_overlap_and_stay_in_their_column(many: list[tuple[float, float]], slack: float) -> None:
    wanted, sizes = sorted(want for want, _ in many), [size for _, size in many]
    high = sum(sizes) + slack
    places = spread(wanted, sizes, 0.0, high)
    edges = [(place - size / 2, place + size / 2) for place, size in zip(places, sizes, strict=True)]
    assert edges[0][0] >= -1e-6 and edges[-1][1] <= high + 1e-6
    assert all(above[1] <= below[0] + 1e-6 for above, below in pairwise(edges))


@given(st.lists(st.tuples(st.floats(0, 100), st.floats(5, 30)), min_size=2, max_size=6))
@settings(max_examples=20, deadline=None)
def test_total_shift_is_least(many: list[tuple[float, float]]) -> None:
    """Against scipy's constrained least squares (SLSQP), a library this code does not call."""
    wanted, sizes = sorted(want for want, _ in many), [size for _, size in many]
    places = np.array(spread(wanted, sizes, -1e4, 1e4))
    apart = [{"type": "ineq", "fun": lambda x, i=i: x[i + 1] - x[i] - (sizes[i] + sizes[i + 1]) / 2}
             for i in range(len(sizes) - 1)]
    start = np.cumsum(sizes)
    found = minimize(lambda x: float(np.sum((x - np.array(wanted)) ** 2)), start, constraints=apart, method="SLSQP",
                     options={"maxiter": 400, "ftol": 1e-12})
    assert np.sum((places - wanted) ** 2) <= found.fun + 1e-3


def test_free_labels_stand_where_they_want() -> None:
    assert spread([10.0, 100.0], [20.0, 20.0], 0.0, 200.0) == (10.0, 100.0)


def test_a_column_too_short_is_refused() -> None:
    with pytest.raises(ValueError, match="too short"):
        spread([0.0, 0.0], [20.0, 20.0], 0.0, 30.0)


def test_a_long_word_is_cut_not_dropped() -> None:
    assert "".join(wrap("A" * 60, 100.0)) == "A" * 60
