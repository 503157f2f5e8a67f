"""How much more a tank takes, and how long its pumps still draw: from the edges of the normal band."""

from collections.abc import Iterator, Mapping

from generator.compute.book import Book, given
from generator.compute.tanks import no_vessel, vessel_input
from generator.compute.travel import time_between
from generator.model.margin import Room
from generator.model.plant import Definitions
from generator.model.record import Absence, Input, Outcome, Record
from generator.model.results import PumpResult, SetpointResult, TankResult
from generator.model.scalar import Tag


def results(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    pumps: Mapping[str, PumpResult], book: Book,
) -> dict[str, tuple[Room, ...]]:
    """Room of every tank: up to its next high alarm, trip and ceiling, and down to the loss of suction of its pumps."""
    return {tag: (*_upwards(plant, tank, setpoints, book), *_downwards(plant, tank, pumps, book))
            for tag, tank in tanks.items()}


def _upwards(
    plant: Definitions, tank: TankResult, setpoints: Mapping[str, SetpointResult], book: Book,
) -> Iterator[Room]:
    """V = V(h_2) - V(h_1): from the top of the normal band to the earliest action of the first alarm, trip, ceiling."""
    start = plant.tanks[Tag(tank.tag)].levels.normal_high
    for role in ("alarm", "trip"):
        ends = [(point.act.low, point.tag) for tag in plant.switches_of[tank.tag]
                if plant.switches[tag].role == role and plant.switches[tag].acts == "rising"
                and (point := setpoints[tag]).act is not None and (start is None or point.act.low > start.si)]
        if ends:
            height, tag = min(ends)
            end = Input("h_2", f"lower edge of {tag}", height, "length", f"#{tag}/act-low")
            yield Room(f"Room to the high {role}", tag, _volume(plant, tank, end, tag, book))
    key = f"#{tank.tag}/room/ceiling"
    if isinstance(tank.ceiling, Absence):
        yield Room("Room to the ceiling", "", book.absence(
            key, f"Room of {tank.tag} up to its ceiling", tank.ceiling.why, tank.ceiling.missing))
        return
    yield Room("Room to the ceiling", "", _volume(plant, tank, tank.ceiling.as_input("h_2"), "ceiling", book))


def _volume(plant: Definitions, tank: TankResult, end: Input, until: str, book: Book) -> Outcome:
    key, name = f"#{tank.tag}/room/{until}", f"Room of {tank.tag} from the top of the normal band to {until}"
    start = plant.tanks[Tag(tank.tag)].levels.normal_high
    if start is None:
        return book.absence(key, name, "the normal band is not given", (f"tanks/{tank.tag}/levels/normal_high",))
    if tank.vessel is None:
        return no_vessel(key, name, tank.tag, book)
    volume = tank.vessel.volume_at(end.value) - tank.vessel.volume_at(start.si)
    return book.record(key, name, volume, "volume", "V = V(h_2) - V(h_1)",
                       (end, given(start, "h_1", "top of the normal band"), vessel_input(tank.tag, tank.vessel)),
                       note="with a fuller tank there is less room; read the level first")


def _downwards(plant: Definitions, tank: TankResult, pumps: Mapping[str, PumpResult], book: Book) -> Iterator[Room]:
    """Time from the foot of the normal band to the highest of the lowest levels, at the worst emptying rate."""
    drawing = [str(pump) for pump in plant.pumps_of[tank.tag]]
    if not drawing:
        return
    key, name = f"#{tank.tag}/suction-lost", f"Time from the foot of the normal band of {tank.tag} to the loss of suction"
    lowest = [pumps[pump].lowest_level for pump in drawing]
    yield Room("Until suction is lost", _and(drawing), _time(plant, tank, lowest, drawing, key, name, book))


def _and(tags: list[str]) -> str:
    return tags[0] if len(tags) == 1 else f"{', '.join(tags[:-1])} and {tags[-1]}"


def _time(
    plant: Definitions, tank: TankResult, lowest: list[Outcome], drawing: list[str], key: str, name: str, book: Book,
) -> Outcome:
    lacking = book.lacking(key, name, [*lowest, tank.emptying])
    if lacking is not None:
        return lacking
    start = plant.tanks[Tag(tank.tag)].levels.normal_low
    if start is None:
        return book.absence(key, name, "the normal band is not given", (f"tanks/{tank.tag}/levels/normal_low",))
    if tank.vessel is None:
        return no_vessel(key, name, tank.tag, book)
    assert isinstance(tank.emptying, Record)
    if tank.emptying.value <= 0:
        return book.absence(key, name, "no operating case empties the tank")
    ends = [one.as_input(rf"h_{{\text{{{pump}}}}}") for one, pump in zip(lowest, drawing, strict=True) if isinstance(one, Record)]
    end = max(ends, key=lambda one: one.value)
    highest = rf", \quad h_2 = \max\left( {', '.join(one.symbol for one in ends)} \right)"
    time = r"\frac{V(h_1) - V(h_2)}{Q}" if start.si >= end.value else r"\max\left( \frac{V(h_1) - V(h_2)}{Q}, 0 \right)"
    return book.record(
        key, name, time_between(tank.vessel, start.si, end.value, tank.emptying.value, "falling"), "time",
        f"t = {time}{highest}",
        (given(start, "h_1", "foot of the normal band"), *ends, vessel_input(tank.tag, tank.vessel),
         tank.emptying.as_input("Q")),
        validity="worst emptying rate; suction is lost where the submergence, or the suction head, is no longer there")
