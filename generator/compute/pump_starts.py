"""Starts of every pump of a group, over the whole range of the flow against it.

One stop for all ends every cycle, so a pump starts once in each cycle in which it takes part: a duty pump also in those in
which others join it. While a pump may stand in any place, because the group takes turns or one of them is spare, its starts
are those of the worst place. That pumps take turns is no credit here; `alternation` judges that. Where no pump takes the place
of another, the start of one that is out starts nothing, and the next begins at its own: these cycles count too, one pump out.
"""

from collections.abc import Sequence
from itertools import permutations

from msgspec import Struct

from generator.compute.book import Book, because_of, missing_of
from generator.compute.cycle_times import staged_cycle_time, worst_inflow
from generator.compute.cycling_flows import Draw
from generator.model.record import Absence, Outcome, Record

EVERY_ORDER_UP_TO = 4
"""Unequal pumps are tried in every order up to this many; beyond, each in turn begins and the others keep their order."""


class Cycle(Struct, frozen=True):
    """The cycle of a number of pumps: the flow at which it is shortest, and that cycle. `is_idle` where it never comes about.

    `out` is the pump that is out of service meanwhile and leaves its start without one; empty where none is.
    """

    running: int
    worst: Outcome
    shortest: Outcome
    is_idle: bool = False
    out: str = ""


def orders(pumps: Sequence[Draw], one: Draw, count: int) -> list[tuple[Draw, ...]]:
    """The orders in which some of the pumps can start, one of them always among them."""
    if len(pumps) <= EVERY_ORDER_UP_TO:
        return [order for order in permutations(pumps, count) if one in order]
    turned = [(*pumps[at:], *pumps[:at])[:count] for at in range(len(pumps))]
    return [order for order in turned if one in order]


def worst_order(
    pumps: Sequence[Draw], one: Draw, volumes: Sequence[float], least: float, largest: float,
) -> tuple[Draw, ...]:
    """Of these orders the one with the shortest cycle; the first where none has a cycle."""
    found = orders(pumps, one, len(volumes))

    def cycle(order: tuple[Draw, ...]) -> float:
        flows = [pump.flow.value for pump in order]
        worst = worst_inflow(volumes, flows, least, largest) if min(flows) > 0 else None
        bottom, top = sum(flows[:-1]), sum(flows)
        return float("inf") if worst is None or not bottom < worst < top else staged_cycle_time(volumes, flows, worst)

    return min(found, key=cycle)


def governing(cycles: Sequence[Cycle]) -> Cycle | None:
    """The cycle in which a pump starts most often; None where there is none."""
    known = [one for one in cycles if isinstance(one.shortest, Record)]
    return min(known, key=lambda one: one.shortest.value if isinstance(one.shortest, Record) else 0.0, default=None)


def most(book: Book, key: str, name: str, cycles: Sequence[Cycle]) -> Outcome:
    """Most starts of a pump over the cycles in which it takes part. [1/s]"""
    gaps = [one.shortest for one in cycles if not one.is_idle and isinstance(one.shortest, Absence)]
    if gaps:
        why = gaps[0].why if len(gaps) == 1 else because_of(gaps)
        return book.absence(key, name, why, missing_of(gaps))
    worst = governing(cycles)
    if worst is None:
        first = cycles[0].shortest
        assert isinstance(first, Absence)
        return book.absence(key, name, first.why, first.missing)
    assert isinstance(worst.shortest, Record)
    if len(cycles) == 1 and not worst.out:
        return book.record(key, name, 1 / worst.shortest.value, "rate", r"n = \frac{1}{T}", (worst.shortest.as_input("T"),))
    known = [one.shortest.as_input(_symbol(one), f"{one.shortest.name}, {_running(one.running)}")
             for one in cycles if isinstance(one.shortest, Record)]
    inside = ", ".join(rf"\frac{{1}}{{{one.symbol}}}" for one in known)
    return book.record(key, name, 1 / worst.shortest.value, "rate",
                       f"n = {inside}" if len(known) == 1 else rf"n = \max\left( {inside} \right)", known,
                       note=f"most often with {_running(worst.running)}" + (
                           f" while {worst.out} is out of service, whose start then starts nothing" if worst.out else ""))


def _symbol(one: Cycle) -> str:
    return rf"T_{{{one.running},\text{{without {one.out}}}}}" if one.out else f"T_{{{one.running}}}"


def _running(count: int) -> str:
    return "one pump running" if count == 1 else f"{count} pumps running"
