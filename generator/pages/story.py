"""An interlock in sentences: what happens, how it is put back, how it is put out of use, when it is live."""


from msgspec import Struct

from generator.model.condition import Acted
from generator.model.interlock import Bypass, Interlock
from generator.model.page import Part, Running
from generator.model.scalar import Tag
from generator.pages import amounts, first_cause
from generator.pages.context import Context
from generator.pages.logic_words import (
    GOES,
    MAY,
    PUSHED,
    Clause,
    acts,
    automatic,
    inline,
    manual,
    remaining,
    sentence_list,
    tags,
)
from generator.pages.prose import running


class Fact(Struct, frozen=True):
    """A short label and what it says; the rows of a small table."""

    label: str
    words: Running


def story(context: Context, tag: str) -> tuple[Running, ...]:
    """The interlock in two to five sentences, first what it does."""
    lock = context.plant.interlocks[Tag(tag)]
    sentences = [main(context, lock), *_letting_go(context, lock), *_manual(context, lock), *_member_out(context, lock)]
    if lock.wins_over:
        sentences.append(("Where both want the same device, it wins over ", *tags(context, lock.wins_over), "."))
    sentences.append(live(context, lock))
    return tuple(sentences)


def main(context: Context, lock: Interlock) -> Running:
    """The first sentence: cause, delay, effects."""
    asked = automatic(lock)
    delay: Running = ()
    if lock.on_delay:
        lasts = amounts.duration(lock.on_delay.si)
        delay = Clause(acts(context, asked.tag), held=lasts).lasting if isinstance(asked, Acted) else (
            ", and that lasts for ", lasts)
    if lock.kind == "permissive":
        allowed = sentence_list(
            [(*element(context, target), f" may {MAY[state]}") for target, state in lock.then.items()]
        )
        return (*allowed, " only while ", *inline(context, asked), *delay, ".")
    return ("When ", *inline(context, asked), *delay, ", ", *effects(context, lock), ".")


def effects(context: Context, lock: Interlock) -> Running:
    """Each final element with what it does, and that it stays so where the trip is held."""
    items: list[Running] = []
    for target, state in lock.then.items():
        does, goes_on = GOES[state]
        items.append((*element(context, target), f" {does} and {goes_on}" if lock.latch else f" {does}"))
    return sentence_list(items)


def element(context: Context, tag: str) -> Running:
    """A final element as a link; a group with its pumps."""
    members = context.plant.members_of(tag)
    link = context.paths.link(tag)
    return (link, " (", *tags(context, members), ")") if members else (link,)


def _letting_go(context: Context, lock: Interlock) -> list[Running]:
    after: Running = (
        (amounts.duration(lock.off_delay.si), " after the cause is gone")
        if lock.off_delay
        else ("as soon as the cause is gone",)
    )
    if lock.kind == "permissive":
        return [(blocks_only(context, lock),)]
    if lock.latch is None:
        return [("It lets go by itself ", *after, ".")]
    return []


def blocks_only(context: Context, lock: Interlock) -> str:
    """What a permissive leaves alone: of pumps what runs, of valves what stands open."""
    valves = [target in context.plant.valves for target in lock.then]
    if all(valves):
        return "It blocks the opening only; what is open already is not shut."
    if any(valves):
        return "It blocks the start or opening only; what runs or is open already stays so."
    return "It blocks the start only; what runs already is not stopped."


def _manual(context: Context, lock: Interlock) -> list[Running]:
    stop = manual(lock)
    if stop is None:
        return []
    done = _pushed(context, stop)
    return [(*done, " does the same at once, bypassed or not.")]


def _member_out(context: Context, lock: Interlock) -> list[Running]:
    """What a bypass leaves that takes out one member of a vote."""
    if lock.bypass is None or lock.vote_left is None:
        return []
    key: Running = (context.paths.link(lock.bypass.key),) if lock.bypass.key else ("The bypass",)
    needs = f"it then needs {remaining(lock)}" if lock.kind != "permissive" else f"it then asks {remaining(lock)}"
    return [(*key, f" takes out one member of the vote, never the whole function: {needs}.")]


def _pushed(context: Context, tag: str) -> Running:
    signal = context.plant.signals[Tag(tag)]
    link = context.paths.link(tag)
    return ("Pushing ", link) if signal.kind in PUSHED else (link,)


def live(context: Context, lock: Interlock) -> Running:
    """In which modes it acts, and in which it does not."""
    if not lock.live_in:
        return ("In which modes it acts is not recorded.",)
    return modes(context, "It acts", lock.live_in)


