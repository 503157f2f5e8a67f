"""Tanks: vessel, capacity, ceiling, working and dead volume, volume table, net rates."""

from generator.compute.book import Book, given
from generator.compute.equations import working
from generator.compute.floors import Body, fault, with_bodies
from generator.compute.geometry import Shapeless, vessel
from generator.compute.inherited import volume_step
from generator.compute.overflows import overflow
from generator.compute.rates import rates
from generator.compute.spills import spills
from generator.model.plant import Definitions
from generator.model.quantity import Length
from generator.model.record import Input, Outcome
from generator.model.results import TankResult, Vessel
from generator.model.scalar import Tag
from generator.model.tank import Levels, Tank

VESSEL_LEVELS = {"overflow": "overflow", "rim": "rim", "lowest_opening": "lowest other opening"}
"""Heights at which liquid can leave, by their key in `levels`, in words."""

PROCESS_LEVELS = {"normal_high": "top of the normal band", "normal_low": "foot of the normal band",
                  "inlet": "invert of the inlet"}
"""Heights that the process fixes, by their key in `levels`, in words."""

MOST_ROWS, MOST_ROWS_AT_A_STEP = 25, 1000


def base(plant: Definitions, tag: str, book: Book) -> TankResult:
    """What one tank gives before its points are known: levels and intervals are still to come."""
    tank = plant.tanks[Tag(tag)]
    bottom = tank.datum.inside_bottom.si if tank.datum.inside_bottom else 0.0
    made = _with_displaced(tank, vessel(tank.shape, bottom))
    shape = made if isinstance(made, Vessel) else None
    flows = rates(plant, tag, book)
    step = volume_step(plant, tag)
    running_over = overflow(plant, tag, shape, book)
    return TankResult(
        tag=tag, vessel=shape, capacity=_capacity(tank, tag, made, book),
        working_volume=_working_volume(tank, tag, shape, book), dead_volume=_dead_volume(plant, tag, shape, book),
        filling=flows.filling, emptying=flows.emptying, filling_normal=flows.filling_normal,
        emptying_normal=flows.emptying_normal, filling_case=flows.filling_case, emptying_case=flows.emptying_case,
        levels=(), intervals=(), volume_table=volume_table(shape, step.si if step else None) if shape else (),
        ceiling=_ceiling(tank, tag, shape, book), cases=flows.cases, overflow_head=running_over.head,
        overflow_capacity=running_over.capacity, overflow_head_by_size=running_over.head_by_size,
        spills=spills(plant, tag, flows.filling, book),
    )


def _with_displaced(tank: Tank, made: Vessel | Shapeless) -> Vessel | Shapeless:
    """The vessel less what stands in it and takes up room."""
    if isinstance(made, Shapeless) or not tank.displaces:
        return made
    bodies = [Body(str(one.what), one.volume.si, one.lowest.si, one.highest.si) for one in tank.displaces.values()]
    why = fault(made, bodies)
    return Shapeless(why, ("displaces",)) if why else with_bodies(made, bodies)


def _capacity(tank: Tank, tag: str, made: Vessel | Shapeless, book: Book) -> Outcome:
    key, name = f"#{tag}/capacity", f"Capacity of {tag}"
    if isinstance(made, Shapeless):
        block = "" if made.missing == ("displaces",) else "shape/"
        return book.absence(key, name, made.why, [f"tanks/{tag}/{block}{field}" for field in made.missing])
    how = working(tank.shape, tank.datum.inside_bottom is not None)
    ends = [given(tank.datum.inside_bottom, r"h_{\text{bottom}}", "inside bottom over the datum")] \
        if tank.datum.inside_bottom else []
    taken = _displaced(tank)
    first, comma, means = how.equation.partition(r", \quad ")
    numbers = range(1, len(tank.displaces) + 1)
    equation = first + "".join(f" - s_{{{number}}} V_{{d{number}}}" for number in numbers) + comma + means + "".join(
        rf", \quad s_{{{number}}} = {_share(number)}" for number in numbers)
    return book.record(key, name, made.capacity, "volume", equation, (*how.inputs, *ends, *taken),
                       reference=how.reference,
                       validity="inside dimensions; what stands in the tank is taken off as far as it is listed"
                       if taken else "inside dimensions; what stands in the tank is not taken off",
                       note=f"the value is that of the {tank.shape.kind} filled to the top; the volume table follows from the "
                            "same equation")


def _share(number: int) -> str:
    """The share of the nth thing in a tank that stands under a height."""
    return rf"\min\left( 1, \max\left( 0, \frac{{h - h_{{d{number}}}}}{{H_{{d{number}}} - h_{{d{number}}}}} \right) \right)"


