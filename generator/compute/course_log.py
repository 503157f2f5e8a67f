"""The event list of a course: what changed since the last look, in words."""

from collections.abc import Mapping

from generator.compute.course_logic import Logic
from generator.compute.course_machines import Machines
from generator.compute.course_points import SAME, Points
from generator.model.course import CourseEvent, EventKind
from generator.model.plant import Definitions
from generator.model.results import TankResult
from generator.model.scalar import Tag

WORDS = {"closed": "is shut", "open": "is open", "stopped": "has stopped", "running": "runs", "off": "is off",
         "on": "is on", "sounding": "sounds", "modulating": "holds the level again"}


class Log:
    """What a course has seen so far. Of several tanks each event tells the level of the one that it is about."""

    def __init__(self, plant: Definitions, points: Points, logic: Logic, machines: Machines, tanks: tuple[str, ...]) -> None:
        self.plant, self.points, self.logic, self.machines, self.tanks = plant, points, logic, machines, tanks
        self.events: list[CourseEvent] = []
        self.acted: dict[str, bool] = {}
        self.alarms: dict[Tag, bool] = {}
        self.locks: dict[str, bool] = {}
        self.states: dict[Tag, str] = {}
        self.carried: dict[Tag, float] = {}
        self.overflow = dict.fromkeys(tanks, 0.0)
        self.ended = 0

    def begin(self) -> None:
        """Take what stands at the start as given."""
        self._look()
        self.overflow = dict.fromkeys(self.tanks, 0.0)

    def signature(self) -> object:
        """Everything that decides how the course goes on, times left out."""
        return (tuple(self.acted.values()), tuple(self.locks.values()), tuple(sorted(self.states.items())),
                tuple(map(tuple, self.logic.asked.values())), tuple(self.logic.start_ups))

    def given(self, now: float, levels: Mapping[str, float], words: str, tags: tuple[str, ...]) -> None:
        """Something that the scenario brings about."""
        self._add(now, levels, "given", words, tags)

    def passes(self, now: float, tank: TankResult, level: float, is_rising: bool) -> None:
        """A level has come to a height; the lines of the level drawing there."""
        verb = "rises to" if is_rising else "falls to"
        whose = f"the level of {tank.tag}" if len(self.tanks) > 1 else "the level"
        for line in tank.levels:
            if line.kind in ("vessel", "process") and abs(line.height - level) <= SAME:
                self._add(now, {tank.tag: level}, "level", f"{whose} {verb} the {line.name}", (), line.key, tank.tag)

    def overflows(self, now: float, levels: Mapping[str, float], flow: float, tank: str) -> None:
        """How much leaves by the overflow of a tank."""
        if (flow > 0) != (self.overflow[tank] > 0):
            whose = f" of {tank}" if len(self.tanks) > 1 else ""
            words = f"liquid leaves by the overflow{whose}" if flow > 0 else f"the overflow{whose} has stopped"
            self._add(now, levels, "flow", words, (), "overflows" if flow > 0 else "dry", tank)
        self.overflow[tank] = flow

    def flows(self, now: float, levels: Mapping[str, float], flows: Mapping[Tag, float]) -> None:
        """Streams that have started or ceased."""
        before, self.carried = self.carried, dict(flows)
        for tag, flow in flows.items():
            if tag in before and (flow > 0) != (before[tag] > 0):
                words = f"{self.plant.streams[tag].name}: {'runs' if flow > 0 else 'has ceased'}"
                self._add(now, levels, "flow", words, (str(tag),), "runs" if flow > 0 else "ceased")

    def changes(self, now: float, levels: Mapping[str, float]) -> bool:
        """Note everything that has changed since the last look; whether anything has."""
        acted, alarms, locks, states = self.acted, self.alarms, self.locks, self.states
        self._look()
        count = len(self.events)
        for one in self.logic.ended[self.ended:]:
            self._add(now, levels, "given", f"the start-up bypass of {one} ends by itself", (str(one),))
        self.ended = len(self.logic.ended)
        for tag, state in self.acted.items():
            if state != acted[tag]:
                self._add(now, levels, "point", f"{tag} {'acts' if state else 'clears'}", (str(tag),),
                          "acted" if state else "clear")
        for tag, state in self.locks.items():
            if state != locks[tag]:
                self._add(now, levels, "interlock", f"{tag} {self._says(Tag(tag), state)}", (str(tag),),
                          "acts" if state else "lets go")
        for tag, state in self.alarms.items():
            if state != alarms[tag]:
                words = f"alarm {tag}: {self.plant.alarms[tag].text}" if state else f"alarm {tag} clears"
                self._add(now, levels, "alarm", words, (str(tag),), "sounds" if state else "quiet")
        for tag, stands in self.states.items():
            if stands != states[tag]:
                self._add(now, levels, "element", f"{tag} {WORDS[stands]}", (str(tag),), stands)
        return len(self.events) > count

    def _says(self, tag: Tag, is_active: bool) -> str:
        if self.logic.locks[tag].kind == "permissive":
            return "allows a start" if is_active else "blocks a start"
        first = self.logic.first.words(tag) if is_active else ""
        return (f"acts, {first}" if first else "acts") if is_active else "lets go"

    def _look(self) -> None:
        self.acted = {tag: self.points.timed[tag].value for tag in self.points.own}
        self.locks = dict(self.logic.active)
        self.states = {tag: one.state for tag, one in self.machines.moving.items()}
        self.alarms = {tag: one.value for tag, one in self.logic.alarms.items()}

    def _add(self, now: float, levels: Mapping[str, float], kind: EventKind, what: str, tags: tuple[str, ...],
             turned: str = "", tank: str = "") -> None:
        tank = tank or self._tank_of(tags[0] if tags else "")
        self.events.append(CourseEvent(now, levels[tank], kind, what, tags, turned, tank))

    def _tank_of(self, tag: str) -> str:
        """The tank that an event is about: that of its point, or of the interlock behind it; else the one watched."""
        tag = self.logic.origins.get(Tag(tag), tag)
        near = [self.plant.tank_of(Tag(tag))] if tag in self.plant.switches else self.plant.tanks_of_interlock.get(tag, ())
        return next((str(tank) for tank in near if tank in self.tanks), self.tanks[0])
