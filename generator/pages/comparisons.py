"""Deviation alarms: who is told, and by what, that a sensor no longer moves although the one it is compared with does."""

from collections.abc import Sequence

from generator.model.page import Running
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.logic_words import sentence_list, tags


def alarms(context: Context, bodies: Sequence[str]) -> tuple[Tag, ...]:
    """Deviation alarms that compare one of some bodies with another."""
    return tuple(tag for tag, alarm in context.plant.alarms.items() if set(alarm.deviation_of) & set(bodies))


def told(context: Context, bodies: Sequence[str]) -> Running:
    """Who is told of bodies that stay where they are, by which alarms and when; empty where no alarm compares any of them.

    A float says something only once the level passes its point, so until then it cannot be told from a sound one.
    """
    found = alarms(context, bodies)
    if not found:
        return ()
    plant = context.plant
    places = dict.fromkeys(place for tag in found for place in plant.alarms[tag].shown_at)
    where: Running = (" at ", *sentence_list([(context.paths.link(place),) for place in places])) if places else ()
    pairs = [plant.instruments[one] for tag in found for one in plant.alarms[tag].deviation_of]
    when = "as soon as the level moves" if all(one.range is not None for one in pairs) else (
        "once the level has come to the point of one that still moves")
    return (*tags(context, found), f" {'tell' if len(found) > 1 else 'tells'} of it", *where, f", {when}")
