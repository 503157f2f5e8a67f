"""Instruments as bodies in the liquid: technology, place, wiring, ratings, and what else hangs on each."""


from msgspec import Struct

from generator.model.definition import Definition
from generator.model.instrument import Instrument
from generator.model.page import Link, Part, Running
from generator.model.quantity import Quantity
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.links import facts as over_links
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.register import links
from generator.pages.story import Fact

_SAID = {True: "yes", False: "no"}
RATINGS = {
    "temperature_highest": "highest temperature", "temperature_lowest": "lowest temperature",
    "pressure_highest": "highest pressure", "density_lowest": "lowest density",
    "conductivity_lowest": "lowest conductivity", "dielectric_lowest": "lowest dielectric constant",
    "viscosity_highest": "highest viscosity", "vacuum": "lowest absolute pressure", "zone": "zone",
    "marking": "marking", "ingress": "ingress protection", "immersion_depth": "immersion depth", "hygienic": "hygienic",
}
GEOMETRY = {
    "arm": "arm", "arm_outer": "outer arm", "bend": "bend", "dirt_guard": "against dirt", "hung_by": "held by",
    "tether": "free tether", "angle_up": "angle rising", "angle_down": "angle falling",
    "float_shape": "float shape", "float_diameter": "float diameter", "float_height": "float height", "float_mass": "float mass",
    "float_volume": "float volume", "tube_length": "tube length", "rods": "rods in the head",
    "rod_diameter": "rod diameter", "rod_spacing": "distance between rods", "clearance": "free all round",
    "least_spacing": "least distance of two points", "dead_band": "blind distance under the mounting face",
    "antenna": "antenna",
}


class BodyView(Struct, frozen=True):
    """One instrument."""

    anchor: str
    tag: str
    technology: str
    points: tuple[Link, ...]
    facts: tuple[Fact, ...]
    purpose: Running
    defect: Running
    formerly: tuple[str, ...]
    source: Link


def way_of_sensing(one: Instrument) -> str:
    """How a body senses, in words: the plant's own entry by its name where the body follows one."""
    if one.kind is None:
        return str(one.technology)
    return str(one.kind) if one.technology == "other" else f"{one.technology} ({one.kind})"


def bodies(context: Context, tank: str) -> tuple[BodyView, ...]:
    """All instruments of a tank."""
    return tuple(body(context, tag) for tag in context.plant.instruments_of[tank])


def body(context: Context, tag: str) -> BodyView:
    """One instrument with everything that is recorded of it."""
    plant = context.plant
    one = plant.instruments[Tag(tag)]
    facts = [*place(context, tag), *wiring(context, tag)]
    facts.append(Fact("Ratings", listed(one.ratings, RATINGS) or ("not recorded",)))
    facts += geometry(context, one)
    if one.wetted:
        facts.append(Fact("Wetted parts", (", ".join(one.wetted),)))
    if one.range:
        facts.append(Fact("Signal", ("4 mA at ", amounts.metres(one.range.lower.si), ", 20 mA at ",
                                     amounts.metres(one.range.upper.si))))
    if one.test_means:
        tried = one.test_means if one.test_means != "none" else "nothing: only by moving the level"
        facts.append(Fact("Tested by", (tried,)))
    facts += over_links(context, [tag, *plant.points_of[Tag(tag)]])
    facts.append(Fact("Shares", shares(context, tag)))
    if one.drawings:
        facts.append(Fact("Drawings", links(context, one.drawings)))
    return BodyView(
        slug(tag), str(tag), way_of_sensing(one), tuple(context.paths.link(point) for point in plant.points_of[tag]),
        tuple(facts), running(context, one.purpose), running(context, one.known_defect), tuple(map(str, one.formerly)),
        context.paths.source(one.place),
    )


def geometry(context: Context, one: Instrument) -> tuple[Fact, ...]:
    """What decides where it acts; where nothing is recorded, what its technology asks for, and no row where that is nothing."""
    facts = []
    known = context.knowledge.technologies.get(one.technology)
    asked = [field.removeprefix("geometry.") for field in (known.must_give if known else ()) if field.startswith("geometry.")]
    if said := listed(one.geometry, GEOMETRY):
        facts.append(Fact("Geometry", said))
    elif asked:
        words = [GEOMETRY.get(field, field.replace("_", " ")) for field in asked]
        facts.append(Fact("Geometry", (f"not recorded; to be given: {', '.join(words)}",)))
    if one.taps is not None and one.taps.at is not None:
        facts.append(Fact("Measures from", (amounts.metres(one.taps.at.si),)))
    return tuple(facts)


