"""How devices are built in: rules 8.1 to 8.9."""

from itertools import pairwise

from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import Body, Point
from generator.check.words import height, listed, mm
from generator.model.scalar import Tag

PRACTICE = "common practice, no source"


@rule("8.1", "The points of a body keep the spacing that it needs", scope="body", severity="warning",
      basis="the device's papers", conditions=(When("it has several points", lambda body: len(body.points) > 1),
                                               When("the device gives contacts", lambda body: (
                                                   body.instrument.signal == "contact")),
                                               When("its points are no rods, each with a tip of its own", lambda body: (
                                                   body.instrument.technology != "conductive rods"))),
      needs=("instrument.geometry.least_spacing",))
def points_keep_their_spacing(body: Body, least: float) -> Answer:
    """Compares neighbouring points of one body with the least distance that its maker allows.

    Closer contacts cannot be built, or act on one magnet together. Cure: move a point, or a second body.
    """
    heights = sorted((point.setpoint.stands, point.tag) for point in body.points
                     if point.setpoint and point.setpoint.stands is not None)
    close = [(low, up) for low, up in pairwise(heights) if up[0] - low[0] < least - 1e-9]
    if close:
        (low, one), (up, other) = close[0]
        return Fail(f"{one} and {other} are {mm(up - low)} apart, {mm(least)} needed",
                    f"{mm(up - low)} of {mm(least)}", "move one of them", also=(one, other))
    return Pass(f"at least {mm(least)} apart")


@rule("8.2", "The points lie outside the blind zone", scope="body", severity="error", basis="the device's papers",
      conditions=(When("it looks from above", lambda body: body.instrument.technology in (
          "free space radar", "guided radar", "ultrasonic gap") and body.instrument.signal == "4-20 mA"),
          When("points are set on it", lambda body: bool(body.points))),
      needs=("instrument.mounting_face", "instrument.geometry.dead_band"))
def points_lie_outside_the_blind_zone(body: Body, face: float, dead: float) -> Answer:
    """Compares the upper edge of every point with the mounting face less the zone in which the device sees nothing.

    In it an overfilled tank reads as a steady level. Cure: mount the device higher.
    """
    edge = face - dead
    inside = [point.tag for point in body.points if point.setpoint and point.setpoint.act
              and point.setpoint.act.high > edge]
    if inside:
        return Fail(f"{listed(inside)} can act above {height(edge)}", f"{listed(inside)} in the blind zone",
                    "mount the device higher", also=tuple(inside))
    return Pass(f"blind above {height(edge)}")


@rule("8.3", "What shuts off the nozzle is recorded", scope="body", severity="note", basis=PRACTICE,
      conditions=(When("it sits in a nozzle of the wall or floor", lambda body: (
          (nozzle := body.tank.nozzles.get(Tag(body.instrument.nozzle or ""))) is not None and nozzle.on != "roof")),))
def nozzle_isolation_is_recorded(body: Body) -> Answer:
    """Asks how the device can be taken out under liquid; `none` is an answer too.

    Who lifts it must know. Cure: state `isolated_by` of the nozzle.
    """
    nozzle = body.tank.nozzles.get(Tag(body.instrument.nozzle or ""))
    if nozzle is not None and nozzle.isolated_by:
        return Pass(str(nozzle.isolated_by))
    return Fail("not stated", "isolation not stated", "state `isolated_by`", at=nozzle.place if nozzle else None)


@rule("8.4", "The point can be tried", scope="point", severity="warning", basis="PSLG, proof testing", conditions=(
    When("the point trips", lambda point: point.switch.role == "trip"),), needs=("instrument.test_means",))
def point_can_be_tried(_point: Point, means: str) -> Answer:
    """Asks for a lever, a magnet, a lift or another way to try the point without driving the tank to it.

    What cannot be tried is not tried. Cure: a device with a test means.
    """
    return Pass(means) if means != "none" else Fail("there is no way to try it", "no test means",
                                                    "use a device that can be tried")


@rule("8.5", "The sensor is tended without entry", scope="body", severity="warning", published="service-without-entry",
      basis="30 Tex. Admin. Code 217.60(a)(3) and (b)(3)", conditions=(
          When("it sits in a wet well", lambda body: bool(body.tank.surroundings.wet_well)),),
      needs=("instrument.test_means",))
def sensor_is_tended_without_entry(_body: Body, means: str) -> Answer:
    """Asks for a means of trying the device that needs nobody in the well.

    Cure: a device that can be lifted out.
    """
    return Pass(means) if means != "none" else Fail("it can only be reached inside", "only from inside",
                                                    "let it be lifted out")


@rule("8.6", "The point was seen as built", scope="point", severity="warning", basis=PRACTICE, conditions=(
    When("the document claims to be as built", lambda point: point.context.plant.plant.document.status == "as built"),))
def point_was_seen_as_built(point: Point) -> Answer:
    """Asks who walked down the point, and when, before the document says that the plant is so.

    Cure: state `verified`.
    """
    if point.switch.verified:
        return Pass(f"{point.switch.verified.by}, {point.switch.verified.on.isoformat()}")
    return Fail("nobody has confirmed it", "not confirmed", "state `verified`")


@rule("8.7", "The wiring of the device is recorded", scope="body", severity="note", basis=PRACTICE,
      conditions=(When("points are set on it", lambda body: bool(body.points)),))
def wiring_is_recorded(body: Body) -> Answer:
    """Asks for panel and terminals, so that somebody finds the two ends of the wire at night.

    Cure: state `wiring` with `terminals`.
    """
    wiring = body.instrument.wiring
    if wiring is None or wiring.terminals is None:
        return Fail("panel or terminals are not stated", "wiring not stated", "state `wiring` with `terminals`")
    return Pass(f"{wiring.panel}, {wiring.terminals}")
