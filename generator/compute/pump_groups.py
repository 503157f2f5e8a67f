"""What is left of a group of pumps with its largest out of service, against the largest inflow."""

from collections.abc import Iterator, Mapping

from generator.compute.book import Book, given
from generator.compute.rates import most_together
from generator.model.plant import Definitions
from generator.model.record import Outcome, Record
from generator.model.results import GroupResult
from generator.model.scalar import Tag


def results(plant: Definitions, book: Book) -> Mapping[str, GroupResult]:
    """Every group whose pumps draw from a tank that liquid comes into."""
    return {str(tag): one for tag in plant.pump_groups for one in _group(plant, book, str(tag))}


def _group(plant: Definitions, book: Book, tag: str) -> Iterator[GroupResult]:
    pumps = [one for one in plant.pump_groups[Tag(tag)].pumps if one in plant.pumps]
    tanks = list(dict.fromkeys(str(plant.pumps[one].suction.tank) for one in pumps))
    if len(tanks) != 1 or tanks[0] not in plant.tanks or not plant.inflows_of[tanks[0]]:
        return
    tank = tanks[0]
    flows = [plant.pumps[one].flow for one in pumps]
    inputs = [given(flow, f"Q_{{{number}}}", f"flow of {one}")
              for number, (one, flow) in enumerate(zip(pumps, flows, strict=True), 1)]
    terms = " + ".join(one.symbol for one in inputs)
    capacity = book.record(f"#{tag}/capacity", f"flow of {tag}, all pumps running", sum(flow.si for flow in flows), "flow",
                           f"Q_{{all}} = {terms}", inputs, validity="flows add up; each pump at its duty point")
    largest = max(flows, key=lambda flow: flow.si)
    left = book.record(
        f"#{tag}/one-out", f"flow of {tag} with its largest pump out", capacity.value - largest.si, "flow",
        r"Q_{left} = Q_{all} - Q_{\max}", (capacity.as_input("Q_{all}"), given(largest, r"Q_{\max}", "largest pump")))
    inflow = _largest_inflow(plant, book, tag, tank)
    yield GroupResult(tag, tank, capacity, left, inflow, _spare(book, tag, left, inflow))


def _largest_inflow(plant: Definitions, book: Book, tag: str, tank: str) -> Outcome:
    key, name = f"#{tag}/largest-inflow", f"largest inflow of {tank}"
    members = set(plant.pump_groups[Tag(tag)].pumps)
    streams = [one for one in plant.inflows_of[tank]
               if not plant.streams[one].by_overflow and plant.streams[one].moved_by not in (tag, *members)]
    if not streams:
        return book.absence(key, name, f"no stream enters {tank} but by an overflow", (f"streams: one into {tank}",))
    together = most_together(plant, streams, lambda one: plant.streams[one].flow.highest.si)
    inputs = [given(plant.streams[one].flow.highest, f"Q_{{{number}}}", f"highest flow of {plant.streams[one].name}")
              for number, one in enumerate(together, 1)]
    return book.record(key, name, sum(one.value for one in inputs), "flow",
                       "Q_{in} = " + " + ".join(one.symbol for one in inputs), inputs,
                       validity="all streams into it that can run together")


def _spare(book: Book, tag: str, left: Record, inflow: Outcome) -> Outcome:
    key, name = f"#{tag}/one-out-spare", f"flow of {tag} left over with one pump out"
    lacking = book.lacking(key, name, [inflow])
    if lacking is not None:
        return lacking
    assert isinstance(inflow, Record)
    return book.record(key, name, left.value - inflow.value, "flow", r"\Delta Q = Q_{left} - Q_{in}",
                       (left.as_input("Q_{left}"), inflow.as_input("Q_{in}")))