def modes(context: Context, acts: str, live_in: tuple[Tag, ...]) -> Running:
    """In which modes a function does its work, and in which it does not."""
    known = context.plant.modes
    asleep = [mode for mode in known if mode not in live_in]
    names: list[Running] = [(str(known[mode].name),) for mode in live_in]
    if not asleep:
        return (f"{acts} in every mode: ", *sentence_list(names), ".")
    others: list[Running] = [(str(known[mode].name),) for mode in asleep]
    return (f"{acts} in ", *sentence_list(names), ", and not in ", *sentence_list(others, "or"), ".")


def reset_facts(context: Context, lock: Interlock) -> tuple[Fact, ...]:
    """How it is put back."""
    reset = lock.reset
    if lock.kind == "permissive":
        return (Fact("Reset", ("nothing to reset: the start is free again when its conditions are met",)),)
    if reset is None:
        if lock.latch is None:
            return (Fact("Reset", ("nothing to reset: it lets go by itself",)),)
        return (Fact("Reset", ("held, but how it is put back is not recorded",)),)
    button: list[Part] = [", button ", context.paths.link(reset.button)] if reset.button else []
    facts = [
        Fact("Where", (*tags(context, reset.at, "or"), *button)),
        Fact("Who", (str(reset.by),)),
        Fact("Accepted", ("once ", *inline(context, reset.when))),
        Fact("Afterwards", _restarts(context, lock)),
        Fact("Frees", sentence_list([element(context, target) for target in lock.then])),
    ]
    also = also_resets(context, lock)
    if also:
        facts.append(Fact("The same push", also))
    if lock.latch is not None:
        there = "the trip is still there" if lock.latch.survives_power_loss else "the trip is forgotten"
        facts.append(Fact("Power returns", (there,)))
    kept = first_cause.kept(context, lock)
    if kept:
        facts.append(Fact("First cause", kept))
    return tuple(facts)


def _restarts(context: Context, lock: Interlock) -> Running:
    if lock.reset is None or is_still(str(lock.reset.restarts)):
        return ("nothing moves by itself after the reset",)
    return ("moves by itself after the reset: ", *running(context, lock.reset.restarts))


def is_still(restarts: str) -> bool:
    """Whether nothing moves by itself after a reset."""
    return restarts.strip().casefold() == "nothing"


def also_resets(context: Context, lock: Interlock) -> Running:
    """What the reset button of an interlock puts back beside it: "also resets I-121, which frees XV-121"."""
    button = lock.reset.button if lock.reset is not None else None
    said: list[Running] = [
        (context.paths.link(tag), ", which frees ", *sentence_list([element(context, target) for target in other.then]))
        for tag, other in context.plant.interlocks.items()
        if other is not lock and button is not None and other.reset is not None and other.reset.button == button]
    return ("also resets ", *sentence_list(said, "and also")) if said else ()


def bypass_facts(context: Context, lock: Interlock) -> tuple[Fact, ...]:
    """How it may be put out of use."""
    bypass = lock.bypass
    if bypass is None:
        return (Fact("Allowed", ("no: it may not be bypassed",)),)
    key: Running = ("yes, key ", context.paths.link(bypass.key)) if bypass.key else ("yes",)
    alarmed = {True: "while it lasts and when its time is over", False: "not alarmed", None: "not recorded"}[
        bypass.alarmed
    ]
    facts = [
        Fact("Allowed", key),
        Fact("Takes out", _takes_out(context, lock)),
        Fact("Longest", (amounts.duration(bypass.longest.si),)),
        Fact("Permission", (str(bypass.needs),)),
        Fact("Instead", running(context, bypass.meanwhile)),
        Fact("Alarmed", (alarmed,)),
    ]
    if bypass.relies_on:
        facts.append(Fact("Relies on", tags(context, bypass.relies_on)))
    if lock.manual_stop:
        facts.append(Fact("Stays live", (context.paths.link(lock.manual_stop),)))
    if bypass.start_up_only:
        facts.append(Fact("Only", ("at start-up", *_ends(context, bypass))))
    return tuple(facts)


def _takes_out(context: Context, lock: Interlock) -> Running:
    if lock.bypass is None or lock.vote is None or lock.vote_left is None:
        return ("the whole function",)
    counts = "acted" if lock.bypass.member_counts else "clear"
    return ("one member only, ", *tags(context, dict.fromkeys(lock.vote.tags()), "or"),
            f", which then counts as {counts}; what must act then: {remaining(lock)}")


def _ends(context: Context, bypass: Bypass) -> Running:
    ways: list[Running] = []
    if bypass.ends is not None:
        ways.append(("when ", *inline(context, bypass.ends)))
    if bypass.ends_after is not None:
        ways.append(("after ", amounts.duration(bypass.ends_after.si)))
    return ("; it ends by itself ", *sentence_list(ways, "or")) if ways else ("; when it ends is not recorded",)
