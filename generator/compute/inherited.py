"""Shared facts that flow down: the item's own, else the tank's, the area's, the plant's; each value of a block by itself."""

from typing import TypeVar

from generator.model.defaults import Error, OperatorTime, Waves
from generator.model.definition import Definition
from generator.model.plant import Definitions
from generator.model.quantity import Duration, Length, Size
from generator.model.scalar import Tag

Block = TypeVar("Block", bound=Definition)


def _nearest(*blocks: Block | None) -> Block | None:
    """The first of some blocks, what it leaves out taken from the next ones."""
    found: Block | None = None
    for one in blocks:
        found = one if found is None else found.completed(one)
    return found


def accuracy(plant: Definitions, switch: str) -> Error | None:
    """Error of a point."""
    point = plant.switches[Tag(switch)]
    return _nearest(point.accuracy, plant.instruments[point.in_].accuracy, plant.default(switch, "accuracy"))


def waves(plant: Definitions, tank: str) -> Waves | None:
    """Waves on a tank's liquid."""
    return _nearest(plant.tanks[Tag(tank)].waves, plant.default(tank, "waves"))


def setpoint_step(plant: Definitions, tank: str) -> Length | None:
    """Step to which the heights on a tank are rounded."""
    stated: Length | None = plant.default(tank, "setpoint_step")
    return stated


def volume_step(plant: Definitions, tank: str) -> Size | None:
    """Step of height in a tank's volume table."""
    stated: Size | None = plant.default(tank, "volume_step")
    return stated


def scan_time(plant: Definitions, tank: str) -> Duration | None:
    """Scan of the logic."""
    stated: Duration | None = plant.default(tank, "scan_time")
    return stated


def relay_time(plant: Definitions, tank: str) -> Duration | None:
    """Time of an output or interposing relay."""
    stated: Duration | None = plant.default(tank, "relay_time")
    return stated


def operator_time(plant: Definitions, tank: str) -> OperatorTime | None:
    """What a person needs from alarm to effect."""
    stated: OperatorTime | None = plant.default(tank, "operator_time")
    return stated
