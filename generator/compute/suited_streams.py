"""The hottest and the coldest stream into a tank, where one goes beyond the temperatures of the liquid in it."""

from collections.abc import Iterator
from typing import Literal

from generator.compute.suited_facts import FROST, Figure, Place
from generator.model.plant import Definitions
from generator.model.quantity import Temperature
from generator.model.scalar import Tag
from generator.model.tank import TemperatureSpan

End = Literal["highest", "lowest"]


def beyond(place: Place, end: End) -> Figure:
    """Highest, or lowest, temperature of the streams into the tank of a place. [K]

    Skipped where none is hotter, or colder, than the liquid is said to be; a lowest one also where it brings no frost.
    """
    word, sign = ("hotter", 1) if end == "highest" else ("colder", -1)
    arriving: list[tuple[Tag, Temperature, str]] = [] if place.tank is None else [
        (tag, getattr(span, end), words) for tag, span, words in spans_into(place.plant, Tag(place.tank_tag))]
    if not arriving:
        return Figure(skip="no stream into its tank has a temperature of its own")
    tag, found, words = max(arriving, key=lambda one: sign * one[1].si)
    own: Temperature | None = getattr(place.liquid.temperature, end, None)
    if own is not None and sign * (found.si - own.si) <= 0:
        return Figure(skip=f"no stream into its tank is {word} than {own.written}, the {end} of {place.liquid.name}")
    if end == "lowest" and found.si >= FROST:
        return Figure(skip="no stream into its tank comes under 0 degC")
    return Figure(found.si, found.dimension, note=f"stream {place.plant.streams[tag].name}{words}")


def spans_into(plant: Definitions, tank: Tag) -> Iterator[tuple[Tag, TemperatureSpan, str]]:
    """Streams into a tank that have temperatures of their own, with those and in words where they are from."""
    for tag in plant.inflows_of[tank]:
        span, words = arrives_with(plant, tag)
        if span is not None:
            yield tag, span, words


def arrives_with(plant: Definitions, tag: Tag) -> tuple[TemperatureSpan | None, str]:
    """Temperatures with which a stream arrives, and in words where they are from.

    A stream without its own arrives as the liquid of the tank that it leaves; one from outside is taken to be as the tank
    that it enters, and has none here.
    """
    stream = plant.streams[tag]
    source = plant.tanks.get(stream.from_)
    if stream.temperature is not None or source is None:
        return stream.temperature, ""
    return plant.liquids[source.liquid].temperature, f" from {stream.from_}, which holds {plant.liquids[source.liquid].name}"
