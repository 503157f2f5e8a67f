"""Place, materials and duty: zone, ingress, wetted materials against liquid and cleaning agent, food, access."""

import re
from collections.abc import Iterator, Sequence

from generator.compute.suited_facts import Place
from generator.model.device import Fit, Judgement
from generator.model.knowledge import Knowledge, Material
from generator.model.scalar import Tag

GASES = ("none", "2", "1", "0")
DUSTS = ("none", "22", "21", "20")
_DIGITS = re.compile(r"IP\s*[0-6X]([0-9])")


def judgements(knowledge: Knowledge, place: Place, immersed: bool) -> Iterator[Judgement]:
    """Everything that is no figure and holds for every device."""
    yield zone(place)
    yield ingress(place, immersed)
    yield materials(knowledge, place)
    yield cleaning(knowledge, place)
    yield food(place)
    yield access(place)


def _judged(of: str, title: str, verdict: Fit, why: str, basis: str, evidence: str = "", *missing: str) -> Judgement:
    return Judgement(of, title, verdict, why, evidence, missing, basis)


def zone(place: Place) -> Judgement:
    """The zone of the tank against the most severe zone that the device's marking allows."""
    of, title, basis = "zone", "Hazardous area", "IEC 60079-14"
    asked = place.tank.surroundings.zone if place.tank else None
    rated = place.body.ratings.zone if place.body else None
    if asked == "none":
        return _judged(of, title, "does not apply", "no explosive atmosphere can occur", basis)
    if asked is None or rated is None:
        missing = f"{place.tank_tag}: surroundings.zone" if asked is None else f"{place.body_tag}: ratings.zone"
        return _judged(of, title, "cannot be assessed", "not recorded: " + missing, basis, "", missing)
    ladder = DUSTS if asked in DUSTS else GASES
    fits = rated in ladder and ladder.index(rated) >= ladder.index(asked)
    said = f"zone {asked}, device for zone {rated}"
    return _judged(of, title, "pass" if fits else "fail", said, basis, said)


def ingress(place: Place, immersed: bool) -> Judgement:
    """The second digit of the device's protection against what water can do at its place."""
    of, title, basis = "ingress", "Ingress protection", "IEC 60529 digits; which digit a place asks for is common practice"
    around = place.tank.surroundings if place.tank else None
    if around is None or place.body is None:
        return _judged(of, title, "does not apply", "no device is looked at", basis)
    if place.body.wiring is None and not place.plant.points_of[Tag(place.body_tag)]:
        return _judged(of, title, "does not apply", "nothing is wired to it", basis)
    if immersed:
        asked, because = 8, "it hangs in the liquid"
    elif around.wet_well or around.below_ground:
        asked, because = 7, "its place can be flooded"
    elif around.outdoors:
        asked, because = 5, "weather reaches it"
    elif around.outdoors is None and around.below_ground is None:
        missing = f"{place.tank_tag}: surroundings.outdoors"
        return _judged(of, title, "cannot be assessed", "not recorded: " + missing, basis, "", missing)
    else:
        return _judged(of, title, "does not apply", "it stands under a roof, over ground", basis)
    found = _DIGITS.search(str(place.body.ratings.ingress or ""))
    if found is None:
        missing = f"{place.body_tag}: ratings.ingress"
        return _judged(of, title, "cannot be assessed", "not recorded: " + missing, basis, "", missing)
    said = f"{place.body.ratings.ingress}, and {because}: the second digit must be {asked} or more"
    return _judged(of, title, "pass" if int(found[1]) >= asked else "fail", said, basis,
                   f"{place.body.ratings.ingress}, {asked} asked")


def asked_of_any(place: Place, immersed: bool) -> list[str]:
    """What the place asks of any device, in the words of an order."""
    if place.tank is None:
        return []
    around, asked = place.tank.surroundings, []
    if around.zone not in (None, "none"):
        asked.append(f"a marking for zone {around.zone}")
    digit = 8 if immersed else 7 if around.wet_well or around.below_ground else 5 if around.outdoors else None
    if digit is not None:
        asked.append(f"a second digit of ingress protection of at least {digit}")
    if place.liquid.duty == "food":
        asked.append("to be made to be cleaned in place")
    agents = [agent for agent in place.tank.cleaned_with or () if agent not in ("none", "water")]
    against = [*([str(place.liquid.chemistry)] if place.liquid.chemistry not in (None, "other") else []), *agents]
    if against:
        asked.append(f"wetted parts that resist {' and '.join(against)}")
    return asked


def materials(knowledge: Knowledge, place: Place) -> Judgement:
    """Wetted materials against the liquid: what the definitions say of it first, then the table of materials."""
    of, title = "material", "Wetted materials in the liquid"
    liquid = place.liquid
    chemistry = [liquid.chemistry] if liquid.chemistry else []
    lacking = [] if chemistry or liquid.resisted_by else [f"{place.liquid_tag}: chemistry"]
    return _materials(knowledge, place, of, title, chemistry, lacking, liquid.resisted_by, liquid.attacks,
                      f"{place.liquid_tag}: resisted_by")


