"""Times while another tank overflows into the one that is told of, beside those at the worst rate."""

from collections.abc import Iterable

from generator.model.margin import SpilledTime
from generator.model.page import Amount, Running
from generator.model.record import Outcome, Record
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.logic_words import sentence_list


def while_it_runs(context: Context, one: SpilledTime) -> Running:
    """While which tank overflows into this one, and how fast that fills it."""
    return ("while ", context.paths.link(one.spill.source), " overflows into it, at ", amounts.outcome(one.spill.rate))


def except_while(context: Context, lock: str) -> Running:
    """While which tanks overflow an interlock does not hold the level; empty where it stops them or none does."""
    tanks = dict.fromkeys(tank for budget in context.results.trips.get(lock, ()) for tank in budget.idle_while)
    said = sentence_list([(context.paths.link(tank),) for tank in tanks])
    return ("except while ", *said, " overflow into it" if len(tanks) > 1 else " overflows into it") if tanks else ()


def left(outcome: Outcome | None) -> Amount:
    """Minutes, cut off; a word where none are left."""
    if isinstance(outcome, Record) and outcome.value <= 0:
        return Amount("none left", "", outcome.key)
    return amounts.outcome(outcome, "minutes") if outcome is not None else Amount("")


def beside(context: Context, spilled: Iterable[SpilledTime], place: int) -> Running:
    """The time in a place of each, to stand behind that at the worst rate; empty where no tank overflows into this one."""
    words: Running = ()
    for one in spilled:
        words = (*words, "; ", left(one.times[place]), " ", *while_it_runs(context, one))
    return words
