"""Devices as cut and set: rules 8.8 to 8.18."""

from generator.check.absences import missing_of
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import Body, Point
from generator.check.words import height, listed, mm
from generator.model.device import Actuation, Fitting
from generator.model.record import Absence, Outcome, Record, value_of
from generator.model.scalar import Tag

GEOMETRY = "geometry of the device; Archimedes' principle"
PRACTICE = "common practice, no source"


def _acting(point: Point) -> Actuation | None:
    return point.context.results.actuations.get(point.tag)


def _fitting(body: Body) -> Fitting | None:
    return body.context.results.fittings.get(body.tag)


def _lacking(*outcomes: Outcome | None) -> tuple[str, ...]:
    return tuple(dict.fromkeys(field for one in outcomes if isinstance(one, Absence) for field in missing_of(one)))


ACTS_AT_A_PLACE = When("the point acts where its device stands, not by a set point",
                       lambda point: _acting(point) is not None)


@rule("8.8", "The device acts at the height that stands", scope="point", severity="by consequence", basis=GEOMETRY,
      conditions=(ACTS_AT_A_PLACE,))
def device_acts_at_its_height(point: Point) -> Answer:
    """Compares the height at which the geometry of the device makes it act with the height that stands.

    The difference must not be more than the own error that the point states. A device whose place follows from the
    height agrees with it; one in a nozzle, or cut to a recorded length, may not. Cure: another arm, nozzle or length.
    """
    acting = _acting(point)
    error = point.setpoint.error_own if point.setpoint else None
    if acting is None:
        return Missing((f"{point.tag}: in",))
    if lacking := _lacking(acting.difference, error):
        return Missing(lacking)
    difference, allowed = value_of(acting.difference) or 0.0, value_of(error) or 0.0
    said = f"it acts {mm(abs(difference))} {'over' if difference > 0 else 'under'} the height that stands"
    if abs(difference) > allowed + 1e-9:
        return Fail(f"{said}, its error is {mm(allowed)}", f"{mm(difference)} of {mm(allowed)}",
                    "change arm, nozzle or length, or issue the height at which it acts")
    return Pass(said if abs(difference) > 5e-4 else "it acts at the height that stands")


@rule("8.9", "The differential agrees with the geometry", scope="point", severity="warning", basis=GEOMETRY,
      conditions=(ACTS_AT_A_PLACE,))
def differential_agrees(point: Point) -> Answer:
    """Compares the differential that is reckoned with to the one that arm or tether and angles give.

    The two may differ by the own error of the point. Cure: correct the differential, or the angles.
    """
    acting = _acting(point)
    reckoned = point.setpoint.differential if point.setpoint else None
    error = point.setpoint.error_own if point.setpoint else None
    if acting is None or (lacking := _lacking(acting.differential, reckoned, error)):
        return Missing(lacking if acting is not None else (f"{point.tag}: in",))
    found, used, allowed = (value_of(one) or 0.0 for one in (acting.differential, reckoned, error))
    said = f"{mm(found)} by its geometry, {mm(used)} reckoned with"
    return Pass(said) if abs(found - used) <= allowed + 1e-9 else Fail(said, said, "correct the differential or the angles")


@rule("8.10", "The device swings clear", scope="body", severity="warning", basis=GEOMETRY, conditions=(
    When("a float swings on a cable or an arm", lambda body: (
        (made := _fitting(body)) is not None and made.room is not None)),))
def device_swings_clear(body: Body) -> Answer:
    """Compares the free distance round the device with what its tether or arm and its float sweep.

    A float that reaches a wall, a ladder, a pump or another float stays there. Cure: a shorter tether, another place.
    """
    made = _fitting(body)
    room = made.room if made else None
    if lacking := _lacking(room):
        return Missing(lacking)
    left = value_of(room) or 0.0
    said = f"{mm(abs(left))} {'to spare' if left >= 0 else 'short'}"
    return Pass(said) if left >= 0 else Fail(said, said, "shorten the tether, or move the device")


@rule("8.11", "The head has a rod for each point and the reference", scope="body", severity="error", basis=PRACTICE,
      conditions=(When("it has conductive rods with points on them", lambda body: (
          body.instrument.technology == "conductive rods" and bool(body.points))),), needs=("instrument.geometry.rods",))
