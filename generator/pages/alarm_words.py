"""What an alarm means, with the manual stop that raises it as well where it comes from a trip."""

from generator.model.interlock import Alarm
from generator.model.page import Running, plain
from generator.pages import logic_words
from generator.pages.context import Context
from generator.pages.prose import running


def meaning(context: Context, alarm: Alarm) -> Running:
    """The words of the definitions; where the alarm comes from an interlock, also its manual stop if they do not name it."""
    said = running(context, alarm.means)
    lock = context.plant.interlocks.get(alarm.from_)
    stop = logic_words.manual(lock) if lock is not None else None
    if stop is None or str(stop) in plain(said):
        return said
    return (*said, ", or ", *logic_words.acts(context, stop))
