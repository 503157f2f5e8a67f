"""The control narrative: sentences in the operator's order, made from the same model as the matrix and the registers.

What you see, what it does, how fast, how to get it back. Each sentence carries its facts beside its words, so that a
test can hold both against the model.
"""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.model.interlock import Interlock, StartStop
from generator.model.page import Link, Page, Running
from generator.model.record import Absence, Record
from generator.model.results import TripBudget
from generator.model.scalar import Tag
from generator.pages import amounts, first_cause, logic_words, story
from generator.pages.alarm_words import meaning
from generator.pages.context import Context
from generator.pages.doors import doors
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.spilled import beside
from generator.pages.tank_logic import controls, from_elsewhere, power_returns

SECTION = ("Narrative",)
INDEX = "narratives/index.html"


class Sentence(Struct, frozen=True):
    """A sentence, and its facts as pairs of name and value: tags as written, heights in metres, times in seconds."""

    words: Running
    facts: tuple[tuple[str, str], ...]


class Passage(Struct, frozen=True):
    """Sentences under one small heading."""

    title: Running
    sentences: tuple[Sentence, ...]


class Narrative(Struct, frozen=True):
    """The narrative of one tank."""

    tank: Link
    service: str
    anchor: str
    passages: tuple[Passage, ...]


class NarrativePage(Struct, frozen=True):
    """The narrative of an area, tank by tank; or the list of them."""

    title: str
    tanks: tuple[Narrative, ...]
    areas: tuple[Link, ...]
    doors: Mapping[str, str]


def path_of(area: str) -> str:
    """Where the narrative of an area stands."""
    return f"narratives/{slug(area)}.html"


def pages(context: Context) -> Iterator[Page]:
    """The list of narratives, then one page for each area with a tank."""
    plant = context.plant
    areas = [area for area in plant.areas if any(tank.area == area for tank in plant.tanks.values())]
    links = tuple(Link(f"Area {area}  {plant.areas[area].name}", path_of(area)) for area in areas)
    yield Page(INDEX, "Narrative", "narrative", NarrativePage("Narrative", (), links, {}), SECTION, "All areas")
    for area in areas:
        title = f"Area {area}  {plant.areas[area].name}"
        tanks = tuple(of_tank(context, tag) for tag, tank in plant.tanks.items() if tank.area == area)
        view = NarrativePage(title, tanks, (), doors(context, tanks))
        yield Page(path_of(area), f"Narrative, {title}", "narrative", view, SECTION, title)


def of_tank(context: Context, tank: str) -> Narrative:
    """The narrative of one tank."""
    told: set[str] = set()
    found = (
        Passage(("Ordinary running",), tuple(_ordinary(context, tank))),
        *_points(context, tank, "rising", told), *_points(context, tank, "falling", told),
        Passage(("Moved from elsewhere",), tuple(_elsewhere(context, tank))),
        Passage(("When power returns",), tuple(
            Sentence((row.subject, ": " if row.subject.text in context.plant.interlocks else " ", *row.says, "."),
                     _facts(kind="power", tag=row.subject.text))
            for row in power_returns(context, tank))),
    )
    return Narrative(context.paths.link(tank), str(context.plant.tanks[Tag(tank)].service), f"tank-{slug(tank)}",
                     tuple(passage for passage in found if passage.sentences))


# ---- controls ----------------------------------------------------------------------------------------------------


def _ordinary(context: Context, tank: str) -> Iterator[Sentence]:
    for row, tag in zip(controls(context, tank), context.plant.controls_of_tank[tank], strict=True):
        control = context.plant.controls[tag]
        for number, words in enumerate(row.sentences):
            if not isinstance(control, StartStop) or number > len(control.starts):
                yield Sentence(words, _facts(kind="control", tag=tag))
                continue
            point = control.starts[number] if number < len(control.starts) else control.stops
            kind = "start" if number < len(control.starts) else "stop"
            yield Sentence(words, _facts(kind=kind, tag=tag, point=point, effect=control.moves, **_acting(context, point)))
        if row.starts:
            yield Sentence(row.starts, _facts(kind="cycling", tag=tag))
        if row.note:
            yield Sentence(row.note, _facts(kind="note", tag=tag))