def head_has_its_rods(body: Body, rods: int) -> Answer:
    """Counts one rod for each point, and one more where a reference electrode is given or the wall does not conduct.

    Cure: a head with more rods, or fewer points on it.
    """
    wanted = len(body.points)
    if body.instrument.geometry.reference_below is not None or body.tank.wall_conducts is False:
        wanted += 1
    said = f"{rods} rods, {wanted} needed"
    return Pass(said) if rods >= wanted else Fail(said, said, "use a head with more rods")


@rule("8.12", "The counterweight hangs clear of the floor", scope="body", severity="warning", basis=PRACTICE, conditions=(
    When("a weight holds its floats", lambda body: ((made := _fitting(body)) is not None and made.weight is not None)),))
def weight_hangs_clear(body: Body) -> Answer:
    """Compares the height of the counterweight with the lowest inside point of the tank.

    A weight that stands on the floor lets the line go slack, and the floats wander. Cure: a shorter line below the
    lowest float.
    """
    made = _fitting(body)
    vessel = body.context.results.tanks[body.instrument.tank].vessel
    if vessel is None or made is None or (lacking := _lacking(made.weight)):
        return Missing(lacking if vessel is not None and made is not None else (f"{body.instrument.tank}: shape",))
    free = (value_of(made.weight) or 0.0) - vessel.bottom
    said = f"{mm(abs(free))} {'over' if free > 0 else 'under'} the floor"
    return Pass(said) if free > 0 else Fail(said, said, "shorten the line under the lowest float")


@rule("8.16", "The float tilts before it meets its counterweight", scope="body", severity="warning", basis=GEOMETRY,
      conditions=(When("a weight holds its floats", lambda body: (
          (made := _fitting(body)) is not None and made.weight_room is not None)),))
def float_clears_the_weight(body: Body) -> Answer:
    """Compares the length of line over the counterweight with what the lowest float, tilted downwards, takes up of it.

    A float that comes to lie on the weight never reaches the angle at which its contact turns over, and the point looks
    wet when the liquid has long gone. Cure: a longer line over the weight, or a shorter free cable.
    """
    made = _fitting(body)
    room = made.weight_room if made else None
    if lacking := _lacking(room):
        return Missing(lacking)
    left = value_of(room) or 0.0
    said = f"{mm(abs(left))} {'to spare' if left >= 0 else 'short'}"
    return Pass(said) if left >= 0 else Fail(said, said, "lengthen the line over the counterweight")


@rule("8.13", "The span of density moves the point by less than its error", scope="point", severity="warning",
      basis="Archimedes' principle", conditions=(
          When("a float or displacer carries the point", lambda point: (
              (made := _acting(point)) is not None and made.shift is not None)),))
def density_moves_it_little(point: Point) -> Answer:
    """Compares what the lightest and the densest liquid move the point with the error that it states.

    Half of the shift lies on each side of the height, since lengths are worked out for the middle of the span.
    Cure: count the shift into the error, or a float that sits less deep.
    """
    acting = _acting(point)
    shift = acting.shift if acting else None
    own = point.setpoint.error_own if point.setpoint else None
    common = point.setpoint.error_common if point.setpoint else None
    if lacking := _lacking(shift, own, common):
        return Missing(lacking)
    half, allowed = (value_of(shift) or 0.0) / 2, (value_of(own) or 0.0) + (value_of(common) or 0.0)
    said = f"{mm(half)} either way, its error is {mm(allowed)}"
    return Pass(said) if half <= allowed + 1e-9 else Fail(said, said, "count the shift into `accuracy`")


@rule("8.17", "The mounting face stands over what hangs from it", scope="body", severity="error", basis=GEOMETRY,
      conditions=(When("its points are measured down from a mounting face", lambda body: (
          (made := _fitting(body)) is not None and isinstance(made.face, Record)
          and any(point.tag in body.context.results.actuations for point in body.points))),))
def face_stands_over_its_points(body: Body) -> Answer:
    """Compares the mounting face with the place of each rod tip, cable fixing, contact or sensing part of the body.

    Below its face a device can be cut and hung, above it nothing can: such a length comes out as nothing or less.
    Cure: correct the mounting face, the height of the nozzle, or the height of the point.
    """
    made = _fitting(body)
    acting = [body.context.results.actuations[point.tag] for point in body.points
              if point.tag in body.context.results.actuations]
    face = value_of(made.face) if made else None
    if face is None or (lacking := _lacking(*(one.fixing for one in acting))):
        return Missing(lacking if face is not None else (f"{body.tag}: mounting_face",))
    over = {one.tag: at for one in acting if (at := value_of(one.fixing)) is not None and at >= face}
    if over:
        tag = max(over, key=lambda one: over[one])
        said = f"face at {height(face)}, {tag} asks for {height(over[tag])}"
        return Fail(said, said, "correct the mounting face, the nozzle or the point", also=tuple(over))
    return Pass(f"face at {height(face)}")


