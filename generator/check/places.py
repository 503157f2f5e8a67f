"""Devices against place, materials and duty, and whether their figures are plausible: rules 7.14 to 7.29."""

from generator.check.judged import answer, judged_by, judgements
from generator.check.plausible import slips_of_liquid, slips_of_ratings
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import Body, OfLiquid
from generator.check.words import listed
from generator.model.scalar import Tag

PRACTICE = "common practice, no source"
RATED = "ratings of the device, from its papers"
TABLE = "resistance tables of the makers; the generator's own table is common practice, no source"


@rule("7.14", "No coating hides the liquid from the device", scope="body", severity="warning", basis=PRACTICE,
      conditions=(judged_by("rods, a float, a displacer, a fork, a prism, or another that a coating hinders", "coating"),))
def coating_does_not_hide(body: Body) -> Answer:
    """Asks whether the liquid leaves a film on a device that must touch it bare, or a weight on one that must float.

    A film keeps liquid from rods, fills a lever's pivot, weighs floats and displacers down and blinds a prism. Cure:
    another technology, a boot over the pivot, or cleaning in an interval that the plant states under `technologies`.
    """
    return answer(body, "use another technology", "coating")


@rule("7.15", "The wetted materials withstand the liquid", scope="body", severity="by consequence", basis=TABLE)
def materials_withstand_the_liquid(body: Body) -> Answer:
    """Compares each wetted material with the chemistry of the liquid.

    What the liquid's own `resisted_by` and `attacks` say comes first. A pair that nothing is known of is not passed.
    Cure: another material, or the maker's word written as `resisted_by`.
    """
    return answer(body, "use a device of another material", "material")


@rule("7.16", "The device withstands the cleaning of the tank", scope="body", severity="by consequence", basis=TABLE,
      conditions=(judged_by("the tank is cleaned with something else than its own liquid, or nobody has said that it is not",
                            "cleaning agent", "cleaning temperature", plain=True),))
def device_withstands_the_cleaning(body: Body) -> Answer:
    """Compares wetted materials with the cleaning agents, and the temperature of cleaning with the rating.

    Steaming out ruins more floats than the service does. Cure: take the device out first, or another device.
    """
    return answer(body, "use a device that withstands it, or take it out before", "cleaning agent",
                  "cleaning temperature")


@rule("7.17", "The device withstands the frost", scope="body", severity="by consequence", basis=RATED,
      conditions=(judged_by("the liquid comes under the freezing point of water", "cold", plain=True),))
def device_withstands_the_frost(body: Body) -> Answer:
    """Compares the lowest temperature of the liquid with the rating of the device.

    Cure: another device, or heating of the device and its nozzle.
    """
    return answer(body, "use a device with a lower rating", "cold")


@rule("7.18", "The device stays dry inside", scope="body", severity="by consequence", basis="IEC 60529; " + RATED,
      conditions=(judged_by("water or liquid can reach its housing, or nobody has said that it cannot", "ingress",
                            "immersion", plain=True),))
def device_stays_dry_inside(body: Body) -> Answer:
    """Compares ingress protection with the place, and the deepest liquid with the depth that the device is made for.

    Code eight of the second digit says nothing without its depth. Cure: a device that is made for the place.
    """
    return answer(body, "use a device that is made for the place", "ingress", "immersion")


@rule("7.19", "The liquid leaves the device at rest", scope="body", severity="warning", basis=PRACTICE,
      conditions=(judged_by("a float, a displacer, guided radar", "agitation", "inlet stream"),))
def liquid_leaves_it_at_rest(body: Body) -> Answer:
    """Asks whether an agitator or an inlet moves the device by itself.

    Cure: a guide, a stilling well, or another nozzle.
    """
    return answer(body, "give it a stilling well, or another nozzle", "agitation", "inlet stream")


@rule("7.20", "The current finds its way back", scope="body", severity="error", basis=PRACTICE,
      conditions=(judged_by("conductive rods, capacitance", "wall that does not conduct"),))
def current_finds_its_way_back(body: Body) -> Answer:
    """Asks for a reference electrode where the wall of the tank is plastic, lined or coated.

    Without one the circuit never closes and the device stays dry. Cure: a reference electrode, down to below the lowest
    point.
    """
    return answer(body, "fit a reference electrode", "wall that does not conduct")


@rule("7.21", "Vapour and gas leave the device its sense", scope="body", severity="warning", basis=PRACTICE,
      conditions=(judged_by("ultrasonic gap, hydrostatic, bubbler", "flashing liquid", "gas pressure", "flammable liquid"),))
def boiling_does_not_blind(body: Body) -> Answer:
    """Asks whether the liquid boils where bubbles stop the device, whether gas presses on a device that reads a head, and
    whether air would be bubbled through a liquid that burns.

    Cure: another technology.
    """
    return answer(body, "use another technology", "flashing liquid", "gas pressure", "flammable liquid")


@rule("7.22", "A device in food can be cleaned in place", scope="body", severity="by consequence", basis=PRACTICE,
      conditions=(judged_by("the liquid is food, or nobody has said what it is for", "hygiene", plain=True),))
def device_in_food_can_be_cleaned(body: Body) -> Answer:
    """Asks for a device that is smooth, drains and is made of approved materials where the liquid is food.

    Cure: a device that is made for it.
    """
    return answer(body, "use a device that is made for food", "hygiene")


