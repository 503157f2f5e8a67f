"""The flows of the tanks that move at one moment, from what their streams carry and where the machines stand.

A stream flows while every valve in its way is open and its pump runs; what machines use up, while one of
them is on. Pumps that a control of these tanks starts carry
what they deliver at their duty point, together at most the stream's highest flow. A pump of another tank's control is
taken to ask for what the stream carries. A loop takes what holds the level, up to the highest flow of its streams;
above the normal band it is at one end, below it at the other; out of use, or cut off by a lost link, it leaves its valve where it
stands, or does what is stated for a bad signal. A stream from one tank that moves to another counts in both;
out of an empty one goes no more than comes in.
"""

from collections.abc import Mapping

from msgspec import Struct, field

from generator.compute.course_links import Links
from generator.compute.course_machines import Machines
from generator.compute.course_points import SAME
from generator.model.interlock import Modulating, StartStop
from generator.model.plant import Definitions
from generator.model.scalar import Tag


class Flows(Struct, dict=True):
    """The streams of the tanks. `stated` holds the flows that a scenario gives [m3/s]; None leaves it to the machines."""

    plant: Definitions
    tanks: tuple[str, ...]
    machines: Machines
    stated: dict[Tag, float | None]
    faults: Mapping[str, str]
    links: Links
    asleep: frozenset[str] = frozenset()
    """Functions that are not live in the mode that is chosen."""
    tails: dict[Tag, tuple[float, float]] = field(default_factory=dict)
    """What still runs out of a line that is shut: until when [s], at which flow [m3/s]."""
    last: dict[Tag, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        plant = self.plant
        self.into = {tank: [tag for tag in self.stated if plant.streams[tag].into == tank] for tank in self.tanks}
        self.out_of = {tank: [tag for tag in self.stated if plant.streams[tag].from_ == tank] for tank in self.tanks}
        self.driven: set[str] = set()
        self.loops: dict[Tag, tuple[Tag, Modulating]] = {}
        for tag, control in ((tag, plant.controls[tag]) for tank in self.tanks for tag in plant.controls_of_tank[tank]):
            if isinstance(control, StartStop):
                self.driven |= {control.moves, *plant.members_of(control.moves)}
                continue
            for stream in plant.streams_of[control.moves]:
                if stream in self.stated:
                    self.loops[stream] = (tag, control)

    def nets(self, levels: Mapping[str, float], now: float, empty: frozenset[str]) -> dict[str, float]:
        """Net inflow of each tank at its level, what leaves by the overflow not counted. [m3/s]"""
        flows = {tag: self._machine_flow(tag) for tag in self.stated if tag not in self.loops}
        for tag, flow in flows.items():
            self._tail(tag, flow, now)
            until, tail = self.tails.get(tag, (0.0, 0.0))
            if until > now + 1e-9:
                flows[tag] = max(flow, tail)
        for _ in self.tanks if self.loops else ():
            flows |= self._loop_flows(levels, flows)
        if len(self.tanks) > 1:
            self._no_more_than_comes_in(flows, empty)
        self.last = flows
        return {tank: self._net(tank, flows) for tank in self.tanks}

    def _net(self, tank: str, flows: Mapping[Tag, float]) -> float:
        return sum(flows.get(tag, 0.0) for tag in self.into[tank]) - sum(flows.get(tag, 0.0) for tag in self.out_of[tank])

    def _no_more_than_comes_in(self, flows: dict[Tag, float], empty: frozenset[str]) -> None:
        """Cut what is drawn from an empty tank to what comes into it, each stream by its share."""
        for _ in empty:
            for tank in empty:
                comes, goes = (sum(flows.get(tag, 0.0) for tag in side[tank]) for side in (self.into, self.out_of))
                if goes > comes:
                    flows |= {tag: flows[tag] * comes / goes for tag in self.out_of[tank] if tag in flows}

    def dues(self, now: float) -> list[float]:
        """When a line has run empty."""
        return [until for until, _ in self.tails.values() if until > now + 1e-9]

    # ---- one stream ----------------------------------------------------------------------------------------------

    def _is_open(self, tag: Tag) -> bool:
        """Whether every valve in its way is open and, where machines use it up, one of them is on."""
        stream = self.plant.streams[tag]
        is_used = not stream.used_by or any(self.machines.state(machine) != "off" for machine in stream.used_by)
        return is_used and all(self.machines.state(valve) != "closed" for valve in stream.through)

    def _machine_flow(self, tag: Tag) -> float:
        stream, stated = self.plant.streams[tag], self.stated[tag]
        if stated == 0.0 or not self._is_open(tag):
            return 0.0
        if stream.moved_by is None:
            return self._as_stated(tag)
        pumps = self.plant.members_of(stream.moved_by) or (stream.moved_by,)
        running = [pump for pump in pumps if self.machines.state(pump) == "running"]
        if not running:
            return 0.0
        if stream.moved_by not in self.driven or stated is not None:
            return self._as_stated(tag)
        beside = [other for other in self.plant.streams_of[stream.moved_by] if self._is_open(other)]
        highest = stream.flow.highest.si
        share = highest / (sum(self.plant.streams[other].flow.highest.si for other in beside) or 1.0)
        return min(highest, share * sum(self.plant.pumps[pump].flow.si for pump in running))

    def _as_stated(self, tag: Tag) -> float:
        stated, flow = self.stated[tag], self.plant.streams[tag].flow
        return stated if stated is not None else (flow.normal or flow.highest).si

    def _tail(self, tag: Tag, flow: float, now: float) -> None:
        """A line that is shut runs empty at the flow that it had."""
        volume, before = self.plant.streams[tag].drains_after_stop, self.last.get(tag, 0.0)
        is_running_out = self.tails.get(tag, (0.0, 0.0))[0] > now + 1e-9
        enters = self.plant.streams[tag].into in self.into
        if flow == 0.0 and before > 0.0 and not is_running_out and enters and volume is not None and tag not in self.tails:
            self.tails[tag] = (now + volume.si / before, before)
        if flow > 0.0:
            self.tails.pop(tag, None)

    # ---- loops ---------------------------------------------------------------------------------------------------

    def _loop_flows(self, levels: Mapping[str, float], flows: Mapping[Tag, float]) -> dict[Tag, float]:
        """What the loops take: together what holds the levels, as far as they can."""
        made = dict(flows)
        for tag, (name, control) in self.loops.items():
            highest, tank = self._loop_most(tag), str(control.tank)
            made.pop(tag, None)
            others = self._net(tank, made)
            wanted = min(max(-others if tag in self.into[tank] else others, 0.0), highest)
            end = self._loop_end(name, control, levels[tank])
            if end is not None:
                wanted = highest if end else 0.0
            cut = self.links.loop(name, control) if self.links.lost else None
            if cut in ("opens", "shuts"):
                wanted = highest if cut == "opens" else 0.0
            elif (cut and self.machines.state(control.moves) != "open") or name in self.asleep or "stays" in (
                    self.faults.get(name), self.faults.get(control.measures)):
                wanted = min(self.last.get(tag, wanted), highest)
            made[tag] = wanted
        return made

    def _loop_most(self, tag: Tag) -> float:
        if not self._is_open(tag) or self.stated[tag] == 0.0:
            return 0.0
        stream = self.plant.streams[tag]
        if stream.moved_by is not None:
            pumps = self.plant.members_of(stream.moved_by) or (stream.moved_by,)
            if not any(self.machines.state(pump) in ("running", "modulating") for pump in pumps):
                return 0.0
        return stream.flow.highest.si

    def _loop_end(self, name: Tag, control: Modulating, level: float) -> bool | None:
        """Whether the loop is wide open (True), shut (False), or holds the level (None)."""
        if self.faults.get(name) in ("on", "off"):
            return self.faults[name] == "on"
        if self.machines.state(control.moves) == "open":
            return True
        levels = self.plant.tanks[control.tank].levels
        if levels.normal_high is not None and level > levels.normal_high.si + SAME:
            return control.rising_level == "opens"
        if levels.normal_low is not None and level < levels.normal_low.si - SAME:
            return control.rising_level == "shuts"
        return None
