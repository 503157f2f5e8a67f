"""What each proof test may take: a limit of its own for every element and alarm that must be seen.

From the liquid at the point, or the hand on it, until the element stands or the alarm sounds: response of the sensor, links,
delay of the point, time that the cause must last, delay of the interlock, logic and output relay, then the stroke, start or
stop of the element itself, or the delay of the alarm. What still drains from a line and what a slower element takes are no
part of it.
"""

from collections.abc import Iterator, Mapping

from generator.compute.book import Book, absences, because_of, given, missing_of
from generator.compute.final_elements import element_time, elements
from generator.compute.links import links_read
from generator.model.document import Test
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.record import Input, Outcome, Record
from generator.model.results import TripBudget
from generator.model.scalar import Tag

AFTER_THE_LOGIC = ("final element", "line drain-down")
"""Steps of a time budget that are no part of the limit of one element."""
ORDER = "order over "
"""How the step of a link begins that carries the order to an element: no alarm waits for it."""


def results(
    plant: Definitions, trips: Mapping[str, tuple[TripBudget, ...]], book: Book,
) -> Mapping[str, Mapping[tuple[str, str], Outcome]]:
    """For each test, the limits of what must be seen, under (interlock or point, element or alarm)."""
    return {str(tag): dict(_of_test(plant, trips, book, str(tag), test)) for tag, test in plant.tests.items()}


def _of_test(
    plant: Definitions, trips: Mapping[str, tuple[TripBudget, ...]], book: Book, tag: str, test: Test,
) -> Iterator[tuple[tuple[str, str], Outcome]]:
    for one in test.covers:
        if one in plant.interlocks:
            budget = _budget(trips.get(one, ()), test)
            if budget is None:
                continue
            steps = [(step.name, step.time) for step in budget.steps if step.name not in AFTER_THE_LOGIC]
            for element, state in elements(plant, plant.interlocks[one]):
                field, time = element_time(plant, element, state)
                key = f"#{tag}/within/{one}/{element}"
                yield (str(one), str(element)), _sum(book, key, f"time of {element} by {one}", steps, "its stroke, start or stop",
                                                     time, field)
            told = [step for step in steps if not step[0].startswith(ORDER)]
            for alarm in plant.alarms_of[one]:
                yield (str(one), str(alarm)), _sum(book, f"#{tag}/within/{one}/{alarm}", f"time to the sound of {alarm}", told,
                                                   "delay of the alarm", plant.alarms[alarm].on_delay)
    sources = (plant.alarms[one].from_ if one in plant.alarms else one for one in test.covers)
    for point in dict.fromkeys(one for one in sources if one in plant.switches):
        for alarm in plant.alarms_of[point]:
            yield (str(point), str(alarm)), _of_alarm(plant, book, tag, Tag(point), alarm)


def _budget(budgets: tuple[TripBudget, ...], test: Test) -> TripBudget | None:
    """The budget from the point that the test tries; of several the slowest, of none the first."""
    own = [one for one in budgets if one.point in test.covers] or list(budgets[:1])
    return max(own, key=lambda one: one.needed.value if isinstance(one.needed, Record) else 0.0, default=None)


def _of_alarm(plant: Definitions, book: Book, tag: str, point: Tag, alarm: Tag) -> Outcome:
    switch, key, name = plant.switches[point], f"#{tag}/within/{point}/{alarm}", f"time to the sound of {alarm}"
    body = plant.instruments[switch.in_]
    if body.response_time is None:
        return book.absence(key, name, "the response of the sensor is not recorded", (f"instruments/{switch.in_}/response_time",))
    carried = [(link, plant.links[link].carries_within) for link in links_read(plant, alarm, point)]
    if lacking := [f"links/{link}/carries_within" for link, time in carried if time is None]:
        return book.absence(key, name, "what the link takes to carry the signal is not recorded", lacking)
    times = (("response of the sensor", body.response_time), *((f"signal over {link}", time) for link, time in carried),
             ("delay of the point", switch.on_delay), ("delay of the alarm", plant.alarms[alarm].on_delay))
    known = [(words, time) for words, time in times if time is not None]
    return _added(book, key, name, [given(time, f"t_{{{number}}}", words) for number, (words, time) in enumerate(known, 1)])


def _sum(
    book: Book, key: str, name: str, steps: list[tuple[str, Outcome]], words: str, own: Duration | None, field: str = "",
) -> Outcome:
    """The steps up to the relay and the element's own time. `field` is where that must stand; empty where none is none."""
    lacking = absences([time for _, time in steps])
    if lacking or (own is None and field):
        return book.absence(key, name, because_of(lacking) if lacking else "not recorded",
                            missing_of(lacking) if lacking else (field,))
    inputs = [time.as_input(f"t_{{{number}}}", step) for number, (step, time) in enumerate(steps, 1) if isinstance(time, Record)]
    if own is not None:
        inputs.append(given(own, f"t_{{{len(inputs) + 1}}}", words))
    return _added(book, key, name, inputs)


def _added(book: Book, key: str, name: str, inputs: list[Input]) -> Outcome:
    total, symbols = sum(one.value for one in inputs), " + ".join(one.symbol for one in inputs)
    return book.record(key, name, total, "time", f"t = {symbols}", inputs,
                       validity="from the point to the element or alarm itself; nothing that runs on in a line")
