"""One or several things out of order, and what that leaves of interlocks, alarms and controls.

A point or signal that lies is forced to a state; one whose fault is detected counts as its interlock says; one that
stands still shows what it shows in ordinary running. Healthy points are taken as doing their work. An interlock that
rests on levels acts against a hazard by the points that the level meets on its way there: a button, a running time or
a point of the other direction may bring it about too, and stands in for none of them. Ordinary running means: no trip
and no alarm asks, nothing is pushed, the level is somewhere in its normal band.
"""

from collections.abc import Callable, Mapping
from functools import cached_property, partial

from msgspec import Struct, field
from msgspec.structs import replace

from generator.compute.causes import level_causes
from generator.compute.layers import Layers, Side
from generator.compute.liquid_effects import OPPOSITE, STARTED, STOPPED
from generator.model.condition import Acted, AllOf, Condition, Held, Not, Vote
from generator.model.failure import Layer
from generator.model.interlock import Interlock, StartStop
from generator.model.plant import Definitions
from generator.model.scalar import Tag

BUTTONS = frozenset(("manual stop", "emergency stop"))
"""Signals that only a person gives: no layer may count on them."""
QUIET = frozenset(("manual stop", "emergency stop", "reset", "bypass key", "supply lost", "air lost", "bad signal",
                   "communication lost", "controller stopped"))
"""Kinds of signals that are off in ordinary running; of the others it is not known."""


class Damage(Struct, frozen=True):
    """What is out of order. `states` are devices that stand in a state, or go there, whatever they are told."""

    forced: Mapping[str, bool] = field(default_factory=dict)
    bad: frozenset[str] = frozenset()
    still: frozenset[str] = frozenset()
    states: Mapping[str, str] = field(default_factory=dict)
    dead: frozenset[str] = frozenset()
    """Interlocks and controls whose logic stands still or is bypassed."""
    unreached: frozenset[tuple[str, str]] = frozenset()
    """Pairs of an interlock and a device that it no longer reaches."""
    unseen: frozenset[tuple[str, str]] = frozenset()
    """Pairs of a function and a point or signal that it gets another way: what is wrong with that does not reach it."""
    silent: frozenset[str] = frozenset()
    """Alarms whose message does not come through."""

    def seen_by(self, function: str) -> "Damage":
        """The damage as one function sees it."""
        apart = {tag for one, tag in self.unseen if one == function}
        if not apart:
            return self
        return replace(self, forced={tag: state for tag, state in self.forced.items() if tag not in apart},
                       bad=self.bad - apart, still=self.still - apart)


UNHURT = Damage()


def holds(condition: Condition, literal: Callable[[str, bool], bool], positive: bool = True) -> bool:
    """Whether a condition (or its opposite) holds, from what each tag, as it is asked for, is taken to be.

    >>> vote = Condition.read({"2 of": ["A", "B", "C"]})
    >>> holds(vote, lambda tag, positive: tag != "A"), holds(vote, lambda tag, positive: tag == "B")
    (True, False)
    """
    match condition:
        case Acted(tag=tag):
            return literal(tag, positive)
        case Not(part=part):
            return holds(part, literal, not positive)
        case Held(part=part):
            return holds(part, literal, positive)
    parts = condition.parts()
    needed = condition.needed if isinstance(condition, Vote) else len(parts) if isinstance(condition, AllOf) else 1
    if not positive:
        needed = len(parts) - needed + 1
    return sum(holds(part, literal, positive) for part in parts) >= needed


def rests_on(
    condition: Condition, literal: Callable[[str, bool], bool], counts: Callable[[str, bool], bool], positive: bool = True,
) -> bool:
    """Whether a condition can hold by a tag that counts; where none does by itself, others may have to help it.

    >>> either, both = Condition.read({"any_of": ["A", "B"]}), Condition.read({"all_of": ["A", "B"]})
    >>> sound, only_a, no_a = (lambda tag, way: True), (lambda tag, way: tag == "A"), (lambda tag, way: tag != "A")
    >>> rests_on(either, sound, only_a), rests_on(either, no_a, only_a), rests_on(both, sound, only_a)
    (True, False, True)
    """
    match condition:
        case Acted(tag=tag):
            return literal(tag, positive) and counts(tag, positive)
        case Not(part=part):
            return rests_on(part, literal, counts, not positive)
    return holds(condition, literal, positive) and any(
        rests_on(part, literal, counts, positive) for part in condition.parts())


