"""The height of one point: rules 1.11 to 1.20 and 1.25 to 1.27."""

from generator.check.absences import missing_of
from generator.check.conditions import ALARM_OR_TRIP, FALLING, NO_SPILL_DETECTOR, OF_A_TRIP, RISING
from generator.check.overshoots import overshoot
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import Point
from generator.check.words import height, listed, mm
from generator.model.need import Covers
from generator.model.record import Absence
from generator.model.results import Band, NeedResult
from generator.model.scalar import Tag

PRACTICE = "common practice, no source"


@rule("1.11", "The point acts below the overflow", scope="point", severity="error", basis=PRACTICE,
      conditions=(RISING, NO_SPILL_DETECTOR), needs=("setpoint.act",))
def point_acts_below_the_overflow(point: Point, act: Band) -> Answer:
    """Compares the upper edge of the act band, and what the level still rises at the worst rate during response and delays,
    with the invert of the overflow; in a tank without one, with the rim or the lowest opening.

    Liquid that has reached the overflow leaves; a point at or above it may never be reached, and one that waits too long acts
    when liquid is lost already. A point that is there to detect a spill is excluded.
    Cure: lower the point, shorten its delay, or give it the role `spill detection`.
    """
    way_out = _way_out(point)
    if way_out is None:
        return Missing((f"{point.tank_tag}: levels.overflow",))
    name, out = way_out
    passed = overshoot(point) if act.high < out else 0.0
    if isinstance(passed, Missing):
        return passed
    room, after = out - act.high - passed, f", {mm(passed)} of which the level rises while it waits" if passed > 0 else ""
    if room > 0:
        return Pass(f"latest action {mm(room)} below the {name}")
    return Fail(f"it can act as late as {height(act.high + passed)}{after}, the {name} stands at {height(out)}",
                f"{mm(-room)} above the {name}", "lower the point or shorten its delay" if after else "lower the point",
                at=point.switch.height.place)


def _way_out(point: Point) -> tuple[str, float] | None:
    """The overflow of the point's tank; without one, the lower of rim and lowest opening; None where none is recorded."""
    levels = point.tank.levels
    if levels.overflow is not None:
        return "overflow", levels.overflow.si
    others = [(name, stated.si) for name, stated in (("rim", levels.rim), ("lowest opening", levels.lowest_opening))
              if stated is not None]
    return min(others, key=lambda one: one[1], default=None)


@rule("1.12", "The point acts below the rim and every opening", scope="point", severity="error", basis=PRACTICE,
      conditions=(RISING,), needs=("setpoint.act", "tank.levels.rim"))
def point_acts_below_the_rim(point: Point, act: Band, rim: float) -> Answer:
    """Compares the upper edge of the act band with the lowest of rim and other openings, spill detectors included.

    Liquid cannot rise above the lowest way out. Edges alone count: this asks whether the point can be reached at all. What the
    level still rises until the point has acted counts against the overflow, where the worst rate ends.
    Cure: lower the point, or correct the surveyed height of the rim.
    """
    opening = point.tank.levels.lowest_opening
    ceiling = min(rim, opening.si) if opening else rim
    room = ceiling - act.high
    if room > 0:
        return Pass(f"latest action {mm(room)} below it")
    return Fail(f"it can act as late as {height(act.high)}, the liquid leaves at {height(ceiling)}",
                f"{mm(-room)} above the lowest way out", "lower the point", at=point.switch.height.place)


@rule("1.13", "The issued height can be set on the device", scope="point", severity="error", basis=PRACTICE,
      conditions=(When("a height is issued", lambda point: point.switch.height.issued is not None),),
      needs=("switch.height.issued", "setpoint.reachable"))
