"""Trips that stop a pump before its inlet runs dry: rule 6.17."""

from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import TripTime
from generator.check.words import height, mm
from generator.model.results import Band
from generator.model.scalar import Tag


def _inlets(trip: TripTime) -> dict[str, float]:
    """Pumps that the interlock stops and that draw from the tank of its point, with the height of each inlet. [m]"""
    plant = trip.context.plant
    lock = plant.interlocks[Tag(trip.budget.interlock)]
    stopped = [one for target, state in lock.then.items() if state in ("stopped", "off")
               for one in (plant.members_of(target) or (target,)) if one in plant.pumps]
    return {str(one): inlet.height.si for one in stopped
            if (inlet := plant.pumps[one].inlet) is not None and inlet.tank == trip.budget.tank}


@rule("6.17", "The dry-run trip acts while the inlet is under liquid", scope="trip time", severity="by consequence",
      basis="common practice, no source", needs=("setpoint.act", "budget.overrun"), conditions=(
          When("it stops a pump that draws from the tank as the level falls", lambda trip: (
              trip.setpoint is not None and trip.setpoint.acts == "falling" and bool(_inlets(trip)))),))
def dry_run_trip_acts_above_the_inlet(trip: TripTime, act: Band, overrun: float) -> Answer:
    """Takes the lowest height at which the point can act, less what the level still falls until the pump stands, and
    compares it with the height of the inlet.

    Once the inlet draws air the level no longer falls, so that a point below it never acts.
    Cure: a higher point.
    """
    lowest = act.low - overrun
    for pump, inlet in _inlets(trip).items():
        if lowest <= inlet + 1e-9:
            return Fail(f"{trip.budget.point} acts at {height(act.low)} at the lowest and the level runs on by {mm(overrun)}: "
                        f"the inlet of {pump} at {height(inlet)} is bare by {mm(inlet - lowest)}",
                        f"{mm(inlet - lowest)} under the inlet of {pump}", "raise the point", also=(pump,))
    return Pass(f"down to {height(lowest)}, over every inlet")
