"""Courses of events against the matrix: rules 5.30 to 5.32."""

from collections.abc import Iterator, Mapping

from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import OfTank
from generator.check.words import height, listed, time
from generator.model.condition import Acted
from generator.model.course import Course, CourseEvent
from generator.model.finding import Severity
from generator.model.place import Place
from generator.model.plant import Definitions
from generator.model.record import Absence
from generator.model.scalar import Tag

STOPS = ("stopped", "closed", "off")
LEAVES = ("rim", "lowest_opening", "top")
_SLACK = 1e-3
"""Two times closer than this are one. [s]"""


BAND_IS_STATED = When("the normal band is stated, where a course begins", lambda subject: (
    subject.tank.levels.normal_low is not None and subject.tank.levels.normal_high is not None))


def _courses(subject: OfTank) -> tuple[Course, ...]:
    return subject.context.results.courses.get(subject.tag, ())


@rule("5.30", "The courses show what the matrix promises", scope="tank", severity="warning",
      basis="common practice, no source; the matrix of IEC 62881 (from memory) states what must follow",
      conditions=(BAND_IS_STATED, When("a stream enters or leaves the tank", lambda subject: bool(_courses(subject))),))
def courses_show_what_the_matrix_promises(subject: OfTank) -> Answer:
    """Follows each course of events: where a point acts, its interlock must act after its delays; where an interlock acts,
    each final element must stand where the matrix says once its stroke is over, as long as the interlock stands.

    A device that the course itself lets fail or bypasses, or that is without power in it, is left out. A broken promise is an
    interlock that another one wins over, or a matrix that says more than the logic does.
    Cure: state which gives way, or change the effect.
    """
    courses = _courses(subject)
    if missing := _missing(subject.tag, courses):
        return Missing(missing)
    for course in courses:
        for words, tags in broken(subject.context.plant, course, subject.context.results.acting_times):
            return Fail(f"in “{course.name}” {words}", words, "state which gives way, or change the effect", also=tags)
    return Pass(f"{len(courses)} courses")


@rule("5.31", "The liquid stays in the tank when the control fails", scope="tank", severity="by consequence",
      basis="IEC 61511-1:2016, 9.2: a protection layer acts on its demand (from memory)",
      conditions=(BAND_IS_STATED, When("a stream enters the tank", lambda subject: any(
          one.key.endswith("/filling") for one in _courses(subject))),))
def liquid_stays_when_the_control_fails(subject: OfTank) -> Answer:
    """Follows the course in which every inflow is at its highest and the control no longer stops the filling.

    The trips have to hold the level under every opening, with nobody doing anything. Where nothing in the plant can stop an
    inflow, as in a gravity sewer, and the overflow leads to a place that is declared safe, that is a warning.
    Cure: an overfill trip that stops every inflow, or one that acts earlier; where no inflow can be stopped, more room, pumps
    and power that do not fail together, or the overflow accepted by a waiver.
    """
    course = next(one for one in subject.context.results.courses[subject.tag] if one.key.endswith("/filling"))
    if missing := _missing(subject.tag, (course,)):
        return Missing(missing)
    out = next((event for event in course.events if event.turned == "overflows" or (
        event.kind == "level" and event.turned in LEAVES)), None)
    if out is not None:
        acted = list(dict.fromkeys(
            event.tags[0] for event in course.events if event.time <= out.time and event.kind == "interlock"
            and event.turned == "acts" and subject.context.plant.interlocks[Tag(event.tags[0])].kind != "permissive"))
        verb = "act and do" if len(acted) > 1 else "acts and does"
        despite = f"{listed(acted)} {verb} not hold it" if acted else "no interlock acts"
        return Fail(f"every inflow runs at its highest and the control does not answer: the level reaches {height(out.level)} "
                    f"after {time(out.time)} and liquid leaves; {despite}",
                    f"leaves after {time(out.time)}", *_cure(subject, out.turned == "overflows"))
    return Pass(f"highest {height(max(level for _, level in course.points))}")


def _cure(subject: OfTank, by_overflow: bool) -> tuple[str, Place | None, Severity | None]:
    """Cure, place and severity: lighter where no inflow can be stopped and the overflow leads to a safe place."""
    plant, overflow = subject.context.plant, subject.tank.overflow
    inflows = [plant.streams[tag] for tag in plant.inflows_of[subject.tag]]
    if any(one.through or one.moved_by or one.from_ != "outside" for one in inflows):
        return "stop every inflow earlier", None, None
    is_safe = by_overflow and overflow is not None and overflow.safe is True
    return ("nothing in the plant can stop these inflows: give more room, pumps and power that do not fail together, or "
            "accept the overflow by a waiver", None, "warning" if is_safe and subject.harm in ("people", "environment") else None)


