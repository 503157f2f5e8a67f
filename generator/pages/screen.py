"""Heights as the screens show them: percent of a transmitter's range; where a tank has none, which gauge is read instead."""

from functools import partial
from typing import Literal

from generator.model.margin import TransmitterResult
from generator.model.page import Amount, Running
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.logic_words import sentence_list, tags

Span = tuple[str, float, float]
"""A transmitter with the levels at 4 and 20 mA. [m]"""
MAY_FAIL = "; its signal may show as failed"


def shown(context: Context, tank: str, heights: tuple[float, ...], decimals: int = 0) -> Running:
    """Heights of a tank as its screen shows them: "31 to 62 % of range on LT-1", or "no indication on a screen; read LG-1".

    A height beyond what the transmitter measures has no percent: where one of several is, each is said by itself.
    """
    span = indicator(context, tank)
    if span is None:
        return without(context, tank)
    name, lower, upper = span
    if any(map(partial(_beyond, context, name), heights)):
        each = [_beyond(context, name, height) or (
            Amount(f"{(height - lower) / (upper - lower) * 100:.{decimals}f}", "%"), " of range on ", context.paths.link(name))
            for height in heights]
        return (*each[0], MAY_FAIL) if len(each) == 1 else ("from ", *sentence_list(each, "to"))
    *first, last = (f"{(height - lower) / (upper - lower) * 100:.{decimals}f}" for height in heights)
    return (" to ".join([*first, ""]), Amount(last, "%"), " of range on ", context.paths.link(name))


def of_point(context: Context, tag: str) -> Running:
    """The height of a point as the screen shows it: by its own transmitter, else by the first one of its tank."""
    result = context.results.setpoints[tag]
    body = context.plant.switches[Tag(tag)].in_
    if result.percent_of_range is not None:
        beyond = _beyond(context, body, result.stands) if result.stands is not None else ()
        return (*beyond, MAY_FAIL) if beyond else (
            amounts.outcome(result.percent_of_range, "percent"), " of range on ", context.paths.link(body))
    if result.stands is None:
        return (amounts.NOT_ASSESSED,)
    return shown(context, result.tank, (result.stands,), decimals=1)


def _beyond(context: Context, name: str, height: float) -> Running:
    """That a transmitter cannot show a height; nothing where it can.

    A 4-20 mA signal is a measurement from 3.8 to 20.5 mA: past these it stands at its end, or shows as failed.
    """
    found = context.results.transmitters.get(name)
    if found is None or meaning(found, height) == "measurement":
        return ()
    side = "below" if height < min(row.height for row in found.rows if row.meaning == "measurement") else "above"
    return (f"{side} what ", context.paths.link(name), " can show")


def meaning(found: TransmitterResult, height: float) -> Literal["failure", "undefined", "measurement"]:
    """What the signal of a transmitter would mean at a height."""
    hair = 1e-9
    measured = [row.height for row in found.rows if row.meaning == "measurement"]
    if min(measured) - hair <= height <= max(measured) + hair:
        return "measurement"
    failed = [row.height for row in found.rows if row.meaning == "failure"]
    return "undefined" if min(failed) + hair < height < max(failed) - hair else "failure"


def indicator(context: Context, tank: str) -> Span | None:
    """The first transmitter of a tank whose range has a width."""
    for name in context.plant.instruments_of[tank]:
        span = context.plant.instruments[name].range
        if span is not None and span.lower.si != span.upper.si:
            return str(name), span.lower.si, span.upper.si
    return None


def without(context: Context, tank: str) -> Running:
    """What is said of a tank that no transmitter shows: the gauges that a person reads at the tank."""
    bodies = context.plant.instruments
    gauges = [name for name in context.plant.instruments_of[tank] if bodies[name].technology == "site gauge"]
    return ("no indication on a screen", *(("; read ", *tags(context, gauges, "or")) if gauges else ()))
