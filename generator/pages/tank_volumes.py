"""Volumes and rates of a tank, each with the record behind it, and the volume table."""

from collections.abc import Iterable

from msgspec import Struct

from generator.model.margin import RateCase, Room
from generator.model.page import Amount, Link
from generator.model.record import Record
from generator.model.scalar import Tag
from generator.pages import amounts, records, rules
from generator.pages.context import Context
from generator.pages.records import OutcomeView


class VolumeRow(Struct, frozen=True):
    """One figure of the tank with what it means."""

    name: str
    amount: Amount
    says: str


class FlowRow(Struct, frozen=True):
    """One stream of a case: the flow taken, and what carries it."""

    stream: Link
    flow: Amount
    carried_by: tuple[Link, ...]


class CaseView(Struct, frozen=True):
    """One net rate: the streams that move the level, those counted on against it, those that run but do not count."""

    title: str
    case: str
    net: Amount
    moving: tuple[FlowRow, ...]
    against: tuple[FlowRow, ...]
    silent: tuple[Link, ...]


class ConcernRow(Struct, frozen=True):
    """A level of concern after a published rule in force."""

    name: str
    height: Amount
    rule: Link
    where: str
    is_analogy: bool


class TankVolumes(Struct, frozen=True):
    """Figures, the cases behind the rates, levels of concern, the table of height, volume and surface, the working."""

    rows: tuple[VolumeRow, ...]
    cases: tuple[CaseView, ...]
    concerns: tuple[ConcernRow, ...]
    table: tuple[tuple[Amount, Amount, Amount], ...]
    working: tuple[OutcomeView, ...]


def volumes(context: Context, tag: str) -> TankVolumes:
    """Volumes and rates of one tank."""
    result = context.results.tanks[tag]
    shape = context.plant.tanks[Tag(tag)].shape.kind
    rows: tuple[VolumeRow, ...] = (
        VolumeRow("Capacity", amounts.outcome(result.capacity), f"{shape}, filled to the top"),
        VolumeRow("Ceiling", amounts.outcome(result.ceiling, "metres"), "lowest height at which liquid leaves"),
        VolumeRow("Working volume", amounts.outcome(result.working_volume), "within the normal band"),
        _dead(context, tag),
        *(_room(context, one) for one in context.results.rooms.get(tag, ())),
        VolumeRow("Filling, worst", amounts.outcome(result.filling), result.filling_case),
        *(VolumeRow(f"Filling while {one.source} overflows", amounts.outcome(one.rate), getattr(one.rate, "note", ""))
          for one in result.spills),
        VolumeRow("Filling, ordinary", amounts.outcome(result.filling_normal), _ordinary(result.cases, "filling")),
        VolumeRow("Emptying, worst", amounts.outcome(result.emptying), result.emptying_case),
        VolumeRow("Emptying, ordinary", amounts.outcome(result.emptying_normal), _ordinary(result.cases, "emptying")),
    )
    rows += tuple(VolumeRow(name, amounts.outcome(one, show), says) for name, one, show, says in (
        ("Head over the overflow", result.overflow_head, "mm", "while the largest inflow leaves by it"),
        ("Head from its size", result.overflow_head_by_size, "mm", "what the size of the overflow gives at that inflow"),
        ("Overflow passes", result.overflow_capacity, "", "before liquid leaves elsewhere")) if one is not None)
    decimals = 3 if result.vessel and result.vessel.capacity < 1 else 2
    table = tuple(
        (amounts.metres(height), amounts.in_unit(volume, "m3", decimals), amounts.in_unit(area, "m2", 2))
        for height, volume, area in result.volume_table
    )
    concerns = tuple(ConcernRow(one.name, amounts.outcome(one.height, "metres"), _rule(context, one.rule), one.where,
                                one.is_analogy) for one in result.concerns)
    return TankVolumes(rows, tuple(_case(context, one) for one in result.cases if one.moving), concerns, table,
                       records.views(context, (
        result.capacity, result.ceiling, result.working_volume,
        result.dead_volume if context.plant.pumps_of[Tag(tag)] else None,
        *(one.outcome for one in context.results.rooms.get(tag, ())), result.filling,
        result.filling_normal, result.emptying, result.emptying_normal, result.overflow_head,
        result.overflow_head_by_size, result.overflow_capacity, *(one.height for one in result.concerns))))


def _dead(context: Context, tag: str) -> VolumeRow:
    """What stays below the lowest inlet; a tank from which no pump draws has none."""
    if not context.plant.pumps_of[Tag(tag)]:
        return VolumeRow("Dead volume", Amount("does not apply"), f"no pump draws from {tag}")
    return VolumeRow("Dead volume", amounts.outcome(context.results.tanks[tag].dead_volume), "below the lowest pump inlet")


def _room(context: Context, one: Room) -> VolumeRow:
    if one.until in context.plant.switches:
        says = f"from the top of the normal band to where {one.until} can act first"
    elif one.until:
        says = f"by {one.until}, from the foot of the normal band at the worst emptying rate"
        if isinstance(one.outcome, Record) and one.outcome.value <= 0:
            return VolumeRow(one.name, Amount("already below it", record=one.outcome.key),
                             f"by {one.until}: the foot of the normal band is at or below where suction is lost")
    else:
        says = "from the top of the normal band to where liquid leaves"
    return VolumeRow(one.name, amounts.outcome(one.outcome, "minutes" if one.until not in context.plant.switches and one.until
                                               else ""), says)


def _rule(context: Context, name: str) -> Link:
    """A published rule on the page of the rules in force."""
    rule = context.knowledge.rules.get(name)
    return Link(rule.title if rule else name, f"{rules.PATH}#{rules.anchor(name)}")


def _ordinary(cases: Iterable[RateCase], direction: str) -> str:
    """What an ordinary rate is: the net of what runs, or one side alone where the other is not counted on."""
    one = next((case for case in cases if case.direction == direction and case.kind == "ordinary"), None)
    if one is None or one.against:
        return "net rate of ordinary running"
    if not one.moving:
        return "nothing moves it in ordinary running"
    return "ordinary inflow alone, while nothing leaves" if direction == "filling" else (
        "ordinary outflow alone, while nothing enters")


def _case(context: Context, one: RateCase) -> CaseView:
    return CaseView(f"{one.direction.capitalize()}, {one.kind}", one.case or "all streams that can run together",
                    amounts.outcome(one.net), tuple(_flow(context, *pair) for pair in one.moving),
                    tuple(_flow(context, *pair) for pair in one.against),
                    tuple(Link(str(context.plant.streams[Tag(tag)].name), context.paths.path(tag) or "")
                          for tag in one.silent))


def _flow(context: Context, tag: str, flow: float) -> FlowRow:
    stream = context.plant.streams[Tag(tag)]
    carried = (*((stream.moved_by,) if stream.moved_by else ()), *stream.through)
    return FlowRow(Link(str(stream.name), context.paths.path(tag) or ""), amounts.amount(flow, "flow"),
                   tuple(context.paths.link(one) for one in carried))