def _acting(context: Context, point: str) -> dict[str, str]:
    """Height and delay of a point."""
    result, switch = context.results.setpoints.get(point), context.plant.switches.get(Tag(point))
    made = {"height": f"{result.stands:.4f}"} if result is not None and result.stands is not None else {}
    if switch is not None and switch.on_delay is not None:
        made["delay"] = f"{switch.on_delay.si:g}"
    return made


# ---- alarms and interlocks ---------------------------------------------------------------------------------------


def _points(context: Context, tank: str, way: str, told: set[str]) -> Iterator[Passage]:
    """One passage a point, in the order in which a level that leaves the normal band meets them."""
    plant = context.plant
    tags = [level.key for level in context.results.tanks[tank].levels
            if level.key in plant.switches and level.direction == way]
    unknown = [str(tag) for tag in plant.switches_of[tank] if plant.switches[tag].acts == way and tag not in tags]
    for together in _at_one_height(context, (*(reversed(tags) if way == "rising" else tags), *unknown)):
        before = set(told)
        sentences = tuple(dict.fromkeys(
            one for tag in together for one in _of_point(context, tag, tank, told)
            if not (dict(one.facts)["kind"] == "too" and dict(one.facts)["tag"] not in before)))
        if sentences:
            verb = "rises to" if way == "rising" else "falls to"
            yield Passage((f"The level {verb} ", logic_words.height(context, together[0]), ": ",
                           *logic_words.tags(context, together)), sentences)


def _at_one_height(context: Context, tags: tuple[str, ...]) -> list[list[str]]:
    """Neighbours that stand at one height, together."""
    made: list[list[str]] = []
    for tag in tags:
        point = context.results.setpoints.get(tag)
        last = context.results.setpoints.get(made[-1][0]) if made else None
        is_same = point is not None and last is not None and point.stands is not None and last.stands is not None and (
            abs(point.stands - last.stands) < 1e-6)
        if is_same:
            made[-1].append(tag)
        else:
            made.append([tag])
    return [sorted(together) for together in made]


def _of_point(context: Context, tag: str, tank: str, told: set[str]) -> Iterator[Sentence]:
    for alarm in context.plant.alarms_of[tag]:
        yield from _alarm(context, alarm, tag)
    for lock in context.plant.interlocks_of_cause[tag]:
        if lock in told:
            yield Sentence((context.paths.link(lock), " rests on it too; it is told above."), _facts(kind="too", tag=lock))
            continue
        told.add(lock)
        for alarm in context.plant.alarms_of[lock]:
            yield from _alarm(context, alarm, tag)
        yield from _interlock(context, lock, tank)


def _alarm(context: Context, tag: Tag, point: str) -> Iterator[Sentence]:
    """What you see, what to do first, and how long there is."""
    alarm = context.plant.alarms[tag]
    lasting: Running = (" once that has lasted ", amounts.duration(alarm.on_delay.si)) if alarm.on_delay else ()
    yield Sentence(
        ("The screen says “", str(alarm.text), "” (", context.paths.link(tag), f", priority {alarm.priority})", *lasting,
         ": ", *meaning(context, alarm), "."),
        _facts(kind="see", tag=tag, point=point, text=alarm.text, priority=alarm.priority, **_acting(context, point)))
    first: Running = ("First: ", *running(context, alarm.first), ".")
    if alarm.confirm:
        first = (*first, " It worked when ", *running(context, alarm.confirm), ".")
    if alarm.do_not:
        first = (*first, " Do not ", *running(context, alarm.do_not), ".")
    yield Sentence(first, _facts(kind="first", tag=tag))
    times = context.results.alarms.get(tag)
    if times is not None and times.to_trip is not None and times.trip:
        yield Sentence(
            ("From the latest alarm ", amounts.outcome(times.to_trip, "minutes"), " are left to ",
             context.paths.link(times.trip), *beside(context, times.spilled, 0), "; a person needs ",
             amounts.outcome(times.needed, "needed"), "."),
            _facts(kind="alarm time", tag=tag, trip=times.trip, seconds=_seconds(times.to_trip)))


