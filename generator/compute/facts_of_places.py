"""Facts of liquids, tanks and their surroundings."""

from collections.abc import Callable, Iterator

from generator.compute.facts import NOTHING, Fact, Subject, joined, yes_no
from generator.compute.suited_streams import arrives_with
from generator.model.scalar import Tag
from generator.model.tank import Liquid, Surroundings, Tank

HOT, FREEZING = 333.15, 273.15  # 60 degC, above which common practice treats surfaces and liquid as hot; 0 degC [K]


def liquid_hazards(subject: Subject) -> Fact:
    """What the liquid can do, each recorded hazard a value."""
    return joined(_hazards(tag, liquid) for tag, liquid in subject.liquids())


def _hazards(tag: str, liquid: Liquid) -> Fact:
    if liquid.hazards is None:
        return Fact(missing=(("hazards of the liquid", f"liquids/{tag}/hazards"),))
    return Fact({hazard: f"{liquid.name}: {hazard}" for hazard in liquid.hazards})


def liquid_is_harmful(subject: Subject) -> Fact:
    """Whether the liquid has a hazard to people."""
    def harmful(tag: str, liquid: Liquid) -> Fact:
        hazards = None if liquid.hazards is None else set(liquid.hazards) - {"none", "harmful to water"}
        words = ", ".join(sorted(hazards)) if hazards else "a hazard to people"
        return yes_no(None if hazards is None else bool(hazards), f"{liquid.name}: {words}", "hazards of the liquid",
                      f"liquids/{tag}/hazards")

    return joined(harmful(tag, liquid) for tag, liquid in subject.liquids())


def liquid_is_hot(subject: Subject) -> Fact:
    """Whether the liquid, or a stream that runs in where the subject stands or through it, can be above 60 degC."""
    def hot(tag: str, liquid: Liquid) -> Fact:
        named = liquid.hazards is not None and "hot" in liquid.hazards
        if liquid.temperature is None:
            return yes_no(named or None, f"{liquid.name}: hot", "temperature of the liquid", f"liquids/{tag}/temperature")
        highest = liquid.temperature.highest
        return yes_no(named or highest.si > HOT, f"{liquid.name}: up to {highest.written}", "", "")

    return joined((*(hot(tag, liquid) for tag, liquid in subject.liquids()), *_hot_streams(subject)))


def _hot_streams(subject: Subject) -> Iterator[Fact]:
    """Streams above 60 degC: a tank that is cool once they have mixed scalds whoever stands at its inlet.

    Into the tanks where the subject stands; through a valve, or a pump that draws from outside. What a pump draws from a tank
    is the liquid of that tank, whatever it is heated to on its way.
    """
    plant = subject.plant
    through = subject.kind == "valve" or (subject.kind == "pump" and plant.pumps[Tag(subject.tag)].inlet is None)
    streams = [*(one for tank in subject.place_tanks for one in plant.inflows_of[tank]),
               *(plant.streams_of[subject.tag] if through else ())]
    for tag in dict.fromkeys(streams):
        span, words = arrives_with(plant, tag)
        if span is not None and span.highest.si > HOT:
            yield Fact({"yes": f"stream {plant.streams[tag].name}{words}: up to {span.highest.written}"})


def liquid_is_frozen(subject: Subject) -> Fact:
    """Whether the liquid can be below 0 degC."""
    return joined(
        yes_no(None if liquid.temperature is None else liquid.temperature.lowest.si < FREEZING,
               f"{liquid.name}: down to {liquid.temperature.lowest.written}" if liquid.temperature else "",
               "temperature of the liquid", f"liquids/{tag}/temperature")
        for tag, liquid in subject.liquids())


def _of_liquid(key: str, words: str) -> Callable[[Subject], Fact]:
    def fact(subject: Subject) -> Fact:
        return joined(yes_no(getattr(liquid, key), f"{liquid.name}: {words}", words, f"liquids/{tag}/{key}")
                      for tag, liquid in subject.liquids())

    return fact


