"""The time that a published rule asks for on a tank: its own, or the site's own where the rule is a default only."""

from generator.compute.book import given
from generator.compute.inherited import operator_time
from generator.model.defaults import OperatorTime
from generator.model.knowledge import PublishedRule
from generator.model.plant import Definitions
from generator.model.record import Input

RESPONSES = {f"overfill-response-category-{number}": f"category {number}" for number in (1, 2, 3)}
"""Rules that give the response time of a category of tanks."""
OWN_TIME = "the site's own time for a person counts instead of the category's default"
OPERATOR = ("notice", "diagnose", "go", "act", "effect")


def is_worked_out(plant: Definitions, tank: str, rule: PublishedRule) -> bool:
    """Whether the site worked out itself the response time that a rule gives as a default."""
    return rule.name in RESPONSES and operator_time(plant, tank) is not None


def times_of(plant: Definitions, tank: str, rule: PublishedRule) -> tuple[Input, ...]:
    """The times whose sum counts for a rule: the site's itemised response, else the rule's own; nothing where it has none.

    Source: API Std 2350, a category's time is the default where no response time was worked out (from memory).
    """
    own: OperatorTime | None = operator_time(plant, tank)
    if own is not None and is_worked_out(plant, tank, rule):
        return tuple(given(getattr(own, part), f"t_{{{number}}}", f"operator's time: {part}")
                     for number, part in enumerate(OPERATOR, 1))
    if rule.time is None:
        return ()
    return (Input("t", f"time that {rule.name} asks for", rule.time, "time", f"{rule.standard} ({rule.mark})"),)
