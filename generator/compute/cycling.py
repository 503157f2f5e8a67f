"""Starts of pumps that level points start and stop: effective volume, shortest cycle, starts of every pump in an hour."""

from collections.abc import Mapping
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from generator.compute import alternation, cycle_times
from generator.compute.bands import Side
from generator.compute.book import Book
from generator.compute.cycles import starts_limit
from generator.compute.cycling_flows import Draw, changes_places, draws, empties, flow_span
from generator.compute.limits import edge_within
from generator.compute.pump_starts import Cycle, governing, most, orders, worst_order
from generator.compute.tanks import vessel_input
from generator.model.interlock import StartStop
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import CyclingResult, PumpStarts, SetpointResult, TankResult
from generator.model.scalar import Tag

VALIDITY = "constant flows; volume between the nearest edges of start and stop"


def results(
    plant: Definitions, knowledge: Knowledge, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    book: Book,
) -> Mapping[str, CyclingResult]:
    """Cycling of every control that starts and stops: the first pump, and as `stages` each pump that joins it."""
    return {
        str(tag): _Control(plant, knowledge, tanks, setpoints, book, str(tag), control).made()
        for tag, control in plant.controls.items()
        if isinstance(control, StartStop)
    }


def _period(pumps: int) -> str:
    """The cycle of a group whose last pump has just enough flow, written out."""
    if pumps == 1:
        return r"T = \frac{V}{Q_i} + \frac{V}{Q_p - Q_i}"
    flows = [f"Q_{{p,{place}}}" for place in range(1, pumps + 1)]
    rising = [rf"\frac{{V_{{{place}}}}}{{Q_i{''.join(f' - {flow}' for flow in flows[:place - 1])}}}"
              for place in range(1, pumps + 1)]
    return "T = " + " + ".join(rising) + rf" + \frac{{V}}{{{' + '.join(flows)} - Q_i}}"


