"""Proofs of purpose: whether what an interlock moves can keep its hazard away, and whether it rests in ordinary running."""

from collections.abc import Iterator

from msgspec import Struct

from generator.compute.damage import UNHURT, Judge, holds
from generator.compute.layers import Layers, Side
from generator.compute.proofs_of_causes import listed
from generator.model.interlock import Interlock
from generator.model.plant import Definitions
from generator.model.proof import Proof, Question
from generator.model.scalar import Tag

WARNS = frozenset(("horn", "beacon", "call-out"))
"""Equipment that calls a person and moves nothing."""


class ProofsOfPurpose(Struct, frozen=True):
    """Questions about what an interlock is for."""

    plant: Definitions
    layers: Layers

    def of(self, tag: Tag, lock: Interlock) -> Iterator[Proof]:
        """Every question that makes sense for an interlock."""
        if lock.kind == "permissive":
            return
        yield self.rests(tag, lock)
        side = self.layers.sides.get(str(lock.hazard))
        if lock.hazard is not None and side is not None:
            yield self.serves(tag, lock, lock.hazard, side)
            yield self.free(tag, lock, lock.hazard, side)

    def rests(self, tag: Tag, lock: Interlock) -> Proof:
        """Whether an interlock is quiet while no alarm and no trip asks and nothing is pushed."""
        question: Question = "it rests in ordinary running"
        if not Judge(self.plant, self.layers).asks(lock, UNHURT):
            return Proof(question, tag, "holds", "nothing asks for it in ordinary running")
        clear = [str(one) for one in dict.fromkeys(lock.when.tags()) if lock.when.senses(one) == frozenset((False,))]
        said = f"the level stands in its normal band, nothing is pushed: {listed(clear) or tag} is clear"
        does = listed([f"{target} {state}" for target, state in lock.then.items()])
        return Proof(
            question,
            tag,
            "fails",
            f"{said}, and just that makes {tag} act ({does}) all the time",
            "acts in ordinary running",
            tuple(clear),
        )

    def serves(self, tag: Tag, lock: Interlock, hazard: Tag, side: Side) -> Proof:
        """Whether one effect at least moves the level of the hazard's tank away from where the hazard begins."""
        question: Question = "effect serves its hazard"
        effects = {target: self._effect(target, state, side) for target, state in lock.then.items()}
        if "helps" in effects.values():
            helping = listed([f"{one} {lock.then[one]}" for one, does in effects.items() if does == "helps"])
            return Proof(question, tag, "holds", f"{helping} works against {hazard}")
        unknown = tuple(f"{one}: stream that it moves or lets through" for one, does in effects.items() if does == "unknown")
        if unknown:
            return Proof(
                question, tag, "cannot be assessed", f"no stream passes {listed(list(map(str, effects)))}", missing=unknown
            )
        does = listed([f"{one} {state}" for one, state in lock.then.items()])
        way = "rise" if side.direction == "rising" else "fall"
        what = self.plant.hazards[hazard]
        wrong = any(effect == "harms" for effect in effects.values())
        goes = f"makes {side.tank} {way} all the more" if wrong else f"leaves the level of {side.tank} as it goes"
        return Proof(
            question,
            tag,
            "fails",
            f"{tag} is said to protect from {hazard} ({what.what}), which comes when "
            f"{side.tank} goes on to {way}. It acts: {does}. That {goes}",
            f"{does} does not help against {hazard}",
            (str(hazard), side.tank),
        )

    def free(self, tag: Tag, lock: Interlock, hazard: Tag, side: Side) -> Proof:
        """Whether the cause stands once every point of the hazard's own tank that lies on the way has acted.

        Signals count as they suit; points of other tanks as they do not.
        """
        question: Question = "nothing beside holds it back"
        points = [one for one in dict.fromkeys(lock.when.tags()) if one in self.plant.switches]
        beside = [str(one) for one in points if self.plant.tank_of(one) != side.tank]

        def stands(others_suit: bool) -> bool:
            def literal(one: str, positive: bool) -> bool:
                if one not in self.plant.switches:
                    return True
                if one in beside:
                    return others_suit
                return (self.plant.switches[Tag(one)].acts == side.direction) == positive

            return holds(lock.when, literal)

        if not beside or len(beside) == len(points) or stands(False) or not stands(True):
            return Proof(question, tag, "holds", "no level of another tank holds it back")
        way = "rises" if side.direction == "rising" else "falls"
        other = listed(sorted({str(self.plant.tank_of(Tag(one))) for one in beside}))
        return Proof(
            question,
            tag,
            "fails",
            f"{side.tank} {way} past every point that it has, on to {hazard} "
            f"({self.plant.hazards[hazard].what}); {other} stands where {listed(beside)} does not ask, and {tag} stays "
            "quiet",
            f"held back by {listed(beside)}",
            (str(hazard), *beside),
        )

    def _effect(self, target: Tag, state: str, side: Side) -> str:
        """What one effect does against a hazard: "helps", "harms", "nothing", or "unknown"."""
        if target in self.plant.equipment:
            return "nothing" if self.plant.equipment[target].kind in WARNS else "helps"
        wanted = -1 if side.direction == "rising" else 1
        change = self.layers.liquid.change(target, state, side.tank)
        if change:
            return "helps" if change == wanted else "harms"
        if not self._is_placed(target):
            return "unknown"
        # What works on a tank that feeds this one works on this one later.
        feeding = {str(self.plant.streams[stream].from_) for stream in self.plant.inflows_of[side.tank]}
        through = any(self.layers.liquid.change(target, state, tank) == wanted for tank in feeding if tank in self.plant.tanks)
        return "helps" if through or self._circulates(target, side.tank) else "nothing"

    def _is_placed(self, target: Tag) -> bool:
        members = self.plant.members_of(target) or (target,)
        draws = any((pump := self.plant.pumps.get(Tag(one))) is not None and pump.inlet is not None for one in members)
        return draws or bool(self.layers.liquid.streams_of.get(target))

    def _circulates(self, target: Tag, tank: str) -> bool:
        """Whether a device takes from the tank and gives to it: what that does to the level is not known."""
        return any(
            tank in (self.plant.streams[stream].from_, self.plant.streams[stream].into)
            for stream in self.layers.liquid.streams_of.get(target, ())
        )
