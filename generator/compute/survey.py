"""The plant seen as a whole, once: who shares, joins or protects whom, so that no fact walks through all tanks anew."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cached_property

from msgspec import Struct, field

from generator.compute.causes import level_causes
from generator.model.failure import Layer
from generator.model.plant import Definitions
from generator.model.scalar import Tag


class Survey(Struct, frozen=True, dict=True):
    """Groupings of one plant that facts of single subjects ask for."""

    plant: Definitions
    layers: Mapping[str, tuple[Layer, ...]] = field(default_factory=dict)
    """Layers of each hazard, where they are known."""

    @cached_property
    def sharers_of(self) -> Mapping[str, frozenset[str]]:
        """For each tank those that say they share its overflow or vent."""
        return _sets((str(other), str(tag)) for tag, tank in self.plant.tanks.items() for other in tank.shared_with)

    @cached_property
    def joined_to(self) -> Mapping[str, frozenset[str]]:
        """For each tank those that a stream or a shared overflow joins to it."""
        ends = [(str(stream.from_), str(stream.into)) for stream in self.plant.streams.values()]
        ends += [(str(tag), str(other)) for tag, tank in self.plant.tanks.items() for other in tank.shared_with]
        return _sets([*ends, *((into, from_) for from_, into in ends)])

    def tanks_with(self, hazards: Iterable[str]) -> tuple[str, ...]:
        """Tanks whose liquid has any of the hazards, as written in the plant."""
        found = {tag for hazard in hazards for tag in self._tanks_of_hazard[hazard]}
        return tuple(str(tag) for tag in self.plant.tanks if tag in found) if found else ()

    @cached_property
    def _tanks_of_hazard(self) -> Mapping[str, frozenset[str]]:
        return _sets((str(hazard), str(tag)) for tag, tank in self.plant.tanks.items()
                     for hazard in self.plant.liquids[tank.liquid].hazards or ())

    @cached_property
    def bodies_of(self) -> Mapping[str, frozenset[str]]:
        """Instruments that each interlock rests on."""
        return _sets((str(tag), str(self.plant.switches[cause.tag].in_)) for tag, lock in self.plant.interlocks.items()
                     for cause in level_causes(self.plant, lock.when))

    @cached_property
    def protecting_from(self) -> Mapping[str, tuple[Tag, ...]]:
        """Interlocks that act, not merely permit, against each hazard."""
        groups: defaultdict[str, tuple[Tag, ...]] = defaultdict(tuple)
        for tag, lock in self.plant.interlocks.items():
            if lock.hazard is not None and lock.kind != "permissive":
                groups[lock.hazard] += (tag,)
        return groups


def _sets(pairs: Iterable[tuple[str, str]]) -> Mapping[str, frozenset[str]]:
    groups: defaultdict[str, set[str]] = defaultdict(set)
    for key, value in pairs:
        groups[key].add(value)
    return defaultdict(frozenset, {key: frozenset(values) for key, values in groups.items()})
