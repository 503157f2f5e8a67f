"""What a level point does, in a few words: for labels, lists and the head of its page."""

from generator.model.interlock import StartStop
from generator.model.page import Running
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.logic_words import GOES, MAY, sentence_list


def does(context: Context, tag: str) -> Running:
    """Everything one point brings about: "I-210: XV-210 closes; alarm LAHH-210; starts P-1"."""
    parts = [*_interlocks(context, tag), *_controls(context, tag), *_alarms(context, tag)]
    return sentence_list(parts, "and") if parts else ("nothing follows from it",)


def _interlocks(context: Context, tag: str) -> list[Running]:
    """What a point brings about by acting; where it helps by being clear, its acting takes that away."""
    made: list[Running] = []
    for name in context.plant.interlocks_of_cause[tag]:
        lock = context.plant.interlocks[name]
        takes_away = lock.when.senses(tag) == {False}
        for target, state in lock.then.items():
            if lock.kind == "permissive":
                words = f" may {'no longer ' if takes_away else ''}{MAY[state]}"
            else:
                words = f" is no longer driven {state}" if takes_away else f" {GOES[state][0]}"
            made.append((context.paths.link(target), words))
    return made


def _controls(context: Context, tag: str) -> list[Running]:
    made: list[Running] = []
    for name in context.plant.controls_of_point[tag]:
        control = context.plant.controls[name]
        if not isinstance(control, StartStop):
            continue
        starts, stops = ("opens", "shuts") if control.moves in context.plant.valves else ("starts", "stops")
        if tag in control.starts:
            nth = control.starts.index(Tag(tag))
            which = "" if len(control.starts) == 1 else f" ({('first', 'second', 'third', 'fourth')[min(nth, 3)]} pump)"
            made.append((context.paths.link(control.moves), f" {starts}{which}"))
        if tag == control.stops:
            made.append((context.paths.link(control.moves), f" {stops}"))
    return made


def _alarms(context: Context, tag: str) -> list[Running]:
    return [("alarm ", context.paths.link(name)) for name in context.plant.alarms_of[tag]]
