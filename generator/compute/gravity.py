"""Streams that gravity moves: the largest flow that the level over their opening can drive."""

import math
from collections.abc import Mapping

from generator.compute.book import Book, given
from generator.compute.overflows import gravity_input
from generator.compute.submergence import STANDARD_GRAVITY
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import TankResult
from generator.model.scalar import Tag

EQUATION = r"Q = C \frac{\pi d^2}{4} \sqrt{2 g \left( h - h_o \right)}"


def opening_flow(diameter: float, head: float, coefficient: float = 0.62) -> float:
    """Flow through an opening under a head.

    Q = C (pi d^2 / 4) sqrt(2 g H)

    Args:
        diameter: Inside diameter of the narrowest place, d. [m]
        head: Level over the outlet, H. [m] Nothing flows under none.
        coefficient: Share of the frictionless flow that passes, C.

    Returns:
        Flow. [m3/s]

    Valid for a free jet or a drowned outlet whose level the head is counted from; C holds all losses of the line.
    Source: Torricelli, any handbook of hydraulics.

    >>> round(opening_flow(0.05, 2.0), 6)
    0.007625
    """
    return coefficient * math.pi * diameter**2 / 4 * math.sqrt(2 * STANDARD_GRAVITY * max(0.0, head))


def results(plant: Definitions, tanks: Mapping[str, TankResult], book: Book) -> dict[str, Outcome]:
    """Largest flow of each stream that states how gravity moves it out of a tank."""
    return {str(tag): _largest(plant, str(tag), tanks, book) for tag, stream in plant.streams.items()
            if stream.gravity is not None and stream.from_ in tanks}


def _largest(plant: Definitions, tag: str, tanks: Mapping[str, TankResult], book: Book) -> Outcome:
    key, name = f"#{tag}/gravity-flow", f"Largest flow that gravity drives, {plant.streams[Tag(tag)].name}"
    stream = plant.streams[Tag(tag)]
    ceiling = tanks[stream.from_].ceiling
    assert stream.gravity is not None
    if not isinstance(ceiling, Record):
        return book.absence(key, name, ceiling.why, ceiling.missing)
    opening, outlet = stream.gravity.opening, stream.gravity.outlet
    share = Input("C", "share of the frictionless flow", stream.gravity.coefficient, "", stream.gravity.place_of("coefficient"))
    value = opening_flow(opening.si, ceiling.value - outlet.si, stream.gravity.coefficient)
    return book.record(key, name, value, "flow", EQUATION, [
        share, given(opening, "d", "opening"), ceiling.as_input("h"), given(outlet, "h_o", "height of the outlet"),
        gravity_input()],
        validity="the tank full to its ceiling; the coefficient holds every loss of the line",
        reference="Torricelli, any handbook of hydraulics")
