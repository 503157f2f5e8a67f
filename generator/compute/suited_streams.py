"""The hottest and the coldest stream into a tank, where one goes beyond the temperatures of the liquid in it."""

from collections.abc import Iterator

from generator.compute.suited_facts import FROST, Figure, Place
from generator.model.quantity import Temperature
from generator.model.scalar import Tag


def hottest(place: Place) -> Figure:
    """Highest temperature of the streams into the tank. [K] Skipped where none is hotter than the liquid is said to be."""
    arriving = list(_arriving(place, "highest"))
    if not arriving:
        return Figure(skip="no stream into its tank has a temperature of its own")
    tag, heat, words = max(arriving, key=lambda one: one[1].si)
    own = place.liquid.temperature
    if own is not None and heat.si <= own.highest.si:
        return Figure(skip=f"no stream into its tank is hotter than {own.highest.written}, the highest of {place.liquid.name}")
    return Figure(heat.si, heat.dimension, note=f"stream {place.plant.streams[tag].name}{words}")


def coldest(place: Place) -> Figure:
    """Lowest temperature of the streams into the tank. [K] Skipped where none is colder than the liquid, or brings frost."""
    arriving = list(_arriving(place, "lowest"))
    if not arriving:
        return Figure(skip="no stream into its tank has a temperature of its own")
    tag, cold, words = min(arriving, key=lambda one: one[1].si)
    own = place.liquid.temperature
    if own is not None and cold.si >= own.lowest.si:
        return Figure(skip=f"no stream into its tank is colder than {own.lowest.written}, the lowest of {place.liquid.name}")
    if cold.si >= FROST:
        return Figure(skip="no stream into its tank comes under 0 degC")
    return Figure(cold.si, cold.dimension, note=f"stream {place.plant.streams[tag].name}{words}")


def _arriving(place: Place, end: str) -> Iterator[tuple[Tag, Temperature, str]]:
    """Streams into the tank that may be warmer or colder than what is in it, each with an end of its temperature."""
    plant = place.plant
    if place.tank is None:
        return
    for tag in plant.inflows_of[Tag(place.tank_tag)]:
        stream = plant.streams[tag]
        source = plant.tanks.get(stream.from_)
        if stream.temperature is not None:
            yield tag, getattr(stream.temperature, end), ""
        elif source is not None and (span := plant.liquids[source.liquid].temperature) is not None:
            yield tag, getattr(span, end), f" from {stream.from_}, which holds {source.liquid}"
