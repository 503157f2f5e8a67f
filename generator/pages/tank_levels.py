"""The levels of a tank: the drawing in two layouts, the nozzles, and what happens next while the level keeps moving."""

from collections.abc import Mapping
from itertools import pairwise

from msgspec import Struct

from generator.draw.drawing import NARROW, ROUND, WIDE, LevelDrawing, LevelWords, NozzleMark
from generator.draw.level_drawing import level_drawing
from generator.model.margin import Spill, SpilledTime
from generator.model.page import Amount, Link, Running, plain
from generator.model.record import Outcome, Record
from generator.model.results import Band, Interval, Level
from generator.model.scalar import Tag
from generator.model.shape import HorizontalCylinder
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.point_words import does
from generator.pages.prose import running

RIM = "top of the wall or roof seam"
SAME = 5e-4
"""Levels closer than this are one height on the page. [m]"""
KIND_WORDS = {"vessel": "fixed by the vessel", "process": "", "trip": "trip", "alarm": "alarm", "control": "control",
              "permissive": "permissive", "spill detection": "spill detection"}


class NozzleRow(Struct, frozen=True):
    """One nozzle: where it sits and what it carries."""

    anchor: str
    name: str
    on: str
    height: Amount
    size: str
    carries: Running
    isolated_by: str


class NextStep(Struct, frozen=True):
    """One thing that happens while the level keeps moving.

    `after` is the time from the step before at the worst rate, with that while another tank overflows into this one.
    """

    mark: str
    name: Link
    height: Amount
    does: Running
    after: Running


class TankLevels(Struct, frozen=True):
    """The level drawing with its conditions, its nozzles, and the two lists of what happens next."""

    wide: LevelDrawing
    narrow: LevelDrawing
    rates: Running
    has_spills: bool
    nozzles: tuple[NozzleRow, ...]
    rising: tuple[NextStep, ...]
    falling: tuple[NextStep, ...]
    rising_from: str
    falling_from: str


def levels(context: Context, tag: str) -> TankLevels:
    """Everything about one tank's levels."""
    tank, result = context.plant.tanks[Tag(tag)], context.results.tanks[tag]
    words = [_words(context, tag, level) for level in result.levels]
    times = {(one.lower, one.upper): one for one in result.intervals}
    pairs = pairwise(result.levels)
    between = [_between(upper, lower, times.get((lower.key, upper.key))) for upper, lower in pairs]
    nozzles = [NozzleMark(name, one.on, one.height.si if one.height else None) for name, one in tank.nozzles.items()]
    title = f"Level drawing of {tag}, {tank.service}"
    drawings = [
        level_drawing(f"levels-{slug(tag)}-{name}", title, tank.shape, result.vessel, result.levels, words, between,
                      _normal(context, tag), nozzles, layout)
        for name, layout in zip(("wide", "narrow"), ROUND if isinstance(tank.shape, HorizontalCylinder) else (WIDE, NARROW),
                                strict=True)
    ]
    rising_from, rising = _start(context, tag, list(reversed(result.levels)), 1)
    falling_from, falling = _start(context, tag, list(result.levels), -1)
    return TankLevels(
        wide=drawings[0], narrow=drawings[1],
        rates=("↑ filling at ", amounts.outcome(result.filling),
               "  ↓ emptying at ", amounts.outcome(result.emptying), ", worst case", *_spilling(context, result.spills)),
        has_spills=bool(result.spills),
        nozzles=tuple(_nozzle(context, tag, name) for name in tank.nozzles),
        rising=_steps(context, rising, times, 1), falling=_steps(context, falling, times, -1),
        rising_from=rising_from, falling_from=falling_from,
    )


def _spilling(context: Context, spills: tuple[Spill, ...]) -> Running:
    """How fast the tank fills while others overflow into it, which the worst rate does not count."""
    words: Running = ()
    for one in spills:
        words = (*words, "; ↑↑ filling at ", amounts.outcome(one.rate), " while ", context.paths.link(one.source),
                 " overflows into it")
    return words


