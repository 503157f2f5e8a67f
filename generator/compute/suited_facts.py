"""Facts of liquid and place by which a device is judged, in a closed vocabulary: is it so, in words, or not recorded."""

from collections.abc import Callable, Mapping

from msgspec import Struct

from generator.model.instrument import Instrument
from generator.model.plant import Definitions
from generator.model.scalar import Tag
from generator.model.tank import Liquid, Tank

FROST = 273.15
"""Freezing point of water. [K]"""
COOL = 313.15
"""Temperature up to which vapour over a liquid is too little to wet an antenna for long. [K] Common practice, no source."""


class Place(Struct, frozen=True):
    """A device in its tank; `body` is None where a technology is weighed against a liquid alone."""

    plant: Definitions
    liquid_tag: str
    liquid: Liquid
    tank_tag: str = ""
    tank: Tank | None = None
    body_tag: str = ""
    body: Instrument | None = None


class Said(Struct, frozen=True):
    """Whether something is so; None where it is not recorded, with the field that would say it."""

    holds: bool | None
    words: str
    missing: str = ""


class Figure(Struct, frozen=True):
    """A figure of the liquid or the place: its SI value, or the field that would give it.

    `skip` says why the criterion does not apply at all, `note` where the figure comes from if it was worked out.
    """

    value: float | None = None
    dimension: str = ""
    missing: str = ""
    skip: str = ""
    note: str = ""


def _of_liquid(name: str, words: str) -> Callable[[Place], Said]:
    def said(place: Place) -> Said:
        return Said(getattr(place.liquid, name), words, f"{place.liquid_tag}: {name}")
    return said


def _conductive_coating(place: Place) -> Said:
    """A liquid that leaves no coating leaves none that conducts."""
    conducts = False if place.liquid.coating is False else place.liquid.conductive_coating
    return Said(conducts, "the liquid leaves a coating that conducts", f"{place.liquid_tag}: conductive_coating")


def _solids(kind: str, words: str) -> Callable[[Place], Said]:
    def said(place: Place) -> Said:
        solids = place.liquid.solids
        return Said(None if solids is None else kind in solids, words, f"{place.liquid_tag}: solids")
    return said


def _flashing(place: Place) -> Said:
    hazards = place.liquid.hazards
    return Said(None if hazards is None else "flashing" in hazards, "the liquid boils when it is let down",
                f"{place.liquid_tag}: hazards")


def _flammable(place: Place) -> Said:
    hazards = place.liquid.hazards
    return Said(None if hazards is None else "flammable" in hazards, "the liquid burns", f"{place.liquid_tag}: hazards")


def _gas_pressure(place: Place) -> Said:
    if place.tank is None:
        return Said(False, "gas under pressure stands over the liquid")
    pressure, blanket = place.tank.design_pressure, place.tank.surroundings.gas_blanket
    holds = None if blanket is None and pressure is None else bool(blanket) or (pressure is not None and pressure.si > 0)
    return Said(holds, "gas under pressure stands over the liquid", f"{place.tank_tag}: design_pressure")


def _agitation(place: Place) -> Said:
    return Said(place.tank.agitated if place.tank else False, "something stirs the liquid", f"{place.tank_tag}: agitated")


def _inlet(place: Place) -> Said:
    return Said(place.body.in_inlet_stream if place.body else False, "an inlet pours on the device",
                f"{place.body_tag}: in_inlet_stream")


def _bare_wall(place: Place) -> Said:
    conducts = place.tank.wall_conducts if place.tank else True
    return Said(None if conducts is None else not conducts, "the tank's wall does not conduct",
                f"{place.tank_tag}: wall_conducts")


def _ice(place: Place) -> Said:
    """Where ice can form; indoors none does."""
    words, tank = "ice can form", place.tank
    if tank is None:
        return Said(False, words)
    freezes = tank.surroundings.freezes
    if freezes is None and tank.surroundings.outdoors is False:
        freezes = False
    return Said(freezes, words, f"{place.tank_tag}: surroundings.freezes")


def _condensate(place: Place) -> Said:
    """Vapour of what is hot or boils condenses on a colder antenna, that of cool liquid does not to speak of."""
    liquid, words = place.liquid, "vapour condenses on what is colder over the liquid"
    holds = liquid.condenses
    if holds is None and {"hot", "flashing"} & set(liquid.hazards or ()):
        holds = True
    if holds is None and liquid.temperature is not None and liquid.temperature.highest.si <= COOL:
        holds = False
    return Said(holds, words, f"{place.liquid_tag}: condenses")


def _emulsion(place: Place) -> Said:
    liquid, words = place.liquid, "a second liquid makes an emulsion"
    if liquid.second_liquid is None and liquid.chemistry in ("pure water", "clean water", "salt water"):
        return Said(False, words)
    return Said(None if liquid.second_liquid is None else liquid.second_liquid == "emulsion", words,
                f"{place.liquid_tag}: second_liquid")


