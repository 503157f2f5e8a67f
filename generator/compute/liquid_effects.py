"""What a driven device does to the level of a tank, by the streams that it moves or lets through."""

from functools import cached_property

from msgspec import Struct

from generator.model.plant import Definitions
from generator.model.scalar import Tag

STOPPED, STARTED = frozenset(("stopped", "closed", "off")), frozenset(("running", "open", "on"))
OPPOSITE = {"stopped": "running", "running": "stopped", "closed": "open", "open": "closed", "off": "on", "on": "off"}


class LiquidEffects(Struct, frozen=True, dict=True):
    """Streams of a plant by the devices that they pass."""

    plant: Definitions

    @cached_property
    def streams_of(self) -> dict[str, tuple[Tag, ...]]:
        """Streams that each pump, group, valve moves or lets through; a group's streams count for its pumps."""
        found: dict[str, list[Tag]] = {}
        for tag, stream in self.plant.streams.items():
            movers = [*([stream.moved_by] if stream.moved_by else []), *stream.through]
            for mover in movers:
                for one in (mover, *self.plant.members_of(mover)):
                    found.setdefault(str(one), []).append(tag)
                for group in self.plant.group_of[mover]:
                    found.setdefault(str(group), []).append(tag)
        return {device: tuple(dict.fromkeys(tags)) for device, tags in found.items()}

    def change(self, device: str, state: str, tank: str) -> int:
        """+1 where driving a device to a state raises the level of a tank, -1 where it lowers it, 0 for neither."""
        if state not in STOPPED and state not in STARTED:
            return 0
        into = out = False
        for tag in self.streams_of.get(device, ()):
            stream = self.plant.streams[tag]
            into |= stream.into == tank
            out |= stream.from_ == tank and not stream.by_overflow
        members = (device, *self.plant.members_of(device))
        out |= any((pump := self.plant.pumps.get(Tag(one))) is not None and pump.suction.tank == tank
                   for one in members)
        if into == out:
            return 0
        return 1 if into == (state in STARTED) else -1

    def neighbours(self, device: str, state: str) -> tuple[tuple[str, int], ...]:
        """Tanks whose level a device in a state changes, each with the direction."""
        tanks = dict.fromkeys(str(end) for tag in self.streams_of.get(device, ())
                              for end in (self.plant.streams[tag].from_, self.plant.streams[tag].into)
                              if end in self.plant.tanks)
        return tuple((tank, sign) for tank in tanks if (sign := self.change(device, state, tank)))
