"""One course of events: the level of a tank against time with the real logic.

Between two events the net flow does not change, so the volume grows straight and the next event follows without a time
step: either a delay runs out, or the level reaches a height at which something changes,

    t2 = t1 + (V(h2) - V(t1)) / Q .

What leaves by the overflow is what comes in too much, up to what the overflow carries.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from generator.compute.course_flows import Flows
from generator.compute.course_log import Log
from generator.compute.course_logic import Logic
from generator.compute.course_machines import Machines, relevant, rest_states
from generator.compute.course_points import SAME, Points
from generator.model.course import Stretch
from generator.model.plant import Definitions
from generator.model.results import ContactResult, SetpointResult, TankResult, Vessel
from generator.model.scalar import Tag

MOST_EVENTS = 400
"""A course stops after so many events, and says so."""
CURVE = 12
"""Points by which the curve of one stretch is drawn in a tank whose area changes."""
STILL = 1e-12
"""A net flow below this is none. [m3/s]"""


@dataclass(frozen=True)
class Given:
    """Something that a scenario brings about at a time: in words, the tags it is about, and what it does."""

    time: float
    words: str
    tags: tuple[str, ...]
    does: "Callable[[Run], None]"


@dataclass
class Run:
    """One course while it is worked out."""

    plant: Definitions
    result: TankResult
    vessel: Vessel
    setpoints: Mapping[str, SetpointResult]
    contacts: Mapping[str, ContactResult]
    level: float
    stated: dict[Tag, float | None]
    now: float = 0.0
    points: list[tuple[float, float]] = field(default_factory=list)
    stretches: list[Stretch] = field(default_factory=list)

    def __post_init__(self) -> None:
        plant, tank = self.plant, self.result.tag
        self.volume = self.vessel.volume_at(self.level)
        self.causes = Points(plant, self.setpoints, self.contacts, tank, is_instant=False)
        tags = relevant(plant, tank)
        rest = rest_states(plant, tags, tank)
        self.machines = Machines(plant, tags, self.causes, rest)
        self.logic = Logic(plant, tank, self.causes, self.machines, {str(tag): state for tag, state in rest.items()})
        self.flows = Flows(plant, tank, self.machines, self.stated, self.causes.faults)
        self.log = Log(plant, self.causes, self.logic, self.machines)
        self._begin()

    def _begin(self) -> None:
        """Everything at rest for the level at the start: delays long over, machines where they were told to be."""
        self.causes.is_instant = True
        self.causes.move(self.level)
        for _ in range(4):
            self.causes.follow(self.now)
            self.machines.follow(self.logic.follow(self.now), self.now)
        self.causes.is_instant = False
        self.log.begin()
        self.stood = (*((str(tag), "acts" if is_active else "lets go") for tag, is_active in self.logic.active.items()),
                      *((str(tag), one.state) for tag, one in self.machines.moving.items()))

    def until(self, end: float, script: tuple[Given, ...], stops_when_steady: bool) -> str:
        """Run to a time; why it ended, in words."""
        left = sorted(script, key=lambda one: one.time)
        seen: set[object] = set()
        while True:
            while left and left[0].time <= self.now + 1e-9:
                given = left.pop(0)
                self.log.given(self.now, self.level, given.words, given.tags)
                given.does(self)
            self._settle()
            net = self._net()
            self.points.append((self.now, self.level))
            self.stretches.append(Stretch(self.now, self.volume, net))
            next_time = min([*self._dues(), *(one.time for one in left), end])
            height = self._next_height(net)
            if stops_when_steady and not left and next_time >= end:
                if height is None:
                    return "nothing changes any more"
                state = (round(self.level, 6), self.log.signature(), round(net, 9))
                if state in seen:
                    return "from here on it repeats itself"
                seen.add(state)
            if len(self.log.events) > MOST_EVENTS:
                return f"cut after {MOST_EVENTS} events"
            if self._advance(net, height, next_time):
                return "the time to watch is over"
            if self.now >= end - 1e-9:
                self._settle()
                self.points.append((self.now, self.level))
                return "the time to watch is over"

    def _advance(self, net: float, height: float | None, next_time: float) -> bool:
        """Move on to the next event; whether there is none."""
        start = self.now
        if height is not None:
            arrives = self.now + (self.vessel.volume_at(height) - self.volume) / net
            if arrives <= next_time + 1e-9:
                self._curve(start, arrives, net)
                self.now, self.level, self.volume = arrives, height, self.vessel.volume_at(height)
                self.log.passes(self.now, self.result.levels, self.level, net > 0)
                return False
        self._curve(start, next_time, net)
        self.now, self.volume = next_time, self.volume + net * (next_time - start)
        if abs(net) > STILL:
            self.level = self.vessel.level_at(self.volume)
        return False

    def _curve(self, start: float, end: float, net: float) -> None:
        if abs(net) <= STILL or self._is_straight(self.volume, self.volume + net * (end - start)):
            return
        for step in range(1, CURVE):
            time = start + (end - start) * step / CURVE
            self.points.append((time, self.vessel.level_at(self.volume + net * (time - start))))

    def _is_straight(self, volume: float, other: float) -> bool:
        """Whether the level between two volumes grows straight: the surface is the same at both and halfway."""
        low, high = self.vessel.level_at(volume), self.vessel.level_at(other)
        areas = [self.vessel.area_at(height) for height in (low, (low + high) / 2, high)]
        return max(areas) - min(areas) <= 1e-6 * max(areas)

    def _settle(self) -> None:
        for _ in range(8):
            self.causes.move(self.level)
            self.causes.follow(self.now)
            known = len(self.machines.known_out)
            changed = self.machines.follow(self.logic.follow(self.now), self.now)
            if not self.log.changes(self.now, self.level) and not changed and known == len(self.machines.known_out):
                return

    def _net(self) -> float:
        net = self.flows.net(self.level, self.now)
        self.log.flows(self.now, self.level, self.flows.last)
        tank = self.plant.tanks[Tag(self.result.tag)]
        overflow = tank.levels.overflow
        if net > 0 and overflow is not None and self.level >= overflow.si - SAME:
            carries = tank.overflow.carries.si if tank.overflow and tank.overflow.carries else net
            self.log.overflows(self.now, self.level, min(net, carries))
            net = max(0.0, net - carries)
        else:
            self.log.overflows(self.now, self.level, 0.0)
        if net > 0 and self.level >= self.vessel.top - SAME:
            return 0.0
        if net < 0 and self.level <= self.vessel.bottom + SAME:
            return 0.0
        return net

    def _dues(self) -> Iterator[float]:
        later = (*self.causes.dues(), *self.logic.dues(), *self.machines.dues(self.now), *self.flows.dues(self.now))
        return (due for due in later if due > self.now + 1e-9)

    def _next_height(self, net: float) -> float | None:
        """The next height in the way of the level at which something changes."""
        if abs(net) <= STILL:
            return None
        way = 1.0 if net > 0 else -1.0
        levels = self.plant.tanks[Tag(self.result.tag)].levels
        edges = [edge.si for edge in (levels.normal_low, levels.normal_high) if edge is not None]
        lines = [line.height for line in self.result.levels if line.kind in ("vessel", "process")]
        heights = [*self.causes.thresholds(net > 0), *edges, *lines, self.vessel.top, self.vessel.bottom]
        ahead = [height for height in heights if (height - self.level) * way > SAME
                 and self.vessel.bottom - SAME <= height <= self.vessel.top + SAME]
        return min(ahead, key=lambda height: height * way, default=None)
