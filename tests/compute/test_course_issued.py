"""A course of two sumps in the frozen issue A, event by event against the sum worked by hand from its definitions.

T-620 holds 2.25 m2 (1.5 m x 1.5 m), T-610 20 m2 (5 m x 4 m). Until its running signal follows the pump, the second cause of
I-620 (the pump has run for ten minutes) can never come, the leak is never shut, and the course lasts 6041 s in place of 4548 s.
"""

from functools import cache
from pathlib import Path

import pytest

from generator import build
from generator.model.course import Course
from tests.compute.test_courses import when

ISSUE = Path(__file__).parent.parent.parent / "content" / "issued" / "A" / "plant"
HOUR = 3600.0

# T-620, from 60 s on: the leak of 12 m3/h fills it from the top of its normal band, 0.36 m x 2.25 m2 = 0.810 m3.
STARTS = 60 + (0.70 - 0.36) * 2.25 / 12 * HOUR + 1 + 0.1 + 2
"""LSH-620 at 0.70 m, its response of 1 s, the relay's 100 ms, the pump's start of 2 s: 60 + 229.5 + 3.1 = 292.6 s."""
TRIPS = STARTS + (3 - 2) + 600 + 2 + 0.05 + 0.1
"""Running signal within 3 s of the order, 1 s after the pump runs; held 10 min; 2 s, logic 50 ms, relay 100 ms: 895.75 s.

The level alone would keep the pump running for longer: it falls by 12 - 15 = -3 m3/h, from 1.585 m3 to 0.810 m3 in 930 s.
"""
ENDS = TRIPS + 6 + 0.060 / 12 * HOUR
"""The valve's stroke of 6 s, then 60 L drain out of the branch at 12 m3/h in 18 s: 919.75 s."""
LEFT = 0.36 * 2.25 + 12 * (STARTS - 60 - 229.5) / HOUR + 0.34 * 2.25 - 3 * (ENDS - STARTS) / HOUR
"""Volume then: 0.810 + 0.765 + 0.010333 - 0.522625 = 1.062708 m3."""
EMPTIED = ENDS + (LEFT - 0.36 * 2.25) / 15 * HOUR + 1 + 0.1 + 1
"""LSL-620 at 0.36 m, 60.65 s at 15 m3/h; its response of 1 s, the relay, the pump's stop of 1 s: 982.5 s."""

# T-610: 1.50 m x 20 m2 = 30 m3; 14 + 24 = 38 m3/h come in, 60 m3/h go out until the failed control stops P-610A (6 s).
FULL = 3.70 * 20
HIGH = EMPTIED + (FULL - (30 - 22 * 66 / HOUR + 38 * (STARTS - 66) / HOUR + 53 * (EMPTIED - STARTS) / HOUR)) / 38 * HOUR + 2
"""Its high float at 3.70 m, with 15 m3/h more while P-620 runs; response 2 s: 4002.30 s."""
CALLS = HIGH + 5 + 0.05 + 0.1
"""I-610 holds 5 s, its logic takes 50 ms, its output relay 100 ms."""
PUMPS = CALLS + 8
"""Both drain pumps run 8 s later, P-340A with its 24 m3/h has stopped after 3 s."""
PEAK = FULL + 38 * (2 + 5.15 + 3) / HOUR + 14 * 5 / HOUR
CLEARS = PUMPS + (PEAK - 3.60 * 20) / (120 - 14) * HOUR + 2
"""The float lets go 100 mm lower, at 120 - 14 = 106 m3/h; response 2 s."""
RELEASES = CLEARS + 60 + 0.05 + 0.1
"""The off-delay; logic and relay take their time to let go, too."""
LOW = 3.60 * 20 - 106 * (2 + 60.15 + 2) / HOUR - (106 - 24) * 4 / HOUR
"""The response, 60.15 s, 2 s until P-340A runs again, 4 s more until the drain pumps have stopped: 70.0244 m3."""
AGAIN = RELEASES + 6 + (FULL - LOW) / 38 * HOUR + 2 + 5.15 + 8
"""Everything as it was at PUMPS: from here on it repeats, 532.57 s a turn."""


@cache
def course() -> Course:
    results = build.reviewed(ISSUE).results
    assert results is not None
    return next(one for one in results.courses["T-620"] if one.key == "T-620/trip-of-t-610")


@pytest.mark.parametrize(("tag", "turned", "nth", "time", "digits"), [
    ("P-620", "running", 0, STARTS, 292.6),
    ("I-620", "acts", 0, TRIPS, 895.75),
    ("leak", "ceased", 0, ENDS, 919.75),
    ("P-620", "stopped", 0, EMPTIED, 982.5),
    ("LSHH-612", "acted", 0, HIGH, 4002.30),
    ("I-610", "acts", 0, CALLS, 4007.45),
    ("P-610B", "running", 0, PUMPS, 4015.45),
    ("LSHH-612", "clear", 0, CLEARS, 4089.68),
    ("I-610", "lets go", 0, RELEASES, 4149.83),
    ("P-610B", "running", 1, AGAIN, 4548.03),
])
def test_each_event_comes_when_the_sum_by_hand_says(tag: str, turned: str, nth: int, time: float, digits: float) -> None:
    assert time == pytest.approx(digits, abs=0.006)  # the sum itself, as a pocket calculator gives it
    assert when(course(), tag, turned, nth) == pytest.approx(time, abs=1e-6)


def test_it_ends_where_it_begins_to_repeat_itself() -> None:
    assert course().lasts == pytest.approx(AGAIN, abs=1e-6)
    assert course().ends_because == "from here on it repeats itself"
