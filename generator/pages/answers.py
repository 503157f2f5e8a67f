"""What the field of the home page knows by itself: tags, texts of the screen and nozzles, and where the answer stands."""

from collections.abc import Iterator

from generator.model.page import plain
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.tags import GROUPS
from generator.pages.tank_levels import nozzle_anchor

Answer = tuple[str, str, str, tuple[str, ...], str]
"""Tag, what it is, path, further names: old tags, the text of the screen, the number of a cable, a nozzle with its tank.
Last, what its tank is for: words that may be typed as well, and never name the thing."""
_FIRST = ("tanks", "alarms")


def answers(context: Context) -> tuple[Answer, ...]:
    """Tanks and alarms first, then everything else in the order of the list of tags, and the nozzles."""
    nouns = [noun for noun, _ in GROUPS]
    in_order = [*_FIRST, *(noun for noun in nouns if noun not in _FIRST)]
    tagged = (_answer(context, noun, tag) for noun in in_order for tag in sorted(getattr(context.plant, noun)))
    return (*tagged, *_nozzles(context))


def _nozzles(context: Context) -> Iterator[Answer]:
    """Nozzles: many tanks have one of the same name, so each says its tank."""
    for tank, owner in sorted(context.plant.tanks.items()):
        for name, nozzle in owner.nozzles.items():
            what = " ".join(filter(None, ("nozzle", nozzle.size, f"on the {nozzle.on}")))
            yield (str(name), f"{what}, {tank}", f"{context.paths.path(tank)}#{nozzle_anchor(name)}", (f"{tank} {name}",), "")


def _answer(context: Context, noun: str, tag: Tag) -> Answer:
    link = context.paths.link(tag)
    what, path = link.title or _kind(context, noun, tag) or link.text, link.path
    tank = context.paths.tank(tag)
    if noun == "alarms":
        what = str(context.plant.alarms[tag].text)
        if tank:  # its row on the tank's page says what to do and how many minutes there are
            path = f"{context.paths.path(tank)}#{slug(tag)}"
    place = f", {tank}" if tank and tank != tag else ""
    service = plain(running(context, context.plant.tanks[Tag(tank)].service)) if place and tank else ""
    return str(tag), f"{what}{place}", path, tuple(_names(context, noun, tag)), service


def _kind(context: Context, noun: str, tag: Tag) -> str:
    """What a thing without a service of its own is: a way of sensing, a place, a kind."""
    owner = context.plant.find(tag)
    named = {"instruments": "technology", "panels": "where"}.get(noun, "kind")
    if noun == "tests":
        return f"proof test of {', '.join(map(str, owner.covers))}"
    return str(getattr(owner, named, "") or "")


def _names(context: Context, noun: str, tag: Tag) -> Iterator[str]:
    yield from map(str, getattr(context.plant.find(tag), "formerly", ()))
    if noun == "alarms":
        yield str(context.plant.alarms[tag].text)
    if noun == "instruments" and (wiring := context.plant.instruments[tag].wiring) and wiring.cable:
        yield str(wiring.cable)
