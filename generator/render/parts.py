"""The smallest parts of every page as HTML: links, numbers, running text. In code, for their great number."""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Protocol

from markupsafe import Markup

from generator.model.page import Amount, Link, Running
from generator.render import equation
from generator.render.words import escaped


class Input(Protocol):
    """A value that went into a result, as its record shows it."""

    @property
    def symbol(self) -> str:
        """LaTeX of its letter."""
    @property
    def name(self) -> str:
        """What it is."""
    @property
    def shown(self) -> Amount:
        """Its value as the pages show it."""
    @property
    def si(self) -> Amount:
        """The same in SI units."""
    @property
    def source(self) -> Link:
        """Where it comes from."""


_CHIPS = {
    "": "lk", "areas": "lk", "references": "lk", "liquids": "lk", "streams": "lk", "cases": "lk", "modes": "lk",
    "attendance": "lk", "tanks": "chip chip-machine", "pumps": "chip chip-machine", "valves": "chip chip-machine",
    "equipment": "chip chip-machine", "pump_groups": "chip chip-machine", "interlocks": "chip chip-lock",
}
NARROW_SPACE = "\u202f"


@lru_cache(maxsize=65536)
def anchor(link: Link, root: str) -> Markup:
    """A link, seen from a page whose way to the root is `root`. Tags show as chips: square, round, or with thick sides.

    >>> str(anchor(Link("P-1", "pumps/p-1.html", "pumps"), "../"))
    '<a class="chip chip-machine" href="../pumps/p-1.html">P-1</a>'
    """
    shape = _CHIPS.get(link.noun, "chip")
    title = f' title="{escaped(link.title)}"' if link.title else ""
    if not link.path:
        return Markup(f'<span class="{shape}"{title}>{escaped(link.text)}</span>')  # noqa: S704  # all parts are escaped
    href = escaped(root + link.path)
    return Markup(f'<a class="{shape}" href="{href}"{title}>{escaped(link.text)}</a>')  # noqa: S704  # likewise


@lru_cache(maxsize=65536)
def _number(amount: Amount, href: str) -> Markup:
    title = f' title="{escaped(amount.title)}"' if amount.title else ""
    space = "" if amount.unit == "°" else NARROW_SPACE  # ISO 80000: degrees of angle stand at their number
    unit = f'<span class="unit">{space}{escaped(amount.unit)}</span>' if amount.unit else ""
    inner = f"{escaped(amount.number)}{unit}"
    if href:
        return Markup(f'<a class="num door" href="{escaped(href)}"{title}>{inner}</a>')  # noqa: S704  # all parts are escaped
    return Markup(f'<span class="num"{title}>{inner}</span>')  # noqa: S704  # likewise


def number(amount: Amount, root: str, paths: Mapping[str, str]) -> Markup:
    """A number with its unit; where its record has a path, a door to its working."""
    path = paths.get(amount.record) if amount.record else None
    return _number(amount, root + path if path else "")


def running(parts: Running | str, root: str, paths: Mapping[str, str]) -> Markup:
    """Running text: words, links and numbers."""
    return Markup("".join(  # noqa: S704  # each part comes escaped
        anchor(part, root) if isinstance(part, Link) else number(part, root, paths) if isinstance(part, Amount) else escaped(part)
        for part in parts
    ))


def input_rows(inputs: Iterable[Input], root: str) -> Markup:
    """The rows of a record's table: symbol, name, value, value in SI, where it comes from.

    A value that is in SI already, a result that has the input's own name, and the folder of a file are marked: the paper
    leaves them out.
    """
    return Markup("".join(_input_row(one, root) for one in inputs))  # noqa: S704  # all parts are escaped


def _input_row(one: Input, root: str) -> str:
    in_si = " again" if _is_same(one.shown, one.si) else ""
    named = ' class="again"' if one.source.text.lower() == one.name.lower() else ""
    return (f'<tr><th scope="row">{equation.symbol(one.symbol)}</th><td data-l="Input">{escaped(one.name)}</td>'
            f'<td class="n" data-l="Value">{_number(one.shown, "")}</td>'
            f'<td class="n{in_si}" data-l="In SI">{_number(one.si, "")}</td>'
            f'<td{named} data-l="From">{_source(one.source, root)}</td></tr>\n')


def _is_same(one: Amount, other: Amount) -> bool:
    """Whether two amounts show one number in one unit, 1.10 m and 1.1 m."""
    return one.unit == other.unit and float(one.number) == float(other.number)


@lru_cache(maxsize=16384)
def _source(link: Link, root: str) -> Markup:
    """Where an input comes from, the folder of a file set apart.

    >>> str(_source(Link("plant/t-1.yml:7", "sources/t-1.html#L7"), ""))
    '<a class="lk" href="sources/t-1.html#L7"><span class="folder">plant/</span>t-1.yml:7</a>'
    """
    folder, slash, file = link.text.rpartition("/")
    if not slash or not link.path.startswith("sources/"):
        return anchor(link, root)
    href = escaped(root + link.path)
    inner = Markup('<span class="folder">{}/</span>{}').format(folder, file)
    return Markup(f'<a class="lk" href="{href}">{inner}</a>')  # noqa: S704  # all parts are escaped


def coded(text: str) -> Markup:
    """Words in which backticks set what is typed apart.

    >>> str(coded("one of `a<b`"))
    'one of <code>a&lt;b</code>'
    """
    pieces = text.split("`")
    return Markup("").join(Markup("<code>{}</code>").format(piece) if place % 2 else escaped(piece)
                           for place, piece in enumerate(pieces))
