"""Overshoot: how far the level goes past the latest edge of a point until the point has acted, at the worst rate.

    d = |V^-1( V(h_e) + Q (t_r + t_d + ...) ) - h_e|    with - Q for a falling level

Rules that compare edges add it to the edge of the point that the level meets first. What comes after the action (logic, relays,
strokes, drain-down) stands in the time budget of a trip, there called overrun.
"""

from msgspec.structs import replace

from generator.compute import waits
from generator.compute.asked import About
from generator.compute.book import because_of, missing_of
from generator.compute.limits import edge_input
from generator.compute.tanks import no_vessel
from generator.compute.travel import level_of, volume_of, worst_rate
from generator.model.record import Absence, Outcome
from generator.model.results import SetpointResult
from generator.model.scalar import Tag


def with_overshoot(about: About, point: SetpointResult) -> SetpointResult:
    """A point with its overshoot, and with that which other points of its body see: they share its response."""
    wait = waits.of_point(about.plant, point.tag)
    delays = tuple(one for one in wait.times if one.symbol != waits.RESPONSE)
    whole = _overshoot(about, point, wait, "")
    within = whole if delays == wait.times else _overshoot(about, point, replace(wait, times=delays), "-within-body")
    return replace(point, overshoot=whole, overshoot_within_body=within)


def _overshoot(about: About, point: SetpointResult, wait: waits.Wait, word: str) -> Outcome | None:
    """The way of the level during a wait [m]; None where nothing passes or it is not settled where the point acts."""
    if point.act is None or not wait.times:
        return None
    book, rises = about.book, point.acts == "rising"
    key, name = f"#{point.tag}/overshoot{word}", f"What the level goes past {point.tag} until it has acted"
    if word:
        name += f", as the other points of {about.plant.switches[Tag(point.tag)].in_} see it"
    rate, vessel = worst_rate(about.tank, point.acts), about.tank.vessel
    if isinstance(rate, Absence):
        return book.absence(key, name, because_of([rate]), missing_of([rate]))
    if vessel is None:
        return no_vessel(key, name, about.tank.tag, book)
    latest = point.act.high if rises else point.act.low
    edge = edge_input(about.plant, point, latest, "h_e", f"latest edge of {point.tag}")
    if rate.value <= 0:
        return book.record(key, name, 0.0, "length", "d = 0", [rate.as_input("Q")], note="the level does not move this way")
    sign, mark = (1, "+") if rises else (-1, "-")
    level, _ = level_of(vessel, volume_of(vessel, latest) + sign * rate.value * wait.seconds)
    acted = rf"V^{{-1}}\left( V\left( h_e \right) {mark} Q {wait.expression} \right)"
    return book.record(
        key, name, sign * (level - latest), "length", f"d = {acted} - h_e" if rises else f"d = h_e - {acted}",
        [edge, about.vessel_input(), rate.as_input("Q"), *wait.times], validity="worst net rate", note=wait.unrecorded)
