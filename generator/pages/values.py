"""The names by which free text refers to worked-out values."""

from collections.abc import Mapping

from generator.model.plant import Definitions
from generator.model.record import Outcome, Record
from generator.model.results import Results

ABOUT_SWITCH = ("height", "elevation", "volume", "percent of range", "lowest", "highest", "resets at")
ABOUT_TANK = ("capacity", "filling rate", "emptying rate", "working volume", "normal low", "normal high", "overflow",
              "volume to overflow")


def named(plant: Definitions, results: Results) -> Mapping[str, Outcome]:
    """Every value that may be referred to, by its name in words."""
    values: dict[str, Outcome] = {}
    for tag, point in results.setpoints.items():
        def height(name: str, at: float | None, tag: str = tag) -> None:
            if at is not None:
                values[f"{tag} {name}"] = Record(f"#{tag}/stands", f"{name} of {tag}", at, "length", "")

        height("height", point.stands)
        height("lowest", point.act.low if point.act else None)
        height("highest", point.act.high if point.act else None)
        height("resets at", None if not point.reset else point.reset.low if point.acts == "rising" else point.reset.high)
        values[f"{tag} elevation"] = point.elevation
        values[f"{tag} volume"] = point.volume
        if point.percent_of_range is not None:
            values[f"{tag} percent of range"] = point.percent_of_range
    for tag, tank in results.tanks.items():
        values[f"{tag} capacity"] = tank.capacity
        values[f"{tag} filling rate"] = tank.filling
        values[f"{tag} emptying rate"] = tank.emptying
        values[f"{tag} working volume"] = tank.working_volume
        levels = plant.tanks[tag].levels  # type: ignore[index]  # tags of the plant
        for name, level in (("normal low", levels.normal_low), ("normal high", levels.normal_high),
                            ("overflow", levels.overflow)):
            if level is not None:
                values[f"{tag} {name}"] = Record(f"#{tag}/{name}", f"{name} of {tag}", level.si, "length", "")
        if levels.overflow is not None and tank.vessel is not None:
            at = tank.vessel.volume_at(levels.overflow.si)
            values[f"{tag} volume to overflow"] = Record(f"#{tag}/overflow-volume", f"volume of {tag} up to the overflow",
                                                         at, "volume", "")
    return values