@rule("5.32", "The tank stays whole when the one that it feeds trips", scope="tank", severity="by consequence",
      basis="HAZOP practice: what a trip does upstream; common practice, no source",
      conditions=(BAND_IS_STATED, When("the trip of a tank that it feeds stops what leaves it", lambda subject: any(
          "/trip-of-" in one.key for one in _courses(subject))),))
def tank_stays_whole_when_the_next_trips(subject: OfTank) -> Answer:
    """Follows the courses in which a tank that this one feeds is filled until its trip shuts the way, while every inflow of
    this one is at its highest: both levels move.

    The trips of this tank have to hold its own level under every opening. Cure: a trip that stops what fills this tank.
    """
    courses = tuple(one for one in _courses(subject) if "/trip-of-" in one.key)
    if missing := _missing(subject.tag, courses):
        return Missing(missing)
    for course in courses:
        below = course.beside[0].tank
        out = next((event for event in course.events if event.tank == subject.tag and (event.turned == "overflows" or (
            event.kind == "level" and event.turned in LEAVES))), None)
        if out is not None:
            return Fail(f"{below} trips while {subject.tag} fills: {subject.tag} reaches {height(out.level)} after "
                        f"{time(out.time)} and liquid leaves", f"leaves after {time(out.time)} when {below} trips",
                        "stop what fills it", also=(below,))
    return Pass(f"whole in {len(courses)} courses")


def _missing(tag: str, courses: tuple[Course, ...]) -> tuple[str, ...]:
    """What would decide the courses that cannot be worked out."""
    fields = (field for one in courses if isinstance(one.outcome, Absence) for field in one.outcome.missing)
    return tuple(dict.fromkeys(f"{tag}: {field.removeprefix(f'tanks/{tag}/').replace('/', '.')}" for field in fields))


def broken(plant: Definitions, course: Course, delays: Mapping[str, float]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Promises of the matrix that a course does not keep, in words, with the tags they are about."""
    stood = dict(course.stood)
    for event in course.events:
        tag = event.tags[0] if event.tags else ""
        if event.kind == "point" and event.turned == "acted":
            yield from _silent_locks(plant, course, event, tag, stood, delays)
        if event.kind == "interlock" and event.turned == "acts" and plant.interlocks[Tag(tag)].kind != "permissive":
            yield from _unmoved(plant, course, event, Tag(tag), stood)


def _silent_locks(plant: Definitions, course: Course, event: CourseEvent, tag: str,
                  stood: dict[str, str], delays: Mapping[str, float]) -> Iterator[tuple[str, tuple[str, ...]]]:
    for name in plant.interlocks_of_cause[tag]:
        lock = plant.interlocks[name]
        if lock.kind == "permissive" or not isinstance(lock.when, Acted) or name in course.faults:
            continue
        due = event.time + delays[name]
        if due + _SLACK > course.lasts or _state(course, tag, event.time + _SLACK, due + _SLACK, "acted") != "acted":
            continue
        if _state(course, name, -1.0, due + _SLACK, stood.get(name, "")) != "acts":
            yield f"{tag} acts and {name} does not within {time(delays[name])}", (tag, str(name))


def _unmoved(plant: Definitions, course: Course, event: CourseEvent, name: Tag,
             stood: dict[str, str]) -> Iterator[tuple[str, tuple[str, ...]]]:
    lock = plant.interlocks[name]
    for target, state in lock.then.items():
        for element in plant.members_of(target) or (target,):
            due = event.time + _stroke(plant, element, state)
            is_out = {element, target, *_supplies(plant, element)} & set(course.faults)
            if is_out or due + _SLACK > course.lasts:
                continue
            if _state(course, name, event.time - _SLACK, due + _SLACK, "acts") != "acts":
                continue
            stands = _state(course, element, -1.0, due + _SLACK, stood.get(element, ""))
            if stands != state:
                yield f"{name} acts and {element} is {stands or 'not moved'}, not {state}", (str(name), str(element))


def _state(course: Course, tag: str, begin: float, end: float, at_first: str) -> str:
    """The last state of a tag between two times; the first one where nothing turned it."""
    turned = [event.turned for event in course.events
              if event.tags[:1] == (tag,) and event.kind in ("point", "interlock", "element") and begin <= event.time <= end]
    return turned[-1] if turned else at_first


def _stroke(plant: Definitions, element: str, state: str) -> float:
    owner = plant.find(element)
    names = ("closing_time", "stop_time") if state in STOPS else ("opening_time", "start_time")
    found = next((one for name in names if (one := getattr(owner, name, None))), None)
    return found.si if found else 0.0


def _supplies(plant: Definitions, element: str) -> Iterator[str]:
    """What drives an element: its panel, relays that switch it, its supply and everything upstream of that."""
    yield str(getattr(plant.find(element), "panel", ""))
    yield from map(str, plant.relays_of[element])
    at: Tag | None = getattr(plant.find(element), "supply", None)
    passed: set[Tag] = set()
    while at is not None and at not in passed:
        passed.add(at)
        yield str(at)
        at = plant.supplies[at].fed_from
