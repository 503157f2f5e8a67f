"""Where each tag stands on the site. Paths are lower case and plain, so that any file share can carry them."""

import re
from collections.abc import Mapping
from functools import cached_property

from generator.model.page import Link
from generator.model.place import Place
from generator.model.plant import Definitions

_OWN_PAGE = ("tanks", "switches", "interlocks", "pumps", "valves", "equipment", "areas", "tests")
_ANCHORED = {
    "alarms": "registers/alarms.html", "signals": "registers/signals.html", "panels": "registers/panels.html",
    "supplies": "registers/panels.html", "links": "registers/links.html", "relays": "registers/relays.html",
    "hazards": "registers/hazards.html",
    "references": "registers/references.html", "liquids": "registers/liquids.html",
    "streams": "registers/streams.html", "cases": "registers/streams.html", "controls": "registers/controls.html",
    "pump_groups": "registers/controls.html", "holds": "review/waivers-and-holds.html", "modes": "how-to-read.html",
    "attendance": "registers/panels.html", "technologies": "technologies/index.html",
}


def slug(text: str) -> str:
    """A name for a path or an anchor: lower case letters, digits and hyphens.

    >>> slug("LSHH-210 / needs 1")
    'lshh-210-needs-1'
    """
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-") or "x"


def source_page(file: str) -> str:
    """The page that shows a definition file.

    >>> source_page("plant/t-210.yml")
    'sources/plant-t-210-yml.html'
    """
    return f"sources/{slug(file)}.html"


class Paths:
    """Paths and links of one plant's tags."""

    def __init__(self, plant: Definitions) -> None:
        self.plant = plant
        self._links: dict[tuple[str, str], Link] = {}
        self._records: dict[str, str] = {}

    @cached_property
    def _own(self) -> Mapping[str, str]:
        taken: set[str] = set()
        made: dict[str, str] = {}
        for noun in _OWN_PAGE:
            for tag in getattr(self.plant, noun):
                path = f"{noun}/{slug(tag)}.html"
                number = 2
                while path in taken:
                    path = f"{noun}/{slug(tag)}-{number}.html"
                    number += 1
                taken.add(path)
                made[tag] = path
        return made

    def path(self, tag: str) -> str | None:
        """The path (with its anchor where it has no page of its own) of a tag; None where nothing shows it."""
        noun = self.plant.noun_of.get(tag)
        if noun in _OWN_PAGE:
            return self._own[tag]
        if noun == "instruments":
            return f"{self._own[self.plant.instruments[tag].tank]}#{slug(tag)}"  # type: ignore[index]  # a known tag
        if noun in _ANCHORED:
            return f"{_ANCHORED[noun]}#{slug(tag)}"
        return None

    def link(self, tag: str, text: str = "") -> Link:
        """A link that shows a tag as a chip; its title says what it is."""
        made = self._links.get((tag, text))
        if made is None:
            made = self._links[tag, text] = self._link(tag, text)
        return made

    def _link(self, tag: str, text: str) -> Link:
        owner = self.plant.find(tag)
        words = next((str(value) for name in ("service", "name", "title", "text", "what")
                      if (value := getattr(owner, name, None))), "")
        return Link(text or str(tag), self.path(tag) or "", self.plant.noun_of.get(tag, ""), words)

    def record(self, key: str) -> str:
        """Where the record of a key stands: on the calculations page of its tank, or of the plant."""
        made = self._records.get(key)
        if made is None:
            owner = key.removeprefix("#").split("/")[0]
            made = self._records[key] = f"{self.calculations(owner)}#{slug(key)}"
        return made

    def calculations(self, tag: str) -> str:
        """The calculations page that holds the records of a tag."""
        tank = self.tank(tag)
        return f"calculations/{slug(tank)}.html" if tank else "calculations/plant.html"

    def source(self, place: Place) -> Link:
        """A link to the line of the definitions where something was written."""
        if not place.file:
            return Link("not written", "")
        via = f" by {place.via}" if place.via else ""
        if not self.plant.plant.show_source:
            return Link(f"{place.file}:{place.line}{via}", "")
        return Link(f"{place.file}:{place.line}{via}", f"{source_page(place.file)}#L{place.line}")

    def tank(self, tag: str) -> str | None:
        """The tank that a tag belongs to, where it belongs to one."""
        plant = self.plant
        noun = plant.noun_of.get(tag)
        if noun == "tanks":
            return tag
        if noun == "switches":
            return plant.tank_of(tag)
        if noun == "interlocks":
            return next(iter(plant.tanks_of_interlock[tag]), None)
        owner = plant.find(tag)
        if noun == "pumps":
            filled = (self.plant.streams[one].into for one in self.plant.streams_of[tag])
            return str(owner.inlet.tank) if owner.inlet else next((str(one) for one in filled if one in plant.tanks), None)
        if noun == "alarms":
            return self.tank(owner.from_)
        if noun == "pump_groups":
            return self.tank(owner.pumps[0])
        if noun in ("controls", "instruments", "scenarios"):
            return str(owner.tank)
        return None
