"""Layers against each hazard: ordinary running, alarms, trips, permissives, with the parts that each is made of."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cached_property

from msgspec import Struct

from generator.compute import spills
from generator.compute.book import Book
from generator.compute.causes import Direction, level_causes
from generator.compute.limits import hazard_level
from generator.compute.liquid_effects import LiquidEffects
from generator.compute.tanks import vessel_input
from generator.compute.travel import time_between, worst_rate
from generator.model.failure import Layer, LayerKind, Part
from generator.model.interlock import Interlock, StartStop
from generator.model.margin import SpilledTime
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import AlarmTime, TankResult, TripBudget
from generator.model.scalar import Tag


class Side(Struct, frozen=True):
    """Where a hazard begins: the tank and the direction in which the level comes to it."""

    tank: str
    direction: Direction


class Layers(Struct, frozen=True, dict=True):
    """The layers of a plant by hazard."""

    plant: Definitions
    tanks: Mapping[str, TankResult]
    trips: Mapping[str, tuple[TripBudget, ...]]
    alarms: Mapping[str, AlarmTime]
    book: Book

    @cached_property
    def liquid(self) -> LiquidEffects:
        """What devices do to levels."""
        return LiquidEffects(self.plant)

    @cached_property
    def sides(self) -> Mapping[str, Side]:
        """The side of each hazard; one whose beginning is not a level of a tank in one direction has none."""
        made: dict[str, Side] = {}
        for tag, hazard in self.plant.hazards.items():
            begins = str(hazard.begins_at)
            tank = next((one for one in (begins, begins.split(" ", 1)[0]) if one in self.plant.tanks), None)
            if tank is None or tank not in self.tanks:
                continue
            ways: list[Direction] = [way for way in ("rising", "falling")
                                     if hazard_level(self.plant, self.tanks, tank, tag, way, self.book) is not None]
            if len(ways) == 2:
                asked = [cause.direction(self.plant) for lock in self._locks_of_hazard.get(str(tag), ())
                         for cause in level_causes(self.plant, self.plant.interlocks[lock].when)
                         if self.plant.tank_of(cause.tag) == tank]
                ways = asked[:1]
            if ways:
                made[str(tag)] = Side(str(tank), ways[0])
        return made

    @cached_property
    def _locks_of_hazard(self) -> Mapping[str, tuple[Tag, ...]]:
        made: dict[str, list[Tag]] = {}
        for tag, lock in self.plant.interlocks.items():
            if lock.hazard is not None:
                made.setdefault(str(lock.hazard), []).append(tag)
        return {hazard: tuple(tags) for hazard, tags in made.items()}

    @cached_property
    def by_hazard(self) -> Mapping[str, tuple[Layer, ...]]:
        """Layers of each hazard: control, then alarms, then permissives, then trips."""
        return {str(tag): tuple(self._of(str(tag))) for tag in self.plant.hazards}

    @cached_property
    def hazards_of(self) -> Mapping[str, tuple[str, ...]]:
        """Hazards that each layer stands against."""
        made: dict[str, list[str]] = {}
        for hazard, layers in self.by_hazard.items():
            for layer in layers:
                made.setdefault(layer.tag, []).append(hazard)
        return {tag: tuple(hazards) for tag, hazards in made.items()}

    @cached_property
    def hazards_at(self) -> Mapping[tuple[str, str], tuple[str, ...]]:
        """Hazards by tank and direction."""
        made: dict[tuple[str, str], list[str]] = {}
        for hazard, side in self.sides.items():
            made.setdefault((side.tank, side.direction), []).append(hazard)
        return {side: tuple(hazards) for side, hazards in made.items()}

    def _of(self, hazard: str) -> Iterator[Layer]:
        side = self.sides.get(hazard)
        locks = list(self._locks_of_hazard.get(hazard, ()))
        if side is not None:
            yield from self._controls(hazard, side)
            yield from self._alarms(hazard, side)
            near = dict.fromkeys(lock for point in self.plant.switches_of[side.tank]
                                 for lock in self.plant.interlocks_of_cause[point])
            locks += [lock for lock in near if lock not in locks and self._also_helps(self.plant.interlocks[lock], side)]
        for kind in ("permissive", "trip"):
            for tag in locks:
                lock = self.plant.interlocks[tag]
                if (lock.kind == "permissive") == (kind == "permissive"):
                    yield self._trip(hazard, tag, lock, side, kind)

    def _controls(self, hazard: str, side: Side) -> Iterator[Layer]:
        for tag in self.plant.controls_of_tank[side.tank]:
            control = self.plant.controls[tag]
            points = (*control.starts, control.stops) if isinstance(control, StartStop) else ()
            bodies = [control.measures] if not isinstance(control, StartStop) else []
            yield self._layer(hazard, "control", tag, points, (control.moves,), bodies, str(control.by or ""))

    def _alarms(self, hazard: str, side: Side) -> Iterator[Layer]:
        for point in self.plant.switches_of[side.tank]:
            if self.plant.switches[point].acts != side.direction:
                continue
            for tag in self.plant.alarms_of[point]:
                time = self.alarms.get(tag)
                yield self._layer(hazard, "alarm", tag, (point,), self.plant.alarms[tag].uses, (), "",
                                  time.to_limit if time else None, time.needed if time else None,
                                  tuple(SpilledTime(one.spill, one.times[1:]) for one in time.spilled) if time else ())

    def _also_helps(self, lock: Interlock, side: Side) -> bool:
        """Whether an interlock of another hazard works against this one: same tank, same direction, helping device."""
        if lock.kind == "permissive" or not any(
                str(self.plant.tank_of(cause.tag)) == side.tank and cause.direction(self.plant) == side.direction
                for cause in level_causes(self.plant, lock.when)):
            return False
        wanted = -1 if side.direction == "rising" else 1
        return any(self.liquid.change(device, state, side.tank) == wanted for device, state in lock.then.items())

    def _trip(self, hazard: str, tag: Tag, lock: Interlock, side: Side | None, kind: LayerKind) -> Layer:
        points = tuple(one for one in dict.fromkeys(lock.when.tags()) if one in self.plant.switches)
        budgets = [one for one in self.trips.get(tag, ()) if side is None or one.tank == side.tank]
        worst = min((one for one in budgets if isinstance(one.available, Record)),
                    key=lambda one: one.available.value if isinstance(one.available, Record) else 0.0,
                    default=budgets[0] if budgets else None)
        return self._layer(hazard, kind, tag, points, tuple(lock.then), (), str(lock.by or ""),
                           worst.available if worst else None, worst.needed if worst else None, worst.spilled if worst else (),
                           worst.idle_while if worst else ())

    # ---- parts ---------------------------------------------------------------------------------------------------

    def _layer(
        self, hazard: str, kind: LayerKind, tag: Tag, points: tuple[Tag, ...], elements: tuple[Tag, ...],
        bodies: list[Tag] | tuple[Tag, ...], logic: str, minutes: Outcome | None = None, needs: Outcome | None = None,
        spilled: tuple[SpilledTime, ...] = (), idle_while: tuple[str, ...] = (),
    ) -> Layer:
        parts: dict[tuple[Part, str], None] = {}
        switches = [one for one in points if one in self.plant.switches]
        for body in dict.fromkeys((*bodies, *(self.plant.switches[one].in_ for one in switches))):
            parts.update(dict.fromkeys(self._of_body(body)))
        for one in switches:
            contact = self.plant.switches[one].contact
            if contact is not None and contact.drives in self.plant.relays:
                parts["relay", str(contact.drives)] = None
                supply = self.plant.relays[contact.drives].supply
                parts.update(dict.fromkeys(("supply", each) for each in map(str, self.plant.feeds_of(supply))))
        for link in self._links_of[str(tag)]:
            parts["link", link] = None
        if logic and kind != "alarm":
            parts["logic", logic] = None
        if kind != "alarm":
            for element in elements:
                for one in self.plant.members_of(element) or (element,):
                    parts["final element", str(one)] = None
        return Layer(hazard, kind, str(tag), tuple(map(str, points)), tuple(map(str, elements)), tuple(parts), minutes, needs,
                     spilled, idle_while)

    @cached_property
    def _links_of(self) -> Mapping[str, list[str]]:
        """Links that carry signals, orders or the message of each function."""
        made: defaultdict[str, list[str]] = defaultdict(list)
        for link, across in self.plant.crossings.items():
            for function in across.functions:
                made[function].append(link)
        return made

    def _of_body(self, tag: Tag) -> Iterator[tuple[Part, str]]:
        body = self.plant.instruments[tag]
        yield "body", str(tag)
        if body.nozzle is not None:
            yield "nozzle", f"{body.nozzle} of {body.tank}"
        if body.stilling_well is not None:
            yield "stilling well", f"{body.stilling_well} of {body.tank}"
        wiring = body.wiring
        if wiring is None:
            return
        if wiring.card is not None:
            yield "card", str(wiring.card)
        if wiring.cable is not None:
            yield "cable", str(wiring.cable)
        yield "panel", str(wiring.panel)
        for supply in self.plant.feeds_of(wiring.supply):
            yield "supply", str(supply)

    # ---- time ----------------------------------------------------------------------------------------------------

    @cached_property
    def consequence(self) -> Mapping[str, Outcome]:
        """Time from the edge of the normal band to where each hazard begins, at the worst rate."""
        return {hazard: self._consequence(hazard, side) for hazard, side in self.sides.items()}

    @cached_property
    def spilled(self) -> Mapping[str, tuple[SpilledTime, ...]]:
        """The same while another tank overflows into the one of the hazard."""
        return {hazard: tuple(spills.times(self.tanks[side.tank], side.direction, (self.consequence[hazard],), self.book))
                for hazard, side in self.sides.items()}

    def _consequence(self, hazard: str, side: Side) -> Outcome:
        key, name = f"#{hazard}/consequence", f"time from the normal band of {side.tank} to where {hazard} begins"
        limit = hazard_level(self.plant, self.tanks, side.tank, hazard, side.direction, self.book)
        levels = self.plant.tanks[Tag(side.tank)].levels
        start = levels.normal_high if side.direction == "rising" else levels.normal_low
        rate, vessel = worst_rate(self.tanks[side.tank], side.direction), self.tanks[side.tank].vessel
        if limit is None or limit.height is None or start is None or vessel is None or not isinstance(rate, Record):
            edge = "normal_high" if side.direction == "rising" else "normal_low"
            missing = [f"tanks/{side.tank}/levels/{edge}"] if start is None else []
            why = "the tank states no normal band" if start is None else "the limit, the shape or the rate is not known"
            missing += list(limit.missing) if limit is not None else []
            return self.book.absence(key, name, why, missing)
        if rate.value <= 0:
            return self.book.absence(key, name, f"no operating case has a {side.direction} level")
        time = time_between(vessel, start.si, limit.height, rate.value, side.direction)
        return self.book.record(
            key, name, time, "time", r"t = \frac{|V(h_{limit}) - V(h_{normal})|}{Q}",
            (Input("h_{normal}", "edge of the normal band", start.si, "length", start.place), limit.as_input(),
             vessel_input(side.tank, vessel), rate.as_input("Q")),
            validity="worst net rate throughout, with nothing acting")
