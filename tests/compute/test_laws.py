"""Laws that hold whatever the figures: volumes grow, times add up, a cycle is symmetric about half of the pump's flow."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from pydantic import TypeAdapter

from generator.compute import geometry, motors, submergence, suction_head, travel
from generator.compute.cycle_times import cycle_time, staged_cycle_time, worst_inflow
from generator.compute.cycles import cycle_volume
from generator.model.results import Vessel
from generator.model.shape import Shape

SHAPES = (
    {"kind": "vertical cylinder", "diameter": "2 m", "height": "3 m", "bottom": "conical", "bottom_depth": "1 m"},
    {"kind": "horizontal cylinder", "diameter": "2 m", "length": "5 m", "ends": "2:1 ellipsoidal"},
    {"kind": "sphere", "diameter": "3 m"},
    {"kind": "rectangular basin", "length": "3 m", "width": "2 m", "height": "4 m"},
)
VESSELS = [made for shape in SHAPES
           if isinstance(made := geometry.vessel(TypeAdapter[Shape](Shape).validate_python(shape)), Vessel)]
positive = some.floats(1e-3, 1e3)
share = some.floats(0.02, 0.98)
depths = some.floats(0.0, 1.0)
vessels = some.sampled_from(VESSELS)


def height(vessel: Vessel, depth: float) -> float:
    return vessel.bottom + depth * (vessel.top - vessel.bottom)


def test_every_shape_is_worked_out() -> None:
    assert len(VESSELS) == len(SHAPES)


@given(vessels, depths, depths)
def test_volumes_grow_with_height_and_levels_with_volume(vessel: Vessel, one: float, other: float) -> None:
    low, high = height(vessel, min(one, other)), height(vessel, max(one, other))
    assert vessel.volume_at(low) <= vessel.volume_at(high) + 1e-9
    assert vessel.level_at(vessel.volume_at(low)) <= vessel.level_at(vessel.volume_at(high)) + 1e-6


@given(vessels, depths, depths, depths, positive)
def test_times_add_up(vessel: Vessel, one: float, two: float, three: float, rate: float) -> None:
    low, middle, high = (height(vessel, depth) for depth in sorted((one, two, three)))
    whole = travel.time_between(vessel, low, high, rate, "rising")
    parts = travel.time_between(vessel, low, middle, rate, "rising") + travel.time_between(vessel, middle, high, rate, "rising")
    assert parts == pytest.approx(whole, rel=1e-9, abs=1e-9)
    assert travel.time_between(vessel, high, low, rate, "falling") == pytest.approx(whole, rel=1e-12, abs=1e-12)
    assert travel.time_between(vessel, high, low, rate, "rising") == pytest.approx(0, abs=1e-9)


@given(vessels, some.floats(0.05, 0.95), share)
def test_there_and_back_again(vessel: Vessel, depth: float, part: float) -> None:
    here = height(vessel, depth)
    time = part * (vessel.capacity - vessel.volume_at(here)) / 0.01
    up, clipped = travel.level_after(vessel, here, 0.01, time, "rising")
    back, again = travel.level_after(vessel, up, 0.01, time, "falling")
    assert not clipped and not again
    assert back == pytest.approx(here, abs=1e-6)


@given(positive, positive, share)
def test_a_cycle_is_symmetric_about_half_of_the_flow_and_shortest_there(volume: float, pump: float, part: float) -> None:
    cycle = cycle_time(volume, pump, pump * part)
    assert cycle == pytest.approx(cycle_time(volume, pump, pump * (1 - part)), rel=1e-9)
    assert cycle >= cycle_time(volume, pump, pump / 2) * (1 - 1e-12)
    assert cycle_time(2 * volume, pump, pump * part) == pytest.approx(2 * cycle, rel=1e-9)


@given(positive, positive, share)
def test_volume_for_a_cycle_gives_that_cycle(cycle: float, pump: float, part: float) -> None:
    volume = cycle_volume(pump, cycle, pump * part)
    worst = min(part, 0.5) * pump  # above half the worst flow has passed already
    assert cycle_time(volume, pump, worst) == pytest.approx(cycle, rel=1e-9)


@settings(max_examples=40)
@given(some.lists(some.floats(0.1, 10), min_size=2, max_size=3), some.floats(0.01, 0.1), share)
def test_no_inflow_makes_a_staged_group_start_more_often_than_the_worst(
    volumes: list[float], flow: float, part: float,
) -> None:
    flows = [flow] * len(volumes)
    bottom, top = flow * (len(volumes) - 1), flow * len(volumes)
    worst = worst_inflow(volumes, flows, 0.0, top)
    assert worst is not None and bottom < worst < top
    other = bottom + part * (top - bottom)
    assert staged_cycle_time(volumes, flows, worst) <= staged_cycle_time(volumes, flows, other) * (1 + 1e-6)


@given(some.floats(0.05, 1.0), some.floats(0.0, 1.0), some.floats(1.01, 2.0))
def test_submergence_grows_with_the_flow_and_is_never_below_the_diameter(bell: float, flow: float, more: float) -> None:
    depth = submergence.minimum_submergence(bell, flow)
    assert depth >= bell
    assert submergence.minimum_submergence(bell, flow * more) >= depth


@given(some.floats(5e4, 2e5), some.floats(0, 4e4), some.floats(700, 1400), some.floats(-5, 10), some.floats(0, 2))
def test_suction_head_rises_with_the_level_one_to_one_and_falls_with_the_loss(
    air: float, vapour: float, density: float, level: float, loss: float,
) -> None:
    head = suction_head.head_available(air, vapour, density, level, 0.3, loss)
    assert suction_head.head_available(air, vapour, density, level + 1, 0.3, loss) == pytest.approx(head + 1)
    assert suction_head.head_available(air, vapour, density, level, 0.3, loss + 1) == pytest.approx(head - 1)
    assert suction_head.head_available(air, air, density, level, 0.3, 0.0) == pytest.approx(level - 0.3)  # boiling


@given(positive, some.floats(100, 700), some.floats(0.4, 1.0), some.floats(0.4, 1.0))
def test_three_phases_need_less_current_by_the_root_of_three(power: float, volts: float, eta: float, cosine: float) -> None:
    three, one = (motors.full_load_current(power, volts, eta, cosine, phases) for phases in (3, 1))
    assert one / three == pytest.approx(3**0.5)
    assert 3**0.5 * volts * three * eta * cosine == pytest.approx(power)


@pytest.mark.parametrize("wrong", [
    (-1, 0.9, 0.9, 3), (400, 0, 0.9, 3), (400, 88, 0.9, 3), (400, 0.9, 1.2, 3), (400, 0.9, 0, 3), (400, 0.9, 0.9, 2)])
def test_a_motor_that_cannot_be_is_refused(wrong: tuple[float, float, float, int]) -> None:
    with pytest.raises(ValueError, match=r"\("):
        motors.full_load_current(1000.0, *wrong)


def test_formulas_refuse_what_has_no_meaning() -> None:
    for call in (lambda: cycle_volume(0.0, 600.0), lambda: cycle_volume(0.1, 0.0), lambda: cycle_time(1.0, 0.1, 0.1),
                 lambda: submergence.minimum_submergence(0.0, 0.1), lambda: submergence.minimum_submergence(0.1, -0.1),
                 lambda: suction_head.head_available(1e5, 0.0, 0.0, 1.0, 0.0, 0.0)):
        with pytest.raises(ValueError, match=r".+"):
            call()
