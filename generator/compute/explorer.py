"""Every state of one tank's logic: per band of levels, rising and falling, sound or with one device failed.

Delays are over in each of them. Every walk begins in the normal band, everything reset and every control as it is after
one turn through it; it goes to the far end of the vessel and comes back through every band. On the way back, resets are
either given as soon as they are accepted, or by nobody: then what is held stays held all the way. Other tanks stand in
the middle of their normal bands, and nobody pushes anything.

How long a machine has run is no matter of the level: a cause that asks for a running time is taken as not yet come, and
the explorer names it.
"""

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping
from functools import partial
from itertools import pairwise

from generator.compute.course_logic import Logic
from generator.compute.course_machines import Machines, relevant, rest_states
from generator.compute.course_points import SAME, Points
from generator.compute.course_signals import told_by
from generator.compute.failure_sequels import longest_held
from generator.model.condition import Held
from generator.model.course import Explorer, Explorers, Item, RunningTime, SupposedFault
from generator.model.plant import Definitions
from generator.model.results import ContactResult, SetpointResult, TankResult
from generator.model.scalar import Tag

MOST_STATES = 20_000
"""Bands times directions times faults beyond which the table is not made."""
SOUND = SupposedFault("", "", "Nothing has failed")


def results(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    contacts: Mapping[str, ContactResult],
) -> Explorers:
    """The explorer of each tank that has a shape and a point, worked out when it is first asked for."""
    made: dict[str, Callable[[], Explorer]] = {}
    for tag, result in tanks.items():
        points = Points(plant, setpoints, contacts, (tag,), is_instant=True)
        if result.vessel is not None and points.own:
            made[tag] = partial(_explorer, plant, result, setpoints, contacts, points)
    return Explorers(made)


def _explorer(
    plant: Definitions, result: TankResult, setpoints: Mapping[str, SetpointResult],
    contacts: Mapping[str, ContactResult], points: Points,
) -> Explorer:
    assert result.vessel is not None
    bottom, top = result.vessel.bottom, result.vessel.top
    lines = _lines(result, points, bottom, top)
    edges, names = tuple(lines), tuple(lines.values())
    machines = relevant(plant, (result.tag,))
    faults = (SOUND, *_faults(points, machines, rest_states(plant, machines, (result.tag,))))
    start = _start(plant, result.tag, bottom, top)
    sweep = _Sweep(plant, setpoints, contacts, result.tag, machines, edges, bottom, top, start)
    items = sweep.items()
    times = tuple(_running_times(plant, sweep.locks))
    count = 4 * (len(edges) + 1) * len(faults)
    if count > MOST_STATES:
        why = f"{count} states are more than the {MOST_STATES} that a page can carry"
        return Explorer(result.tag, edges, names, bottom, top, start[0], items, (SOUND,), (sweep.states(SOUND),), why,
                        times)
    sound = sweep.states(SOUND)
    told = {of for of, _ in told_by(plant, machines).values()}
    states = [sound]
    for fault in faults[1:]:
        alone = _alone(plant, sweep, told, fault)
        states.append(sweep.states(fault) if alone is None else _standing(sound, items, alone))
    return Explorer(result.tag, edges, names, bottom, top, start[0], items, faults, tuple(states),
                    running_times=times)


def _alone(plant: Definitions, sweep: "_Sweep", told: Collection[str], fault: SupposedFault) -> Mapping[str, str] | None:
    """What a fault leaves standing in one state, where nothing else of the tank rests on it; None where something may.

    That is an element that never moves, of which no signal tells and which no group can replace; or points that only
    alarms are raised from.
    """
    if fault.tag in sweep.rest:
        return None if fault.tag in told or fault.tag in plant.pumps else {fault.tag: sweep.rest[fault.tag]}
    made: dict[str, str] = {}
    for tag in plant.points_of.get(fault.tag, (Tag(fault.tag),)):
        if plant.interlocks_of_cause[tag] or plant.controls_of_point[tag] or plant.interlocks_reset_at[tag]:
            return None
        if tag in sweep.points.rises:
            is_on = fault.how == "acted" if fault.how in ("acted", "clear") else sweep.points.rises[tag] == (fault.how == "wet")
            made[tag] = "acted" if is_on else "clear"
            made |= {alarm: "sounds" if is_on else "quiet" for alarm in sweep.alarms if sweep.logic.origins[alarm] == tag}
    return made


def _running_times(plant: Definitions, locks: Collection[Tag]) -> Iterator[RunningTime]:
    """Causes of interlocks that the level alone does not bring about: what a machine does for a time."""
    for tag in sorted(locks):
        condition = plant.interlocks[tag].when
        for signal in dict.fromkeys(condition.tags()):
            if _tells_of_running(plant, signal) and (times := longest_held(condition, signal)):
                yield RunningTime(str(tag), str(signal), True in condition.senses(signal),
                                  " and ".join(time.written for time in times))


