"""A logic diagram as data: boxes and the lines between them. The printer places and draws it."""

from typing import Literal

from msgspec import Struct

BoxKind = Literal[
    "cause",
    "manual",
    "bypass",
    "mode",
    "gate",
    "delay",
    "latch",
    "function",
    "effect",
    "permitted",
    "alarm",
    "tank",
    "machine",
    "stream",
]
CAUSES: tuple[BoxKind, ...] = ("cause", "manual", "bypass", "mode", "tank")
"""Kinds that stand at the side where the diagram begins."""
EFFECTS: tuple[BoxKind, ...] = ("effect", "permitted", "alarm", "stream")
"""Kinds that stand at the side where it ends."""


class Node(Struct, frozen=True):
    """One box: its lines of text, the first of which names it.

    `key` is unique in its diagram. `path` is the page it leads to, relative to the site's root; empty where it leads
    nowhere. `title` is what it says in one sentence.
    """

    key: str
    lines: tuple[str, ...]
    kind: BoxKind
    path: str = ""
    title: str = ""


class Edge(Struct, frozen=True):
    """A line from one box to the next. Words stand in boxes, never on lines."""

    source: str
    target: str


class Diagram(Struct, frozen=True):
    """A whole diagram. `key` makes its ids unique on a page; `title` says in one sentence what it shows."""

    key: str
    title: str
    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
