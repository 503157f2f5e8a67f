"""What every rule may look at: the plant, its results, what the trade knows, and whom each function protects."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import Any, Literal

from msgspec import Struct

from generator.model.finding import Finding, Severity
from generator.model.interlock import Interlock, StartStop
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.results import Results
from generator.model.scalar import Tag

Harm = Literal["people", "environment", "equipment", "production"]
WORST_FIRST: tuple[Harm, ...] = ("people", "environment", "equipment", "production")
SEVERITY_BY_HARM: dict[Harm, Severity] = {
    "people": "error", "environment": "error", "equipment": "warning", "production": "note",
}
"""What a failed rule weighs, by whom the function protects."""


def worst(harms: Iterator[Harm]) -> Harm | None:
    """The worst of several harms; None where there is none."""
    return min(harms, key=WORST_FIRST.index, default=None)


class Context(Struct, frozen=True, dict=True):
    """Everything a review looks at. `findings` holds those of the plant, and `rules` what every rule is called, for the
    rules about waivers."""

    plant: Definitions
    results: Results
    knowledge: Knowledge
    findings: tuple[Finding, ...] = ()
    rules: frozenset[str] = frozenset()

    def shared(self, tank: str, fact: str) -> Any:
        """A fact that flows down to a tank from its own defaults, its area's or the plant's; None where nowhere."""
        return self.plant.default(tank, fact)

    # ---- whom a function protects ---------------------------------------------------------------------------------

    def tank_where(self, begins: str) -> str | None:
        """The tank that opens the words of where a hazard begins: `T-210 overflow`."""
        words = begins.split(" ")
        starts = (" ".join(words[:count]) for count in range(len(words), 0, -1))
        return next((one for one in starts if one in self.plant.tanks), None)

    @cached_property
    def _hazards_of_tank(self) -> dict[str, list[Harm]]:
        found: dict[str, list[Harm]] = {}
        for hazard in self.plant.hazards.values():
            found.setdefault(self.tank_where(hazard.begins_at) or "", []).append(hazard.harms)
        return found

    def harm_of_tank(self, tank: str) -> Harm:
        """The worst hazard that begins at a tank; equipment where none is listed."""
        return worst(iter(self._hazards_of_tank.get(tank, ()))) or "equipment"

    def harm_of_interlock(self, tag: str) -> Harm:
        """That of its hazard; equipment for one that has only a reason."""
        hazard = self.plant.interlocks[Tag(tag)].hazard
        return self.plant.hazards[hazard].harms if hazard in self.plant.hazards else "equipment"

    @cached_property
    def _harm_of_point(self) -> dict[str, Harm]:
        made: dict[str, Harm] = {}
        for tag, point in self.plant.switches.items():
            harms = [self.harm_of_interlock(lock) for lock in self.plant.interlocks_of_cause[tag]]
            harms += [self.harm_of_alarm(alarm) for alarm in self.plant.alarms_of[tag]
                      if self.plant.alarms[alarm].safety]
            made[tag] = worst(iter(harms)) or ("production" if point.role == "control" else "equipment")
        return made

    def harm_of_point(self, tag: str) -> Harm:
        """The worst of what rests on a point; production for one of ordinary running."""
        return self._harm_of_point[tag]

    def harm_of_alarm(self, tag: str) -> Harm:
        """The tank's worst for an alarm that is credited, or after which nothing else acts; equipment for others."""
        alarm = self.plant.alarms[Tag(tag)]
        tank = self.tank_of_alarm(tag)
        source = self.plant.switches.get(alarm.from_)
        tells_of_trip = alarm.from_ in self.plant.interlocks or (source is not None and source.role == "trip")
        if tank is not None and (alarm.safety or (alarm.before is None and not tells_of_trip)):
            return self.harm_of_tank(tank)
        return "people" if alarm.safety else "equipment"

    def tank_of_alarm(self, tag: str) -> str | None:
        """The tank that an alarm tells of; None where it tells of none."""
        source = self.plant.alarms[Tag(tag)].from_
        if source in self.plant.switches:
            return self.plant.tank_of(source)
        if source in self.plant.instruments:
            return self.plant.instruments[source].tank
        return next(iter(self.plant.tanks_of_interlock[source]), None)

    def harm_of_element(self, tag: str) -> Harm:
        """The worst of the interlocks that drive a pump, valve or piece of equipment; production where none does."""
        return worst(self.harm_of_interlock(lock) for lock in self.plant.interlocks_of_effect[tag]) or "production"

    # ---- who runs a tank ------------------------------------------------------------------------------------------

    @cached_property
    def control_bodies(self) -> dict[str, frozenset[str]]:
        """Bodies on which the ordinary running of each tank rests."""
        made: dict[str, set[str]] = {}
        for control in self.plant.controls.values():
            bodies = made.setdefault(control.tank, set())
            if isinstance(control, StartStop):
                points = (*control.starts, control.stops)
                bodies |= {self.plant.switches[point].in_ for point in points if point in self.plant.switches}
            else:
                bodies.add(control.measures)
        return {tank: frozenset(bodies) for tank, bodies in made.items()}

    @cached_property
    def control_elements(self) -> dict[str, frozenset[str]]:
        """Pumps, valves and equipment that the ordinary running of each tank moves, groups and their pumps alike."""
        made: dict[str, set[str]] = {}
        for control in self.plant.controls.values():
            made.setdefault(control.tank, set()).update((control.moves, *self.plant.members_of(control.moves)))
        return {tank: frozenset(elements) for tank, elements in made.items()}

    def bodies_of(self, lock: Interlock) -> tuple[str, ...]:
        """Bodies on which a cause rests, in the order written."""
        points = (tag for tag in lock.when.tags() if tag in self.plant.switches)
        return tuple(dict.fromkeys(self.plant.switches[tag].in_ for tag in points))

    # ---- who uses what, looked up once ----------------------------------------------------------------------------

    @cached_property
    def alarms_of_tank(self) -> Mapping[str, tuple[str, ...]]:
        """Alarms that tell of each tank."""
        made: defaultdict[str, list[str]] = defaultdict(list)
        for tag in self.plant.alarms:
            made[self.tank_of_alarm(tag) or ""].append(tag)
        return {tank: tuple(tags) for tank, tags in made.items()}

    @cached_property
    def interlocks_of_hazard(self) -> Mapping[str, tuple[str, ...]]:
        """Interlocks that protect from each hazard."""
        made: defaultdict[str, list[str]] = defaultdict(list)
        for tag, lock in self.plant.interlocks.items():
            if lock.hazard:
                made[lock.hazard].append(tag)
        return {hazard: tuple(tags) for hazard, tags in made.items()}

    @cached_property
    def users_beside_the_cause(self) -> Mapping[str, tuple[str, ...]]:
        """Who uses each signal or switch otherwise than as a cause: resets, keys, substitutes, supplies, actions."""
        made: defaultdict[str, list[str]] = defaultdict(list)
        for tag, lock in self.plant.interlocks.items():
            used = [lock.reset.button, *lock.reset.when.tags()] if lock.reset else []
            if lock.bypass:
                used += [lock.bypass.key, *lock.bypass.relies_on, *(lock.bypass.ends.tags() if lock.bypass.ends else ())]
            for one in used:
                made[str(one)].append(tag)
        for tag, supply in self.plant.supplies.items():
            made[str(supply.loss_shown_by)].append(tag)
        for tag, link in self.plant.links.items():
            made[str(link.loss_shown_by)].append(tag)
        for tag, alarm in self.plant.alarms.items():
            for one in alarm.uses:
                made[one].append(tag)
        return {one: tuple(tags) for one, tags in made.items()}