def issued_height_is_within_reach(point: Point, issued: float, reachable: Band) -> Answer:
    """Compares the issued height with what nozzle, mounting and length of the device allow.

    Nobody can cut a rod or a cable for a height outside it; the fitter then chooses another one.
    Cure: another nozzle, another length, or another height.
    """
    if reachable.low - 1e-6 <= issued <= reachable.high + 1e-6:
        return Pass(f"reach {height(reachable.low)} to {height(reachable.high)}")
    by = reachable.low - issued if issued < reachable.low else issued - reachable.high
    side = "below" if issued < reachable.low else "above"
    return Fail(f"{height(issued)} is {mm(by)} {side} the reach of {height(reachable.low)} to {height(reachable.high)}",
                f"{mm(by)} {side} the reach", "change nozzle, length or height",
                at=point.switch.height.place_of("issued"))


@rule("1.14", "The height meets each of its needs", scope="point", severity="by consequence", basis=PRACTICE,
      conditions=(When("the height states needs", lambda point: bool(point.switch.height.needs)),),
      needs=("setpoint.needs", "setpoint.stands"))
def height_meets_each_need(point: Point, needs: tuple[NeedResult, ...], _stands: float) -> Answer:
    """Works out the height that each need asks for and compares the height that stands with it.

    The evidence names the shortfall in millimetres, so that a waiver binds to that shortfall and no worse one; where no
    height inside the tank keeps the need, it says that the tank cannot hold it.
    A need that fixes the height with `at` is exact: a lower or a higher stand falls short on the safe side too.
    Cure: move the point, or change what makes the need.
    """
    short = [need for need in needs if need.slack is not None and need.slack < -1e-6]
    if short:
        said = "; ".join(_short(need, -(need.slack or 0)) for need in short)
        conflict = point.setpoint.conflict if point.setpoint else ""
        return Fail(f"{said}; {conflict}" if conflict else said, said, "move the point or change what makes the need",
                    at=short[0].place)
    gaps = [field for need in needs if isinstance(need.limit, Absence)
            for field in missing_of(need.limit)]
    if gaps:
        return Missing(tuple(dict.fromkeys(gaps)))
    spare = min((need.slack for need in needs if need.slack is not None), default=0.0)
    return Pass(f"the tightest is met with {mm(spare)} to spare")


def _short(need: NeedResult, by: float) -> str:
    if need.is_beyond:
        return f"{need.words}: the tank cannot hold it"
    if need.sense == "exactly":
        return f"{need.words} exactly, on whichever side: {mm(by)} off"
    return f"{need.words}: short by {mm(by)}"


@rule("1.15", "The height has a basis", scope="point", severity="warning", basis="IEC 61511-1:2016, 10.3 (from memory)")
def height_has_a_basis(point: Point) -> Answer:
    """Asks for needs from which the height follows, or for a reason in words.

    A number without its reason cannot be reviewed and is not corrected when the plant changes.
    Cure: state `needs`, or `because` with the source.
    """
    if point.switch.height.needs or point.switch.height.because:
        return Pass(f"{len(point.switch.height.needs)} needs" if point.switch.height.needs else "a reason is stated")
    return Fail("neither needs nor a reason are stated", "no basis", "state `needs` or `because`",
                at=point.switch.height.place)


@rule("1.16", "The height is issued", scope="point", severity="warning", basis=PRACTICE)
def height_is_issued(point: Point) -> Answer:
    """Asks for the height that people cut rods to and configure.

    Without it the height shown is a proposal that moves whenever an input changes, and the document stays a draft.
    Cure: accept the proposal by writing it as `issued`.
    """
    if point.switch.height.issued is not None:
        return Pass(f"issued {point.switch.height.issued.written}")
    stands = point.setpoint.stands if point.setpoint else None
    said = f"proposed {height(stands)}" if stands is not None else "neither issued nor proposed"
    return Fail(said, "not issued", "write the height as `issued`", at=point.switch.height.place)


@rule("1.17", "The point was found where it is issued", scope="point", severity="by consequence", basis=PRACTICE,
      conditions=(When("the field measured it", lambda point: point.switch.height.as_left is not None),),
      needs=("setpoint.issued", "setpoint.as_left", "setpoint.error_own"))
