"""What depends on what: from a place in the definitions, or a result, to every result that it reaches."""

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property

from msgspec import Struct, field

from generator.model.place import Place


def node(source: Place | str) -> str:
    """The name of a source in the graph: a record's key as it is, a place as file:line:column."""
    return str(source)


class Dependencies(Struct, frozen=True, dict=True):
    """A graph without circles. `feeds` maps a source to the keys of the results that take it in directly."""

    feeds: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    def of(self, *sources: Place | str) -> tuple[str, ...]:
        """Keys of every result that rests on any of some sources, nearest first."""
        found: dict[str, None] = {}
        waiting = [node(source) for source in sources]
        while waiting:
            reached = dict.fromkeys(key for one in waiting for key in self.feeds.get(one, ()) if key not in found)
            found.update(reached)
            waiting = list(reached)
        return tuple(found)

    def of_line(self, file: str, line: int) -> tuple[str, ...]:
        """Keys of every result that rests on something written in a line."""
        return self.of(*self.places.get((file, line), ()))

    @cached_property
    def places(self) -> Mapping[tuple[str, int], tuple[str, ...]]:
        """Sources by the file and line in which they are written."""
        return dict(_by_line(self.feeds))


def _by_line(sources: Iterable[str]) -> Iterator[tuple[tuple[str, int], tuple[str, ...]]]:
    lines: dict[tuple[str, int], list[str]] = {}
    for source in sources:
        if not source.startswith("#"):
            file, line, _ = source.rsplit(":", 2)
            lines.setdefault((file, int(line)), []).append(source)
    yield from ((line, tuple(many)) for line, many in lines.items())
