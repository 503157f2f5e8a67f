"""What the level moves until a point has acted, by hand on an upright tank of 2 m diameter, and by steps of time.

36 m3/h in are 10 L/s, 18 m3/h out 5 L/s, over pi m2. Error 10 mm own and 5 mm common; common cancels on one body.
"""

import math
from typing import Any

import pytest

from generator.model.place import Place
from generator.model.record import Absence, Record
from generator.model.results import Results
from tests.compute import small
from tests.compute.redone import redone
from tests.compute.test_headroom import at, room
from tests.compute.test_needs import AREA, MARKS, STREAMS, judged, limit, why

UP, DOWN = 0.010 / AREA, 0.005 / AREA
"""Metres a second, filling and emptying."""


@pytest.mark.parametrize(("acts", "need", "without"), [
    ("rising", {"before": "overflow", "time": "5 min"}, 3.5 - 300 * UP - 0.015),
    ("rising", {"below": "overflow", "by": "100 mm"}, 3.4 - 0.015),
    ("rising", {"gap_of": "gap", "below": "overflow"}, 3.5 - 300 * UP - 0.015),
    ("falling", {"before": "bottom", "time": "5 min"}, 300 * DOWN + 0.015),
    ("falling", {"above": "coil", "by": "100 mm"}, 0.9 + 0.015),
    ("falling", {"covers": "coil", "by": "100 mm"}, 0.9 + 0.015),
    ("falling", {"reserve": "2 m3", "above": "coil"}, 0.8 + 2 / AREA + 0.015),
    ("falling", {"lasts": "15 min", "of": "out", "above": "coil"}, 0.8 + 900 * DOWN + 0.015),
])
def test_the_level_moves_on_while_a_point_waits(acts: str, need: dict[str, str], without: float) -> None:
    found = limit(judged(acts, need, keys={"on_delay": "3 min"}))
    assert limit(judged(acts, need)) == pytest.approx(without)
    assert found == pytest.approx(without - 180 * UP if acts == "rising" else without + 180 * DOWN)


@pytest.mark.parametrize(("acts", "need"), [
    ("falling", {"below": "overflow"}), ("falling", {"gap_of": "gap", "below": "overflow"}), ("rising", {"above": "coil"}),
    ("rising", {"covers": "coil"}), ("rising", {"reserve": "2 m3", "above": "coil"}), ("rising", {"at": "2 m"})])
def test_nobody_counts_on_a_delay(acts: str, need: dict[str, str]) -> None:
    assert limit(judged(acts, need, keys={"on_delay": "3 min"})) == pytest.approx(limit(judged(acts, need)))


def test_the_rate_of_the_need_counts_while_its_point_waits() -> None:
    need = {"before": "overflow", "time": "5 min", "rate": "normal"}
    assert limit(judged("rising", need, keys={"on_delay": "3 min"})) == pytest.approx(3.5 - 480 * UP / 2 - 0.015)


def test_room_for_growth_begins_where_the_point_has_acted() -> None:
    water = {"water": {"name": "Water", "temperature": {"lowest": "10 degC", "highest": "60 degC"}, "expansion": "0.0005"}}
    need = {"room_for": "thermal growth", "below": "overflow"}
    grown = 3.5 / (1 + 5e-4 * 50)
    assert limit(judged("rising", need, liquids=water)) == pytest.approx(grown - 0.015)
    assert limit(judged("rising", need, liquids=water, keys={"on_delay": "3 min"})) == pytest.approx(grown - 180 * UP - 0.015)


def overflowing(height: float, delay: float) -> float:
    """Time from the action of a point to the overflow, by steps of a tenth of a second. [s]"""
    level, time, asked, acted = height - 0.1, 0.0, None, None
    while level < 3.5:
        level, time = level + UP * 0.1, time + 0.1
        asked = time if asked is None and level >= height else asked
        acted = time if acted is None and asked is not None and time >= asked + delay else acted
    assert acted is not None
    return time - acted


