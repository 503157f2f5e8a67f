"""Courses of events: on the page of their tank, and one page for each that the definitions ask for."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.draw.trend import NARROW, WIDE, Trend, TrendLayout, fits, trend
from generator.model.course import Course, CourseEvent
from generator.model.page import Amount, Link, Page, Running, plain
from generator.model.record import Absence, Record
from generator.model.results import Level
from generator.model.scalar import Tag
from generator.pages import amounts, logic_words
from generator.pages.context import Context
from generator.pages.doors import doors
from generator.pages.paths import slug
from generator.pages.prose import running

SECTION = ("Scenarios",)
_MARKS = {"alarm": "alarm", "interlock": "trip", "given": "changed", "level": "vessel", "flow": "", "end": ""}
_STATES = {"closed": "vshut", "open": "vopen", "stopped": "stop", "running": "run", "off": "stop", "on": "run",
           "sounding": "alarm", "modulating": "control"}


class EventRow(Struct, frozen=True):
    """What happens at one moment: its number in the trend, each thing with its mark. `of` names the tank of the level."""

    number: int
    after: Amount
    level: Amount
    of: Link | None
    kind: str
    what: tuple[tuple[str, Running], ...]
    tag: str
    turned: str
    seconds: str


class Picture(Struct, frozen=True):
    """The trend of one tank of a course, drawn twice; `of` names the tank where there are several."""

    of: Link | None
    wide: Trend
    narrow: Trend


class CourseView(Struct, frozen=True):
    """One course of events, with a picture for each tank whose level moves."""

    anchor: str
    name: str
    path: str
    says: str
    ends: Running
    brief: Running
    pictures: tuple[Picture, ...]
    rows: tuple[EventRow, ...]
    assumptions: tuple[str, ...]
    record: Link


class CoursePage(Struct, frozen=True):
    """A page of its own for a course that the definitions ask for."""

    tank: Link
    course: CourseView
    events: tuple[Running, ...]
    source: Link
    doors: Mapping[str, str]


def path_of(key: str) -> str:
    """Where a course that the definitions ask for stands."""
    return f"scenarios/{slug(key)}.html"


def pages(context: Context) -> Iterator[Page]:
    """One page for each scenario of the definitions."""
    for tank, courses in context.results.courses.items():
        for course in courses:
            scenario = context.plant.scenarios.get(Tag(course.key))
            if course.is_automatic or scenario is None:
                continue
            view = of_course(context, course)
            page = CoursePage(
                context.paths.link(tank), view,
                tuple((amounts.duration(event.at.si), " after the start: ", *running(context, event.what))
                      for event in scenario.events),
                context.paths.source(scenario.place), doors(context, view))
            yield Page(path_of(course.key), f"{course.name}, {tank}", "course", page, SECTION, course.name,
                       source=scenario.place)


def of_tank(context: Context, tank: str) -> tuple[CourseView, ...]:
    """Every course of a tank."""
    return tuple(of_course(context, course) for course in context.results.courses.get(tank, ()))


def of_course(context: Context, course: Course) -> CourseView:
    """One course, ready to place."""
    anchor = f"course-{slug(course.key.rpartition('/')[2])}"
    path = "" if course.is_automatic else path_of(course.key)
    record = Link("The working", context.paths.record(course.outcome.key))
    if isinstance(course.outcome, Absence):
        gone: Running = (f"It cannot be worked out: {course.outcome.why}.",)
        return CourseView(anchor, course.name, path, course.says, gone, gone, (), (), (), record)
    moments = tuple(_moments(course.events))
    rows = tuple(_row(context, number, group, bool(course.beside)) for number, group in enumerate(moments, 1))
    times = [group[0].time for group in moments]
    brief = _brief(context, course)
    pictures = tuple(_picture(context, course, tank, points, times, plain(brief)) for tank, points in _curves(course))
    assert isinstance(course.outcome, Record)
    ends: Running = (*brief, " Watched for ", amounts.outcome(course.outcome), f"; {course.ends_because}.")
    return CourseView(anchor, course.name, path, course.says, ends, brief, pictures, rows, course.assumptions, record)


def _curves(course: Course) -> Iterator[tuple[str, tuple[tuple[float, float], ...]]]:
    """The level against time of each tank of a course."""
    yield course.tank, course.points
    yield from ((one.tank, one.points) for one in course.beside)


def _brief(context: Context, course: Course) -> Running:
    """The course in a sentence: how far the level goes, and what acts."""
    words: list[Running] = []
    for tank, points in _curves(course):
        high, low = max(points, key=lambda one: one[1]), min(points, key=lambda one: one[1])
        words += [((context.paths.link(tank), ": highest ") if course.beside else ("Highest ",)),
                  (amounts.metres(high[1]), " after ", amounts.duration(high[0])),
                  (", lowest ", amounts.metres(low[1]), " after ", amounts.duration(low[0]), ". ")]
    acted = dict.fromkeys(event.tags[0] for event in course.events if event.kind == "interlock" and event.turned == "acts"
                          and context.plant.interlocks[Tag(event.tags[0])].kind != "permissive")
    links = logic_words.tags(context, acted)
    words.append((f"{'Act' if len(acted) > 1 else 'Acts'}: ", *links, ".") if acted else ("No interlock acts.",))
    spilling = dict.fromkeys(event.tank for event in course.events if event.turned == "overflows")
    for tank in spilling:
        words.append((" Liquid leaves by the overflow", *((" of ", context.paths.link(tank)) if course.beside else ()), "."))
    return tuple(part for one in words for part in one)


def _moments(events: tuple[CourseEvent, ...]) -> Iterator[tuple[CourseEvent, ...]]:
    """Events that happen at one time, together; what needs a row of its own (a trip) keeps its time."""
    group: list[CourseEvent] = []
    for event in events:
        if group and abs(event.time - group[0].time) > 1e-6:
            yield tuple(group)
            group = []
        group.append(event)
    if group:
        yield tuple(group)


def _row(context: Context, number: int, group: tuple[CourseEvent, ...], names_tank: bool) -> EventRow:
    first = next((event for event in group if event.kind in ("interlock", "point", "element", "alarm")), group[0])
    what = tuple((_mark(context, event), running(context, event.what)) for event in group)
    of = context.paths.link(first.tank) if names_tank else None
    return EventRow(number, amounts.duration(group[0].time), amounts.in_unit(first.level, "m", 3), of, first.kind, what,
                    first.tags[0] if first.tags else "", first.turned, f"{group[0].time:.3f}")


def _mark(context: Context, event: CourseEvent) -> str:
    if event.kind == "element":
        return _STATES.get(event.turned, "")
    if event.kind == "point":
        role = context.plant.switches[Tag(event.tags[0])].role
        rises = context.plant.switches[Tag(event.tags[0])].acts == "rising"
        return {"trip": "trip", "alarm": "high" if rises else "low", "permissive": "permissive",
                "spill detection": "alert"}.get(role, "control")
    if event.kind == "interlock":
        return "permissive" if context.plant.interlocks[Tag(event.tags[0])].kind == "permissive" else "trip"
    return _MARKS[event.kind]


def _picture(context: Context, course: Course, tank: str, points: tuple[tuple[float, float], ...], times: list[float],
             brief: str) -> Picture:
    drawn = (_drawing(context, course, tank, points, times, brief, layout, name)
             for layout, name in ((WIDE, "wide"), (NARROW, "narrow")))
    return Picture(context.paths.link(tank) if course.beside else None, *drawn)


def _drawing(context: Context, course: Course, tank: str, points: tuple[tuple[float, float], ...], times: list[float],
             brief: str, layout: TrendLayout, name: str) -> Trend:
    levels = _lines(context, tank)
    names = [(fits(_name(context, level, with_height=layout is WIDE), layout), context.paths.path(level.key) or "" if
              level.key in context.plant.switches else "") for level in levels]
    whose = f"{slug(course.tank)}-{slug(course.key)}" + (f"-{slug(tank)}" if tank != course.tank else "")
    return trend(f"{whose}-{name}", f"Level of {tank}: {course.name}", brief, points, levels, names, times, layout)


def _lines(context: Context, tank: str) -> list[Level]:
    """The points and what the vessel fixes, two names of one height once."""
    made: list[Level] = []
    for level in context.results.tanks[tank].levels:
        is_drawn = level.key in context.plant.switches or level.key in ("overflow", "bottom", "top")
        if is_drawn and not (level.kind == "vessel" and made and abs(made[-1].height - level.height) < 1e-6):
            made.append(level)
    return made


def _name(context: Context, level: Level, with_height: bool) -> str:
    name = level.key if level.key in context.plant.switches or level.kind == "vessel" else level.name
    return f"{name} {plain((amounts.metres(level.height),))}" if with_height else name
