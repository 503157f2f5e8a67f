"""Bounds of a rate: the largest net rate at which each need and each time budget of a point still holds, in closed form.

The volume between the point's latest edge and the level that it keeps the liquid from, over the time that must remain.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from generator.compute import limits
from generator.compute.asked import level_of
from generator.compute.book import Book, given
from generator.compute.needs import words
from generator.compute.steps import trip_of
from generator.compute.tanks import vessel_input
from generator.model.knowledge import Knowledge
from generator.model.margin import LevelBudget, RateCase
from generator.model.need import Before, GapOf, Reserve
from generator.model.plant import Definitions
from generator.model.record import Input, Record
from generator.model.results import AlarmTime, NeedResult, SetpointResult, TankResult, TripBudget
from generator.model.scalar import Tag

HALF = "half-of-available-time"


@dataclass(frozen=True, slots=True)
class Bound:
    """The largest net rate at which one thing still holds, and that thing in words."""

    words: str
    rate: Record


@dataclass(frozen=True, slots=True)
class Bounds:
    """What a point's bounds are worked out with."""

    plant: Definitions
    knowledge: Knowledge
    tanks: Mapping[str, TankResult]
    setpoints: Mapping[str, SetpointResult]
    trips: Mapping[str, tuple[TripBudget, ...]]
    times: Mapping[str, AlarmTime]
    level_budgets: Mapping[str, LevelBudget]
    book: Book
    point: SetpointResult

    @property
    def tank(self) -> TankResult:
        """The point's tank."""
        return self.tanks[self.point.tank]

    @property
    def rises(self) -> bool:
        """Whether the point acts on a rising level."""
        return self.point.acts == "rising"

    def all(self) -> Iterator[Bound]:
        """Each need and budget that rests on the worst rate."""
        stated = self.plant.switches[Tag(self.point.tag)].height.needs
        for number, (need, result) in enumerate(zip(stated, self.point.needs, strict=True), 1):
            if isinstance(need, Before) and need.rate == "worst":
                time = given(need.time, "t", "time that must remain")
                yield from self.bound(f"need-{number}", words(need, self.knowledge), result, time)
            elif isinstance(need, GapOf) and (rule := self.knowledge.rules.get(need.gap_of)) and rule.time:
                time = Input("t", "time that the rule asks for", rule.time, "time", f"{rule.standard} ({rule.mark})")
                yield from self.bound(f"need-{number}", words(need, self.knowledge), result, time, rule.height or 0.0)
            elif isinstance(need, Reserve):
                yield from self.of_reserve(need, number, result)
        yield from self.of_control()
        budget = trip_of(self.trips, self.point.tag)
        if budget is not None and isinstance(budget.available, Record) and isinstance(budget.needed, Record):
            yield from self.of_trip(budget, budget.available)
        for alarm in self.plant.alarms_of[self.point.tag]:
            time_left = self.times[str(alarm)].to_trip or self.times[str(alarm)].to_limit
            needed = self.times[str(alarm)].needed
            if isinstance(time_left, Record) and isinstance(needed, Record):
                yield from self.of_alarm(str(alarm), time_left, needed)

    def latest(self) -> Input | None:
        """The latest edge of the point."""
        if self.point.act is None:
            return None
        edge = self.point.act.high if self.rises else self.point.act.low
        return limits.edge_input(self.plant, self.point, edge, "h_1", f"latest edge of {self.point.tag}")

    def bound(self, word: str, said: str, result: NeedResult, time: Input, least: float = 0.0) -> Iterator[Bound]:
        """A need: its level less what fills in a time, at `least` a height. The level stands in the need's own inputs."""
        latest, vessel, stands = self.latest(), self.tank.vessel, self.point.stands
        if latest is None or vessel is None or stands is None or not isinstance(result.limit, Record) or time.value <= 0:
            return
        sign = 1 if self.rises else -1
        level = level_of_need(result.limit, self.rises)
        asked, _ = level_of(vessel, vessel.volume_at(level) - sign * _value(result.limit, "Q") * time.value)
        asked = sign * min(sign * asked, sign * level - least)
        edge = stands + (asked - result.limit.value)  # the error of one body cancels: the need knows which counts
        if abs(edge - latest.value) > 1e-9:
            latest = self.within(edge, "h_1", f"latest edge of {self.point.tag} against a point of its body", result.limit)
        volume = sign * (vessel.volume_at(level) - vessel.volume_at(edge))
        between = "V(h_2) - V(h_1)" if self.rises else "V(h_1) - V(h_2)"
        end = Input("h_2", f"level of the need: {said}", level, "length", result.limit.key)
        yield self.made(word, said, volume / time.value, rf"Q = \frac{{{between}}}{{t}}",
                        [end, latest, vessel_input(self.tank.tag, vessel), time])

    def within(self, edge: float, symbol: str, name: str, limit: Record) -> Input:
        """The edge of the point that a need judged, from where it comes: whole, or without the error that a body shares."""
        for others in ((), (self.point.tag,)):
            if self.point.act is None:
                break
            found = limits.edge_within(self.plant, self.book, self.point, "high" if self.rises else "low", others or ("",),
                                       symbol, name)
            if abs(found.value - edge) < 1e-9:
                return found
        return Input(symbol, name, edge, "length", limit.key)

    def reserved(self, need: Reserve, result: NeedResult) -> tuple[float, tuple[Input, ...]] | None:
        """Volume between the lowest edge of the point and the level of a reserve [m3], and what it comes from."""
        vessel, stands, limit = self.tank.vessel, self.point.stands, result.limit
        if vessel is None or stands is None or not isinstance(limit, Record) or need.lasts is None or need.of is None:
            return None
        level = level_of_need(limit, rises=False)
        held = need.lasts.si * self.plant.streams[need.of].flow.highest.si
        edge = stands + level_of(vessel, vessel.volume_at(level) + held)[0] - limit.value
        inputs = (self.within(edge, "h_2", f"lowest edge of {self.point.tag}", limit),
                  Input("h_1", f"level of the need: {words(need)}", level, "length", limit.key),
                  vessel_input(self.tank.tag, vessel))
        return vessel.volume_at(edge) - vessel.volume_at(level), inputs

    def of_reserve(self, need: Reserve, number: int, result: NeedResult) -> Iterator[Bound]:
        """A reserve that one of the worst case's own streams draws on: its flow may grow while the others stay."""
        case, found = self.worst_case(), self.reserved(need, result)
        if self.rises or case is None or found is None or need.lasts is None or not isinstance(case.net, Record) \
                or need.of not in dict(case.moving) or need.lasts.si <= 0:
            return
        others = sum(flow for tag, flow in case.moving if tag != need.of)
        against = sum(flow for _, flow in case.against)
        beside = [Input(symbol, name, flow, "flow", case.net.key) for symbol, name, flow in (
            ("Q_o", "what leaves beside it in the worst case", others), ("Q_a", "inflow counted on", against)) if flow]
        equation = r"Q = \frac{V(h_2) - V(h_1)}{t}" + "".join(
            f" {'+' if one.symbol == 'Q_o' else '-'} {one.symbol}" for one in beside)
        yield self.made(f"need-{number}", words(need), found[0] / need.lasts.si + others - against, equation,
                        [*found[1], given(need.lasts, "t", "how long the reserve lasts"), *beside])

    def worst_case(self) -> RateCase | None:
        """The streams of the worst rate in the point's direction."""
        direction = "filling" if self.rises else "emptying"
        return next((one for one in self.tank.cases if one.kind == "worst" and one.direction == direction), None)

    def of_control(self) -> Iterator[Bound]:
        """A point of ordinary running: what it starts or stops is done before the level meets the next point or limit."""
        budget = self.level_budgets.get(self.point.tag)
        role = self.plant.switches[Tag(self.point.tag)].role
        if budget is None or role != "control" or budget.limit_height is None or self.tank.vessel is None:
            return
        steps = [one.length for one in budget.pieces if one.kind == "travel"]
        if not steps or not all(isinstance(one, Record) for one in (*steps, *(one.length for one in budget.pieces))):
            return
        last = steps[0]  # pieces run from the limit to the point: the first travel is the last step, with every time before it
        assert isinstance(last, Record)
        latest = next(one for one in last.inputs if one.symbol == "h_e")
        times = [one for one in last.inputs if one.dimension == "time" and not str(one.source).endswith("drain-down")]
        drained = [one.value * _value(last, "Q") for one in last.inputs if str(one.source).endswith("drain-down")]
        total = sum(one.value for one in times)
        if total <= 0:
            return
        sign = 1 if self.rises else -1
        taken = [one.length for one in budget.pieces if one.kind in ("other point", "overflow head")]
        end = budget.limit_height - sign * sum(one.value for one in taken if isinstance(one, Record))
        terms = [one.as_input(f"d_{{{number}}}") for number, one in enumerate(taken, 1) if isinstance(one, Record)]
        assert isinstance(budget.distance, Record)
        limit = next(one for one in budget.distance.inputs if one.symbol == "h_{limit}")
        volume = sign * (self.tank.vessel.volume_at(end) - self.tank.vessel.volume_at(latest.value)) - sum(drained)
        said = f"what {self.point.tag} does is done before {budget.limit}"
        ahead = "h_{limit}" + "".join(f" {'-' if sign > 0 else '+'} {one.symbol}" for one in terms)
        between = f"V({ahead}) - V(h_e)" if self.rises else f"V(h_e) - V({ahead})"
        equation = r"Q = \frac{" + between + (" - V_d" if drained else "") + \
            "}{" + " + ".join(one.symbol for one in times) + "}"
        lines = [Input("V_d", "what still runs out of the lines", sum(drained), "volume",
                       next(str(one.source) for one in last.inputs if str(one.source).endswith("drain-down")))] \
            if drained else []
        yield self.made("control", said, volume / total, equation,
                        [limit, *terms, latest, vessel_input(self.tank.tag, self.tank.vessel), *lines, *times])

    def of_trip(self, budget: TripBudget, available: Record) -> Iterator[Bound]:
        """A trip: it needs its share of the time that the process gives, and what drains from the lines fits too."""
        share, convention = self.share()
        rate, draining, fixed = _value(available, "Q"), 0.0, []
        for number, step in enumerate(budget.steps, 1):
            if not isinstance(step.time, Record):
                return
            if step.name == "line drain-down":
                draining = step.time.value * rate
            else:
                fixed.append(step.time.as_input(f"t_{{{number}}}", step.name))
        total = sum(one.value for one in fixed)
        volume = available.value * rate
        if total <= 0:
            return
        drained = [Input("V_d", "what still runs out of the lines", draining, "volume", _key_of(budget, "line drain-down"))] \
            if draining else []
        said = f"{budget.interlock} ends before {budget.limit}" if not convention else \
            f"{budget.interlock} uses no more than {share:.0%} of the time to {budget.limit} ({convention})"
        equation = r"Q = \frac{s \cdot t_{available} Q_0" + (" - V_d" if drained else "") + \
            "}{" + " + ".join(one.symbol for one in fixed) + "}"
        yield self.made(f"trip-{budget.interlock}", said, (share * volume - draining) / total, equation, [
            available.as_input("t_{available}"), Input("Q_0", "worst rate as it stands", rate, "flow", _source(available, "Q")),
            self.share_input(share, convention), *drained, *fixed])

    def of_alarm(self, alarm: str, left: Record, needed: Record) -> Iterator[Bound]:
        """An alarm: the person's time and the delays fit between the alarm and what follows."""
        rate = _value(left, "Q")
        delays = [one for one in left.inputs if one.dimension == "time"]
        total = needed.value + sum(one.value for one in delays)
        if total <= 0 or left.value <= 0:
            return
        volume = (left.value + sum(one.value for one in delays)) * rate
        equation = r"Q = \frac{Q_0 \left( t" + "".join(f" + {one.symbol}" for one in delays) + r" \right)}{t_n" + \
            "".join(f" + {one.symbol}" for one in delays) + "}"
        yield self.made(f"alarm-{alarm}", f"a person has the time to answer {alarm}", volume / total, equation,
                        [left.as_input("t"), Input("Q_0", "worst rate as it stands", rate, "flow", _source(left, "Q")),
                         needed.as_input("t_n"), *delays])

    def share(self) -> tuple[float, str]:
        """Share of the available time that a trip may use, and the convention that sets it; all of it without one."""
        head = self.plant.plant
        if head.budget_share is not None and head.budget_share < 100:
            return head.budget_share / 100, "budget_share"
        return (0.5, HALF) if HALF in head.rules_in_force else (1.0, "")

    def share_input(self, share: float, convention: str) -> Input:
        """That share, with where it is written."""
        if convention == "budget_share":
            return Input("s", "share of the time that a trip may use", share, "", self.plant.plant.place_of("budget_share"))
        return Input("s", "share of the time that a trip may use", share, "", convention or "no convention in force")

    def made(self, word: str, said: str, value: float, equation: str, inputs: Sequence[Input]) -> Bound:
        """A bound with its record."""
        record = self.book.record(f"#{self.point.tag}/headroom/{word}", f"{self.point.tag}: largest net rate, {said}",
                                  max(0.0, value), "flow",
                                  equation if value > 0 else r"Q = \max\left( " + equation.removeprefix("Q = ") + r", 0 \right)",
                                  inputs,
                                  note="It does not hold at any rate." if value <= 0 else "")
        return Bound(said, record)


def level_of_need(limit: Record, rises: bool) -> float:
    """The level from which a need counts its time: the height first named in its working, with the terms of its edge."""
    terms = []
    for one in limit.inputs:
        if one.dimension != "length":
            break
        terms.append(one.value)
    sign = -1 if rises else 1
    return terms[0] + sign * sum(terms[1:])


def _value(record: Record, symbol: str) -> float:
    return next(one.value for one in record.inputs if one.symbol == symbol)


def _source(record: Record, symbol: str) -> str:
    return str(next(one.source for one in record.inputs if one.symbol == symbol))


def _key_of(budget: TripBudget, name: str) -> str:
    return next(step.time.key for step in budget.steps if step.name == name)
