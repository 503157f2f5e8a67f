"""The last steps of a trip: the stroke of its final elements, and what still drains from the lines behind them."""

from collections.abc import Iterator

from generator.compute.book import Book, absences, because_of, given, missing_of
from generator.model.interlock import Interlock
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.record import Outcome, Record
from generator.model.results import TankResult
from generator.model.scalar import Tag

STOPS = ("stopped", "closed", "off")


def elements(plant: Definitions, lock: Interlock) -> Iterator[tuple[Tag, str]]:
    """Each pump, valve or piece of equipment that an interlock drives, with its state; groups are taken apart."""
    for target, state in lock.then.items():
        for element in plant.members_of(target) or (target,):
            yield element, state


def touches(plant: Definitions, element: str, tank: str) -> bool:
    """Whether a final element moves or stops liquid of a tank."""
    pump = plant.pumps.get(Tag(element))
    if pump is not None and pump.suction.tank == tank:
        return True
    return any(tank in (plant.streams[tag].from_, plant.streams[tag].into) for tag in plant.streams_of[element])


def of_element(
    plant: Definitions, book: Book, key: str, tank: TankResult, moves: str, state: str, rises: bool,
) -> Iterator[tuple[str, Outcome]]:
    """Stroke of what a control moves to a state, and for a rising level what then still runs into the tank."""
    members = plant.members_of(moves) or (Tag(moves),)
    driven = [(tag, state if tag in plant.pumps else "closed" if state in STOPS else "open") for tag in members
              if tag in plant.pumps or tag in plant.valves]
    yield from _slowest(plant, book, key, driven)
    if rises and state in STOPS:
        yield from _draining(plant, book, key, tank.tag, [tag for tag, _ in driven], tank.filling)


def stroke(plant: Definitions, book: Book, key: str, tank: str, lock: Interlock) -> Iterator[tuple[str, Outcome]]:
    """Time of the slowest final element that moves liquid of the tank; of all, where none is known to do so.

    Equipment that is switched electrically (a heater, a horn) takes no time of its own.
    """
    driven = [(tag, state) for tag, state in elements(plant, lock) if tag in plant.pumps or tag in plant.valves]
    yield from _slowest(plant, book, key, [(tag, state) for tag, state in driven if touches(plant, tag, tank)] or driven)


def _slowest(plant: Definitions, book: Book, key: str, moving: list[tuple[Tag, str]]) -> Iterator[tuple[str, Outcome]]:
    times = [element_time(plant, tag, state) for tag, state in moving]
    if not times:
        return
    name = "slowest final element"
    lacking = [field for field, time in times if time is None]
    if lacking:
        yield "final element", book.absence(f"{key}/final-element", name, "not recorded", lacking)
        return
    inputs = [given(time, f"t_{{{number}}}", field)
              for number, (field, time) in enumerate(times, 1) if time is not None]
    slowest = max(one.value for one in inputs)
    symbols = ", ".join(one.symbol for one in inputs)
    yield "final element", book.record(f"{key}/final-element", name, slowest, "time", rf"t = \max({symbols})", inputs)


def element_time(plant: Definitions, tag: Tag, state: str) -> tuple[str, Duration | None]:
    """Field that holds the time an element takes to its state, and that time; no field for what is switched electrically."""
    if tag in plant.equipment:
        return "", None
    stops = state in STOPS
    if tag in plant.valves:
        valve = plant.valves[tag]
        if stops:
            return f"valves/{tag}/closing_time", valve.closing_time
        return f"valves/{tag}/opening_time", valve.opening_time
    pump = plant.pumps[tag]
    return (f"pumps/{tag}/stop_time", pump.stop_time) if stops else (f"pumps/{tag}/start_time", pump.start_time)


def drain_down(
    plant: Definitions, book: Book, key: str, tank: str, lock: Interlock, rate: Outcome,
) -> Iterator[tuple[str, Outcome]]:
    """What still runs into the tank out of the lines that the trip has shut, as a time at the worst rate.

    t = sum(V) / Q. The time stands for the volume, so that the travel counted with it is that of the volume.
    """
    yield from _draining(plant, book, key, tank, [tag for tag, state in elements(plant, lock) if state in STOPS], rate)


def _draining(
    plant: Definitions, book: Book, key: str, tank: str, stopped: list[Tag], rate: Outcome,
) -> Iterator[tuple[str, Outcome]]:
    streams = dict.fromkeys(
        stream for element in stopped for stream in plant.streams_of[element]
        if plant.streams[stream].into == tank and not plant.streams[stream].by_overflow
    )
    if not streams:
        return
    name, step = "draining of the lines", f"{key}/drain-down"
    volumes = [(tag, plant.streams[tag].drains_after_stop) for tag in streams]
    lacking = [f"streams/{tag}/drains_after_stop" for tag, volume in volumes if volume is None]
    if lacking:
        yield "line drain-down", book.absence(step, name, "not recorded", lacking)
        return
    if not isinstance(rate, Record):
        yield "line drain-down", book.absence(step, name, because_of(absences([rate])), missing_of(absences([rate])))
        return
    inputs = [given(volume, f"V_{{{number}}}", f"{plant.streams[tag].name}, after its stop")
              for number, (tag, volume) in enumerate(volumes, 1) if volume is not None]
    total = sum(one.value for one in inputs)
    if total > 0 and rate.value <= 0:
        yield "line drain-down", book.absence(step, name, "no operating case has a rising level")
        return
    time = total / rate.value if total > 0 else 0.0
    symbols = " + ".join(one.symbol for one in inputs)
    yield "line drain-down", book.record(step, name, time, "time", rf"t = \frac{{{symbols}}}{{Q}}",
                                         (*inputs, rate.as_input("Q")))
