"""Trips against the time and height that the process gives: rules 1.21 to 1.24."""

from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import TripTime
from generator.check.words import mm, time
from generator.model.record import Outcome, Record
from generator.model.results import Band


@rule("1.21", "The level stays inside its limit while the trip acts", scope="trip time", severity="by consequence",
      basis="IEC 61511-1:2016, 10.3: response time (from memory); API Std 2350",
      needs=("setpoint.act", "budget.overrun", "budget.available"))
def trip_stops_inside_the_limit(trip: TripTime, act: Band, overrun: float, _available: float) -> Answer:
    """Adds what the level still travels after the latest action to that action and compares with the limit.

    Sensor, delay, logic, relay, stroke and the liquid left in the line all take their share.
    Cure: an earlier point, a faster valve, a shorter delay or less flow.
    """
    name, limit = trip.budget.limit, _height_of_limit(trip.budget.available)
    if limit is None:
        return Missing((f"{trip.budget.tank}: {name}",))
    rising = trip.setpoint is not None and trip.setpoint.acts == "rising"
    room = limit - (act.high + overrun) if rising else (act.low - overrun) - limit
    if room > 1e-9:
        return Pass(f"{mm(room)} left to {name} after an overrun of {mm(overrun)}")
    return Fail(f"after an overrun of {mm(overrun)} the level is at or past {name}, by {mm(-room)}",
                f"{mm(-room)} past {name}", "act earlier, or shorten the trip")


def _height_of_limit(available: Outcome) -> float | None:
    """The height of the level that must not be reached, as it went into the time to it."""
    if not isinstance(available, Record):
        return None
    return next((one.value for one in available.inputs if one.symbol == "h_{limit}"), None)


@rule("1.22", "The trip is faster than the process", scope="trip time", severity="by consequence",
      basis="IEC 61511-1:2016, 10.3: response time against the time available (from memory)",
      needs=("budget.needed", "budget.available"))
def trip_is_faster_than_the_process(_trip: TripTime, needed: float, available: float) -> Answer:
    """Compares the time from the latest action to the final element at rest with the time to the limit.

    Both at the worst rate that the declared streams allow. Cure: an earlier point, a faster chain, or less flow.
    """
    if needed < available:
        return Pass(f"{time(needed)} of {time(available)}")
    return Fail(f"it needs {time(needed)}, the process gives {time(available)}",
                f"{time(needed)} of {time(available)}", "act earlier, or shorten the trip")


@rule("1.23", "The trip uses no more than its share of the time", scope="trip time", severity="warning",
      basis="site convention in `budget_share`; no standard sets the share",
      needs=("budget.needed", "budget.available"),
      conditions=(When("the plant states `budget_share`",
                       lambda trip: trip.context.plant.plant.budget_share is not None),))
def trip_keeps_to_its_share(trip: TripTime, needed: float, available: float) -> Answer:
    """Compares the share of the available time that the trip uses with the share that the plant allows.

    What is left covers what nobody thought of: a sticking valve, a colder liquid, a higher flow.
    Cure: an earlier point, or a faster chain.
    """
    return _share(needed, available, (trip.context.plant.plant.budget_share or 100) / 100)


@rule("1.24", "The trip uses at most half of the time", scope="trip time", severity="warning",
      published="half-of-available-time", basis="common practice, no source",
      needs=("budget.needed", "budget.available"))
def trip_uses_half_of_the_time(_trip: TripTime, needed: float, available: float) -> Answer:
    """Compares the time that the trip needs with half of the time that the process gives.

    The half is a habit, not a requirement; the rule applies only where the plant adopts it.
    Cure: an earlier point, or a faster chain.
    """
    return _share(needed, available, 0.5)


def _share(needed: float, available: float, allowed: float) -> Answer:
    used = needed / available if available > 0 else float("inf")
    said = f"{used:.0%} of {time(available)}" if available > 0 else "no time available"
    return Pass(said) if used <= allowed else Fail(f"it uses {said}, {allowed:.0%} is allowed", said, "act earlier")
