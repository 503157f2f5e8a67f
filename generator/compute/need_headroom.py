"""Headroom of single needs that rest on one flow: the starts of a pump, a reserve that a stream draws on."""

from collections.abc import Iterator

from generator.compute.book import given
from generator.compute.cycles import REFERENCE, VALIDITY, largest_inflow, largest_pump_flow
from generator.compute.limits import edge_within
from generator.compute.needs import words
from generator.compute.needs_of_starts import starts_before, supplied
from generator.compute.rate_bounds import Bounds, level_of_need
from generator.compute.tanks import vessel_input
from generator.model.margin import Headroom
from generator.model.need import Cycling, Reserve
from generator.model.record import Input, Outcome, Record
from generator.model.results import NeedResult
from generator.model.scalar import Tag


def rows(bounds: Bounds) -> Iterator[Headroom]:
    """Every need of a point that rests on one flow, in the order written."""
    stated = bounds.plant.switches[Tag(bounds.point.tag)].height.needs
    for number, (need, result) in enumerate(zip(stated, bounds.point.needs, strict=True), 1):
        if isinstance(need, Cycling):
            yield from _starts(bounds, need, number, result)
        elif isinstance(need, Reserve):
            yield from _reserve(bounds, need, number, result)


def _reserve(bounds: Bounds, need: Reserve, number: int, result: NeedResult) -> Iterator[Headroom]:
    """The largest flow of the stream for which the reserve still lasts."""
    found = bounds.largest_drawn(need, result)
    if found is None or need.of is None:
        return
    largest, equation, inputs = found
    flow_of = bounds.plant.streams[need.of].name
    today = bounds.book.record(f"#{bounds.point.tag}/headroom/reserve-{number}-counted", f"Highest flow of {flow_of}",
                               bounds.plant.streams[need.of].flow.highest.si, "flow", "Q",
                               [given(bounds.plant.streams[need.of].flow.highest, "Q", f"highest flow of {flow_of}")])
    yield Headroom(f"largest flow of {flow_of}", today, bounds.book.record(
        f"#{bounds.point.tag}/headroom/reserve-{number}", f"Largest flow of {flow_of} for which the reserve lasts",
        max(0.0, largest), "flow",
        equation if largest >= 0 else r"Q = \max\left( " + equation.removeprefix("Q = ") + r", 0 \right)", inputs,
        note=f"breaks first: {words(need)}"), words(need))


def _starts(bounds: Bounds, need: Cycling, number: int, result: NeedResult) -> Iterator[Headroom]:
    """The largest inflow (demand, for a pump that fills) and the largest pump with which the starts stay within limits."""
    plant, book, point, vessel = bounds.plant, bounds.book, bounds.point, bounds.tank.vessel
    if point.act is None or vessel is None or not isinstance(result.limit, Record):
        return
    if starts_before(plant, point.tag, need) is not None:
        return  # the cycle of several pumps rests on all their starts and flows: no single one can be told apart
    flow, starts = (next(one for one in result.limit.inputs if one.symbol == symbol) for symbol in ("Q_p", "n"))
    edge = edge_within(plant, book, point, "low" if bounds.rises else "high", [str(need.above)], "h_{start}",
                       f"earliest edge of {point.tag}")
    stop = Input("h_{stop}", f"edge of {need.above} that faces it", level_of_need(result.limit, not bounds.rises), "length",
                 result.limit.key)
    sign, key = (1 if bounds.rises else -1), f"#{point.tag}/headroom/starts-{number}"
    volume = book.record(f"{key}-volume", f"Volume between {need.above} and {point.tag}",
                         max(0.0, sign * (vessel.volume_at(edge.value) - vessel.volume_at(stop.value))), "volume",
                         r"V = |V(h_{start}) - V(h_{stop})|", [edge, stop, vessel_input(bounds.tank.tag, vessel)])
    members = plant.members_of(need.cycling) or (need.cycling,)
    supply = supplied(plant, bounds.tank.tag, bounds.rises, {need.cycling, *members})
    word = "inflow" if bounds.rises else "demand"
    total = book.record(f"{key}-{word}", f"Largest {word} against {need.cycling}", sum(one.value for one in supply), "flow",
                        "Q_i = " + (" + ".join(one.symbol for one in supply) or "0"), supply)
    yield Headroom(f"largest {word} against {need.cycling}", total, _inflow(bounds, f"{key}-largest-{word}", word, need,
                                                                          (volume, flow, starts)), words(need))
    pump = book.record(f"{key}-pump-counted", flow.name, flow.value, "flow", "Q_p", [flow])
    yield Headroom(f"largest {flow.name}", pump, _pump(bounds, f"{key}-largest-pump", need, (volume, flow, starts), total),
                   words(need))


def _inflow(bounds: Bounds, key: str, word: str, need: Cycling, parts: tuple[Record, Input, Input]) -> Outcome:
    volume, flow, starts = parts
    name = f"Largest {word} at which {need.cycling} starts no more often than it may"
    most = largest_inflow(volume.value, flow.value, 1 / starts.value)
    if most is None:
        return bounds.book.absence(key, name, f"the volume suffices at any {word}, half of the pump's flow included")
    return bounds.book.record(
        key, name, most, "flow", r"Q = \frac{Q_p - \sqrt{Q_p^2 - 4 V Q_p n}}{2}", [volume.as_input("V"), flow, starts],
        validity=VALIDITY, reference=REFERENCE, note=f"breaks first: {words(need)}")


def _pump(bounds: Bounds, key: str, need: Cycling, parts: tuple[Record, Input, Input], total: Record) -> Outcome:
    volume, _, starts = parts
    name = f"Largest pump flow at which {need.cycling} starts no more often than it may"
    most = largest_pump_flow(volume.value, total.value or None, 1 / starts.value)
    if most is None:
        return bounds.book.absence(key, name, "the largest flow against it alone takes long enough to pass the volume")
    is_real = 0 < 2 * total.value < most
    equation = r"Q = \frac{Q_i^2}{Q_i - n V}" if is_real else r"Q = 4 n V"
    return bounds.book.record(
        key, name, most, "flow", equation, [volume.as_input("V"), starts, *([total.as_input("Q_i")] if is_real else [])],
        validity=VALIDITY, reference=REFERENCE, note=f"breaks first: {words(need)}")
