"""One tank of a course: its volume between two events, and the heights at which something changes."""

from collections.abc import Iterable

from generator.compute.course_points import SAME
from generator.model.course import Stretch
from generator.model.plant import Definitions
from generator.model.results import TankResult, Vessel
from generator.model.scalar import Tag

CURVE = 12
"""Points by which the curve of one stretch is drawn in a tank whose area changes."""
STILL = 1e-12
"""A net flow below this is none. [m3/s]"""


class Basin:
    """A tank whose level moves. Levels in m, volumes in m3, times in s."""

    def __init__(self, plant: Definitions, result: TankResult, vessel: Vessel, level: float) -> None:
        self.tag, self.result, self.vessel = result.tag, result, vessel
        self.level = min(max(level, vessel.bottom), vessel.top)
        self.volume = vessel.volume_at(self.level)
        self.points: list[tuple[float, float]] = []
        self.stretches: list[Stretch] = []
        tank = plant.tanks[Tag(result.tag)]
        self.overflow = tank.levels.overflow.si if tank.levels.overflow is not None else None
        self.carries = tank.overflow.carries.si if tank.overflow and tank.overflow.carries else None
        edges = [edge.si for edge in (tank.levels.normal_low, tank.levels.normal_high) if edge is not None]
        lines = [line.height for line in result.levels if line.kind in ("vessel", "process")]
        self.heights = (*edges, *lines, vessel.top, vessel.bottom)

    @property
    def is_empty(self) -> bool:
        """Whether nothing is left to draw."""
        return self.level <= self.vessel.bottom + SAME

    def limited(self, net: float) -> tuple[float, float]:
        """Net inflow as far as the tank can hold it or give it, and what leaves by the overflow. [m3/s]"""
        spill = 0.0
        if net > 0 and self.overflow is not None and self.level >= self.overflow - SAME:
            spill = net if self.carries is None else min(net, self.carries)
            net -= spill
        is_at_end = (net > 0 and self.level >= self.vessel.top - SAME) or (net < 0 and self.is_empty)
        return (0.0 if is_at_end else net), spill

    def next_height(self, net: float, thresholds: Iterable[float]) -> float | None:
        """The next height in the way of the level at which something changes."""
        if abs(net) <= STILL:
            return None
        way = 1.0 if net > 0 else -1.0
        ahead = [height for height in (*thresholds, *self.heights) if (height - self.level) * way > SAME
                 and self.vessel.bottom - SAME <= height <= self.vessel.top + SAME]
        return min(ahead, key=lambda height: height * way, default=None)

    def arrival(self, now: float, net: float, height: float) -> float:
        """When the level comes to a height at a net flow."""
        return now + (self.vessel.volume_at(height) - self.volume) / net

    def look(self, now: float, net: float) -> None:
        """Note where the level stands and how it goes on."""
        self.points.append((now, self.level))
        self.stretches.append(Stretch(now, self.volume, net))

    def move(self, start: float, end: float, net: float, height: float | None) -> None:
        """Follow the level over a stretch of constant flow; to a height where it arrives at one."""
        volume = self.volume + net * (end - start) if height is None else self.vessel.volume_at(height)
        level = height if height is not None else self.vessel.level_at(volume) if abs(net) > STILL else self.level
        self._curve(start, end, net, level)
        self.level, self.volume = level, volume

    def _curve(self, start: float, end: float, net: float, level: float) -> None:
        """Points on the way to a level, where the way there is not straight."""
        if abs(net) <= STILL or self._is_straight(self.level, level):
            return
        for step in range(1, CURVE):
            time = start + (end - start) * step / CURVE
            self.points.append((time, self.vessel.level_at(self.volume + net * (time - start))))

    def _is_straight(self, low: float, high: float) -> bool:
        """Whether the volume between two levels grows straight: the surface is the same at both and halfway."""
        areas = [self.vessel.area_at(height) for height in (low, (low + high) / 2, high)]
        return max(areas) - min(areas) <= 1e-6 * max(areas)