def _tells_of_running(plant: Definitions, tag: Tag) -> bool:
    signal = plant.signals.get(tag)
    return signal is not None and signal.kind == "running"


class _Lasting(Logic):
    """Interlocks and controls of which no running time is over."""

    def _lasts(self, condition: Held, is_asked: bool, now: float) -> bool:
        if all(_tells_of_running(self.plant, tag) for tag in condition.tags()):
            return False
        return super()._lasts(condition, is_asked, now)


def _standing(
    sound: tuple[tuple[tuple[str, ...], ...], ...], items: tuple[Item, ...], alone: Mapping[str, str],
) -> tuple[tuple[tuple[str, ...], ...], ...]:
    """The sound states, but for some items that stand as they stand."""
    fixed = [alone.get(item.tag) for item in items]
    return tuple(tuple(tuple(state if stands is None else stands for state, stands in zip(band, fixed, strict=True))
                       for band in way) for way in sound)


def _lines(result: TankResult, points: Points, bottom: float, top: float) -> dict[float, str]:
    """Heights at which something changes or that the vessel fixes, lowest first, each with what it is."""
    found: list[tuple[float, str]] = []
    for tag, (act, reset) in points.heights.items():
        found += [(act, f"{tag} acts"), (reset, f"{tag} clears")] if act != reset else [(act, f"{tag} acts and clears")]
    found += [(line.height, line.name) for line in result.levels if line.kind == "vessel"]
    made: dict[float, str] = {}
    for height, name in sorted(found):
        near = next((one for one in made if abs(one - height) <= SAME), None)
        if near is not None:
            made[near] += f", {name}"
        elif bottom + SAME < height < top - SAME:
            made[height] = name
    return made


def _start(plant: Definitions, tank: str, bottom: float, top: float) -> tuple[float, float]:
    """The foot and the top of the normal band; the middle of the vessel where it is not given."""
    levels = plant.tanks[Tag(tank)].levels
    middle = (bottom + top) / 2
    low = levels.normal_low.si if levels.normal_low else middle
    high = levels.normal_high.si if levels.normal_high else low
    return min(max(low, bottom), top), min(max(high, low), top)


def _faults(points: Points, machines: tuple[Tag, ...], rest: Mapping[str, str]) -> Iterator[SupposedFault]:
    """Each point by itself, each body with more than one point, each element where it rests in ordinary running."""
    for tag in points.own:
        for word, is_wet in (("wet", True), ("dry", False)):
            how = "acted" if is_wet == points.rises[tag] else "clear"
            yield SupposedFault(str(tag), how, f"{tag} is stuck {word}")
    bodies = Counter(points.switches[tag].in_ for tag in points.own)
    for body, count in bodies.items():
        for word in ("wet", "dry") if count > 1 else ():
            yield SupposedFault(str(body), word, f"{body} is stuck {word}, with all its {count} points")
    for tag in machines:
        stands = {"modulating": "as it stands", "closed": "shut"}.get(rest[tag], rest[tag])
        yield SupposedFault(str(tag), "stays", f"{tag} stays {stands}")