def _normal(context: Context, tag: str) -> float | None:
    """Level at which the liquid is drawn: the middle of the normal band, or the one edge that is given."""
    levels = context.plant.tanks[Tag(tag)].levels
    edges = [edge.si for edge in (levels.normal_low, levels.normal_high) if edge is not None]
    return sum(edges) / len(edges) if edges else None


def _words(context: Context, tank: str, level: Level) -> LevelWords:
    height = plain((amounts.metres(level.height),))
    if level.key not in context.plant.switches:
        overflow = context.plant.tanks[Tag(tank)].overflow
        says = RIM if level.key == "rim" else KIND_WORDS[level.kind]
        if level.key == "overflow" and overflow:
            says = f"to {overflow.to}"
        return LevelWords(_capital(level.name), says, height)
    failed = dict.fromkeys(one.rule for one in context.findings_about(level.key) if one.verdict == "fail")
    point = context.results.setpoints.get(level.key)
    proposed = "proposed, " if point is not None and point.is_proposed else ""
    brings = plain(does(context, level.key))
    kind = "" if level.kind == "alarm" and brings.startswith("alarm ") else f"{KIND_WORDS[level.kind]}: "
    return LevelWords(
        level.key, f"{proposed}{kind}{brings}", height,
        _band(level.band), context.paths.path(level.key) or "",
        f"fails rule {', '.join(failed)}" if failed else "",
    )


def _between(upper: Level, lower: Level, interval: Interval | None) -> str:
    """Minutes between two levels, rising and falling; nothing for two names of one height.

    ↑↑ is the shortest while another tank overflows into this one.
    """
    if interval is None or abs(upper.height - lower.height) < SAME:
        return ""
    spilled = min((time for one in interval.spilled for time in one.times if isinstance(time, Record)),
                  key=lambda time: time.value, default=None)
    shown = [f"{arrow} {_time(outcome)}"
             for arrow, outcome in (("↑", interval.rising), ("↑↑", spilled), ("↓", interval.falling))
             if isinstance(outcome, Record)]
    return "  ".join(shown) or "time cannot be assessed"


def _time(outcome: Outcome) -> str:
    if isinstance(outcome, Record) and outcome.value <= 0:
        return "bands meet"
    return plain((amounts.outcome(outcome, "minutes"),))


def nozzle_anchor(name: str) -> str:
    """Where a nozzle stands on the page of its tank.

    >>> nozzle_anchor("N4")
    'nozzle-n4'
    """
    return slug(f"nozzle-{name}")


def _nozzle(context: Context, tank: str, name: str) -> NozzleRow:
    plant = context.plant
    nozzle = plant.tanks[Tag(tank)].nozzles[Tag(name)]
    carried: list[Running] = [(context.paths.link(tag), f" {body.technology}") for tag in plant.instruments_of[tank]
                              if (body := plant.instruments[tag]).nozzle == name]
    carried += [("from ", context.paths.link(tag, stream.name)) for tag in plant.inflows_of[tank]
                if (stream := plant.streams[tag]).nozzle == name]
    # a stream has one nozzle: where both tanks have one of that name, it is that of the tank which it enters
    carried += [("to ", context.paths.link(tag, stream.name)) for tag in plant.outflows_of[tank]
                if (stream := plant.streams[tag]).nozzle == name
                and not (stream.into in plant.tanks and name in plant.tanks[stream.into].nozzles)]
    if nozzle.carries:
        carried.append(running(context, nozzle.carries))
    parts: Running = tuple(part for number, one in enumerate(carried) for part in ((", ", *one) if number else one))
    return NozzleRow(
        nozzle_anchor(name), name, nozzle.on,
        amounts.metres(nozzle.height.si) if nozzle.height else Amount("not given"),
        nozzle.size or "not given", parts or ("nothing recorded",), nozzle.isolated_by or "not given",
    )


