"""Overflows: what they pass at a head, and the head that the largest inflow builds over them."""

import math

from msgspec import Struct

from generator.compute.book import Book, given
from generator.compute.rates import largest_inflow
from generator.compute.submergence import STANDARD_GRAVITY
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import Vessel
from generator.model.scalar import Tag
from generator.model.tank import Overflow

WEIR, ORIFICE = 1.84, 0.6
"""Coefficient of a sharp edge [m^0.5/s], and of an opening that runs full."""
WEIR_VALIDITY = "sharp straight edge over the whole width, air under the jet, no speed towards it"
RIM_VALIDITY = "upright pipe with a sharp open rim far from a wall; the smaller of edge and opening; a rounded rim passes less"
WEIR_REFERENCE = "Francis formula, any handbook of hydraulics (from memory)"


def weir_flow(width: float, head: float) -> float:
    """Flow over a sharp straight edge.

    Q = 1.84 b H^(3/2)

    Args:
        width: Width of the edge, b. [m]
        head: Level over the edge, H. [m]

    Returns:
        Flow. [m3/s]

    Valid for a sharp edge over the whole width of the channel, with air under the jet.
    Source: Francis formula (from memory).

    >>> round(weir_flow(1.0, 0.1), 6)
    0.058186
    """
    return float(WEIR * width * head**1.5)


def weir_head(width: float, flow: float) -> float:
    """Level over a sharp straight edge at a flow: H = (Q / (1.84 b))^(2/3). [m]

    >>> round(weir_head(1.0, 0.0581859), 6)
    0.1
    """
    return float((flow / (WEIR * width)) ** (2 / 3))


def rim_flow(diameter: float, head: float) -> float:
    """Flow into an upright pipe with an open rim: over the rim as over an edge, or through it as through an opening.

    Q = min(1.84 pi d H^(3/2), 0.6 (pi d^2 / 4) sqrt(2 g H))

    Args:
        diameter: Inside diameter, d. [m]
        head: Level over the rim, H. [m]

    Returns:
        Flow. [m3/s]

    Valid for a sharp rim far from walls, with air drawn in freely; a pipe that runs full can pass another flow.
    Source: weir and orifice formulas, any handbook of hydraulics (from memory).

    >>> round(rim_flow(0.3, 0.1), 5)
    0.05484
    """
    opening = ORIFICE * math.pi * diameter**2 / 4 * math.sqrt(2 * STANDARD_GRAVITY * head)
    return min(weir_flow(math.pi * diameter, head), opening)


def rim_head(diameter: float, flow: float) -> float:
    """Level over the rim of an upright pipe at a flow: the larger of what edge and opening ask for. [m]

    >>> round(rim_head(0.3, rim_flow(0.3, 0.1)), 9)
    0.1
    """
    opening = (flow / (ORIFICE * math.pi * diameter**2 / 4)) ** 2 / (2 * STANDARD_GRAVITY)
    return max(weir_head(math.pi * diameter, flow), opening)


class OverflowResult(Struct, frozen=True):
    """Head at the largest inflow and what passes before liquid leaves elsewhere; the same from the size alone.

    All None for a tank without an overflow, `by_size` also where no size is given.
    """

    head: Outcome | None = None
    capacity: Outcome | None = None
    head_by_size: Outcome | None = None


def overflow(plant: Definitions, tag: str, vessel: Vessel | None, book: Book) -> OverflowResult:
    """The overflow of a tank: stated figures where there are any, else those that follow from its size."""
    tank = plant.tanks[Tag(tag)]
    if tank.levels.overflow is None:
        return OverflowResult()
    stated = tank.overflow
    inflow = largest_inflow(plant, tag, book)
    by_size = _head_by_size(tag, stated, inflow, book) if stated and (stated.weir_width or stated.pipe_diameter) else None
    key, name = f"#{tag}/overflow-head", f"Head over the overflow of {tag} at full inflow"
    head: Outcome
    if stated is not None and stated.head_at_full_inflow is not None:
        head = book.record(key, name, stated.head_at_full_inflow.si, "length", "H",
                           [given(stated.head_at_full_inflow, "H", "head at full inflow, as stated")])
    elif isinstance(by_size, Record):
        head = book.record(key, name, by_size.value, "length", "H", [by_size.as_input("H")])
    else:
        head = book.absence(key, name, by_size.why if by_size else "neither the head nor a size is given",
                            by_size.missing if by_size else [f"tanks/{tag}/overflow/head_at_full_inflow"])
    return OverflowResult(head, _capacity(plant, tag, stated, vessel, book), by_size)


