"""Numbers as they stand on a page. Expected values by hand from the unit's factor; digits: common practice, no source."""

import pytest

from generator.model.page import plain
from generator.pages import amounts

M3H = 1 / 3600


@pytest.mark.parametrize(("si", "dimension", "shown"), [
    (0.16 * M3H, "flow", "0.16 m³/h"), (0.1742 * M3H, "flow", "0.17 m³/h"), (0.2 * M3H, "flow", "0.2 m³/h"),
    (0.045 * M3H, "flow", "0.045 m³/h"), (0.00042 * M3H, "flow", "0.00042 m³/h"), (0.996 * M3H, "flow", "1.0 m³/h"),
    (2.04 * M3H, "flow", "2.0 m³/h"), (0.0, "flow", "0.0 m³/h"), (1e-15, "flow", "0.0 m³/h"), (-0.16 * M3H, "flow", "-0.16 m³/h"),
    (370.0, "power", "0.37 kW"), (0.04 / 3600, "rate", "0.04 per hour"), (0.034e-3 / 60, "speed", "0.034 mm/min"),
])
def test_a_small_value_shows_two_digits(si: float, dimension: str, shown: str) -> None:
    """0.16 m3/h shown as 0.2 would be a quarter too much."""
    assert plain((amounts.amount(si, dimension),)) == shown


@pytest.mark.parametrize(("si", "kept", "taken"), [
    (60.0, "60 s", "60.0 s"), (125.0, "125 s", "125 s"), (160.0, "160 s", "160 s"), (299.0, "299 s", "299 s"),
    (330.0, "5.5 min", "5.5 min"),
])
def test_times_of_machines_are_in_seconds_under_five_minutes(si: float, kept: str, taken: str) -> None:
    """One unit for delays that are compared: beside 60 s and 100 s, "2 min" would hide that a pump waits 125 s."""
    assert (plain((amounts.duration(si),)), plain((amounts.taken(si),))) == (kept, taken)
