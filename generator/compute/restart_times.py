"""When a machine starts by itself after power returns: one answer for records, registers, cautions and courses."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.machine import Equipment, Pump, PumpGroup
from generator.model.plant import Definitions
from generator.model.scalar import Tag


class Turn(Struct, frozen=True):
    """A pump's turn in a group: it starts no sooner than the stagger after the one before it."""

    group: PumpGroup
    before: Tag


def turns(plant: Definitions, tag: Tag) -> Iterator[Turn]:
    """The turn of a pump in each of its groups that have a stagger and a pump before it that starts by itself too."""
    for name in plant.group_of[tag]:
        group = plant.pump_groups[name]
        before = [one for one in group.pumps[:group.pumps.index(tag)] if starts_by_itself(plant, one)]
        if before and group.stagger is not None:
            yield Turn(group, before[-1])


def starts_by_itself(plant: Definitions, tag: Tag) -> bool:
    """Whether a pump or other equipment is recorded to start with nobody at the button."""
    machine = _machine(plant, tag)
    return machine is not None and machine.restart is not None and machine.restart.by_itself


def restart_time(plant: Definitions, tag: Tag) -> float | None:
    """Time from power back to the start of a machine; none for one that waits for a person or of which nothing is recorded.

    Its own `after` is the earliest. In a group the next pump, in the order of the group, starts no sooner than the stagger
    after the one before it; one that waits for a person takes no turn.

    Returns:
        The time. [s]

    Source: common practice, no source.
    """
    return _time(plant, tag, frozenset())


def _time(plant: Definitions, tag: Tag, seen: frozenset[Tag]) -> float | None:
    machine = _machine(plant, tag)
    if machine is None or machine.restart is None or not machine.restart.by_itself:
        return None
    own = machine.restart.after.si if machine.restart.after else 0.0
    earliest = [own]
    for turn in turns(plant, tag):
        if turn.before not in seen and turn.group.stagger is not None:  # a circle is refused when it is read
            earliest.append((_time(plant, turn.before, seen | {tag}) or 0.0) + turn.group.stagger.si)
    return max(earliest)


def _machine(plant: Definitions, tag: Tag) -> Pump | Equipment | None:
    return plant.pumps.get(tag) or plant.equipment.get(tag)
