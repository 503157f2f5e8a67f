"""Suitability: every device against its liquid, its place and its duty, and what would serve where it does not.

Four outcomes, each with its reason. The device's own rating decides a figure; a limit of the site must hold beside it.
A figure that is not recorded leaves the outcome open, never passed. Usual ranges of the data files only keep a
technology from being named as an alternative where no device of it is known to reach so far.
"""

from collections.abc import Iterator, Mapping, Sequence

from generator.compute import floats, suited_place
from generator.compute.suited_facts import PLACES, TROUBLES, Figure, Place
from generator.compute.suited_figures import FIGURES, judged, rating, shown
from generator.model.device import Alternative, Fit, Judgement, Suitability
from generator.model.knowledge import Knowledge, Plausible, Technology, Unfit
from generator.model.plant import Definitions
from generator.model.results import TankResult
from generator.model.scalar import Tag
from generator.model.technology import OwnTechnology

EVERY = ("temperature", "cold", "hot stream", "cold stream", "cleaning temperature", "pressure", "vacuum")
"""Figures that every device is judged by."""
WORST_FIRST: tuple[Fit, ...] = ("fail", "cannot be assessed", "pass", "does not apply")
ABSENT = {
    "agitation": "nothing stirs the liquid", "wall that does not conduct": "the wall conducts",
    "flashing liquid": "the liquid does not boil", "flammable liquid": "the liquid does not burn",
    "gas pressure": "no gas presses on the liquid", "inlet stream": "no inlet pours on it", "ice": "no ice forms",
    "condensate on the antenna": "no vapour condenses over the liquid", "emulsion": "no second liquid makes an emulsion",
}
"""What stands where a trouble is not there, if "no" and its name would not say it."""
TO_ORDER = {
    "stilling well": "a stilling well", "chamber": "a chamber", "reference electrode": "a reference electrode",
    "guide": "a guide", "hangs free": "to hang free", "dirt guard": "a boot, bellows or shield over its pivot or guide",
    "cool line": "a transmitter below its tap", "traced": "to be kept from freezing",
    "antenna that stays dry": "an antenna that sheds drops or is purged",
    "cleaned of rags": "an interval of the site for pulling off rags",
    "cleaned of coating": "an interval of the site for cleaning off coating",
}
"""What takes a trouble away, as something to be ordered."""
FLOATING = ("cable", "lever", "tube", "displacer")
"""Families of devices that the liquid must carry."""
_PRACTICE = "common practice, no source"
_NO_POINT = ("site gauge", "other")
_MOST = 4


def results(plant: Definitions, knowledge: Knowledge, tanks: Mapping[str, TankResult]
            ) -> tuple[dict[str, Suitability], dict[str, dict[str, tuple[Fit, str]]]]:
    """Every instrument against its liquid and place, and every technology against every liquid of the plant."""
    devices = {str(tag): _device(plant, knowledge, tag, tanks) for tag in plant.instruments}
    liquids = {str(tag): Place(plant, str(tag), liquid) for tag, liquid in plant.liquids.items()}
    table = {name: {tag: against(knowledge, technology, own_of(plant, name, None), place)
                    for tag, place in liquids.items()}
             for name, technology in knowledge.technologies.items() if name not in _NO_POINT}
    for kind, own in plant.technologies.items():  # an entry for only some devices is a way of sensing beside the others
        if not own.everywhere and own.based_on in knowledge.technologies:
            entries = own_of(plant, own.based_on, kind)
            table[str(kind)] = {tag: against(knowledge, knowledge.technologies[own.based_on], entries, place)
                                for tag, place in liquids.items()}
    return devices, table


def own_of(plant: Definitions, technology: str, kind: str | None) -> tuple[tuple[str, OwnTechnology], ...]:
    """The plant's own entries that hold for a device of a technology: those for all of it, and the one it names."""
    return tuple((str(tag), own) for tag, own in plant.technologies.items()
                 if tag == kind or (own.everywhere and own.based_on == technology))


def _device(plant: Definitions, knowledge: Knowledge, tag: str, tanks: Mapping[str, TankResult]) -> Suitability:
    body = plant.instruments[Tag(tag)]
    tank = plant.tanks[body.tank]
    place = Place(plant, str(tank.liquid), plant.liquids[tank.liquid], str(body.tank), tank, str(tag), body)
    technology = knowledge.technologies.get(body.technology)
    if technology is None:
        return Suitability(str(tag), body.technology, "cannot be assessed", (), ())
    own = own_of(plant, body.technology, body.kind)
    made = tuple(_judgements(knowledge, technology, own, place, tanks.get(str(body.tank))))
    verdict: Fit = min((one.verdict for one in made), key=WORST_FIRST.index, default="cannot be assessed")
    others = tuple(_alternatives(knowledge, place, tanks.get(str(body.tank)))) if verdict == "fail" else ()
    return Suitability(str(tag), body.technology, verdict, made, others)


