"""Devices against the liquid and the place: rules 7.1 to 7.19."""

from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import Body
from generator.check.words import height, listed, mm

PRACTICE = "common practice, no source"
FLOATS = ("cable float", "tilt float", "side lever float", "top lever float", "guide tube float", "displacer")
ZONES = ("none", "2", "1", "0")
DUSTS = ("none", "22", "21", "20")


def _is(words: str, *kinds: str) -> When:
    return When(f"the device is one of: {words}", lambda body: body.instrument.technology in kinds)


IS_FLOAT = _is("a float or displacer", *FLOATS)


def _span(unit: str, factor: float, value: float, asked: float) -> str:
    return f"{value * factor:.4g} {unit} of {asked * factor:.4g} {unit}"


@rule("7.1", "The liquid conducts enough for the rods", scope="body", severity="error",
      basis="threshold of the device, from its papers; public figures differ widely",
      conditions=(_is("conductive rods", "conductive rods"),),
      needs=("liquid.conductivity.lowest", "instrument.ratings.conductivity_lowest"))
def rods_suit_the_conductivity(_body: Body, conductivity: float, needed: float) -> Answer:
    """Compares the lowest conductivity of the liquid, coldest and purest, with the least at which the device acts.

    Rods in pure condensate stay dry for ever. Cure: a float, or an electrode relay that is made for less.
    """
    said = _span("uS/cm", 1e4, conductivity, needed)
    return Pass(said) if conductivity >= needed else Fail(f"the lowest is {said} needed", said,
                                                          "use another technology")


@rule("7.2", "The float floats in the lightest liquid", scope="body", severity="error", basis="buoyancy",
      conditions=(IS_FLOAT,), needs=("liquid.density.lowest", "instrument.ratings.density_lowest"))
def float_floats(_body: Body, density: float, needed: float) -> Answer:
    """Compares the lowest density of the liquid with the least at which the device acts.

    A float that is too heavy lies on the bottom and reports an empty tank. Cure: a lighter float.
    """
    said = _span("kg/m3", 1.0, density, needed)
    return Pass(said) if density >= needed else Fail(f"the lowest is {said} needed", said, "use a lighter float")


@rule("7.3", "No coating that conducts bridges the device", scope="body", severity="warning", basis=PRACTICE,
      conditions=(_is("conductive rods, capacitance", "conductive rods", "capacitance"),),
      needs=("liquid.conductive_coating",))
def coating_does_not_bridge(_body: Body, conducts: bool) -> Answer:
    """Asks whether the liquid leaves a coating that conducts.

    Such a coating holds rods and probes wet when the tank is empty. Cure: insulated rods, or another technology.
    """
    return Fail("the liquid leaves a coating that conducts", "conducting coating", "use another technology") \
        if conducts else Pass("no coating that conducts")


@rule("7.4", "Foam does not stand for liquid", scope="body", severity="warning", basis=PRACTICE, conditions=(
    _is("conductive rods, capacitance, free space radar", "conductive rods", "capacitance", "free space radar"),),
    needs=("liquid.foam",))
def foam_does_not_fool(_body: Body, foam: bool) -> Answer:
    """Asks whether the liquid foams where the device cannot tell foam from liquid, or loses its echo in it.

    Cure: a stilling tube, a float, or a device that looks from below.
    """
    return Fail("the liquid foams", "foam", "use a technology that foam does not fool") if foam else Pass("no foam")


@rule("7.5", "Solids leave the moving parts free", scope="body", severity="warning", basis=PRACTICE,
      conditions=(_is("a float in a guide or on a lever, a displacer, a fork", "side lever float", "top lever float",
                      "guide tube float", "displacer", "vibrating fork"),), needs=("liquid.solids",))
def solids_leave_it_free(body: Body, solids: str) -> Answer:
    """Asks for solids that hang on a guide, fill a chamber or bridge a fork, and for iron that a magnet collects.

    Cure: a hanging float, or a device without a gap.
    """
    if solids in ("rags", "crystallising") or (solids == "settling" and body.instrument.chamber):
        return Fail(f"the liquid carries solids: {solids}", f"solids {solids}", "use a device without guide or gap")
    if body.liquid is not None and body.liquid.magnetic_particles and body.instrument.technology == "guide tube float":
        return Fail("the liquid carries iron, which the magnet collects", "iron particles",
                    "use a device without magnet")
    return Pass(f"solids: {solids}")


@rule("7.6", "The device withstands the hottest liquid", scope="body", severity="by consequence",
      basis="ratings of the device, from its papers",
      needs=("liquid.temperature.highest", "instrument.ratings.temperature_highest"))
def device_withstands_the_heat(_body: Body, hottest: float, rated: float) -> Answer:
    """Compares the highest temperature of the liquid with the rating of the device.

    Cure: another device, or a stated lower temperature.
    """
    said = f"{hottest - 273.15:.4g} degC, rated {rated - 273.15:.4g} degC"
    return Pass(said) if hottest <= rated else Fail(said, said, "use a device with a higher rating")


