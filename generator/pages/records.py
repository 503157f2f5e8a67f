"""Calculation records and absences as they stand on pages: result, equation, inputs, and what they feed."""

from collections.abc import Iterable

from msgspec import Struct

from generator.model.page import Amount, Link
from generator.model.place import Place
from generator.model.quantity import si_unit
from generator.model.record import Absence, Input, Outcome
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.reach import ReachView, owner


class InputView(Struct, frozen=True):
    """One value that went into a result. `source` links to the line or the record it comes from, or is plain words."""

    symbol: str
    name: str
    shown: Amount
    si: Amount
    source: Link


class RecordView(Struct, frozen=True):
    """One record. `shown` is its result as pages show it, `si` the same in SI units."""

    key: str
    anchor: str
    name: str
    shown: Amount
    si: Amount
    equation: str
    inputs: tuple[InputView, ...]
    validity: str
    reference: str
    note: str
    feeds: tuple[Link, ...]
    reach: ReachView
    path: str


class AbsenceView(Struct, frozen=True):
    """One quantity that cannot be worked out, with its reason and the fields that would decide it."""

    key: str
    anchor: str
    name: str
    why: str
    missing: tuple[str, ...]
    path: str


OutcomeView = RecordView | AbsenceView


def view(context: Context, outcome: Outcome) -> OutcomeView:
    """A record or an absence, ready to place; made once for all pages that show it."""
    kept = context.record_views
    if outcome.key not in kept:
        kept[outcome.key] = _view(context, outcome)
    made: OutcomeView = kept[outcome.key]
    return made


def _view(context: Context, outcome: Outcome) -> OutcomeView:
    path = context.paths.record(outcome.key)
    if isinstance(outcome, Absence):
        return AbsenceView(outcome.key, slug(outcome.key), _capital(outcome.name), outcome.why, outcome.missing, path)
    return RecordView(
        outcome.key, slug(outcome.key), _capital(outcome.name), amounts.amount(outcome.value, outcome.dimension),
        si_amount(outcome.value, outcome.dimension), outcome.equation,
        tuple(_input(context, one) for one in outcome.inputs), outcome.validity, outcome.reference, outcome.note,
        tuple(door(context, key) for key in context.feeds.get(outcome.key, ())),
        context.reach_of((outcome.key,), owner(outcome.key)), path,
    )


def views(context: Context, outcomes: Iterable[Outcome | None]) -> tuple[OutcomeView, ...]:
    """Several, each once, in their order; those that were not asked for are left out."""
    keys = dict.fromkeys(outcome.key for outcome in outcomes if outcome is not None)
    return tuple(view(context, context.results.records[key]) for key in keys if key in context.results.records)


def door(context: Context, key: str) -> Link:
    """A link to a record, by its name."""
    outcome = context.results.records.get(key)
    if outcome is None:
        return Link(key.removeprefix("#"), "")
    return Link(_capital(outcome.name), context.paths.record(key))


def si_amount(value: float, dimension: str) -> Amount:
    """A value in the SI unit of its dimension, to six figures: an elevation of some hundred metres keeps its millimetres.

    >>> si_amount(0.0055555555, "flow")
    Amount(number='0.00555556', unit='m³/s', record='', title='')
    """
    return Amount(f"{value:.6g}", amounts.pretty(si_unit(dimension)) if dimension else "")


def _input(context: Context, one: Input) -> InputView:
    return InputView(one.symbol, one.name, amounts.amount(one.value, one.dimension),
                     si_amount(one.value, one.dimension), _source(context, one))


def _source(context: Context, one: Input) -> Link:
    if isinstance(one.source, Place):
        return context.paths.source(one.source)
    return door(context, one.source) if one.is_record else Link(one.source, "")


def _capital(name: str) -> str:
    """A name as a heading; a tag at its head is left alone."""
    return name[:1].upper() + name[1:]