def found_height_agrees_with_issued(_point: Point, issued: float, found: float, error: float) -> Answer:
    """Compares the measured height with the issued one; the point's own error may lie between them.

    A larger difference means that times and gaps in this document are not those of the plant.
    Cure: set the device, or issue the measured height after checking what rests on it.
    """
    by = found - issued
    if abs(by) <= error + 1e-9:
        return Pass(f"{mm(by)} apart")
    return Fail(f"measured {height(found)}, issued {height(issued)}", f"{mm(by)} apart, error {mm(error)}",
                "set the device or issue the measured height")


@rule("1.18", "A high point lets go above the normal band", scope="point", severity="warning",
      basis="ANSI/ISA-18.2-2016, alarm deadband (from memory)", conditions=(ALARM_OR_TRIP, RISING),
      needs=("setpoint.reset", "tank.levels.normal_high"))
def high_point_resets_above_the_normal_band(_point: Point, reset: Band, normal: float) -> Answer:
    """Compares the lower edge of the reset band with the top of the normal band.

    A point that lets go only inside the band stays on in ordinary running, and the alarm stands. A delay does not count: it
    only lets the point go later, however long the level then stays in the band.
    Cure: a smaller differential, a higher point or a lower normal band.
    """
    room = reset.low - normal
    if room > 0:
        return Pass(f"{mm(room)} above the normal band")
    return Fail(f"it can stay on down to {height(reset.low)}, the normal band ends at {height(normal)}",
                f"{mm(-room)} inside the normal band", "reduce the differential")


@rule("1.19", "A low point lets go below the normal band", scope="point", severity="warning",
      basis="ANSI/ISA-18.2-2016, alarm deadband (from memory)", conditions=(ALARM_OR_TRIP, FALLING),
      needs=("setpoint.reset", "tank.levels.normal_low"))
def low_point_resets_below_the_normal_band(_point: Point, reset: Band, normal: float) -> Answer:
    """Compares the upper edge of the reset band with the foot of the normal band.

    The mirror of the rule for high points.

    Cure: a smaller differential, a lower point or a higher normal band.
    """
    room = normal - reset.high
    if room > 0:
        return Pass(f"{mm(room)} below the normal band")
    return Fail(f"it can stay on up to {height(reset.high)}, the normal band begins at {height(normal)}",
                f"{mm(-room)} inside the normal band", "reduce the differential")


@rule("1.20", "The differential is wider than the waves", scope="point", severity="warning",
      basis="ANSI/ISA-18.2-2016, deadband and delay against chatter (from memory)",
      needs=("setpoint.differential", "waves.peak_to_peak"),
      conditions=(When("the point itself states no delay", lambda point: point.switch.on_delay is None),))
def differential_is_wider_than_the_waves(_point: Point, differential: float, waves: float) -> Answer:
    """Compares the distance between acting and returning with the waves from trough to crest.

    With less, each wave moves the contact: pumps start and stop by the second, and alarms come in floods.
    A stated `on_delay` answers it as well. Cure: a wider differential, a delay, or a stilling well.
    """
    if differential > waves:
        return Pass(f"{mm(differential)} against waves of {mm(waves)}")
    return Fail(f"{mm(differential)} against waves of {mm(waves)}", f"{mm(differential)} of {mm(waves)}",
                "widen it, or state an `on_delay`")


@rule("1.25", "A low trip acts while heaters and agitators are still covered", scope="point", severity="by consequence",
      basis=PRACTICE, conditions=(OF_A_TRIP, FALLING, When(
          "its interlock switches a heater or agitator off", lambda point: bool(_machines_inside(point)))),
      needs=("setpoint.act",))
