"""Need of a start: a volume above the stop that keeps a pump from starting too often.

The first start of a control is judged by the cycle of one pump, a further one by the cycle of all pumps up to its own,
with the other starts where they stand.
"""

from itertools import pairwise

from msgspec import Struct

from generator.compute.asked import About, Asked, shifted
from generator.compute.book import given
from generator.compute.cycle_times import REFERENCE as STAGED_REFERENCE
from generator.compute.cycle_times import last_volume
from generator.compute.cycles import REAL_EQUATION, REFERENCE, VALIDITY, WORST_EQUATION, cycle_volume, starts_limit
from generator.compute.cycling_flows import Draw, changes_places, draws
from generator.compute.heights import Edge, Unknown
from generator.compute.pump_starts import orders
from generator.compute.rates import most_together
from generator.model.interlock import StartStop
from generator.model.need import Cycling
from generator.model.plant import Definitions
from generator.model.record import Input
from generator.model.results import Vessel
from generator.model.scalar import Tag

STAGED_VALIDITY = "pumps of constant flow that add up, steady inflow, one stop for all"


def starts_before(plant: Definitions, tag: str, need: Cycling) -> tuple[StartStop, tuple[Tag, ...]] | None:
    """The control whose further start a point is, and its starts before this one; None for a first start."""
    for name in plant.controls_of_point[Tag(tag)]:
        control = plant.controls[name]
        if isinstance(control, StartStop) and control.stops == need.above and tag in control.starts[1:] \
                and need.cycling in (control.moves, *plant.members_of(control.moves)):
            return control, control.starts[:control.starts.index(Tag(tag))]
    return None


def cycling(need: Cycling, about: About, key: str) -> Asked | Unknown:
    """Between the nearest edges of start and stop lies a volume that keeps the pump from starting too often."""
    members = about.plant.members_of(need.cycling) or (need.cycling,)
    starts, vessel = _starts(need, about, members), about.vessel()
    if isinstance(starts, Unknown):
        return starts
    if isinstance(vessel, Unknown):
        return vessel
    if starts.value <= 0 or any(about.plant.pumps[tag].flow.si <= 0 for tag in members):
        return Unknown("starts and flow must be over zero", tuple(
            field for tag in members for field in (f"pumps/{tag}/flow", f"pumps/{tag}/motor/starts")))
    further = starts_before(about.plant, about.point.tag, need)
    if further is not None and len(pumps := draws(about.plant, further[0])) > len(further[1]):
        return _staged(need, about, key, starts, vessel, pumps, further)
    edge = about.edge(need.above, "at least" if about.rises else "at most")
    if isinstance(edge, Unknown):
        return edge
    pump = max(members, key=lambda tag: about.plant.pumps[tag].flow.si)
    flow = given(about.plant.pumps[pump].flow, "Q_p", f"flow of {pump}")
    supply = supplied(about.plant, about.tank.tag, about.rises, {need.cycling, *members})
    largest = sum(one.value for one in supply)
    is_real = 0 < largest < flow.value / 2
    volume = cycle_volume(flow.value, 1 / starts.value, largest if is_real else None)
    sign, mark = (1, "+") if about.rises else (-1, "-")
    height, note = shifted(vessel, edge, sign * volume)
    equation = rf"V^{{-1}}\left( V\left( {edge.expression} \right) {mark} V_c \right), \quad "
    equation += r"T = \frac{1}{n}, \quad " + (REAL_EQUATION if is_real else WORST_EQUATION).replace("V =", "V_c =")
    if is_real:
        equation += r", \quad Q_i = " + " + ".join(one.symbol for one in supply)
    remark = "the largest inflow stays under half the pump's flow and is counted as it is" if is_real else \
        "counted at the worst inflow, half the pump's flow"
    notes = (remark, "the pump alone: cycles in which others join it rest on their starts",
             "no credit is taken for alternation", note)
    return Asked(height, equation, (*edge.terms, about.vessel_input(), flow, starts, *(supply if is_real else ())),
                 about.is_on_same_body(need.above), VALIDITY, REFERENCE, "; ".join(part for part in notes if part))


