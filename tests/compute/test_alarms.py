"""Minutes that alarms leave, by hand: a tank of 2 m diameter rises 0.012 / pi m a second at 12 L/s."""

import math
from typing import Any

import pytest

from generator.model.record import Absence, Record
from generator.model.results import AlarmTime
from tests.compute import small

SPEED = 0.012 / math.pi
TIMES = {"notice": "1 min", "diagnose": "2 min", "go": "3 min", "act": "1 min", "effect": "30 s"}


def alarm(source: str = "LSH-1", **keys: Any) -> dict[str, Any]:
    return {"from": source, "text": "HIGH", "priority": "high", "means": "high", "first": "look", **keys}


def time(alarms: dict[str, Any], tag: str = "LAH-1", **changes: Any) -> AlarmTime:
    nouns: dict[str, Any] = {
        "plant": {"defaults": {"accuracy": {"own": "10 mm"}, "operator_time": TIMES}},
        "tanks": {"T-1": small.tank(levels={"overflow": "3.6 m"})},
        "valves": {"XV-1": {"area": "A", "service": "inlet", "kind": "on-off"}},
        "streams": {"in": small.stream("outside", "T-1", "12 L/s", through=["XV-1"]),
                    "out": small.stream("T-1", "outside", "12 L/s")},
        "switches": {"LSH-1": small.switch("rising", issued="2.0 m"),
                     "LSHH-1": small.switch("rising", issued="3.0 m", role="trip"),
                     "LSL-1": small.switch("falling", issued="1.6 m"),
                     "LSLL-1": small.switch("falling", issued="0.6 m", role="trip")},
        "interlocks": {tag: {"area": "A", "service": "trip", "kind": "trip", "when": when, "then": {"XV-1": "closed"}}
                       for tag, when in (("I-1", "LSHH-1"), ("I-2", "LSLL-1"))},
        "alarms": alarms,
    }
    return small.worked(**nouns | changes).alarms[tag]


def value(outcome: object) -> float:
    assert isinstance(outcome, Record), outcome
    return outcome.value


def test_latest_alarm_to_earliest_trip_and_to_the_overflow() -> None:
    made = time({"LAH-1": alarm()})
    assert made.trip == "LSHH-1"
    assert value(made.to_trip) == pytest.approx(0.98 / SPEED)  # 2.99 - 2.01 m
    assert made.limit == "overflow"
    assert value(made.to_limit) == pytest.approx(1.59 / SPEED)
    assert value(made.needed) == pytest.approx(450)  # 1 + 2 + 3 + 1 + 0.5 min


def test_the_error_that_a_body_shares_costs_no_time_between_its_own_points() -> None:
    head = {"defaults": {"accuracy": {"own": "10 mm", "common": "50 mm"}, "operator_time": TIMES}}
    one = time({"LAH-1": alarm()}, plant=head)
    assert value(one.to_trip) == pytest.approx(0.98 / SPEED)  # alarm and trip hang on one body
    assert value(one.to_limit) == pytest.approx(1.54 / SPEED)  # against the overflow all of it counts
    apart = {"LSH-1": small.switch("rising", issued="2.0 m"),
             "LSHH-1": small.switch("rising", issued="3.0 m", role="trip", **{"in": "LX-2"})}
    two = time({"LAH-1": alarm()}, plant=head, switches=apart, instruments={tag: small.body() for tag in ("LX-1", "LX-2")},
               interlocks={"I-1": {"area": "A", "service": "trip", "kind": "trip", "when": "LSHH-1", "then": {"XV-1": "closed"}}})
    assert value(two.to_trip) == pytest.approx(0.88 / SPEED)


def test_delays_are_lost_time() -> None:
    made = time({"LAH-1": alarm(on_delay="60 s", before="I-1")})
    # a delay of 60 s at 63.66 mm/min hides 63.7 mm; here 229.18 mm/min
    assert value(made.to_trip) == pytest.approx(0.98 / SPEED - 60)
    assert made.trip == "I-1"
    whole = time({"LAH-1": alarm(on_delay="60 s")}, instruments={"LX-1": small.body(response_time="4 s")})
    assert value(whole.to_trip) == pytest.approx(0.98 / SPEED - 64)


@pytest.mark.parametrize(("before", "trip"), [({}, "LSHH-1"), ({"before": "LSHHH-1"}, "LSHHH-1"), ({"before": "I-1"}, "LSHH-1"),
                                               ({"before": "I-3"}, "LSHHH-1")])
def test_the_trip_that_an_alarm_names_goes_before_the_next_one(before: dict[str, str], trip: str) -> None:
    """From the latest edge at 2.010 m to the earliest of a trip at 3.0 or 3.3 m."""
    lock = {"area": "A", "service": "trip", "kind": "trip", "then": {"XV-1": "closed"}}
    made = time({"LAH-1": alarm(**before)}, switches={
        "LSH-1": small.switch("rising", issued="2.0 m"), "LSHH-1": small.switch("rising", issued="3.0 m", role="trip"),
        "LSHHH-1": small.switch("rising", issued="3.3 m", role="trip")},
        interlocks={"I-1": lock | {"when": "LSHH-1"}, "I-3": lock | {"when": "LSHHH-1"}})
    assert made.to_trip is not None
    assert value(made.to_trip) == pytest.approx(({"LSHH-1": 3.0, "LSHHH-1": 3.3}[trip] - 2.0) / SPEED, abs=0.02 / SPEED + 1e-9)
    assert made.trip in (trip, before.get("before"))


def test_a_level_named_by_the_alarm_is_its_limit() -> None:
    made = time({"LAH-1": alarm(time_to="edge")},
                tanks={"T-1": small.tank(marks={"edge": {"height": "2.5 m", "what": "edge"}})})
    assert made.limit == "edge"
    assert value(made.to_limit) == pytest.approx(0.49 / SPEED)


def test_the_falling_alarm_mirrors_the_rising_one() -> None:
    made = time({"LAL-1": alarm("LSL-1")}, "LAL-1")
    assert made.trip == "LSLL-1"
    assert value(made.to_trip) == pytest.approx(0.98 / SPEED)
    assert made.limit == "the bottom"
    assert value(made.to_limit) == pytest.approx(1.59 / SPEED)


def test_the_alarm_of_the_trip_itself_has_no_trip_to_wait_for() -> None:
    made = time({"LAHH-1": alarm("LSHH-1")}, "LAHH-1")
    assert made.to_trip is None and made.trip == ""
    assert value(made.to_limit) == pytest.approx(0.59 / SPEED)


def test_an_alarm_without_a_level_says_so() -> None:
    made = time({"UA-1": alarm("I-1")}, "UA-1")
    assert made.tank == "T-1"
    assert isinstance(made.to_limit, Absence)
    assert "no level point" in made.to_limit.why


def test_without_operator_time_or_inflow_the_field_is_named() -> None:
    made = time({"LAH-1": alarm()}, plant={"defaults": {"accuracy": {"own": "10 mm"}}}, streams={})
    assert isinstance(made.needed, Absence) and made.needed.missing == ("alarms/LAH-1/operator_time",)
    assert isinstance(made.to_limit, Absence) and made.to_limit.missing
