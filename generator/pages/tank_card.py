"""The operator card of a tank: what the screen says, what to do first, how many minutes there are."""


from msgspec import Struct

from generator.model.interlock import Alarm
from generator.model.page import Amount, Link, Running
from generator.model.record import Record
from generator.model.results import AlarmTime
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.alarm_words import meaning
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.spilled import left, while_it_runs


class TimeLeft(Struct, frozen=True):
    """Minutes left with what they run to: "to the trip I-210", "to overflow"."""

    time: Amount
    until: Running


class CardRow(Struct, frozen=True):
    """One alarm. `mark` is "trip", "high", "low" or "alarm"; `times` the shorter first, empty where none is known."""

    anchor: str
    alarm: Link
    text: str
    mark: str
    priority: str
    means: Running
    consequence: Running
    first: Running
    then: Running
    do_not: Running
    confirm: Running
    source: Link
    times: tuple[TimeLeft, ...]
    needed: Amount
    is_short: bool
    """Whether a person needs longer than there is."""


def card(context: Context, tank: str) -> tuple[CardRow, ...]:
    """All alarms of a tank, the highest first; one that no level raises stands last, unless it is given a place."""
    tags = [tag for tag in context.plant.alarms if context.paths.tank(tag) == tank]
    heights = {tag: _height(context, context.plant.alarms[tag]) for tag in tags}
    in_order = sorted(tags, key=lambda tag: (heights[tag] is None, -(heights[tag] or 0.0)))
    fixed = sorted((count, tag) for tag in tags if (count := context.plant.alarms[tag].count) is not None)
    for count, tag in fixed:
        in_order.remove(tag)
        in_order.insert(count - 1, tag)
    return tuple(row(context, tag) for tag in in_order)


def row(context: Context, tag: str) -> CardRow:
    """One alarm as a row of a card."""
    alarm = context.plant.alarms[Tag(tag)]
    times = context.results.alarms.get(tag)
    return CardRow(
        anchor=slug(tag), alarm=context.paths.link(tag), text=alarm.text, mark=_mark(context, alarm), priority=alarm.priority,
        means=meaning(context, alarm), consequence=running(context, alarm.consequence),
        first=running(context, alarm.first), then=running(context, alarm.then), do_not=running(context, alarm.do_not),
        confirm=running(context, alarm.confirm), source=context.paths.link(alarm.from_),
        times=_times(context, times) if times and times.limit else after_trip(context, alarm),
        needed=amounts.outcome(times.needed if times else None, "needed"),
        is_short=times is not None and _is_short(times),
    )


def _times(context: Context, times: AlarmTime) -> tuple[TimeLeft, ...]:
    made = []
    trip: Running = (context.paths.link(times.trip),) if times.trip else ("trip",)
    if times.to_trip is not None:
        made.append(TimeLeft(left(times.to_trip), ("to ", *trip)))
    if times.limit:
        made.append(TimeLeft(left(times.to_limit), (f"to {times.limit}",)))
    for one in times.spilled:
        for to, until in zip(one.times, (trip if times.to_trip is not None else (), (times.limit,)), strict=True):
            if to is not None and until:
                made.append(TimeLeft(left(to), ("to ", *until, " ", *while_it_runs(context, one))))
    return tuple(made)


def after_trip(context: Context, alarm: Alarm) -> tuple[TimeLeft, ...]:
    """For an alarm that an interlock raises: from the latest action of its points to what must not be reached."""
    budgets = [one for one in context.results.trips.get(alarm.from_, ()) if one.limit]
    known = sorted((one for one in budgets if isinstance(one.available, Record)),
                   key=lambda one: one.available.value if isinstance(one.available, Record) else 0.0)
    return tuple(line for one in (known or budgets)[:1] for line in (
        TimeLeft(left(one.available), (f"from the trip to {one.limit}, if the trip did nothing",)),
        *(TimeLeft(left(spilled.times[0]), (f"from the trip to {one.limit}, ", *while_it_runs(context, spilled)))
          for spilled in one.spilled)))


def _is_short(times: AlarmTime) -> bool:
    available = times.to_trip or times.to_limit
    return isinstance(available, Record) and isinstance(times.needed, Record) and available.value < times.needed.value


def _mark(context: Context, alarm: Alarm) -> str:
    plant = context.plant
    if alarm.from_ in plant.interlocks:
        return "trip"
    if alarm.from_ not in plant.switches:
        return "alarm"
    point = plant.switches[alarm.from_]
    if point.role == "trip":
        return "trip"
    return "high" if point.acts == "rising" else "low"


def _height(context: Context, alarm: Alarm) -> float | None:
    """The height at which an alarm comes; for one of an interlock, that of its first cause with a height."""
    plant = context.plant
    causes = plant.interlocks[alarm.from_].when.tags() if alarm.from_ in plant.interlocks else iter((alarm.from_,))
    for cause in causes:
        point = context.results.setpoints.get(cause)
        if point is not None and point.stands is not None:
            return point.stands
    return None