def cleaning(knowledge: Knowledge, place: Place) -> Judgement:
    """Wetted materials against what the tank is cleaned with."""
    of, title = "cleaning agent", "Wetted materials while it is cleaned"
    agents = place.tank.cleaned_with if place.tank else None
    if agents is None:
        return _materials(knowledge, place, of, title, [], [f"{place.tank_tag}: cleaned_with"], (), (), "")
    real = [agent for agent in agents if agent != "none"]
    if not real:
        return _judged(of, title, "does not apply", "nothing but its own liquid enters the tank", _TABLE)
    resisted = place.tank.cleaning_resisted_by if place.tank else ()
    return _materials(knowledge, place, of, title, real, [], resisted, (), f"{place.tank_tag}: cleaning_resisted_by")


_TABLE = "resistance table of the maker; knowledge/materials.yml is common practice, no source"


def _materials(
    knowledge: Knowledge, place: Place, of: str, title: str, agents: Sequence[str], lacking: Sequence[str],
    resisted: Sequence[str], attacked: Sequence[str], would_say: str,
) -> Judgement:
    if place.body is None:
        return _judged(of, title, "does not apply", "no device is looked at", _TABLE)
    wetted = [str(one) for one in place.body.wetted]
    missing = [*lacking] + ([] if wetted else [f"{place.body_tag}: wetted"])
    bad, open_, good = [], [], []
    for one in wetted:
        if _named(one, attacked):
            bad.append(f"{one}: the definitions say that the liquid attacks it")
        elif _named(one, resisted):
            good.append(f"{one}: the definitions say that it resists")
        else:
            row = known(knowledge, one)
            for agent in agents or ("the liquid",):
                if row is not None and of == "cleaning agent" and agent in row.cleaned_with:
                    good.append(f"{one} is cleaned with {agent}")
                elif row is not None and agent in row.attacked_by:
                    bad.append(f"{one} is attacked by {agent}")
                elif row is not None and agent in row.resists:
                    good.append(f"{one} resists {agent}")
                else:
                    open_.append(f"{one} in {agent}")
    if bad:
        return _judged(of, title, "fail", "; ".join(bad), _TABLE, bad[0])
    if missing or open_:
        why = "not recorded: " + ", ".join(missing) if missing else "nothing is known of " + ", ".join(open_)
        return _judged(of, title, "cannot be assessed", why, _TABLE, "",
                       *(missing or [would_say]))
    return _judged(of, title, "pass", "; ".join(good) + "; the maker's table decides", _TABLE)


def _named(material: str, names: Sequence[str]) -> bool:
    return any(str(name).lower() in material.lower() for name in names)


def known(knowledge: Knowledge, material: str) -> Material | None:
    """The row of the longest known material that the words name; None where none is.

    "PVC-C" is not "PVC", and "stainless steel 1.4404" is stainless steel.
    """
    fits = [row for row in knowledge.materials
            if re.search(rf"(?<![\w-]){re.escape(row.material)}(?![\w-])", material, re.IGNORECASE)]
    return max(fits, key=lambda row: len(row.material), default=None)


def food(place: Place) -> Judgement:
    """Food asks for a device that is made to be cleaned in place."""
    of, title, basis = "hygiene", "Food", "common practice, no source"
    if place.liquid.duty is None:
        missing = f"{place.liquid_tag}: duty"
        return _judged(of, title, "cannot be assessed", "not recorded: " + missing, basis, "", missing)
    if place.liquid.duty != "food" or place.body is None:
        return _judged(of, title, "does not apply", "the liquid is no food", basis)
    made = place.body.ratings.hygienic
    if made is None:
        missing = f"{place.body_tag}: ratings.hygienic"
        return _judged(of, title, "cannot be assessed", "not recorded: " + missing, basis, "", missing)
    said = "made to be cleaned in place" if made else "not made to be cleaned in place"
    return _judged(of, title, "pass" if made else "fail", said, basis, said)


def access(place: Place) -> Judgement:
    """Whether somebody can take the device out without emptying or entering the tank."""
    of, title, basis = "access", "Access", "common practice, no source"
    if place.body is None or place.tank is None:
        return _judged(of, title, "does not apply", "no device is looked at", basis)
    nozzle = place.tank.nozzles.get(Tag(place.body.nozzle)) if place.body.nozzle else None
    if nozzle is None and place.body.nozzle is None:
        return _judged(of, title, "pass", "it hangs free and is lifted out", basis)
    if nozzle is not None and nozzle.on == "roof":
        return _judged(of, title, "pass", "it comes out through the roof without emptying the tank", basis)
    if nozzle is None or nozzle.isolated_by is None:
        missing = f"{place.tank_tag}: nozzles.{place.body.nozzle}.isolated_by"
        return _judged(of, title, "cannot be assessed", "not recorded: " + missing, basis, "", missing)
    if nozzle.isolated_by == "none":
        return _judged(of, title, "pass", "nothing shuts its nozzle: it comes out only from a tank emptied below it", basis)
    return _judged(of, title, "pass", f"it comes out behind {nozzle.isolated_by}", basis)


