"""Time budgets of a trip as they stand on its page: steps, what they add up to, what the process gives."""


from msgspec import Struct

from generator.model.page import Amount, Link, Running
from generator.model.record import Outcome, value_of
from generator.model.results import TripBudget
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.fields import in_words
from generator.pages.spilled import left, while_it_runs


class StepRow(Struct, frozen=True):
    """One step of a time budget: its time and how far the level runs meanwhile."""

    name: str
    time: Amount
    travel: Amount
    missing: str


class BudgetView(Struct, frozen=True):
    """The time a trip needs from one point against the time the process gives. `share` is in percent, for the bar."""

    point: Link
    tank: Link
    steps: tuple[StepRow, ...]
    needed: Amount
    available: Amount
    overrun: Amount
    limit: str
    share: float | None
    missing: tuple[str, ...]
    spilled: tuple[Running, ...]
    """The time that the process gives while another tank overflows into this one."""


def budget(context: Context, one: TripBudget) -> BudgetView:
    """The budget of one trip from one point."""
    needed, available = value_of(one.needed), value_of(one.available)
    share = None if needed is None or available is None or available <= 0 else min(100.0, needed / available * 100)
    steps = tuple(
        StepRow(
            step.name,
            _time(step.time),
            Amount(amounts.NOT_ASSESSED) if step.height is None else amounts.in_unit(step.height, "mm", 1),
            in_words(getattr(step.time, "missing", ())),
        )
        for step in one.steps
    )
    lacking = dict.fromkeys(
        field for outcome in (one.needed, one.available, one.overrun) for field in getattr(outcome, "missing", ())
    )
    return BudgetView(
        context.paths.link(one.point),
        context.paths.link(one.tank),
        steps,
        amounts.outcome(one.needed, "taken"),
        _time(one.available, left=True),
        amounts.outcome(one.overrun, "mm"),
        one.limit,
        share,
        (in_words(lacking),) if lacking else (),
        tuple((left(spilled.times[0]), " ", *while_it_runs(context, spilled)) for spilled in one.spilled),
    )


def _time(outcome: Outcome, left: bool = False) -> Amount:
    """Seconds for what a trip needs; minutes that are never rounded up for what the process leaves."""
    value = value_of(outcome)
    if value is None:
        return amounts.outcome(outcome)
    return amounts.minutes(value, outcome.key) if left else amounts.in_unit(value, "s", 1, outcome.key)
