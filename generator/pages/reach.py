"""If this changes: the tags that a result or a written line reaches through the calculations."""

from collections.abc import Iterable, Mapping

from msgspec import Struct

from generator.model.dependencies import Dependencies
from generator.model.page import Link

MOST = 12
"""Tags named before the rest are only counted."""


class ReachView(Struct, frozen=True):
    """Tags that are reached, in the order of the plant, and how many more there are."""

    tags: tuple[Link, ...]
    more: int


def owner(key: str) -> str:
    """The tag that a record belongs to.

    >>> owner("#T-1/ceiling")
    'T-1'
    """
    return key.removeprefix("#").split("/")[0]


def reached(graph: Dependencies) -> Mapping[str, frozenset[str]]:
    """Tags that each source reaches, however far. Shared ways are walked once."""
    made: dict[str, frozenset[str]] = {}
    for start in graph.feeds:
        waiting = [start]
        while waiting:
            here = waiting[-1]
            if here in made:
                waiting.pop()
                continue
            following = graph.feeds.get(here, ())
            unknown = [key for key in following if key not in made]
            if unknown:
                waiting += unknown
                continue
            made[here] = frozenset({owner(key) for key in following}.union(*(made[key] for key in following)))
            waiting.pop()
    return made


def of_sources(reach: Mapping[str, frozenset[str]], sources: Iterable[str]) -> frozenset[str]:
    """Tags that several sources reach together."""
    return frozenset().union(*(reach.get(source, frozenset()) for source in sources))