def _staged(need: Cycling, about: About, key: str, starts: Input, vessel: Vessel, pumps: tuple[Draw, ...],
            further: tuple[StartStop, tuple[Tag, ...]]) -> Asked | Unknown:
    """A further start: the cycle of all pumps up to its own is long enough, and each cycle in which one before it is out."""
    control, before = further
    supply = supplied(about.plant, about.tank.tag, about.rises, {control.moves, *(pump.tag for pump in pumps)})
    edges = _edges(about, (control.stops, *before))
    if isinstance(edges, Unknown):
        return edges
    sign = 1 if about.rises else -1
    levels = [sign * vessel.volume_at(edge.height) for edge in edges]
    if any(upper <= lower for lower, upper in pairwise(levels)):
        said = ", ".join(f"{edge.name} counts from {edge.height:.3f} m" for edge in edges)
        return Unknown(f"the edges of the stop and the starts before it meet or stand in the wrong order: {said}")
    cycles = [_Cycle(edges, tuple(levels), order) for order in _orders(about, control, pumps, len(edges))]
    if not changes_places(about.plant, control, pumps):
        cycles += [_Cycle([*edges[:place], *edges[place + 1:]], (*levels[:place], *levels[place + 1:]),
                          (*pumps[:place - 1], *pumps[place:len(edges)]), str(pumps[place - 1].tag))
                   for place in range(1, len(edges))]
    largest, cycle = sum(one.value for one in supply), 1 / starts.value
    found = [(one, *one.asked(cycle, largest)) for one in cycles]
    worst, volume, inflow = max(found, key=lambda one: one[0].levels[-1] + one[1])
    height, note = shifted(vessel, worst.edges[-1], sign * volume)
    return _made(need, about, key, (starts, supply), worst, (height, inflow, note),
                 _is_one_body(about, (control.stops, *before)))


class _Cycle(Struct, frozen=True):
    """A cycle that a further start must keep long enough: edges of the stop and the starts before it, the lowest first, the
    volumes up to them, the pumps in the order of starting, and the one that is out of service meanwhile."""

    edges: list[Edge]
    levels: tuple[float, ...]
    pumps: tuple[Draw, ...]
    out: str = ""

    @property
    def volumes(self) -> tuple[float, ...]:
        """From the stop to the first start, and so on to the last start before this one. [m3]"""
        return tuple(upper - lower for lower, upper in pairwise(self.levels))

    def asked(self, cycle: float, largest: float) -> tuple[float, float]:
        """Volume that the start must add [m3], and the inflow that asks for it [m3/s]."""
        return last_volume(self.volumes, [pump.flow.value for pump in self.pumps], cycle, largest or None)


def _orders(about: About, control: StartStop, pumps: tuple[Draw, ...], count: int) -> list[tuple[Draw, ...]]:
    """The orders in which so many pumps can start: every one where unequal pumps change places, else that of the group."""
    if not changes_places(about.plant, control, pumps) or len({pump.flow.value for pump in pumps}) == 1:
        return [pumps[:count]]
    tried = {order for pump in pumps for order in orders(pumps, pump, count)}
    return sorted(tried, key=lambda order: [str(pump.tag) for pump in order])


