"""Headroom: how far inflow, outflow, valve and operator may go until a point no longer keeps what it is there for.

Each need and each time budget that rests on a rate gives the largest net rate at which it still holds, in closed form:
the volume between the point's latest edge and the level, over the time that must remain. The smallest of them decides.
"""

from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from generator.compute import alarms, need_headroom
from generator.compute.book import Book
from generator.compute.rate_bounds import Bound, Bounds
from generator.compute.steps import trip_of
from generator.model.knowledge import Knowledge
from generator.model.margin import Headroom, LevelBudget, RateCase
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import AlarmTime, NeedResult, SetpointResult, TankResult, TripBudget

SLACK = 1e-6
"""A need that falls short by no more than this is kept. [m]"""


def results(
    plant: Definitions, knowledge: Knowledge, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    trips: Mapping[str, tuple[TripBudget, ...]], times: Mapping[str, AlarmTime], budgets: Mapping[str, LevelBudget],
    book: Book,
) -> dict[str, tuple[Headroom, ...]]:
    """Headroom of every point that stands somewhere; empty where nothing that is written rests on a rate or a time."""
    return {
        tag: tuple(_Point(Bounds(plant, knowledge, tanks, setpoints, trips, times, budgets, book, point)).all())
        for tag, point in setpoints.items()
    }


def _by(need: NeedResult, short: float) -> str:
    if need.is_beyond:
        return "the tank cannot hold it"
    return f"{short * 1000:.0f} mm off" if need.sense == "exactly" else f"short by {short * 1000:.0f} mm"


