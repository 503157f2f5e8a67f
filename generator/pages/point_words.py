"""What a level point does, in a few words: for labels, lists and the head of its page."""

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Not, Vote
from generator.model.interlock import Interlock, StartStop
from generator.model.page import Running
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.logic_words import GOES, MAY, sentence_list, tags


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
        parts: list[Running] = []
        for target, state in lock.then.items():
            if lock.kind == "permissive":
                words = f" may {'no longer ' if takes_away else ''}{MAY[state]}"
            else:
                words = f" is no longer driven {state}" if takes_away else f" {GOES[state][0]}"
            parts.append((context.paths.link(target), words))
        with_it = _with(context, lock, tag, takes_away)
        made += [(*with_it, *sentence_list(parts))] if with_it else parts
    return made


def _with(context: Context, lock: Interlock, tag: str, takes_away: bool) -> Running:
    """What must act beside a point before an interlock does, as the beginning of a sentence; nothing where it acts alone."""
    condition = Not(lock.when.place, lock.when) if takes_away else lock.when
    found = beside(condition, tag)
    if found is None:
        return ()
    needed, others = found
    if not others:
        return ("with the rest of its cause, ",)
    more = needed - 1
    if more == len(others):
        return ("together with ", *tags(context, others), ", ")
    return (f"with {('one', 'two', 'three')[more - 1] if more < 4 else more} more of ", *tags(context, others), ", ")


def beside(condition: Condition, tag: str) -> tuple[int, tuple[str, ...]] | None:
    """What a condition needs beside one tag that acts.

    Returns:
        None where the tag makes it true alone; else how many parts are needed, and the tags of the other parts. Where these
        are no points that act in the same sense, or more than one group needs company, no tags.
    """
    ways = list(_ways(condition, tag, True))
    if not ways or () in ways:
        return None
    return ways[0][0] if len(ways) == 1 and len(ways[0]) == 1 else (0, ())


Group = tuple[int, tuple[str, ...]]


def _ways(condition: Condition, tag: str, wanted: bool) -> list[tuple[Group, ...]]:
    """For each place of the tag in a condition, the groups on the way to it that need more than this one part."""
    if isinstance(condition, Acted):
        return [()] if condition.tag == tag and wanted else []
    if isinstance(condition, Not):
        return _ways(condition.part, tag, not wanted)
    inner = condition.parts()
    needed = _needed(condition, len(inner), wanted)
    found: list[tuple[Group, ...]] = []
    for part in inner:
        for way in _ways(part, tag, wanted):
            if needed == 1:
                found.append(way)
                continue
            rest = [_plain(other, wanted) for other in inner if other is not part]
            found.append(((needed, tuple(one for one in rest if one) if all(rest) else ()), *way))
    return found


def _plain(condition: Condition, wanted: bool) -> str:
    """The tag of a part that is met by its acting; nothing for any other part."""
    if isinstance(condition, Not):
        return _plain(condition.part, not wanted)
    return str(condition.tag) if isinstance(condition, Acted) and wanted else ""


def _needed(condition: Condition, count: int, wanted: bool) -> int:
    """How many parts must be as wanted, for the condition to be so."""
    needed = condition.needed if isinstance(condition, Vote) else count if isinstance(condition, AllOf) else 1
    return needed if wanted or not isinstance(condition, Vote | AllOf | AnyOf) else count - needed + 1


def _controls(context: Context, tag: str) -> list[Running]:
    made: list[Running] = []
    for name in context.plant.controls_of_point[tag]:
        control = context.plant.controls[name]
        if not isinstance(control, StartStop):
            continue
        starts, stops = ("opens", "shuts") if control.moves in context.plant.valves else ("starts", "stops")
        moved = context.paths.link(control.moves)
        if (group := context.plant.pump_groups.get(control.moves)) is not None:  # its name says more than its tag
            starts, stops, moved = "start", "stop", context.paths.link(control.moves, str(group.name))
        if tag in control.starts:
            nth = control.starts.index(Tag(tag))
            which = "" if len(control.starts) == 1 else f" ({('first', 'second', 'third', 'fourth')[min(nth, 3)]} pump)"
            made.append((moved, f" {starts}{which}"))
        if tag == control.stops:
            made.append((moved, f" {stops}"))
    return made


def _alarms(context: Context, tag: str) -> list[Running]:
    return [("alarm ", context.paths.link(name)) for name in context.plant.alarms_of[tag]]
