"""Which cause of an interlock came first: whether anything keeps it, where it is shown, and what cannot be told apart."""

from generator.model.interlock import Interlock
from generator.model.page import Running
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.logic_words import tags


def kept(context: Context, lock: Interlock) -> Running:
    """One sentence; empty for what is not held, and for one cause where nothing is said of it."""
    first = lock.first_cause
    if first is None:
        if lock.latch is None or len(lock.causes) < 2:
            return ()
        return ("Whether anything keeps which cause came first is not recorded: look at the points before the reset.",)
    if not first.held:
        return ("Nothing keeps which cause came first: look at the points before the reset.",)
    where: Running = (" and shown at ", *tags(context, first.shown_at)) if first.shown_at else (
        "; where it is shown is not recorded",)
    apart: Running = ("; causes within ", amounts.duration(first.told_apart.si), " of each other cannot be told apart.") \
        if first.told_apart else ("; how close together two causes can still be told apart is not recorded.",)
    return ("Which cause came first is kept until the reset", *where, *apart)


def facts(lock: Interlock) -> dict[str, str]:
    """The same as facts of a sentence: held, the places, and the time in seconds."""
    first = lock.first_cause
    if first is None:
        return {"held": "not recorded"}
    return {"held": "yes" if first.held else "no", "at": " ".join(first.shown_at),
            "apart": f"{first.told_apart.si:g}" if first.told_apart else ""}
