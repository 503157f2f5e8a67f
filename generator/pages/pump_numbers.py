"""What is worked out for a pump: suction, starts and the tables that limit them, motor, one pump out, restart."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.page import Amount, Link, Running
from generator.model.record import Absence, Outcome, Record
from generator.model.results import CyclingResult, PumpResult
from generator.model.scalar import Tag
from generator.pages import amounts, rules
from generator.pages.context import Context
from generator.pages.register import links
from generator.pages.story import Fact


class Block(Struct, frozen=True):
    """Facts under a heading of their own."""

    anchor: str
    title: str
    facts: tuple[Fact, ...]


class LimitRow(Struct, frozen=True):
    """Starts that one source allows: its name, the number, where it is published, and whether the plant judges by it."""

    source: Link
    allowed: Running
    scope: str
    counts: bool


class RestartRow(Struct, frozen=True):
    """A machine on the pump's supply: when it starts by itself, and what the supply then gives."""

    after: Amount
    machine: Link
    together: tuple[Link, ...]
    current: Running
    is_here: bool


class PumpNumbers(Struct, frozen=True):
    """All of it, ready to place."""

    blocks: tuple[Block, ...]
    limits: tuple[LimitRow, ...]
    limits_say: str
    restarts: tuple[RestartRow, ...]
    supply: Running


def of_pump(context: Context, tag: Tag) -> PumpNumbers | None:
    """The numbers of a pump; None for anything else."""
    pump = context.results.pumps.get(tag)
    if pump is None:
        return None
    parts = (("suction", "Suction", _suction(context, pump)), ("starts", "Starts", _starts(context, tag, pump)),
             ("one-out", "One pump out", _one_out(context, tag)), ("motor", "Motor", _motor(context, pump)))
    blocks = tuple(Block(anchor, title, facts) for anchor, title, made in parts if (facts := tuple(made)))
    limits = tuple(_limits(context, pump))
    return PumpNumbers(blocks, limits, _agreement(pump), tuple(_restarts(context, tag)), _supply(context, tag))


# ---- suction ---------------------------------------------------------------------------------------------------------


def _suction(context: Context, pump: PumpResult) -> Iterator[Fact]:
    inlet = context.plant.pumps[Tag(pump.tag)].inlet
    if inlet is None:
        yield Fact("Inlet", ("It draws from outside the plant's tanks: no level of theirs concerns its inlet.",))
        return
    speed = _after(", liquid enters at ", pump.inlet_velocity)
    yield Fact("Inlet", (f"{inlet.kind} at ", amounts.metres(inlet.height.si), *speed))
    yield Fact("Depth it needs over its inlet", _shown(pump.submergence))
    if inlet.motor_covered_to is not None:
        yield Fact("Its motor stays covered to", (amounts.metres(inlet.motor_covered_to.si),))
    yield Fact("Lowest level it may draw at", _shown(pump.lowest_level))
    stop: Running = (" after the stop of ", context.paths.link(pump.stopped_by)) if pump.stopped_by else ()
    yield Fact("Level at which it has come to rest", (*_shown(pump.run_down_level), *stop))
    yield Fact("From a failed stop to air at the inlet", (*_shown(pump.air_time, "minutes"), *(
        (", when ", stop[1], " does not stop it") if stop else ())))
    if pump.suction_head_level is not None:
        yield Fact("Level that gives the NPSH required", _shown(pump.suction_head_level))
        yield Fact("NPSH available where it comes to rest",
                   ("hottest ", *_shown(pump.head_available), "; coldest ", *_shown(pump.head_available_cold)))
        yield Fact("NPSH margin left", _shown(pump.head_spare))


# ---- starts ----------------------------------------------------------------------------------------------------------


def _starts(context: Context, tag: Tag, pump: PumpResult) -> Iterator[Fact]:
    for control in context.plant.controls_of_element[tag]:
        cycling = context.results.cycling.get(control)
        if cycling is not None:
            yield from _cycling(context, tag, control, cycling)
    if pump.least_rest is not None:
        yield Fact("Rests at least", _shown(pump.least_rest))


def _cycling(context: Context, tag: Tag, control: Tag, one: CyclingResult) -> Iterator[Fact]:
    mine = next((pump for pump in one.each if pump.pump == tag), None)
    if mine is not None:
        together = f", with {mine.running} pumps running" if mine.running > 1 else ""
        together += f", while {mine.out} is out of service and its start starts nothing" if mine.out else ""
        yield Fact("Starts in an hour at most",
                   (*_shown(mine.starts), together, " by ", context.paths.link(control), ", allowed ", *_shown(mine.allowed)))
        yield Fact("Flow that is worst for it", _shown(mine.worst_inflow))
    yield Fact("Shortest cycle of the first pump alone", (
        *_shown(one.shortest_cycle, "minutes"), " at the flow that this plant has; ",
        *_shown(one.at_any_inflow, "minutes"), " if it could be any"))
    yield Fact("Volume between start and stop", _shown(one.effective_volume))
    if one.shortest_off is not None:
        yield Fact("Shortest time at rest", _shown(one.shortest_off))
    for stage in one.stages:
        member = context.paths.link(stage.pump)
        if isinstance(stage.starts, Absence) and not stage.starts.missing:
            yield Fact("Starts of the next that joins", (member, f": {stage.starts.why}"))
            continue
        found = next((pump for pump in one.each if pump.pump == stage.pump), None)
        shortest, out = (found.shortest_cycle, found.out) if found else (stage.shortest_cycle, "")
        yield Fact("Starts of the next that joins", (member, " ", *_shown(stage.starts), ", cycle ", *_shown(shortest, "minutes"),
                                                     f" while {out} is out of service" if out else ""))
    if one.starts_alternating is not None:
        yield Fact("Starts of each in turn", (*_shown(one.starts_alternating), "; ", _counts(one)))