def low_trip_keeps_machines_covered(point: Point, act: Band) -> Answer:
    """Compares the lower edge of the act band, less what the level falls at the worst rate during response and delays, with
    every mark that a `covers` need of the point names.

    A heater that runs dry burns out and can set fire to vapour; an agitator that runs in the surface shakes.
    Cure: state the mark and the `covers` need, then raise the point.
    """
    covers = [need for need in point.switch.height.needs if isinstance(need, Covers)]
    if not covers:
        return Fail(f"no `covers` need says what {listed(_machines_inside(point))} must keep over it",
                    "no `covers` need",
                    "add the mark to the tank and a `covers` need to the point", at=point.switch.height.place)
    passed = overshoot(point)
    if isinstance(passed, Missing):
        return passed
    lowest = act.low - passed
    for need in covers:
        mark = point.tank.marks.get(Tag(need.covers))
        if mark is None:
            return Missing((f"{point.tank_tag}: marks.{need.covers}",))
        room = lowest - mark.height.si - (need.by.si if need.by else 0.0)
        if room < -1e-9:
            return Fail(f"it can act as late as {mm(-room)} below the cover of {need.covers}",
                        f"{mm(-room)} too late for {need.covers}", "raise the point", at=need.place)
    return Pass(f"{listed(str(need.covers) for need in covers)} still covered at {height(lowest)}")


def _machines_inside(point: Point) -> tuple[str, ...]:
    plant = point.context.plant
    return tuple(
        element for lock in plant.interlocks_of_cause[point.tag] for element in plant.interlocks[lock].then
        if element in plant.equipment and plant.equipment[element].kind in ("heater", "agitator")
    )


@rule("1.26", "The next level below the critical one keeps the published gap", scope="point", severity="warning",
      published="overfill-gap", basis="API Std 2350, levels of concern, as summarised in trade press",
      conditions=(OF_A_TRIP, RISING), needs=("setpoint.stands", "tank_result.filling", "tank_result.vessel"))
def high_trip_keeps_the_published_gap(point: Point, stands: float, filling: float, _vessel: object) -> Answer:
    """Compares the gap below the overflow (without one: below the rim or the lowest opening) with what five minutes of
    filling bring, 75 mm at the least.

    Time and height come from the published rule that the plant adopts. The gap is a floor between levels and not the
    time that an operator needs; the rule sets it between the heights, so that errors and delays do not count.
    Cure: a lower point or less inflow.
    """
    published = point.context.knowledge.rules.get("overfill-gap")
    shape = point.tank_result.vessel if point.tank_result else None
    if published is None or published.time is None or published.height is None or shape is None:
        return Missing(("overfill-gap: time and height of the published rule",))
    way_out = _way_out(point)
    if way_out is None:
        return Missing((f"{point.tank_tag}: levels.overflow",))
    name, overflow = way_out
    by_time = overflow - shape.level_at(shape.volume_at(overflow) - filling * published.time)
    asked = max(by_time, published.height)
    gap = overflow - stands
    if gap >= asked - 1e-9:
        return Pass(f"gap {mm(gap)} below the {name}, asked {mm(asked)}")
    return Fail(f"gap {mm(gap)} below the {name}, asked {mm(asked)}", f"gap {mm(gap)} of {mm(asked)}", "lower the point")


@rule("1.27", "A point in an unusual place says why", scope="point", severity="note", basis=PRACTICE,
      conditions=(When("the point detects a spill or acts away from the danger", lambda point: (
          point.switch.role == "spill detection" or _acts_inside_the_band(point))),))
def unusual_place_has_a_purpose(point: Point) -> Answer:
    """Asks for `purpose` on a point that stands where nobody expects it.

    A spill detector over the overflow, or an alarm inside the normal band, is else corrected by the next reader.
    Cure: state `purpose`.
    """
    if point.switch.purpose:
        return Pass("a purpose is stated")
    return Fail("no purpose is stated", "no purpose", "state `purpose`")


def _acts_inside_the_band(point: Point) -> bool:
    levels = point.tank.levels
    stands = point.setpoint.stands if point.setpoint else None
    if stands is None or levels.normal_low is None or levels.normal_high is None:
        return False
    return point.switch.role in ("alarm", "trip") and levels.normal_low.si <= stands <= levels.normal_high.si
