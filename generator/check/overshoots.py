"""How far the level goes past a point until it has acted, for rules that compare the edges of points."""

from generator.check.absences import missing_of
from generator.check.rule import Missing
from generator.check.subjects import Point
from generator.model.record import Absence


def overshoot(point: Point, within_body: bool = False) -> float | Missing:
    """What the level moves during response and delays of a point at the worst rate, nothing where none are recorded. [m]

    `within_body` leaves out the response, which all points of a body share.
    """
    found = None if point.setpoint is None else (
        point.setpoint.overshoot_within_body if within_body else point.setpoint.overshoot)
    if isinstance(found, Absence):
        return Missing(missing_of(found))
    return 0.0 if found is None else found.value
