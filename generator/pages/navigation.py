"""The menu: which section a page stands in, and the order of sections. No section grows past fifty entries."""

from collections.abc import Iterable, Iterator

from msgspec.structs import replace

from generator.model.page import Page
from generator.pages.context import Context
from generator.pages.tags import also_called

MOST_ENTRIES = 50
_GROUPS = {
    "tanks": "Tanks", "switches": "Switches", "interlocks": "Interlocks", "pumps": "Pumps and valves",
    "valves": "Pumps and valves", "equipment": "Pumps and valves",
}
WHOLE_PLANT = "Whole plant"
AFTER_AREAS = ("Cause and effect", "Narrative", "Maps", "Scenarios", "Registers", "Review", "Calculations",
               "Technologies", "Changes", "How to read", "Writing definitions", "Definitions")


def area_section(context: Context, area: str | None) -> tuple[str, ...]:
    """The section of an area."""
    if area is None or area not in context.plant.areas:
        return (WHOLE_PLANT,)
    name = context.plant.areas[area].name  # type: ignore[index]  # asked above
    return (f"{area}  {name}" if area != name else name,)


def arranged(context: Context, pages: Iterable[Page]) -> tuple[Page, ...]:
    """The same pages; those of a tag stand under its area, whatever their maker said."""
    owner = {path: tag for tag in context.plant.noun_of if (path := context.paths.path(tag)) and "#" not in path}
    placed = [_placed(context, page, owner.get(page.path)) for page in pages]
    return tuple(_split(placed))


def sections(context: Context, pages: Iterable[Page]) -> tuple[tuple[str, ...], ...]:
    """Every section of the menu in its order, outermost first."""
    used = dict.fromkeys(page.section[:depth] for page in pages for depth in range(1, len(page.section) + 1))
    areas = [area_section(context, area)[0] for area in context.plant.areas] + [WHOLE_PLANT]
    tops = [*areas, *AFTER_AREAS]
    groups = list(dict.fromkeys(_GROUPS.values()))
    known, found = {name: place for place, name in enumerate(tops)}, {name: place for place, name in enumerate(groups)}

    def place(section: tuple[str, ...]) -> tuple[int, int, tuple[str, ...]]:
        second = section[1] if len(section) > 1 else ""
        return known.get(section[0], len(known)), found.get(second, -1 if not second else len(found)), section[1:]

    return tuple(sorted(used, key=place))


def _placed(context: Context, page: Page, tag: str | None) -> Page:
    if tag is None:
        return replace(page, leads=page.leads or page.path.endswith("/index.html"))
    noun = context.plant.noun_of[tag]
    if noun == "areas":
        return replace(page, section=area_section(context, tag), leads=True)
    if noun not in _GROUPS:
        return page
    page = replace(page, words=tuple(dict.fromkeys((*page.words, *also_called(context, tag)))))
    section = (*area_section(context, context.plant.area_of(tag)), _GROUPS[noun])
    return replace(page, section=section, nav=page.nav or tag)


def _split(pages: list[Page]) -> Iterator[Page]:
    """Long sections become runs of neighbours, named by their first and last entry."""
    by_section: dict[tuple[str, ...], list[Page]] = {}
    for page in pages:
        by_section.setdefault(page.section, []).append(page)
    for section, members in by_section.items():
        entries = [page for page in members if not page.leads]
        if not section or len(entries) <= MOST_ENTRIES:
            yield from members
            continue
        yield from (page for page in members if page.leads)
        in_order = sorted(entries, key=label)
        runs = -(-len(in_order) // MOST_ENTRIES)
        size = -(-len(in_order) // runs)
        for start in range(0, len(in_order), size):
            run = in_order[start:start + size]
            name = f"{label(run[0])} to {label(run[-1])}"
            yield from (replace(page, section=(*section, name)) for page in run)


def label(page: Page) -> str:
    """How the menu names a page."""
    return page.nav or page.title
