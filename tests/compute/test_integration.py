"""Times and levels in tanks whose area changes, against scipy's integrator: it knows dh/dt = Q / A(h) and nothing of volumes."""

import math
from collections.abc import Callable

import pytest
from pydantic import TypeAdapter
from scipy.integrate import solve_ivp

from generator.compute import geometry, travel
from generator.compute.cycle_times import cycle_time
from generator.model.results import Vessel
from generator.model.shape import Shape

Area = Callable[[float], float]


def lying(depth: float) -> float:
    """Surface of a lying cylinder of 2 m by 5 m: chord times length."""
    return 5.0 * 2.0 * math.sqrt(max(0.0, depth * (2.0 - depth)))


def ball(depth: float) -> float:
    """Surface of a sphere of 3 m."""
    return math.pi * max(0.0, depth * (3.0 - depth))


def funnel(depth: float) -> float:
    """Surface of an upright tank of 2 m on a cone 1.5 m deep."""
    return math.pi * min(depth / 1.5, 1.0) ** 2


CASES: tuple[tuple[dict[str, str], Area, float], ...] = (
    ({"kind": "horizontal cylinder", "diameter": "2 m", "length": "5 m"}, lying, 2.0),
    ({"kind": "sphere", "diameter": "3 m"}, ball, 3.0),
    ({"kind": "vertical cylinder", "diameter": "2 m", "height": "2 m", "bottom": "conical", "bottom_depth": "1.5 m"},
     funnel, 3.5),
)


def made(shape: dict[str, str]) -> Vessel:
    vessel = geometry.vessel(TypeAdapter[Shape](Shape).validate_python(shape))
    assert isinstance(vessel, Vessel)
    return vessel


def crossing(area: Area, start: float, end: float, flow: float) -> float:
    """When the level reaches `end` from `start`, by event location."""
    def reached(_time: float, state: list[float]) -> float:
        return state[0] - end

    reached.terminal = True  # type: ignore[attr-defined]  # scipy reads it there
    run = solve_ivp(lambda _time, state: [flow / area(state[0])], (0.0, 1e6), [start], events=reached, rtol=1e-10,
                    atol=1e-12, max_step=200.0)
    return float(run.t_events[0][0])


@pytest.mark.parametrize(("shape", "area", "depth"), CASES, ids=["lying", "sphere", "cone"])
@pytest.mark.parametrize(("from_", "to", "flow"), [(0.15, 0.85, 0.01), (0.4, 0.6, 0.002), (0.9, 0.1, -0.005)])
def test_time_between_two_levels(shape: dict[str, str], area: Area, depth: float, from_: float, to: float, flow: float) -> None:
    vessel = made(shape)
    start, end = depth * from_, depth * to
    ours = travel.time_between(vessel, start + vessel.bottom, end + vessel.bottom, abs(flow),
                               "rising" if flow > 0 else "falling")
    assert ours == pytest.approx(crossing(area, start, end, flow), rel=1e-6)


@pytest.mark.parametrize(("shape", "area", "depth"), CASES, ids=["lying", "sphere", "cone"])
def test_level_after_a_time(shape: dict[str, str], area: Area, depth: float) -> None:
    vessel = made(shape)
    start, flow, time = 0.3 * depth, 0.004, 240.0
    run = solve_ivp(lambda _time, state: [flow / area(state[0])], (0.0, time), [start], rtol=1e-10, atol=1e-12)
    level, was_clipped = travel.level_after(vessel, start + vessel.bottom, flow, time, "rising")
    assert not was_clipped
    assert level - vessel.bottom == pytest.approx(float(run.y[0][-1]), abs=1e-6)


@pytest.mark.parametrize(("shape", "area", "depth"), CASES, ids=["lying", "sphere", "cone"])
def test_a_whole_cycle_of_a_pump(shape: dict[str, str], area: Area, depth: float) -> None:
    vessel = made(shape)
    stop, start, inflow, pump = 0.25 * depth, 0.7 * depth, 0.004, 0.011
    volume = vessel.volume_at(start + vessel.bottom) - vessel.volume_at(stop + vessel.bottom)
    whole = crossing(area, stop, start, inflow) + crossing(area, start, stop, inflow - pump)
    assert cycle_time(volume, pump, inflow) == pytest.approx(whole, rel=1e-6)
