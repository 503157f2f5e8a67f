"""Level budgets: how the distance from a point to the level it keeps the liquid from is used up, piece by piece.

    limit ── what another point may act early │ head over the overflow │ MARGIN │ travel, last step first │ wave
          │ error of the body │ own error ── point

For a falling level the same downwards. The pieces add up to the distance; the margin is what is left, and is negative
where the distance does not suffice.
"""

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct

from generator.compute import alarms, limits
from generator.compute.bands import Side
from generator.compute.book import Book, absences, because_of, given, missing_of
from generator.compute.steps import Time, of_alarm, of_control, of_trip, trip_of
from generator.compute.tanks import vessel_input
from generator.compute.travel import level_of, worst_rate
from generator.model.margin import LevelBudget, Piece, PieceKind
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.results import SetpointResult, TankResult, TripBudget
from generator.model.scalar import Tag

HAIR = 1e-12


class Aim(Struct, frozen=True):
    """What a point keeps the liquid from: the limit, and the point whose earliest action stands before it."""

    limit: limits.Limit
    point: SetpointResult | None = None


def results(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    trips: Mapping[str, tuple[TripBudget, ...]], book: Book,
) -> dict[str, LevelBudget]:
    """Level budgets of all points that stand somewhere, but for detectors of a spill, which act after the limit."""
    return {
        tag: _Budget(plant, tanks[point.tank], tanks, setpoints, trips, book, point).made()
        for tag, point in setpoints.items()
        if point.stands is not None and plant.switches[Tag(tag)].role != "spill detection"
    }


