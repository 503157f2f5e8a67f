"""The menu as MkDocs takes it: names and source files, section in section."""

from typing import Any

from generator.model.page import Page, Site
from generator.render.notes import escaped

HOME = "index.html"
_PREFIX = "pages-of-the-plant/"
Menu = list[dict[str, Any] | str]


def source(page: Page) -> str:
    """The name under which MkDocs knows a page. One that leads its section is called index there."""
    stem = page.path.removesuffix(".html")
    return f"{_PREFIX}{stem}/index.md" if page.leads or page.path == HOME else f"{_PREFIX}{stem}.md"


def tree(site: Site, notes: list[str]) -> Menu:
    """Every section in its order, each with the page that leads it first; the engineers' own pages at the end."""
    root: Menu = [{"Home": source(page)} for page in site.pages if page.path == HOME]
    below: dict[tuple[str, ...], Menu] = {(): root}
    for section in site.sections:
        _open(section, below)
    for page in sorted(site.pages, key=lambda page: not page.leads):
        if page.section:
            _open(page.section, below)
            entry: dict[str, Any] = {str(escaped(page.nav or page.title)): source(page)}
            members = below[page.section]
            members.insert(0, entry) if page.leads else members.append(entry)
    if notes:
        root.append({"Notes": list(notes)})
    return root


def _open(section: tuple[str, ...], below: dict[tuple[str, ...], Menu]) -> None:
    for depth in range(1, len(section) + 1):
        part = section[:depth]
        if part not in below:
            below[part] = []
            below[part[:-1]].append({str(escaped(part[-1])): below[part]})