class Judge(Struct, frozen=True, dict=True):
    """What a damage leaves of each function."""

    plant: Definitions
    layers: Layers

    @cached_property
    def defects(self) -> frozenset[str]:
        """Bodies with a defect that stands, and their points: they no longer move."""
        bodies = [tag for tag, body in self.plant.instruments.items() if body.known_defect is not None]
        return frozenset((*map(str, bodies), *(str(point) for body in bodies for point in self.plant.points_of[body])))

    # ---- causes --------------------------------------------------------------------------------------------------

    def can_ask(self, lock: Interlock, damage: Damage, side: Side | None = None) -> bool:
        """Whether the cause of an interlock can still come about by itself when it is needed; nobody pushes a button.

        One that acts on levels needs a level to bring it about, on its way to the hazard: that of `side`, or its own.
        """
        literal = self._sound(lock, damage)
        counts = self.against(lock, side)
        return holds(lock.when, literal) if counts is None else rests_on(lock.when, literal, counts)

    def _sound(self, lock: Interlock, damage: Damage) -> Callable[[str, bool], bool]:
        """What each tag, as it is asked for, can still be."""
        def literal(tag: str, positive: bool) -> bool:
            if tag in damage.forced:
                return damage.forced[tag] == positive
            signal = self.plant.signals.get(Tag(tag))
            if signal is not None and signal.kind in BUTTONS:
                return not positive
            if tag in damage.bad:
                return lock.bad_signal == "trips"
            return self.at_rest(tag) == positive if tag in damage.still else True

        return literal

    def against(self, lock: Interlock, side: Side | None = None) -> Callable[[str, bool], bool] | None:
        """Which causes meet the level on its way to the hazard; None for a permissive, and where no level is among them.

        Where none of the level points stands on that way, or the hazard has none, each of them counts.
        """
        if lock.kind == "permissive":
            return None
        causes = level_causes(self.plant, lock.when)
        if not causes:
            return None
        side = side or self.layers.sides.get(str(lock.hazard))
        near = [one for one in causes if side is not None and self.plant.tank_of(one.tag) == side.tank
                and one.direction(self.plant) == side.direction]
        known = {(str(one.tag), not one.is_negated) for one in near or causes}
        return lambda tag, positive: (tag, positive) in known

    def still_by(self, lock: Interlock, damage: Damage) -> tuple[str, ...]:
        """What still brings an interlock about by itself, whatever the level does."""
        literal = self._sound(lock, damage)
        return tuple(dict.fromkeys(
            str(tag) for tag in lock.when.tags() if True in lock.when.senses(tag)
            and rests_on(lock.when, literal, partial(_is_acted, tag))))

    def useless(self, lock: Interlock, damage: Damage) -> tuple[str, ...]:
        """Causes of an interlock that the damage keeps from helping it, in either sense in which it asks for them."""
        now, before = self._sound(lock, damage), self._sound(lock, UNHURT)
        return tuple(str(tag) for tag in dict.fromkeys(lock.when.tags()) for ways in [lock.when.senses(tag)]
                     if not any(now(tag, way) for way in ways) and any(before(tag, way) for way in ways))

    def deaf_to(self, lock: Interlock, damage: Damage) -> tuple[str, ...]:
        """Stops by hand of an interlock that the damage keeps off for good: pushed, they do nothing."""
        asked = (tag for tag in lock.when.tags() if True in lock.when.senses(tag))
        return tuple(str(tag) for tag in dict.fromkeys((*([lock.manual_stop] if lock.manual_stop else []), *asked))
                     if (signal := self.plant.signals.get(Tag(tag))) is not None and signal.kind in BUTTONS
                     and damage.forced.get(str(tag)) is False)

    def asks(self, lock: Interlock, damage: Damage) -> bool:
        """Whether the cause of an interlock certainly stands in ordinary running."""
        def literal(tag: str, positive: bool) -> bool:
            if tag in damage.forced:
                return damage.forced[tag] == positive
            if tag in damage.bad and lock.bad_signal == "trips":
                return True
            rest = self.at_rest(tag)
            return rest is not None and rest == positive

        return holds(lock.when, literal)

    def at_rest(self, tag: str) -> bool | None:
        """State of a point or signal in ordinary running; None where it may be either."""
        switch = self.plant.switches.get(Tag(tag))
        if switch is not None:
            return None if switch.role in ("control", "permissive") else False
        signal = self.plant.signals.get(Tag(tag))
        return False if signal is not None and signal.kind in QUIET else None

    # ---- interlocks ----------------------------------------------------------------------------------------------

    def acts_for_nothing(self, tag: str, lock: Interlock, damage: Damage) -> bool:
        """Whether an interlock acts that did not before. A permissive that is lost blocks a start and is told apart."""
        if tag in damage.dead or lock.kind == "permissive":
            return False
        stop, damage = lock.manual_stop, damage.seen_by(tag)
        pushed = stop is not None and damage.forced.get(stop) is True
        return (pushed or self.asks(lock, damage)) and not self.asks(lock, UNHURT)

    def reach(self, tag: str, lock: Interlock, damage: Damage, side: Side | None = None) -> str:
        """What is left of an interlock against a side, or against its own: "whole", "part" of its devices, or "nothing"."""
        if tag in damage.dead or not self.can_ask(lock, damage.seen_by(tag), side):
            return "nothing"
        if lock.kind == "permissive":
            return "whole"
        reached = [self.moves(tag, device, state, damage) for device, state in lock.then.items()]
        if all(reached):
            return "whole"
        helping = [done for done, (device, state) in zip(reached, lock.then.items(), strict=True)
                   if device not in self.plant.equipment or self.plant.equipment[device].kind not in (
                       "horn", "beacon", "call-out") or len(lock.then) == 1]
        return "part" if any(helping) else "nothing"

    def moves(self, tag: str, device: Tag, state: str, damage: Damage) -> bool:
        """Whether an interlock still brings a device, or a group of them, to a state."""
        members = self.plant.members_of(device) or (device,)
        done = [(tag, str(one)) not in damage.unreached and (tag, str(device)) not in damage.unreached
                and damage.states.get(one, state) == state for one in members]
        return any(done) if state in STARTED and len(members) > 1 else all(done)

    # ---- layers --------------------------------------------------------------------------------------------------

    def standing(self, layer: Layer, damage: Damage) -> str:
        """What is left of a layer: "whole", "part", "nothing"."""
        if layer.kind == "alarm":
            return "whole" if self.can_sound(layer.tag, damage) else "nothing"
        if layer.kind == "control":
            return "nothing" if self.control(layer.tag, damage) else "whole"
        return self.reach(layer.tag, self.plant.interlocks[Tag(layer.tag)], damage, self.layers.sides.get(layer.hazard))

    def can_sound(self, tag: str, damage: Damage) -> bool:
        """Whether an alarm can still sound when it is needed."""
        source = str(self.plant.alarms[Tag(tag)].from_)
        if tag in damage.silent:
            return False
        if source in self.plant.interlocks:
            return source not in damage.dead and self.can_ask(self.plant.interlocks[Tag(source)], damage.seen_by(source))
        damage = damage.seen_by(tag)
        return damage.forced.get(source) is not False and source not in damage.bad and source not in damage.still

    def control(self, tag: str, damage: Damage) -> str:
        """What ordinary running does wrong: "runs on", "does not run", "either"; empty where it is not touched."""
        control, damage = self.plant.controls[Tag(tag)], damage.seen_by(tag)
        moved = self.plant.members_of(control.moves) or (control.moves,)
        states = [damage.states[one] for one in moved if one in damage.states]
        if states and (len(states) == len(moved) or any(state in STARTED for state in states)):
            return "runs on" if any(state in STARTED for state in states) else "does not run"
        if tag in damage.dead:
            return "either"
        if not isinstance(control, StartStop):
            return self._loop(control.measures, str(control.rising_level), str(control.bad_signal), damage)
        stop, starts = str(control.stops), list(map(str, control.starts))
        if damage.forced.get(stop) is True:
            return "does not run"
        if damage.forced.get(stop) is False or (any(damage.forced.get(one) is True for one in starts)
                                                and damage.forced.get(stop) is not True):
            return "runs on"
        if all(damage.forced.get(one) is False for one in starts):
            return "does not run"
        if any(one in damage.bad for one in (stop, *starts)) and control.bad_signal in ("starts", "stops"):
            return "runs on" if control.bad_signal == "starts" else "does not run"
        hurt = [one for one in (stop, *starts) if one in damage.bad or one in damage.still]
        return "either" if hurt else ""

    def _loop(self, measures: str, rising: str, bad_signal: str, damage: Damage) -> str:
        """A loop drives its device by what its transmitter shows."""
        points = self.plant.points_of[measures]
        reads_high = damage.forced.get(f"{measures} reads")
        if measures in damage.bad or any(one in damage.bad for one in points):
            return {"opens": "runs on", "shuts": "does not run"}.get(bad_signal, "either")
        if measures in damage.still:
            return "either"
        if reads_high is None:
            return ""
        return "runs on" if reads_high == (rising == "opens") else "does not run"

    def usual(self, device: str) -> str | None:
        """State of a device that interlocks alone drive, while none of them asks; None for one that a control moves."""
        if self.plant.controls_of_element[device]:
            return None
        asked = {OPPOSITE.get(state) for tag in self.plant.interlocks_of_effect[device]
                 if (lock := self.plant.interlocks[tag]).kind != "permissive" for target, state in lock.then.items()
                 if device in (target, *self.plant.members_of(target))}
        return asked.pop() if len(asked) == 1 else None

    # ---- levels --------------------------------------------------------------------------------------------------

    def levels(self, damage: Damage, controls: Mapping[str, str], acting: tuple[str, ...]) -> dict[tuple[str, str], None]:
        """Levels that the damage drives: by controls that run on or do not run, and by devices that go somewhere."""
        found: dict[tuple[str, str], None] = {}

        def add(device: str, state: str) -> None:
            for tank, sign in self.layers.liquid.neighbours(device, state):
                found[tank, "rising" if sign > 0 else "falling"] = None

        for tag, does in controls.items():
            control = self.plant.controls[Tag(tag)]
            is_valve = control.moves in self.plant.valves
            ends = {"runs on": ("open" if is_valve else "running",), "does not run": ("closed" if is_valve else "stopped",)}
            for state in ends.get(does, ("open", "closed") if is_valve else ("running", "stopped")):
                add(str(control.moves), state)
        for device, state in damage.states.items():
            if (state in STOPPED or state in STARTED) and state != self.usual(device):
                groups = [group for group in self.plant.group_of[device] if all(
                    damage.states.get(one) == state for one in self.plant.members_of(group))]
                if state in STARTED or groups or not self.plant.group_of[device]:
                    add(device, state)
        for tag in acting:
            for device, state in self.plant.interlocks[Tag(tag)].then.items():
                add(str(device), state)
        return {side: None for side in found if not self.stands_still(*side, damage)}

    def stands_still(self, tank: str, way: str, damage: Damage) -> bool:
        """Whether everything that could move a level that way stands stopped or shut by the damage."""
        streams = [one for one in self.plant.streams.values() if (one.into if way == "rising" else one.from_) == tank]
        pumps = [tag for tag, pump in self.plant.pumps.items() if way == "falling" and pump.suction.tank == tank]
        return bool(streams) and all(
            not one.by_overflow and any(self._is_stopped(tag, damage) for tag in (*one.through, one.moved_by) if tag)
            for one in streams) and all(self._is_stopped(tag, damage) for tag in pumps)

    def _is_stopped(self, device: Tag, damage: Damage) -> bool:
        return all(damage.states.get(one) in STOPPED for one in self.plant.members_of(device) or (device,))


def _is_acted(tag: Tag, one: Tag, positive: bool) -> bool:
    """Whether a leaf of a condition asks that a cause has acted."""
    return one == tag and positive
