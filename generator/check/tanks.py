"""Levels of a tank against each other: rules 1.1 to 1.7."""

from itertools import pairwise

from generator.check.absences import missing_of
from generator.check.context import Context
from generator.check.overshoots import overshoot
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import OfTank, Pair
from generator.check.words import height, listed, mm
from generator.model.interlock import StartStop
from generator.model.record import Absence, value_of
from generator.model.results import Band, TankResult, Vessel
from generator.model.scalar import Tag

Step = tuple[str, str, float, float, str]
"""Lower name, upper name, their heights, and why the one belongs below the other."""


def empties(context: Context, tank: str, moves: str) -> bool | None:
    """Whether what a control moves takes liquid out of a tank; None where the definitions do not say."""
    plant = context.plant
    elements = {moves, *plant.members_of(moves)}
    if any(pump.suction.tank == tank for one in elements if (pump := plant.pumps.get(Tag(one))) is not None):
        return True
    for streams, answer in ((plant.inflows_of[tank], False), (plant.outflows_of[tank], True)):
        for tag in streams:
            stream = plant.streams[tag]
            if stream.moved_by in elements or elements & set(stream.through):
                return answer
    return None


def _control_steps(subject: OfTank, heights: dict[str, float]) -> tuple[list[Step], list[str]]:
    steps: list[Step] = []
    unknown: list[str] = []
    for tag in subject.context.plant.controls_of_tank[subject.tag]:
        control = subject.context.plant.controls[tag]
        if not isinstance(control, StartStop):
            continue
        out = empties(subject.context, subject.tag, control.moves)
        if out is None:
            unknown.append(f"{control.moves}: stream that it moves")
            continue
        order = [control.stops, *control.starts] if out else [*reversed(control.starts), control.stops]
        known = [point for point in order if point in heights]
        why = f"{tag} {'empties' if out else 'fills'} the tank"
        steps += [(low, up, heights[low], heights[up], why) for low, up in pairwise(known)]
    return steps, unknown


def _layer_steps(_subject: OfTank, result: TankResult) -> list[Step]:
    run: dict[str, list[tuple[str, float]]] = {}
    for level in result.levels:
        run.setdefault(f"{level.kind} {level.direction}".strip(), []).append((level.key, level.height))
    control = [*run.get("control rising", []), *run.get("control falling", [])]
    layers = [
        (run.get("trip falling", []), control, "a low trip acts after ordinary running"),
        (run.get("alarm falling", []), control, "a low alarm acts after ordinary running"),
        (control, run.get("alarm rising", []), "a high alarm acts after ordinary running"),
        (control, run.get("trip rising", []), "a high trip acts after ordinary running"),
    ]
    return [(low, up, low_at, up_at, why) for lows, ups, why in layers for low, low_at in lows for up, up_at in ups]


def _alarm_steps(subject: OfTank, heights: dict[str, float]) -> list[Step]:
    plant = subject.context.plant
    steps: list[Step] = []
    for tag in subject.context.alarms_of_tank.get(subject.tag, ()):
        alarm = plant.alarms[Tag(tag)]
        follow = [alarm.before] if alarm.before in plant.switches else (
            list(plant.interlocks[alarm.before].when.tags()) if alarm.before in plant.interlocks else [])
        if alarm.from_ not in heights:
            continue
        for trip in follow:
            if trip in heights and plant.switches[trip].acts == plant.switches[alarm.from_].acts:
                low, up = (alarm.from_, trip) if plant.switches[trip].acts == "rising" else (trip, alarm.from_)
                steps.append((low, up, heights[low], heights[up], f"{tag} comes before {trip}"))
    return steps


@rule("1.1", "The levels of the tank stand in the order of its duty", scope="tank", severity="error",
      basis="Order of levels implied by API Std 2350; by duty: common practice, no source",
      needs=("result", "tank.duty"))
def levels_are_in_order(subject: OfTank, result: TankResult, duty: str) -> Answer:
    """Compares the heights that stand, from the lowest trip to the rim.

    Ordinary running lies in the middle: for a tank that is emptied the stop stands below the starts, for one that
    is filled above them, and the duty start acts before the starts that help it. Alarms and trips lie outside it on
    their own side, and an alarm comes before the trip that it names. The overflow is not above the rim.

    An order that is wrong means that a trip acts in ordinary running or that a pump never stops by itself. Heights alone
    count here; whether errors, waves and delays can turn the order round is asked of each pair of neighbours.
    Cure: correct the issued height, the direction of the point, or the duty of the tank.
    """
    heights = {level.key: level.height for level in result.levels}
    steps, unknown = _control_steps(subject, heights)
    steps += _layer_steps(subject, result) + _alarm_steps(subject, heights)
    if "overflow" in heights and "rim" in heights and heights["overflow"] > heights["rim"]:
        steps.append(("overflow", "rim", heights["overflow"] + 1e-9, heights["rim"], "the overflow is below the rim"))
    wrong = [f"{low} at {height(low_at)} is not below {up} at {height(up_at)} ({why})"
             for low, up, low_at, up_at, why in steps if low_at >= up_at]
    if wrong:
        return Fail("; ".join(dict.fromkeys(wrong)), "; ".join(dict.fromkeys(wrong)),
                    "correct the height, the direction or the duty")
    if unknown:
        return Missing(tuple(unknown))
    return Pass(f"{len(steps)} steps of the order hold for a tank whose duty is: {duty}")


