"""Shared facts that flow down: the item's own, else the tank's, the area's, the plant's."""

from collections.abc import Iterator

from generator.model.defaults import Defaults, Error, OperatorTime, Waves
from generator.model.plant import Definitions
from generator.model.quantity import Duration, Length
from generator.model.scalar import Tag


def levels_of_defaults(plant: Definitions, tank: str) -> Iterator[Defaults]:
    """Blocks of shared facts that reach a tank, the nearest first."""
    owner = plant.tanks[Tag(tank)]
    yield owner.defaults
    if owner.area in plant.areas:
        yield plant.areas[owner.area].defaults
    yield plant.plant.defaults


def accuracy(plant: Definitions, switch: str) -> Error | None:
    """Error of a point."""
    point = plant.switches[Tag(switch)]
    own = point.accuracy or plant.instruments[point.in_].accuracy
    if own is not None:
        return own
    return next((block.accuracy for block in levels_of_defaults(plant, plant.tank_of(switch)) if block.accuracy), None)


def waves(plant: Definitions, tank: str) -> Waves | None:
    """Waves on a tank's liquid."""
    own = plant.tanks[tank].waves  # type: ignore[index]
    if own is not None:
        return own
    return next((block.waves for block in levels_of_defaults(plant, tank) if block.waves), None)


def setpoint_step(plant: Definitions, tank: str) -> Length | None:
    """Step to which the heights on a tank are rounded."""
    return next((block.setpoint_step for block in levels_of_defaults(plant, tank) if block.setpoint_step), None)


def scan_time(plant: Definitions, tank: str) -> Duration | None:
    """Scan of the logic."""
    return next((block.scan_time for block in levels_of_defaults(plant, tank) if block.scan_time), None)


def relay_time(plant: Definitions, tank: str) -> Duration | None:
    """Time of an output or interposing relay."""
    return next((block.relay_time for block in levels_of_defaults(plant, tank) if block.relay_time), None)


def operator_time(plant: Definitions, tank: str) -> OperatorTime | None:
    """What a person needs from alarm to effect."""
    return next((block.operator_time for block in levels_of_defaults(plant, tank) if block.operator_time), None)
