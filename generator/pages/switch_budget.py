"""Level budget, headroom and signal of a point as they stand on its page."""


from msgspec import Struct

from generator.draw.level_budget import BudgetDrawing, Given, level_budget
from generator.model.margin import Headroom, LevelBudget, PieceKind
from generator.model.page import Amount, Link
from generator.model.record import Absence, Outcome, Record
from generator.model.results import SetpointResult
from generator.model.scalar import Tag
from generator.pages import amounts, records
from generator.pages.context import Context
from generator.pages.fields import in_words
from generator.pages.paths import slug
from generator.pages.records import OutcomeView

MEANINGS = {"failure": "failure", "undefined": "neither measurement nor failure", "measurement": "measurement"}


class PieceRow(Struct, frozen=True):
    """One piece of the budget."""

    name: str
    kind: PieceKind
    length: Amount
    is_short: bool
    missing: str


class BudgetView(Struct, frozen=True):
    """The budget: picture where everything is known, rows always. `calculations` holds the working of each piece."""

    limit: Link
    limit_height: Amount
    distance: Amount
    drawing: BudgetDrawing | None
    rows: tuple[PieceRow, ...]
    calculations: Link


class HeadroomRow(Struct, frozen=True):
    """How far one thing may go."""

    what: str
    today: Amount
    at: Amount
    why: str
    breaks: str


class SignalView(Struct, frozen=True):
    """One current of the point's transmitter, with the level that it stands for. `is_point` for the point's own."""

    name: str
    current: Amount
    share: Amount
    height: Amount
    meaning: str
    is_point: bool


class TransmitterView(Struct, frozen=True):
    """The signal of the point's transmitter and the pressures behind its range."""

    tag: Link
    rows: tuple[SignalView, ...]
    standard: str
    pressures: tuple[OutcomeView, ...]
    shown: tuple[tuple[str, Amount], ...]


def budget(context: Context, tag: str) -> BudgetView | None:
    """The level budget of a point; None where it has none."""
    found = context.results.level_budgets.get(tag)
    if found is None:
        return None
    rows = tuple(_row(piece.name, piece.kind, piece.length) for piece in found.pieces)
    limit = context.paths.link(found.limit) if found.limit in context.plant.switches else Link(found.limit, "")
    return BudgetView(
        limit, amounts.metres(found.limit_height) if found.limit_height is not None else Amount(amounts.NOT_ASSESSED),
        amounts.outcome(found.distance, "mm"), _drawing(found), rows,
        Link("The working of each piece", context.paths.record(f"#{tag}/budget/distance")))


def _row(name: str, kind: PieceKind, length: Outcome) -> PieceRow:
    if isinstance(length, Absence):
        return PieceRow(name, kind, amounts.outcome(length), False, in_words(length.missing) or length.why)
    return PieceRow(name, kind, _millimetres(length), kind == "margin" and length.value < 0, "")


def _millimetres(length: Record) -> Amount:
    """Whole millimetres; a tenth where the piece is smaller than ten."""
    return amounts.in_unit(length.value, "mm", 1 if abs(length.value) < 0.01 else 0, length.key)


def _drawing(found: LevelBudget) -> BudgetDrawing | None:
    pieces = [Given(piece.name, piece.kind, piece.length.value, f"{_millimetres(piece.length).number} mm")
              for piece in found.pieces if isinstance(piece.length, Record)]
    if len(pieces) < len(found.pieces) or found.stands is None or found.limit_height is None:
        return None
    return level_budget(
        f"budget-{slug(found.tag)}", f"Level budget of {found.tag}",
        f"{found.limit} {amounts.metres(found.limit_height).number} m",
        f"{found.tag} {amounts.metres(found.stands).number} m", pieces, found.direction == "rising")


def headroom(context: Context, tag: str) -> tuple[HeadroomRow, ...]:
    """How far flows, valve and operator may go."""
    return tuple(_headroom(one) for one in context.results.headrooms.get(tag, ()))


def _headroom(one: Headroom) -> HeadroomRow:
    today = amounts.outcome(one.today, "needed" if one.what.startswith("longest time of a person") else "")
    if one.broken and not (one.breaks and one.breaks in one.broken):  # a figure up to which nothing holds helps nobody
        return HeadroomRow(one.what, today, Amount("does not hold", "", one.at.key), "", one.broken)
    if isinstance(one.at, Absence):
        return HeadroomRow(one.what, today, Amount("no limit", "", one.at.key), one.at.why, "")
    shown = amounts.minutes(one.at.value, one.at.key) if one.what.startswith("longest") else amounts.outcome(one.at)
    return HeadroomRow(one.what, today, shown, "", one.broken or one.breaks)


def transmitter(context: Context, tag: str, setpoint: SetpointResult | None) -> TransmitterView | None:
    """The signal of the transmitter that a point is set on; None for a contact."""
    body = str(context.plant.switches[Tag(tag)].in_)
    found = context.results.transmitters.get(body)
    if found is None:
        return None
    rows = [SignalView(one.name, amounts.in_unit(one.current, "mA", 2), Amount(f"{one.share * 100:.2f}", "%"),
                       amounts.in_unit(one.height, "m", 3), MEANINGS[one.meaning], False) for one in found.rows]
    if setpoint is not None and isinstance(setpoint.current, Record) and isinstance(setpoint.percent_of_range, Record) \
            and setpoint.stands is not None:
        rows.append(SignalView(
            f"{tag} {setpoint.acts}", amounts.in_unit(setpoint.current.value, "mA", 2, setpoint.current.key),
            Amount(f"{setpoint.percent_of_range.value * 100:.2f}", "%", setpoint.percent_of_range.key),
            amounts.in_unit(setpoint.stands, "m", 3), MEANINGS["measurement"], True))
    rows.sort(key=lambda row: -float(row.current.number))
    known = [(words, outcome) for words, outcome in (
        ("Lower range value", found.lower_range_value), ("Upper range value", found.upper_range_value),
        ("Reading off at the top, lightest liquid", found.reading_low),
        ("Reading off at the top, heaviest liquid", found.reading_high)) if outcome is not None]
    return TransmitterView(context.paths.link(body), tuple(rows), found.standard,
                           records.views(context, [one for _, one in known]),
                           tuple((words, _pressure(one)) for words, one in known))


def _pressure(outcome: Outcome) -> Amount:
    """A signed pressure difference in kPa, a reading error in millimetres."""
    if isinstance(outcome, Absence):
        return amounts.outcome(outcome)
    if outcome.dimension == "length":
        return Amount(f"{outcome.value * 1000:+.0f}", "mm", outcome.key)
    return Amount(f"{outcome.value / 1000:+.3f}", "kPa", outcome.key)