def _displaced(tank: Tank) -> list[Input]:
    """What takes up room, as inputs: volume, underside and top of each."""
    return [one for number, body in enumerate(tank.displaces.values(), 1) for one in (
        given(body.volume, f"V_{{d{number}}}", f"room of {body.what}"),
        given(body.lowest, f"h_{{d{number}}}", f"underside of {body.what}"),
        given(body.highest, f"H_{{d{number}}}", f"top of {body.what}"))]


def vessel_input(tag: str, vessel: Vessel) -> Input:
    """The vessel as an input of whatever reads a volume from a height or a height from a volume."""
    return Input("V", f"Capacity of {tag}, whose equation gives volume by height", vessel.capacity, "volume",
                 f"#{tag}/capacity")


def no_vessel(key: str, name: str, tag: str, book: Book) -> Outcome:
    """The absence of what needs a vessel where the tank's shape makes none."""
    return book.absence(key, name, "the tank's shape does not give a volume", [f"tanks/{tag}/shape"])


def _ceiling(tank: Tank, tag: str, shape: Vessel | None, book: Book) -> Outcome:
    key, name = f"#{tag}/ceiling", f"Ceiling of {tag}"
    heights = [given(height, f"h_{{{number}}}", words)
               for number, (height, words) in enumerate(_openings(tank.levels), 1)]
    if shape is not None:
        heights.append(Input(r"h_{\text{top}}", "top of the vessel", shape.top, "length", f"#{tag}/capacity"))
    if not heights:
        return book.absence(key, name, "neither an opening nor the shape is known",
                            [f"tanks/{tag}/levels/overflow", f"tanks/{tag}/levels/rim", f"tanks/{tag}/shape"])
    lowest = min(heights, key=lambda one: one.value)
    symbols = ", ".join(one.symbol for one in heights)
    return book.record(key, name, lowest.value, "length", rf"h = \min\left( {symbols} \right)", heights,
                       note=f"lowest height at which liquid leaves: {lowest.name}")


def _openings(levels: Levels) -> list[tuple[Length, str]]:
    pairs = ((getattr(levels, key), words) for key, words in VESSEL_LEVELS.items())
    return [(height, words) for height, words in pairs if height is not None]


def _working_volume(tank: Tank, tag: str, shape: Vessel | None, book: Book) -> Outcome:
    key, name = f"#{tag}/working-volume", f"Working volume of {tag}"
    low, high = tank.levels.normal_low, tank.levels.normal_high
    ends = (("normal_low", low), ("normal_high", high))
    missing = [f"tanks/{tag}/levels/{field}" for field, height in ends if height is None]
    if low is None or high is None:
        return book.absence(key, name, "the normal band is not given", missing)
    if shape is None:
        return no_vessel(key, name, tag, book)
    return book.record(key, name, shape.volume_at(high.si) - shape.volume_at(low.si), "volume",
                       r"V = V(h_{\text{high}}) - V(h_{\text{low}})",
                       [given(high, r"h_{\text{high}}", PROCESS_LEVELS["normal_high"]),
                        given(low, r"h_{\text{low}}", PROCESS_LEVELS["normal_low"]), vessel_input(tag, shape)])


def _dead_volume(plant: Definitions, tag: str, shape: Vessel | None, book: Book) -> Outcome:
    key, name = f"#{tag}/dead-volume", f"Dead volume of {tag}"
    inlets = [(pump, inlet.height) for pump in plant.pumps_of[tag] if (inlet := plant.pumps[pump].inlet) is not None]
    if not inlets:
        return book.absence(key, name, f"no pump draws from {tag}")
    if shape is None:
        return no_vessel(key, name, tag, book)
    pump, lowest = min(inlets, key=lambda one: one[1].si)
    return book.record(key, name, shape.volume_at(lowest.si), "volume", "V = V(h)",
                       [given(lowest, "h", f"height of the inlet of {pump}"), vessel_input(tag, shape)],
                       note="what stays below the lowest pump inlet; the pump may have to stop earlier")


def volume_table(shape: Vessel, step: float | None = None) -> tuple[tuple[float, float, float], ...]:
    """Rows of (height, volume, surface) from bottom to top, at even steps. [m, m3, m2]

    Args:
        shape: The vessel.
        step: Step of height [m]; without one, or where it makes too many rows, 1, 2 or 5 times a power of ten.

    Heights are multiples of the step above the datum, with the bottom and the top added.
    """
    span = shape.top - shape.bottom
    if step is None or step <= 0 or span / step > MOST_ROWS_AT_A_STEP:
        step = next(size for size in (base * 10.0**power for power in range(-3, 4) for base in (1, 2, 5))
                    if span / size <= MOST_ROWS or size == 5000.0)
    heights = [shape.bottom]
    number = int(shape.bottom // step) + 1
    while number * step < shape.top - step * 1e-6:
        if number * step > shape.bottom + step * 1e-6:
            heights.append(round(number * step, 9))
        number += 1
    heights.append(shape.top)
    return tuple((height, shape.volume_at(height), shape.area_at(height)) for height in heights)
