"""Setpoints: required, reachable, proposed and issued height of each point, its bands, and every way to read it.

The required height is what the needs of the binding sense ask for: for a rising point the lowest of the "at most", and
where there are none the highest of the "at least"; for a falling point the other way round. A need that fixes the height
decides where it keeps the limits of all others; where it breaks one, the needs conflict and there is no required height.
The proposed height is the required one rounded to the site's step towards the side that keeps it.
The height that stands is the issued one, else the proposed one; needs of other points are judged by it.
"""

import math
from collections.abc import Mapping
from graphlib import CycleError, TopologicalSorter

from generator.compute import bands, conflicts, needs
from generator.compute.asked import About
from generator.compute.bands import Point
from generator.compute.book import Book, given
from generator.compute.heights import Heights
from generator.compute.inherited import setpoint_step
from generator.compute.needs_of_starts import starts_before
from generator.compute.overshoot import with_overshoot
from generator.compute.reach import differential, reachable
from generator.compute.readings import readings
from generator.model.knowledge import Knowledge
from generator.model.need import Cycling
from generator.model.plant import Definitions
from generator.model.quantity import Length
from generator.model.record import Input, Outcome, Record, value_of
from generator.model.results import NeedResult, SetpointResult, TankResult
from generator.model.scalar import Tag

NAMES = ("before", "above", "below", "covers")
"""Keys of a need under which another point may stand."""


def results(
    plant: Definitions, knowledge: Knowledge, tanks: Mapping[str, TankResult], book: Book,
) -> tuple[dict[str, SetpointResult], tuple[tuple[str, ...], ...]]:
    """Every setpoint, as written in the definitions, and the circles of points that wait for each other's height."""
    waves = {tag: bands.wave(plant, tag, book) for tag in plant.tanks}
    points = {str(tag): bands.point(plant, tag, waves[plant.tank_of(tag)], book) for tag in plant.switches}
    standing = {
        str(tag): given(switch.height.issued, rf"h_{{\text{{{tag}}}}}", f"issued height of {tag}")
        for tag, switch in plant.switches.items() if switch.height.issued is not None
    }
    order, circles = ordered({tag: _waits_for(plant, tag) for tag in points})
    of_tank = {str(tag): Heights(plant, str(tag), tanks[tag], points, standing) for tag in plant.tanks}
    in_circle = {tag: circle for circle in circles for tag in circle}
    made = {}
    for tag in order:
        tank = points[tag].tank
        about = About(plant, knowledge, tanks[tank], of_tank[tank], points[tag], book)
        result = _setpoint(about, in_circle.get(tag, ()))
        if result.is_proposed and isinstance(result.proposed, Record):
            standing[tag] = result.proposed.as_input(rf"h_{{\text{{{tag}}}}}")
        made[tag] = result
    return {str(tag): made[str(tag)] for tag in plant.switches}, circles


def _waits_for(plant: Definitions, tag: str) -> tuple[str, ...]:
    """Points whose height must be worked out before that of a point; an issued height waits for nobody."""
    stated = plant.switches[Tag(tag)].height.needs
    named = [getattr(need, key, None) for need in stated for key in NAMES]
    named += [start for need in stated if isinstance(need, Cycling) and (further := starts_before(plant, tag, need))
              for start in further[1]]
    return tuple(str(name) for name in named
                 if name in plant.switches and plant.switches[Tag(name)].height.issued is None)


def ordered(waits_for: Mapping[str, tuple[str, ...]]) -> tuple[list[str], tuple[tuple[str, ...], ...]]:
    """An order in which each point comes after those it waits for, and the circles in which there is none.

    Each circle opens with the point that is defined first; its points are cut loose from it so that the rest follows.

    >>> ordered({"A": ("B",), "B": ("A",), "C": ("A",)})
    (['A', 'B', 'C'], (('A', 'B'),))
    """
    rest = {tag: set(others) for tag, others in waits_for.items()}
    place = {tag: number for number, tag in enumerate(waits_for)}
    circles: list[tuple[str, ...]] = []
    while True:
        try:
            return list(TopologicalSorter(rest).static_order()), tuple(sorted(circles, key=lambda one: place[one[0]]))
        except CycleError as error:
            circle = error.args[1][:-1][::-1]
            first = min(range(len(circle)), key=lambda number: place[circle[number]])
            circles.append(tuple(circle[first:] + circle[:first]))
            for tag in circle:
                rest[tag] -= set(circle)