sewage = _of_liquid("sewage", "sewage")
magnetic_particles = _of_liquid("magnetic_particles", "iron or rust in the liquid")


def leaves_deposits(subject: Subject) -> Fact:
    """Whether the liquid coats, or carries what sticks."""
    def deposits(tag: str, liquid: Liquid) -> Fact:
        sticks = [one for one in liquid.solids or () if one in ("rags", "settling", "crystallising")]
        if not sticks and not liquid.coating and (liquid.coating is None or liquid.solids is None):
            key = "coating" if liquid.coating is None else "solids"
            return Fact(missing=(("coating and solids of the liquid", f"liquids/{tag}/{key}"),))
        what = f"solids {' and '.join(sticks)}" if sticks else "coating"
        return yes_no(bool(sticks) or bool(liquid.coating), f"{liquid.name}: {what}", "", "")

    return joined(deposits(tag, liquid) for tag, liquid in subject.liquids())


# ---- surroundings ----------------------------------------------------------------------------------------------------


def _of_place(key: str, words: str) -> Callable[[Subject], Fact]:
    def fact(subject: Subject) -> Fact:
        return joined(yes_no(getattr(tank.surroundings, key), f"{tag}: {words}", words,
                             f"tanks/{tag}/surroundings/{key}") for tag, tank in subject.places())

    return fact


confined_space = _of_place("confined_space", "confined space")
wet_well = _of_place("wet_well", "wet well")
below_ground = _of_place("below_ground", "place below ground")
open_water = _of_place("open_water", "open liquid")
outdoors = _of_place("outdoors", "weather")
gas_blanket = _of_place("gas_blanket", "gas blanket")
lone_work = _of_place("lone_work", "work alone")
radiation_source = _of_place("radiation_source", "radiation source")


def lit(subject: Subject) -> Fact:
    """Whether the working place has light of its own."""
    def light(tag: str, place: Surroundings) -> Fact:
        if place.lit is None:
            return Fact(missing=(("light at the working place", f"tanks/{tag}/surroundings/lit"),))
        return Fact({"yes": f"{tag}: lit"} if place.lit else {"no": f"{tag}: no light of its own"})

    return joined(light(tag, tank.surroundings) for tag, tank in subject.places())


def zone(subject: Subject) -> Fact:
    """The hazardous-area zone, and `any` where there is one."""
    def at(tag: str, place: Surroundings) -> Fact:
        if place.zone is None:
            return Fact(missing=(("hazardous-area zone", f"tanks/{tag}/surroundings/zone"),))
        if place.zone == "none":
            return Fact({"none": f"{tag}: no zone"})
        return Fact({place.zone: f"{tag}: zone {place.zone}", "any": f"{tag}: zone {place.zone}"})

    return joined(at(tag, tank.surroundings) for tag, tank in subject.places())


def height_over_ground(subject: Subject) -> Fact:
    """Whether the working place lies above the ground; the site's rule says from which height that matters."""
    return joined(
        yes_no(None if (height := tank.surroundings.height_over_ground) is None else height.si > 0,
               f"{tag}: {height.written} over the ground" if height else "", "height over the ground",
               f"tanks/{tag}/surroundings/height_over_ground")
        for tag, tank in subject.places())


# ---- tanks -----------------------------------------------------------------------------------------------------------


def _tanks(subject: Subject) -> Iterator[tuple[str, Tank]]:
    for tag in subject.liquid_tanks:
        yield tag, subject.plant.tanks[tag]


def pressure(subject: Subject) -> Fact:
    """Whether there is pressure over the liquid."""
    return joined(
        yes_no(None if (most := tank.design_pressure) is None else most.si > 0,
               f"{tag}: up to {most.written}" if most else "", "pressure over the liquid",
               f"tanks/{tag}/design_pressure")
        for tag, tank in _tanks(subject))


def heated(subject: Subject) -> Fact:
    """Whether heating or tracing is on the tank."""
    return joined(yes_no(tank.heated, f"{tag}: heated", "heating", f"tanks/{tag}/heated")
                  for tag, tank in subject.places())


