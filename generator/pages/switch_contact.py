"""The contact of a switch in sentences: what it is in each situation, and what follows."""


from msgspec import Struct

from generator.model.load import Switching
from generator.model.page import Amount, Running
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.fields import in_words
from generator.pages.prose import running
from generator.pages.register import links

_VERDICT = {True: ("pass", "Fails to the safe side", ""), False: ("fail", "Does not fail to the safe side", "st-trip"),
            None: ("cannot", "Not judged", "")}


class Sentence(Struct, frozen=True):
    """One situation. `state` is "closed", "open" or words of its own; `is_normal` for the plant running."""

    situation: str
    state: str
    follows: Running
    is_normal: bool


class LoadRow(Struct, frozen=True):
    """Something that the contact switches: whether it may, and the currents that say so."""

    load: Running
    mark: str
    verdict: str
    tone: str
    why: str
    needed: str
    currents: tuple[tuple[str, Amount], ...]


class ContactView(Struct, frozen=True):
    """The contact. `mark`, `verdict` and `tone` say whether it fails to the safe side."""

    sentences: tuple[Sentence, ...]
    mark: str
    verdict: str
    tone: str
    why: Running
    head: str
    rating: Running
    loads: tuple[LoadRow, ...]
    currents: tuple[tuple[str, Amount], ...]
    """For a two-wire sensor: what each current of its loop means."""
    several: str
    """Places that need the one contact while no relay multiplies it; empty where there is no such thing."""


def contact(context: Context, tag: str) -> ContactView | None:
    """The contact of one switch; None where nothing is worked out of it."""
    result = context.results.contacts.get(tag)
    if result is None:
        return None
    mark, verdict, tone = _VERDICT[result.is_fail_safe]
    return ContactView(
        tuple(Sentence(situation, state, running(context, follows), number == 0)
              for number, (situation, state, follows) in enumerate(result.sentences)),
        mark, verdict, tone, running(context, result.why), _head(context, tag), _rating(context, tag),
        tuple(_load(context, one) for one in context.results.loads.switching.get(tag, ())),
        tuple((words, amounts.outcome(limit)) for words, limit in result.currents),
        " and ".join(context.results.loads.several.get(tag, ())),
    )


def _load(context: Context, made: Switching) -> LoadRow:
    mark, verdict, tone = {
        "pass": ("pass", "May switch it", ""), "fail": ("fail", "May not switch it", "st-trip"),
        "cannot be assessed": ("cannot", "Cannot be assessed", "st-alarm"),
        "does not apply": ("stop", "Does not switch it itself", "quiet"),
    }[made.verdict]
    currents = (("may carry and break", made.limit), ("left over", made.spare), ("may make", made.making),
                ("over the least that keeps it clean", made.clean))
    why = f"{made.why}: {in_words(made.missing)}" if made.missing else made.why
    if made.suppressed is not None:
        why += "; the coil is suppressed" if made.suppressed else "; the coil has no suppression"
    before, named, after = made.load.partition(made.drives)
    load: Running = (before, context.paths.link(made.drives), after) if named else (
        f"{made.load} ", context.paths.link(made.drives))
    return LoadRow(tuple(part for part in load if part != ""), mark, verdict, tone, why, " and ".join(made.needed),
                   tuple((words, amounts.outcome(one)) for words, one in currents if one is not None))


def _head(context: Context, tag: str) -> str:
    """What it does at the point and how it lies on the shelf."""
    point = context.plant.switches[Tag(tag)]
    if point.contact is None:
        return "a set point on a transmitter, no contact of its own"
    shelf = f"; on the shelf {point.contact.on_the_shelf}" if point.contact.on_the_shelf else ""
    kept = "; holds its last state" if point.contact.keeps_state else ""
    return f"{point.contact.at_the_point} on {point.acts} level{shelf}{kept}"


def _rating(context: Context, tag: str) -> Running:
    made = context.plant.switches[Tag(tag)].contact
    if made is None:
        return ()
    ratings = (made.category, made.voltage and made.voltage.written, made.current and made.current.written)
    rated = [str(part) for part in ratings if part]
    least = f", at least {made.smallest_current.written} to keep it clean" if made.smallest_current else ""
    drives: Running = ("; drives ", *links(context, (made.drives,))) if made.drives else ()
    return (f"Rated {', '.join(rated)}{least}" if rated else "Rating not recorded", *drives, ".")
