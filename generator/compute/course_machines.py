"""The final elements of the tanks whose levels move: where they are ordered, where they stand, what holds them back.

A stroke, a start and a run-down are steps at their end: until then the element counts as it was. A time that is not
recorded counts as none.
"""

from collections.abc import Collection, Iterator, Mapping

from generator.compute.course_points import Points
from generator.compute.course_signals import Signals
from generator.compute.restart_times import restart_time
from generator.compute.timed import Moving
from generator.model.interlock import StartStop
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.scalar import Tag

STOPS = frozenset({"closed", "stopped", "off"})


def relevant(plant: Definitions, tanks: tuple[str, ...]) -> tuple[Tag, ...]:
    """Pumps, valves and equipment that move or use liquid of the tanks, or that their controls and interlocks drive."""
    found: dict[Tag, None] = {}
    for tank in tanks:
        for stream in (*plant.inflows_of[tank], *plant.outflows_of[tank]):
            mover = plant.streams[stream].moved_by
            for target in (*plant.streams[stream].through, *plant.streams[stream].used_by, *((mover,) if mover else ())):
                found |= dict.fromkeys(plant.members_of(target) or (target,))
        for control in plant.controls_of_tank[tank]:
            moves = plant.controls[control].moves
            found |= dict.fromkeys(plant.members_of(moves) or (moves,))
        for lock in plant.interlocks_of_tank[tank]:
            for target in plant.interlocks[lock].then:
                found |= dict.fromkeys(plant.members_of(target) or (target,))
    return tuple(found)


class Machines:
    """The final elements of the logic at one moment."""

    def __init__(self, plant: Definitions, tags: tuple[Tag, ...], points: Points, rest: Mapping[str, str]) -> None:
        self.plant, self.points = plant, points
        self.moving = {tag: Moving(rest[tag]) for tag in tags}
        self.owners = {tag: plant.find(tag) for tag in tags}
        self.supplies = {tag: getattr(owner, "supply", None) for tag, owner in self.owners.items()}
        self.panels = {tag: getattr(owner, "panel", None) for tag, owner in self.owners.items()}
        self.times = {tag: (_time(owner, ("closing_time", "stop_time")), _time(owner, ("opening_time", "start_time")))
                      for tag, owner in self.owners.items()}
        self.signals = Signals(plant, self.moving, self.times)
        points.told = self.signals.timed
        self.not_before: dict[str, float] = {}
        self.waits_for_person: set[str] = set()
        self.asked_since: dict[str, float] = {}
        self.known_out: set[str] = set()

    def state(self, tag: str) -> str:
        """Where an element stands; as good as any for one that this tank does not have."""
        return self.moving[Tag(tag)].state if tag in self.moving else ""

    def follow(self, orders: Mapping[str, str], now: float) -> list[Tag]:
        """Let every element follow its order, and the signals follow them; those that have come to another state."""
        changed = []
        for tag, element in self.moving.items():
            target = self._target(tag, orders[tag], now)
            if element.go(target, now, 0.0 if self.points.is_instant else self._time(tag, target)):
                changed.append(tag)
            self._watch(tag, orders[tag], now)
        return [*changed, *self.signals.follow(now, self.points.is_instant)]

    def dues(self, now: float) -> Iterator[float]:
        """When an element arrives, its signal comes, it may start again, or is found not to have started."""
        yield from self.signals.dues()
        yield from (one.due for one in self.moving.values() if one.due is not None)
        yield from (due for due in self.not_before.values() if due > now)
        for tag, since in self.asked_since.items():
            within = self._feedback(tag)
            if within is not None and tag not in self.known_out:
                yield since + within

    def is_available(self, tag: str) -> bool:
        """Whether a group may count on a pump: it has not been found out of order."""
        return tag not in self.known_out

    def power_back(self, now: float, elements: Collection[Tag] | None = None) -> None:
        """Power is back for some elements, or for all: who starts by itself, when, and who waits for a person."""
        elements = tuple(self.moving) if elements is None else elements
        self.known_out -= set(elements)
        for tag in elements:
            restart = getattr(self.owners[tag], "restart", None)
            if restart is not None and not restart.by_itself:
                self.waits_for_person.add(tag)
            elif (after := restart_time(self.plant, tag)) is not None:
                self.not_before[tag] = now + after

    # ---- one element ---------------------------------------------------------------------------------------------

    def _target(self, tag: Tag, order: str, now: float) -> str:
        stands = self.moving[tag].state
        fault = self.points.faults.get(tag)
        if fault == "stays":
            return stands
        if fault == "out":
            return "stopped" if tag in self.plant.pumps else stands
        if self.is_unpowered(tag) or tag in self.points.links.dropped:
            return self._without_drive(tag, stands)
        if order not in STOPS and (tag in self.waits_for_person or self.not_before.get(tag, now) > now + 1e-9):
            return stands if stands in STOPS else _opposite(order)
        return order

    def is_unpowered(self, tag: Tag) -> bool:
        """Whether what drives an element is lost: its supply, its panel, or a relay that does more than repeat a contact."""
        lost = self.points.lost
        return bool(lost) and (self.supplies[tag] in lost or self.panels[tag] in lost or any(
            self.points.is_without_drive(relay) for relay in self.plant.relays_of[tag]))

    def _without_drive(self, tag: Tag, stands: str) -> str:
        if tag in self.plant.pumps:
            return "stopped"
        if tag in self.plant.equipment:
            return "off"
        fails = self.plant.valves[tag].fails
        return stands if fails is None or fails == "in place" else fails

    def _time(self, tag: Tag, target: str) -> float:
        return 0.0 if target == "modulating" else self.times[tag][0 if target in STOPS else 1]

    def _watch(self, tag: Tag, order: str, now: float) -> None:
        """A pump that was told to run and does not is found out after its feedback time."""
        if tag not in self.plant.pumps or order != "running" or self.moving[tag].state == "running":
            self.asked_since.pop(tag, None)
            return
        within = self._feedback(tag)
        since = self.asked_since.setdefault(tag, now)
        is_out = tag in self.points.faults or self.is_unpowered(tag)
        if is_out and within is not None and (self.points.is_instant or since + within <= now + 1e-9):
            self.known_out.add(tag)

    def _feedback(self, tag: str) -> float | None:
        if tag not in self.points.faults and not self.is_unpowered(Tag(tag)):
            return None
        feedback = self.plant.pumps[Tag(tag)].feedback
        return feedback.within.si if feedback and feedback.within else None