def _counts(one: CyclingResult) -> str:
    gone = [words for words, holds in one.alternation if not holds]
    if not gone:
        return "counted while both are in service"
    return "not counted unless " + " and ".join(gone)


def _limits(context: Context, pump: PumpResult) -> Iterator[LimitRow]:
    for one in pump.start_limits:
        rule = context.knowledge.rules.get(one.rule)
        source = Link(one.title, f"{rules.PATH}#{rules.anchor(one.rule)}" if rule else "")
        yield LimitRow(source, _shown(one.allowed), rule.standard if rule else "motor", one.counts)


def _agreement(pump: PumpResult) -> str:
    allowed = sorted(one.allowed.value for one in pump.start_limits if isinstance(one.allowed, Record))
    if len(allowed) < 2 or allowed[-1] - allowed[0] < 1e-9:
        return ""
    return ("These sources do not agree. The motor's own papers count before any table; which table counts without them is "
            "the plant's choice.")


# ---- one pump out, motor, restart ------------------------------------------------------------------------------------


def _one_out(context: Context, tag: Tag) -> Iterator[Fact]:
    for group in context.plant.group_of[tag]:
        result = context.results.groups.get(group)
        if result is None:
            continue
        yield Fact("All pumps together", (*_shown(result.capacity), " in ", context.paths.link(group)))
        yield Fact("With the largest out", _shown(result.one_out))
        if context.plant.tanks[Tag(result.tank)].duty in ("filled", "modulating"):
            continue  # its pumps serve their users; the inlet holds the level, and what comes in is no task of theirs
        yield Fact("Largest that comes in", (*_shown(result.largest_inflow), " into ", context.paths.link(result.tank)))
        yield Fact("Left over", _shown(result.spare))


def _motor(context: Context, pump: PumpResult) -> Iterator[Fact]:
    if pump.full_load_current is None:
        return
    yield Fact("Full-load current", _shown(pump.full_load_current))
    motor = context.plant.pumps[Tag(pump.tag)].motor
    if pump.worked_current is not None and motor is not None and motor.full_load_current is not None:
        yield Fact("Worked out from its power", _shown(pump.worked_current))
    if pump.tabled_current is not None:
        reference = pump.tabled_current.reference if isinstance(pump.tabled_current, Record) else ""
        yield Fact("To check by", (*_shown(pump.tabled_current), f" ({reference})"))
    for one in pump.switched_by:
        verdict = "may" if one.may else "may not" if one.may is False else "cannot be assessed"
        limit: Running = () if isinstance(one.limit, Absence) else (", up to ", *_shown(one.limit))
        by = "its own starter" if one.by == pump.tag else context.paths.link(one.by)
        if one.may and not limit:
            yield Fact("Switched by", (by, f": {one.why}"))
            continue
        yield Fact("Switched by", (by, f" {verdict}: {one.why}", *limit))
    if not pump.switched_by:
        yield Fact("Switched by", ("no level contact and no relay of this document acts on the motor itself",))


def _supply(context: Context, tag: Tag) -> Running:
    supply = context.plant.pumps[tag].supply
    line = context.results.restarts.get(supply) if supply else None
    if supply is None or line is None:
        return ()
    carries = context.plant.supplies[supply].carries
    words: Running = ("On ", context.paths.link(supply), " the current is at most ", *_shown(line.largest))
    if carries is not None:
        words = (*words, " of ", amounts.as_written(carries))
    if line.waits:
        words = (*words, ". Nobody but a person starts ", *_listed(context, line.waits))
    if line.unknown:
        words = (*words, ". Not recorded, so expect that they start: ", *_listed(context, line.unknown))
    return (*words, ".")


def _restarts(context: Context, tag: Tag) -> Iterator[RestartRow]:
    supply = context.plant.pumps[tag].supply
    line = context.results.restarts.get(supply) if supply else None
    for step in line.steps if line else ():
        seconds = amounts.in_unit(step.after.value, "s", 0, step.after.key)
        yield RestartRow(seconds, context.paths.link(step.tag),
                         tuple(context.paths.link(one) for one in step.together), _shown(step.current), step.tag == tag)


def _listed(context: Context, tags: tuple[str, ...]) -> Running:
    return links(context, tags)


def _after(words: str, outcome: Outcome | None) -> Running:
    return (words, *_shown(outcome)) if isinstance(outcome, Record) else ()


def _shown(outcome: Outcome | None, show: str = "") -> Running:
    amount = amounts.outcome(outcome, show)
    why = getattr(outcome, "why", "")
    return (amount, f" ({why})") if why else (amount,)
