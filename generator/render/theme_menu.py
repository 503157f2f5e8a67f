"""The entries of the theme's menu, with the classes by which the theme knows them.

In code and not in a template, for their number: on each page every section stands, and all entries of the one that is open.
What a page shows of the sections that it does not stand in is the same on all pages of one folder, and made once.
"""

from typing import Any

from markupsafe import Markup

_ARROW = '<span class="md-nav__icon md-icon"></span>'


class ThemeMenu:
    """One entry of the menu as a page shows it. Names come from the printer escaped already."""

    def __init__(self) -> None:
        self._closed: dict[tuple[int, str], str] = {}

    def __call__(self, item: Any, page: Any, path: str, base: str) -> Markup:
        """An entry or section: closed, open where the page stands in it, or the page itself.

        `path` is its anchor, `base` the way from the page to the root of the site.
        """
        root = "" if base == "." else f"{base.removesuffix('/')}/"
        return Markup(self._entry(item, page, path, root, 1))  # noqa: S704  # names are escaped, the rest is ours

    def _entry(self, item: Any, page: Any, path: str, root: str, level: int) -> str:
        if item.children and item.active:
            return self._open(item, page, path, root, level)
        if item is page:
            return f'<li class="md-nav__item md-nav__item--active">{_link(item, item.title, root, "md-nav__link--active")}</li>'
        key = (id(item), root)
        if key not in self._closed:
            self._closed[key] = _closed(item, root)
        return self._closed[key]

    def _open(self, section: Any, page: Any, path: str, root: str, level: int) -> str:
        """A section that the page stands in: the page that leads it behind its name, its other entries below."""
        leader = next((one for one in section.children if getattr(one, "is_index", False)), None)
        rest = [one for one in section.children if one is not leader]
        here = " md-nav__link--active" if leader is page else ""
        name = f'<span class="md-ellipsis">{section.title}</span>'
        if leader is None:
            head = f'<label class="md-nav__link" for="{path}" id="{path}_label" tabindex="0">{name}{_ARROW}</label>'
        else:
            opener = (f'<label class="md-nav__link{here}" for="{path}" id="{path}_label" tabindex="0">{_ARROW}</label>'
                      if rest else "")
            head = ('<div class="md-nav__link md-nav__container">'
                    f"{_link(leader, section.title, root, here.strip())}{opener}</div>")
        entries = "\n".join(self._entry(one, page, f"{path}_{place}", root, level + 1) for place, one in enumerate(rest, 1))
        return (
            '<li class="md-nav__item md-nav__item--active md-nav__item--nested">'
            f'<input class="md-nav__toggle md-toggle" type="checkbox" id="{path}" checked>{head}\n'
            f'<nav class="md-nav" data-md-level="{level}" aria-labelledby="{path}_label" aria-expanded="true">'
            f'<label class="md-nav__title" for="{path}">{_ARROW}{section.title}</label>\n'
            f'<ul class="md-nav__list" data-md-scrollfix>\n{entries}\n</ul></nav></li>'
        )


def _closed(item: Any, root: str) -> str:
    if not item.children:
        return f'<li class="md-nav__item">{_link(item, item.title, root)}</li>'
    first = item
    while first.children:
        first = first.children[0]
    return ('<li class="md-nav__item md-nav__item--pruned md-nav__item--nested">'
            f"{_link(first, item.title, root, arrow=_ARROW)}</li>")


def _link(target: Any, name: str, root: str, further: str = "", arrow: str = "") -> str:
    kind = f"md-nav__link {further}".strip()
    return f'<a href="{root}{target.url}" class="{kind}"><span class="md-ellipsis">{name}</span>{arrow}</a>'
