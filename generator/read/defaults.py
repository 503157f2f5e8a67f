"""Shared facts flow down: plant, area, tank, item. An item that leaves a fact out takes the nearest one.

Accuracy, waves and operator time are made of several values, and each of them flows by itself: an instrument that states
its own error alone still has the common error of the plant.

What has consequences (direction, contact, safe state, issued height, hazard) never flows.
"""

from typing import Any, TypeVar

from generator.model.definition import Definition
from generator.model.place import Place
from generator.model.plant import Definitions
from generator.model.quantity import Duration, Quantity
from generator.model.scalar import Tag

Kind = TypeVar("Kind", bound=Definition)


def flow_down(plant: Definitions) -> Definitions:
    """The same plant, each item with the shared facts that it left out; their places say through what they came.

    ================  =================  ==================================================
    item              key                from
    ================  =================  ==================================================
    tank              waves              tank, area, plant defaults
    instrument        accuracy           tank, area, plant defaults
    instrument        wiring.supply      tank, area, plant defaults
    switch            accuracy           its instrument
    switch            differential       its instrument
    alarm             operator_time      tank (of the point that raises it), area, plant defaults
    test              interval           the shortest that reaches anything it covers
    ================  =================  ==================================================
    """
    tanks = {tag: _filled(one, "waves", plant.default(tag, "waves")) for tag, one in plant.tanks.items()}
    instruments = {}
    for tag, body in plant.instruments.items():
        body = _filled(body, "accuracy", plant.default(tag, "accuracy"))
        if body.wiring is not None:
            wiring = _filled(body.wiring, "supply", plant.default(tag, "supply"))
            body = body.filled({"wiring": (wiring, body.place_of("wiring"))})
        instruments[tag] = body
    switches = {}
    for tag, point in plant.switches.items():
        for key in ("accuracy", "differential"):
            point = _filled(point, key, _of_body(getattr(instruments[point.in_], key), point.in_))
        switches[tag] = point
    alarms = {
        tag: _filled(one, "operator_time", plant.default(tag, "operator_time")) for tag, one in plant.alarms.items()
    }
    tests = {tag: _filled(one, "interval", _interval(plant, one.covers)) for tag, one in plant.tests.items()}
    changed = {"tanks": tanks, "instruments": instruments, "switches": switches, "alarms": alarms, "tests": tests}
    return plant.filled({noun: (members, plant.place_of(noun)) for noun, members in changed.items()})


def _filled(block: Kind, key: str, value: Any) -> Kind:
    stated = getattr(block, key)
    if value is None:
        return block
    if stated is None:
        place: Place = value.place
        return block.filled({key: (value, place)})
    if isinstance(stated, Definition):
        return block.filled({key: (stated.completed(value), block.place_of(key))})
    return block


def _of_body(value: Any, instrument: str) -> Any:
    # A fact that the body itself inherited keeps the name of the block that it came from.
    if value is None or value.place.via:
        return value
    made = value.reached(f"instrument {instrument}")
    if not isinstance(value, Definition):
        return made
    inherited = {name: (one, value.place_of(name)) for name, one in value if isinstance(one, Quantity) and one.place.via}
    return made.filled(inherited)


def _interval(plant: Definitions, covers: tuple[Tag, ...]) -> Duration | None:
    reaching: list[Duration] = [found for tag in covers if (found := plant.default(tag, "test_interval")) is not None]
    return min(reaching, key=lambda one: one.si, default=None)
