"""Where devices really act, and what the fitter needs: one module of rules for each family of device."""

from collections.abc import Callable, Mapping

from generator.compute.actuation import cable, levers, points, rods, tubes
from generator.compute.actuation.common import Device
from generator.compute.actuation.fittings import fitting
from generator.compute.book import Book
from generator.model.device import Actuation, Fitting
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.results import SetpointResult

FAMILIES: Mapping[str, Callable[[Device], Actuation]] = {
    "cable": cable.point, "rods": rods.point, "lever": levers.point, "tube": tubes.point, "point": points.point,
    "displacer": points.displacer,
}
"""The rules of each family, by the name that the technology's data file gives."""


def results(
    plant: Definitions, knowledge: Knowledge, setpoints: Mapping[str, SetpointResult], book: Book,
) -> tuple[dict[str, Actuation], dict[str, Fitting]]:
    """Actuation of every point whose device acts at a place, and the fitting of every body with such points.

    A set point on a transmitter has none: it acts where the logic puts it.
    """
    made: dict[str, Actuation] = {}
    fittings: dict[str, Fitting] = {}
    for tag, body in plant.instruments.items():
        known = knowledge.technologies.get(body.technology)
        rules = FAMILIES.get(known.actuation) if known else None
        if rules is None or body.signal == "4-20 mA":
            continue
        own = {str(point): rules(Device(plant, str(point), setpoints[point], book)) for point in plant.points_of[tag]
               if point in setpoints}
        made |= own
        if own:
            fittings[str(tag)] = fitting(plant, str(tag), own, book)
    return {str(tag): made[str(tag)] for tag in plant.switches if str(tag) in made}, fittings
