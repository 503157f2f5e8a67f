"""Setpoints of a tank: what stands, what is asked for, how much is left, with the working of each need."""


from msgspec import Struct

from generator.model.page import Amount, Link, Running
from generator.model.record import Record, value_of
from generator.model.results import Band, NeedResult, SetpointResult
from generator.model.scalar import Tag
from generator.pages import amounts, records
from generator.pages.context import Context
from generator.pages.prose import running
from generator.pages.records import OutcomeView


class NeedRow(Struct, frozen=True):
    """One need: what it asks for, the height, and what is left of it."""

    words: str
    sense: str
    limit: Amount
    slack: Amount
    is_met: bool | None
    is_tightest: bool
    because: Running
    source: Link
    record: OutcomeView | None


class SetpointRow(Struct, frozen=True):
    """One point: every number of it, ready to place."""

    tag: Link
    mark: str
    acts: str
    role: str
    stands: Amount
    is_proposed: bool
    required: Amount
    tightest: str
    slack: Amount
    is_short: bool
    reachable: Running
    as_left: Amount
    act: Running
    reset: Running
    elevation: Amount
    of_height: Amount
    of_volume: Amount
    of_range: Amount
    current: Amount
    volume: Amount
    because: Running
    needs: tuple[NeedRow, ...]
    working: tuple[OutcomeView, ...]
    budget: Link | None
    source: Link


def setpoints(context: Context, tank: str) -> tuple[SetpointRow, ...]:
    """All points of a tank, highest first; those without a height last."""
    results = context.results.setpoints
    tags = [tag for tag in context.plant.switches_of[tank] if tag in results]
    return tuple(row(context, tag) for tag in sorted(
        tags, key=lambda tag: (results[tag].stands is None, -(results[tag].stands or 0.0))))


def row(context: Context, tag: str) -> SetpointRow:
    """One point."""
    point, result = context.plant.switches[Tag(tag)], context.results.setpoints[tag]
    tightest = next((need for need in result.needs if need.tightest), None)
    return SetpointRow(
        tag=context.paths.link(tag), mark=mark(point.role, point.acts), acts=point.acts, role=point.role,
        stands=stands(result), is_proposed=result.is_proposed,
        required=amounts.outcome(tightest.limit if tightest and not result.conflict else result.required, "metres"),
        tightest=result.conflict or (tightest.words if tightest else "no need is written"), slack=slack(tightest),
        is_short=any(need.slack is not None and need.slack < -1e-9 for need in result.needs),
        reachable=span(result.reachable, "not given"),
        as_left=amounts.metres(result.as_left) if result.as_left is not None else Amount("not recorded"),
        act=span(result.act), reset=span(result.reset), elevation=amounts.outcome(result.elevation, "metres"),
        of_height=amounts.outcome(result.percent_of_height, "percent"),
        of_volume=amounts.outcome(result.percent_of_volume, "percent"),
        of_range=amounts.outcome(result.percent_of_range, "percent"), current=milliamps(result),
        volume=amounts.outcome(result.volume), because=running(context, point.height.because),
        needs=tuple(_need(context, tag, number, need) for number, need in enumerate(result.needs)),
        working=records.views(context, (
            result.required, result.proposed, result.error_own, result.error_common, result.differential,
            result.elevation, result.volume, result.percent_of_height, result.percent_of_volume,
            result.percent_of_range, result.current)),
        budget=_budget(context, tag),
        source=context.paths.source(point.height.place_of("issued") if point.height.issued else point.height.place),
    )


def _budget(context: Context, tag: str) -> Link | None:
    """The level budget on the page of the point, with the margin left."""
    found = context.results.level_budgets.get(tag)
    if found is None:
        return None
    left = next(value_of(piece.length) for piece in found.pieces if piece.kind == "margin")
    said = "" if left is None else f", {left * 1000:.0f} mm left"
    return Link(f"Level budget to {found.limit}{said}", f"{context.paths.path(tag) or ''}#budget")


def stands(result: SetpointResult) -> Amount:
    """The height that stands. A proposed one opens its record; an issued one was decided, not worked out."""
    if result.stands is None:
        return Amount(amounts.NOT_ASSESSED, "", result.proposed.key)
    return amounts.metres(result.stands, result.proposed.key if result.is_proposed else "")


def span(edges: Band | None, missing: str = amounts.NOT_ASSESSED) -> Running:
    """A band as "1.53 to 1.59 m"; to the millimetre where the centimetre would not say it."""
    if edges is None:
        return (missing,)
    low, high = amounts.metres(edges.low), amounts.metres(edges.high)
    decimals = max(len(one.number.partition(".")[2]) for one in (low, high))
    return (amounts.in_unit(edges.low, "m", decimals).number, " to ", amounts.in_unit(edges.high, "m", decimals))


def milliamps(result: SetpointResult) -> Amount:
    """The signal at the point, in mA."""
    if isinstance(result.current, Record):
        return amounts.in_unit(result.current.value, "mA", 2, result.current.key)
    return amounts.outcome(result.current)


def mark(role: str, acts: str) -> str:
    """The mark of a point: its role, and for an alarm its direction."""
    if role == "alarm":
        return "high" if acts == "rising" else "low"
    return {"trip": "trip", "permissive": "permissive", "spill detection": "alert"}.get(role, "control")


def _need(context: Context, tag: str, number: int, need: NeedResult) -> NeedRow:
    written = context.plant.switches[Tag(tag)].height.needs
    because = written[number].because if number < len(written) and written[number].place == need.place else None
    limit = context.results.records.get(need.limit.key)
    return NeedRow(
        words=need.words, sense=need.sense, limit=amounts.outcome(need.limit, "metres"), slack=slack(need),
        is_met=None if need.slack is None else need.slack >= -1e-9, is_tightest=need.tightest,
        because=running(context, because), source=context.paths.source(need.place),
        record=records.view(context, limit) if limit else None,
    )


def slack(need: NeedResult | None, without: str = amounts.NOT_ASSESSED) -> Amount:
    """What is left of a need in millimetres; words where there is none or where no height inside the tank keeps it."""
    if need is None or need.slack is None:
        return Amount(without)
    return Amount("the tank cannot hold it") if need.is_beyond and need.slack < 0 else amounts.millimetres(need.slack)
