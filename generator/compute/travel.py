"""How far the liquid gets in a time, and how long it takes between two heights, at a constant net rate."""

from generator.compute.causes import Direction
from generator.model.record import Outcome
from generator.model.results import TankResult, Vessel

EQUATION = r"t = \frac{|V(h_2) - V(h_1)|}{Q}"


def time_between(vessel: Vessel, here: float, limit: float, rate: float, direction: Direction) -> float:
    """Time from one height to another at a net rate; nothing where the liquid is there already.

    t = (V(limit) - V(here)) / Q for a rising level, t = (V(here) - V(limit)) / Q for a falling one.

    Args:
        vessel: Shape of the tank.
        here: Height at the start. [m]
        limit: Height at the end. [m]
        rate: Net rate in the direction of travel, positive. [m3/s]
        direction: Direction of travel.

    Returns:
        Time. [s]
    """
    volume = vessel.volume_at(limit) - vessel.volume_at(here)
    return max(0.0, volume if direction == "rising" else -volume) / rate


def level_after(vessel: Vessel, here: float, rate: float, time: float, direction: Direction) -> tuple[float, bool]:
    """Height after a time at a net rate, and whether the vessel was left by its top or ran empty meanwhile.

    Args:
        vessel: Shape of the tank.
        here: Height at the start. [m]
        rate: Net rate in the direction of travel, positive. [m3/s]
        time: How long. [s]
        direction: Direction of travel.

    Returns:
        Height, clipped to the vessel [m]; whether it was clipped.
    """
    volume = vessel.volume_at(here) + (rate if direction == "rising" else -rate) * time
    return vessel.level_at(volume), not 0.0 <= volume <= vessel.capacity


def worst_rate(tank: TankResult, direction: Direction) -> Outcome:
    """Worst-case net rate in a direction. [m3/s]"""
    return tank.filling if direction == "rising" else tank.emptying


def level_of(vessel: Vessel, volume: float) -> tuple[float, str]:
    """Level at a volume [m], and a remark where the vessel cannot hold it.

    Beyond bottom and top the height goes on as in an upright tank of the vessel's mean area, so that a need that no
    height can satisfy still says by how much it fails.
    """
    mean = vessel.capacity / (vessel.top - vessel.bottom)
    if volume < 0:
        return vessel.bottom + volume / mean, "the volume below does not suffice: counted on below the bottom"
    if volume > vessel.capacity:
        excess = (volume - vessel.capacity) / mean
        return vessel.top + excess, "the volume above does not suffice: counted on over the top"
    return vessel.level_at(volume), ""


def volume_of(vessel: Vessel, level: float) -> float:
    """Volume at a level, beyond bottom and top too: the way back of `level_of`. [m3]"""
    mean = vessel.capacity / (vessel.top - vessel.bottom)
    if level < vessel.bottom:
        return (level - vessel.bottom) * mean
    return vessel.capacity + (level - vessel.top) * mean if level > vessel.top else vessel.volume_at(level)
