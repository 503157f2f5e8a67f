"""What the logic remembers: one step of a point, a delay, a latch, a start, and what a loss of power leaves of each.

`compute/logic.py` says what a condition means at one moment; this module says how one moment follows from the last. No
time is counted here: a delay is idle, running or elapsed, and whether it runs out is given from outside. Claims about
time come from the time budgets and the scenarios alone.
"""

from collections.abc import Collection
from typing import Literal

from generator.model.results import Band

Delay = Literal["idle", "running", "elapsed"]
Answer = Literal["trips", "holds", "ignored"]
Direction = Literal["rising", "falling"]


def point_state(was_acted: bool | None, level: float, acts: Direction, act: Band, reset: Band) -> bool | None:
    """Whether a point has acted at a level, from whether it had acted before: the bit that its deadband remembers.

    Args:
        was_acted: State before; None where it is not known.
        level: Level of the liquid. [m]
        acts: Direction in which the point acts.
        act: Where it can act. [m]
        reset: Where it can let go again. [m]

    Returns:
        True past the far edge of `act`, False past the far edge of `reset`; between them the state before. Inside one of
        the bands the device decides and nobody knows: None, unless that would be the state it has already.

    >>> rising = dict(acts="rising", act=Band(1.64, 1.66), reset=Band(1.60, 1.62))
    >>> point_state(False, 1.63, **rising), point_state(True, 1.63, **rising), point_state(False, 1.65, **rising)
    (False, True, None)
    """
    sign = 1.0 if acts == "rising" else -1.0
    here = sign * level
    acts_from, acts_for_certain = sorted((sign * act.low, sign * act.high))
    lets_go_for_certain, lets_go_from = sorted((sign * reset.low, sign * reset.high))
    if here >= acts_for_certain:
        return True
    if here <= lets_go_for_certain:
        return False
    if here >= acts_from:
        return True if was_acted else None
    if here <= lets_go_from:
        return False if was_acted is False else None
    return was_acted


def on_delay(before: Delay, is_asked: bool, is_over: bool) -> Delay:
    """State of an on-delay after one step: it runs while the cause lasts, and a gap in the cause starts it anew.

    >>> on_delay("idle", True, False), on_delay("running", True, True), on_delay("elapsed", False, False)
    ('running', 'elapsed', 'idle')
    """
    if not is_asked:
        return "idle"
    if before == "elapsed" or (before == "running" and is_over):
        return "elapsed"
    return "running"


def off_delay(before: Delay, is_asked: bool, is_over: bool) -> Delay:
    """State of an off-delay after one step: "elapsed" is at rest, "idle" holds on the cause, "running" has lost it.

    What it carries on is true while it is idle or running.

    >>> off_delay("idle", False, False), off_delay("running", False, True), off_delay("running", True, True)
    ('running', 'elapsed', 'idle')
    """
    if is_asked:
        return "idle"
    if before == "elapsed" or (before == "running" and is_over):
        return "elapsed"
    return "running"


def counted(acted: bool, is_bad: bool, answer: Answer | None, last: bool, demand: bool = True) -> bool | None:
    """How a member counts in a cause while a fault of its signal is detected.

    Args:
        acted: What the signal says while it is good.
        is_bad: Whether a fault of it is detected.
        answer: What the interlock does then; None where that is not recorded.
        last: What the member said last while its signal was good.
        demand: The state of the member that works towards the cause: True, or False under a `not`.

    Returns:
        True for acted; None where nothing says what happens.

    >>> [counted(False, True, answer, last=False) for answer in ("trips", "holds", "ignored", None)]
    [True, False, False, None]
    """
    if not is_bad:
        return acted
    return {"trips": demand, "holds": last, "ignored": not demand, None: None}[answer]


def latched(was_latched: bool, demand: bool, is_reset_pushed: bool, is_reset_accepted: bool) -> bool:
    """State of a latch after one step: the demand sets it, and it wins over the reset.

    >>> latched(True, False, True, True), latched(True, True, True, True), latched(True, False, True, False)
    (False, True, True)
    """
    return demand or (was_latched and not (is_reset_pushed and is_reset_accepted))


def first_cause(before: Collection[str], standing: Collection[str], is_reset_accepted: bool) -> tuple[str, ...]:
    """What a memory of the first cause holds after one step: it takes what stands while it is empty, and then nothing more.

    Args:
        before: What it holds; more than one where they came too close together to be told apart.
        standing: Causes that stand.
        is_reset_accepted: Whether a reset is pushed and accepted. A cause that stands wins over it, as it does for the latch.

    >>> first_cause((), ("A",), False), first_cause(("A",), ("B",), False), first_cause(("A",), (), True)
    (('A',), ('A',), ())
    """
    if not before:
        return tuple(standing)
    return () if is_reset_accepted and not standing else tuple(before)


def runs(was_running: bool, is_started: bool, is_permitted: bool, is_stopped: bool) -> bool:
    """Whether a machine runs after one step: a permissive is asked at the start alone, a stop at all times.

    >>> runs(False, True, False, False), runs(True, False, False, False), runs(True, True, True, True)
    (False, True, False)
    """
    return not is_stopped and (was_running or (is_started and is_permitted))


def latch_after_power_loss(was_latched: bool, survives: bool, demand: bool) -> bool:
    """State of a latch on the first scan after power returns.

    >>> latch_after_power_loss(True, False, False), latch_after_power_loss(True, True, False)
    (False, True)
    """
    return demand or (was_latched and survives)


def point_after_power_loss(
    was_acted: bool, has_contact: bool, level: float, acts: Direction, act: Band, reset: Band,
) -> bool | None:
    """State of a point on the first scan: a contact kept its place, a set point lost the memory of its deadband.

    >>> band = dict(acts="rising", act=Band(1.64, 1.66), reset=Band(1.60, 1.62))
    >>> point_after_power_loss(True, True, 1.63, **band), point_after_power_loss(True, False, 1.63, **band)
    (True, None)
    """
    return point_state(was_acted if has_contact else None, level, acts, act, reset)
