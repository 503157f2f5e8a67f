"""Relays that drop out or weld, told by the contacts that work them: a relay is pulled in while its contact is closed.

One that has dropped out is to the logic a contact that is open, one that has welded a contact that is closed; which of
the two asks for something is said by the contact. So a float that opens to start pumps starts them by a relay that drops
out, whatever the pumps would do without their drive. Of a relay that no recorded contact works, nothing is claimed.
"""

from collections.abc import Iterator, Mapping
from functools import cached_property

from msgspec import Struct

from generator.compute.damage import Damage
from generator.model.interlock import StartStop
from generator.model.plant import Definitions
from generator.model.scalar import Tag

UNKNOWN = "cannot be assessed: no contact is recorded that works it"


class Relays(Struct, frozen=True, dict=True):
    """The relays of a plant, their contacts and what they reach."""

    plant: Definitions

    @cached_property
    def worked_by(self) -> Mapping[str, tuple[Tag, ...]]:
        """Points whose contact works each relay."""
        made: dict[str, list[Tag]] = {}
        for tag, switch in self.plant.switches.items():
            if switch.contact is not None and switch.contact.drives in self.plant.relays:
                made.setdefault(str(switch.contact.drives), []).append(tag)
        return {relay: tuple(points) for relay, points in made.items()}

    def reads(self, relay: str, contact: str) -> dict[str, bool]:
        """What each point of a relay says while the relay stands as with its contact "open" or "closed"."""
        return {str(tag): (known.at_the_point == "opens") == (contact == "open") for tag in self.worked_by.get(relay, ())
                if (known := self.plant.switches[tag].contact) is not None}

    def reach(self, relay: str) -> frozenset[str]:
        """Devices that a relay switches, by itself and by further relays; a group with its pumps."""
        found: set[str] = set()
        waiting, seen = [relay], set()
        while waiting:
            one = waiting.pop()
            if one in seen:
                continue
            seen.add(one)
            for target in self.plant.relays[Tag(one)].drives:
                if target in self.plant.relays:
                    waiting.append(str(target))
                else:
                    found |= {str(target), *map(str, self.plant.members_of(target))}
        return frozenset(found)

    def locks(self, relay: str) -> tuple[Tag, ...]:
        """Interlocks that rest on a point of a relay, permissives left out."""
        return tuple(dict.fromkeys(
            lock for point in self.worked_by.get(relay, ()) for lock in self.plant.interlocks_of_cause[point]
            if self.plant.interlocks[lock].kind != "permissive"))

    def devices(self, lock: Tag) -> tuple[Tag, ...]:
        """Devices that an interlock drives, groups as their pumps."""
        return tuple(dict.fromkeys(one for target in self.plant.interlocks[lock].then
                                   for one in self.plant.members_of(target) or (target,)))

    def held_back(self, relay: str, reads: Mapping[str, bool]) -> frozenset[tuple[str, str]]:
        """Interlocks and devices of a relay that stays at rest: whatever asks, the relay keeps its devices.

        Only where every point of the interlock works this relay; otherwise the other points have a way of their own.
        """
        held: set[tuple[str, str]] = set()
        for lock in self.locks(relay):
            condition = self.plant.interlocks[lock].when
            points = [tag for tag in dict.fromkeys(condition.tags()) if tag in self.plant.switches]
            if points and all(tag in reads and reads[tag] not in condition.senses(tag) for tag in points):
                held |= {(str(lock), str(one)) for one in self.devices(lock) if one in self.reach(relay)}
        return frozenset(held)

    def _unrecorded(self, relay: str) -> str:
        """Devices of its interlocks that the relay is not recorded to reach, in words."""
        reach = self.reach(relay)
        said = [f"by what way {lock} reaches {', '.join(missing)}" for lock in self.locks(relay)
                if reach and (missing := [str(one) for one in self.devices(lock) if one not in reach])]
        return f"cannot be assessed, for it is not recorded: {'; '.join(said)}" if said else ""

    def _is_two_point(self, relay: str) -> bool:
        """Whether a relay both starts and stops: it stays pulled in, or dropped out, between two points."""
        points = set(self.worked_by.get(relay, ()))
        return any(isinstance(control, StartStop) and control.stops in points and points & set(control.starts)
                   for control in self.plant.controls.values())

    def modes(self) -> Iterator[tuple[str, str, str, Damage, str]]:
        """Each way in which each relay fails: relay, words, tank, damage, note."""
        for tag in map(str, self.plant.relays):
            points = self.worked_by.get(tag, ())
            if not points:
                if self.reach(tag):
                    yield from ((tag, words, "", Damage(), UNKNOWN) for words in ("welded", "dropped out"))
                continue
            tank = str(self.plant.tank_of(points[0]))
            ways = [("welded", "closed"), ("dropped out", "open")]
            if self._is_two_point(tag):
                ways = [("welded, pulled in", "closed"), ("welded, dropped out", "open"), ("dropped out", "open")]
            for words, contact in ways:
                reads = self.reads(tag, contact)
                yield tag, words, tank, Damage(reads, unreached=self.held_back(tag, reads)), self._unrecorded(tag)