def place(context: Context, tag: str) -> tuple[Fact, ...]:
    """Nozzle, mounting face, reach."""
    one = context.plant.instruments[Tag(tag)]
    nozzle = context.plant.tanks[one.tank].nozzles.get(Tag(one.nozzle)) if one.nozzle else None
    where = f"{one.nozzle} on the {nozzle.on}" if nozzle else str(one.nozzle) if one.nozzle else "hangs free"
    face = one.mounting_face or (nozzle.height if nozzle else None)
    shut_off = f", shut off by {nozzle.isolated_by}" if nozzle and nozzle.isolated_by else ""
    facts = [Fact("Nozzle", (f"{where}{shut_off}",)),
             Fact("Mounting face", (amounts.metres(face.si),) if face else ("not recorded",))]
    found = context.results.transmitters.get(str(tag))
    if found is not None and found.hung is not None:
        facts.append(Fact("Hangs below the face", (amounts.outcome(found.hung, "mm"),)))
    if one.reach:
        lowest, highest = amounts.metres(one.reach.lowest.si), amounts.metres(one.reach.highest.si)
        facts.append(Fact("Can be set", (lowest, " to ", highest)))
    return tuple(facts)


def wiring(context: Context, tag: str) -> tuple[Fact, ...]:
    """Panel, terminals, supply, supervision."""
    wires = context.plant.instruments[Tag(tag)].wiring
    if wires is None:
        return (Fact("Wiring", ("not recorded",)),)
    terminals = f", terminals {wires.terminals}" if wires.terminals else ", terminals not recorded"
    facts = [Fact("Panel", (context.paths.link(wires.panel), terminals))]
    facts.append(Fact("Supply", (context.paths.link(wires.supply),) if wires.supply else ("not recorded",)))
    facts.append(Fact("Wire watched", (_SAID[wires.supervised] if wires.supervised is not None else "not recorded",)))
    cores = f"{wires.cable_length.written} of cores of {wires.cross_section.written}" if (
        wires.cable_length and wires.cross_section) else ""
    rest = [f"cable {wires.cable}" if wires.cable else "", cores, f"card {wires.card}" if wires.card else ""]
    if any(rest):
        facts.append(Fact("Cable and card", (", ".join(part for part in rest if part),)))
    for one in (str(tag), *map(str, context.plant.points_of[Tag(tag)])):
        line = context.results.lines.get(one)
        if line is not None and line.left is not None:
            words = f" for the {line.load}, which needs {line.needs}"
            facts.append(Fact("Voltage at its end", (amounts.outcome(line.left), words)))
    return tuple(facts)


def shares(context: Context, tag: str) -> Running:
    """Other bodies that share its nozzle, its well or its card, and so may fail with it."""
    others = [other for other in context.plant.instruments_of[context.plant.instruments[Tag(tag)].tank] if other != tag]
    made: list[Running] = [(f"{common} with ", context.paths.link(other)) for other in others
                           if (common := common_parts(context, tag, other))]
    if not made:
        return ("nothing that is recorded",)
    return tuple(part for number, one in enumerate(made) for part in (("; ", *one) if number else one))


def common_parts(context: Context, tag: str, other: str) -> str:
    """What two bodies have in common, in words; empty where nothing is recorded."""
    one, two = context.plant.instruments[Tag(tag)], context.plant.instruments[Tag(other)]
    hangs = bool(one.nozzle) and (one.tank, one.nozzle) == (two.tank, two.nozzle)
    well = bool(one.stilling_well) and one.stilling_well == two.stilling_well
    mine, theirs = one.wiring, two.wiring
    card = supply = False
    if mine is not None and theirs is not None:
        card = bool(mine.card) and (mine.panel, mine.card) == (theirs.panel, theirs.card)
        supply = bool(mine.supply) and mine.supply == theirs.supply
    words = (("nozzle", hangs), ("well or rod", well), ("input card", card), ("supply", supply))
    return " and ".join(word for word, is_common in words if is_common)


def listed(owner: Definition, names: dict[str, str]) -> Running:
    """The given fields of a block in words, each as written."""
    said: list[Part] = []
    for name, words in names.items():
        value = getattr(owner, name)
        if value is not None:
            shown = amounts.as_written(value) if isinstance(value, Quantity) else _SAID[value] if isinstance(value, bool) else (
                str(value))
            said += [f"{', ' if said else ''}{words} ", shown]
    return tuple(said)
