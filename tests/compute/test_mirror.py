"""Turn the tank over, exchange rising and falling, in and out: every limit, slack, band and time turns over with it."""

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from generator.model.record import Record, value_of
from generator.model.results import NeedResult, Results
from tests.compute import small

TOP = 4.0
SHAPES = ({"kind": "vertical cylinder", "diameter": "2 m", "height": "4 m"},
          {"kind": "rectangular basin", "length": "3 m", "width": "1.5 m", "height": "4 m"})
POINTS = ("A", "B", "C", "D")
MARKS = ("m1", "m2", "m3")
OPPOSITE = {"rising": "falling", "falling": "rising", "above": "below", "below": "above", "from": "into",
            "into": "from"}


@st.composite
def needs(draw: st.DrawFn, tag: str) -> dict[str, str]:
    # points name only those before them, so that no circle arises
    level = draw(st.sampled_from([*MARKS, "bottom", "top", *POINTS[: POINTS.index(tag)]]))
    kind = draw(st.sampled_from(["before", "above", "below", "cycling"]))
    if kind == "before":
        rate = draw(st.sampled_from(["worst", "normal"]))
        return {"before": level, "time": f"{draw(st.floats(0, 900)):.1f} s", "rate": rate}
    if kind == "cycling":
        return {"cycling": "P-1", "above": level}
    return {kind: level, "by": f"{draw(st.integers(0, 300))} mm"}


@st.composite
def plants(draw: st.DrawFn) -> dict[str, Any]:
    """A tank with marks, four points on two bodies, flows and a pump, some of the points with an issued height."""
    heights = st.integers(100, 3900)
    points: dict[str, Any] = {}
    for tag in POINTS:
        points[tag] = {
            "in": draw(st.sampled_from(["LX-1", "LX-2"])), "acts": draw(st.sampled_from(["rising", "falling"])),
            "role": "alarm",
            "height": {"needs": draw(st.lists(needs(tag), min_size=1, max_size=3))}, "differential": "20 mm",
        }
        if draw(st.booleans()):
            points[tag]["height"]["issued"] = f"{draw(heights)} mm"
        if draw(st.booleans()):
            points[tag]["on_delay"] = "3 s"
    flow = st.integers(1, 60).map(lambda rate: f"{rate} m3/h")
    streams = {
        tag: small.stream(*ends, draw(flow), flow={"normal": draw(flow)})
        for tag, ends in (("a", ("outside", "T-1")), ("b", ("outside", "T-1")), ("c", ("T-1", "outside")))
    }
    cases = {"quiet": {"name": "quiet", "normal": "yes", "streams": ["a", "c"]}} if draw(st.booleans()) else {}
    if draw(st.booleans()):
        cases["storm"] = {"name": "storm", "streams": ["a", "b", "c"]}
    return {
        "shape": draw(st.sampled_from(SHAPES)), "switches": points, "streams": streams, "cases": cases,
        "marks": {mark: draw(heights) for mark in MARKS}, "waves": draw(st.integers(0, 100)),
        "never_together": [{"streams": ["a", "b"], "because": "one line"}] if draw(st.booleans()) else [],
    }


def results(drawn: dict[str, Any], mirrored: bool) -> Results:
    def height(millimetres: int) -> str:
        return f"{round(TOP * 1000) - millimetres if mirrored else millimetres} mm"

    def level(name: str) -> str:
        return {"bottom": "top", "top": "bottom"}.get(name, name) if mirrored else name

    def need(one: dict[str, str]) -> dict[str, str]:
        named = {key: level(value) if key in ("before", "above", "below") else value for key, value in one.items()}
        if not mirrored or "cycling" in one:
            return named
        return {OPPOSITE.get(key, key): value for key, value in named.items()}

    def point(one: dict[str, Any]) -> dict[str, Any]:
        stands = {"needs": [need(asked) for asked in one["height"]["needs"]]}
        if "issued" in one["height"]:
            stands["issued"] = height(int(one["height"]["issued"].split()[0]))
        acts = OPPOSITE[one["acts"]] if mirrored else one["acts"]
        return one | {"height": stands, "acts": acts}

    streams = {tag: {(OPPOSITE.get(key, key) if mirrored else key): value for key, value in stream.items()}
               for tag, stream in drawn["streams"].items()}
    return small.worked(
        tanks={"T-1": small.tank(drawn["shape"], levels={}, waves={"peak_to_peak": f"{drawn['waves']} mm"}, marks={
            mark: {"height": height(at), "what": "mark"} for mark, at in drawn["marks"].items()})},
        instruments={"LX-1": small.body(), "LX-2": small.body()}, streams=streams, cases=drawn["cases"],
        never_together=drawn["never_together"], switches={tag: point(one) for tag, one in drawn["switches"].items()},
        pumps={"P-1": small.pump(motor={"power": "5 kW", "starts": "10 /h"})},
    )


def same(one: float | None, other: float | None) -> bool:
    return (one is None) == (other is None) and (one is None or one == pytest.approx(other, abs=1e-7))


def turned(height: float | None) -> float | None:
    return None if height is None else TOP - height


def agree(need: NeedResult, other: NeedResult) -> bool:
    senses = {"at most": "at least", "at least": "at most"}
    return (other.sense == senses[need.sense] and same(turned(value_of(need.limit)), value_of(other.limit))
            and same(need.slack, other.slack))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(plants())
def test_mirroring_the_tank_mirrors_every_verdict(drawn: dict[str, Any]) -> None:
    upright, over = results(drawn, False), results(drawn, True)
    for tag in POINTS:
        here, there = upright.setpoints[tag], over.setpoints[tag]
        for need, other in zip(here.needs, there.needs, strict=True):
            assert agree(need, other), (tag, need, other)
        assert same(turned(value_of(here.required)), value_of(there.required))
        assert same(turned(here.stands), there.stands)
        for band, image in ((here.act, there.act), (here.reset, there.reset)):
            assert (band is None) == (image is None)
            if band is not None and image is not None:
                assert same(turned(band.low), image.high)
                assert same(turned(band.high), image.low)
    here, there = upright.tanks["T-1"], over.tanks["T-1"]
    assert same(value_of(here.filling), value_of(there.emptying))
    assert same(value_of(here.emptying_normal), value_of(there.filling_normal))


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(plants())
def test_mirroring_the_tank_mirrors_the_times_between_levels(drawn: dict[str, Any]) -> None:
    heights = [*drawn["marks"].values(), *(int(one["height"]["issued"].split()[0]) for one in drawn["switches"].values()
                                           if "issued" in one["height"])]
    if len(set(heights)) < len(heights):
        return  # two levels at one height have no order that a mirror could turn
    for one in drawn["switches"].values():
        one["height"]["needs"] = []
    upright = {(one.lower, one.upper): one for one in results(drawn, False).tanks["T-1"].intervals}
    over = {(one.lower, one.upper): one for one in results(drawn, True).tanks["T-1"].intervals}
    ends = {"bottom": "top", "top": "bottom"}
    compared = 0
    for (lower, upper), one in upright.items():
        if "lowest level" in lower + upper:
            continue  # the pump stands at the bottom of both
        image = over.get((ends.get(upper, upper), ends.get(lower, lower)))
        if image is not None:
            assert same(value_of(one.rising), value_of(image.falling))
            assert same(value_of(one.falling_normal), value_of(image.rising_normal))
            compared += isinstance(one.rising, Record)
    assert compared >= 2