@rule("1.2", "Neighbouring points cannot change places", scope="pair", severity="by consequence",
      basis="common practice, no source; the common error of one body cancels between its points",
      conditions=(When("the two are not members of one vote", lambda pair: not pair.one_vote),),
      needs=("lower.setpoint.act", "upper.setpoint.act"))
def neighbouring_points_cannot_swap(pair: Pair, lower: Band, upper: Band) -> Answer:
    """Compares the upper edge of the lower point with the lower edge of the upper one.

    Each point acts somewhere in a band about its height: its error and the waves. Where two bands overlap, the second
    point can act first, and an alarm can come after its trip. Between two points of one body the error that both share
    moves both the same way and is left out. Where both act in one direction, the one that the level meets first acts only
    after its response and its delays, and the level goes on meanwhile at the worst rate: that counts. On the delay of the
    second nobody may count. Points of one body share the response, so that it is left out too.
    Cure: move one of them, use a more exact device, shorten the delay of the first, or calm the waves.
    """
    gap, within = upper.low - lower.high, pair.lower.switch.in_ == pair.upper.switch.in_
    if within:
        common = pair.lower.setpoint.error_common if pair.lower.setpoint else None
        gap += 2 * (getattr(common, "value", 0.0))
    if gap <= 1e-9:
        return Fail(f"the edges overlap: {pair.lower.tag} can act up to {height(lower.high)}, {pair.upper.tag} from "
                    f"{height(upper.low)}", f"edges {mm(gap)}", "move one of the two points")
    if pair.lower.switch.acts != pair.upper.switch.acts:
        return Pass(f"edges are {mm(gap)} apart")
    first, second = (pair.lower, pair.upper) if pair.lower.switch.acts == "rising" else (pair.upper, pair.lower)
    passed = overshoot(first, within)
    if isinstance(passed, Missing):
        return passed
    said = f"edges are {mm(gap)} apart" + (
        f", the level moves {mm(passed)} until {first.tag} has acted" if passed > 0 else "")
    if gap - passed > 1e-9:
        return Pass(said)
    return Fail(f"{said}: {second.tag} can act before it", f"edges {mm(gap)}, {mm(passed)} until {first.tag} has acted",
                "move one of the two points or shorten the delay")


@rule("1.3", "The tank states its normal band", scope="tank", severity="warning",
      basis="common practice, no source; a normal level that nobody defined is a listed contributor to overfills")
def normal_band_is_stated(subject: OfTank) -> Answer:
    """Asks for the foot and the top of the band in which the level ordinarily lies.

    An operator judges from it whether a reading is odd, and several other rules compare with it.
    Cure: state `levels.normal_low` and `levels.normal_high`.
    """
    low, high = subject.tank.levels.normal_low, subject.tank.levels.normal_high
    if low is None or high is None:
        gone = [key for key, value in (("normal_low", low), ("normal_high", high)) if value is None]
        return Fail(f"{listed(gone)} not stated", f"without {listed(gone)}", "state the normal band in `levels`")
    return Pass(f"{height(low.si)} to {height(high.si)}")


@rule("1.4", "The overflow stands below the rim and every other opening", scope="tank", severity="by consequence",
      basis="common practice, no source", needs=("tank.levels.rim", "result.overflow_head"),
      conditions=(When("the tank has an overflow", lambda tank: tank.tank.levels.overflow is not None),))
def overflow_runs_before_the_rim(subject: OfTank, rim: float, head: float) -> Answer:
    """Adds the head over the overflow at full inflow to its invert and compares with rim and lowest other opening.

    Liquid leaves by the lowest way out. If that is a manhole or the rim, it does not reach the place that was made
    to take it. Cure: lower the overflow, widen it, or close the opening.
    """
    levels = subject.tank.levels
    overflow = levels.overflow.si if levels.overflow else 0.0
    ways = {"rim": rim} | ({"lowest opening": levels.lowest_opening.si} if levels.lowest_opening else {})
    name = min(ways, key=lambda way: ways[way])
    room = ways[name] - overflow - head
    if room >= 0:
        return Pass(f"{mm(room)} below the {name} with the whole inflow running over")
    return Fail(f"with the whole inflow running over, the liquid stands {mm(-room)} above the {name}",
                f"{mm(room)} to the {name}", "lower or widen the overflow")