def _interlock(context: Context, tag: Tag, tank: str) -> Iterator[Sentence]:
    """What it does, how fast, how to get it back."""
    lock = context.plant.interlocks[tag]
    delay = {"delay": f"{lock.on_delay.si:g}"} if lock.on_delay else {}
    does = _facts(kind="does", tag=tag, causes=" ".join(dict.fromkeys(logic_words.automatic(lock).tags())),
                  effect="; ".join(f"{target} {state}" for target, state in lock.then.items()), **delay)
    yield Sentence((context.paths.link(tag), ": ", *story.main(context, lock)), does)
    alike: dict[tuple[str, str, str], list[TripBudget]] = {}
    for budget in context.results.trips.get(tag, ()):
        if budget.tank == tank and budget.limit:
            alike.setdefault((_seconds(budget.needed), _seconds(budget.available), budget.limit), []).append(budget)
    for budgets in alike.values():
        yield _fast(context, tag, budgets)
    yield from _back(context, tag, lock)
    for words in story.story(context, tag)[1:]:
        yield Sentence(words, _facts(kind="more", tag=tag))
    if lock.note:
        yield Sentence(running(context, lock.note), _facts(kind="note", tag=tag))


def _fast(context: Context, tag: Tag, budgets: list[TripBudget]) -> Sentence:
    points, one = [budget.point for budget in budgets], budgets[0]
    acts = "acts" if len(points) == 1 else "act"
    if isinstance(one.needed, Absence):
        words: Running = (
            "How long it takes after ", *logic_words.tags(context, points), f" {acts} ", amounts.outcome(one.needed),
            "; from the latest action the level needs ", amounts.outcome(one.available, "minutes"), f" to the {one.limit}.")
        return Sentence(words, _facts(kind="fast", tag=tag, point=" ".join(points), seconds=_seconds(one.available)))
    done: Running = ("It is done ", amounts.outcome(one.needed, "taken"), " after ", *logic_words.tags(context, points),
                     f" {acts} at the latest; from that same moment the level needs ", amounts.outcome(one.available, "minutes"),
                     f" to the {one.limit}")
    if _starts_several(context, tag):
        done = ("Its machines start all at one moment. ", *done)
    facts = {"kind": "fast", "tag": tag, "point": " ".join(points), "needed": _seconds(one.needed),
             "seconds": _seconds(one.available)}
    if isinstance(one.available, Absence):
        return Sentence((*done, "."), _facts(**facts))
    left = one.available.value - one.needed.value
    ends: Running = (", so that nothing is left.",) if left <= 0 else (
        ", so that ", amounts.minutes(left) if left >= 120 else amounts.duration(left), " are left.")
    return Sentence((*done, *ends), _facts(**facts, left=f"{left:.3f}"))


def _starts_several(context: Context, tag: Tag) -> bool:
    """Whether it starts more than one machine; a group's stagger counts when power returns, not when a trip starts it."""
    then = context.plant.interlocks[tag].then
    members = context.plant.members_of
    return sum(len(members(target) or (target,)) for target, state in then.items() if state in ("running", "on")) > 1


def _back(context: Context, tag: Tag, lock: Interlock) -> Iterator[Sentence]:
    if lock.reset is None:
        return
    reset = lock.reset
    button: Running = (" with ", context.paths.link(reset.button)) if reset.button else ()
    after: Running = ("Nothing moves by itself after it.",) if story.is_still(str(reset.restarts)) else (
        "After it these move by themselves: ", *running(context, reset.restarts), ".")
    yield Sentence(
        (f"To get it back, the {reset.by} resets it at ", *logic_words.tags(context, reset.at, "or"), *button,
         "; that is accepted once ", *logic_words.inline(context, reset.when), ". ", *after),
        _facts(kind="back", tag=tag, at=" ".join(reset.at), by=reset.by, button=reset.button or ""))
    kept = first_cause.kept(context, lock)
    if kept:
        yield Sentence(kept, _facts(kind="first cause", tag=tag, **first_cause.facts(lock)))
    also = story.also_resets(context, lock)
    if also:
        yield Sentence(("The same button ", *also, "."), _facts(kind="also back", tag=tag))


def _elsewhere(context: Context, tank: str) -> Iterator[Sentence]:
    for row in from_elsewhere(context, tank):
        lock = context.plant.interlocks[Tag(row.interlock.text)]
        yield Sentence((row.interlock, ": ", *story.main(context, lock)), _facts(
            kind="elsewhere", tag=row.interlock.text,
            effect="; ".join(f"{target} {state}" for target, state in lock.then.items())))


def _seconds(outcome: object) -> str:
    return f"{outcome.value:.3f}" if isinstance(outcome, Record) else ""


def _facts(**facts: str) -> tuple[tuple[str, str], ...]:
    return tuple((name, str(value)) for name, value in facts.items() if value != "")
