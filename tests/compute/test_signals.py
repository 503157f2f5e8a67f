"""Signals: what a current means, and what follows from the definitions of range and pressure."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute import signals


@pytest.mark.parametrize(("current", "meaning"), [  # NAMUR NE 43
    (3.5, "failure"), (3.6, "failure"), (3.7, "undefined"), (3.8, "measurement"), (4.0, "measurement"),
    (20.5, "measurement"), (20.7, "undefined"), (21.0, "failure"), (23.0, "failure"), (0.0, "failure"),
])
def test_meaning_of_a_current(current: float, meaning: str) -> None:
    assert signals.meaning_of_current(current / 1000) == meaning


@given(st.floats(-10, 10), st.floats(-10, 10), st.floats(-20, 20))
def test_current_leads_back_to_the_share(lower: float, upper: float, value: float) -> None:
    if abs(upper - lower) < 1e-3:
        with pytest.raises(ValueError, match=r"."):
            signals.share_of_range(value, lower, lower)
        return
    share = signals.share_of_range(value, lower, upper)
    assert signals.share_of_current(signals.current_of_share(share)) == pytest.approx(share, abs=1e-9)
    assert lower + share * (upper - lower) == pytest.approx(value, abs=1e-9)


@given(st.floats(600, 1300), st.floats(600, 2000), st.floats(0, 10), st.floats(0, 5), st.floats(0.1, 5))
def test_a_filled_leg_shifts_both_ends_and_keeps_the_span(
    density: float, leg: float, height: float, lowest: float, span: float
) -> None:
    plain = signals.open_range(density, lowest, lowest + span)
    closed = signals.wet_leg_range(density, leg, height, lowest, lowest + span)
    assert closed[1] - closed[0] == pytest.approx(plain[1] - plain[0])
    assert plain[0] - closed[0] == pytest.approx(signals.hydrostatic_pressure(leg, height), abs=1e-6)