def _judgements(knowledge: Knowledge, technology: Technology, own: Sequence[tuple[str, OwnTechnology]], place: Place,
                result: TankResult | None) -> Iterator[Judgement]:
    limits = tuple((one.limits, f"site limit {tag}:") for tag, one in own)
    hangs = is_immersed(technology, place)
    for name in (*technology.judged_by, *EVERY, *(["immersion"] if hangs else [])):
        yield judged(knowledge.criteria[name], place, result, limits)
    for unfit in unfit_for(technology, own):
        yield trouble(unfit, place)
    if technology.actuation in FLOATING and place.body is not None:
        yield floats.judgement(place, place.body, "lift_mass" if technology.actuation == "displacer" else "float_mass")
    yield from suited_place.judgements(knowledge, place, hangs)


def is_immersed(technology: Technology, place: Place) -> bool:
    """Whether the whole body of a device hangs in the liquid; one in the wall or floor has its head outside."""
    return technology.immersed and _mount(place) in ("roof", "free")


def unfit_for(technology: Technology, own: Sequence[tuple[str, OwnTechnology]]) -> tuple[Unfit, ...]:
    """What defeats a technology here: what the generator knows, less what the plant lifts, and what the plant adds."""
    lifted = {fit.what for _, one in own for fit in one.fit_for}
    added = tuple(Unfit(fit.what, f"{fit.because} ({tag})") for tag, one in own for fit in one.unfit_for)
    return (*(unfit for unfit in technology.unfit_for if unfit.what not in lifted
              and unfit.what not in {one.what for one in added}), *added)


def trouble(unfit: Unfit, place: Place) -> Judgement:
    """Whether something that defeats the technology is there, and nothing takes it away."""
    title = unfit.what[0].upper() + unfit.what[1:]
    said = TROUBLES[unfit.what](place)
    if said.holds is False:
        return Judgement(unfit.what, title, "pass", ABSENT.get(unfit.what, f"no {unfit.what}"), basis=_PRACTICE)
    around = [PLACES[name](place) for name in unfit.only]
    if unfit.only and not any(one.holds is not False for one in around):
        return Judgement(unfit.what, title, "does not apply", "it counts only where " + " or ".join(
            one.words for one in around), basis=_PRACTICE)
    excuses = [PLACES[name](place) for name in unfit.unless]
    if excuse := next((one for one in excuses if one.holds), None):
        return Judgement(unfit.what, title, "pass", excuse.words, basis=_PRACTICE)
    # what takes it away is asked for only once it is there: else one gap in a liquid would ask for a fact of every device
    missing = [said.missing] if said.holds is None else [one.missing for one in excuses if one.holds is None]
    if missing:
        return Judgement(unfit.what, title, "cannot be assessed", "not recorded: " + ", ".join(missing),
                         missing=tuple(missing), basis=_PRACTICE)
    return Judgement(unfit.what, title, "fail", f"{said.words}; {unfit.because}", unfit.what, basis=_PRACTICE)


def against(knowledge: Knowledge, technology: Technology, own: Sequence[tuple[str, OwnTechnology]], place: Place
            ) -> tuple[Fit, str]:
    """A technology against a liquid alone: fail where the liquid defeats it, else what a device would need."""
    bad, open_, needs = [], [], []
    for unfit in unfit_for(technology, own):
        said = TROUBLES[unfit.what](place)
        if unfit.unless or unfit.only:
            if said.holds:
                needs.append("care with " + unfit.what)
        elif said.holds:
            bad.append(unfit.what)
        elif said.holds is None:
            open_.append(said.missing)
    limited = [name for name in ("temperature", "cold") if name not in technology.judged_by
               and any(getattr(one.limits, knowledge.criteria[name].rating) is not None for _, one in own)]
    for name in limited:
        figure = FIGURES[name](place, None)
        if figure.value is not None and (limit := _over_a_limit(knowledge, own, name, figure)):
            bad.append(limit)
    for name in technology.judged_by:
        figure = FIGURES[name](place, None)
        if figure.value is None:
            open_.append(figure.missing)
        elif limit := _over_a_limit(knowledge, own, name, figure):
            bad.append(limit)
        elif beyond := _beyond(knowledge, technology, name, figure.value):
            bad.append(f"{name} {shown(figure.value, figure.dimension)}: {beyond}")
        else:
            word = "from" if knowledge.criteria[name].sense == "at least" else "up to"
            named = "" if figure.dimension else f"a {name} of "
            needs.append(f"rated {word} {named}{shown(figure.value, figure.dimension)}"
                         + _special(knowledge, technology, name, figure.value, figure.dimension))
    if bad:
        return "fail", "; ".join(bad)
    if open_:
        return "cannot be assessed", "not recorded: " + ", ".join(dict.fromkeys(open_))
    return "pass", "; ".join(needs) if needs else "nothing in the liquid speaks against it"