def agitated(subject: Subject) -> Fact:
    """Whether something stirs the tank."""
    return joined(yes_no(tank.agitated, f"{tag}: stirred", "stirrer", f"tanks/{tag}/agitated")
                  for tag, tank in subject.places())


def shared_overflow(subject: Subject) -> Fact:
    """Whether another tank shares overflow or vent, written at either of them."""
    def shares(tag: str, tank: Tank) -> Fact:
        others = sorted({*tank.shared_with, *subject.survey.sharers_of[tag]})
        return yes_no(bool(others), f"{tag} shares with {', '.join(others)}" if others else "a shared overflow", "", "")

    return joined(shares(tag, tank) for tag, tank in subject.places())


def overflow_is_safe(subject: Subject) -> Fact:
    """Whether the place that the overflow leads to is declared safe; a tank without an overflow path has none."""
    return joined(
        NOTHING if tank.overflow is None else
        Fact(missing=(("safety of the place that the overflow leads to", f"tanks/{tag}/overflow/safe"),))
        if tank.overflow.safe is None else
        Fact({"yes" if tank.overflow.safe else "no": f"{tag}: overflow to {tank.overflow.to}"})
        for tag, tank in subject.places())


def uncontrolled_inflow(subject: Subject) -> Fact:
    """Whether something flows in from outside that no pump or valve of the plant holds back."""
    def inflow(tag: str) -> Fact:
        streams = [stream for stream in subject.plant.inflows_of[tag] if not subject.plant.streams[stream].by_overflow]
        free = [str(subject.plant.streams[stream].name) for stream in streams
                if subject.plant.streams[stream].from_ == "outside"
                and not subject.plant.streams[stream].through and subject.plant.streams[stream].moved_by is None]
        if not streams:
            return Fact(missing=(("inflow", "streams"),))
        return yes_no(bool(free), f"{', '.join(free) or 'an inflow'} into {tag} without a valve", "", "")

    return joined(inflow(tag) for tag in subject.place_tanks)


def vacuum_possible(subject: Subject) -> Fact:
    """Whether the tank is closed (blanketed, or built for pressure) and liquid is drawn from it."""
    def vacuum(tag: str, tank: Tank) -> Fact:
        if not subject.plant.outflows_of[tag] and not subject.plant.pumps_of[tag]:
            return Fact({"no": ""})
        blanket, most = tank.surroundings.gas_blanket, tank.design_pressure
        if blanket or (most is not None and most.si > 0):
            return Fact({"yes": f"{tag}: closed, and drawn from"})
        if blanket is None:
            return Fact(missing=(("gas blanket", f"tanks/{tag}/surroundings/gas_blanket"),))
        return Fact({"no": ""})

    return joined(vacuum(tag, tank) for tag, tank in subject.places())


def acid_and_oxidiser(subject: Subject) -> Fact:
    """Whether an acid and an oxidiser are on the site, or even connected by a stream or a shared overflow."""
    plant = subject.plant

    def pair(tag: str, tank: Tank) -> Fact:
        own = plant.liquids[tank.liquid].hazards
        if own is None:
            return Fact(missing=(("hazards of the liquid", f"liquids/{tank.liquid}/hazards"),))
        wanted = {"acid": "oxidiser", "oxidiser": "acid"}
        against = {wanted[hazard] for hazard in own if hazard in wanted}
        if not against:
            return Fact({"no": ""})
        others = [other for other in subject.survey.tanks_with(against) if other != tag]
        if not others:
            return Fact({"no": ""})
        near = [other for other in others if other in subject.survey.joined_to[tag]]
        if near:
            return Fact({"connected": f"{tag} and {', '.join(near)}: acid and oxidiser, connected"})
        return Fact({"on site": f"{tag} and {', '.join(others)}: acid and oxidiser"})

    return joined(pair(tag, tank) for tag, tank in _tanks(subject))