@rule("8.18", "The mounting face agrees with its nozzle", scope="body", severity="warning", basis=GEOMETRY,
      conditions=(When("it sits in a roof nozzle whose height is given, and states a mounting face", lambda body: (
          body.instrument.mounting_face is not None and (nozzle := body.tank.nozzles.get(
              Tag(body.instrument.nozzle or ""))) is not None and nozzle.on == "roof" and nozzle.height is not None)),),
      needs=("instrument.mounting_face", "instrument.accuracy.own"))
def face_agrees_with_its_nozzle(body: Body, face: float, own: float) -> Answer:
    """Compares the mounting face of a device with the height of the roof nozzle in which it sits.

    Every length is measured from the face: what it stands wrong by, every point acts wrong by. The two may differ by the
    own error of the device. Cure: correct one of the two; a spacer or adapter between them is a reason for a waiver.
    """
    nozzle = body.tank.nozzles[Tag(body.instrument.nozzle or "")].height
    at = nozzle.si if nozzle is not None else face
    said = f"face at {height(face)}, {body.instrument.nozzle} at {height(at)}"
    if abs(face - at) > own + 1e-9:
        return Fail(said, said, "correct the mounting face or the height of the nozzle")
    return Pass(said)


@rule("8.14", "The guide tube reaches below its lowest contact", scope="body", severity="error", basis=GEOMETRY, conditions=(
    When("it is a guide tube with points on it", lambda body: (
        body.instrument.technology == "guide tube float" and _fitting(body) is not None)),),
    needs=("instrument.geometry.tube_length", "instrument.geometry.magnet_height"))
def tube_reaches_its_lowest_contact(body: Body, tube: float, magnet: float) -> Answer:
    """Compares the length of the tube with its lowest contact and the part of the float that then hangs under it.

    A tube that ends sooner has its stop in the way of the float, and the contact is never reached. Cure: a longer tube,
    or a higher point.
    """
    acting = [body.context.results.actuations[point.tag] for point in body.points]
    if lacking := _lacking(*(one.below_face for one in acting)):
        return Missing(lacking)
    lowest = max((value_of(one.below_face) or 0.0 for one in acting), default=0.0) + magnet
    said = f"tube {mm(tube)}, float at its lowest contact down to {mm(lowest)}"
    return Pass(said) if tube >= lowest - 1e-9 else Fail(said, said, "use a longer tube")


@rule("8.15", "The points of one float share one fixing", scope="body", severity="error", basis=GEOMETRY, conditions=(
    When("several points name one float on a cable or an arm", lambda body: bool(_shared(body))),))
def points_share_one_fixing(body: Body) -> Answer:
    """Compares the heights at which one float would have to be fixed for each of the points that name it as their `rod`.

    One float acts once over its fixing and once under it. Where two points ask for two fixings, one of them will not
    act where it is issued. Cure: heights that are one span apart, another free length, or two floats.
    """
    worst, allowed = 0.0, 0.0
    tags: tuple[str, ...] = ()
    for points in _shared(body):
        fixings = [body.context.results.actuations[point.tag].fixing for point in points]
        errors = [point.setpoint.error_own if point.setpoint else None for point in points]
        if lacking := _lacking(*fixings, *errors):
            return Missing(lacking)
        heights = [value_of(one) or 0.0 for one in fixings]
        if max(heights) - min(heights) >= worst:
            worst, tags = max(heights) - min(heights), tuple(point.tag for point in points)
            allowed = max((value_of(one) or 0.0 for one in errors), default=0.0)
    said = f"{listed(tags)} ask for fixings {mm(worst)} apart"
    if worst > allowed + 1e-9:
        return Fail(said, said, "issue heights that are one span apart, or use two floats", also=tags)
    return Pass(said)


def _shared(body: Body) -> list[list[Point]]:
    """Points of the body that name the same float, where that float turns about a fixing that follows from them."""
    together: dict[str, list[Point]] = {}
    for point in body.points:
        acting = _acting(point)
        if point.switch.rod is not None and acting is not None and acting.family in ("cable", "lever"):
            together.setdefault(str(point.switch.rod), []).append(point)
    return [points for points in together.values() if len(points) > 1]
