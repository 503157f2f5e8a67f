"""What the pumps of a tank still take from the action of a point until they stand.

    V = (Q_1 + Q_2 + ...) (t_sensor + t_links + t_delays + t_logic + t_relay + t_stop)

The flow is that of every pump that draws from the tank and that the point's interlock or control stops, or that runs in the
worst emptying; of a group, as many as run at once. The times are those of the interlock's time budget. Where the point
stops a pump in several ways, the way that lets most run out counts. Every place that asks how long a stop takes asks here:
the need of submergence, the level at which a pump comes to rest and the suction head there, the budget of a stop.
"""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from generator.compute.book import given
from generator.compute.causes import level_causes
from generator.compute.final_elements import STOPS, elements, touches
from generator.compute.logic_times import Step, logic, signal
from generator.model.interlock import Interlock, StartStop
from generator.model.plant import Definitions
from generator.model.record import Input
from generator.model.results import TankResult
from generator.model.scalar import Tag


class Stop(Struct, frozen=True):
    """A point on a tank, as that which stops pumps."""

    plant: Definitions
    tank: TankResult
    point: Tag

    @property
    def body(self) -> Tag:
        """The body behind the point."""
        return self.plant.switches[self.point].in_


class RunDown(Struct, frozen=True):
    """Flows and times that make the volume [m3], the expression of that volume, and what is not recorded.

    `never_stand` are the pumps and valves among it of which nobody says how long they take to stand.
    """

    flows: tuple[Input, ...]
    times: tuple[Input, ...]
    expression: str
    volume: float
    unrecorded: tuple[str, ...]
    never_stand: tuple[Tag, ...] = ()

    @property
    def inputs(self) -> tuple[Input, ...]:
        """All that the volume comes from."""
        return (*self.flows, *self.times)


def of_pump(about: Stop, pump: Tag, running: Sequence[Tag] = ()) -> RunDown:
    """The run-down that counts for a pump which a point stops, or is to keep under liquid.

    Args:
        about: The point and its tank.
        pump: The pump.
        running: The pumps that run until then; those of the stop and of the worst emptying where left out.
    """
    found = [_made(about, running or _drawing(about, pump, stopped), steps) for stopped, steps in _ways(about, pump)]
    alone = _alone(about, pump)
    return max(found or [_made(about, running or _drawing(about, pump, (pump,)), alone)], key=lambda one: one.volume)


def _ways(about: Stop, pump: Tag) -> Iterator[tuple[tuple[Tag, ...], Sequence[Step]]]:
    """Every interlock and control by which the point stops the pump: what it stops, and its times."""
    plant, tag = about.plant, about.point
    for name in plant.interlocks_of_cause[tag]:
        lock = plant.interlocks[name]
        stopped = tuple(one for one, state in elements(plant, lock) if state in STOPS)
        causes = [one for one in level_causes(plant, lock.when) if one.tag == tag and not one.is_negated]
        if lock.kind == "permissive" or pump not in stopped or not causes:
            continue
        held = [Step(f"t_{{h{number}}}", "time that the cause must last", time)
                for number, time in enumerate(causes[0].held, 1)]
        yield stopped, (*_sensing(about, name), *held, *logic(plant, about.tank.tag, name), *_last(about, _driven(about, lock)))
    for name in plant.controls_of_point[tag]:
        control = plant.controls[name]
        if isinstance(control, StartStop) and control.stops == tag:
            stopped = tuple(plant.members_of(control.moves)) or (Tag(control.moves),)
            if pump in stopped:
                yield stopped, (*_sensing(about, name), *logic(plant, about.tank.tag, name), *_last(about, stopped))


def _driven(about: Stop, lock: Interlock) -> tuple[Tag, ...]:
    """Pumps and valves of the tank that the interlock stops or shuts, as its time budget takes them."""
    plant = about.plant
    return tuple(one for one, state in elements(plant, lock)
                 if state in STOPS and (one in plant.pumps or one in plant.valves) and touches(plant, one, about.tank.tag))


def _alone(about: Stop, pump: Tag) -> Sequence[Step]:
    """Where nothing says how the point stops the pump: the device, the delay of the point, the pump itself."""
    return (*_sensing(about), *_last(about, (pump,)))


def _sensing(about: Stop, function: Tag | None = None) -> Iterator[Step]:
    switch = about.plant.switches[about.point]
    yield Step("t_r", f"response of {about.body}", about.plant.instruments[about.body].response_time)
    if function is not None:
        yield from signal(about.plant, function, about.point)
    if switch.on_delay is not None:
        yield Step("t_d", "on-delay of the point", switch.on_delay)


def _last(about: Stop, driven: Sequence[Tag]) -> Iterator[Step]:
    """The slowest of what is stopped or shut."""
    plant = about.plant
    times = {one: plant.pumps[one].stop_time if one in plant.pumps else plant.valves[one].closing_time
             for one in driven if one in plant.pumps or one in plant.valves}
    known = {one: time for one, time in times.items() if time is not None}
    yield from (Step("t_s", f"stop of {one}", None, of=one) for one in times if one not in known)
    if known:
        slowest = max(known, key=lambda one: known[one].si)
        yield Step("t_s", f"stop of {slowest}", known[slowest], of=slowest)


def _made(about: Stop, pumps: Sequence[Tag], steps: Sequence[Step]) -> RunDown:
    written = [(given(one.time, one.symbol, one.name), one.often) for one in steps if one.time is not None and one.time.si > 0]
    flows = tuple(given(about.plant.pumps[one].flow, "Q" if len(pumps) == 1 else f"Q_{{{number}}}", f"flow of {one}")
                  for number, one in enumerate(pumps, 1))
    total = " + ".join(one.symbol if often == 1 else f"{often} {one.symbol}" for one, often in written)
    rate = " + ".join(one.symbol for one in flows)
    return RunDown(
        flows, tuple(one for one, _ in written), f"{rate if len(flows) == 1 else f'({rate})'} ({total})",
        sum(one.value for one in flows) * sum(one.value * often for one, often in written),
        tuple(dict.fromkeys(one.name for one in steps if one.time is None)),
        tuple(dict.fromkeys(one.of for one in steps if one.of is not None and one.time is None)))


def _drawing(about: Stop, pump: Tag, stopped: Sequence[Tag]) -> tuple[Tag, ...]:
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
        mine = sorted((one for one in pumps if one in plant.pump_groups[tag].pumps and one not in idle),
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
