"""Lengths from the mounting face to the points of a body that hangs from above: what a fitter measures down."""

from dataclasses import dataclass

from generator.model.page import Amount, Link
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.tank_setpoints import stands

_WHAT = {
    "conductive rods": "face to rod tip", "guide tube float": "face to contact point",
    "cable float": "face to acting point", "tilt float": "face to acting point",
}


@dataclass(frozen=True, slots=True)
class LengthRow:
    """One point of the body: where it stands and how far below the mounting face."""

    point: Link
    rod: str
    what: str
    face: Amount
    stands: Amount
    down: Amount
    is_own: bool


def lengths(context: Context, tag: str) -> tuple[LengthRow, ...]:
    """All points of the body that a switch belongs to, longest last; nothing for a body in the side of the tank."""
    plant = context.plant
    body_tag = plant.switches[Tag(tag)].in_
    body = plant.instruments[body_tag]
    nozzle = plant.tanks[body.tank].nozzles.get(Tag(body.nozzle)) if body.nozzle else None
    face = body.mounting_face or (nozzle.height if nozzle and nozzle.on == "roof" else None)
    if face is None or body.signal == "4-20 mA" or (nozzle is not None and nozzle.on != "roof"):
        return ()
    rows = []
    for point in plant.points_of[body_tag]:
        result = context.results.setpoints.get(point)
        if result is not None and result.stands is not None and result.stands < face.si:
            rows.append((face.si - result.stands, LengthRow(
                context.paths.link(point), plant.switches[point].rod or "not given",
                _WHAT.get(body.technology, "face to point"), amounts.metres(face.si), stands(result),
                amounts.millimetres(face.si - result.stands), point == tag)))
    return tuple(row for _, row in sorted(rows, key=lambda one: one[0]))
