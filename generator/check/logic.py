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


def can_sense_without(condition: Condition, dead: Collection[str], beside: Collection[str]) -> bool:
    """Whether a measurement can still make a condition true without the dead signals.

    What stands `beside` the measurements (a button, a key, a position) counts for nothing as an alternative; as a further
    condition that must hold with a measurement it is taken to hold.
    """
    match condition:
        case AnyOf(inner=inner):
            return any(can_sense_without(part, dead, beside) for part in inner)
        case AllOf(inner=inner):
            measured = [part for part in inner if set(part.tags()) - set(beside)]
            return bool(measured) and all(can_sense_without(part, dead, beside) for part in measured)
        case Vote(needed=needed, inner=inner):
            return sum(can_sense_without(part, dead, beside) for part in inner) >= needed
        case Held(part=part):
            return can_sense_without(part, dead, beside)
        case _:
            return bool(set(condition.tags()) - set(beside)) and can_act_without(condition, dead)


def parts_of(condition: Condition, form: type[Condition]) -> Iterator[Condition]:
    """Every part of a condition that has one form, itself included."""
    if isinstance(condition, form):
        yield condition
    for part in condition.parts():
        yield from parts_of(part, form)