def _start(context: Context, tag: str, in_order: list[Level], way: int) -> tuple[str, list[Level]]:
    """Levels still to come in one direction from the normal band, and the words for where it begins."""
    given = context.plant.tanks[Tag(tag)].levels
    edge = given.normal_high if way > 0 else given.normal_low
    if edge is None:
        return ("the bottom" if way > 0 else "the top"), in_order
    name = "the top of the normal band" if way > 0 else "the foot of the normal band"
    beyond = [level for level in in_order if (level.height - edge.si) * way >= 0]
    return name, beyond


def _steps(
    context: Context, in_order: list[Level], times: Mapping[tuple[str, str], Interval], way: int,
) -> tuple[NextStep, ...]:
    made = []
    for number, level in enumerate(in_order):
        after: Running = ()
        if number:
            before = in_order[number - 1]
            pair = (before.key, level.key) if way > 0 else (level.key, before.key)
            interval = times.get(pair)
            if abs(before.height - level.height) < SAME:
                after = ("at the same height",)
            elif interval:
                after = _after(interval.rising if way > 0 else interval.falling)
                for one in interval.spilled if way > 0 else ():
                    after = (*after, *_while_spilling(context, one))
        made.append(after)
    return tuple(
        NextStep(_mark(level), _name(context, level), amounts.metres(level.height, _key(context, level)),
                 _happens(context, level, way), after)
        for level, after in zip(_level_by_tag(in_order), made, strict=True))


def _level_by_tag(in_order: list[Level]) -> list[Level]:
    """The same order, but points of one height by their tags, whichever way the level moves."""
    groups: list[list[Level]] = []
    for level in in_order:
        if groups and abs(groups[-1][0].height - level.height) < SAME and groups[-1][0].direction == level.direction:
            groups[-1].append(level)
        else:
            groups.append([level])
    return [level for group in groups for level in sorted(group, key=lambda one: one.key)]


def _after(outcome: Outcome) -> Running:
    """Time from the step before, in words; what cannot be told says so."""
    if isinstance(outcome, Record) and outcome.value <= 0:
        return ("the bands meet: it can come at once (", amounts.outcome(outcome, "minutes"), ")")
    if isinstance(outcome, Record):
        return ("at least ", amounts.outcome(outcome, "minutes"), " later")
    return ("time ", amounts.outcome(outcome, "minutes"))


def _while_spilling(context: Context, one: SpilledTime) -> Running:
    """The time of a step while another tank overflows into this one, to stand behind that at the worst rate."""
    return (", ", amounts.outcome(one.times[0], "minutes"), " while ", context.paths.link(one.spill.source), " overflows into it"
            ) if one.times[0] is not None else ()


def _happens(context: Context, level: Level, way: int) -> Running:
    if level.key not in context.plant.switches:
        return (KIND_WORDS[level.kind],) if KIND_WORDS[level.kind] else ()
    if (level.direction == "rising") == (way > 0):
        return does(context, level.key)
    return ("this point clears, or has cleared by now",)


def _name(context: Context, level: Level) -> Link:
    return context.paths.link(level.key) if level.key in context.plant.switches else Link(_capital(level.name), "")


def _key(context: Context, level: Level) -> str:
    return f"#{level.key}/stands" if level.key in context.plant.switches else ""


def _mark(level: Level) -> str:
    if level.kind == "alarm":
        return "low" if level.direction == "falling" else "high"
    marks = {"trip": "trip", "control": "control", "permissive": "permissive", "spill detection": "alert"}
    return marks.get(level.kind, "vessel")


def _capital(name: str) -> str:
    return name[:1].upper() + name[1:]


def _band(band: Band | None) -> str:
    """Where a point can act; to the millimetre where the centimetre would make the band look narrower."""
    return f"{amounts.metres(band.low).number} to {amounts.metres(band.high).number}" if band else ""
