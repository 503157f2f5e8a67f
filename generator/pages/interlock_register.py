"""The interlock register: every trip, releasing interlock and permissive, with its bypass."""

from collections.abc import Iterator

from generator.model.page import Page, Part
from generator.pages import amounts, delays, logic_words, register
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.register import Row, cell

COLUMNS = ("Interlock", "What it does", "Kind", "Rests on", "After", "Drives", "Latched", "Reset", "Live in",
           "Bad signal", "Hazard", "Carried by")
BYPASSES = ("Interlock", "Takes out", "Longest", "Whose permission", "What protects meanwhile", "Key", "Alarmed", "Start-up only",
            "Ends")


def pages(context: Context) -> Iterator[Page]:
    """The interlocks, then their bypasses."""
    plant = context.plant
    yield register.page(
        context, "interlocks", "Interlocks",
        "A trip stays until it is reset; a releasing interlock lets go by itself; a permissive blocks a start and stops nothing.",
        COLUMNS, register.by_area(context, plant.interlocks, lambda tag: _row(context, tag)),
    )
    bypassed = [tag for tag, lock in plant.interlocks.items() if lock.bypass]
    yield register.page(
        context, "bypasses", "Bypasses",
        "The only ways in which a function may be put out of use for a time. What is not listed may not be bypassed.",
        BYPASSES, register.by_area(context, bypassed, lambda tag: _bypass(context, tag)),
    )


def _row(context: Context, tag: str) -> Row:
    lock = context.plant.interlocks[tag]  # type: ignore[index]  # a tag of the plant
    drives: list[Part] = []
    for element, state in lock.then.items():
        drives += [context.paths.link(element), f" {state}, "]
    drives[-1] = str(drives[-1]).removesuffix(", ")
    latched = "no" if lock.latch is None else "yes, through a loss of power" if lock.latch.survives_power_loss else "yes"
    places = register.links(context, lock.reset.at) if lock.reset else ()
    return Row(slug(tag), (
        cell(context.paths.link(tag)), cell(running(context, lock.service)), cell(lock.kind),
        cell(register.links(context, dict.fromkeys(lock.when.tags()))),
        cell(delays.of_interlock(context, lock)), cell(tuple(drives)), cell(latched),
        cell(places, f" by {lock.reset.by}") if lock.reset else cell("lets go by itself" if lock.kind != "trip" else None),
        cell(", ".join(lock.live_in) or None), cell(logic_words.FAULT.get((lock.kind, lock.bad_signal), lock.bad_signal)),
        cell(context.paths.link(lock.hazard) if lock.hazard else running(context, lock.because)), cell(lock.by),
    ))


def _bypass(context: Context, tag: str) -> Row:
    lock = context.plant.interlocks[tag]  # type: ignore[index]  # a tag of the plant
    bypass, left = lock.bypass, logic_words.remaining(lock)
    if bypass is None:
        raise AssertionError(tag)
    ends = amounts.duration(bypass.ends_after.si) if bypass.ends_after else None
    condition = register.links(context, dict.fromkeys(bypass.ends.tags())) if bypass.ends else None
    return Row(slug(tag), (
        cell(context.paths.link(tag)), cell(f"one member; then {left} must act" if left else "the whole function"),
        cell(amounts.duration(bypass.longest.si)), cell(bypass.needs),
        cell(running(context, bypass.meanwhile)), cell(context.paths.link(bypass.key) if bypass.key else None),
        cell({True: "yes", False: "no", None: None}[bypass.alarmed]), cell("yes" if bypass.start_up_only else "no"),
        cell(condition, " " if condition and ends else None, ends) if condition or ends else cell("by hand, in time"),
    ))
