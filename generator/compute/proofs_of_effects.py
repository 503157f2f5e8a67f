"""Proofs of effects: whether two interlocks fight, and what the driven devices do to the levels."""

from collections.abc import Iterator
from functools import cached_property

from msgspec import Struct

from generator.compute.causes import Direction, level_causes
from generator.compute.formulas import No, together
from generator.compute.liquid_effects import OPPOSITE, LiquidEffects
from generator.compute.proofs_of_causes import listed, undecided
from generator.compute.world import Answer, World
from generator.model.interlock import Interlock
from generator.model.plant import Definitions
from generator.model.proof import Proof, Question
from generator.model.scalar import Tag


class ProofsOfEffects(Struct, frozen=True, dict=True):
    """Questions about what interlocks drive."""

    plant: Definitions
    world: World

    @cached_property
    def liquid(self) -> LiquidEffects:
        """What devices do to levels."""
        return LiquidEffects(self.plant)

    def of(self, tag: Tag, lock: Interlock) -> Iterator[Proof]:
        """Every question that makes sense for an interlock."""
        if lock.kind == "permissive":
            yield self.permissive(tag, lock)
            return
        if any(cause in self.plant.switches for cause in lock.when.tags()):
            yield self.feeds(tag, lock)
            yield self.neighbours(tag, lock)

    def conflict(self, element: Tag) -> Proof:
        """Whether two interlocks can want a device in two states while neither gives way."""
        question: Question = "effects do not conflict"
        by_state: dict[str, list[Tag]] = {}
        for tag in self.plant.interlocks_of_effect[element]:
            lock = self.plant.interlocks[tag]
            if lock.kind != "permissive":
                state = next(state for target, state in lock.then.items()
                             if element in (target, *self.plant.members_of(target)))
                by_state.setdefault(state, []).append(tag)
        steps, doubts = 0, []
        pairs = [(one, other) for place, many in enumerate(by_state.values())
                 for others in list(by_state.values())[place + 1:] for one in many for other in others]
        for one, other in pairs:
            first, second = self.plant.interlocks[one], self.plant.interlocks[other]
            if other in first.wins_over and one in second.wins_over:
                return Proof(question, element, "fails", f"{one} is said to win over {other}, and {other} over {one}: "
                             f"nothing says where {element} goes when both ask", f"{one} and {other} win over each other",
                             (one, other))
            if other in first.wins_over or one in second.wins_over:
                continue
            answer = self._both(one, other)
            steps += answer.steps
            if answer.is_possible is None:
                doubts.append(answer)
            elif answer.is_possible:
                wanted, opposite = (next(state for state, many in by_state.items() if tag in many)
                                    for tag in (one, other))
                words = (f"{answer.words}. Then {one} wants {element} {wanted} and {other} wants it {opposite}, and "
                         "nothing says which gives way")
                return Proof(question, element, "fails", words, f"{one} {wanted}, {other} {opposite}", (one, other),
                             steps=steps)
        if doubts:
            return undecided(question, element, doubts[0], steps)
        return Proof(question, element, "holds", _counted(pairs), steps=steps)

    def hunts(self, element: Tag) -> Proof:
        """Whether an interlock that wins lets go by what it does itself, while another goes on asking for the opposite.

        One that is latched, or lets go after an off-delay, does not hunt.
        """
        question: Question = "priority does not hunt"
        wants = {tag: (lock, state) for tag in self.plant.interlocks_of_effect[element]
                 if (lock := self.plant.interlocks[tag]).kind != "permissive"
                 for target, state in lock.then.items() if element in (target, *self.plant.members_of(target))}
        for one, (winner, state) in wants.items():
            if winner.latch is not None or winner.off_delay is not None:
                continue
            for tank, rising in self._sides(winner):
                if self.liquid.change(element, state, tank) != (-1 if rising else 1):
                    continue
                for other in winner.wins_over:
                    if other not in wants or wants[Tag(other)][1] == state:
                        continue
                    answer = self._both(one, Tag(other))
                    if answer.is_possible:
                        clears, again = ("falls", "rises") if rising else ("rises", "falls")
                        words = (f"{answer.words}. {one} wins: {element} {state}. By that {tank} {clears} and {one} lets go, "
                                 f"{other} still asks: {element} {wants[Tag(other)][1]}, {tank} {again} again, and so on")
                        return Proof(question, element, "fails", words, f"{one} and {other} in turn", (one, other),
                                     steps=answer.steps)
        return Proof(question, element, "holds", "no priority that undoes itself")

    def _both(self, one: Tag, other: Tag) -> Answer:
        """Whether two interlocks can act together, at once or because one is still held by its latch.

        A manual stop is left out: it wins over whatever is started by itself.
        """
        first, second = self.plant.interlocks[one], self.plant.interlocks[other]
        wanted, opposite = self.world.formulas.of(first.when), self.world.formulas.of(second.when)
        at_once = self.world.can(together(wanted, opposite))
        if at_once.is_possible is not False or not (first.latch or second.latch):
            return at_once
        held, later, formulas = (one, other, (wanted, opposite)) if first.latch else (other, one, (opposite, wanted))
        before = self.world.can(formulas[0])
        after = self.world.can(together(formulas[1], No(formulas[0])))
        steps = at_once.steps + before.steps + after.steps
        if before.is_possible and after.is_possible:
            return Answer(True, f"{before.words}: {held} acts and is held. Nobody resets it. Later {after.words}: "
                                f"{later} acts too", steps=steps)
        if before.is_possible is False or after.is_possible is False:
            return Answer(False, steps=steps)
        vague = before if before.is_possible is None else after
        return Answer(None, missing=vague.missing, why=vague.why, steps=steps)

    # ---- liquid --------------------------------------------------------------------------------------------------

    def _sides(self, lock: Interlock) -> list[tuple[str, bool]]:
        """Tanks of the cause, each with whether it asks on a rising level."""
        return list(dict.fromkeys((str(self.plant.tank_of(cause.tag)), cause.direction(self.plant) == "rising")
                                  for cause in level_causes(self.plant, lock.when)))

    def feeds(self, tag: Tag, lock: Interlock) -> Proof:
        """Whether an effect makes its own cause worse."""
        question: Question = "effect does not feed its cause"
        sides = self._sides(lock)
        for tank, rising in sides:
            worse = 1 if rising else -1
            signs = {one: self.liquid.change(one, state, tank) for one, state in lock.then.items()}
            feeding = [one for one, sign in signs.items() if sign == worse]
            if not feeding or (len(sides) > 1 and any(
                    self.liquid.change(one, lock.then[one], other) == (-1 if side else 1)
                    for other, side in sides for one in feeding)):
                continue
            helped = any(sign == -worse for sign in signs.values())
            if helped and lock.note and all(one in str(lock.note) for one in feeding):
                continue
            said = listed([f"{one} {lock.then[one]}" for one in feeding])
            way = "rises" if rising else "falls"
            points = listed([str(cause.tag) for cause in level_causes(self.plant, lock.when)
                             if self.plant.tank_of(cause.tag) == tank])
            return Proof(question, tag, "fails", f"{tank} {way} to {points}, and {tag} acts: {said}. By that {tank} {way} "
                         "further, and the cause stands all the more", f"{said} feeds {tank}", tuple(map(str, feeding)),
                         eased=helped)
        return Proof(question, tag, "holds", "no effect makes its cause worse")

    def neighbours(self, tag: Tag, lock: Interlock) -> Proof:
        """Whether a tank that an effect floods or starves has a point of its own that tells of it."""
        question: Question = "neighbours are protected"
        own = {tank for tank, _ in self._sides(lock)}
        bare: dict[str, str] = {}
        for device, state in lock.then.items():
            for tank, sign in self.liquid.neighbours(device, state):
                if tank in own or (sign < 0 and not self._minds_falling(tank)):
                    continue
                acts = "rising" if sign > 0 else "falling"
                if not any(self.plant.switches[point].acts == acts and self.plant.switches[point].role in ("alarm", "trip")
                           for point in self.plant.switches_of[tank]):
                    bare.setdefault(tank, f"{tag} acts: {device} {state}. {tank} {'rises' if sign > 0 else 'falls'}, and "
                                    f"no alarm and no trip on {tank} acts on a {acts} level")
        if bare:
            tanks = list(bare)
            return Proof(question, tag, "fails", "; ".join(bare.values()), f"{listed(tanks)} unprotected", tuple(tanks))
        return Proof(question, tag, "holds", "tanks whose level it changes have points of their own, or there are none")

    def _minds_falling(self, tank: str) -> bool:
        """Whether an empty tank harms: a pump draws from it, or a hazard begins at it."""
        return bool(self.plant.pumps_of[tank]) or any(
            str(hazard.begins_at).split(" ", 1)[0] == tank and "overflow" not in hazard.begins_at
            and "rim" not in hazard.begins_at for hazard in self.plant.hazards.values())

    # ---- permissive ----------------------------------------------------------------------------------------------

    def permissive(self, tag: Tag, lock: Interlock) -> Proof:
        """Whether what already runs is stopped when a permissive that protects is lost."""
        question: Question = "permissive is no trip"
        forced = [f"{target} {state}" for target, state in lock.then.items() if state in ("stopped", "closed", "off")]
        if forced:
            return Proof(question, tag, "fails", f"it forces {listed(forced)}, which a permissive cannot do",
                         f"forces {listed(forced)}")
        for cause in level_causes(self.plant, lock.when):
            if lock.hazard is None and self.plant.switches[cause.tag].role != "trip":
                continue
            danger: Direction = "falling" if cause.direction(self.plant) == "rising" else "rising"
            tank = str(self.plant.tank_of(cause.tag))
            bare = [target for target, state in lock.then.items()
                    if not self._stopped(lock, target, OPPOSITE.get(state, ""), tank, danger)]
            if bare:
                verb = {"running": "runs", "open": "stands open"}.get(lock.then[bare[0]], "is on")
                away = "rises" if danger == "rising" else "falls"
                return Proof(question, tag, "fails", f"{bare[0]} {verb}. {tank} {away} past {cause.tag}: {tag} no longer "
                             f"permits a start, but nothing stops {bare[0]}, which goes on",
                             f"{lock.hazard or cause.tag} only at the start", (str(bare[0]), str(cause.tag)))
        return Proof(question, tag, "holds", "what runs already is covered" if lock.hazard else
                     "it protects from no listed hazard")

    def _stopped(self, lock: Interlock, target: Tag, state: str, tank: str, danger: Direction) -> bool:
        for tag in self.plant.interlocks_of_effect[target]:
            other = self.plant.interlocks[tag]
            if other.kind == "permissive" or state not in other.then.values():
                continue
            if (lock.hazard is not None and other.hazard == lock.hazard) or any(
                    str(self.plant.tank_of(cause.tag)) == tank and cause.direction(self.plant) == danger
                    for cause in level_causes(self.plant, other.when)):
                return True
        return any(lock.hazard is not None and other.hazard == lock.hazard and other.kind != "permissive"
                   for other in self.plant.interlocks.values())


def _counted(pairs: list[tuple[Tag, Tag]]) -> str:
    if not pairs:
        return "no opposite demands"
    return f"{len(pairs)} pair{'s' if len(pairs) > 1 else ''} of opposite demands, never together or with a stated priority"
