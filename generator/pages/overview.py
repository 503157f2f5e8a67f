"""What stands in a section that has no page of its own to begin with: each page with what it shows."""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from generator.model.page import Link, Page
from generator.pages.register import Table

SECTIONS = ("Registers", "Review")


class Overview(Struct, frozen=True):
    """The pages of one section, each with a sentence where it has one, and the runs of pages below it."""

    title: str
    rows: tuple[tuple[Link, str], ...]
    below: tuple[tuple[Link, str], ...]


def pages(made: Iterable[Page]) -> Iterator[Page]:
    """One overview a section, for those that hold anything."""
    by_section: dict[str, list[Page]] = {section: [] for section in SECTIONS}
    for page in made:
        if page.section and page.section[0] in by_section:
            by_section[page.section[0]].append(page)
    for section, members in by_section.items():
        own = [page for page in members if len(page.section) == 1]
        runs: dict[str, list[Page]] = {}
        for page in members:
            if len(page.section) > 1:
                runs.setdefault(page.section[1], []).append(page)
        if own or runs:
            rows = tuple((Link(page.nav or page.title, page.path), _says(page)) for page in own)
            below = tuple((Link(name, some[0].path), f"{len(some)} pages") for name, some in runs.items())
            yield Page(f"{section.lower()}/index.html", section, "overview", Overview(section, rows, below), (section,),
                       leads=True)


def _says(page: Page) -> str:
    """The first sentence of a register's introduction."""
    if not isinstance(page.shows, Table):
        return ""
    return f"{page.shows.intro.split('. ')[0].rstrip('.')}."