@rule("7.23", "What its technology asks for is given", scope="body", severity="note", basis=PRACTICE, conditions=(
    When("points are set on it", lambda body: bool(body.points)),))
def device_is_given_in_full(body: Body) -> Answer:
    """Asks for every field that a device of its technology needs before it can be judged, cut and set.

    The list stands on the page of the technology; the plant may add to it. Cure: give the fields.
    """
    known = body.context.knowledge.technologies.get(body.instrument.technology)
    own = [one for tag, one in body.context.plant.technologies.items() if tag == body.instrument.kind or (
        one.everywhere and one.based_on == body.instrument.technology)]
    asked = [*(known.must_give if known else ()), *(str(field) for one in own for field in one.must_give)]
    lacking = [field for field in dict.fromkeys(asked) if _given(body, field) is None]
    if lacking:
        return Fail(f"not given: {listed(lacking)}", f"not given: {listed(lacking)}", "give them")
    return Pass(f"{len(asked)} fields")


def _given(body: Body, path: str) -> object:
    """The value at the end of a path of fields; a roof nozzle's height stands for a mounting face."""
    value: object = body.instrument
    for step in path.split("."):
        value = getattr(value, step, None)
    if value is None and path == "mounting_face" and body.instrument.nozzle:
        nozzle = body.tank.nozzles.get(Tag(body.instrument.nozzle))
        return nozzle.height if nozzle else None
    return value


@rule("7.24", "The ratings of the device are plausible", scope="body", severity="warning", basis=PRACTICE)
def ratings_are_plausible(body: Body) -> Answer:
    """Compares ratings and dimensions with what is usual for the technology, and looks for another unit that would fit.

    A conductivity in mS that was meant in uS, a length in m that was meant in mm. Cure: correct the unit, or note in
    the device's papers that it is meant.
    """
    found = slips_of_ratings(body.context.knowledge, body.instrument)
    return Fail("; ".join(found), found[0], "correct the unit") if found else Pass("as is usual")


@rule("7.25", "The figures of the liquid are plausible", scope="liquid", severity="warning", basis=(
    "ranges with their sources in the generator's data; common practice where none is named"),
      needs=("liquid.chemistry",))
def figures_of_the_liquid_are_plausible(subject: OfLiquid, _chemistry: str) -> Answer:
    """Compares the figures of a liquid with what is usual for its chemistry, and looks for another unit that would fit.

    A conductivity in mS/cm that was meant in uS/cm turns rods that stay dry for ever into a pass. Cure: correct the
    unit.
    """
    found = slips_of_liquid(subject.context.knowledge, subject.liquid)
    return Fail("; ".join(found), found[0], "correct the unit") if found else Pass("as is usual")


@rule("7.26", "The device withstands what flows into its tank", scope="body", severity="warning", basis=(
    "ratings of the device, from its papers; that a stream reaches it undiluted is common practice, no source"), conditions=(
    judged_by("a stream into its tank is hotter or colder than the liquid there is said to be", "hot stream", "cold stream",
              plain=True),
    When("the liquid itself stays within the rating of the device", lambda body: not any(
        one.verdict == "fail" for one in judgements(body, "temperature", "cold")))))
def device_withstands_the_streams(body: Body) -> Answer:
    """Compares the hottest and the coldest stream into the tank with the rating of the device.

    The temperatures of a liquid are those of what has mixed. A stream can pass over a body, its cable or its seal before it
    mixes: while little stands in the tank, or because hot liquid stays on top and cold liquid runs below. Cure: a device that is
    rated for the stream, an inlet that leads it in away from the device and below the surface, cooling or mixing before the
    tank, or a corrected `temperature` of the stream.
    """
    return answer(body, "use a device that is rated for the stream, lead it in away from the device, cool or mix it before "
                  "the tank, or correct the stream's `temperature`", "hot stream", "cold stream")


@rule("7.27", "Ice leaves the device free", scope="body", severity="by consequence", basis=PRACTICE,
      conditions=(judged_by("a float, a displacer, a bubbler, differential pressure", "ice"),))
def ice_leaves_it_free(body: Body) -> Answer:
    """Asks whether ice can form where it holds a float, adds weight to it, or shuts a line.

    A frozen float keeps the state that it had, a frozen line the last reading: both look calm. Cure: tracing and insulation,
    recorded as `traced`; or say under `surroundings` that nothing freezes there.
    """
    return answer(body, "trace it and its lines", "ice")


@rule("7.28", "Condensate leaves the antenna clear", scope="body", severity="warning", basis=PRACTICE,
      conditions=(judged_by("free space radar", "condensate on the antenna"),))
def condensate_leaves_the_antenna(body: Body) -> Answer:
    """Asks whether vapour condenses on the antenna, and whether that sheds its drops or is purged.

    Drops scatter the wave before it leaves; the echo comes and goes, most of all in the cold. Cure: an antenna that sheds
    drops, or a purge, recorded as `antenna`.
    """
    return answer(body, "use an antenna that sheds drops, or purge it", "condensate on the antenna")


@rule("7.29", "No emulsion hides the level", scope="body", severity="warning", basis=PRACTICE,
      conditions=(judged_by("guided radar, capacitance", "emulsion"),))
def emulsion_does_not_hide(body: Body) -> Answer:
    """Asks whether a second liquid in the tank makes an emulsion with the first.

    A thick emulsion has no sharp surface for a pulse, and no fixed constant for a probe. Cure: another technology, or water drawn
    off before it mixes.
    """
    return answer(body, "use another technology", "emulsion")
