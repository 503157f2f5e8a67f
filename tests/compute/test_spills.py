"""Times while another tank overflows into one: worked by hand, and by scipy's event integration for a lying tank."""

from typing import Any

import pytest

from generator.compute.spills import is_stopped
from generator.model.record import Record
from generator.model.scalar import Tag
from tests.compute import small
from tests.compute.test_courses import LYING, travel

LOCK = {"area": "A", "service": "x", "kind": "trip", "because": "x", "when": "LSHH-1", "then": {"XV-1": "closed"}}


def plant(shape: dict[str, Any] = small.UPRIGHT, **changes: Any) -> dict[str, Any]:
    """T-1 takes 36 m3/h by its inlet; T-2 may send 54 m3/h down its overflow into it."""
    return {
        "tanks": {"T-1": small.tank(shape, levels={"overflow": "1.9 m", "normal_low": "0.5 m", "normal_high": "0.8 m"}),
                  "T-2": small.tank()},
        "streams": {"in": small.stream("outside", "T-1", "36 m3/h", through=["XV-1"]),
                    "above": small.stream("outside", "T-2", "54 m3/h", through=["XV-2"]),
                    "spill": small.stream("T-2", "T-1", "54 m3/h", by_overflow="yes"),
                    "out": small.stream("T-1", "outside", "90 m3/h", moved_by="P-1")},
        "valves": {name: {"area": "A", "service": "Inlet", "kind": "on-off"} for name in ("XV-1", "XV-2")},
        "pumps": {"P-1": small.pump("90 m3/h")},
        "switches": {"LSH-1": small.switch("rising", issued="1.0 m", on_delay="5 s"),
                     "LSHH-1": small.switch("rising", issued="1.4 m", role="trip")},
        "interlocks": {"I-1": LOCK},
        "alarms": {"LAH-1": {"from": "LSH-1", "text": "HIGH", "priority": "high", "before": "I-1", "means": "x", "first": "x"}},
    } | changes


def test_times_beside_the_worst_rate_by_hand() -> None:
    """Upright, 2 m wide: 1.015 m to 1.385 m is 0.37 pi m3 (own and common error of 15 mm each way, of which 5 mm are common to
    both edges), at 36 m3/h or at 90 m3/h, less the delay of 5 s."""
    results = small.worked(**plant())
    (spill,) = results.tanks["T-1"].spills
    assert isinstance(spill.rate, Record) and spill.rate.value == pytest.approx(90 / 3600)
    alarm = results.alarms["LAH-1"]
    (one,) = alarm.spilled
    assert isinstance(alarm.to_trip, Record) and isinstance(one.times[0], Record)
    volume = (alarm.to_trip.value + 5) * 36 / 3600
    assert volume == pytest.approx(0.38 * 3.14159265, rel=0.03)
    assert one.times[0].value == pytest.approx(volume / (90 / 3600) - 5)
    (budget,) = results.trips["I-1"]
    assert isinstance(budget.available, Record) and isinstance(budget.spilled[0].times[0], Record)
    assert budget.spilled[0].times[0].value == pytest.approx(budget.available.value * 36 / 90)


def test_times_between_neighbouring_levels_by_hand() -> None:
    """From 1.015 m to 1.385 m as above: 0.37 pi m3 at 36 m3/h in 116.2 s, at 90 m3/h in 46.5 s; a falling level has none."""
    tank = small.worked(**plant()).tanks["T-1"]
    one = next(each for each in tank.intervals if (each.lower, each.upper) == ("LSH-1", "LSHH-1"))
    (spilled,) = one.spilled
    assert spilled.spill == tank.spills[0] and len(spilled.times) == 1
    assert isinstance(one.rising, Record) and isinstance(spilled.times[0], Record)
    assert (one.rising.value, spilled.times[0].value) == (pytest.approx(116.24, abs=0.01), pytest.approx(46.50, abs=0.01))
    assert spilled.times[0].inputs[2].source == tank.spills[0].rate.key
    normal = next(each for each in tank.intervals if (each.lower, each.upper) == ("normal_high", "LSH-1"))
    assert isinstance(normal.spilled[0].times[0], Record)
    assert normal.spilled[0].times[0].value == pytest.approx(0.185 * 3.14159265 / (90 / 3600), abs=0.01)


def test_levels_whose_bands_meet_have_no_time_at_any_rate() -> None:
    switches = {"LSH-1": small.switch("rising", issued="1.0 m"), "LSHH-1": small.switch("rising", issued="1.02 m", role="trip")}
    tank = small.worked(**plant(switches=switches)).tanks["T-1"]
    one = next(each for each in tank.intervals if (each.lower, each.upper) == ("LSH-1", "LSHH-1"))
    assert isinstance(one.rising, Record) and one.rising.value == 0 and one.spilled == ()


def test_a_lying_tank_against_scipy() -> None:
    results = small.worked(**plant(LYING))
    (budget,) = results.trips["I-1"]
    left = budget.spilled[0].times[0]
    edge = results.setpoints["LSHH-1"].act
    assert isinstance(left, Record) and edge is not None
    assert left.value == pytest.approx(travel(edge.high, 90 / 3600, 1.9), rel=1e-6)


@pytest.mark.parametrize("changes", [
    # no faster than the worst rate
    {"never_together": [{"streams": ["spill", "in"], "because": "x"}], "streams": {"spill": "36 m3/h"}},
    {"streams": {"above": "T-1"}},  # it gives back what it takes
    {"streams": {"spill": None}},
], ids=["slow", "gives back", "none"])
def test_where_no_second_time_is_told(changes: dict[str, Any]) -> None:
    made = plant()
    streams = made["streams"]
    for tag, value in changes["streams"].items():
        streams[tag] = streams[tag] | ({"from": "T-1"} if value == "T-1" else {"flow": {"highest": value}} if value else {
            "by_overflow": "no", "into": "outside"})
    results = small.worked(**(made | {"never_together": changes.get("never_together", [])}))
    assert results.tanks["T-1"].spills == () and results.alarms["LAH-1"].spilled == ()
    assert results.trips["I-1"][0].idle_while == ()


@pytest.mark.parametrize(("then", "is_held"), [
    ({"XV-1": "closed"}, False), ({"XV-2": "closed"}, True), ({"P-1": "running"}, True), ({"P-1": "stopped"}, False),
])
def test_a_trip_holds_a_spill_only_where_it_stops_what_runs_over_or_draws_as_much(then: dict[str, str], is_held: bool) -> None:
    nouns = plant(interlocks={"I-1": LOCK | {"then": then}})
    results, made = small.worked(**nouns), small.plant(**nouns)
    assert results.trips["I-1"][0].idle_while == (() if is_held else ("T-2",))
    assert is_stopped(made, results.tanks["T-1"].spills[0], {Tag(tag): state for tag, state in then.items()}) is is_held