def test_by_steps_of_time_what_must_remain_does() -> None:
    found = limit(judged("rising", {"before": "overflow", "time": "5 min"}, keys={"on_delay": "3 min"}))
    assert overflowing(found + 0.015, 180) == pytest.approx(300, abs=0.5)


# ---- which times ---------------------------------------------------------------------------------------------------

NEED = {"before": "overflow", "time": "0 s"}
LOCK = {"area": "A", "service": "trip", "kind": "trip", "when": "X", "then": {"XV-1": "closed"}}
VALVE = {"XV-1": {"area": "A", "service": "inlet", "kind": "on-off", "fails": "closed"}}
ALARM = {"from": "X", "text": "HIGH", "priority": "high", "means": "high", "first": "shut it"}


def waited(**nouns: Any) -> float:
    """Seconds that the need counts, told from its limit. [s]"""
    found = judged("rising", NEED, **nouns)
    assert isinstance(found.limit, Record)
    spread = sum(one.value for one in found.limit.inputs if one.symbol[:3] in ("e_{", "c_{"))
    return (3.5 - spread - found.limit.value) / UP


def test_the_response_of_the_body_and_what_the_point_is_there_for() -> None:
    slow = {"LX-1": small.body(response_time="4 s")}
    locks = {"I-1": LOCK | {"on_delay": "7 s"}}
    alarms = {"LAH-1": ALARM | {"on_delay": "20 s"}}
    both: dict[str, Any] = {"instruments": slow, "valves": VALVE, "interlocks": locks, "alarms": alarms}
    assert waited(instruments=slow) == pytest.approx(4)
    assert waited(instruments=slow, keys={"on_delay": "3 s"}) == pytest.approx(7)
    assert waited(**both, keys={"role": "trip"}) == pytest.approx(4 + 7)
    assert waited(**both, keys={"role": "alarm"}) == pytest.approx(4 + 20)
    assert waited(**both, keys={"role": "spill detection"}) == pytest.approx(4 + 20)
    held = {"I-1": LOCK | {"on_delay": "7 s", "when": {"held": "5 s", "of": "X"}}}
    assert waited(**both | {"interlocks": held}, keys={"role": "trip"}) == pytest.approx(4 + 7 + 5)
    for none in (LOCK | {"kind": "permissive", "on_delay": "7 s"}, LOCK | {"when": {"not": "X"}, "on_delay": "7 s"}):
        assert waited(**both | {"interlocks": {"I-1": none}}, keys={"role": "trip"}) == pytest.approx(4)


def test_the_latest_edge_of_another_point_stands_where_that_one_has_acted() -> None:
    """A high-high above a high that waits for a minute: the high has acted 0.6 m3 later, 191 mm over its own edge."""
    other = {"Y": small.switch("rising", issued="2 m", on_delay="1 min")}
    found = judged("rising", {"above": "Y", "by": "50 mm"}, issued="2.5 m", others=other)
    assert limit(found) == pytest.approx(2.0 + 0.010 + 60 * UP + 0.050 + 0.010)
    falling = {"Y": small.switch("falling", issued="1 m", on_delay="1 min")}
    assert limit(judged("falling", {"below": "Y", "by": "50 mm"}, issued="0.5 m", others=falling)) == \
        pytest.approx(1.0 - 0.010 - 60 * DOWN - 0.050 - 0.010)
    early = judged("rising", {"before": "Y", "time": "1 min"}, issued="1 m", others=other)
    assert limit(early) == pytest.approx(2.0 - 0.010 - 60 * UP - 0.010)  # its earliest edge, which waits for nothing


