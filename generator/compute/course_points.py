"""Which causes stand while levels move: points with their deadbands and delays, signals of lost supplies, faults.

A point acts at the height that stands and lets go its differential further back; what lies between its earliest and its
latest action is the matter of the time budgets. Points of other tanks stand as they do in the middle of their normal
bands; a fault or a lost supply reaches them all the same. Signals of a final element that the course moves follow it
(`course_signals.py`), those of a lost supply the supply; all others stay off.
"""

from collections.abc import Iterator, Mapping

from generator.compute.course_links import Links
from generator.compute.relay_failures import Relays
from generator.compute.timed import Timed
from generator.model.plant import Definitions
from generator.model.record import value_of
from generator.model.results import ContactResult, SetpointResult
from generator.model.scalar import Tag

SAME = 1e-7
"""Heights closer than this are one. [m]"""
LOSSES = ("supply lost", "air lost", "communication lost")


class Points:
    """The causes of the logic of the tanks that move, at one moment."""

    def __init__(self, plant: Definitions, setpoints: Mapping[str, SetpointResult],
                 contacts: Mapping[str, ContactResult], tanks: tuple[str, ...], is_instant: bool) -> None:
        self.plant, self.contacts, self.is_instant = plant, contacts, is_instant
        self.of_tank = {tank: tuple(tag for tag in plant.switches_of[tank] if setpoints[tag].stands is not None)
                        for tank in tanks}
        self.own = tuple(tag for tags in self.of_tank.values() for tag in tags)
        self.switches = {str(tag): plant.switches[tag] for tag in self.own}
        self.heights = {tag: _heights(setpoints[tag], is_instant) for tag in self.own}
        self.rises = {tag: plant.switches[tag].acts == "rising" for tag in self.own}
        self.beyond: dict[str, bool] = dict.fromkeys(self.own, False)
        self.timed: dict[str, Timed] = {tag: Timed() for tag in self.own}
        self.delays = {tag: _delays(plant, tag) for tag in self.own}
        self.signals = {str(tag): one for tag, one in plant.signals.items()}
        self.told: Mapping[Tag, Timed] = {}
        """Signals that follow a final element of the course."""
        self.others: dict[str, bool] = {}
        self._setpoints = setpoints
        self.faults: dict[str, str] = {}
        self.lost: set[str] = set()
        self.links, self.relays = Links(plant), Relays(plant)
        self.frozen: dict[str, bool] = {}

    def move(self, tank: str, level: float) -> None:
        """Let every point of a tank see its level."""
        for tag in self.of_tank[tank]:
            act, reset = self.heights[tag]
            sign = 1.0 if self.rises[tag] else -1.0
            if sign * (level - act) >= -SAME:
                self.beyond[tag] = True
            elif (sign * (level - reset) <= SAME and reset != act) or sign * (level - reset) < -SAME:
                self.beyond[tag] = False

    def forget(self, tank: str, level: float) -> None:
        """Power is back: a contact kept its place, a set point lost the memory of its deadband."""
        for tag in self.of_tank[tank]:
            if self.plant.switches[tag].contact is None:
                act, _ = self.heights[tag]
                self.beyond[tag] = (level - act) * (1.0 if self.rises[tag] else -1.0) >= -SAME

    def thresholds(self, tank: str, is_rising: bool) -> Iterator[float]:
        """Heights at which a point of a tank would change while its level moves one way."""
        for tag in self.of_tank[tank]:
            act, reset = self.heights[tag]
            if self.rises[tag] == is_rising and not self.beyond[tag]:
                yield act
            if self.rises[tag] != is_rising and self.beyond[tag]:
                yield reset

    def follow(self, now: float) -> None:
        """Let the delays of the points follow what they see."""
        for tag in self.own:
            on, off = (0.0, 0.0) if self.is_instant else self.delays[tag]
            self.timed[tag].follow(self.seen(tag), now, on, off)

    def dues(self) -> Iterator[float]:
        """When a delay will be over."""
        return (one.due for one in self.timed.values() if one.due is not None)

    def seen(self, tag: Tag) -> bool:
        """What the logic is told about a point of the tank, its faults counted and its delays not."""
        return self._shown(tag, self.beyond[tag])

    def _shown(self, tag: Tag, is_beyond: bool) -> bool:
        """What the logic is told about a point, from whether its liquid stands beyond it."""
        switch = self.plant.switches[tag]
        if self.faults:
            fault = self.faults.get(tag) or self.faults.get(switch.in_)
            if fault in ("acted", "clear"):
                return fault == "acted"
            if fault in ("wet", "dry"):
                return (switch.acts == "rising") == (fault == "wet")
            if fault == "stays":
                return self.frozen.setdefault(tag, is_beyond)
        contact = switch.contact
        if self.lost and contact is not None and self.is_dropped(contact.drives):
            return contact.at_the_point == "opens"
        if self.lost and contact is not None and self.is_dead(tag):
            shown = self.contacts[tag].supply_lost
            return shown == self.contacts[tag].acted if shown else is_beyond
        return is_beyond

    def is_dead(self, tag: Tag) -> bool:
        """Whether the supply of a point's loop is lost, or the panel that it ends in is dead."""
        wiring = self.plant.instruments[self.plant.switches[tag].in_].wiring
        return wiring is not None and (wiring.supply in self.lost or wiring.panel in self.lost)

    def is_dropped(self, tag: str | None) -> bool:
        """Whether a relay has dropped out: by itself, with its supply, or with its panel."""
        relay = self.plant.relays.get(Tag(tag)) if tag is not None else None
        return relay is not None and bool({str(tag), str(relay.supply), str(relay.panel)} & self.lost)

    def is_without_drive(self, relay: str) -> bool:
        """Whether what a relay switches loses its drive: it has dropped out, and no recorded contact says what that asks for.

        With a contact, the drop is that contact open: its functions are told so, and they say what its devices do.
        """
        return not self.relays.worked_by.get(relay) and self.is_dropped(relay)

    def held_back(self) -> frozenset[tuple[str, str]]:
        """Interlocks and devices between which a relay stands that has dropped out and that nothing can pull in."""
        return frozenset(pair for relay in self.relays.worked_by if self.is_dropped(relay)
                         for pair in self.relays.held_back(relay, self.relays.reads(relay, "open"))) if self.lost else frozenset()

    def is_bad(self, tag: str) -> bool:
        """Whether the system itself sees that a signal is bad: a set point without power."""
        point = self.plant.switches.get(Tag(tag)) if self.lost else None
        return point is not None and point.contact is None and self.is_dead(Tag(tag))

    def acted(self, tag: str) -> bool:
        """Whether a cause stands, its delays over."""
        timed = self.timed.get(tag)
        if timed is not None:
            return timed.value
        if tag in self.plant.switches:
            return self._shown(Tag(tag), self._at_normal(tag))
        signal = self.signals.get(tag)
        if signal is None:
            return False
        if self.faults.get(tag):
            return self.faults[tag] != "clear"
        if tag in self.told:
            return self.told[Tag(tag)].value
        return signal.kind in LOSSES and str(signal.of) in self.lost

    def is_known(self, tag: str) -> bool:
        """Whether a signal tells of something that a scenario follows; what a person does counts as not done."""
        signal = self.signals.get(tag)
        return signal is None or tag in self.faults or tag in self.told or signal.kind not in (
            "position", "running", "temperature", "pressure", "flow", "other")

    def _at_normal(self, tag: str) -> bool:
        if tag not in self.others:
            self.others[tag] = at_normal(self.plant, self._setpoints, tag)
        return self.others[tag]


