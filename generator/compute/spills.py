"""Filling of a tank while another one overflows into it, and the times that alarms and trips then leave.

The worst rate counts an overflow path only where a declared case names it: it runs after another tank's own layers have
failed. When it does run, the times at the worst rate are too long, so both are told. The rate is the overflow path at its
highest with every other inflow that can run beside it, nothing leaving. Not told is an overflow that only gives back what
is taken from the same tank, and one that makes no faster filling than the worst rate.
"""

from collections.abc import Iterator, Mapping

from generator.compute.book import Book
from generator.compute.causes import Direction
from generator.compute.liquid_effects import STARTED, STOPPED
from generator.compute.rates import most_together
from generator.model.margin import Spill, SpilledTime
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import TankResult
from generator.model.scalar import Tag


def spills(plant: Definitions, tank: str, worst: Outcome, book: Book) -> tuple[Spill, ...]:
    """The overflows that fill a tank faster than its worst rate does."""
    made = []
    for tag in plant.inflows_of[tank]:
        stream = plant.streams[tag]
        if not stream.by_overflow or stream.from_ == tank or stream.from_ not in plant.tanks or _gives_back(plant, tag):
            continue
        beside = [other for other in plant.inflows_of[tank] if not plant.streams[other].by_overflow
                  and plant.streams[other].from_ != tank and not any({tag, other} <= set(rule.streams)
                                                                     for rule in plant.never_together)]
        runs = [tag, *most_together(plant, beside, lambda one: plant.streams[one].flow.highest.si)]
        inputs = [Input(f"Q_{{{number}}}", f"flow of {plant.streams[one].name}", plant.streams[one].flow.highest.si, "flow",
                        plant.streams[one].flow.highest.place) for number, one in enumerate(runs, 1)]
        value = sum(one.value for one in inputs)
        if isinstance(worst, Record) and value <= worst.value * (1 + 1e-9):
            continue
        rate = book.record(
            f"#{tank}/filling-by/{tag}", f"Filling of {tank} while {stream.from_} overflows into it", value, "flow",
            "Q = " + " + ".join(one.symbol for one in inputs), inputs,
            note=" + ".join(f"{plant.streams[one].name} at {plant.streams[one].flow.highest.written}" for one in runs)
            + ", nothing leaves; not in the worst rate, which is that of the declared cases")
        made.append(Spill(str(stream.from_), str(tag), rate))
    return tuple(made)


def _gives_back(plant: Definitions, tag: Tag) -> bool:
    """Whether all that fills the tank above comes from the tank that its overflow enters."""
    stream = plant.streams[tag]
    fills = [one for one in plant.inflows_of[stream.from_] if not plant.streams[one].by_overflow]
    return bool(fills) and all(plant.streams[one].from_ == stream.into for one in fills)


def times(
    tank: TankResult, direction: Direction, outcomes: tuple[Outcome | None, ...], book: Book,
) -> Iterator[SpilledTime]:
    """The same times while another tank overflows into this one: nothing for a level that falls."""
    for spill in tank.spills if direction == "rising" and tank.vessel is not None else ():
        assert tank.vessel is not None
        yield SpilledTime(spill, tuple(_faster(tank, spill, one, book) for one in outcomes))


def _faster(tank: TankResult, spill: Spill, outcome: Outcome | None, book: Book) -> Outcome | None:
    """A time between two heights, less the delays in it, at the rate of a spill; an absence stays what it is."""
    if not isinstance(outcome, Record) or not isinstance(spill.rate, Record) or tank.vessel is None:
        return outcome
    inputs = tuple(spill.rate.as_input("Q") if one.symbol == "Q" else one for one in outcome.inputs)
    heights = [one.value for one in inputs if one.dimension == "length"]
    delays = sum(one.value for one in inputs if one.dimension == "time")
    volume = abs(tank.vessel.volume_at(heights[1]) - tank.vessel.volume_at(heights[0]))
    is_there = outcome.value <= 0 and "h_{limit}" in {one.symbol for one in inputs}
    value = 0.0 if is_there else volume / spill.rate.value - delays
    key, name = f"{outcome.key}/filling-by/{spill.stream}", f"{outcome.name} while {spill.source} overflows into {tank.tag}"
    return book.record(key, name, max(0.0, value), "time", outcome.equation, inputs,
                       validity="the overflow path at its highest with what can run beside it; nothing leaves",
                       note=outcome.note if value <= 0 else "")


def is_stopped(plant: Definitions, spill: Spill, then: Mapping[Tag, str]) -> bool:
    """Whether what an interlock does ends a spill: it shuts what runs over, or starts at least as much out of the tank.

    What it does to the inflows of the tank above counts where it stops every one of them.
    """
    stream = plant.streams[Tag(spill.stream)]
    stopped = {one for target, state in then.items() if state in STOPPED for one in plant.streams_of[target]}
    started = {one for target, state in then.items() if state in STARTED for one in plant.streams_of[target]
               if plant.streams[one].from_ == stream.into}
    fills = {one for one in plant.inflows_of[stream.from_] if not plant.streams[one].by_overflow}
    drawn = sum((plant.streams[one].flow.lowest or plant.streams[one].flow.highest).si for one in started)
    return spill.stream in stopped or fills <= stopped or drawn >= stream.flow.highest.si
