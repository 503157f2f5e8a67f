"""The list of all tags: what each is, where it stands, by what other names people look for it."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.page import Entry, Link, Page
from generator.pages.context import Context

PATH = "tags.html"
GROUPS = (
    ("tanks", "Tanks"), ("switches", "Switches"), ("interlocks", "Interlocks"), ("alarms", "Alarms"),
    ("pumps", "Pumps"), ("pump_groups", "Pump groups"), ("valves", "Valves"), ("equipment", "Equipment"),
    ("instruments", "Instruments"), ("controls", "Controls"), ("signals", "Signals"),
    ("relays", "Relays and contactors"), ("panels", "Panels"),
    ("supplies", "Supplies"), ("links", "Links"), ("hazards", "Hazards"), ("tests", "Proof tests"), ("references", "References"),
    ("holds", "Holds"),
)


class TagRow(Struct, frozen=True):
    """One tag. `find` is what the filter looks in, lower case, with and without hyphens."""

    tag: Link
    what: str
    where: Link | None
    also: tuple[str, ...]
    find: str


class Tags(Struct, frozen=True):
    """Tags by kind."""

    groups: tuple[tuple[str, str, tuple[TagRow, ...]], ...]
    number: int


def pages(context: Context) -> Iterator[Page]:
    """The list of tags. Tags without a page of their own get their entry in the search from here."""
    groups = []
    entries = []
    for noun, title in GROUPS:
        tags = sorted(getattr(context.plant, noun))
        if tags:
            groups.append((noun.replace("_", "-"), title, tuple(_row(context, tag) for tag in tags)))
        for tag in tags:
            path = context.paths.path(tag) or ""
            if "#" in path:
                link = context.paths.link(tag)
                entries.append(Entry(path, f"{tag}  {link.title}".strip(), also_called(context, tag)))
    rows = sum(len(rows) for _, _, rows in groups)
    yield Page(PATH, "All tags", "tags", Tags(tuple(groups), rows), ("Registers",), entries=tuple(entries))


def also_called(context: Context, tag: str) -> tuple[str, ...]:
    """Other names by which people look for a tag: old tags, and what the screen says."""
    plant = context.plant
    noun = plant.noun_of.get(tag)
    names = [str(old) for old in getattr(plant.find(tag), "formerly", ())]
    alarms = {"alarms": (tag,), "tanks": [one for point in plant.switches_of[tag] for one in plant.alarms_of[point]]}
    raised = alarms.get(noun or "", plant.alarms_of[tag])
    names += [str(plant.alarms[one].text) for one in raised]  # type: ignore[index]  # alarms of the plant
    return tuple(dict.fromkeys(names))


def _row(context: Context, tag: str) -> TagRow:
    link = context.paths.link(tag)
    tank = context.paths.tank(tag)
    area = context.plant.area_of(tag)
    where = context.paths.link(area, f"area {area}") if area else None
    if tank and tank != tag:
        where = context.paths.link(tank)
    also = also_called(context, tag)
    words = " ".join((tag, link.title, *also, where.text if where else ""))
    squeezed = "".join(letter for letter in tag if letter.isalnum())
    return TagRow(link, link.title, where, also, f"{words} {squeezed}".lower())
