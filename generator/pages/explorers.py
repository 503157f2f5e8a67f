"""The level explorer of a tank: positions of the level, and for each band the worked-out states that a script looks up."""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from msgspec import Struct

from generator.draw.gauge import Gauge, gauge
from generator.model.course import Explorer, Item, RunningTime
from generator.model.page import Link, Running, plain
from generator.model.record import value_of
from generator.model.results import Level, TankResult, Vessel
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.paths import slug

POSITIONS = 160
"""About so many places that the level can be put at; every band has one at least."""
MARKS = {
    "acted": "trip", "clear": "control", "sounds": "alarm", "quiet": "stop", "acts": "trip", "rests": "control",
    "held, reset accepted": "latch", "held, reset refused": "latch", "allows": "pass", "blocks": "permissive",
    "closed": "vshut", "open": "vopen", "stopped": "stop", "running": "run", "off": "stop", "on": "run",
    "sounding": "alarm", "modulating": "control",
}
WORDS = {"closed": "SHUT", "open": "OPEN", "stopped": "STOPPED", "running": "RUNNING", "off": "OFF", "on": "ON",
         "sounding": "SOUNDING", "modulating": "holds the level", "sounds": "ALARM", "quiet": "quiet",
         "rests": "at rest", "allows": "allows a start", "blocks": "blocks a start", "acts": "acts",
         "held, reset accepted": "held; a reset is accepted here", "held, reset refused": "held; a reset is refused here"}
LOUD = {"acted": "", "sounds": "alarm", "acts": "trip", "held, reset accepted": "trip", "held, reset refused": "trip"}
HEADS = (("contact", "Contacts"), ("alarm", "Alarms"), ("interlock", "Interlocks"), ("element", "Pumps, valves, others"))


class ShownItem(Struct, frozen=True):
    """One line of the panel; `place` is its place in a row of states."""

    place: int
    link: Link
    service: str
    mark: str
    word: str


class BandRow(Struct, frozen=True):
    """One band of levels in the table of states: from, to, and what stands otherwise than at the start."""

    low: str
    high: str
    rising: Running
    falling: Running


class ExplorerView(Struct, frozen=True):
    """The explorer of one tank. `table` is what the script looks up."""

    key: str
    tag: str
    gauge: Gauge
    groups: tuple[tuple[str, tuple[ShownItem, ...]], ...]
    faults: tuple[str, ...]
    last: int
    start: int
    begins: tuple[str, str, str, str]
    ceiling: str
    floor: str
    rows: tuple[BandRow, ...]
    note: str
    running_times: tuple[Running, ...]
    """Causes that no state shows, in words."""
    table: Mapping[str, Any]


def explorer(context: Context, tag: str) -> ExplorerView | None:
    """The explorer of a tank; None where its shape or its points are not known."""
    made, result = context.results.explorers.get(tag), context.results.tanks[tag]
    if made is None or result.vessel is None:
        return None
    bounds = (made.bottom, *made.edges, made.top)
    places = _places(bounds)
    positions = [(band, *_said(result, result.vessel, height, decimals)) for band, height, decimals in places]
    start = next((one for one, (_, height, _) in enumerate(places) if height > made.start - 1e-9), len(places) - 1)
    sound = made.states[0][0][places[start][0]]
    levels, names = _lines(context, result)
    return ExplorerView(
        f"explorer-{slug(tag)}", tag,
        gauge(f"gauge-{slug(tag)}", f"Tank {tag} with its level", context.plant.tanks[Tag(tag)].shape, result.vessel,
              levels, names),
        tuple((head, items) for kind, head in HEADS if (items := tuple(_items(context, made, kind, sound)))),
        tuple(fault.words for fault in made.faults), len(places) - 1, start, positions[start][1:],
        "overflow" if _ends_at_overflow(result) else "liquid leaves the tank",
        "lowest pump level" if _pump_levels(result) else "tank empty",
        tuple(reversed(tuple(_rows(context, made, bounds)))), made.too_large,
        tuple(_running_time(context, one) for one in made.running_times),
        _with_words(context, made, _table(made, places, positions)),
    )


def _running_time(context: Context, one: RunningTime) -> Running:
    state = "on" if one.is_on else "off"
    return (context.paths.link(one.interlock), " also acts once ", context.paths.link(one.signal),
            f" has been {state} for {one.time}")


def _places(bounds: tuple[float, ...]) -> list[tuple[int, float, int]]:
    """Places that the level can be put at: the band, the height as it is shown, and with how many decimals that is.

    A height is worked with as it is shown: whole centimetres, or finer where a band holds none.
    """
    found: dict[tuple[int, float], int] = {}
    for band, (low, high) in enumerate(pairwise(bounds)):
        count = max(1, round(POSITIONS * (high - low) / (bounds[-1] - bounds[0])))
        for step in range(count):
            height = low + (high - low) * (step + 0.5) / count
            decimals = next((one for one in (2, 3, 4, 5) if low + 1e-9 < round(height, one) < high - 1e-9), 6)
            found.setdefault((band, round(height, decimals)), decimals)
    return [(band, height, decimals) for (band, height), decimals in found.items()]


