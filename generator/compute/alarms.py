"""Minutes that an alarm leaves: from its latest sounding to the earliest trip, and to the consequence."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.compute import limits, spills
from generator.compute.bands import Side
from generator.compute.book import Book, absences, because_of, given, missing_of
from generator.compute.causes import Direction, level_causes
from generator.compute.inherited import operator_time
from generator.compute.links import links_read
from generator.compute.tanks import vessel_input
from generator.compute.travel import worst_rate
from generator.model.interlock import Alarm
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.quantity import Duration
from generator.model.record import Input, Outcome, Record
from generator.model.results import AlarmTime, SetpointResult, TankResult
from generator.model.scalar import Tag

OPERATOR_STEPS = (("notice", "notice"), ("diagnose", "find the cause"), ("go", "go there"), ("act", "act"),
                  ("effect", "effect on the liquid"))


def results(
    plant: Definitions, _knowledge: Knowledge, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    book: Book,
) -> Mapping[str, AlarmTime]:
    """Times of every alarm."""
    alarms = plant.alarms.items()
    return {str(tag): _Time(plant, tanks, setpoints, book, str(tag), alarm).made() for tag, alarm in alarms}


def aims_at(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult], book: Book, tag: str,
) -> tuple[str, limits.Limit]:
    """The point that acts next if nobody answers an alarm of a level, empty where none does; the level that is too late."""
    one = _Time(plant, tanks, setpoints, book, tag, plant.alarms[Tag(tag)])
    tank = str(plant.tank_of(one.alarm.from_))
    _, point, hazard = one.follows(tank, one.direction)
    return point, one.limit(tank, one.direction, hazard)


class _Time(Struct, frozen=True):
    """The working of one alarm."""

    plant: Definitions
    tanks: Mapping[str, TankResult]
    setpoints: Mapping[str, SetpointResult]
    book: Book
    tag: str
    alarm: Alarm

    def made(self) -> AlarmTime:
        """Times of this alarm."""
        if self.alarm.from_ not in self.plant.switches:
            return self.without_level()
        tank, direction = str(self.plant.tank_of(self.alarm.from_)), self.direction
        trip, point, hazard = self.follows(tank, direction)
        limit = self.limit(tank, direction, hazard)
        to_trip, to_limit = self.to_trip(tank, direction, trip, point) if point else None, self.to_limit(tank, direction, limit)
        spilled = tuple(spills.times(self.tanks[tank], direction, (to_trip, to_limit), self.book))
        return AlarmTime(self.tag, tank, to_trip, trip, to_limit, limit.name, self.needed(tank), spilled)

    @property
    def direction(self) -> Direction:
        """Direction in which the alarm's point acts."""
        return self.plant.switches[self.alarm.from_].acts

    def without_level(self) -> AlarmTime:
        """An alarm of an interlock, a signal or a comparison of two instruments: no level says when it sounds."""
        source = self.alarm.from_
        owner = {"interlocks": "an interlock that has acted", "signals": "a signal that is no level",
                 "instruments": "an instrument, by comparison or fault"}[self.plant.noun_of[source]]
        limit = self.book.absence(f"#{self.tag}/to-limit", f"time from {self.tag} to its limit",
                                  f"{source} is {owner}; no level point tells when the alarm sounds")
        tanks = self.plant.tanks_of_interlock[source]
        if source in self.plant.instruments:
            tanks = (self.plant.instruments[source].tank,)
        tank = str(tanks[0]) if tanks else ""
        return AlarmTime(self.tag, tank, None, "", limit, "", self.needed(tank))

    # ---- what follows --------------------------------------------------------------------------------------------

    def follows(self, tank: str, direction: Direction) -> tuple[str, str, str | None]:
        """Trip that follows if nobody acts, its earliest point on this tank, and its hazard; empty where none does."""
        before = self.alarm.before
        if before is not None and before in self.plant.interlocks:
            points = self.beyond(self.points_of_interlock(before, tank, direction))
            return str(before), points[0] if points else "", self.plant.interlocks[before].hazard
        if before is not None and before in self.plant.switches:
            return str(before), str(before), self.hazard_of(before)
        trips = [
            str(tag) for tag in self.plant.switches_of[tank]
            if tag != self.alarm.from_ and self.plant.switches[tag].acts == direction and self.trips_of(tag)
        ]
        following = self.beyond(trips)
        if not following:
            return "", "", self.hazard_of(self.alarm.from_)
        return following[0], following[0], self.hazard_of(following[0])

    def trips_of(self, point: str) -> list[Tag]:
        """Trips and releasing interlocks that rest on a point."""
        locks = self.plant.interlocks
        return [tag for tag in self.plant.interlocks_of_cause[point] if locks[tag].kind != "permissive"]

    def hazard_of(self, point: str) -> str | None:
        """The hazard of the first of them that names one."""
        return next((hazard for tag in self.trips_of(point) if (hazard := self.plant.interlocks[tag].hazard)), None)

    def points_of_interlock(self, lock: str, tank: str, direction: Direction) -> list[str]:
        """Level points of an interlock on a tank, in a direction."""
        causes = level_causes(self.plant, self.plant.interlocks[Tag(lock)].when)
        return [str(one.tag) for one in causes
                if self.plant.tank_of(one.tag) == tank and one.direction(self.plant) == direction]

    def beyond(self, points: list[str]) -> list[str]:
        """Points that the level meets after the alarm's, nearest first; those with no height come last."""
        sign = 1.0 if self.direction == "rising" else -1.0
        own = self.stands(str(self.alarm.from_))
        heights = [(sign * height, point) for point in points if (height := self.stands(point)) is not None]
        unknown = [point for point in points if self.stands(point) is None]
        if own is None:
            return [point for _, point in sorted(heights)] + unknown
        return [point for height, point in sorted(heights) if height > sign * own] + unknown

    def stands(self, point: str) -> float | None:
        """Height at which a point stands, where it is known. [m]"""
        result = self.setpoints.get(point)
        return None if result is None else result.stands

    def limit(self, tank: str, direction: Direction, hazard: str | None) -> limits.Limit:
        """The level at which it is too late: that named by the alarm, else that of the trip or tank."""
        name = self.alarm.time_to
        if name is None:
            return limits.limit_of(self.plant, self.tanks, self.book, tank, direction, hazard)
        level = limits.level_named(self.tanks[tank], name)
        if level is None:
            return limits.Limit(str(name), None, name.place, f"{name} is not a level of {tank} that is known",
                                (f"tanks/{tank}/levels",))
        return limits.Limit(level.name, level.height, level.source or level.place)

    # ---- times ---------------------------------------------------------------------------------------------------

    def to_trip(self, tank: str, direction: Direction, trip: str, point: str) -> Outcome:
        """Time to the earliest action of the point that trips next."""
        key, name = f"#{self.tag}/to-trip", f"time from the latest sounding of {self.tag} to the earliest {trip}"
        result = self.setpoints.get(point)
        band = result.act if result else None
        if result is None or band is None:
            return self.time(key, name, tank, direction, None, f"it is not settled where {point} acts",
                             (f"switches/{point}/height", f"switches/{point}/accuracy"))
        side: Side = "low" if direction == "rising" else "high"
        source = str(self.alarm.from_)
        end = limits.edge_within(self.plant, self.book, result, side, [source], "h_2", f"earliest edge of {point}")
        return self.time(key, name, tank, direction, end, against=point)

    def to_limit(self, tank: str, direction: Direction, limit: limits.Limit) -> Outcome:
        """Time to the level at which it is too late."""
        key, name = f"#{self.tag}/to-limit", f"time from the latest sounding of {self.tag} to {limit.name}"
        if limit.height is None:
            return self.time(key, name, tank, direction, None, f"{limit.name}: {limit.why}", limit.missing)
        end = Input("h_2", limit.name, limit.height, "length", limit.source)
        return self.time(key, name, tank, direction, end)

    def delays(self) -> Iterator[Input]:
        """What passes between the liquid at the point and the sound: sensor and links where recorded, and the on-delays."""
        point = self.plant.switches[self.alarm.from_]
        body = self.plant.instruments[point.in_]
        delays: tuple[tuple[str, Duration | None], ...] = (
            ("response of the sensor", body.response_time),
            *((f"signal over {link}", self.plant.links[link].carries_within) for link in self.links()),
            ("delay of the point", point.on_delay), ("delay of the alarm", self.alarm.on_delay))
        known = [(name, delay) for name, delay in delays if delay is not None]
        return (given(delay, f"t_{{{number}}}", name) for number, (name, delay) in enumerate(known, 1))

    def links(self) -> tuple[Tag, ...]:
        """The links by which the point reaches the alarm."""
        return links_read(self.plant, self.tag, str(self.alarm.from_))

    def time(
        self, key: str, name: str, tank: str, direction: Direction, end: Input | None, why_no_end: str = "",
        missing_end: tuple[str, ...] = (), against: str = "",
    ) -> Outcome:
        """Time from the latest sounding to a height, `against` which point's edge if it is one; or why there is none."""
        source = str(self.alarm.from_)
        setpoint, vessel = self.setpoints.get(source), self.tanks[tank].vessel
        rate = worst_rate(self.tanks[tank], direction)
        band = setpoint.act if setpoint else None
        why, missing = [why_no_end] if end is None else [], [*missing_end]
        if vessel is None:
            why.append("the tank's shape gives no volume")
            missing.append(f"tanks/{tank}/shape")
        if band is None:
            why.append(f"it is not settled where {source} acts")
            missing += [f"switches/{source}/height", f"switches/{source}/accuracy"]
        if not isinstance(rate, Record):
            why.append(because_of(absences([rate])))
            missing += missing_of(absences([rate]))
        elif rate.value <= 0:
            why.append(f"no operating case has a {direction} level")
        if why or end is None or vessel is None or setpoint is None or band is None or not isinstance(rate, Record):
            return self.book.absence(key, name, "; ".join(why), dict.fromkeys(missing))
        side: Side = "high" if direction == "rising" else "low"
        said = f"latest edge of {source}"
        start = limits.edge_within(self.plant, self.book, setpoint, side, [against], "h_1", said) if against else \
            limits.edge_input(self.plant, setpoint, band.high if side == "high" else band.low, "h_1", said)
        delays = tuple(self.delays())
        volume = vessel.volume_at(end.value) - vessel.volume_at(start.value)
        time = (volume if direction == "rising" else -volume) / rate.value - sum(one.value for one in delays)
        between = "V(h_2) - V(h_1)" if direction == "rising" else "V(h_1) - V(h_2)"
        equation = rf"t = \frac{{{between}}}{{Q}}" + "".join(f" - {one.symbol}" for one in delays)
        unrecorded = self.plant.instruments[self.plant.switches[self.alarm.from_].in_].response_time is None
        notes = ["The sensor's response time is not recorded and not counted."] if unrecorded else []
        notes += [f"What {link} takes to carry the signal is not recorded and not counted." for link in self.links()
                  if self.plant.links[link].carries_within is None]
        if time <= 0:
            notes.append("The alarm can sound too late.")
            equation = r"t = \max\left( " + equation.removeprefix("t = ") + r", 0 \right)"
        inputs = (start, end, vessel_input(tank, vessel), rate.as_input("Q"), *delays)
        return self.book.record(key, name, max(0.0, time), "time", equation, inputs,
                                validity="worst net rate; latest sounding to earliest action", note=" ".join(notes))

    def needed(self, tank: str) -> Outcome:
        """What a person needs, summed."""
        key, name = f"#{self.tag}/needed", f"time that a person needs after {self.tag}"
        time = self.alarm.operator_time
        if time is None:
            time = operator_time(self.plant, tank) if tank else self.plant.plant.defaults.operator_time
        if time is None:
            return self.book.absence(key, name, "no operator time is recorded", (f"alarms/{self.tag}/operator_time",))
        inputs = [given(getattr(time, field), f"t_{{{number}}}", words)
                  for number, (field, words) in enumerate(OPERATOR_STEPS, 1)]
        return self.book.record(key, name, sum(one.value for one in inputs), "time",
                                "t = " + " + ".join(one.symbol for one in inputs), inputs)
