"""The bypass planner: for each bypass and each pair, what still stands against every hazard, and with how many minutes.

Two bypasses are a pair where they stand against one hazard, or where the action of one drives a tank towards the hazard
that the other stands against: the trip of a tank stops what its neighbour sends. They are one too where a stream or an
overflow joins their tanks and both out leave a hazard without an interlock: the tank that spills without its trip fills
the next. Any other two add nothing to each other, and each is planned by itself. A bypass that takes out one member of a
vote leaves the function to the vote that remains, whichever member it is. What is recorded as defective counts as failed
throughout.
"""

from collections.abc import Collection, Iterator
from functools import cached_property
from itertools import combinations

from msgspec import Struct
from msgspec.structs import replace

from generator.compute.damage import Damage, Judge
from generator.compute.layers import Layers
from generator.model.failure import BypassCase, Drive, Exposure, Layer
from generator.model.plant import Definitions
from generator.model.scalar import Tag


def results(plant: Definitions, layers: Layers) -> tuple[BypassCase, ...]:
    """Single bypasses first, then pairs."""
    work = Bypasses(plant, layers)
    singles = [str(tag) for tag, lock in plant.interlocks.items() if lock.bypass is not None]
    known = set(singles)
    pairs = dict.fromkeys(
        pair for on in layers.by_hazard.values()
        for pair in combinations([layer.tag for layer in on if layer.tag in known], 2))
    order = {tag: place for place, tag in enumerate(singles)}
    for tag in singles:
        for other in work.driving(tag):
            if other in known:
                first, second = sorted((tag, other), key=order.__getitem__)
                pairs[first, second] = None
    joined = {pair for both in work.joined(known) for pair in combinations(sorted(both, key=order.__getitem__), 2)}
    cases = [work.case(pair) for pair in sorted(joined - pairs.keys(), key=lambda pair: [order[one] for one in pair])]
    bare = [case for case in cases if work.is_bare_of_trips(case)]
    return (*(work.case((tag,)) for tag in singles), *(work.case(pair) for pair in pairs), *bare)