@rule("1.5", "The overflow carries the whole inflow to a safe place", scope="tank", severity="by consequence",
      basis="common practice, no source", needs=("result.filling",),
      conditions=(When("the tank has an overflow", lambda tank: tank.tank.levels.overflow is not None),))
def overflow_carries_the_inflow(subject: OfTank, filling: float) -> Answer:
    """Compares what the overflow passes with the worst net filling rate, and asks where it leads.

    An overflow that is too small only delays the spill, and one that ends on a walkway moves it. Either is enough to fail,
    whether or not the other is recorded. Cure: a wider overflow, less inflow, or a declared safe place.
    """
    capacity = subject.result.overflow_capacity if subject.result else None
    carries = value_of(capacity)
    safe = subject.tank.overflow.safe if subject.tank.overflow else None
    if carries is not None and carries < filling:
        return Fail(f"it passes {carries * 3600:.4g} m3/h of {filling * 3600:.4g} m3/h",
                    f"short by {(filling - carries) * 3600:.4g} m3/h", "widen the overflow or limit the inflow")
    if safe is False:
        return Fail("its end is declared not safe to receive the liquid", "not safe", "lead it to a safe place")
    if carries is None or safe is None:
        unknown = () if carries is not None else missing_of(capacity) if isinstance(capacity, Absence) else (
            f"{subject.tag}: overflow.carries",)
        return Missing((*unknown, *((f"{subject.tag}: overflow.safe",) if safe is None else ())))
    return Pass(f"it passes {carries * 3600:.4g} m3/h, the worst filling is {filling * 3600:.4g} m3/h")


@rule("1.6", "Pumps start before the inlet is surcharged", scope="tank", severity="warning",
      published="start-below-inlet", basis="30 Tex. Admin. Code 217.60(a)(1)", needs=("result",),
      conditions=(When("the tank has a gravity inlet", lambda tank: tank.tank.levels.inlet is not None),))
def pumps_start_below_the_inlet(subject: OfTank, result: TankResult) -> Answer:
    """Compares the upper edge of every start point with the invert of the gravity inlet.

    A level above the invert backs up the sewer: it settles out there, and what lies upstream is flooded first.
    The published rule asks for the setting of the start, so that what the level still rises until the pump runs is not counted.
    Cure: lower the start points or state the surcharge and show that it does no harm.
    """
    inlet = subject.tank.levels.inlet
    invert = inlet.si if inlet else 0.0
    starts = [point for tag in subject.context.plant.controls_of_tank[subject.tag]
              if isinstance(control := subject.context.plant.controls[tag], StartStop) for point in control.starts]
    levels = {level.key: level for level in result.levels if level.key in starts}
    unknown = [point for point in starts if point not in levels or levels[point].band is None]
    if unknown:
        return Missing(tuple(f"{point}: {'accuracy' if point in levels else 'height.issued'}" for point in unknown))
    high = [level for level in levels.values() if level.band and level.band.high > invert]
    if not high:
        return Pass(f"every start is below {height(invert)}")
    worst = max(high, key=lambda level: level.height)
    over = worst.band.high - invert if worst.band else 0.0
    return Fail(f"{worst.key} can act {mm(over)} above the invert of the inlet", f"{mm(over)} above the inlet",
                "lower the start points", at=worst.place, also=(worst.key,))


@rule("1.7", "The shape of the tank reaches its levels", scope="tank", severity="error",
      basis="common practice, no source", needs=("result.vessel",))
def levels_lie_inside_the_shape(subject: OfTank, vessel: Vessel) -> Answer:
    """Asks that overflow, normal band and every point lie between the lowest and the highest of the inside shape.

    A height outside the shape is a wrong datum, a wrong unit or a wrong dimension, and every volume and time that
    rests on it is wrong too. Cure: correct the datum, the dimension or the height.
    """
    levels = subject.result.levels if subject.result else ()
    outside = [level for level in levels
               if not vessel.bottom - 1e-6 <= level.height <= vessel.top + 1e-6 and level.key not in ("rim",)]
    if not outside:
        return Pass(f"all between {height(vessel.bottom)} and {height(vessel.top)}")
    said = listed(f"{level.key} at {height(level.height)}" for level in outside)
    return Fail(f"{said}, the shape reaches from {height(vessel.bottom)} to {height(vessel.top)}", said,
                "were millimetres meant? Correct the unit" if any(
                    vessel.bottom <= level.height / 1000 <= vessel.top for level in outside if abs(level.height) > 100)
                else "correct the datum, the dimension or the height", at=outside[0].place)
