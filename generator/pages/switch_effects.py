"""What a switch does: interlocks and controls in sentences, and how each interlock may be put out of use."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from generator.model.interlock import StartStop
from generator.model.page import Link, Running
from generator.pages import story
from generator.pages.context import Context
from generator.pages.logic_words import acts
from generator.pages.prose import running
from generator.pages.story import Fact


@dataclass(frozen=True, slots=True)
class EffectView:
    """One interlock or control that rests on the point, in sentences, with its rows of the matrix."""

    link: Link
    kind: str
    mark: str
    service: Running
    sentences: tuple[Running, ...]
    rows: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class BypassView:
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
        verbs = [("opens" if opens else "starts")] if tag in control.starts else []
        verbs += [("shuts" if opens else "stops")] if tag == control.stops else []
        sentence: Running = ("When ", *acts(context, tag), ", ", *story.element(context, control.moves),
                             f" {' and '.join(verbs)}.")
        note = running(context, control.note)
        yield EffectView(context.paths.link(name), "control", "control", note, (sentence,), ())


def bypasses(context: Context, tag: str) -> tuple[BypassView, ...]:
    """One for each interlock that rests on the point."""
    plant = context.plant
    return tuple(BypassView(context.paths.link(name), story.bypass_facts(context, plant.interlocks[name]))
                 for name in plant.interlocks_of_cause[tag])
