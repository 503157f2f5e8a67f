"""Truth of conditions, as far as the review needs it: with devices dead."""

from collections.abc import Collection, Iterator

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Not, Vote


def can_act_without(condition: Condition, dead: Collection[str]) -> bool:
    """Whether a condition can still become true when nothing that rests on the dead signals is believed."""
    match condition:
        case Acted(tag=tag):
            return tag not in dead
        case Not(part=part):
            return not any(tag in dead for tag in part.tags())
        case AnyOf(inner=inner):
            return any(can_act_without(part, dead) for part in inner)
        case AllOf(inner=inner):
            return all(can_act_without(part, dead) for part in inner)
        case Vote(needed=needed, inner=inner):
            return sum(can_act_without(part, dead) for part in inner) >= needed
        case Held(part=part):
            return can_act_without(part, dead)
        case _:
            raise TypeError(f"unknown form of condition: {type(condition).__name__}")


def parts_of(condition: Condition, form: type[Condition]) -> Iterator[Condition]:
    """Every part of a condition that has one form, itself included."""
    if isinstance(condition, form):
        yield condition
    for part in condition.parts():
        yield from parts_of(part, form)