def _setpoint(about: About, circle: tuple[str, ...]) -> SetpointResult:
    plant, tag, book, tank = about.plant, about.point.tag, about.book, about.tank
    switch = plant.switches[Tag(tag)]
    step = setpoint_step(plant, tank.tag)
    found = needs.results(about)
    required = _required(about, found, circle, step)
    proposed = _proposed(about, required, found, step)
    issued = switch.height.issued
    standing = value_of(proposed) if issued is None else issued.si
    gap = differential(plant, tag, book)
    source = given(issued, "h", f"issued height of {tag}") if issued else _as_input(proposed)
    read = readings(plant, tag, tank, standing, source, book)
    if source is not None:
        about.point.edge_records(source, gap.as_input("d") if isinstance(gap, Record) else None, book)
    reset = None
    if standing is not None and isinstance(gap, Record):
        reset = about.point.reset(standing, gap.value)
    return with_overshoot(about, SetpointResult(
        tag=tag, tank=tank.tag, acts=switch.acts, required=required, proposed=proposed,
        issued=issued.si if issued else None, stands=standing, is_proposed=issued is None,
        reachable=reachable(plant, tag), as_left=switch.height.as_left.height.si if switch.height.as_left else None,
        error_own=about.point.own, error_common=about.point.common,
        wave=about.point.wave.value if about.point.wave else 0.0, differential=gap,
        act=None if standing is None else about.point.act(standing), reset=reset,
        needs=needs.judged(found, standing, step), elevation=read.elevation, volume=read.volume,
        percent_of_height=read.percent_of_height, percent_of_volume=read.percent_of_volume,
        percent_of_range=read.percent_of_range, current=read.current,
        conflict=conflicts.of_exact(found, step),
    ))


def _as_input(outcome: Outcome) -> Input | None:
    return outcome.as_input("h") if isinstance(outcome, Record) else None


def _binding(found: tuple[NeedResult, ...], point: Point) -> list[NeedResult]:
    """The needs that decide the required height."""
    first, second = ("at most", "at least") if point.acts == "rising" else ("at least", "at most")
    for sense in ("exactly", first, second):
        chosen = [need for need in found if need.sense == sense]
        if chosen:
            return chosen
    return []


def _required(about: About, found: tuple[NeedResult, ...], circle: tuple[str, ...], step: Length | None) -> Outcome:
    tag, book = about.point.tag, about.book
    key, name = f"#{tag}/required", f"Required height of {tag}"
    if circle:
        return book.absence(key, name, f"these heights wait for each other: {', '.join(circle)}",
                            [f"switches/{one}/height/issued" for one in circle])
    chosen = _binding(found, about.point)
    if not chosen:
        return book.absence(key, name, "no need is stated", [f"switches/{tag}/height/needs"])
    gap = book.lacking(key, name, [need.limit for need in chosen])
    if gap is not None:
        return gap
    conflict = conflicts.of_exact(found, step)
    if conflict:
        return book.absence(key, name, conflict, [f"switches/{tag}/height/needs"])
    limits = [need.limit.as_input(f"h_{{{number}}}") for number, need in enumerate(chosen, 1)
              if isinstance(need.limit, Record)]
    values = [limit.value for limit in limits]
    sense = chosen[0].sense
    value = {"at most": min, "at least": max}.get(sense, lambda heights: heights[0])(values)
    inside = ", ".join(limit.symbol for limit in limits)
    choice = "min" if sense == "at most" else "max"
    equation = "h = h_{1}" if len(limits) == 1 else rf"h = \{choice}\left( {inside} \right)"
    tightest = limits[values.index(value)]
    return book.record(key, name, value, "length", equation, limits, note=f"decided by: {tightest.name}")


def _proposed(about: About, required: Outcome, found: tuple[NeedResult, ...], step: Length | None) -> Outcome:
    """The required height, rounded to the step: down where it is an upper limit, up where it is a lower one."""
    tag, book = about.point.tag, about.book
    key, name = f"#{tag}/proposed", f"Proposed height of {tag}"
    if not isinstance(required, Record):
        return book.absence(key, name, required.why, required.missing)
    source = required.as_input(r"h_{\text{required}}")
    if step is None or step.si <= 0:
        return book.record(key, name, required.value, "length", r"h = h_{\text{required}}", [source],
                           note="not rounded: no setpoint step is given")
    sense = _binding(found, about.point)[0].sense
    steps = required.value / step.si
    hair = 1e-6  # a height that is a whole number of steps stays where it is
    if sense == "at most":
        count, equation = math.floor(steps + hair), r"h = s \left\lfloor \frac{h_{\text{required}}}{s} \right\rfloor"
    elif sense == "at least":
        count, equation = math.ceil(steps - hair), r"h = s \left\lceil \frac{h_{\text{required}}}{s} \right\rceil"
    else:
        count, equation = round(steps), r"h = s \cdot \text{round}\left( \frac{h_{\text{required}}}{s} \right)"
        broken = conflicts.broken_at(found, count * step.si, step)
        if broken:
            return book.absence(key, name, f"rounded to the setpoint step it is {count * step.si:.3f} m, and {broken}",
                                [f"switches/{tag}/height/needs"])
    return book.record(key, name, count * step.si, "length", equation, [source, given(step, "s", "setpoint step")])