class _Control(Struct, frozen=True):
    """The working of one control."""

    plant: Definitions
    knowledge: Knowledge
    tanks: Mapping[str, TankResult]
    setpoints: Mapping[str, SetpointResult]
    book: Book
    tag: str
    control: StartStop

    def made(self) -> CyclingResult:
        """The cycling of the control with its stages."""
        pumps = draws(self.plant, self.control)
        span = flow_span(self.plant, self.control, self.book, f"#{self.tag}")
        spaces = [self.effective_volume(self.key(number), number) for number in range(1, len(self.control.starts) + 1)]
        cycles = [self.cycle(self.key(number), space, pumps[:number], span, number) for number, space in enumerate(spaces, 1)]
        short = self.with_one_out(pumps, spaces, span)
        each = tuple(self.pump(place, pumps, spaces, (cycles, short), span) for place in range(1, len(pumps) + 1))
        first, *rest = [self.stage(number, each, space[0], cycle)
                        for number, (space, cycle) in enumerate(zip(spaces, cycles, strict=True), 1)]
        conditions = alternation.conditions(self.plant, self.knowledge, self.control, pumps)
        alternating = alternation.starts_in_turn(self.plant, self.book, self.tag, cycles, pumps) if conditions else None
        return replace(
            first, pump=str(self.control.moves), starts_alternating=alternating, stages=tuple(rest), each=each,
            alternation_counts=bool(conditions) and all(holds for _, holds in conditions), alternation=conditions,
            shortest_off=self.shortest_off(first.effective_volume, span[1]),
            at_any_inflow=self.at_any_inflow(first.effective_volume, pumps))

    def key(self, number: int) -> str:
        """Key of the records of a stage."""
        return f"#{self.tag}" if number == 1 else f"#{self.tag}/{number}"

    def stage(self, number: int, each: tuple[PumpStarts, ...], volume: Outcome, cycle: Cycle) -> CyclingResult:
        """Cycling with `number` pumps taking part, the last of them starting and stopping."""
        if number <= len(each):
            one = each[number - 1]
            return CyclingResult(self.tag, one.pump, volume, cycle.shortest, one.starts, cycle.worst, one.allowed, False)
        key, pump = self.key(number), str(self.control.moves)
        starts = most(self.book, f"{key}/starts", f"most starts of {pump}", (cycle,))
        return CyclingResult(self.tag, pump, volume, cycle.shortest, starts, cycle.worst, self.allowed(key, pump), False)

    # ---- every pump ----------------------------------------------------------------------------------------------

    def pump(self, place: int, pumps: tuple[Draw, ...], spaces: list[tuple[Outcome, tuple[float, ...]]],
             made: tuple[list[Cycle], list[tuple[int, Cycle]]], span: tuple[Outcome, Outcome]) -> PumpStarts:
        """Most starts of the pump in a place: in the cycles from its own start on, in all of them where places change.

        `made` are the cycles with all pumps in service, and with the number of its last start each cycle with one pump out.
        """
        one, (cycles, short) = pumps[place - 1], made
        key = self.key(place) if place <= len(cycles) else f"#{self.tag}/{one.tag}"
        changes = changes_places(self.plant, self.control, pumps)
        mine = cycles if changes else [*cycles[place - 1:], *(
            cycle for number, cycle in short if number >= place and cycle.out != one.tag)]
        if changes and len({pump.flow.value for pump in pumps}) > 1:
            mine = [self.in_worst_order(one, number, pumps, space, span) for number, space in enumerate(spaces, 1)]
        starts = most(self.book, f"{key}/starts", f"most starts of {one.tag}", mine)
        joins = [cycle for cycle in mine if cycle.running > 1] if changes else mine if place > 1 else []
        joining = None if not joins else starts if len(joins) == len(mine) else most(
            self.book, f"{key}/starts-joining", f"most starts of {one.tag} with others", joins)
        worst = governing(mine)
        shown = worst or mine[0]
        return PumpStarts(str(one.tag), starts, self.allowed(key, str(one.tag)), changes or place == 1, joining,
                          worst.running if worst else 0, shown.worst, shown.shortest, worst.out if worst else "")

    def with_one_out(self, pumps: tuple[Draw, ...], spaces: list[tuple[Outcome, tuple[float, ...]]],
                     span: tuple[Outcome, Outcome]) -> list[tuple[int, Cycle]]:
        """Each cycle in which a pump before the last is out and no other takes its place, with the number of the last start.

        Its start starts nothing, so that the level goes on to the next one: the volumes before and after it are passed by the
        pumps that are left.
        """
        made = []
        for number in range(2, min(len(pumps), len(spaces)) + 1) if not changes_places(self.plant, self.control, pumps) else ():
            for place in range(1, number):
                volume, parts = spaces[number - 1]
                joined = (*parts[:place - 1], parts[place - 1] + parts[place], *parts[place + 1:]) if parts else ()
                left, out = (*pumps[:place - 1], *pumps[place:number]), str(pumps[place - 1].tag)
                cycle = self.cycle(f"#{self.tag}/{number}-without-{out}", (volume, joined), left, span, number - 1, out)
                made.append((number, cycle))
        return made

    def in_worst_order(self, one: Draw, number: int, pumps: tuple[Draw, ...], space: tuple[Outcome, tuple[float, ...]],
                       span: tuple[Outcome, Outcome]) -> Cycle:
        """The cycle of a number of unequal pumps in the order that makes one of them start most often."""
        least, largest = span
        order = pumps[:number] if number > len(pumps) else orders(pumps, one, number)[0]
        if number <= len(pumps) and space[1] and isinstance(least, Record) and isinstance(largest, Record):
            order = worst_order(pumps, one, space[1], least.value, largest.value)
        return self.cycle(f"#{self.tag}/{one.tag}/{number}", space, order, span, number)

    # ---- volume between the edges --------------------------------------------------------------------------------

    def effective_volume(self, key: str, number: int) -> tuple[Outcome, tuple[float, ...]]:
        """Volume from the stop to the start of pump `number`, between the edges that are nearest to each other.

        Returns it with its parts: to the first start, from there to the second, and so on. [m3]
        """
        key, name = f"{key}/effective-volume", f"effective volume of {self.tag}"
        starts, stop, tank = self.control.starts[:number], self.control.stops, self.control.tank
        emptying, vessel = empties(self.plant, self.control), self.tanks[tank].vessel
        strange = [point for point in (*starts, stop)
                   if point not in self.plant.switches or self.plant.tank_of(point) != tank]
        if strange or emptying is None:
            return self.book.absence(key, name, f"{', '.join(strange)}: no level point of {tank}"), ()
        bands = [(point, result.act) for point in (stop, *starts) if (result := self.setpoints.get(point)) is not None]
        open_points = [point for point, band in bands if band is None]
        if open_points or len(bands) < 1 + len(starts):
            return self.book.absence(key, name, f"it is not settled where {', '.join(open_points)} acts",
                                     [f"switches/{point}/height" for point in open_points]), ()
        if vessel is None:
            return self.book.absence(key, name, "the tank's shape gives no volume", (f"tanks/{tank}/shape",)), ()
        edges = [self.edge(point, "high" if emptying == (point == stop) else "low", (stop, *starts)) for point, _ in bands]
        heights = [vessel.volume_at(edge.value) * (1 if emptying else -1) for edge in edges]
        parts = tuple(upper - lower for lower, upper in pairwise(heights))
        if min(parts) <= 0:
            said = ", ".join(f"{point} counts from {edge.value:.3f} m" for (point, _), edge in zip(bands, edges, strict=True))
            return self.book.absence(key, name, f"the edges of its stop {stop} and its starts meet or stand in the wrong "
                                     f"order: {said}"), ()
        between = [replace(edge, symbol=f"h_{{{place}}}") for place, edge in enumerate(edges[1:-1], 1)]
        inputs = (replace(edges[-1], symbol="h_{start}"), replace(edges[0], symbol="h_{stop}"), *between,
                  vessel_input(tank, vessel))
        return self.book.record(key, name, sum(parts), "volume", r"V = |V(h_{start}) - V(h_{stop})|", inputs,
                                validity="edges that are nearest to each other, not the nominal heights"), parts

    def edge(self, point: Tag, side: Side, others: tuple[Tag, ...]) -> Input:
        """An edge of a point as the others of this control see it."""
        return edge_within(self.plant, self.book, self.setpoints[point], side, others, "h", f"edge of {point}")

    # ---- the cycle -----------------------------------------------------------------------------------------------

    def cycle(self, key: str, space: tuple[Outcome, tuple[float, ...]], pumps: tuple[Draw, ...],
              span: tuple[Outcome, Outcome], number: int, out: str = "") -> Cycle:
        """Flow at which the cycle of a number of pumps is shortest, and that cycle; `out` is one that is out meanwhile."""
        (volume, volumes), (least, largest), meanwhile = space, span, f" while {out} is out" if out else ""
        worst_key, worst_name = f"{key}/worst-inflow", f"flow against which {self.control.moves} starts most often{meanwhile}"
        cycle_key, cycle_name = f"{key}/shortest-cycle", f"shortest cycle of {self.control.moves}{meanwhile}"
        why, missing, is_idle = self.cannot(volume, pumps, span, number)
        if why or not isinstance(least, Record) or not isinstance(largest, Record) or not isinstance(volume, Record):
            return Cycle(number, self.book.absence(worst_key, worst_name, why, missing),
                         self.book.absence(cycle_key, cycle_name, why, missing), is_idle, out)
        flows = [pump.flow.value for pump in pumps]
        worst = cycle_times.worst_inflow(volumes, flows, least.value, largest.value)
        assert worst is not None
        inputs = [Input(f"Q_{{p,{place}}}" if number > 1 else "Q_p", pump.flow.name, pump.flow.value, "flow",
                        pump.flow.source) for place, pump in enumerate(pumps, 1)]
        equation = (r"Q_i = \min(\max(\frac{Q_p}{2}, Q_{least}), Q_{largest})" if number == 1 else
                    r"\frac{dT}{dQ_i} = 0 \text{, or the end of the span nearest to it}")
        worst_record = self.book.record(
            worst_key, worst_name, worst, "flow", equation,
            (*self.parts(volume, volumes), *inputs, least.as_input("Q_{least}"), largest.as_input("Q_{largest}")),
            reference=cycle_times.REFERENCE,
            note=f"At the largest flow {self.control.moves} does not stop." if largest.value >= sum(flows) else "")
        record = self.book.record(
            cycle_key, cycle_name, cycle_times.staged_cycle_time(volumes, flows, worst), "time", _period(number),
            (volume.as_input("V"), *self.parts(volume, volumes), *inputs, worst_record.as_input("Q_i")),
            validity=VALIDITY, reference=cycle_times.REFERENCE,
            note=f"The start of {out} starts nothing: no other pump takes its place." if out else "")
        return Cycle(number, worst_record, record, out=out)

    def parts(self, volume: Record, volumes: tuple[float, ...]) -> tuple[Input, ...]:
        """With several pumps the volume in its parts, from one start to the next."""
        if len(volumes) == 1:
            return ()
        before = [f"the stop and the start of pump {place}" if place == 1 else f"the starts of pumps {place - 1} and {place}"
                  for place in range(1, len(volumes) + 1)]
        return tuple(Input(f"V_{{{place}}}", f"volume between {words}", part, "volume", volume.key)
                     for place, (part, words) in enumerate(zip(volumes, before, strict=True), 1))

    def at_any_inflow(self, volume: Outcome, pumps: tuple[Draw, ...]) -> Outcome:
        """The cycle as if half of the first pump's flow could flow against it, whatever the plant's real range."""
        key, name = f"#{self.tag}/cycle-at-any-inflow", f"shortest cycle of {self.control.moves} at any inflow"
        lacking = self.book.lacking(key, name, [volume])
        if lacking is not None:
            return lacking
        if not pumps or pumps[0].flow.value <= 0:
            return self.book.absence(key, name, f"{self.control.moves} has no flow")
        assert isinstance(volume, Record)
        value = cycle_times.cycle_time(volume.value, pumps[0].flow.value, pumps[0].flow.value / 2)
        return self.book.record(key, name, value, "time", r"T_{\min} = \frac{4\,V}{Q_p}",
                                (volume.as_input("V"), pumps[0].flow), validity=VALIDITY,
                                reference=cycle_times.REFERENCE)

    def cannot(
        self, volume: Outcome, pumps: tuple[Draw, ...], span: tuple[Outcome, Outcome], number: int,
    ) -> tuple[str, tuple[str, ...], bool]:
        """Why there is no cycle, the missing fields, and whether it never comes about; empty where there is one."""
        least, largest = span
        if len(pumps) < number:
            return f"{self.control.moves} has no pump or valve with a flow for this start", (), True
        for gap in (volume, least, largest):
            if not isinstance(gap, Record):
                return f"{gap.name}: {gap.why}", gap.missing, False
        assert isinstance(least, Record) and isinstance(largest, Record)
        total = sum(pump.flow.value for pump in pumps)
        still = [str(pump.tag) for pump in pumps if pump.flow.value <= 0]
        if still:
            return f"{', '.join(still)}: no flow", (), False
        if least.value > largest.value:
            return f"{least.name} is above {largest.name}", (), False
        if least.value >= total:
            return "the pump never stops: the least flow against it is not below its own", (), True
        if largest.value <= total - pumps[-1].flow.value:
            why = "it is never needed: the others take the largest flow" if number > 1 else "nothing flows against it"
            return why, (), True
        return "", (), False

    def shortest_off(self, volume: Outcome, largest: Outcome) -> Outcome:
        """Time at rest at the largest flow."""
        key, name = f"#{self.tag}/shortest-off", f"shortest time at rest of {self.control.moves}"
        lacking = self.book.lacking(key, name, [volume, largest])
        if lacking is not None:
            return lacking
        assert isinstance(volume, Record) and isinstance(largest, Record)
        if largest.value <= 0:
            return self.book.absence(key, name, "nothing flows against it")
        return self.book.record(key, name, volume.value / largest.value, "time", r"t = \frac{V}{Q_{largest}}",
                                (volume.as_input("V"), largest.as_input("Q_{largest}")), validity=VALIDITY)

    # ---- what is allowed -----------------------------------------------------------------------------------------

    def allowed(self, key: str, pump: str) -> Outcome:
        """Most starts of a pump: its motor's own limit, else that of the plant's table for its power."""
        key, name = f"{key}/allowed", f"allowed starts of {pump}"
        if pump not in self.plant.pumps:
            return self.book.absence(key, name, f"{pump} is no pump; no limit of starts applies to it")
        limit = starts_limit(self.plant, self.knowledge, pump)
        if limit is None:
            missing = [f"pumps/{pump}/motor/starts", *([] if self.plant.plant.starts_rule else ["plant/starts_rule"])]
            return self.book.absence(key, name, "no limit of its motor is recorded, and no table of the plant has one",
                                     missing)
        return self.book.record(key, name, limit.value, "rate", "n", (limit,))
