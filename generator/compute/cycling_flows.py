"""What a start-and-stop control moves, and the flow that it works against."""

from collections.abc import Callable

from msgspec import Struct

from generator.compute.book import Book, given
from generator.compute.rates import most_together
from generator.model.interlock import StartStop
from generator.model.plant import Definitions
from generator.model.quantity import Flow
from generator.model.record import Input, Outcome
from generator.model.scalar import Tag


class Draw(Struct, frozen=True):
    """One pump or valve that a control moves, with its flow [m3/s]."""

    tag: Tag
    flow: Input


def empties(plant: Definitions, control: StartStop) -> bool | None:
    """Whether the control draws the level down; None where its first start is no level point."""
    point = plant.switches.get(control.starts[0])
    return None if point is None else point.acts == "rising"


def draws(plant: Definitions, control: StartStop) -> tuple[Draw, ...]:
    """The pumps of a control in the order of starting; for a valve the streams through it. Empty for anything else.

    Where the pumps take turns by themselves the largest stands first, since it starts most often.
    """
    moves = control.moves
    pumps = [tag for tag in (plant.members_of(moves) or (moves,)) if tag in plant.pumps]
    if pumps:
        group = plant.pump_groups.get(moves)
        if group is not None and group.alternation:
            pumps.sort(key=lambda tag: -plant.pumps[tag].flow.si)
        return tuple(Draw(tag, given(plant.pumps[tag].flow, "Q_p", f"flow of {tag}")) for tag in pumps)
    streams = [tag for tag, stream in plant.streams.items() if moves in stream.through]
    if not streams:
        return ()
    total = sum(plant.streams[tag].flow.highest.si for tag in streams)
    place = plant.streams[streams[0]].flow.place_of("highest")
    return (Draw(moves, Input("Q_p", f"flow through {moves}", total, "flow", place)),)


def changes_places(plant: Definitions, control: StartStop, pumps: tuple[Draw, ...]) -> bool:
    """Whether any pump of a control may stand in any place: the group takes turns, or a spare takes the place of one that is out.

    Only an arrangement with a standby, or a pump more than there are starts, lets another take the place of a pump. Elsewhere
    each start belongs to its pump, and the start of one that is out starts nothing.
    """
    group = plant.pump_groups.get(control.moves)
    return group is not None and len(pumps) > 1 and (
        group.alternation or "standby" in group.arrangement or len(pumps) > len(control.starts))


def flow_span(plant: Definitions, control: StartStop, book: Book, key: str) -> tuple[Outcome, Outcome]:
    """Least and largest flow that the control works against: the inflow, or for a filling control the demand.

    The largest adds up all streams that can run together. The least is that of the operating case with the least, or
    without cases of the smallest stream; a stream without a lowest flow counts as nothing.
    """
    emptying = empties(plant, control)
    word = "inflow" if emptying is not False else "demand"
    own = {control.moves, *plant.members_of(control.moves)}
    found = plant.inflows_of[control.tank] if emptying is not False else plant.outflows_of[control.tank]
    streams = [tag for tag in found if not plant.streams[tag].by_overflow and plant.streams[tag].moved_by not in own]
    least_key, largest_key = f"{key}/least-{word}", f"{key}/largest-{word}"
    names = f"least {word} of {control.tank}", f"largest {word} of {control.tank}"
    if not streams:
        why = f"no stream {'enters' if word == 'inflow' else 'leaves'} {control.tank}"
        missing = (f"streams: one {'into' if word == 'inflow' else 'from'} {control.tank}",)
        return book.absence(least_key, names[0], why, missing), book.absence(largest_key, names[1], why, missing)
    together = most_together(plant, streams, _flow(plant, "highest"))
    largest = _sum(plant, book, largest_key, names[1], [(tag, plant.streams[tag].flow.highest) for tag in together])
    cases = [[tag for tag in case.streams if tag in streams] for case in plant.cases.values()]
    sets = [case for case in cases if case] or [[tag] for tag in streams]
    quietest = min(sets, key=lambda tags: sum(_flow(plant, "lowest")(tag) for tag in tags))
    lowest = [(tag, flow) for tag in quietest if (flow := plant.streams[tag].flow.lowest) is not None]
    return _sum(plant, book, least_key, names[0], lowest), largest


def _flow(plant: Definitions, which: str) -> Callable[[Tag], float]:
    def flow(tag: Tag) -> float:
        found: Flow | None = getattr(plant.streams[tag].flow, which)
        return 0.0 if found is None else found.si

    return flow


def _sum(plant: Definitions, book: Book, key: str, name: str, flows: list[tuple[Tag, Flow]]) -> Outcome:
    inputs = [given(flow, f"Q_{{{number}}}", f"flow of {plant.streams[tag].name}") for number, (tag, flow) in enumerate(flows, 1)]
    equation = "Q = " + (" + ".join(one.symbol for one in inputs) or "0")
    note = "" if inputs else "No lowest flow is recorded; it can be nothing."
    return book.record(key, name, sum(one.value for one in inputs), "flow", equation, inputs, note=note)
