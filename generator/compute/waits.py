"""What passes between the level at a point and what the point does: the response of its body, and the delays after it.

    t = t_r + t_d + (t_a of its alarm, or t_h + t_i of its interlock)

A need is kept when the point acts, so what the level moves in this time at the worst rate lies on the far side of the latest
edge. The edge itself stays a height. What comes after the action is no part of it: links, scans, relays, strokes and what
drains from lines stand in the time budget of the trip, the time of a person in that of the alarm. An earliest edge waits for
nothing: nobody may count on a delay.
"""

from collections.abc import Iterator

from msgspec import Struct

from generator.compute.bands import Acts, Side
from generator.compute.book import given
from generator.compute.causes import level_causes
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.record import Input
from generator.model.scalar import Tag

RESPONSE = "t_r"
"""Symbol of the response of the body, the one wait that all points of a body share."""


class Wait(Struct, frozen=True):
    """The times that pass one after the other, and what of them is not recorded."""

    times: tuple[Input, ...]
    unrecorded: str = ""

    @property
    def seconds(self) -> float:
        """All of it. [s]"""
        return sum(one.value for one in self.times)

    @property
    def expression(self) -> str:
        """The sum of the times: a symbol, or symbols in brackets."""
        total = " + ".join(one.symbol for one in self.times)
        return total if len(self.times) == 1 else rf"\left( {total} \right)"


def is_latest(side: Side, acts: Acts) -> bool:
    """Whether an edge is where a point acts at the latest."""
    return (side == "high") == (acts == "rising")


def of_point(plant: Definitions, tag: str, told_apart: bool = False) -> Wait:
    """What passes from the level at a point to its action; `told_apart` writes its tag to each symbol."""
    switch = plant.switches[Tag(tag)]
    response = plant.instruments[switch.in_].response_time
    steps: list[tuple[str, str, Duration | None]] = [
        ("r", f"response of {switch.in_}", response), ("d", f"on-delay of {tag}", switch.on_delay), *_after(plant, Tag(tag))]
    end = rf",\text{{{tag}}}" if told_apart else ""
    times = tuple(given(time, f"t_{{{letter}{end}}}" if end or len(letter) > 1 else f"t_{letter}", name)
                  for letter, name, time in steps if time is not None and time.si > 0)
    return Wait(times, "" if response is not None else f"the response of {switch.in_} is not recorded and not counted")


def _after(plant: Definitions, tag: Tag) -> Iterator[tuple[str, str, Duration | None]]:
    """The longest delay of what the point is there for: of its alarm, where it is an alarm's; else of an interlock."""
    role = plant.switches[tag].role
    found: list[list[tuple[str, str, Duration | None]]] = []
    if role in ("alarm", "spill detection"):
        found += [[("a", f"delay of {name}", plant.alarms[name].on_delay)] for name in plant.alarms_of[tag]]
    if role != "alarm":
        found += [_of_interlock(plant, name, tag) for name in plant.interlocks_of_cause[tag]]
    yield from max(found, key=lambda steps: sum(time.si for _, _, time in steps if time is not None), default=[])


def _of_interlock(plant: Definitions, name: Tag, tag: Tag) -> list[tuple[str, str, Duration | None]]:
    """How long the action of a point must last in an interlock, and the interlock's own delay; nothing of a permissive."""
    lock = plant.interlocks[name]
    cause = next((one for one in level_causes(plant, lock.when) if one.tag == tag and not one.is_negated), None)
    if cause is None or lock.kind == "permissive":
        return []
    held = [(f"h{number}", f"time that {tag} must last in {name}", time) for number, time in enumerate(cause.held, 1)]
    return [*held, ("i", f"delay of {name}", lock.on_delay)]