def _made(need: Cycling, about: About, key: str, flowing: tuple[Input, list[Input]], worst: _Cycle,
          found: tuple[float, float, str], is_one_body: bool) -> Asked:
    """The height that the governing cycle asks for, with its working."""
    (starts, supply), (height, inflow, note), edges = flowing, found, worst.edges
    count, mark = len(worst.pumps), "+" if about.rises else "-"
    meanwhile = f" while {worst.out} is out" if worst.out else ""
    flows = [Input(f"Q_{{p,{place}}}", pump.flow.name, pump.flow.value, "flow", pump.flow.source)
             for place, pump in enumerate(worst.pumps, 1)]
    parts = [about.book.record(
        f"{key}/volume-{place}", f"Volume between {lower.name} and {upper.name}", part, "volume",
        rf"V = \left| V\left( {upper.expression} \right) - V\left( {lower.expression} \right) \right|",
        tuple({one.symbol: one for one in (*upper.terms, *lower.terms, about.vessel_input())}.values()),
    ).as_input(f"V_{{{place}}}")
        for place, (part, lower, upper) in enumerate(zip(worst.volumes, edges, edges[1:], strict=False), 1)]
    ends = f"flow against {need.cycling} at which the cycle of {_counted(count)} is shortest{meanwhile}"
    against = about.book.record(
        f"{key}/worst-inflow", ends[0].upper() + ends[1:], inflow, "flow",
        r"\frac{dT}{dQ_i} = 0 \text{, or the end of the span nearest to it}", (*parts, *flows, starts, *supply),
        reference=STAGED_REFERENCE)
    return Asked(
        height, rf"V^{{-1}}\left( V\left( {edges[-1].expression} \right) {mark} V_c \right), \quad " + _equation(count),
        (*edges[-1].terms, about.vessel_input(), starts, *parts, *flows, against.as_input("Q_i")),
        is_one_body, STAGED_VALIDITY, STAGED_REFERENCE,
        "; ".join(part for part in (
            f"the cycle of {_counted(count)}{meanwhile}, the starts before this one where they stand",
            f"the start of {worst.out} starts nothing" if worst.out else "", "no credit is taken for alternation", note) if part))


def _counted(count: int) -> str:
    return "one pump" if count == 1 else f"{count} pumps"


def _equation(count: int) -> str:
    """The volume that the last start adds, written out."""
    def left(number: int) -> str:
        return "Q_i" + "".join(f" - Q_{{p,{place}}}" for place in range(1, number))

    total = " + ".join(f"Q_{{p,{place}}}" for place in range(1, count + 1))
    volumes = " + ".join(f"V_{{{place}}}" for place in range(1, count))
    taken = "".join(rf" - \frac{{V_{{{place}}}}}{{{left(place)}}}" for place in range(1, count))
    stopped = rf" - \frac{{{volumes}}}{{{total} - Q_i}}" if volumes else ""
    return (rf"V_c = \max\left( \frac{{\frac{{1}}{{n}}{taken}{stopped}}}"
            rf"{{\frac{{1}}{{{left(count)}}} + \frac{{1}}{{{total} - Q_i}}}}, 0 \right)")


def _is_one_body(about: About, tags: tuple[Tag, ...]) -> bool:
    """Whether all these points are of this point's body, so that the error they share cancels."""
    return all(about.is_on_same_body(tag) for tag in tags)


def _edges(about: About, tags: tuple[Tag, ...]) -> list[Edge] | Unknown:
    """The edges of the stop and of the starts before this one that make the cycle shortest, in the order of the level."""
    body, edges = about.point.body if _is_one_body(about, tags) else "", []
    for place, tag in enumerate(tags):
        edge = about.heights.edge(tag, "high" if about.rises == (place == 0) else "low", body)
        if isinstance(edge, Unknown):
            return edge
        edges.append(edge)
    return edges


def _starts(need: Cycling, about: About, members: tuple[Tag, ...]) -> Input | Unknown:
    """Most starts of the pump, or of the pump of a group that bears the fewest. [1/s]"""
    if need.starts is not None:
        return given(need.starts, "n", "most starts asked for")
    limits = {tag: starts_limit(about.plant, about.knowledge, tag) for tag in members}
    missing = tuple(f"pumps/{tag}/motor/starts" for tag, limit in limits.items() if limit is None)
    if missing:
        return Unknown("the most starts are not given", missing)
    return min((limit for limit in limits.values() if limit is not None), key=lambda limit: limit.value)


def supplied(plant: Definitions, tag: str, rises: bool, own: set[Tag]) -> list[Input]:
    """The largest flow that a pump works against: every stream the other way that can run together, not its own."""
    found = plant.inflows_of[tag] if rises else plant.outflows_of[tag]
    others = [one for one in found if not plant.streams[one].by_overflow and plant.streams[one].moved_by not in own]
    together = most_together(plant, others, lambda one: plant.streams[one].flow.highest.si)
    return [given(plant.streams[one].flow.highest, f"Q_{{{number}}}", f"flow of {plant.streams[one].name}")
            for number, one in enumerate(together, 1)]
