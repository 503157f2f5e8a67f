"""Time budgets: what a trip needs from the latest action of its point, against what the process gives."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.compute import final_elements, limits, logic_times, spills
from generator.compute.book import Book, absences, because_of, given, missing_of
from generator.compute.causes import Direction, LevelCause, certain_edge, level_causes
from generator.compute.tanks import vessel_input
from generator.compute.travel import level_after, time_between, worst_rate
from generator.model.interlock import Interlock
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.record import Input, Outcome, Record
from generator.model.results import SetpointResult, Step, TankResult, TripBudget, Vessel
from generator.model.scalar import Tag

_OVERRUN = r"\Delta h = |V^{-1}(V(h_{edge}) MARK Q\,t_{needed}) - h_{edge}|"
KEYS = {"delay of the interlock": "on-delay"}
"""Words of steps whose records stand under another key."""
CONVENTION = "common practice: the logic counts with two scans, the final element with its slowest full stroke"


def results(
    plant: Definitions, _knowledge: Knowledge, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    book: Book,
) -> Mapping[str, tuple[TripBudget, ...]]:
    """Budgets of each trip and releasing interlock, one for each level point in its cause."""
    return {
        str(tag): tuple(
            _Budget(plant, tanks, setpoints, book, str(tag), lock, cause).made()
            for cause in level_causes(plant, lock.when)
        )
        for tag, lock in plant.interlocks.items()
        if lock.kind != "permissive"
    }


class _Budget(Struct, frozen=True):
    """The working of one budget."""

    plant: Definitions
    tanks: Mapping[str, TankResult]
    setpoints: Mapping[str, SetpointResult]
    book: Book
    tag: str
    lock: Interlock
    cause: LevelCause

    @property
    def key(self) -> str:
        """Key of the records of this budget."""
        return f"#{self.tag}/{'not-' if self.cause.is_negated else ''}{self.cause.tag}"

    @property
    def tank(self) -> str:
        """Tag of the tank of the point."""
        return str(self.plant.tank_of(self.cause.tag))

    @property
    def direction(self) -> Direction:
        """Direction of the level that brings the cause about."""
        return self.cause.direction(self.plant)

    def made(self) -> TripBudget:
        """The budget."""
        times = list(self.times())
        needed = self.needed(times)
        limit = limits.limit_of(self.plant, self.tanks, self.book, self.tank, self.direction, self.lock.hazard)
        edge = self.edge()
        available = self.available(edge, limit)
        overrun = self.overrun(edge, needed)
        spilled = tuple(spills.times(self.tanks[self.tank], self.direction, (available,), self.book))
        idle = tuple(one.spill.source for one in spilled if not spills.is_stopped(self.plant, one.spill, self.lock.then))
        return TripBudget(self.tag, str(self.cause.tag), self.tank, self.steps(times, edge), needed, available, overrun,
                          limit.name, spilled, idle)

    # ---- what is needed ------------------------------------------------------------------------------------------

    def times(self) -> Iterator[tuple[str, Outcome]]:
        """Each step with its time; a delay that is not written is none."""
        point = self.plant.switches[self.cause.tag]
        body = self.plant.instruments[point.in_]
        yield "sensor", self.time("sensor", "response of the sensor", body.response_time,
                                  f"instruments/{point.in_}/response_time")
        for step in logic_times.signal(self.plant, Tag(self.tag), self.cause.tag):
            yield step.word, self.counted(step)
        if point.on_delay is not None and not self.cause.is_negated:
            yield "delay of the point", self.time("point-delay", "delay of the point", point.on_delay, "")
        for number, held in enumerate(self.cause.held, 1):
            yield "cause held", self.time(f"held/{number}", "time that the cause must last", held, "")
        for step in logic_times.logic(self.plant, self.tank, Tag(self.tag)):
            yield step.word, self.counted(step)
        yield from final_elements.stroke(self.plant, self.book, self.key, self.tank, self.lock)
        if self.direction == "rising":
            yield from final_elements.drain_down(
                self.plant, self.book, self.key, self.tank, self.lock, worst_rate(self.tanks[self.tank], "rising"))

    def counted(self, step: logic_times.Step) -> Outcome:
        """A time of the links or of the logic, or its absence."""
        word = KEYS.get(step.word, step.word.replace(" over ", "-"))
        if step.word == "logic" and step.often > 1:
            return self.scans(step)
        return self.time(word, step.name, step.time, step.field)

    def time(self, step: str, name: str, time: Duration | None, missing: str) -> Outcome:
        """A written time as a step, or its absence."""
        key = f"{self.key}/{step}"
        if time is None:
            return self.book.absence(key, name, "not recorded", (missing,))
        return self.book.record(key, name, time.si, "time", r"t", (given(time, "t", name),))

    def scans(self, step: logic_times.Step) -> Outcome:
        """Time of the logic where none is written."""
        key, name, scan = f"{self.key}/logic", "time of the logic", step.time
        if scan is None:
            return self.book.absence(key, name, "neither the interlock's logic time nor a scan time is recorded",
                                     (f"interlocks/{self.tag}/logic_time", step.field))
        return self.book.record(key, name, step.often * scan.si, "time", rf"t = {step.often}\,t_{{scan}}",
                                (given(scan, "t_{scan}", "scan"),), reference=CONVENTION)

    def needed(self, times: list[tuple[str, Outcome]]) -> Outcome:
        """Sum of the steps."""
        key, name = f"{self.key}/needed", f"time that {self.tag} needs from {self.cause.tag}"
        lacking = self.book.lacking(key, name, [time for _, time in times])
        if lacking is not None:
            return lacking
        known = [time for _, time in times if isinstance(time, Record)]
        inputs = [time.as_input(f"t_{{{number}}}") for number, time in enumerate(known, 1)]
        return self.book.record(
            key, name, sum(time.value for time in known), "time",
            "t_{needed} = " + " + ".join(one.symbol for one in inputs), inputs, reference=CONVENTION,
            validity="from the liquid at the latest edge of the point to the final element at rest",
        )

    # ---- what the process gives ----------------------------------------------------------------------------------

    def edge(self) -> float | None:
        """Latest edge at which the cause is certain, counted with the points it must act together with. [m]"""
        edges = {}
        for other in level_causes(self.plant, self.lock.when):
            band = other.band(self.setpoints.get(other.tag))
            if band is not None and self.plant.tank_of(other.tag) == self.tank \
                    and other.direction(self.plant) == self.direction:
                edges[str(other.tag), other.is_negated] = band.high if self.direction == "rising" else band.low
        return certain_edge(self.lock.when, self.cause, edges, self.direction)

    def gaps(self, edge: float | None) -> tuple[list[str], list[str]]:
        """Why travel cannot be worked out, and the missing fields."""
        why, missing = [], []
        rate = worst_rate(self.tanks[self.tank], self.direction)
        if self.tanks[self.tank].vessel is None:
            why.append("the tank's shape gives no volume")
            missing.append(f"tanks/{self.tank}/shape")
        if edge is None:
            why.append(f"it is not settled where {self.cause.tag} acts")
            missing += [f"switches/{self.cause.tag}/height", f"switches/{self.cause.tag}/accuracy"]
        if not isinstance(rate, Record):
            why.append(because_of(absences([rate])))
            missing += missing_of(absences([rate]))
        elif rate.value <= 0:
            why.append(f"no operating case has a {self.direction} level")
        return why, missing

    def travel(self, edge: float | None) -> tuple[Vessel, float, Record] | None:
        """Vessel, edge and rate, where all of them are known."""
        vessel, rate = self.tanks[self.tank].vessel, worst_rate(self.tanks[self.tank], self.direction)
        if vessel is None or edge is None or not isinstance(rate, Record) or rate.value <= 0:
            return None
        return vessel, edge, rate

    def available(self, edge: float | None, limit: limits.Limit) -> Outcome:
        """Time from the latest edge to the limit."""
        key, name = f"{self.key}/available", f"time from {self.cause.tag} to {limit.name}"
        why, missing = self.gaps(edge)
        if limit.height is None:
            why.append(f"{limit.name}: {limit.why}")
            missing += limit.missing
        travel = self.travel(edge)
        if travel is None or limit.height is None:
            return self.book.absence(key, name, "; ".join(why), missing)
        vessel, here, rate = travel
        time = time_between(vessel, here, limit.height, rate.value, self.direction)
        volume = "V(h_{limit}) - V(h_{edge})" if self.direction == "rising" else "V(h_{edge}) - V(h_{limit})"
        equation = rf"\frac{{{volume}}}{{Q}}" if time > 0 else rf"\max\left( \frac{{{volume}}}{{Q}}, 0 \right)"
        return self.book.record(
            key, name, time, "time", f"t_{{available}} = {equation}",
            (self.edge_input(here), limit.as_input(), vessel_input(self.tank, vessel), rate.as_input("Q")),
            validity="worst net rate throughout; counted from the latest action of the point",
            note="The point acts at or beyond the limit." if time == 0 else "",
        )

    def overrun(self, edge: float | None, needed: Outcome) -> Outcome:
        """Travel of the level while the trip acts."""
        key, name = f"{self.key}/overrun", f"travel of the level after {self.cause.tag} while {self.tag} acts"
        why, missing = self.gaps(edge)
        travel = self.travel(edge)
        if travel is None or not isinstance(needed, Record):
            why += [because_of(absences([needed]))] if not isinstance(needed, Record) else []
            missing += missing_of(absences([needed]))
            return self.book.absence(key, name, "; ".join(why), dict.fromkeys(missing))
        vessel, here, rate = travel
        reached, clipped = level_after(vessel, here, rate.value, needed.value, self.direction)
        return self.book.record(
            key, name, abs(reached - here), "length", _OVERRUN.replace("MARK", "+" if self.direction == "rising" else "-"),
            (self.edge_input(here), vessel_input(self.tank, vessel), rate.as_input("Q"), needed.as_input("t_{needed}")),
            validity="full worst rate until the final element is at rest; what drains from the lines is in the time",
            note="The vessel is left or empty before the trip has ended; the travel is counted to its end."
            if clipped else "",
        )

    def edge_input(self, height: float) -> Input:
        """The edge as an input."""
        return limits.edge_input(self.plant, self.setpoints[self.cause.tag], height, "h_{edge}",
                                 f"latest edge of {self.cause.tag}")

    def steps(self, times: list[tuple[str, Outcome]], edge: float | None) -> tuple[Step, ...]:
        """The steps with the travel in each."""
        made, here, travel = [], edge, self.travel(edge)
        for name, time in times:
            height = None
            if travel is not None and here is not None and isinstance(time, Record):
                vessel, _, rate = travel
                reached, _ = level_after(vessel, here, rate.value, time.value, self.direction)
                height, here = abs(reached - here), reached
            else:
                here = None
            made.append(Step(name, time, height))
        return tuple(made)
