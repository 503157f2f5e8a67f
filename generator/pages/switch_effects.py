"""What a switch does: interlocks and controls in sentences, and how each interlock may be put out of use."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.model.interlock import StartStop
from generator.model.page import Link, Running
from generator.model.scalar import Tag
from generator.pages import story
from generator.pages.context import Context
from generator.pages.logic_words import acts
from generator.pages.prose import running
from generator.pages.story import Fact


class EffectView(Struct, frozen=True):
    """One interlock or control that rests on the point, in sentences, with its rows of the matrix."""

    link: Link
    kind: str
    mark: str
    service: Running
    sentences: tuple[Running, ...]
    rows: tuple[Link, ...]


class BypassView(Struct, frozen=True):
    """How one interlock that rests on the point may be put out of use."""

    interlock: Link
    facts: tuple[Fact, ...]


def effects(context: Context, tag: str, lock_rows: Mapping[str, tuple[Link, ...]]) -> tuple[EffectView, ...]:
    """Interlocks first, then controls."""
    return (*_interlocks(context, tag, lock_rows), *_controls(context, tag))


def _interlocks(context: Context, tag: str, lock_rows: Mapping[str, tuple[Link, ...]]) -> Iterator[EffectView]:
    for name in context.plant.interlocks_of_cause[tag]:
        lock = context.plant.interlocks[name]
        reset = lock.reset
        put_back: list[Running] = []
        if reset is not None:
            facts = {fact.label: fact.words for fact in story.reset_facts(context, lock)}
            put_back = [("Reset at ", *facts["Where"], ", accepted ", *facts["Accepted"], ".")]
        mark = {"trip": "trip", "permissive": "permissive"}.get(lock.kind, "control")
        yield EffectView(context.paths.link(name), lock.kind, mark, running(context, lock.service),
                         (story.main(context, lock), *put_back), lock_rows.get(name, ()))


def _controls(context: Context, tag: str) -> Iterator[EffectView]:
    for name in context.plant.controls_of_point[tag]:
        control = context.plant.controls[name]
        if not isinstance(control, StartStop):
            continue
        opens = control.moves in context.plant.valves
        moved = _moved_group(context, control, tag) if control.moves in context.plant.pump_groups else (
            *story.element(context, control.moves), " ", " and ".join(
                [("opens" if opens else "starts")] * (tag in control.starts)
                + [("shuts" if opens else "stops")] * (tag == control.stops)))
        sentence: Running = ("When ", *acts(context, tag), ", ", *moved, ".")
        note = running(context, control.note)
        yield EffectView(context.paths.link(name), "control", "control", note, (sentence,), ())


def _moved_group(context: Context, control: StartStop, tag: str) -> Running:
    """What a point does to a group: each start point starts one pump more, the stop point stops all that run."""
    group = context.plant.pump_groups[Tag(control.moves)]
    members = tuple(part for number, one in enumerate(group.pumps)
                    for part in ((" and " if number == len(group.pumps) - 1 else ", ",) if number else ())
                    + (context.paths.link(one),))
    name = str(group.name).removeprefix("the ")
    name = name[:1].lower() + name[1:] if name[1:2].islower() else name
    named: Running = ("the ", context.paths.link(control.moves, name), " (", *members, ")")
    made: Running = ()
    if tag in control.starts:
        number = list(control.starts).index(Tag(tag))
        made = (f"{'the first' if number == 0 else 'the next'} pump of ", *named, " starts")
    if tag == control.stops:
        made = (*made, *((" and ",) if made else ()), *named, " stop")
    return made


def bypasses(context: Context, tag: str) -> tuple[BypassView, ...]:
    """One for each interlock that rests on the point."""
    plant = context.plant
    return tuple(BypassView(context.paths.link(name), story.bypass_facts(context, plant.interlocks[name]))
                 for name in plant.interlocks_of_cause[tag])