def rest_states(plant: Definitions, tags: tuple[Tag, ...], tanks: tuple[str, ...]) -> dict[str, str]:
    """How each element stands in ordinary running, nothing having acted and no start being asked for.

    What an interlock drives away from stands there before. A pump without a control of these tanks runs, the first of each
    group; what nothing drives is open, stopped or off, and on where it uses up a stream.
    """
    controls = [plant.controls[control] for tank in tanks for control in plant.controls_of_tank[tank]]
    driven = {moved for control in controls if isinstance(control, StartStop)
              for moved in (plant.members_of(control.moves) or (control.moves,))}
    loops = {control.moves for control in controls if not isinstance(control, StartStop)}
    loops |= {member for moves in tuple(loops) for member in plant.members_of(moves)}
    return {tag: "modulating" if tag in loops else _rest(plant, tag, tag in driven) for tag in tags}


def _rest(plant: Definitions, tag: Tag, is_driven: bool) -> str:
    if tag in plant.pumps:
        groups = [plant.pump_groups[group] for group in plant.group_of[tag]]
        is_first = not groups or any(group.pumps[0] == tag for group in groups)
        return "running" if not is_driven and is_first and plant.streams_of[tag] else "stopped"
    if is_driven:
        return "closed" if tag in plant.valves else "off"
    states = [plant.interlocks[lock].then[tag] for lock in plant.interlocks_of_effect[tag]
              if plant.interlocks[lock].kind != "permissive" and tag in plant.interlocks[lock].then]
    if states:
        return _opposite(states[0])
    if tag in plant.valves:
        return "open"
    return "on" if any(tag in stream.used_by for stream in plant.streams.values()) else "off"


def _opposite(state: str) -> str:
    return {"open": "closed", "closed": "open", "running": "stopped", "stopped": "running", "on": "off", "off": "on",
            "sounding": "off", "modulating": "closed"}[state]


def _time(owner: object, names: tuple[str, ...]) -> float:
    """A time of an element under one of its names; none where it is not recorded. [s]"""
    time: Duration | None = next((found for name in names if (found := getattr(owner, name, None))), None)
    return time.si if time else 0.0
