"""How long a cause must last: before an alarm sounds or an interlock acts, and whose delay that is."""

from collections.abc import Iterable, Iterator

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Not
from generator.model.interlock import Alarm, Interlock
from generator.model.page import Running
from generator.model.quantity import Duration
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.logic_words import automatic, tags

AT_ONCE = "at once"
Wait = tuple[float, ...]
"""Delays that follow one another: what must last, the point's own, the interlock's. [s]"""


def of_interlock(context: Context, lock: Interlock) -> Running:
    """Time from each cause until the interlock acts; causes of one delay together: "2 s by LSHH-1; 10 min + 2 s by YS-1"."""
    ways: dict[tuple[bool, Wait], list[str]] = {}
    for part in _ways(automatic(lock)):
        longest = _longest(context, part)
        key = (_shortest(context, part) < sum(longest), _with(longest, lock.on_delay))
        ways.setdefault(key, []).extend(_bringing(part))
    if len(ways) < 2:
        return _said(*next(iter(ways), (False, ())))
    return _joined([(*_said(*way), " by ", *tags(context, dict.fromkeys(causes))) for way, causes in ways.items()], "; ")


def before_alarm(context: Context, alarm: Alarm) -> Running:
    """What must last before an alarm sounds, and whose delay each is: "5 s of the point LSH-1, then 3 s of its own"."""
    steps: list[Running] = []
    lock = context.plant.interlocks.get(alarm.from_)
    point = context.plant.switches.get(alarm.from_)
    if point is not None and point.on_delay is not None and point.on_delay.si > 0:
        steps.append((amounts.as_written(point.on_delay), " of the point ", context.paths.link(alarm.from_)))
    if lock is not None:
        waits = of_interlock(context, lock)
        if waits != (AT_ONCE,):
            steps.append((*waits, " until ", context.paths.link(alarm.from_), " acts"))
    if alarm.on_delay is not None and alarm.on_delay.si > 0:
        steps.append((amounts.as_written(alarm.on_delay), " of its own"))
    return _joined(steps, ", then ") if steps else (AT_ONCE,)


def after_alarm(context: Context, alarm: Alarm) -> Running:
    """How long its cause must be gone before an alarm clears, and whose delay that is."""
    lock = context.plant.interlocks.get(alarm.from_)
    steps: list[Running] = []
    if lock is not None and lock.latch is not None:
        steps.append(("when the trip is reset",))
    elif lock is not None and lock.off_delay is not None:
        steps.append((amounts.as_written(lock.off_delay), " of the interlock ", context.paths.link(alarm.from_)))
    if alarm.off_delay is not None and alarm.off_delay.si > 0:
        steps.append((amounts.as_written(alarm.off_delay), " of its own"))
    return _joined(steps, ", then ") if steps else (AT_ONCE,)


def of_point(context: Context, tag: str) -> Running:
    """How long the level must stay past a point before it counts; alarms that wait longer on their own are named."""
    plant = context.plant
    waits = [(name, plant.alarms[name].on_delay) for name in plant.alarms_of[tag]]
    return _with_alarms(context, plant.switches[Tag(tag)].on_delay, waits)


def leaving_point(context: Context, tag: str) -> Running:
    """How long the level must have left a point: a point lets go at once, its alarm may wait."""
    plant = context.plant
    return _with_alarms(context, None, [(name, plant.alarms[name].off_delay) for name in plant.alarms_of[tag]])


def _with_alarms(context: Context, own: Duration | None, alarms: list[tuple[Tag, Duration | None]]) -> Running:
    steps: list[Running] = [(amounts.as_written(own),)] if own is not None and own.si > 0 else []
    more = " more" if steps else ""
    steps += [(amounts.as_written(time), f"{more} for the alarm ", context.paths.link(name))
              for name, time in alarms if time is not None and time.si > 0]
    return _joined(steps, ", ") if steps else (AT_ONCE,)


def _ways(condition: Condition) -> Iterator[Condition]:
    """The ways in which a condition comes true, one of which is enough."""
    if isinstance(condition, AnyOf):
        for part in condition.parts():
            yield from _ways(part)
    else:
        yield condition


def _longest(context: Context, condition: Condition) -> Wait:
    """The longest of the delays that stand one behind another in a condition. Absences that are asked for wait for nothing."""
    match condition:
        case Acted(tag=tag):
            point = context.plant.switches.get(tag)
            return _with((), point.on_delay if point is not None else None)
        case Held(time=time, part=part):
            return _with(_longest(context, part), time)
        case Not():
            return ()
    return max((_longest(context, part) for part in condition.parts()), key=sum, default=())


def _shortest(context: Context, condition: Condition) -> float:
    """The shortest time that a condition can take; less than the longest where a vote or a choice may be met sooner. [s]"""
    match condition:
        case Acted():
            return sum(_longest(context, condition))
        case Held(time=time, part=part):
            return _shortest(context, part) + time.si
        case Not():
            return 0.0
    return (max if isinstance(condition, AllOf) else min)(_shortest(context, part) for part in condition.parts())


def _bringing(condition: Condition) -> Iterator[str]:
    """The tags whose coming makes a condition true; what must merely be absent is none of them, unless it stands alone."""
    comes = [part for part in condition.parts() if not isinstance(part, Not)]
    if isinstance(condition, AllOf) and comes:
        for part in comes:
            yield from _bringing(part)
    else:
        yield from condition.tags()


def _with(wait: Wait, own: Duration | None) -> Wait:
    return (*wait, own.si) if own is not None and own.si > 0 else wait


def _said(is_at_most: bool, wait: Wait) -> Running:
    if not wait:
        return (AT_ONCE,)
    # In minutes the seconds of a second delay would be cut off: there each stands by itself.
    steps = [sum(wait)] if sum(wait) < amounts.FIVE_MINUTES else wait
    return (*(("up to ",) if is_at_most else ()), *_joined([(amounts.duration(one),) for one in steps], " + "))


def _joined(items: Iterable[Running], between: str) -> Running:
    made: Running = ()
    for number, item in enumerate(items):
        made = (*made, *((between,) if number else ()), *item)
    return made