@rule("7.7", "The device withstands the pressure", scope="body", severity="by consequence",
      basis="ratings of the device, from its papers", conditions=(
          When("the tank holds pressure", lambda body: (
              body.tank.design_pressure is not None and body.tank.design_pressure.si > 0)),),
      needs=("tank.design_pressure", "instrument.ratings.pressure_highest"))
def device_withstands_the_pressure(_body: Body, pressure: float, rated: float) -> Answer:
    """Compares the highest pressure over the liquid with the rating of the device.

    Cure: another device.
    """
    said = f"{pressure / 1e5:.4g} bar gauge, rated {rated / 1e5:.4g} bar gauge"
    return Pass(said) if pressure <= rated else Fail(said, said, "use a device with a higher rating")


@rule("7.8", "The device suits its zone", scope="body", severity="error", basis="IEC 60079-14",
      conditions=(When("an explosive atmosphere can occur, or nobody has said that it cannot",
                       lambda body: body.tank.surroundings.zone != "none"),),
      needs=("tank.surroundings.zone",))
def device_suits_its_zone(body: Body, zone: str) -> Answer:
    """Compares the zone of the tank with the most severe one that the marking of the device allows.

    Floats in wet wells are often forgotten. Cure: a marked device, with its barrier where the marking asks for one.
    """
    rated = body.instrument.ratings.zone
    if rated is None:
        return Missing((f"{body.tag}: ratings.zone",))
    ladder = DUSTS if zone in DUSTS and zone != "none" else ZONES
    fits = rated in ladder and ladder.index(rated) >= ladder.index(zone)
    said = f"zone {zone}, device for zone {rated}"
    return Pass(said) if fits else Fail(said, said, "use a marked device")


@rule("7.9", "The fork moves in the thickest liquid", scope="body", severity="warning", basis=PRACTICE,
      conditions=(_is("vibrating fork", "vibrating fork"),),
      needs=("liquid.viscosity", "instrument.ratings.viscosity_highest"))
def fork_suits_the_viscosity(_body: Body, viscosity: float, rated: float) -> Answer:
    """Compares the highest viscosity of the liquid with the rating of the fork.

    A fork in thick liquid stays wet long after the level has fallen. Cure: another technology.
    """
    said = _span("mPa s", 1e3, viscosity, rated)
    return Pass(said) if viscosity <= rated else Fail(said, said, "use another technology")


@rule("7.10", "The radar sees the liquid", scope="body", severity="warning", basis=PRACTICE,
      conditions=(_is("free space radar, guided radar, capacitance", "free space radar", "guided radar",
                      "capacitance"),),
      needs=("liquid.dielectric_constant", "instrument.ratings.dielectric_lowest"))
def radar_sees_the_liquid(_body: Body, constant: float, needed: float) -> Answer:
    """Compares the dielectric constant of the liquid with the least at which the device acts.

    Cure: another technology, or a guide.
    """
    said = f"{constant:g} of {needed:g}"
    return Pass(said) if constant >= needed else Fail(said, said, "use another technology")


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
          _is("hydrostatic, differential pressure, bubbler, displacer", "hydrostatic", "differential pressure",
              "bubbler", "displacer"),
          When("points are set on it", lambda body: bool(body.points))),
      needs=("instrument.calibration_density", "liquid.density.lowest", "liquid.density.highest"))
def density_shift_is_within_the_error(body: Body, set_for: float, lowest: float, highest: float) -> Answer:
    """Works out how far a reading moves when the liquid is lighter or heavier than what the device is set for.

    The reading of a head is the head times the density over the set density. Compared with the common error that the
    points state. Cure: state the shift as the common error, or correct for the density.
    """
    share = max(abs(lowest / set_for - 1), abs(highest / set_for - 1))
    for point in body.points:
        stands = point.setpoint.stands if point.setpoint else None
        common = getattr(point.setpoint.error_common, "value", 0.0) if point.setpoint else 0.0
        face = body.instrument.range.lower.si if body.instrument.range else 0.0
        if stands is not None and share * (stands - face) > common + 1e-9:
            shift = share * (stands - face)
            return Fail(f"at {point.tag} the reading moves by {mm(shift)}, the common error is {mm(common)}",
                        f"shift {mm(shift)} at {point.tag}", "state the shift in `accuracy.common`", also=(point.tag,))
    return Pass(f"{share:.1%} of the head")


@rule("7.13", "The wetted materials are recorded", scope="body", severity="note", basis=PRACTICE)
def wetted_materials_are_recorded(body: Body) -> Answer:
    """Asks for the materials that the liquid touches, so that somebody can compare them with the liquid.

    No judgement on corrosion is made here. Cure: state `wetted`.
    """
    return Pass(listed(str(one) for one in body.instrument.wetted)) if body.instrument.wetted else Fail(
        "not stated", "materials not stated", "state `wetted`")
