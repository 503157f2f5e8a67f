"""Devices against the liquid and the place: rules 7.1 to 7.13, most of them answered by the worked-out suitability."""

from math import inf

from generator.check.judged import answer, judged_by
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import Body
from generator.check.words import height, listed, mm

PRACTICE = "common practice, no source"
HEADS = ("hydrostatic", "differential pressure", "bubbler", "displacer")


@rule("7.1", "The liquid conducts enough for the rods", scope="body", severity="error",
      basis="threshold of the device, from its papers; public figures differ widely",
      conditions=(judged_by("conductive rods", "conductivity"),))
def rods_suit_the_conductivity(body: Body) -> Answer:
    """Compares the lowest conductivity of the liquid, coldest and purest, with the least at which the device acts.

    Rods in pure condensate stay dry for ever. Cure: a float, or an electrode relay that is made for less.
    """
    return answer(body, "use another technology", "conductivity")


@rule("7.2", "The liquid is dense enough for the device", scope="body", severity="error", basis="buoyancy",
      conditions=(judged_by("a float or displacer, a fork", "density", "floats"),))
def float_floats(body: Body) -> Answer:
    """Compares the lowest density of the liquid with the least at which the device acts, and a float's weight with what
    it can displace.

    A float that is too heavy lies on the bottom and reports an empty tank; a fork in light liquid stays dry.
    Cure: a lighter float, or another technology.
    """
    return answer(body, "use a lighter float", "density", "floats")


@rule("7.3", "No coating that conducts bridges the device", scope="body", severity="warning", basis=PRACTICE,
      conditions=(judged_by("conductive rods, capacitance", "conductive coating"),))
def coating_does_not_bridge(body: Body) -> Answer:
    """Asks whether the liquid leaves a coating that conducts.

    Such a coating holds rods and probes wet when the tank is empty. Cure: insulated rods, or another technology.
    """
    return answer(body, "use another technology", "conductive coating")


@rule("7.4", "Foam does not stand for liquid", scope="body", severity="warning", basis=PRACTICE,
      conditions=(judged_by("conductive rods, capacitance, ultrasonic gap, free space radar, optical", "foam"),))
def foam_does_not_fool(body: Body) -> Answer:
    """Asks whether the liquid foams where the device cannot tell foam from liquid, or loses its echo in it.

    Cure: a stilling tube, a float, or a device that looks from below.
    """
    return answer(body, "use a technology that foam does not fool", "foam")


@rule("7.5", "Solids leave the device free", scope="body", severity="warning", basis=PRACTICE, conditions=(
    judged_by("a float, a displacer, a fork, or another that solids stop", "rags",
              "settling solids", "crystallising solids", "fine solids", "magnetic particles"),))
def solids_leave_it_free(body: Body) -> Answer:
    """Asks for solids that hang on a guide or a float, fill a chamber or bridge a fork, and for iron that a magnet collects.

    Cure: a hanging float that the site cleans in an interval of its own (`technologies`), or a device without a gap.
    """
    return answer(body, "use a device without guide, gap or magnet", "rags", "settling solids", "crystallising solids",
                  "fine solids", "magnetic particles")


@rule("7.6", "The device withstands the hottest liquid", scope="body", severity="by consequence",
      basis="ratings of the device, from its papers")
def device_withstands_the_heat(body: Body) -> Answer:
    """Compares the highest temperature of the liquid with the rating of the device.

    Cure: another device, or a stated lower temperature.
    """
    return answer(body, "use a device with a higher rating", "temperature")


@rule("7.7", "The device withstands the pressure", scope="body", severity="by consequence",
      basis="ratings of the device, from its papers",
      conditions=(judged_by("the tank holds pressure, or can come under that of the air", "pressure", "vacuum", plain=True),))
def device_withstands_the_pressure(body: Body) -> Answer:
    """Compares the highest and, where it is recorded, the lowest pressure over the liquid with the ratings of the device.

    A tank that is steamed out and shut draws a vacuum as it cools. Cure: another device.
    """
    return answer(body, "use a device with a higher rating", "pressure", "vacuum")


@rule("7.8", "The device suits its zone", scope="body", severity="error", basis="IEC 60079-14", conditions=(
    judged_by("an explosive atmosphere can occur, or nobody has said that it cannot", "zone", plain=True),))
def device_suits_its_zone(body: Body) -> Answer:
    """Compares the zone of the tank with the most severe one that the marking of the device allows.

    Floats in wet wells are often forgotten. Cure: a marked device, with its barrier where the marking asks for one.
    """
    return answer(body, "use a marked device", "zone")