class Bypasses(Struct, frozen=True, dict=True):
    """Bypasses of one plant."""

    plant: Definitions
    layers: Layers

    @cached_property
    def judge(self) -> Judge:
        """What a damage leaves of each function."""
        return Judge(self.plant, self.layers)

    @cached_property
    def _by_key(self) -> dict[str, list[str]]:
        """Interlocks that each bypass key takes out."""
        made: dict[str, list[str]] = {}
        for tag, lock in self.plant.interlocks.items():
            if lock.bypass is not None and lock.bypass.key is not None:
                made.setdefault(str(lock.bypass.key), []).append(str(tag))
        return made

    @cached_property
    def _drives(self) -> dict[str, list[Drive]]:
        """For each hazard, interlocks of other tanks whose action drives the level towards it."""
        made: dict[str, list[Drive]] = {}
        for tag, lock in self.plant.interlocks.items():
            if lock.kind == "permissive":
                continue
            own = self.plant.tanks_of_interlock.get(tag, ())
            ways = dict.fromkeys(pair for device, state in lock.then.items()
                                 for pair in self.layers.liquid.neighbours(device, state))
            for tank, sign in ways:
                if tank in own or not own or (tank, -sign) in ways:
                    continue
                for hazard in self.layers.hazards_at.get((tank, "rising" if sign > 0 else "falling"), ()):
                    goes = "rises" if sign > 0 else "falls"
                    made.setdefault(hazard, []).append(Drive(str(tag), tank, goes, hazard))
        return made

    def driving(self, tag: str) -> tuple[str, ...]:
        """Interlocks of other tanks whose action drives a level towards a hazard that an interlock stands against."""
        return tuple(dict.fromkeys(one.interlock for hazard in self.layers.hazards_of.get(tag, ())
                                   for one in self._drives.get(hazard, ()) if one.interlock != tag))

    def joined(self, known: Collection[str]) -> Iterator[frozenset[str]]:
        """Interlocks of two tanks that one stream takes to their hazards, emptying or spilling the first into the second."""
        for stream in self.plant.streams.values():
            above, below = str(stream.from_), str(stream.into)
            if above not in self.plant.tanks or below not in self.plant.tanks:
                continue
            firsts = self._against(above, "rising" if stream.by_overflow else "falling")
            seconds = self._against(below, "rising")
            yield from (frozenset((one, other)) for one in firsts for other in seconds
                        if one != other and one in known and other in known)

    def _against(self, tank: str, direction: str) -> tuple[str, ...]:
        """Interlocks that stand against a hazard of a tank in a direction."""
        return tuple(dict.fromkeys(layer.tag for hazard in self.layers.hazards_at.get((tank, direction), ())
                                   for layer in self.layers.by_hazard[hazard] if layer.kind == "trip"))

    def is_bare_of_trips(self, case: BypassCase) -> bool:
        """Whether a hazard of a case is left without an interlock."""
        return any(all(layer.kind != "trip" for layer in exposure.remains) for exposure in case.exposures)

    def case(self, bypassed: tuple[str, ...]) -> BypassCase:
        """What is left while some interlocks are bypassed."""
        out = dict.fromkeys(bypassed)
        for tag in bypassed:
            bypass = self.plant.interlocks[Tag(tag)].bypass
            out.update(dict.fromkeys(self._by_key.get(str(bypass.key), ()) if bypass is not None else ()))
        reduced = {tag for tag in out if self.plant.interlocks[Tag(tag)].vote_left is not None}
        damage = Damage(still=self.judge.defects, dead=frozenset(out.keys() - reduced))
        hazards = dict.fromkeys(hazard for tag in out for hazard in self.layers.hazards_of.get(tag, ()))
        taken = {str(self.plant.switches[cause].in_) for tag in out
                 for cause in self.plant.interlocks[Tag(tag)].when.tags() if cause in self.plant.switches}
        relies = dict.fromkeys(
            str(one) for tag in bypassed if (bypass := self.plant.interlocks[Tag(tag)].bypass) is not None
            for one in bypass.relies_on if self._stands(str(one), taken, set(out) - reduced))
        return BypassCase(bypassed, tuple(tag for tag in out if tag not in bypassed),
                          tuple(self._exposures(hazards, damage, reduced)), tuple(relies),
                          tuple(one for hazard in hazards for one in self._drives.get(hazard, ())
                                if one.interlock not in out), tuple(tag for tag in out if tag in reduced))

    def _stands(self, tag: str, taken: set[str], out: set[str]) -> bool:
        """Whether a substitute rests on something that is neither bypassed nor defective."""
        alarm = self.plant.alarms.get(Tag(tag))
        source = str(alarm.from_) if alarm is not None else tag
        body = str(self.plant.switches[Tag(source)].in_) if source in self.plant.switches else source
        return body not in taken and source not in out and source not in self.judge.defects and body not in self.judge.defects

    def _exposures(self, hazards: dict[str, None], damage: Damage, reduced: set[str]) -> Iterator[Exposure]:
        for hazard in hazards:
            remains: list[Layer] = []
            lost: list[Layer] = []
            for layer in self.layers.by_hazard[hazard]:
                (lost if self._standing(layer, damage, reduced) == "nothing" else remains).append(layer)
            yield Exposure(hazard, False, tuple(remains), tuple(lost), (), self.layers.consequence.get(hazard),
                           spilled=self.layers.spilled.get(hazard, ()))

    def _standing(self, layer: Layer, damage: Damage, reduced: set[str]) -> str:
        """What is left of a layer; of a vote with one member out, what is left whichever member that is."""
        alarm = self.plant.alarms.get(Tag(layer.tag)) if layer.kind == "alarm" else None
        source = str(alarm.from_) if alarm is not None else layer.tag
        if source not in reduced:
            return self.judge.standing(layer, damage)
        lock = self.plant.interlocks[Tag(source)]
        counts = bool(lock.bypass and lock.bypass.member_counts)
        members = [tag for part in lock.vote.inner for tag in part.tags()] if lock.vote is not None else []
        left = {self.judge.standing(layer, replace(damage, forced={**damage.forced, tag: counts})) for tag in members}
        return next(one for one in ("nothing", "part", "whole") if one in left)