def _head_by_size(tag: str, stated: Overflow, inflow: Outcome, book: Book) -> Outcome:
    key, name = f"#{tag}/overflow-head-by-size", f"Head over the overflow of {tag}, from its size"
    if not isinstance(inflow, Record):
        return book.absence(key, name, inflow.why, inflow.missing)
    flow = inflow.as_input("Q")
    if stated.weir_width is not None and stated.weir_width.si > 0:
        return book.record(
            key, name, weir_head(stated.weir_width.si, flow.value), "length",
            r"H = \left( \frac{Q}{1.84 \cdot b} \right)^{\frac{2}{3}}",
            [flow, given(stated.weir_width, "b", "width of the edge")], validity=WEIR_VALIDITY, reference=WEIR_REFERENCE)
    if stated.pipe_diameter is not None and stated.pipe_diameter.si > 0:
        return book.record(
            key, name, rim_head(stated.pipe_diameter.si, flow.value), "length",
            r"H = \max\left( \left( \frac{Q}{1.84 \pi d} \right)^{\frac{2}{3}}, "
            r"\frac{1}{2 g} \left( \frac{4 Q}{0.6 \pi d^2} \right)^2 \right)",
            [flow, given(stated.pipe_diameter, "d", "inside diameter of the pipe"), gravity_input()],
            validity=RIM_VALIDITY, reference=WEIR_REFERENCE)
    return book.absence(key, name, "its size must be more than nothing", [f"tanks/{tag}/overflow"])


def gravity_input() -> Input:
    """Standard gravity."""
    return Input("g", "standard gravity", STANDARD_GRAVITY, "acceleration", "ISO 80000-3")


def _capacity(plant: Definitions, tag: str, stated: Overflow | None, vessel: Vessel | None, book: Book) -> Outcome:
    key, name = f"#{tag}/overflow-capacity", f"What the overflow of {tag} passes"
    if stated is not None and stated.carries is not None:
        return book.record(key, name, stated.carries.si, "flow", "Q", [given(stated.carries, "Q", "as stated")])
    levels = plant.tanks[Tag(tag)].levels
    ways = [given(height, f"h_{{{number}}}", words) for number, (height, words) in enumerate(
        ((levels.rim, "rim"), (levels.lowest_opening, "lowest other opening")), 1) if height is not None]
    if vessel is not None:
        ways.append(Input(r"h_{\text{top}}", "top of the vessel", vessel.top, "length", f"#{tag}/capacity"))
    if stated is None or not (stated.weir_width or stated.pipe_diameter) or not ways or levels.overflow is None:
        return book.absence(key, name, "neither its capacity nor its size is given", [f"tanks/{tag}/overflow/carries"])
    invert = given(levels.overflow, r"h_{\text{o}}", "invert of the overflow")
    head = max(0.0, min(one.value for one in ways) - invert.value)
    room = rf"H = \min\left( {', '.join(one.symbol for one in ways)} \right) - h_{{\text{{o}}}}"
    if stated.weir_width is not None:
        return book.record(key, name, weir_flow(stated.weir_width.si, head), "flow", rf"Q = 1.84 \cdot b H^{{1.5}}, \quad {room}",
                           [given(stated.weir_width, "b", "width of the edge"), *ways, invert],
                           validity=WEIR_VALIDITY, reference=WEIR_REFERENCE)
    assert stated.pipe_diameter is not None
    return book.record(
        key, name, rim_flow(stated.pipe_diameter.si, head), "flow",
        rf"Q = \min\left( 1.84 \pi d H^{{1.5}}, 0.6 \frac{{\pi d^2}}{{4}} \sqrt{{2 g H}} \right), \quad {room}",
        [given(stated.pipe_diameter, "d", "inside diameter of the pipe"), *ways, invert, gravity_input()],
        validity=RIM_VALIDITY, reference=WEIR_REFERENCE)
