"""Links while levels move: what the far end is told while one is lost, and which orders still come.

From the moment a link is lost everything that crosses it stays as it was. Once it is taken as lost its signals are bad, stay
as they were, or look like open contacts, and outputs hold their last order or drop, as the link states.
"""

from collections.abc import Iterator

from generator.compute.link_failures import looks_open
from generator.model.interlock import Modulating
from generator.model.plant import Definitions
from generator.model.scalar import Tag


class Links:
    """The links of a plant at one moment of a course."""

    def __init__(self, plant: Definitions) -> None:
        self.plant = plant
        self.lost: dict[str, float] = {}
        """Links that are lost, and since when. [s]"""
        self.noticed: set[str] = set()
        self.dropped: set[str] = set()
        """Devices whose output has dropped."""
        self._kept: dict[tuple[str, str, str], bool] = {}
        self._orders: dict[tuple[str, str], str] = {}

    def lose(self, link: str, now: float) -> None:
        """Nothing comes through any more, and nobody knows yet."""
        self.lost.setdefault(link, now)

    def notice(self, link: str, since: float) -> bool:
        """The loss that began at a time is taken as one; whether it still lasts."""
        if self.lost.get(link) != since:
            return False
        self.noticed.add(link)
        self._drop()
        return True

    def mend(self, link: str) -> None:
        """It works again."""
        self.lost.pop(link, None)
        self.noticed.discard(link)
        self._kept = {key: state for key, state in self._kept.items() if key[0] != link}
        self._orders = {key: state for key, state in self._orders.items() if key[0] != link}
        self._drop()

    def _drop(self) -> None:
        self.dropped = {device for link in self.noticed if self.plant.links[Tag(link)].orders == "drop"
                        for _, device in self.plant.crossings[link].orders}

    def shows(self, function: str, signal: str, state: bool) -> tuple[bool, bool]:
        """What a function is told of a signal that has a state: that it shows, and whether it is known to be bad."""
        for link in self.lost:
            if (function, signal) not in self.plant.crossings[link].read:
                continue
            kept = self._kept.setdefault((link, function, signal), state)
            received = self.plant.links[Tag(link)].received_signals
            if link not in self.noticed or received in ("hold", None):
                return kept, False
            shown = looks_open(self.plant, signal) if received == "open" else None
            return (kept, True) if shown is None else (shown, False)
        return state, False

    def message(self, alarm: str, origin: str, state: bool) -> bool:
        """Whether the screen is told what an alarm comes from: a message that does not come through leaves it as it was."""
        for link in self.lost:
            if alarm in self.plant.crossings[link].messages:
                return self._kept.setdefault((link, alarm, ""), state)
        return self.shows(alarm, origin, state)[0]

    def gives(self, function: str, device: str, is_asked: bool) -> bool:
        """Whether an interlock drives a device: as it does now, or as it did when the link on the way was lost."""
        for link in self.lost:
            if (function, device) in self.plant.crossings[link].orders:
                return self._kept.setdefault((link, function, device), is_asked)
        return is_asked

    def held_orders(self, device: str, controls: tuple[Tag, ...], last: str) -> str | None:
        """The order of ordinary running that a device keeps since a link on the way was lost; None where none crosses one."""
        for link in self.lost:
            if any((control, device) in self.plant.crossings[link].orders for control in controls):
                return self._orders.setdefault((link, device), last)
        return None

    def loop(self, name: str, control: Modulating) -> str | None:
        """What a loop does with its valve while a link on its way is lost: "holds", "opens", "shuts"; None where none is."""
        moves = {str(control.moves), *map(str, self.plant.members_of(control.moves))}
        for link in self.lost:
            if any(function == name and device in moves for function, device in self.plant.crossings[link].orders):
                return "holds"
            if any(function == name for function, _ in self.plant.crossings[link].read):
                is_bad = link in self.noticed and self.plant.links[Tag(link)].received_signals in ("bad", "open")
                return str(control.bad_signal or "holds") if is_bad else "holds"
        return None

    def blind(self) -> Iterator[tuple[str, str]]:
        """Controls that do not state what they do with a bad point, and have one while a link is taken as lost; with the link."""
        for link in sorted(self.noticed):
            if self.plant.links[Tag(link)].received_signals == "bad":
                yield from dict.fromkeys(
                    (function, link) for function, _ in self.plant.crossings[link].read
                    if function in self.plant.controls and self.plant.controls[Tag(function)].bad_signal is None)


def gaps(plant: Definitions, link: Tag) -> tuple[str, ...]:
    """What a link leaves open that a course needs to know, as paths of the missing fields."""
    one, across = plant.links[link], plant.crossings[str(link)]
    asked = (("watched_for", True), ("received_signals", bool(across.read)), ("orders", bool(across.orders)))
    return tuple(f"links/{link}/{field}" for field, is_needed in asked if is_needed and getattr(one, field) is None)