class _Sweep:
    """Takes the level of one tank through its bands."""

    def __init__(
        self, plant: Definitions, setpoints: Mapping[str, SetpointResult], contacts: Mapping[str, ContactResult],
        tank: str, machines: tuple[Tag, ...], edges: tuple[float, ...], bottom: float, top: float,
        start: tuple[float, float],
    ) -> None:
        self.plant, self.setpoints, self.contacts, self.tank = plant, setpoints, contacts, tank
        self.tags, self.rest = machines, rest_states(plant, machines, (tank,))
        bounds = (bottom, *edges, top)
        self.middles = tuple((low + high) / 2 for low, high in pairwise(bounds))
        self.low, self.high = (_band(edges, height) for height in start)
        self.last = len(self.middles) - 1
        self.foot = max(0, self.low - any(abs(edge - start[0]) <= SAME for edge in edges))
        self.locks = frozenset(plant.interlocks_of_tank[tank])
        self.alarms: tuple[Tag, ...] = ()
        self._quiet: tuple[tuple[bool, ...], tuple[bool, ...]] | None = None
        """What stood beyond the points and what they said when everything had come to rest; None where it has not."""

    def items(self) -> tuple[Item, ...]:
        """What the explorer shows, in its order."""
        self._fresh(SOUND)
        return (*(Item(str(tag), "contact") for tag in self.points.own),
                *(Item(str(tag), "alarm") for tag in self.alarms),
                *(Item(str(tag), "interlock") for tag in self.logic.locks if tag in self.locks),
                *(Item(str(tag), "element") for tag in self.machines.moving))

    def states(self, fault: SupposedFault) -> tuple[tuple[tuple[str, ...], ...], ...]:
        """The states of every band: rising and falling with resets given once accepted, then both with none given."""
        with_resets, without = [], []
        for is_rising in (True, False):
            with_resets.append(self._walk(fault, is_rising, gives_resets=True))
            without.append(self._walk(fault, is_rising, gives_resets=False) if self.was_reset else with_resets[-1])
        return (*with_resets, *without)

    def _walk(self, fault: SupposedFault, is_rising: bool, gives_resets: bool) -> tuple[tuple[str, ...], ...]:
        """From the normal band to the far end of the vessel, and back through every band of it."""
        self._fresh(fault)
        self.gives_resets, self.was_reset = gives_resets, False
        if is_rising:
            self._turn(self.high, self.foot, self.high)
        else:
            self._turn(self.low, self.high, self.foot, self.low)
        begin, end = (0, self.last) if is_rising else (self.last, 0)
        for band in _way(self.high if is_rising else self.low, begin):
            self._settle(band)
        self.logic.duty.clear()
        self._quiet = None
        made: list[tuple[str, ...]] = [()] * (self.last + 1)
        for band in _way(begin, end):
            self._settle(band)
            made[band] = tuple(self._look())
        return tuple(made)

    def _fresh(self, fault: SupposedFault) -> None:
        self.points = Points(self.plant, self.setpoints, self.contacts, (self.tank,), is_instant=True)
        self.machines = Machines(self.plant, self.tags, self.points, self.rest)
        rest = {str(tag): state for tag, state in self.rest.items()}
        self.gives_resets = self.was_reset = False
        self.logic = _Lasting(self.plant, (self.tank,), self.points, self.machines, rest)
        self._quiet = None
        if fault.tag:
            self.points.faults[fault.tag] = fault.how
        self.alarms = tuple(tag for tag, origin in self.logic.origins.items()
                            if origin in self.points.timed or origin in self.locks)

    def _turn(self, *bands: int) -> None:
        """Go from band to band without looking, then take every latch as reset."""
        for begin, end in pairwise(bands):
            for band in _way(begin, end):
                self._settle(band)
        self.logic.latched.clear()
        self.logic.duty.clear()
        self._quiet = None
        self._settle(bands[-1])

    def _settle(self, band: int) -> None:
        """Let everything follow the level into a band, and push every reset that is accepted there."""
        self._follow(band)
        for tag in sorted(self.logic.latched) if self.gives_resets else ():
            if not self.logic.demand[tag].value and self.logic.reset(tag, 0.0):
                self.was_reset = True
                self._quiet = None
                self._follow(band)

    def _follow(self, band: int) -> None:
        """Let everything follow the level into a band; where no point says anything new, nothing else does."""
        self.points.move(self.tank, self.middles[band])
        beyond = tuple(self.points.beyond.values())
        if self._quiet is not None and beyond == self._quiet[0]:
            return
        for _ in range(6):  # an element moves its signal, a signal an interlock, an interlock another element
            self.points.follow(0.0)
            said = tuple(timed.value for timed in self.points.timed.values())
            if self._quiet is not None and said == self._quiet[1]:
                self._quiet = beyond, said
                return
            known = len(self.machines.known_out)
            if not self.machines.follow(self.logic.follow(0.0), 0.0) and known == len(self.machines.known_out):
                self._quiet = beyond, said
                return
        self._quiet = None

    def _look(self) -> Iterator[str]:
        for tag in self.points.own:
            yield "acted" if self.points.timed[tag].value else "clear"
        for alarm in self.alarms:
            yield "sounds" if self.logic.alarms[alarm].value else "quiet"
        for tag, lock in self.logic.locks.items():
            if tag in self.locks:
                yield self._says(tag, lock.kind == "permissive", lock.latch is not None)
        for element in self.machines.moving.values():
            yield element.state

    def _says(self, tag: Tag, is_permissive: bool, is_latched: bool) -> str:
        active = self.logic.active[tag]
        if is_permissive:
            return "allows" if active else "blocks"
        if not active:
            return "rests"
        if not is_latched or self.logic.demand[tag].value:
            return "acts"
        return "held, reset accepted" if self.logic.is_accepted(tag, 0.0) else "held, reset refused"


def _band(edges: tuple[float, ...], height: float) -> int:
    """The band that a height lies in; on an edge the one above it."""
    return sum(edge <= height + SAME for edge in edges)


def _way(begin: int, end: int) -> range:
    return range(begin, end + 1) if end >= begin else range(begin, end - 1, -1)
