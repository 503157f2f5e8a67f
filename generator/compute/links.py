"""Links on the way of a signal or an order."""

from generator.model.plant import Definitions
from generator.model.scalar import Tag


def links_read(plant: Definitions, function: str, signal: str) -> tuple[Tag, ...]:
    """Links by which a signal reaches a function."""
    return tuple(tag for tag in plant.links if (function, signal) in plant.crossings[tag].read)


def links_ordered(plant: Definitions, function: str) -> tuple[Tag, ...]:
    """Links by which a function gives an order."""
    return tuple(tag for tag in plant.links if any(one == function for one, _ in plant.crossings[tag].orders))