def _over_a_limit(knowledge: Knowledge, own: Sequence[tuple[str, OwnTechnology]], name: str, figure: Figure) -> str:
    """The limit of the site that a figure does not keep, in words; empty where it keeps them all."""
    criterion = knowledge.criteria[name]
    for tag, one in own:
        limit = rating(one.limits, criterion.rating)
        if limit is not None and figure.value is not None and (
                figure.value < limit if criterion.sense == "at least" else figure.value > limit):
            return (f"{name} {shown(figure.value, figure.dimension)}, site limit {tag}: "
                    f"{criterion.sense} {shown(limit, figure.dimension)}")
    return ""


def _usual(knowledge: Knowledge, technology: Technology, name: str) -> Plausible | None:
    field = f"ratings.{knowledge.criteria[name].rating}"
    return next((one for one in technology.plausible if one.field == field), None)


def _special(knowledge: Knowledge, technology: Technology, name: str, value: float, dimension: str) -> str:
    """What to say where most devices of a technology do not serve a figure; empty where they do."""
    usual = _usual(knowledge, technology, name)
    if usual is None or usual.most is None:
        return ""
    short = value < usual.most if knowledge.criteria[name].sense == "at least" else value > usual.most
    return f", a special device: most ask for {shown(usual.most, dimension)} (common practice)" if short else ""


def _beyond(knowledge: Knowledge, technology: Technology, name: str, value: float) -> str:
    """Why no device of a technology is known to serve a figure; empty where one may."""
    criterion, usual = knowledge.criteria[name], _usual(knowledge, technology, name)
    if usual is None:
        return ""
    if criterion.sense == "at least" and value < usual.lowest:
        return "under what such devices reach in common practice"
    if criterion.sense == "at most" and value > usual.highest:
        return "over what such devices reach in common practice"
    return ""


def _alternatives(knowledge: Knowledge, place: Place, result: TankResult | None) -> Iterator[Alternative]:
    """Technologies that nothing recorded speaks against, with what each would need, those with the least needs first."""
    if place.body is None or place.tank is None:
        return
    mount = _mount(place)
    found: list[tuple[int, Alternative]] = []
    for name, technology in knowledge.technologies.items():
        if name in _NO_POINT or name == place.body.technology:
            continue
        own = own_of(place.plant, name, None)
        bad, with_, unknown = _troubles_of_another(unfit_for(technology, own), place)
        figures = [(criterion, FIGURES[criterion](place, result)) for criterion in
                   (*technology.judged_by, *EVERY, *(["immersion"] if is_immersed(technology, place) else []))]
        if bad or any(
                figure.value is not None and (_beyond(knowledge, technology, criterion, figure.value)
                                              or _over_a_limit(knowledge, own, criterion, figure))
                for criterion, figure in figures):
            continue
        needs = [] if mount in technology.mounts else [f"a place on the {' or '.join(technology.mounts)}"]
        strictest: dict[str, tuple[str, float, str]] = {}
        for criterion, figure in figures:
            row = knowledge.criteria[criterion]
            if figure.value is not None:
                _, before, _ = strictest.get(row.rating, ("", figure.value, ""))
                worst = max(before, figure.value) if row.sense == "at most" else min(before, figure.value)
                strictest[row.rating] = ("at least" if row.sense == "at most" else "at most", worst, figure.dimension)
        needs += [f"{_rating_words(name)} of {word} {shown(value, dimension)}"
                  for name, (word, value, dimension) in strictest.items()]
        needs += suited_place.asked_of_any(place, is_immersed(technology, place))
        needs += with_
        is_indirect = technology.actuation == "range" and place.body.signal != "4-20 mA"
        if is_indirect:
            needs.append("a controller that holds the set point")
        needs += [f"to be known first: {field}" for field in unknown]
        found.append((2 * len(unknown) + 3 * (mount not in technology.mounts) + is_indirect,
                      Alternative(name, tuple(needs))))
    yield from (one for _, one in sorted(found, key=lambda pair: pair[0])[:_MOST])


def _troubles_of_another(unfits: Sequence[Unfit], place: Place) -> tuple[bool, list[str], list[str]]:
    """What liquid and place do to a device that is not there yet: whether it is ruled out, what it needs, what is unknown.

    What takes a trouble away is a thing to order, not a fact of the device that stands there now.
    """
    bad, needs, unknown = False, [], []
    for unfit in unfits:
        said = TROUBLES[unfit.what](place)
        if said.holds is None:
            unknown.append(said.missing)
        elif said.holds and not unfit.only:
            if unfit.unless:
                needs.append(" or ".join(TO_ORDER[name] for name in unfit.unless))
            else:
                bad = True
    return bad, list(dict.fromkeys(needs)), list(dict.fromkeys(unknown))


def _rating_words(rating: str) -> str:
    """A rating in words.

    >>> _rating_words("density_lowest"), _rating_words("immersion_depth")
    ('a lowest density', 'an immersion depth')
    """
    first, _, last = rating.partition("_")
    words = f"{last} {first}" if last in ("lowest", "highest") else rating.replace("_", " ")
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"


def _mount(place: Place) -> str:
    nozzle = place.tank.nozzles.get(Tag(place.body.nozzle)) if place.tank and place.body and place.body.nozzle else None
    return nozzle.on if nozzle is not None else "free"
