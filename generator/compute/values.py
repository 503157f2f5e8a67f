"""The names by which free text refers to worked-out values."""

from collections.abc import Mapping

from generator.model.plant import Definitions
from generator.model.record import Absence, Outcome, Record
from generator.model.results import SetpointResult, TankResult
from generator.model.scalar import Tag


def named(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
) -> Mapping[str, Outcome]:
    """Every value that may be referred to, by its name in words: "LSHH-210 height", "T-210 volume to overflow"."""
    values: dict[str, Outcome] = {}
    for tag, point in setpoints.items():
        def height(name: str, at: float | None, tag: str = tag) -> None:
            values[f"{tag} {name}"] = Record(f"#{tag}/stands", f"{name} of {tag}", at, "length", "") if at is not None \
                else Absence(f"#{tag}/stands", f"{name} of {tag}", "it is not settled", (f"switches/{tag}/height",))

        height("height", point.stands)
        height("lowest", point.act.low if point.act else None)
        height("highest", point.act.high if point.act else None)
        height("resets at", point.clear_at)
        values[f"{tag} elevation"] = point.elevation
        values[f"{tag} volume"] = point.volume
        if point.percent_of_range is not None:
            values[f"{tag} percent of range"] = point.percent_of_range
    for tag, tank in tanks.items():
        values[f"{tag} capacity"] = tank.capacity
        values[f"{tag} filling rate"] = tank.filling
        values[f"{tag} emptying rate"] = tank.emptying
        values[f"{tag} working volume"] = tank.working_volume
        levels = plant.tanks[Tag(tag)].levels
        for name, level in (("normal low", levels.normal_low), ("normal high", levels.normal_high),
                            ("overflow", levels.overflow)):
            if level is not None:
                values[f"{tag} {name}"] = Record(f"#{tag}/{name}", f"{name} of {tag}", level.si, "length", "")
        if levels.overflow is not None and tank.vessel is not None:
            at = tank.vessel.volume_at(levels.overflow.si)
            values[f"{tag} volume to overflow"] = Record(f"#{tag}/overflow-volume", f"volume of {tag} up to the overflow",
                                                         at, "volume", "")
    return values
