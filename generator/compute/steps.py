"""The times between a level at a point and the end of what the point brings about, as steps of a level budget."""

from collections.abc import Iterator, Mapping
from typing import Literal

from msgspec import Struct

from generator.compute import final_elements, logic_times
from generator.compute.book import Book, given
from generator.compute.inherited import operator_time
from generator.model.interlock import StartStop
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.record import Outcome
from generator.model.results import TankResult, TripBudget
from generator.model.scalar import Tag

OPERATOR = (("notice", "somebody notices"), ("diagnose", "the cause is found"), ("go", "the way there"),
            ("act", "the action"), ("effect", "the liquid answers"))


class Time(Struct, frozen=True):
    """One step: what happens, how long it takes [s], and whether a person or a device takes it."""

    name: str
    length: Outcome
    kind: Literal["travel", "operator"] = "travel"


def trip_of(trips: Mapping[str, tuple[TripBudget, ...]], tag: str) -> TripBudget | None:
    """The slowest budget of a trip that the action of a point brings about; None where it brings about none."""
    found = [one for budgets in trips.values() for one in budgets if one.point == tag and "/not-" not in one.needed.key]
    return max(found, key=lambda one: getattr(one.needed, "value", float("inf")), default=None)


def of_trip(budget: TripBudget) -> tuple[Time, ...]:
    """The steps of a trip's time budget."""
    return tuple(Time(step.name, step.time) for step in budget.steps)


def of_alarm(plant: Definitions, tag: str, book: Book) -> tuple[Time, ...]:
    """Sensor, links, delays and the person's time after the alarm of a point."""
    alarm = plant.alarms[plant.alarms_of[tag][0]]
    made = list(_sensing(plant, tag, book, plant.alarms_of[tag][0]))
    if alarm.on_delay is not None and alarm.on_delay.si > 0:
        made.append(Time("delay of the alarm", _written(tag, "alarm-delay", "delay of the alarm", alarm.on_delay, book)))
    stated = alarm.operator_time or operator_time(plant, plant.tank_of(tag))
    if stated is None:
        absent = book.absence(f"#{tag}/budget/time-person", "time of a person", "no operator time is recorded",
                              (f"alarms/{plant.alarms_of[tag][0]}/operator_time",))
        return (*made, Time("a person answers", absent, "operator"))
    people = [Time(words, _written(tag, f"person-{part}", words, getattr(stated, part), book), "operator")
              for part, words in OPERATOR if getattr(stated, part).si > 0]
    return (*made, *people)


def of_control(plant: Definitions, tag: str, tank: TankResult, book: Book) -> tuple[Time, ...]:
    """Sensor, links and delay of a point of ordinary running, logic and relay, the stroke of what it moves, what still runs in.

    The same terms as those of a trip, and as there a time that is not recorded leaves the budget open.
    """
    for name in plant.controls_of_point[tag]:
        control = plant.controls[name]
        if isinstance(control, StartStop):
            state = "stopped" if control.stops == tag else "running"
            return (
                *_sensing(plant, tag, book, name),
                *(Time(step.word, _step(tag, step, book)) for step in logic_times.logic(plant, tank.tag, name)),
                *(Time(words, outcome) for words, outcome in final_elements.of_element(
                    plant, book, f"#{tag}/budget/{name}", tank, str(control.moves), state,
                    plant.switches[Tag(tag)].acts == "rising")))
    return tuple(_sensing(plant, tag, book))


def _step(tag: str, step: logic_times.Step, book: Book) -> Outcome:
    """A time of the links or of the logic; a scan passes twice."""
    key = f"#{tag}/budget/time-{step.word.replace(' ', '-')}"
    if step.time is None:
        return book.absence(key, step.name, "not recorded", (step.field,))
    return book.record(key, step.name, step.often * step.time.si, "time",
                       f"t = {step.often if step.often > 1 else ''} {step.symbol}", [given(step.time, step.symbol, step.name)])


def _sensing(plant: Definitions, tag: str, book: Book, function: Tag | None = None) -> Iterator[Time]:
    """Response of the sensor, the links by which the signal reaches a function, delay of the point."""
    point = plant.switches[Tag(tag)]
    response = plant.instruments[point.in_].response_time
    if response is None:
        yield Time("sensor", book.absence(f"#{tag}/budget/time-sensor", f"response of {point.in_}", "not recorded",
                                          (f"instruments/{point.in_}/response_time",)))
    else:
        yield Time("sensor", _written(tag, "sensor", f"response of {point.in_}", response, book))
    for step in logic_times.signal(plant, function, Tag(tag)) if function is not None else ():
        yield Time(step.word, _step(tag, step, book))
    if point.on_delay is not None and point.on_delay.si > 0:
        yield Time("delay of the point", _written(tag, "delay", f"delay of {tag}", point.on_delay, book))


def _written(tag: str, word: str, name: str, time: Duration, book: Book) -> Outcome:
    return book.record(f"#{tag}/budget/time-{word}", name, time.si, "time", "t", [given(time, "t", name)])
