"""The menu: long sections are split, every page stands in it once."""


from msgspec.structs import replace

from generator.model.page import Page, Site, Strip
from generator.pages import navigation
from generator.render import menu

STRIP = Strip("Plant", "Title", "N-1", "A", "Draft", "1 Jan 2026", "0000 0000")


def _leaves(entries: menu.Menu) -> list[str]:
    found: list[str] = []
    for entry in entries:
        value = entry if isinstance(entry, str) else next(iter(entry.values()))
        found += [value] if isinstance(value, str) else _leaves(value)
    return found


def _longest(entries: menu.Menu) -> int:
    inner = [next(iter(entry.values())) for entry in entries if isinstance(entry, dict)]
    return max([len(entries), *(_longest(value) for value in inner if isinstance(value, list))])


def test_a_long_section_becomes_runs_of_neighbours() -> None:
    pages = [Page(f"switches/s-{number:03d}.html", f"S-{number:03d}", "switch", None, ("Area", "Switches"))
             for number in range(120)]
    split = list(navigation._split(pages))
    assert len(split) == 120
    assert {page.section for page in split} == {
        ("Area", "Switches", run) for run in ("S-000 to S-039", "S-040 to S-079", "S-080 to S-119")}
    site = Site(STRIP, tuple(split), (), tuple(dict.fromkeys(page.section for page in split)))
    tree = menu.tree(site, [])
    assert sorted(_leaves(tree)) == sorted(menu.source(page) for page in pages)
    assert _longest(tree) <= navigation.MOST_ENTRIES


def test_a_leading_page_opens_its_section_and_names_are_escaped() -> None:
    pages = (Page("index.html", "Home", "home", None), Page("areas/1.html", "Area", "area", None, ("<b>",), leads=True),
             Page("tanks/t.html", "<i>", "tank", None, ("<b>",)))
    site = Site(STRIP, pages, (), (("<b>",),))
    assert menu.tree(site, ["why.md"]) == [
        {"Home": menu.source(pages[0])},
        {"&lt;b&gt;": [{"Area": "pages-of-the-plant/areas/1/index.md"},
                       {"&lt;i&gt;": "pages-of-the-plant/tanks/t.md"}]},
        {"Notes": ["why.md"]},
    ]
    assert menu.source(replace(pages[1], leads=False)).endswith("areas/1.md")