@rule("7.9", "The fork moves in the thickest liquid", scope="body", severity="warning", basis=PRACTICE,
      conditions=(judged_by("vibrating fork", "viscosity"),))
def fork_suits_the_viscosity(body: Body) -> Answer:
    """Compares the highest viscosity of the liquid with the rating of the fork.

    A fork in thick liquid stays wet long after the level has fallen. Cure: another technology.
    """
    return answer(body, "use another technology", "viscosity")


@rule("7.10", "The radar sees the liquid", scope="body", severity="warning", basis=PRACTICE,
      conditions=(judged_by("free space radar, guided radar, capacitance", "dielectric constant"),))
def radar_sees_the_liquid(body: Body) -> Answer:
    """Compares the dielectric constant of the liquid with the least at which the device acts.

    Cure: another technology, or a guide.
    """
    return answer(body, "use another technology", "dielectric constant")


@rule("7.11", "The range of the transmitter covers its points", scope="body", severity="error",
      basis="Texas City investigation report", conditions=(
          When("points are set on it", lambda body: bool(body.points)),
          When("it is a transmitter", lambda body: (
              body.instrument.signal == "4-20 mA" or body.instrument.range is not None))),
      needs=("instrument.range.lower", "instrument.range.upper"))
def range_covers_the_points(body: Body, lower: float, upper: float) -> Answer:
    """Compares the edges of every point on the transmitter with what 4 mA and 20 mA mean.

    Outside its range a transmitter reports the end of the range, whatever the level does.
    Cure: a longer range, or points inside it.
    """
    outside = [point.tag for point in body.points if point.setpoint and point.setpoint.act
               and not (lower <= point.setpoint.act.low and point.setpoint.act.high <= upper)]
    if outside:
        return Fail(f"{listed(outside)} can act outside {height(lower)} to {height(upper)}",
                    f"{listed(outside)} outside the range", "extend the range", also=tuple(outside))
    return Pass(f"{height(lower)} to {height(upper)}")


@rule("7.12", "The change of density shifts the reading by less than the stated error", scope="body",
      severity="warning",
      basis="hydrostatics; Texas City investigation report", conditions=(
          When("the device is one of: hydrostatic, differential pressure, bubbler, displacer", lambda body: (
              body.instrument.technology in HEADS)),
          When("points are set on it", lambda body: bool(body.points))),
      needs=("instrument.calibration_density", "liquid.density.lowest", "liquid.density.highest"))
def density_shift_is_within_the_error(body: Body, set_for: float, lowest: float, highest: float) -> Answer:
    """Works out how far the level at which a point acts moves when the liquid is lighter or heavier than what the device is
    set for.

    The reading of a head is the head times the density over the set density, so a point acts at a head of its own times the
    set density over the density; the head begins at the tap, or at a
    transmitter below it, whose line holds the tank's liquid too. Compared with the common error that the points state.
    Cure: state the shift as the common error, or correct for the density; where the device is set for a density that
    the liquid never has, correct that.
    """
    within = lowest * (1 - 1e-9) <= set_for <= highest * (1 + 1e-9)
    cure = "state the shift in `accuracy.common`" if within else (
        f"set it for the liquid: {lowest:.0f} to {highest:.0f} kg/m3, and not {set_for:.0f} kg/m3")
    share = max(abs(set_for / lowest - 1), abs(set_for / highest - 1)) if lowest > 0 else inf
    sends = body.context.results.transmitters.get(body.tag)
    foot = sends.foot if sends is not None else None
    if foot is None:
        foot = body.instrument.range.lower.si if body.instrument.range else 0.0
    for point in body.points:
        stands = point.setpoint.stands if point.setpoint else None
        common = getattr(point.setpoint.error_common, "value", 0.0) if point.setpoint else 0.0
        if stands is not None and share * (stands - foot) > common + 1e-9:
            shift = share * (stands - foot)
            return Fail(f"at {point.tag} the level at which it acts moves by {mm(shift)}, the common error is {mm(common)}",
                        f"shift {mm(shift)} at {point.tag}", cure, also=(point.tag,))
    return Pass(f"{share:.1%} of the head")


@rule("7.13", "The wetted materials are recorded", scope="body", severity="note", basis=PRACTICE)
def wetted_materials_are_recorded(body: Body) -> Answer:
    """Asks for the materials that the liquid touches, so that somebody can compare them with the liquid.

    No judgement on corrosion is made here. Cure: state `wetted`.
    """
    return Pass(listed(str(one) for one in body.instrument.wetted)) if body.instrument.wetted else Fail(
        "not stated", "materials not stated", "state `wetted`")
