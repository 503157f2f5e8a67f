"""How fast a tank fills and empties: worst and ordinary net rates from its streams.

The worst net filling is the largest over the declared operating cases that feed the tank. In each of them the inflows
count at their highest. An outflow is credited only at its declared lowest, and only in a case that is not the ordinary
one: the worst day begins with the ordinary outflow standing still. An inflow that stands in no case is added to every
case, since nobody excluded it. Without a case that feeds the tank, all inflows that can run together are added up and
nothing leaves. An overflow path is no outflow of the tank that it leaves: it runs only after the event that the rate is
for. In the tank that it enters it is an inflow of the cases that name it, and of no other. Emptying is the same with in
and out exchanged, but that no overflow path is counted on to hold the level. The ordinary rate is that of the ordinary
case which names most of the tank's streams: one that is written for a neighbour and shares a stream with it says
nothing of the others. Where several cases are equally bad, the one is named whose streams all count: a case that also
lets the liquid out by a stream without a lowest flow would be told by half. Of those the one that is written in the file of
the tank: a neighbour's case may name the same streams, but tells of the neighbour's troubles.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Literal

from msgspec import Struct

from generator.compute.book import Book
from generator.model.margin import RateCase
from generator.model.plant import Definitions
from generator.model.quantity import Flow
from generator.model.record import Absence, Input, Outcome
from generator.model.scalar import Tag
from generator.model.tank import OperatingCase, Stream

EXACT_UP_TO = 16
"""Streams that exclude one another are tried in every combination up to this many; beyond, all of them count."""


class Rates(Struct, frozen=True):
    """Net rates of one tank [m3/s], and in words which streams make the worst."""

    filling: Outcome
    emptying: Outcome
    filling_normal: Outcome
    emptying_normal: Outcome
    filling_case: str
    emptying_case: str
    cases: tuple[RateCase, ...]


class _Sum(Struct, frozen=True):
    """Streams that run together: those that move the level and those that hold against it, each with the flow taken.

    `silent` run in the case against the level, but no flow of theirs may be counted on. `is_own` where the case is written
    in the file of the tank; `elsewhere` are its streams of other tanks.
    """

    moving: tuple[tuple[Tag, Flow], ...]
    against: tuple[tuple[Tag, Flow], ...]
    case: str
    silent: tuple[Tag, ...] = ()
    is_own: bool = False
    elsewhere: int = 0

    @property
    def net(self) -> float:
        """What the level moves by. [m3/s]"""
        return sum(flow.si for _, flow in self.moving) - sum(flow.si for _, flow in self.against)


def rates(plant: Definitions, tank: str, book: Book) -> Rates:
    """Net rates of a tank; an absence where streams or flows are missing."""
    into = tuple(tag for tag in plant.inflows_of[tank] if _counts(plant.streams[tag]))
    out_of = tuple(tag for tag in plant.outflows_of[tank] if _counts(plant.streams[tag]))
    named = {tag for case in plant.cases.values() for tag in case.streams}
    filled = tuple(tag for tag in plant.inflows_of[tank]
                   if _counts(plant.streams[tag]) or (tag in named and plant.streams[tag].from_ != tank))
    filling, filling_case, worst_up = _worst(plant, tank, filled, out_of, "filling", book)
    emptying, emptying_case, worst_down = _worst(plant, tank, out_of, into, "emptying", book)
    filling_normal, normal_up = _ordinary(plant, tank, filled, out_of, "filling", book)
    emptying_normal, normal_down = _ordinary(plant, tank, out_of, into, "emptying", book)
    cases = (_case("filling", "worst", worst_up, filling), _case("filling", "ordinary", normal_up, filling_normal),
             _case("emptying", "worst", worst_down, emptying), _case("emptying", "ordinary", normal_down, emptying_normal))
    return Rates(
        filling, emptying, filling_normal, emptying_normal, filling_case, emptying_case, cases,
    )


def _case(direction: Literal["filling", "emptying"], kind: Literal["worst", "ordinary"], total: _Sum | None,
          net: Outcome) -> RateCase:
    """The streams of one net rate, each with the flow taken, for the page."""
    if total is None:
        return RateCase(direction, kind, "", (), (), (), net)
    return RateCase(direction, kind, total.case, tuple((str(tag), flow.si) for tag, flow in total.moving),
                    tuple((str(tag), flow.si) for tag, flow in total.against), tuple(map(str, total.silent)), net)


def _counts(stream: Stream) -> bool:
    return not stream.by_overflow and stream.from_ != stream.into


def _nothing(tank: str, direction: str, key: str, name: str, book: Book) -> Absence:
    verb, preposition = ("enters", "into") if direction == "filling" else ("leaves", "from")
    return book.absence(key, name, f"no stream {verb} {tank}", (f"a stream {preposition} {tank}",))


def _worst(
    plant: Definitions, tank: str, moving: Sequence[Tag], against: Sequence[Tag], direction: str, book: Book,
) -> tuple[Outcome, str, _Sum | None]:
    key, name = f"#{tank}/{direction}", f"Worst net {direction} of {tank}"
    if not moving:
        return _nothing(tank, direction, key, name, book), "", None
    sums = [_of_case(plant, tank, case, moving, against) for case in plant.cases.values() if set(case.streams) & set(moving)]
    worst = max(sums or [_of_all(plant, moving)], key=lambda one: (
        round(one.net, 12), -len(one.silent), one.is_own, -one.elsewhere))
    stands_still = "nothing leaves" if direction == "filling" else "nothing enters"
    words = _words(plant, worst, stands_still)
    note = words if worst.net > 0 else f"{words}; the level does not move this way"
    return _record(plant, key, name, worst, book, note), words, worst


def _of_case(
    plant: Definitions, tank: str, case: OperatingCase, moving: Sequence[Tag], against: Sequence[Tag],
) -> _Sum:
    running = [tag for tag in case.streams if tag in moving]
    undeclared = [tag for tag in moving if not any(tag in other.streams for other in plant.cases.values())]
    possible = [tag for tag in undeclared if not any(_exclude(plant, tag, other) for other in case.streams)]
    running += most_together(plant, possible, _highest(plant))
    credit = [] if case.normal else [tag for tag in case.streams if tag in against]
    lowest = [(tag, plant.streams[tag].flow.lowest) for tag in credit]
    counted = tuple((tag, flow) for tag, flow in lowest if flow is not None and flow.si > 0)
    names = {tag for tag, _ in counted}
    return _Sum(tuple((tag, plant.streams[tag].flow.highest) for tag in running), counted, str(case.name),
                tuple(tag for tag in case.streams if tag in against and tag not in names),
                case.place.file == plant.tanks[Tag(tank)].place.file,
                sum(tag not in moving and tag not in against for tag in case.streams))


def _of_all(plant: Definitions, moving: Sequence[Tag]) -> _Sum:
    together = most_together(plant, moving, _highest(plant))
    return _Sum(tuple((tag, plant.streams[tag].flow.highest) for tag in together), (), "")


def _highest(plant: Definitions) -> Callable[[Tag], float]:
    return lambda tag: plant.streams[tag].flow.highest.si


def _ordinary(
    plant: Definitions, tank: str, moving: Sequence[Tag], against: Sequence[Tag], direction: str, book: Book,
) -> tuple[Outcome, _Sum | None]:
    key, name = f"#{tank}/{direction}-normal", f"Ordinary net {direction} of {tank}"
    if not moving:
        return _nothing(tank, direction, key, name, book), None
    flows = {tag: plant.streams[tag].flow.normal for tag in (*moving, *against)}
    known = {tag: flow for tag, flow in flows.items() if flow is not None}
    own = {*moving, *against}
    cases = [case for case in plant.cases.values() if case.normal and set(case.streams) & set(moving)]
    most = max((len(own & set(case.streams)) for case in cases), default=0)
    cases = [case for case in cases if len(own & set(case.streams)) == most]
    needed = [tag for case in cases for tag in case.streams if tag in flows] or list(moving)
    gaps = tuple(dict.fromkeys(f"streams/{tag}/flow/normal" for tag in needed if tag not in known))
    if gaps:
        return book.absence(key, name, "the ordinary flow of a stream is not given", gaps), None
    sums = [_Sum(_taken(case.streams, moving, known), _taken(case.streams, against, known), str(case.name))
            for case in cases]
    best = max(sums, key=lambda one: one.net, default=None)
    if best is not None and best.net > 0:
        return _record(plant, key, name, best, book, f"ordinary case: {best.case}"), best
    stands_still = "nothing leaves" if direction == "filling" else "nothing enters"
    if best is not None:
        alone = _Sum(best.moving, (), best.case)
        return _record(plant, key, name, alone, book, f"the ordinary case {best.case} does not move the level this way; "
                                               f"counted as if {stands_still}"), alone
    together = most_together(plant, moving, lambda tag: known[tag].si)
    total = _Sum(tuple((tag, known[tag]) for tag in together), (), "")
    return _record(plant, key, name, total, book, stands_still), total


def _taken(streams: Iterable[Tag], group: Sequence[Tag], flows: Mapping[Tag, Flow]) -> tuple[tuple[Tag, Flow], ...]:
    return tuple((tag, flows[tag]) for tag in streams if tag in group)


def _record(plant: Definitions, key: str, name: str, total: _Sum, book: Book, note: str) -> Outcome:
    symbols: list[str] = []
    inputs: list[Input] = []
    for sign, group in (("+", total.moving), ("-", total.against)):
        for tag, flow in group:
            symbol = f"Q_{{{len(inputs) + 1}}}"
            symbols.append(f"{sign} {symbol}")
            inputs.append(Input(symbol, f"flow of {plant.streams[tag].name}", flow.si, "flow", flow.place))
    equation = "Q = " + " ".join(symbols).removeprefix("+ ")
    return book.record(key, name, max(0.0, total.net), "flow", equation, inputs, note=note)


def _words(plant: Definitions, total: _Sum, stands_still: str) -> str:
    moving = " + ".join(f"{plant.streams[tag].name} at {flow.written}" for tag, flow in total.moving)
    against = "".join(f", less {plant.streams[tag].name} at {flow.written}" for tag, flow in total.against)
    against += "".join(f", {plant.streams[tag].name} not counted on" for tag in total.silent)
    case = f" (case: {total.case})" if total.case else ""
    return moving + (against or f", {stands_still}") + case


def largest_inflow(plant: Definitions, tank: str, book: Book) -> Outcome:
    """All that can enter a tank at once, each at its highest, while nothing leaves."""
    key, name = f"#{tank}/largest-inflow", f"Largest inflow of {tank}"
    into = tuple(tag for tag in plant.inflows_of[tank] if _counts(plant.streams[tag]))
    if not into:
        return _nothing(tank, "filling", key, name, book)
    return _record(plant, key, name, _of_all(plant, into), book, "every inflow that can run with the others; nothing leaves")


def carried_by(plant: Definitions, stream: str) -> tuple[Tag, ...]:
    """Pumps, groups and valves that carry a stream."""
    one = plant.streams[Tag(stream)]
    return (*((one.moved_by,) if one.moved_by else ()), *one.through)


def _exclude(plant: Definitions, one: Tag, other: Tag) -> bool:
    return one != other and any({one, other} <= set(rule.streams) for rule in plant.never_together)


def most_together(plant: Definitions, streams: Iterable[Tag], flow: Callable[[Tag], float]) -> list[Tag]:
    """The streams that can run at the same time and carry most together, in the order given.

    Of streams that a rule says never run together, no two are taken.
    """
    streams = list(streams)
    bound = [tag for tag in streams if any(_exclude(plant, tag, other) for other in streams)]
    if len(bound) > EXACT_UP_TO:
        return streams

    def best(rest: tuple[Tag, ...]) -> tuple[Tag, ...]:
        if not rest:
            return ()
        first, others = rest[0], rest[1:]
        with_it = (first, *best(tuple(tag for tag in others if not _exclude(plant, first, tag))))
        without = best(others)
        return with_it if sum(map(flow, with_it)) >= sum(map(flow, without)) else without

    chosen = set(best(tuple(bound)))
    return [tag for tag in streams if tag not in bound or tag in chosen]
