"""Interlocks and controls while a level moves: what stands, what is held, and what each final element is told.

The meaning is that of `compute/logic.py` and `compute/logic_states.py`; here delays run in real time. Nobody resets,
pushes or bypasses anything but where a scenario says so. Where two interlocks want one element in two states and neither
wins over the other, the one that stops, shuts or switches off is taken, and the course says so.
"""

from collections.abc import Iterator
from functools import partial
from math import inf, isfinite

from generator.compute import logic
from generator.compute.course_causes import FirstCauses
from generator.compute.course_machines import STOPS, Machines
from generator.compute.course_points import Points
from generator.compute.logic_states import counted
from generator.compute.logic_times import acting, answer, seconds, signal
from generator.compute.timed import Timed
from generator.model.condition import Acted, Condition, Held, Not, Vote
from generator.model.condition import AllOf as All
from generator.model.interlock import Interlock, StartStop
from generator.model.plant import Definitions
from generator.model.scalar import Tag


class Logic:
    """The interlocks and controls of the tanks that move, at one moment."""

    def __init__(
        self, plant: Definitions, tanks: tuple[str, ...], points: Points, machines: Machines, rest: dict[str, str],
    ) -> None:
        self.plant, self.points, self.machines, self.rest = plant, points, machines, rest
        tags = dict.fromkeys(lock for tank in tanks for lock in plant.interlocks_of_tank[tank])
        tags |= dict.fromkeys(lock for tag in machines.moving for lock in plant.interlocks_of_effect[tag])
        self.locks = {tag: plant.interlocks[tag] for tag in tags}
        self.demand = {tag: Timed() for tag in tags}
        self.held: dict[int, Timed] = {}
        self.latched: set[Tag] = set()
        self.first = FirstCauses({} if points.is_instant else self.locks)
        self.active: dict[str, bool] = dict.fromkeys(tags, False)
        self.controls = {tag: plant.controls[tag] for tank in tanks for tag in plant.controls_of_tank[tank]}
        self.asked = {tag: [False] * len(one.starts) for tag, one in self.controls.items() if isinstance(one, StartStop)}
        self.starts = {tag: [Timed() for _ in asked] for tag, asked in self.asked.items()}
        """The starts that a control orders: what it asks for, once its logic has answered."""
        self.duty: dict[str, int] = {}
        self.orders = dict(rest)
        self.undecided: set[tuple[str, ...]] = set()
        self.bypassed: set[Tag] = set()
        self.out: dict[int, tuple[Tag, bool]] = {}
        """Members of votes that a bypass takes out, under the identity of their interlock, and whether they count as acted."""
        self.start_ups: dict[Tag, float] = {}
        """Start-up bypasses that are on, each with the time at which it ends at the latest."""
        self.ended: list[Tag] = []
        """Those that have ended by themselves, in their order."""
        self.asleep: frozenset[str] = frozenset()
        """Interlocks, controls and alarms that are not live in the mode that is chosen."""
        conditions = [one.reset.when for one in self.locks.values() if one.reset is not None]
        self.resets = [] if points.is_instant else [when for when in conditions if _waits(when)]
        """What a reset asks for, where that must last: it lasts whether anybody pushes or not."""
        self.names = {id(lock): tag for tag, lock in self.locks.items()}
        self.by_control = dict(rest)
        """What ordinary running alone last ordered."""
        self.delays = {tag: acting(plant, tag) for tag in self.locks} if not points.is_instant else {}
        self.answers = {tag: _answer(plant, tag) for tag in self.asked} if not points.is_instant else {}
        self.drives = {tag: self._driving(tag, is_permissive=False) for tag in machines.moving}
        self.permits = {tag: self._driving(tag, is_permissive=True) for tag in machines.moving}
        losses = () if points.is_instant else (tag for tag, one in plant.signals.items() if one.of in plant.supplies or (
            one.of in plant.links))
        origins = (*points.own, *self.locks, *losses)
        self.origins = {alarm: str(origin) for origin in origins for alarm in plant.alarms_of[origin]
                        if not plant.alarms[alarm].deviation_of}
        self.alarms = {alarm: Timed() for alarm in self.origins}

    def follow(self, now: float) -> dict[str, str]:
        """One step of everything; what each element is told."""
        self._end_start_ups(now)
        for tag, lock in self.locks.items():
            self.active[tag] = self._active(tag, lock, now)
            if not self.points.is_instant:
                live = partial(self._holds, lock=lock, demand=True, now=now) if self.is_live(tag) else (lambda _way: False)
                self.first.follow(tag, now, live, self._is_pushed(lock), self.active[tag])
        for when in self.resets:
            self._holds(when, None, True, now)
        wanted = dict(self.rest)
        for tag in self.asked:
            wanted.update(self._start_stop(tag, now))
        links = self.points.links
        if links.lost:
            wanted = {tag: links.held_orders(tag, self.plant.controls_of_element[tag], self.by_control.get(tag, state)) or state
                      for tag, state in wanted.items()}
        self.by_control = wanted
        wanted = {tag: self._permitted(tag, state) for tag, state in wanted.items()}
        held_back = self.points.held_back()
        for tag, drives in self.drives.items():
            wants = {lock: state for lock, state in drives
                     if (links.gives(lock, tag, self.active[lock]) if links.lost else self.active[lock])
                     and (lock, tag) not in held_back}
            if wants:
                wanted[tag] = self._forced(tag, wants)
        for alarm, timed in self.alarms.items():
            origin = self.origins[alarm]
            asked = self.active[origin] if origin in self.active else self.points.acted(origin)
            asked = (links.message(alarm, origin, asked) if links.lost else asked) and alarm not in self.asleep
            if asked != timed.value or timed.due is not None:
                one = self.plant.alarms[alarm]
                delays = (None, None) if self.points.is_instant else (one.on_delay, one.off_delay)
                timed.follow(asked, now, *(delay.si if delay else 0.0 for delay in delays))
        self.orders = wanted
        return wanted

    def dues(self) -> Iterator[float]:
        """When a delay will be over."""
        started = (timed for starts in self.starts.values() for timed in starts)
        for timed in (*self.demand.values(), *self.held.values(), *self.alarms.values(), *started):
            if timed.due is not None:
                yield timed.due
        yield from (due for due in self.start_ups.values() if isfinite(due))

    def forget(self) -> None:
        """Power is back: latches that do not survive are gone, starts asked for are forgotten."""
        self.latched = {tag for tag in self.latched
                        if (latch := self.locks[tag].latch) is not None and latch.survives_power_loss}
        self.asked = {tag: [False] * len(one) for tag, one in self.asked.items()}
        started = (timed for starts in self.starts.values() for timed in starts)
        for timed in (*self.demand.values(), *self.held.values(), *started):
            timed.value, timed.due = False, None

    def is_live(self, tag: Tag) -> bool:
        """Whether an interlock is neither bypassed nor out of use in the mode that is chosen."""
        return tag not in self.bypassed and tag not in self.asleep

    def bypass(self, tag: Tag, is_on: bool, now: float) -> None:
        """Put an interlock out of use or back; where its bypass takes out one member of a vote, the first member."""
        lock = self.plant.interlocks[tag]
        self.start_ups.pop(tag, None)
        if is_on and lock.bypass is not None and lock.bypass.start_up_only:
            self.start_ups[tag] = now + lock.bypass.ends_after.si if lock.bypass.ends_after else inf
        out = member_out(lock)
        if out is None:
            (self.bypassed.add if is_on else self.bypassed.discard)(tag)
        elif is_on:
            self.out[id(lock)] = out
        else:
            self.out.pop(id(lock), None)

    def reset(self, tag: Tag, now: float) -> bool:
        """Push the reset of an interlock; whether it is accepted."""
        is_taken = bool(tag in self.locks and self.is_accepted(tag, now))
        if is_taken:
            self.latched.discard(tag)
        return is_taken

    def is_accepted(self, tag: Tag, now: float) -> bool | None:
        """Whether the reset of an interlock would be accepted now; None where how it is reset is not recorded."""
        reset = self.locks[tag].reset
        return None if reset is None else bool(self._holds(reset.when, None, True, now))

    def _end_start_ups(self, now: float) -> None:
        """A start-up bypass ends by itself: after its time, or once its condition holds."""
        for tag, latest in tuple(self.start_ups.items()):
            bypass = self.plant.interlocks[tag].bypass
            ends = bypass.ends if bypass is not None else None
            if latest <= now + 1e-9 or (ends is not None and self._holds(ends, None, True, now)):
                self.bypass(tag, False, now)
                self.ended.append(tag)

    # ---- interlocks ----------------------------------------------------------------------------------------------

    def _active(self, tag: Tag, lock: Interlock, now: float) -> bool:
        asked = self._holds(lock.when, lock, True, now) and self.is_live(tag)
        on, off = (0.0, 0.0) if self.points.is_instant else self.delays[tag]
        demand = self.demand[tag].follow(asked, now, on, off)
        demand = demand or self._is_pushed(lock)
        if lock.latch is None:
            return demand
        if demand:
            self.latched.add(tag)
        return tag in self.latched

    def _sees(self, function: Tag, point: Tag) -> bool:
        """A point as ordinary running sees it: on a link that is lost it shows what it showed last."""
        return self.points.links.shows(function, point, self.points.acted(point))[0]

    def _is_pushed(self, lock: Interlock) -> bool:
        return lock.manual_stop is not None and self.points.acted(lock.manual_stop)

    def _holds(self, condition: Condition, lock: Interlock | None, demand: bool, now: float) -> bool:
        match condition:
            case Acted(tag=tag):
                if self.out and tag == self.out.get(id(lock), ("", False))[0]:
                    return self.out[id(lock)][1]
                acted, is_bad = self.points.acted(tag), self.points.is_bad(tag)
                if lock is not None and self.points.links.lost:
                    acted, is_cut = self.points.links.shows(self.names[id(lock)], tag, acted)
                    is_bad = is_bad or is_cut
                if lock is None or not is_bad:
                    return acted
                return bool(counted(acted, True, lock.bad_signal, acted, demand))
            case Not(part=part):
                return not self._holds(part, lock, not demand, now)
            case Held(part=part):
                return self._lasts(condition, self._holds(part, lock, demand, now), now)
            case _:
                answers = [self._holds(part, lock, demand, now) for part in condition.parts()]
                needed = condition.needed if isinstance(condition, Vote) else (
                    len(answers) if isinstance(condition, All) else 1)
                return sum(answers) >= needed

    def _lasts(self, condition: Held, is_asked: bool, now: float) -> bool:
        """Whether what a condition asks for has stood without a break for its time."""
        on = 0.0 if self.points.is_instant else condition.time.si
        return self.held.setdefault(id(condition), Timed()).follow(is_asked, now, on, 0.0)

    def _driving(self, tag: Tag, is_permissive: bool) -> tuple[tuple[Tag, str], ...]:
        """Interlocks that drive an element, each with the state it wants; or those that permit it that state."""
        return tuple(
            (lock, str(state)) for lock in self.plant.interlocks_of_effect[tag]
            if (self.locks[lock].kind == "permissive") == is_permissive
            for target, state in self.locks[lock].then.items() if tag in (target, *self.plant.members_of(target)))

    def _forced(self, tag: Tag, wants: dict[Tag, str]) -> str:
        """What the interlocks that act want of an element, after those that give way."""
        beaten = {loser for lock in wants for loser in self.locks[lock].wins_over}
        left = {lock: state for lock, state in wants.items() if lock not in beaten} or wants
        states = sorted(set(left.values()), key=lambda state: state not in STOPS)
        if len(states) > 1:
            self.undecided.add((tag, *sorted(left)))
        return states[0]

    def _permitted(self, tag: str, state: str) -> str:
        """What a permissive leaves of an order: it blocks a start and stops nothing."""
        if tag not in self.machines.moving or state in STOPS or self.machines.state(tag) not in STOPS:
            return state
        for lock, permitted in self.permits[Tag(tag)]:
            if permitted != state or not self.is_live(lock):
                continue
            one = self.locks[lock]
            causes = set(one.when.tags())
            acted = {cause for cause in causes if self.points.acted(cause)}
            unknown = {cause for cause in causes if not self.points.is_known(cause)}
            if id(one) in self.out:
                member, counts = self.out[id(one)]
                acted, unknown = (acted | {member} if counts else acted - {member}), unknown - {member}
            if logic.evaluate(one.when, acted, unknown) is False:
                return self.machines.state(tag)
        return state

    # ---- controls ------------------------------------------------------------------------------------------------

    def _start_stop(self, tag: Tag, now: float) -> dict[str, str]:
        control = self.controls[tag]
        assert isinstance(control, StartStop)
        was = any(start.value for start in self.starts[tag])
        failed = self.points.faults.get(tag)
        if failed in ("on", "off"):
            self.asked[tag] = [failed == "on"] * len(control.starts)
        elif failed is None and tag not in self.asleep:
            self.asked[tag] = self._asked(tag, control)
        lag = 0.0 if self.points.is_instant or failed in ("on", "off") else self.answers[tag]
        count = sum(start.follow(is_asked, now, lag, lag)
                    for start, is_asked in zip(self.starts[tag], self.asked[tag], strict=True))
        members = self.plant.members_of(control.moves)
        if not members:
            on, off = ("open", "closed") if control.moves in self.plant.valves else (
                ("running", "stopped") if control.moves in self.plant.pumps else ("on", "off"))
            return {control.moves: on if count else off}
        group = self.plant.pump_groups[control.moves]
        if was and not count and group.alternation:
            self.duty[control.moves] = self.duty.get(control.moves, 0) + 1
        turn = self.duty.get(control.moves, 0) % len(members)
        in_turn = (*members[turn:], *members[:turn])
        ready = [pump for pump in in_turn if self.machines.is_available(pump)] if "standby" in group.arrangement else (
            list(in_turn))
        chosen = set(ready[:count]) | {pump for pump in in_turn[:count] if not self.machines.is_available(pump)}
        return {pump: "running" if pump in chosen else "stopped" for pump in members}

    def _asked(self, tag: Tag, control: StartStop) -> list[bool]:
        """Which starts a control asks for; with a bad point it does what is stated, else it keeps what it saw."""
        if control.bad_signal and any(self._is_bad(tag, point) for point in (*control.starts, control.stops)):
            return {"holds": self.asked[tag], "starts": [True] * len(control.starts),
                    "stops": [False] * len(control.starts)}[control.bad_signal]
        stop = self._sees(tag, control.stops)
        return [not stop and (before or self._sees(tag, start))
                for before, start in zip(self.asked[tag], control.starts, strict=True)]

    def _is_bad(self, function: Tag, point: Tag) -> bool:
        return self.points.is_bad(point) or self.points.links.shows(function, point, self.points.acted(point))[1]


def _waits(condition: Condition) -> bool:
    """Whether a condition asks for anything to last."""
    return isinstance(condition, Held) or any(_waits(part) for part in condition.parts())


def member_out(lock: Interlock) -> tuple[Tag, bool] | None:
    """The member that the bypass of a vote is taken to take out, the first; and whether it then counts as acted."""
    counts = lock.bypass.member_counts if lock.bypass is not None else None
    return None if counts is None or lock.vote is None else (next(lock.vote.tags()), counts)


def _answer(plant: Definitions, tag: Tag) -> float:
    """Time from a point of a control to its order, by the slowest of its ways. [s]"""
    control = plant.controls[tag]
    points = (*control.starts, control.stops) if isinstance(control, StartStop) else ()
    reach = max((seconds(signal(plant, tag, point)) for point in points), default=0.0)
    return reach + seconds(answer(plant, str(control.tank), tag))