class _Budget(Struct, frozen=True):
    """The working of one level budget."""

    plant: Definitions
    tank: TankResult
    tanks: Mapping[str, TankResult]
    setpoints: Mapping[str, SetpointResult]
    trips: Mapping[str, tuple[TripBudget, ...]]
    book: Book
    point: SetpointResult

    @property
    def key(self) -> str:
        """Key of its records."""
        return f"#{self.point.tag}/budget"

    @property
    def sign(self) -> int:
        """One for a rising level, minus one for a falling one."""
        return 1 if self.point.acts == "rising" else -1

    def made(self) -> LevelBudget:
        """The budget, pieces from the limit to the point."""
        aim, point = self.aim(), self.point
        latest = self.latest(aim)
        near = list(self.spread(latest))
        far = list(self.before_limit(aim))
        travel = list(self.travel(self.times(), latest))
        distance = self.distance(aim)
        used = [piece.length for piece in (*far, *travel, *near)]
        margin = Piece("margin left", "margin", self.margin(distance, used))
        return LevelBudget(point.tag, point.tank, point.acts, aim.limit.name, aim.limit.height, point.stands,
                           (*far, margin, *reversed(travel), *reversed(near)), distance)

    # ---- the limit -----------------------------------------------------------------------------------------------

    def aim(self) -> Aim:
        """The trip's limit; for an alarm the trip that follows; else the next alarm or trip, or the tank's limit."""
        plant, point = self.plant, self.point
        role = plant.switches[Tag(point.tag)].role
        if role == "trip":
            lock = trip_of(self.trips, point.tag)
            hazard = plant.interlocks[Tag(lock.interlock)].hazard if lock else None
            return Aim(limits.limit_of(plant, self.tanks, self.book, point.tank, point.acts, hazard))
        if role == "alarm" and plant.alarms_of[point.tag]:
            alarm = str(plant.alarms_of[point.tag][0])
            following, limit = alarms.aims_at(plant, self.tanks, self.setpoints, self.book, alarm)
            return self.at_point(following) if following else Aim(limit)
        following = self.next_point()
        if following:
            return self.at_point(following)
        return Aim(limits.limit_of(plant, self.tanks, self.book, point.tank, point.acts, None))

    def at_point(self, tag: str) -> Aim:
        """The height at which another point stands, as a limit."""
        other = self.setpoints[tag]
        if other.stands is None:
            return Aim(limits.Limit(tag, None, why=f"the height of {tag} is not known",
                                    missing=(f"switches/{tag}/height/issued",)))
        issued = self.plant.switches[Tag(tag)].height.issued
        source = issued.place if issued is not None else other.proposed.key
        return Aim(limits.Limit(tag, other.stands, source), other)

    def next_point(self) -> str:
        """The next alarm or trip that the level meets; empty where none follows."""
        assert self.point.stands is not None
        found = [
            (self.sign * other.stands, str(tag)) for tag in self.plant.switches_of[self.point.tank]
            if (other := self.setpoints[tag]).stands is not None and other.acts == self.point.acts
            and self.plant.switches[tag].role in ("alarm", "trip") and self.sign * (other.stands - self.point.stands) > 0
        ]
        return min(found)[1] if found else ""

    def distance(self, aim: Aim) -> Outcome:
        """From the point to the limit."""
        key, name = f"{self.key}/distance", f"Distance from {self.point.tag} to {aim.limit.name}"
        if aim.limit.height is None:
            return self.book.absence(key, name, f"{aim.limit.name}: {aim.limit.why}", aim.limit.missing)
        stands = self.stands()
        equation = r"d = h_{limit} - h" if self.sign > 0 else r"d = h - h_{limit}"
        return self.book.record(key, name, self.sign * (aim.limit.height - stands.value), "length", equation,
                                [aim.limit.as_input(), stands])

    def stands(self) -> Input:
        """The height at which the point stands."""
        issued = self.plant.switches[Tag(self.point.tag)].height.issued
        if issued is not None:
            return given(issued, "h", f"issued height of {self.point.tag}")
        assert isinstance(self.point.proposed, Record)
        return self.point.proposed.as_input("h")

    # ---- the pieces ----------------------------------------------------------------------------------------------

    def piece(self, number: str, name: str, kind: PieceKind, length: float, equation: str, inputs: Sequence[Input],
              note: str = "") -> Piece:
        """One piece with its record."""
        return Piece(name, kind, self.book.record(f"{self.key}/{number}", f"{self.point.tag}: {name}", length, "length",
                                                  equation, inputs, note=note))

    def before_limit(self, aim: Aim) -> Iterator[Piece]:
        """What the limit itself takes: the early action of the point that stands there, the head over the overflow."""
        other, head = aim.point, self.tank.overflow_head
        if other is not None and other.act is not None and other.stands is not None:
            edge = limits.edge_within(self.plant, self.book, other, "low" if self.sign > 0 else "high", [self.point.tag],
                                      "h_e", f"earliest edge of {other.tag}")
            at = aim.limit.as_input()
            yield self.piece("other-point", f"{other.tag} may act this early", "other point", abs(other.stands - edge.value),
                             r"\Delta h = |h_{limit} - h_e|", [at, edge])
        elif other is not None:
            yield Piece(f"{other.tag} may act this early", "other point", self.book.absence(
                f"{self.key}/other-point", f"{self.point.tag}: early action of {other.tag}", "no accuracy is given",
                missing_of(absences([other.error_own, other.error_common]))))
        invert = self.plant.tanks[Tag(self.point.tank)].levels.overflow
        if self.sign > 0 and head is not None and invert is not None and aim.limit.height is not None \
                and self.point.stands is not None and self.point.stands <= invert.si < aim.limit.height - HAIR \
                and aim.point is None:
            name = "head over the overflow at full inflow"
            if isinstance(head, Record):
                yield self.piece("overflow-head", name, "overflow head", head.value, "H", [head.as_input("H")])
            else:
                yield Piece(name, "overflow head", self.book.absence(
                    f"{self.key}/overflow-head", f"{self.point.tag}: {name}", head.why, head.missing))

    def latest(self, aim: Aim) -> Input | None:
        """The latest edge of the point: against a point of its own body without the error that they share."""
        if self.point.act is None:
            return None
        side: Side = "high" if self.sign > 0 else "low"
        said = f"latest edge of {self.point.tag}"
        if aim.point is not None:
            return limits.edge_within(self.plant, self.book, self.point, side, [aim.point.tag], "h_e", said)
        edge = self.point.act.high if self.sign > 0 else self.point.act.low
        return limits.edge_input(self.plant, self.point, edge, "h_e", said)

    def spread(self, latest: Input | None) -> Iterator[Piece]:
        """Own error, error of the body, wave: what the latest action lies away from the height, nearest first."""
        point = self.point
        gaps = absences((point.error_own, point.error_common))
        if gaps or point.act is None or point.stands is None or latest is None:
            yield Piece("error of the point", "error", self.book.absence(
                f"{self.key}/error", f"{point.tag}: error of the point", because_of(gaps) or "not known", missing_of(gaps)))
            return
        assert isinstance(point.error_own, Record) and isinstance(point.error_common, Record)
        yield self.piece("error-own", "own error of the point", "error", point.error_own.value, "e",
                         [point.error_own.as_input("e")])
        late = self.sign * (latest.value - point.stands)
        cancels = isinstance(latest.source, str) and latest.source.endswith("-within-body")
        common = 0.0 if cancels else point.error_common.value
        if common > 0:
            yield self.piece("error-common", "error shared with the body", "error", point.error_common.value, "c",
                             [point.error_common.as_input("c")])
        wave = late - point.error_own.value - common
        half = self.book.outcomes.get(f"#{point.tank}/wave")
        if wave > HAIR and isinstance(half, Record):
            yield self.piece("wave", "trough of the waves", "wave", half.value, "w", [half.as_input("w")],
                             "a trough breaks the contact that the delay waits for")

    def times(self) -> tuple[Time, ...]:
        """What passes from the level at the point to the end of what it brings about."""
        role = self.plant.switches[Tag(self.point.tag)].role
        if role == "trip" and (budget := trip_of(self.trips, self.point.tag)) is not None:
            return of_trip(budget)
        if role == "alarm" and self.plant.alarms_of[self.point.tag]:
            return of_alarm(self.plant, self.point.tag, self.book)
        return of_control(self.plant, self.point.tag, self.tank, self.book)

    def travel(self, times: Sequence[Time], latest: Input | None) -> Iterator[Piece]:
        """How far the level moves in each time, first step first."""
        point, vessel, rate = self.point, self.tank.vessel, worst_rate(self.tank, self.point.acts)
        inputs: list[Input] = []
        here = None if latest is None else latest.value
        total, gaps = 0.0, absences((rate, self.tank.capacity))
        for number, time in enumerate(times, 1):
            name = f"travel: {time.name}"
            gaps = (*gaps, *absences([time.length]))  # a step whose start is not known is not known itself
            if gaps or here is None or latest is None or vessel is None or not isinstance(time.length, Record) \
                    or not isinstance(rate, Record):
                why = because_of(gaps) or f"it is not settled where {point.tag} acts"
                yield Piece(name, time.kind, self.book.absence(
                    f"{self.key}/{number}", f"{point.tag}: {name}", why,
                    missing_of(gaps) or (f"switches/{point.tag}/accuracy",)))
                here = None
                continue
            inputs.append(time.length.as_input(f"t_{{{number}}}", time.name))
            total += time.length.value
            reached, remark = level_of(vessel, vessel.volume_at(latest.value) + self.sign * rate.value * total)
            yield self.piece(str(number), name, time.kind, self.sign * (reached - here), _equation(self.sign, inputs),
                             [latest, vessel_input(self.tank.tag, vessel), rate.as_input("Q"), *inputs], remark)
            here = reached

    def margin(self, distance: Outcome, used: Sequence[Outcome]) -> Outcome:
        """What is left of the distance."""
        key, name = f"{self.key}/margin", f"{self.point.tag}: margin left"
        lacking = self.book.lacking(key, name, [distance, *used])
        if lacking is not None:
            return lacking
        assert isinstance(distance, Record)
        pieces = [one.as_input(f"d_{{{number}}}") for number, one in enumerate(used, 1) if isinstance(one, Record)]
        left = distance.value - sum(piece.value for piece in pieces)
        equation = "m = d" + "".join(f" - {piece.symbol}" for piece in pieces)
        return self.book.record(key, name, left, "length", equation, [distance.as_input("d"), *pieces],
                                note="The distance does not suffice." if left < -HAIR else "")


def _equation(sign: int, times: Sequence[Input]) -> str:
    """The travel of the last time: from where the level stands before it to where it stands after it."""
    mark, last = "+" if sign > 0 else "-", times[-1].symbol
    if len(times) == 1:
        return rf"\Delta h = \left| V^{{-1}}\left( V(h_e) {mark} Q {last} \right) - h_e \right|"
    level = rf"V^{{-1}}\left( V(h_e) {mark} Q %s \right)"
    before = level % rf"\left( T - {last} \right)"
    total = " + ".join(one.symbol for one in times)
    return rf"\Delta h = \left| {level % 'T'} - {before} \right|, \quad T = {total}"