class _Point(Struct, frozen=True):
    """The working of one point's headroom."""

    bounds: Bounds

    @property
    def point(self) -> SetpointResult:
        """The point."""
        return self.bounds.point

    def all(self) -> Iterator[Headroom]:
        """Rates first, then what single needs rest on, then the final element, then the operator."""
        broken = self.broken()
        yield from (replace(one, broken=broken) if broken else one for one in self.each())

    def broken(self) -> str:
        """The needs that the height which stands does not keep, in words."""
        short = [need for need in self.point.needs if need.slack is not None and need.slack < -SLACK]
        said = "; ".join(f"{need.words}: {_by(need, -(need.slack or 0.0))}" for need in short)
        return f"already broken: {said}" if said else ""

    def each(self) -> Iterator[Headroom]:
        """Every headroom, as if all needs were kept."""
        yield from self.rates()
        yield from need_headroom.rows(self.bounds)
        budget = trip_of(self.bounds.trips, self.point.tag)
        if budget is not None:
            yield from self.slowest(budget)
        for alarm in self.bounds.plant.alarms_of[self.point.tag]:
            yield from self.operator(str(alarm))

    def rates(self) -> Iterator[Headroom]:
        """The flows that move the level and those that hold against it, up to the first bound."""
        bounds = list(self.bounds.all())
        case = self.bounds.worst_case()
        if not bounds or case is None or not isinstance(case.net, Record):
            return
        first = min(bounds, key=lambda one: one.rate.value)
        against, moving = (sum(flow for _, flow in flows) for flows in (case.against, case.moving))
        into, out = ("inflow", "outflow") if self.bounds.rises else ("outflow", "inflow")
        symbol = [bound.rate.as_input(f"Q_{{{number}}}") for number, bound in enumerate(bounds, 1)]
        smallest = symbol[0].symbol if len(symbol) == 1 else rf"\min\left( {', '.join(one.symbol for one in symbol)} \right)"
        credited = [Input("Q_a", f"{out} counted on", against, "flow", case.net.key)] if against else []
        most = self.bounds.book.record(
            f"#{self.point.tag}/headroom/largest-{into}", f"Largest {into} at which {self.point.tag} still holds",
            first.rate.value + against, "flow", f"Q = {smallest}" + (" + Q_a" if credited else ""), [*symbol, *credited],
            note=f"breaks first: {first.words}")
        broken = f"already broken: {first.words}" if first.rate.value < moving - against - 1e-12 else ""
        yield Headroom(f"largest {into}", self.today(case, into, moving), most, first.words, broken)
        yield Headroom(f"smallest {out}", self.today(case, out, against), self.least(out, into, moving, first, case),
                       first.words, broken)

    def today(self, case: RateCase, which: str, flow: float) -> Outcome:
        """A sum of flows as the worst case counts them."""
        assert isinstance(case.net, Record)
        key = f"#{self.point.tag}/headroom/{which}-counted"
        name = f"{which.capitalize()} as the worst case of {self.point.tank} counts it"
        return self.bounds.book.record(key, name, flow, "flow", "Q", [
            Input("Q", case.case or "all streams that can run together", flow, "flow", case.net.key)])

    def least(self, out: str, into: str, moving: float, first: Bound, case: RateCase) -> Outcome:
        """The smallest flow against the level that the point needs while the other is at its worst."""
        assert isinstance(case.net, Record)
        key, name = f"#{self.point.tag}/headroom/smallest-{out}", f"Smallest {out} at which {self.point.tag} still holds"
        need = moving - first.rate.value
        if need <= 1e-12:
            return self.bounds.book.absence(key, name, f"it holds while no {out} is counted on")
        return self.bounds.book.record(key, name, need, "flow", "Q = Q_m - Q_1", [
            Input("Q_m", f"{into} as the worst case counts it", moving, "flow", case.net.key), first.rate.as_input("Q_1")],
            note=f"breaks first: {first.words}")

    # ---- times ---------------------------------------------------------------------------------------------------

    def slowest(self, budget: TripBudget) -> Iterator[Headroom]:
        """The slowest final element with which the trip still keeps to its share of the time."""
        element = next((step.time for step in budget.steps if step.name == "final element"), None)
        if not isinstance(element, Record) or not isinstance(budget.needed, Record) \
                or not isinstance(budget.available, Record):
            return
        share, convention = self.bounds.share()
        value = share * budget.available.value - budget.needed.value + element.value
        key = f"#{self.point.tag}/headroom/slowest-element"
        name = f"Slowest final element with which {self.point.tag} still holds"
        breaks = f"{budget.interlock} would not end before {budget.limit}" if not convention else \
            f"{budget.interlock} would use more than {share:.0%} of the time to {budget.limit} ({convention})"
        yield Headroom("slowest final element", element, self.bounds.book.record(
            key, name, max(0.0, value), "time",
            r"t = s \cdot t_{available} - \left( t_{needed} - t_f \right)" if value > 0 else
            r"t = \max\left( s \cdot t_{available} - \left( t_{needed} - t_f \right), 0 \right)",
            [self.bounds.share_input(share, convention), budget.available.as_input("t_{available}"),
             budget.needed.as_input("t_{needed}"), element.as_input("t_f")],
            note=f"breaks first: {breaks}" + ("" if value > 0 else "; no final element is fast enough")), breaks)

    def operator(self, alarm: str) -> Iterator[Headroom]:
        """The longest time that a person may take."""
        times = self.bounds.times[alarm]
        left = times.to_trip if times.to_trip is not None else times.to_limit
        if not isinstance(left, Record):
            return
        follows, limit = alarms.aims_at(self.bounds.plant, self.bounds.tanks, self.bounds.setpoints, self.bounds.book, alarm)
        breaks = f"{times.trip or follows or limit.name} comes before the person is done"
        yield Headroom(f"longest time of a person after {alarm}", times.needed if isinstance(times.needed, Record) else None,
                       self.bounds.book.record(f"#{self.point.tag}/headroom/person-{alarm}",
                                        f"Longest time of a person after {alarm}", left.value, "time", "t",
                                        [left.as_input("t")], note=f"breaks first: {breaks}"), breaks)
