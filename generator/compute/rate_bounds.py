"""Bounds of a rate: the largest net rate at which each need and each time budget of a point still holds, in closed form.

The volume between the point's latest edge and the level that it keeps the liquid from, over the time that must remain and
that which passes until the point has acted.
"""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from generator.compute import limits, waits
from generator.compute.bands import Side
from generator.compute.book import Book, given
from generator.compute.needs import words
from generator.compute.published_times import times_of
from generator.compute.steps import trip_of
from generator.compute.tanks import vessel_input
from generator.compute.travel import level_of, volume_of
from generator.compute.waits import Wait
from generator.model.knowledge import Knowledge, PublishedRule
from generator.model.margin import LevelBudget, RateCase
from generator.model.need import Above, AnyNeed, Before, Below, Covers, GapOf, Reserve, RoomFor
from generator.model.plant import Definitions
from generator.model.record import Input, Record, value_of
from generator.model.results import AlarmTime, NeedResult, SetpointResult, TankResult, TripBudget, Vessel
from generator.model.scalar import Tag

HALF = "half-of-available-time"
SITE = "the plant's own convention"


class Bound(Struct, frozen=True):
    """The largest net rate at which one thing still holds, and that thing in words."""

    words: str
    rate: Record


class Bounds(Struct, frozen=True):
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
            yield from self.of_need(need, number, result)
        yield from self.of_control()
        budget = trip_of(self.trips, self.point.tag)
        if budget is not None and isinstance(budget.available, Record) and isinstance(budget.needed, Record):
            yield from self.of_trip(budget, budget.available)
        for alarm in self.plant.alarms_of[self.point.tag]:
            time_left = self.times[str(alarm)].to_trip or self.times[str(alarm)].to_limit
            needed = self.times[str(alarm)].needed
            if isinstance(time_left, Record) and isinstance(needed, Record):
                yield from self.of_alarm(str(alarm), time_left, needed)

    # ---- needs ---------------------------------------------------------------------------------------------------

    def of_need(self, need: AnyNeed, number: int, result: NeedResult) -> Iterator[Bound]:
        """A need that counts a time, its own or that which passes until the point has acted."""
        word, said = f"need-{number}", words(need, self.knowledge)
        if isinstance(need, Before) and need.rate == "worst":
            yield from self.bound(word, said, result, (given(need.time, "t", "time that must remain"),))
        elif isinstance(need, GapOf) and (rule := self.knowledge.rules.get(need.gap_of)):
            yield from self.of_gap(need, rule, word, result)
        elif isinstance(need, Reserve) and (share := self.share_of_worst(need)) is not None:
            yield from self.of_reserve(need, number, result, share)
        elif isinstance(need, Above | Below | Covers | Reserve | RoomFor):
            yield from self.bound(word, said, result, ())

    def wait(self, result: NeedResult) -> Wait:
        """What passes until the point has acted, where a need judges its latest edge."""
        wait, is_high = waits.of_point(self.plant, self.point.tag), result.sense == "at most"
        return wait if waits.is_latest("high" if is_high else "low", self.point.acts) else Wait(())

    def edge(self, result: NeedResult, symbol: str, name: str) -> Input | None:
        """The edge of the point that a need judged: whole, or without the error that a body shares."""
        if self.point.act is None or not isinstance(result.limit, Record):
            return None
        symbols = {one.symbol for one in result.limit.inputs}
        cancels = rf"c_{{\text{{{self.point.tag}}}}}" not in symbols
        side: Side = "high" if result.sense == "at most" else "low"
        return limits.edge_within(self.plant, self.book, self.point, side, [self.point.tag if cancels else ""], symbol,
                                  f"{name} edge of {self.point.tag}" + (" against a point of its body" if cancels and
                                                                        value_of(self.point.error_common) else ""))

    def level_kept(self, result: NeedResult, edge: Input, vessel: Vessel, moved: float) -> float:
        """The level that a need keeps when `moved` has come in, from where its limit and its edge stand. [m]"""
        assert isinstance(result.limit, Record) and self.point.stands is not None
        at_limit = result.limit.value + edge.value - self.point.stands
        return level_of(vessel, volume_of(vessel, at_limit) + moved)[0]

    def bound(self, word: str, said: str, result: NeedResult, times: Sequence[Input]) -> Iterator[Bound]:
        """The volume between the latest edge and the level of a need, over its times and those until the point has acted."""
        latest, vessel, times = self.edge(result, "h_1", "latest"), self.tank.vessel, (*times, *self.wait(result).times)
        total = sum(one.value for one in times)
        if latest is None or vessel is None or self.point.stands is None or not isinstance(result.limit, Record) or total <= 0:
            return
        moved = (1 if self.rises else -1) * _rate(result.limit) * total
        level = self.level_kept(result, latest, vessel, moved)
        yield self.over(word, said, result.limit, level, latest, times)

    def over(self, word: str, said: str, limit: Record, level: float, latest: Input, times: Sequence[Input]) -> Bound:
        """The volume between two heights over times."""
        vessel, sign = self.tank.vessel, 1 if self.rises else -1
        assert vessel is not None
        volume = sign * (volume_of(vessel, level) - vessel.volume_at(latest.value))
        between = "V(h_2) - V(h_1)" if self.rises else "V(h_1) - V(h_2)"
        end = Input("h_2", f"level of the need: {said}", level, "length", limit.key)
        return self.made(word, said, volume / sum(one.value for one in times),
                         rf"Q = \frac{{{between}}}{{{' + '.join(one.symbol for one in times)}}}",
                         [end, latest, vessel_input(self.tank.tag, vessel), *times])

    def of_gap(self, need: GapOf, rule: PublishedRule, word: str, result: NeedResult) -> Iterator[Bound]:
        """The time that a rule asks for, and its height where the level moves until the point has acted."""
        latest, wait, limit = self.edge(result, "h_1", "latest"), self.wait(result), result.limit
        if latest is None or self.tank.vessel is None or not isinstance(limit, Record):
            return
        level, said = level_of_need(limit, self.rises), words(need, self.knowledge)
        if rule.time and self.rises:
            times = times_of(self.plant, self.tank.tag, rule)
            yield self.over(word, said, limit, level, latest, (*times, *wait.times))
        if rule.height and wait.times:
            yield self.over(f"{word}-height", said, limit, level - rule.height, latest, wait.times)

    # ---- reserves ------------------------------------------------------------------------------------------------

    def share_of_worst(self, need: Reserve) -> tuple[RateCase, float, float] | None:
        """The worst case, where a reserve is drawn on by one of its own streams: what leaves beside it, what comes in. [m3/s]"""
        case = self.worst_case()
        if self.rises or case is None or not isinstance(case.net, Record) or need.lasts is None or need.lasts.si <= 0 \
                or need.of not in dict(case.moving):
            return None
        return case, sum(flow for tag, flow in case.moving if tag != need.of), sum(flow for _, flow in case.against)

    def reserved(self, need: Reserve, result: NeedResult) -> tuple[float, tuple[Input, ...]] | None:
        """Volume between the lowest edge of the point and the level of a reserve [m3], and what it comes from."""
        vessel, edge = self.tank.vessel, self.edge(result, "h_2", "lowest")
        if vessel is None or edge is None or self.point.stands is None or not isinstance(result.limit, Record) \
                or need.lasts is None or need.of is None:
            return None
        held = need.lasts.si * self.plant.streams[need.of].flow.highest.si
        level = self.level_kept(result, edge, vessel, -held - self.lost(result))
        inputs = (edge, Input("h_1", f"level of the need: {words(need)}", level, "length", result.limit.key),
                  vessel_input(self.tank.tag, vessel))
        return vessel.volume_at(edge.value) - volume_of(vessel, level), inputs

    def lost(self, result: NeedResult) -> float:
        """What leaves a tank until a point has acted. [m3]"""
        seconds = self.wait(result).seconds
        return seconds * _rate(result.limit) if seconds and isinstance(result.limit, Record) else 0.0

    def largest_drawn(self, need: Reserve, result: NeedResult) -> tuple[float, str, tuple[Input, ...]] | None:
        """The largest flow of the stream for which a reserve lasts [m3/s], its equation and its inputs.

        Until the point has acted the tank loses its worst net rate; that grows with the stream where it is part of it.
        """
        found = self.reserved(need, result)
        if found is None or need.lasts is None or need.lasts.si <= 0:
            return None
        (volume, inputs), wait, share = found, self.wait(result), self.share_of_worst(need)
        inputs, time = (*inputs, given(need.lasts, "t", "how long the reserve lasts")), need.lasts.si
        between = "V(h_2) - V(h_1)"
        if not wait.times:
            return volume / time, rf"Q = \frac{{{between}}}{{t}}", inputs
        if share is None:
            assert isinstance(result.limit, Record)
            net = next(one for one in reversed(result.limit.inputs) if one.symbol in ("Q_{net}", "Q"))
            return ((volume - self.lost(result)) / time, rf"Q = \frac{{{between} - Q_{{net}} {wait.expression}}}{{t}}",
                    (*inputs, replace(net, symbol="Q_{net}"), *wait.times))
        case, others, against = share
        beside = self.beside(case, others, against)
        terms = " ".join(f"{'+' if one.symbol == 'Q_o' else '-'} {one.symbol}" for one in beside).removeprefix("+ ")
        taken = rf" - \left( {terms} \right) {wait.expression}" if beside else ""
        return ((volume - (others - against) * wait.seconds) / (time + wait.seconds),
                rf"Q = \frac{{{between}{taken}}}{{t + {' + '.join(one.symbol for one in wait.times)}}}",
                (*inputs, *beside, *wait.times))

    def beside(self, case: RateCase, others: float, against: float) -> tuple[Input, ...]:
        """What leaves and what comes in beside a stream in the worst case."""
        return tuple(Input(symbol, name, flow, "flow", case.net.key) for symbol, name, flow in (
            ("Q_o", "what leaves beside it in the worst case", others), ("Q_a", "inflow counted on", against)) if flow)

    def of_reserve(
        self, need: Reserve, number: int, result: NeedResult, share: tuple[RateCase, float, float],
    ) -> Iterator[Bound]:
        """A reserve that one of the worst case's own streams draws on: its flow may grow while the others stay."""
        drawn, (case, others, against) = self.largest_drawn(need, result), share
        if drawn is None:
            return
        largest, equation, inputs = drawn
        beside = self.beside(case, others, against)
        equation += "".join(f" {'+' if one.symbol == 'Q_o' else '-'} {one.symbol}" for one in beside)
        known = {one.symbol: one for one in (*inputs, *beside)}
        yield self.made(f"need-{number}", words(need), largest + others - against, equation, tuple(known.values()))

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
            return head.budget_share / 100, SITE
        return (0.5, HALF) if HALF in head.rules_in_force else (1.0, "")

    def share_input(self, share: float, convention: str) -> Input:
        """That share, with where it is written."""
        if convention == SITE:
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


def _rate(limit: Record) -> float:
    """The net rate that a need counts with."""
    symbols = {one.symbol: one.value for one in limit.inputs}
    return symbols["Q_{net}"] if "Q_{net}" in symbols else symbols["Q"]


def _source(record: Record, symbol: str) -> str:
    return str(next(one.source for one in record.inputs if one.symbol == symbol))


def _key_of(budget: TripBudget, name: str) -> str:
    return next(step.time.key for step in budget.steps if step.name == name)