def test_what_cannot_be_known_says_what_is_missing() -> None:
    still = {"in": STREAMS["in"]}
    found = judged("falling", {"above": "coil"}, streams=still, keys={"on_delay": "3 s"})
    assert "no stream leaves" in why(found).why
    assert limit(judged("falling", {"above": "coil"}, streams=still)) == pytest.approx(0.815)
    silent = judged("falling", {"above": "coil"}).limit
    assert isinstance(silent, Record) and "response of LX-1 is not recorded and not counted" in silent.note
    waits = judged("rising", {"above": "Y"}, streams={"out": STREAMS["out"]},
                   others={"Y": small.switch("rising", issued="2 m", on_delay="1 min")}).limit
    assert isinstance(waits, Absence) and "no stream enters" in waits.why


# ---- the record ----------------------------------------------------------------------------------------------------


def worked(**keys: Any) -> Results:
    point = small.switch("rising", {"below": "overflow", "by": "100 mm"}, {"before": "overflow", "time": "5 min"},
                         issued="2.5 m", on_delay="3 min", **keys)
    return small.worked(switches={"X": point}, streams=STREAMS, tanks={"T-1": small.tank(marks=MARKS)},
                        instruments={"LX-1": small.body(response_time="4 s")})


def test_the_record_shows_each_time_with_its_source_and_can_be_done_again() -> None:
    results = worked()
    for need in results.setpoints["X"].needs:
        assert isinstance(need.limit, Record)
        shown = {one.symbol: (one.name, one.value, one.source) for one in need.limit.inputs}
        assert (shown["t_d"][:2], shown["t_r"][:2]) == (("on-delay of X", 180.0), ("response of LX-1", 4.0))
        assert isinstance(shown["t_d"][2], Place) and isinstance(shown["t_r"][2], Place)
        assert shown["Q"][1:] == (0.010, "#T-1/filling")
        assert r"\left( t_r + t_d \right)" in need.limit.equation
        assert redone(need.limit, results.tanks["T-1"].vessel) == pytest.approx(need.limit.value, abs=1e-9)


def test_act_and_reset_bands_stay_heights() -> None:
    quick = small.worked(switches={"X": small.switch("rising", issued="2.5 m")}, streams=STREAMS)
    slow = small.worked(switches={"X": small.switch("rising", issued="2.5 m", on_delay="3 min")}, streams=STREAMS)
    assert quick.setpoints["X"].act == slow.setpoints["X"].act


def test_headroom_counts_the_same_times() -> None:
    """Edge 2.515 m. Below 3.4 m after 184 s: 0.885 m of pi m2 in 184 s; before 3.5 m: 0.985 m in 484 s, which is less."""
    most = room(worked(), "X", "largest inflow")
    assert at(most) == pytest.approx(0.985 * math.pi / 484)
    limited = small.worked(
        switches={"X": small.switch("rising", {"below": "overflow", "by": "100 mm"}, issued="2.5 m", on_delay="3 min")},
        streams=STREAMS)
    assert at(room(limited, "X", "largest inflow")) == pytest.approx(0.885 * math.pi / 180)


def test_headroom_of_a_reserve_loses_what_leaves_while_the_point_waits() -> None:
    """Edge 1.985 m over 0.8 m: 1.185 pi m3. It lasts 15 min and 3 min pass before: Q = V / 1080 s, nothing else leaves."""
    keys = {"issued": "2 m", "on_delay": "3 min"}
    one = small.switch("falling", {"lasts": "15 min", "of": "out", "above": "coil"}, **keys)
    drawn = small.worked(switches={"X": one}, streams=STREAMS, tanks={"T-1": small.tank(marks=MARKS)})
    assert at(room(drawn, "X", "largest flow of stream")) == pytest.approx(1.185 * math.pi / 1080)
    assert at(room(drawn, "X", "largest outflow")) == pytest.approx(1.185 * math.pi / 1080)
    beside = STREAMS | {"other": small.stream("T-1", "outside", "7.2 m3/h")}
    shared = small.worked(switches={"X": one}, streams=beside, tanks={"T-1": small.tank(marks=MARKS)})
    assert at(room(shared, "X", "largest flow of stream")) == pytest.approx((1.185 * math.pi - 0.002 * 180) / 1080)
