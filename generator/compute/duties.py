"""What rests on a point: which functions it carries, and which contact state is their demand."""

from collections.abc import Iterator
from typing import Literal

from msgspec import Struct

from generator.compute.causes import LevelCause, level_causes
from generator.compute.final_elements import STOPS, elements
from generator.model.condition import AnyOf, Vote
from generator.model.interlock import Interlock, StartStop
from generator.model.plant import Definitions

Kind = Literal["stops", "starts to protect", "withholds a start", "alarm", "control"]
STARTED = ("running", "on", "sounding")


class Duty(Struct, frozen=True):
    """One function that a point carries. `on_act` where it answers to the point's action, not to its return."""

    tag: str
    kind: Kind
    on_act: bool
    words: str
    """What it does then: "I-210 acts: XV-210 closed"; a member of a vote says what is still lacking."""


def duties(plant: Definitions, tag: str) -> tuple[Duty, ...]:
    """Functions of a point: trips and interlocks first, then controls, then alarms."""
    return (*_interlocks(plant, tag), *_controls(plant, tag), *_alarms(plant, tag))


def _interlocks(plant: Definitions, tag: str) -> Iterator[Duty]:
    for name in plant.interlocks_of_cause[tag]:
        lock = plant.interlocks[name]
        for cause in level_causes(plant, lock.when):
            if cause.tag == tag:
                yield _duty(plant, str(name), lock, cause)


def _duty(plant: Definitions, name: str, lock: Interlock, cause: LevelCause) -> Duty:
    targets = ", ".join(lock.then)
    if lock.kind == "permissive":
        # The cause of a permissive lets a start through; its absence is what protects.
        return Duty(name, "withholds a start", cause.is_negated, f"{name} withholds the start of {targets}")
    effects = ", ".join(f"{target} {state}" for target, state in lock.then.items())
    words = f"{name} acts: {effects}" if _alone(lock, cause) else (
        f"{name} counts this point as acted, and acts ({effects}) once {_lacking(lock, cause)}")
    kind: Kind = "starts to protect" if starts_to_protect(plant, lock) else "stops"
    return Duty(name, kind, not cause.is_negated, words)


def _lacking(lock: Interlock, cause: LevelCause) -> str:
    """What a cause with more than one part still lacks when this point has acted."""
    vote = lock.vote
    if vote is None or not any(list(part.tags()) == [cause.tag] for part in vote.inner) or vote.needed < 2:
        return "the rest of its cause stands too"
    more, others = vote.needed - 1, len(vote.inner) - 1
    return f"{more} of the other {others} {'has' if more == 1 else 'have'} acted too"


def _alone(lock: Interlock, cause: LevelCause) -> bool:
    """Whether the point brings the interlock about by itself."""
    is_any = isinstance(lock.when, AnyOf) or (isinstance(lock.when, Vote) and lock.when.needed == 1)
    alternatives = lock.when.parts() if is_any else (lock.when,)
    return any(list(one.tags()) == [cause.tag] for one in alternatives)


def starts_to_protect(plant: Definitions, lock: Interlock) -> bool:
    """Whether an interlock must start something, and stops or shuts nothing."""
    states = [state for _, state in elements(plant, lock)]
    return any(state in STARTED for state in states) and not any(state in STOPS for state in states)


def _controls(plant: Definitions, tag: str) -> Iterator[Duty]:
    for name in plant.controls_of_point[tag]:
        control = plant.controls[name]
        if not isinstance(control, StartStop):
            continue
        valve = control.moves in plant.valves
        if control.stops == tag:
            yield Duty(str(name), "control", True, f"{name} {'shuts' if valve else 'stops'} {control.moves}")
        for number, start in enumerate(control.starts, 1):
            if start == tag:
                whom = f"pump {number} of {control.moves}" if len(control.starts) > 1 else str(control.moves)
                yield Duty(str(name), "control", True, f"{name} {'opens' if valve else 'starts'} {whom}")


def _alarms(plant: Definitions, tag: str) -> Iterator[Duty]:
    for name in plant.alarms_of[tag]:
        yield Duty(str(name), "alarm", True, f"alarm {name} sounds")
