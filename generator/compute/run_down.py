"""What the pumps of a tank still take from the action of a point until they stand.

    V = (Q_1 + Q_2 + ...) (t_sensor + t_delays + t_logic + t_relay + t_stop)

The flow is that of every pump that draws from the tank and that the point's interlock or control stops, or that runs in the
worst emptying; of a group, as many as run at once. The times are those of the interlock's time budget. Where the point
stops a pump in several ways, the way that lets most run out counts.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from generator.compute.asked import About
from generator.compute.book import given
from generator.compute.causes import level_causes
from generator.compute.final_elements import STOPS, elements, touches
from generator.compute.inherited import relay_time, scan_time
from generator.model.interlock import Interlock, StartStop
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.record import Input
from generator.model.scalar import Tag


@dataclass(frozen=True, slots=True)
class RunDown:
    """Flows and times that make the volume [m3], the expression of that volume, and what is not recorded."""

    flows: tuple[Input, ...]
    times: tuple[Input, ...]
    expression: str
    volume: float
    unrecorded: tuple[str, ...]

    @property
    def inputs(self) -> tuple[Input, ...]:
        """All that the volume comes from."""
        return (*self.flows, *self.times)


@dataclass(frozen=True, slots=True)
class _Step:
    """One time of a chain; None where it is not recorded. `often` is how often it passes."""

    symbol: str
    name: str
    time: Duration | None
    often: int = 1


def of_pump(about: About, pump: Tag) -> RunDown:
    """The run-down that counts for a pump which a point is to keep under liquid."""
    found = [_made(about, pump, stopped, steps) for stopped, steps in _ways(about, pump)]
    return max(found or [_made(about, pump, (pump,), _alone(about, pump))], key=lambda one: one.volume)


def _ways(about: About, pump: Tag) -> Iterator[tuple[tuple[Tag, ...], Sequence[_Step]]]:
    """Every interlock and control by which the point stops the pump: what it stops, and its times."""
    plant, tag = about.plant, Tag(about.point.tag)
    for name in plant.interlocks_of_cause[tag]:
        lock = plant.interlocks[name]
        stopped = tuple(one for one, state in elements(plant, lock) if state in STOPS)
        causes = [one for one in level_causes(plant, lock.when) if one.tag == tag and not one.is_negated]
        if lock.kind == "permissive" or pump not in stopped or not causes:
            continue
        held = [_Step(f"t_{{h{number}}}", "time that the cause must last", time)
                for number, time in enumerate(causes[0].held, 1)]
        yield stopped, (*_sensing(about), *held, *_logic(about, lock), *_last(about, _driven(about, lock)))
    for name in plant.controls_of_point[tag]:
        control = plant.controls[name]
        if isinstance(control, StartStop) and control.stops == tag:
            stopped = tuple(plant.members_of(control.moves)) or (Tag(control.moves),)
            if pump in stopped:
                yield stopped, (*_sensing(about), *_logic(about, control), *_last(about, stopped))


def _driven(about: About, lock: Interlock) -> tuple[Tag, ...]:
    """Pumps and valves of the tank that the interlock stops or shuts, as its time budget takes them."""
    plant = about.plant
    return tuple(one for one, state in elements(plant, lock)
                 if state in STOPS and (one in plant.pumps or one in plant.valves) and touches(plant, one, about.tank.tag))


def _alone(about: About, pump: Tag) -> Sequence[_Step]:
    """Where nothing says how the point stops the pump: the device, the delay of the point, the pump itself."""
    return (*_sensing(about), *_last(about, (pump,)))


def _sensing(about: About) -> Iterator[_Step]:
    switch = about.plant.switches[Tag(about.point.tag)]
    yield _Step("t_r", f"response of {about.point.body}", about.plant.instruments[Tag(about.point.body)].response_time)
    if switch.on_delay is not None:
        yield _Step("t_d", "on-delay of the point", switch.on_delay)


def _logic(about: About, by: Interlock | StartStop) -> Iterator[_Step]:
    """Delay, logic and relay. What runs in relays has no scan, what a device does itself no relay either."""
    plant, tank = about.plant, about.tank.tag
    own = by.logic_time if isinstance(by, Interlock) else None
    if isinstance(by, Interlock) and by.on_delay is not None:
        yield _Step("t_i", "delay of the interlock", by.on_delay)
    if own is not None:
        yield _Step("t_l", "time of the logic", own)
    elif by.by not in ("relays", "device"):
        yield _Step("t_{scan}", "scan of the logic, counted twice", scan_time(plant, tank), often=2)
    if by.by != "device":
        yield _Step("t_y", "time of the output relay", relay_time(plant, tank))


def _last(about: About, driven: Sequence[Tag]) -> Iterator[_Step]:
    """The slowest of what is stopped or shut."""
    plant = about.plant
    times = {one: plant.pumps[one].stop_time if one in plant.pumps else plant.valves[one].closing_time
             for one in driven if one in plant.pumps or one in plant.valves}
    known = {one: time for one, time in times.items() if time is not None}
    yield from (_Step("t_s", f"stop of {one}", None) for one in times if one not in known)
    if known:
        slowest = max(known, key=lambda one: known[one].si)
        yield _Step("t_s", f"stop of {slowest}", known[slowest])


def _made(about: About, pump: Tag, stopped: Sequence[Tag], steps: Sequence[_Step]) -> RunDown:
    written = [(given(one.time, one.symbol, one.name), one.often) for one in steps if one.time is not None and one.time.si > 0]
    pumps = _drawing(about, pump, stopped)
    flows = tuple(given(about.plant.pumps[one].flow, "Q" if len(pumps) == 1 else f"Q_{{{number}}}", f"flow of {one}")
                  for number, one in enumerate(pumps, 1))
    total = " + ".join(one.symbol if often == 1 else f"{often} {one.symbol}" for one, often in written)
    rate = " + ".join(one.symbol for one in flows)
    return RunDown(
        flows, tuple(one for one, _ in written), f"{rate if len(flows) == 1 else f'({rate})'} ({total})",
        sum(one.value for one in flows) * sum(one.value * often for one, often in written),
        tuple(dict.fromkeys(one.name for one in steps if one.time is None)))


def _drawing(about: About, pump: Tag, stopped: Sequence[Tag]) -> tuple[Tag, ...]:
    """The pumps that draw from the tank until the last of them stands, the one that is asked about first."""
    plant, tank = about.plant, about.tank.tag
    worst = next((case for case in about.tank.cases if case.kind == "worst" and case.direction == "emptying"), None)
    carriers = [plant.streams[Tag(stream)].moved_by for stream, _ in (worst.moving if worst else ())]
    running = [one for mover in carriers if mover for one in plant.members_of(mover) or (mover,)]
    found = [one for one in dict.fromkeys((pump, *stopped, *running))
             if one in plant.pumps and (inlet := plant.pumps[one].inlet) is not None and inlet.tank == tank]
    return _at_once(plant, tuple(found))


def _at_once(plant: Definitions, pumps: tuple[Tag, ...]) -> tuple[Tag, ...]:
    """Of pumps, those that run at the same time: of each group no more than run at once, the first and the largest kept."""
    idle: set[Tag] = set()
    for tag in plant.pump_groups:
        mine = sorted((one for one in pumps if one in plant.pump_groups[tag].pumps),
                      key=lambda one: (one != pumps[0], -plant.pumps[one].flow.si))
        idle.update(mine[_most(plant, tag):])
    return tuple(one for one in pumps if one not in idle)


def _most(plant: Definitions, tag: Tag) -> int:
    """How many pumps of a group run at once: by its arrangement, or as many as a control starts, where that is more."""
    group = plant.pump_groups[tag]
    by_arrangement = {"duty/standby": 1, "duty/assist/standby": len(group.pumps) - 1}.get(group.arrangement, len(group.pumps))
    starts = [len(control.starts) for control in plant.controls.values()
              if isinstance(control, StartStop) and control.moves == tag]
    return max(by_arrangement, *starts, 1)