TROUBLES: Mapping[str, Callable[[Place], Said]] = {
    "foam": _of_liquid("foam", "the liquid foams"),
    "coating": _of_liquid("coating", "the liquid leaves a coating"),
    "conductive coating": _conductive_coating,
    "magnetic particles": _of_liquid("magnetic_particles", "the liquid carries iron or rust"),
    "fine solids": _solids("fine", "the liquid carries fine solids"),
    "rags": _solids("rags", "the liquid carries rags"),
    "settling solids": _solids("settling", "solids settle from the liquid"),
    "crystallising solids": _solids("crystallising", "the liquid crystallises"),
    "flashing liquid": _flashing, "flammable liquid": _flammable, "gas pressure": _gas_pressure,
    "agitation": _agitation, "inlet stream": _inlet,
    "wall that does not conduct": _bare_wall, "ice": _ice, "condensate on the antenna": _condensate, "emulsion": _emulsion,
}
"""What can defeat a device. The words are those of `model.technology.Trouble`."""


def _stilling_well(place: Place) -> Said:
    body = place.body
    return Said(body is not None and body.stilling_well is not None and body.geometry.hung_by != "bracket",
                "it stands in a stilling well")


def _chamber(place: Place) -> Said:
    return Said(place.body is not None and place.body.chamber, "it sits in a chamber")


def _reference(place: Place) -> Said:
    body = place.body
    if body is None:
        return Said(False, "")
    rods, below = body.geometry.rods, body.geometry.reference_below
    points = len(place.plant.points_of[Tag(place.body_tag)])
    if below is not None:
        return Said(True, "a reference electrode is fitted")
    return Said(None if rods is None else rods > points, "a rod is left over as the reference electrode",
                f"{place.body_tag}: geometry.reference_below")


def _guarded(place: Place) -> Said:
    if place.body is None:
        return Said(False, "")
    guard = place.body.geometry.dirt_guard
    return Said(None if guard is None else guard != "none", f"a {guard} keeps it from the pivot" if guard != "bellows"
                else "bellows keep it from the pivot", f"{place.body_tag}: geometry.dirt_guard")


def _hung(*ways: str) -> Callable[[Place], Said]:
    def said(place: Place) -> Said:
        if place.body is None:
            return Said(False, "")
        how = place.body.geometry.hung_by
        return Said(None if how is None else how in ways, f"it is held by a {how}", f"{place.body_tag}: geometry.hung_by")
    return said


def _cleaned(trouble: str) -> Callable[[Place], Said]:
    """That the plant has an interval of its own for it; what is only usual elsewhere cleans nothing here."""
    def said(place: Place) -> Said:
        body = place.body
        if body is None:
            return Said(False, "")
        care = [(tag, one) for tag, own in place.plant.technologies.items()
                if tag == body.kind or (own.everywhere and own.based_on == body.technology)
                for one in own.care if one.where == trouble]
        return Said(True if care else None, "" if not care else f"cleaned every {care[0][1].every.written} ({care[0][0]})",
                    f"technologies: care for {trouble} of a {body.technology}")
    return said


def _cool_line(place: Place) -> Said:
    body = place.body
    if body is None:
        return Said(False, "")
    taps = body.taps
    lower = taps.at if taps is not None else None
    nozzle = place.tank.nozzles.get(Tag(str(body.nozzle))) if place.tank is not None and body.nozzle else None
    tap = lower if lower is not None else nozzle.height if nozzle is not None else None
    if taps is None or taps.transmitter is None or tap is None:
        return Said(None, "", f"{place.body_tag}: taps.transmitter")
    return Said(taps.transmitter.si < tap.si, "its transmitter stands below the tap, where the line is full and cools")


def _traced(place: Place) -> Said:
    traced = place.body.traced if place.body else False
    return Said(traced, "it is kept from freezing", f"{place.body_tag}: traced")


def _antenna(place: Place) -> Said:
    antenna = place.body.geometry.antenna if place.body else "plain"
    return Said(None if antenna is None else antenna != "plain", f"its antenna {'is purged' if antenna == 'purged' else antenna}",
                f"{place.body_tag}: geometry.antenna")


PLACES: Mapping[str, Callable[[Place], Said]] = {
    "stilling well": _stilling_well, "chamber": _chamber, "reference electrode": _reference, "guide": _hung("guide"),
    "hangs free": _hung("clamp", "weight", "bracket"), "dirt guard": _guarded,
    "cleaned of rags": _cleaned("rags"), "cleaned of coating": _cleaned("coating"), "cool line": _cool_line,
    "traced": _traced, "antenna that stays dry": _antenna,
}
"""What can take a trouble away, or make it count."""
