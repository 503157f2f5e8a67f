"""How many contacts are needed: a level contact is one, and each thing that it serves wants one of its own."""

from collections.abc import Iterator

from generator.compute.duties import duties
from generator.model.load import Multiplied
from generator.model.plant import Definitions
from generator.model.scalar import Tag

CARRIED_BY_RELAYS = ("relays", "safety system", "device")


def multiplied(plant: Definitions) -> dict[str, Multiplied]:
    """Per relay: one contact for each thing it switches, and one for each other place that its points report to."""
    drivers: dict[str, list[Tag]] = {}
    for tag, point in plant.switches.items():
        if point.contact is not None and point.contact.drives in plant.relays:
            drivers.setdefault(str(point.contact.drives), []).append(tag)
    made = {}
    for tag, relay in plant.relays.items():
        reports = dict.fromkeys(place for point in drivers.get(str(tag), []) for place in _places(plant, str(point))
                                if place not in CARRIED_BY_RELAYS)
        uses = (*(str(target) for target in relay.drives), *reports)
        number = relay.contacts
        enough = None if number is None else len(uses) <= number
        made[str(tag)] = Multiplied(str(tag), uses, None if number is None else int(number), enough)
    return made


def several_places(plant: Definitions) -> dict[str, tuple[str, ...]]:
    """Points whose single contact more than one place needs while no relay stands on it."""
    found = {}
    for tag, point in plant.switches.items():
        if point.contact is None or plant.instruments[point.in_].signal != "contact":
            continue
        places = tuple(dict.fromkeys(_places(plant, str(tag))))
        if len(places) > 1 and point.contact.drives not in plant.relays:
            found[str(tag)] = places
    return found


def _places(plant: Definitions, tag: str) -> Iterator[str]:
    """What carries the functions of a point, as far as it is recorded."""
    for duty in duties(plant, tag):
        owner = plant.interlocks.get(Tag(duty.tag)) or plant.controls.get(Tag(duty.tag))
        if owner is not None and owner.by is not None:
            yield str(owner.by)