def at_normal(plant: Definitions, setpoints: Mapping[str, SetpointResult], tag: str) -> bool:
    """Whether a point has acted while its own tank stands in the middle of its normal band; False where unknown."""
    levels, point = plant.tanks[plant.tank_of(tag)].levels, setpoints[tag]
    if levels.normal_low is None or levels.normal_high is None or point.stands is None:
        return False
    middle = (levels.normal_low.si + levels.normal_high.si) / 2
    return middle >= point.stands if point.acts == "rising" else middle <= point.stands


def _heights(point: SetpointResult, is_certain: bool = False) -> tuple[float, float]:
    """Where a point acts and where it lets go; `is_certain` for where it has let go whatever its error. [m]"""
    assert point.stands is not None
    if is_certain and point.clear_at is not None:
        return point.stands, point.clear_at
    span = value_of(point.differential) or 0.0
    return point.stands, point.stands - span if point.acts == "rising" else point.stands + span


def _delays(plant: Definitions, tag: Tag) -> tuple[float, float]:
    """Time until a point counts as acted, and as clear. [s]"""
    point = plant.switches[tag]
    sensor = plant.instruments[point.in_].response_time
    lag = sensor.si if sensor else 0.0
    return lag + (point.on_delay.si if point.on_delay else 0.0), lag
