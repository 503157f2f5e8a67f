"""What follows later from a failure, or tells of it by comparison: running times that trip, floats that differ."""

from collections.abc import Iterable, Iterator, Mapping

from msgspec.structs import replace

from generator.compute.damage import Damage, Judge
from generator.model.condition import Acted, Condition, Held, Not
from generator.model.failure import Exposure, Fewer, Later
from generator.model.interlock import StartStop
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.scalar import Tag


def deviating(plant: Definitions, judge: Judge, damage: Damage) -> tuple[Tag, ...]:
    """Deviation alarms that sound at once: one of their two instruments no longer says what it says in ordinary running."""
    changed: set[str] = set()
    for tag, says in damage.forced.items():
        switch = plant.switches.get(Tag(tag))
        if switch is not None and judge.at_rest(tag) is not None and judge.at_rest(tag) != says:
            changed.add(str(switch.in_))
        elif tag.endswith(" reads"):
            body = plant.instruments[Tag(tag.removesuffix(" reads"))]
            changed |= {tag.removesuffix(" reads")} if body.signal == "4-20 mA" else set()
    return tuple(tag for tag, alarm in plant.alarms.items()
                 if sum(str(one) in changed for one in alarm.deviation_of) == 1)


def running(plant: Definitions, damage: Damage, controls: Mapping[str, str]) -> dict[str, bool]:
    """Running signals of the machines that the failure keeps running or stopped."""
    known = {device: state in ("running", "on") for device, state in damage.states.items()}
    for tag, does in controls.items():
        moves = plant.controls[Tag(tag)].moves
        if does in ("runs on", "does not run") and moves not in plant.pump_groups:
            known.setdefault(str(moves), does == "runs on")
    return {str(tag): known[str(signal.of)] for tag, signal in plant.signals.items()
            if signal.kind == "running" and signal.of is not None and str(signal.of) in known and tag not in damage.forced}


def later(plant: Definitions, judge: Judge, damage: Damage, controls: Mapping[str, str]) -> Iterator[Later]:
    """Interlocks that act for nothing once a machine has run, or stood, for their time."""
    signals = running(plant, damage, controls)
    then = replace(damage, forced={**damage.forced, **signals})
    for lock in dict.fromkeys(lock for tag in signals for lock in plant.interlocks_of_cause[tag]):
        what = plant.interlocks[lock]
        if str(lock) in damage.dead or what.kind == "permissive" or judge.asks(
                what, damage.seen_by(lock)) or not judge.asks(what, then.seen_by(lock)):
            continue
        times = {tag: time for tag in signals if (time := longest_held(what.when, tag))}
        if times:
            tag = max(times, key=lambda one: sum(time.si for time in times[one]))
            yield Later(str(lock), tag, signals[tag], " and ".join(time.written for time in times[tag]))


def met(plant: Definitions, judge: Judge, damage: Damage, exposures: Iterable[Exposure]) -> Iterator[str]:
    """The first alarm that still sounds on the way of each level that the failure drives, where no control holds it back."""
    for one in exposures:
        if one.is_demanded and not any(layer.kind == "control" for layer in one.remains):
            alarms = [alarm for layer in one.remains for alarm in (
                (Tag(layer.tag),) if layer.kind == "alarm" else plant.alarms_of[layer.tag])]
            yield from [str(alarm) for alarm in alarms if judge.can_sound(alarm, damage)][:1]


def fewer(plant: Definitions, judge: Judge, damage: Damage) -> Iterator[Fewer]:
    """Controls of several pumps of which some starts, and not all, can no longer come: each dead start is one pump fewer.

    The pump that comes next starts by the next point that still acts.
    """
    for tag, control in plant.controls.items():
        if not isinstance(control, StartStop) or len(control.starts) < 2 or judge.control(tag, damage):
            continue
        seen = damage.seen_by(tag)
        left = tuple(str(one) for one in control.starts if seen.forced.get(str(one)) is not False)
        if len(left) < len(control.starts):
            yield Fewer(str(tag), left, len(control.starts) - len(left))


def longest_held(condition: Condition, tag: str) -> tuple[Duration, ...]:
    """Times that a tag must last before it counts in a condition, outermost first; the longest where it stands twice.

    >>> form = {"any_of": ["A", {"all_of": [{"held": "10 min", "of": "B"}, {"not": "C"}]}]}
    >>> [time.written for time in longest_held(Condition.read(form), "B")], longest_held(Condition.read(form), "A")
    (['10 min'], ())
    """
    def walk(part: Condition, held: tuple[Duration, ...]) -> Iterator[tuple[Duration, ...]]:
        match part:
            case Acted(tag=one):
                if one == tag:
                    yield held
            case Not(part=inner):
                yield from walk(inner, held)
            case Held(time=time, part=inner):
                yield from walk(inner, (*held, time))
            case _:
                for inner in part.parts():
                    yield from walk(inner, held)

    return max(walk(condition, ()), key=lambda times: sum(time.si for time in times), default=())
