"""Possible states of one tank against a level that is moved up and down with devices that have fixed true heights."""

import random
from itertools import product

import pytest

from generator.compute.reachable import Point, Tank
from generator.compute.world import _stretch
from generator.model.results import Band


def point(tag: str, rising: bool, act: tuple[float, float], differential: float, body: str = "", delayed: bool = False) -> Point:
    """A point whose reset band lies a differential behind its act band."""
    back = -differential if rising else differential
    act_band, reset = Band(*act), Band(act[0] + back, act[1] + back)
    return Point(tag, rising, act_band, reset, body or tag, act_band, reset, delayed)


def patterns(points: tuple[Point, ...], bottom: float = 0.0, top: float = 4.0) -> set[frozenset[str]]:
    states = Tank(points, bottom, top).states()
    assert states is not None
    return {state.acted for state in states}


def walked(points: tuple[Point, ...], rounds: int, seed: int) -> set[frozenset[str]]:
    """What real devices show: each with one true act height in its band and its reset a fixed distance behind."""
    chance = random.Random(seed)
    seen: set[frozenset[str]] = set()
    for _ in range(rounds):
        share = {one.tag: chance.random() for one in points}
        act = {one.tag: one.act.low + share[one.tag] * one.act.width for one in points}
        reset = {one.tag: one.reset.low + share[one.tag] * one.reset.width for one in points}
        level, acted = 0.0, {one.tag for one in points if not one.is_rising}
        for _ in range(60):
            target = chance.uniform(0.0, 4.0)
            step = 0.005 if target > level else -0.005
            while abs(target - level) > 0.005:
                level += step
                for one in points:
                    past = level >= act[one.tag] if one.is_rising else level <= act[one.tag]
                    back = level <= reset[one.tag] if one.is_rising else level >= reset[one.tag]
                    if past:
                        acted.add(one.tag)
                    elif back:
                        acted.discard(one.tag)
                seen.add(frozenset(acted))
    return seen


APART = (point("LL", False, (0.49, 0.51), 0.05), point("H", True, (2.49, 2.51), 0.05), point("HH", True, (3.19, 3.21), 0.05))
MEETING = (point("H", True, (2.95, 3.05), 0.2), point("HH", True, (3.0, 3.1), 0.05), point("L", False, (2.85, 2.9), 0.25))


@pytest.mark.parametrize("points", [APART, MEETING], ids=["apart", "meeting"])
def test_nothing_that_devices_show_is_left_out(points: tuple[Point, ...]) -> None:
    assert walked(points, 12, seed=7) <= patterns(points)


def test_points_apart_show_what_their_order_allows_and_nothing_else() -> None:
    assert patterns(APART) == {frozenset({"LL"}), frozenset(), frozenset({"H"}), frozenset({"H", "HH"})}


def test_a_wide_deadband_makes_rising_and_falling_differ() -> None:
    points = (point("A", True, (2.0, 2.02), 1.0), point("B", True, (1.5, 1.52), 0.1))
    assert patterns(points) == {frozenset(), frozenset({"B"}), frozenset({"A", "B"}), frozenset({"A"})}


def test_what_stands_over_the_highest_level_never_acts() -> None:
    assert patterns(APART, top=3.0) == {frozenset({"LL"}), frozenset(), frozenset({"H"})}


def test_the_common_error_of_a_body_keeps_the_order_of_its_points() -> None:
    low = Point("A", True, Band(1.9, 2.1), Band(1.8, 2.0), "LX", Band(1.99, 2.01), Band(1.89, 1.91), False)
    high = Point("B", True, Band(1.95, 2.15), Band(1.85, 2.05), "LX", Band(2.04, 2.06), Band(1.94, 1.96), False)
    assert frozenset({"B"}) not in patterns((low, high))
    apart = (low, Point("B", True, high.act, high.reset, "LY", high.own_act, high.own_reset, False))
    assert frozenset({"B"}) in patterns(apart)


def test_a_delay_runs_and_then_counts() -> None:
    states = Tank((point("A", True, (2.0, 2.02), 0.1, delayed=True),), 0.0, 4.0).states()
    assert states is not None
    assert {(state.acted, state.counted) for state in states} == {
        (frozenset(), frozenset()), (frozenset("A"), frozenset()), (frozenset("A"), frozenset("A"))}


def test_every_combination_of_two_bodies_at_one_height_is_possible() -> None:
    points = (point("A", True, (2.0, 2.1), 0.05), point("B", True, (2.0, 2.1), 0.05))
    assert patterns(points) == {frozenset(tag for tag, on in zip("AB", bits, strict=True) if on)
                                for bits in product((False, True), repeat=2)}


@pytest.mark.parametrize(("low", "high", "words"), [
    (float("-inf"), float("inf"), "anywhere"), (float("-inf"), 2.0, "under 2.00 m"), (2.0, float("inf"), "over 2.00 m"),
    (1.0, 2.0, "between 1.00 m and 2.00 m"), (1.0, 1.004, "between 1.000 m and 1.004 m")])
def test_where_the_level_of_a_counter_example_stands(low: float, high: float, words: str) -> None:
    assert _stretch(low, high) == words