def _said(result: TankResult, vessel: Vessel, height: float, decimals: int) -> tuple[str, str, str, str]:
    """A place in words: level, volume, time to the ceiling and to the lowest pump limit (without a pump, the bottom), each
    at its worst rate."""
    ceiling, filling, emptying = value_of(result.ceiling), value_of(result.filling), value_of(result.emptying)
    floor = max(_pump_levels(result), default=vessel.bottom)
    volume = vessel.volume_at(height)

    def time(target: float | None, rate: float | None, way: float) -> str:
        if target is None or not rate:
            return "not worked out"
        left = (vessel.volume_at(target) - volume) * way
        return f"in {plain((amounts.minutes(left / rate),))}" if left > 0 else "reached"

    return (plain((amounts.in_unit(height, "m", decimals),)), plain((amounts.amount(volume, "volume"),)),
            time(ceiling, filling, 1.0), time(floor, emptying, -1.0))


def _ends_at_overflow(result: TankResult) -> bool:
    """Whether the overflow, and no other opening, is where liquid leaves first."""
    ceiling = value_of(result.ceiling)
    return ceiling is not None and any(one.key == "overflow" and abs(one.height - ceiling) < 1e-9 for one in result.levels)


def _pump_levels(result: TankResult) -> tuple[float, ...]:
    """The levels that pumps need at their suctions. [m above the datum]"""
    return tuple(level.height for level in result.levels if level.key.endswith(" lowest level"))


def word(context: Context, item: Item, state: str) -> str:
    """A state in words: for a point what its contact does."""
    if item.kind != "contact":
        return WORDS[state]
    contact = context.results.contacts[item.tag]
    shown = contact.acted if state == "acted" else contact.running
    lasting = "reached" if state == "acted" else "clear"
    return f"{shown}, {lasting}" if shown in ("open", "closed") else lasting


def mark(context: Context, item: Item, state: str) -> str:
    """The mark of a state; a contact shows itself."""
    if item.kind == "contact":
        contact = context.results.contacts[item.tag]
        shown = contact.acted if state == "acted" else contact.running
        return shown if shown in ("open", "closed") else ("trip" if state == "acted" else "control")
    return MARKS[state]


def _items(context: Context, made: Explorer, kind: str, sound: tuple[str, ...]) -> Iterator[ShownItem]:
    for place, item in enumerate(made.items):
        if item.kind == kind:
            owner = context.plant.find(item.tag)
            service = str(getattr(owner, "service", None) or getattr(owner, "text", "") or "")
            yield ShownItem(place, context.paths.link(item.tag), service, mark(context, item, sound[place]),
                            word(context, item, sound[place]))


def _lines(context: Context, result: TankResult) -> tuple[list[Level], list[tuple[str, str]]]:
    levels = [level for level in result.levels if level.key in context.plant.switches or level.key == "overflow"]
    return levels, [(level.key, context.paths.path(level.key) or "") for level in levels]


def _rows(context: Context, made: Explorer, bounds: tuple[float, ...]) -> Iterator[BandRow]:
    """The states of the sound plant as a table: in each band, what is not as it is at the start."""
    start = sum(edge <= made.start + 1e-7 for edge in made.edges)
    usual = made.states[0][0][start]
    for band, (low, high) in enumerate(pairwise(bounds)):
        rising, falling = (_both(context, made, usual, made.states[0][way][band], made.states[0][way + 2][band])
                           for way in (0, 1))
        yield BandRow(plain((amounts.metres(low),)), plain((amounts.metres(high),)), rising, falling)


def _both(context: Context, made: Explorer, usual: tuple[str, ...], given: tuple[str, ...],
          held: tuple[str, ...]) -> Running:
    """What stands otherwise than at the start; and what does while nobody resets, where that is something else."""
    words = _otherwise(context, made, usual, given)
    return words if held == given else (*words, "; while nobody resets: ", *_otherwise(context, made, given, held))


def _otherwise(context: Context, made: Explorer, usual: tuple[str, ...], state: tuple[str, ...]) -> Running:
    said: list[Running] = [(context.paths.link(item.tag), f" {word(context, item, state[place])}")
                           for place, item in enumerate(made.items) if state[place] != usual[place]]
    if not said:
        return ("as at the start",)
    return tuple(part for number, one in enumerate(said) for part in ((", ", *one) if number else one))


def _table(made: Explorer, places: list[tuple[int, float, int]], positions: list[tuple[Any, ...]]) -> Mapping[str, Any]:
    """What the script looks up: words once, rows of states once, and for each fault, direction and band its row."""
    states = sorted({state for fault in made.states for way in fault for band in way for state in band})
    numbers = {state: number for number, state in enumerate(states)}
    rows: dict[tuple[int, ...], int] = {}
    table = [[[rows.setdefault(tuple(numbers[state] for state in band), len(rows)) for band in way] for way in fault]
             for fault in made.states]
    return {
        "bottom": made.bottom, "top": made.top,
        "positions": [[band, height, *said] for (band, height, _), (_, *said) in zip(places, positions, strict=True)],
        "states": states, "rows": list(rows), "table": table,
    }


def _with_words(context: Context, made: Explorer, table: Mapping[str, Any]) -> Mapping[str, Any]:
    """The table with the mark, the word and the loudness of each state of each item."""
    shown = [{str(number): [mark(context, item, state), word(context, item, state), LOUD.get(state, "")]
              for number, state in enumerate(table["states"]) if _can(item, state)} for item in made.items]
    return {**table, "items": [item.tag for item in made.items], "shown": shown}


def _can(item: Item, state: str) -> bool:
    kinds = {"contact": ("acted", "clear"), "alarm": ("sounds", "quiet"),
             "interlock": ("acts", "rests", "held, reset accepted", "held, reset refused", "allows", "blocks")}
    own = kinds.get(item.kind)
    return state in own if own else not any(state in other for other in kinds.values())
