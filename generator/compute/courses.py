"""One course of events: the levels of one tank, or of several that streams join, against time with the real logic.

Between two events no net flow changes, so each volume grows straight and the next event follows without a time step:
either a delay runs out, or one of the levels reaches a height at which something changes,

    t2 = t1 + (V(h2) - V(t1)) / Q .

What leaves by the overflow is what comes in too much, up to what the overflow carries; it goes on into the tank to which
a stream leads it, where that tank moves too.
"""

from collections.abc import Callable, Iterator, Mapping

from msgspec import Struct

from generator.compute.course_basins import Basin
from generator.compute.course_flows import Flows
from generator.compute.course_log import Log
from generator.compute.course_logic import Logic
from generator.compute.course_machines import Machines, relevant, rest_states
from generator.compute.course_points import Points
from generator.model.plant import Definitions
from generator.model.results import ContactResult, SetpointResult
from generator.model.scalar import Tag

MOST_EVENTS = 400
"""A course stops after so many events, and says so."""


class Given(Struct, frozen=True):
    """Something that a scenario brings about at a time: in words, the tags it is about, and what it does."""

    time: float
    words: str
    tags: tuple[str, ...]
    does: "Callable[[Run], None]"


class Run:
    """One course while it is worked out. The first basin is the tank that is watched; `is_handled` once a person did a thing,
    `is_moded` once somebody chose a mode."""

    def __init__(
        self, plant: Definitions, basins: tuple[Basin, ...], setpoints: Mapping[str, SetpointResult],
        contacts: Mapping[str, ContactResult], stated: dict[Tag, float | None],
    ) -> None:
        self.plant, self.basins, self.stated = plant, {basin.tag: basin for basin in basins}, stated
        self.main, self.tanks, self.now = basins[0], tuple(self.basins), 0.0
        self.is_handled = self.is_moded = False
        self.causes = Points(plant, setpoints, contacts, self.tanks, is_instant=False)
        tags = relevant(plant, self.tanks)
        rest = rest_states(plant, tags, self.tanks)
        self.machines = Machines(plant, tags, self.causes, rest)
        self.logic = Logic(plant, self.tanks, self.causes, self.machines, {str(tag): state for tag, state in rest.items()})
        self.flows = Flows(plant, self.tanks, self.machines, stated, self.causes.faults, self.causes.links)
        self.spills = {(tank, str(stream.into)) for tank in self.tanks for tag in plant.outflows_of[tank]
                       if (stream := plant.streams[tag]).by_overflow and stream.into in self.basins}
        self.log = Log(plant, self.causes, self.logic, self.machines, self.tanks)
        self.blind: set[tuple[str, str]] = set()
        """Controls whose points were bad for a time behind a lost link, with the link."""
        self._begin()

    def _begin(self) -> None:
        """Everything at rest for the levels at the start: delays long over, machines where they were told to be."""
        self.causes.is_instant = True
        self._move()
        for _ in range(8):
            self.causes.follow(self.now)
            self.machines.follow(self.logic.follow(self.now), self.now)
        self.causes.is_instant = False
        self.log.begin()
        self.stood = (*((str(tag), "acts" if is_active else "lets go") for tag, is_active in self.logic.active.items()),
                      *((str(tag), one.state) for tag, one in self.machines.moving.items()))

    @property
    def levels(self) -> dict[str, float]:
        """The level of each tank at this moment. [m]"""
        return {tag: basin.level for tag, basin in self.basins.items()}

    def forget(self) -> None:
        """Power is back: what loses its memory without power starts anew."""
        for tag, basin in self.basins.items():
            self.causes.forget(tag, basin.level)
        self.logic.forget()

    def until(self, end: float, script: tuple[Given, ...], stops_when_steady: bool) -> str:
        """Run to a time; why it ended, in words."""
        left = sorted(script, key=lambda one: one.time)
        seen: set[object] = set()
        while True:
            while left and left[0].time <= self.now + 1e-9:
                given = left.pop(0)
                self.log.given(self.now, self.levels, given.words, given.tags)
                given.does(self)
            self._settle()
            nets = self._nets()
            for tag, basin in self.basins.items():
                basin.look(self.now, nets[tag])
            next_time = min([*self._dues(), *(one.time for one in left), end])
            heights = {tag: basin.next_height(nets[tag], self.causes.thresholds(tag, nets[tag] > 0))
                       for tag, basin in self.basins.items()}
            if stops_when_steady and not left and next_time >= end:
                if all(height is None for height in heights.values()):
                    return "nothing changes any more"
                state = (tuple((round(basin.level, 6), round(nets[tag], 9)) for tag, basin in self.basins.items()),
                         self.log.signature())
                if state in seen:
                    return "from here on it repeats itself"
                seen.add(state)
            if len(self.log.events) > MOST_EVENTS:
                return f"cut after {MOST_EVENTS} events"
            self._advance(nets, heights, next_time)
            if self.now >= end - 1e-9:
                self._settle()
                for basin in self.basins.values():
                    basin.points.append((self.now, basin.level))
                return "the time to watch is over"

    def _advance(self, nets: Mapping[str, float], heights: Mapping[str, float | None], next_time: float) -> None:
        """Move every level on to the next event."""
        start = self.now
        arrivals = {tag: self.basins[tag].arrival(start, nets[tag], height)
                    for tag, height in heights.items() if height is not None}
        first = min(arrivals.values(), default=float("inf"))
        self.now = first if first <= next_time + 1e-9 else next_time
        for tag, basin in self.basins.items():
            height = heights[tag] if arrivals.get(tag, float("inf")) <= self.now + 1e-9 else None
            basin.move(start, self.now, nets[tag], height)
            if height is not None:
                self.log.passes(self.now, basin.result, basin.level, nets[tag] > 0)

    def _move(self) -> None:
        for tag, basin in self.basins.items():
            self.causes.move(tag, basin.level)

    def _settle(self) -> None:
        for _ in range(8):
            self._move()
            self.causes.follow(self.now)
            known = len(self.machines.known_out)
            changed = self.machines.follow(self.logic.follow(self.now), self.now)
            if not self.log.changes(self.now, self.levels) and not changed and known == len(self.machines.known_out):
                return

    def _nets(self) -> dict[str, float]:
        """The net inflow of each tank, what its overflow takes counted. [m3/s]"""
        empty = frozenset(tag for tag, basin in self.basins.items() if basin.is_empty)
        raw = self.flows.nets(self.levels, self.now, empty)
        self.log.flows(self.now, self.levels, self.flows.last)
        nets, spilled = dict(raw), dict.fromkeys(raw, 0.0)
        for _ in self.tanks:  # what one tank spills may make the next one spill
            for tag, basin in self.basins.items():
                beside = sum(spilled[above] for above, below in self.spills if below == tag)
                nets[tag], spilled[tag] = basin.limited(raw[tag] + beside)
        for tag, flow in spilled.items():
            self.log.overflows(self.now, self.levels, flow, tag)
        return nets

    def _dues(self) -> Iterator[float]:
        later = (*self.causes.dues(), *self.logic.dues(), *self.machines.dues(self.now), *self.flows.dues(self.now))
        return (due for due in later if due > self.now + 1e-9)
