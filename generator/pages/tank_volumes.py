"""Volumes and rates of a tank, each with the record behind it, and the volume table."""

from dataclasses import dataclass

from generator.model.page import Amount
from generator.model.scalar import Tag
from generator.pages import amounts, records
from generator.pages.context import Context
from generator.pages.records import OutcomeView


@dataclass(frozen=True, slots=True)
class VolumeRow:
    """One figure of the tank with what it means."""

    name: str
    amount: Amount
    says: str


@dataclass(frozen=True, slots=True)
class TankVolumes:
    """Figures, the table of height, volume and surface, and the working."""

    rows: tuple[VolumeRow, ...]
    table: tuple[tuple[Amount, Amount, Amount], ...]
    working: tuple[OutcomeView, ...]


def volumes(context: Context, tag: str) -> TankVolumes:
    """Volumes and rates of one tank."""
    result = context.results.tanks[tag]
    shape = context.plant.tanks[Tag(tag)].shape.kind
    rows = (
        VolumeRow("Capacity", amounts.outcome(result.capacity), f"{shape}, filled to the top"),
        VolumeRow("Ceiling", amounts.outcome(result.ceiling, "metres"), "lowest height at which liquid leaves"),
        VolumeRow("Working volume", amounts.outcome(result.working_volume), "within the normal band"),
        VolumeRow("Dead volume", amounts.outcome(result.dead_volume), "below the lowest pump inlet"),
        VolumeRow("Filling, worst", amounts.outcome(result.filling), result.filling_case),
        VolumeRow("Filling, ordinary", amounts.outcome(result.filling_normal), "net rate of ordinary running"),
        VolumeRow("Emptying, worst", amounts.outcome(result.emptying), result.emptying_case),
        VolumeRow("Emptying, ordinary", amounts.outcome(result.emptying_normal), "net rate of ordinary running"),
    )
    decimals = 3 if result.vessel and result.vessel.capacity < 1 else 2
    table = tuple(
        (amounts.metres(height), amounts.in_unit(volume, "m3", decimals), amounts.in_unit(area, "m2", 2))
        for height, volume, area in result.volume_table
    )
    return TankVolumes(rows, table, records.views(context, (
        result.capacity, result.ceiling, result.working_volume, result.dead_volume, result.filling,
        result.filling_normal, result.emptying, result.emptying_normal)))
