"""Starts of pumps while one of them is out of service, against handbooks, a minimiser of another library, and steps of time."""

import pytest
from scipy.optimize import minimize_scalar

from generator.model.record import Absence, Record
from tests.compute.redone import redone
from tests.compute.test_cycling import pit, stepped, value


def test_where_none_takes_its_place_the_start_of_a_pump_that_is_out_starts_nothing() -> None:
    """The second alone from its own start, 0.72 m of 7 m2: 36 / (4 x 5.04) an hour, at half its flow (EI 11C201, chapter 7)."""
    for arrangement in ("duty/assist", "duty/duty"):
        found = pit(largest=30.0, arrangement=arrangement).cycling["LC-1"].each[1]
        assert value(found.starts) * 3600 == pytest.approx(36 / 4 / 5.04)
        assert (found.out, found.running, found.leads) == ("P-1", 1, False)
        assert found.joining == found.starts  # what the rule of the pumps that join judges
        assert isinstance(found.starts, Record)
        assert "while P-1 is out of service, whose start then starts nothing" in found.starts.note
        assert redone(found.starts, None) == pytest.approx(found.starts.value)
    assert stepped(18.0, (1.585, 1.635), (0.0, 36.0))[1] == pytest.approx(36 / 4 / 5.04, abs=0.06)  # second way


def test_of_three_pumps_without_a_spare_the_two_that_are_left_start_at_their_own_starts() -> None:
    """70 m3/h never need the third of three; with the first out 5.04 and 1.4 m3, with the second 4.69 and 1.75 m3."""
    made = pit(starts=(1.585, 1.635, 1.835), flows=(36.0, 36.0, 36.0), largest=70.0, arrangement="duty/assist").cycling["LC-1"]
    left = {out: minimize_scalar(lambda q, one=one, two=two: one / q + two / (q - 36) + 6.44 / (72 - q),
                                 bounds=(36.01, 70), method="bounded", options={"xatol": 1e-10}).fun
            for out, (one, two) in (("P-1", (5.04, 1.4)), ("P-2", (4.69, 1.75)))}
    worst = min(left, key=lambda out: left[out])
    assert value(made.each[2].starts) * 3600 == pytest.approx(1 / left[worst], rel=1e-6)
    assert (made.each[2].out, made.each[2].running) == (worst, 2)
    assert isinstance(made.stages[1].shortest_cycle, Absence)


def test_a_standby_takes_the_place_of_a_pump_that_is_out_however_many_starts_there_are() -> None:
    """As if they took turns: 30 and 45 m3/h alone make Q / 4 V, together the worse order counts; by another library."""
    made = pit(flows=(30.0, 45.0), arrangement="duty/standby").cycling["LC-1"]
    shortest = min(minimize_scalar(lambda q, first=first: 4.69 / q + 0.35 / (q - first) + 5.04 / (75 - q),
                                   bounds=(first + 0.01, 60), method="bounded", options={"xatol": 1e-10}).fun
                   for first in (30.0, 45.0))
    assert [value(one.starts) * 3600 for one in made.each] == [pytest.approx(1 / shortest, rel=1e-5)] * 2
    assert all(one.leads and not one.out for one in made.each)
    fixed = pit(flows=(30.0, 45.0), arrangement="duty/assist").cycling["LC-1"]
    assert [one.leads for one in fixed.each] == [True, False]


def test_the_need_of_a_further_start_counts_the_pump_before_it_out() -> None:
    """1.75 m3 to the first start, 40 m3/h at most. Both running ask for (1/2.9 - 1.75/40 - 1.75/32) / (1/4 + 1/32) = 0.876 m3
    more; the second alone for 36 / (4 x 2.9) = 3.103 m3 from the stop, which is 1.353 m3 more and 1.3583 m."""
    asked = pit(starts=(1.165, 1.635), largest=40.0, need={"cycling": "P-2", "above": "LSL-1"}, arrangement="duty/assist")
    limit = asked.setpoints["LSH-2"].needs[0].limit
    assert isinstance(limit, Record) and limit.value == pytest.approx(0.915 + 36 / 4 / 2.9 / 7, abs=1e-6)
    assert "while P-1 is out" in limit.note and "the start of P-1 starts nothing" in limit.note
    assert redone(limit, asked.tanks["T-1"].vessel) == pytest.approx(limit.value, rel=1e-9)
    there = pit(starts=(1.165, limit.value), largest=40.0, arrangement="duty/assist").cycling["LC-1"].each[1]
    assert value(there.starts) * 3600 == pytest.approx(2.9, rel=1e-6)
    spared = pit(starts=(1.165, 1.635), largest=40.0, need={"cycling": "P-2", "above": "LSL-1"}, arrangement="duty/standby")
    joint = spared.setpoints["LSH-2"].needs[0].limit
    assert isinstance(joint, Record) and joint.value == pytest.approx(1.165 + 0.876 / 7, abs=5e-4)
