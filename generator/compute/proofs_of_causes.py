"""Proofs of causes and resets: what can come true, what the reset waits for, what counts, what says the same."""

from collections.abc import Iterator

from msgspec import Struct

from generator.compute.causes import level_causes
from generator.compute.formulas import Block, Formula, Formulas, No, search, together, used
from generator.compute.liquid_effects import OPPOSITE
from generator.compute.world import Answer, World
from generator.model.condition import AllOf, AnyOf, Condition, Vote
from generator.model.interlock import Interlock
from generator.model.plant import Definitions
from generator.model.proof import Proof, Question
from generator.model.record import value_of
from generator.model.scalar import Tag


class ProofsOfCauses(Struct, frozen=True):
    """Questions about one interlock's cause and reset."""

    plant: Definitions
    world: World

    def of(self, tag: Tag, lock: Interlock) -> Iterator[Proof]:
        """Every question that makes sense for an interlock."""
        yield self.can_come_true(tag, lock)
        if lock.reset is not None:
            yield self.reset_waits(tag, lock)
        yield from self.every_point_counts(tag, lock)
        if lock.kind != "permissive":
            yield self.stands_once(tag, lock)
        if lock.bypass is not None and lock.bypass.ends is not None:
            yield self.start_up_ends(tag, lock, lock.bypass.ends)

    def can_come_true(self, tag: Tag, lock: Interlock) -> Proof:
        """Whether the cause, and each of its alternatives, can ever be true; and whether it is not always true."""
        question: Question = "cause can come true"
        steps = 0
        for leg in _legs(lock.when):
            answer = self.world.can(self.world.formulas.of(leg), is_overflow_open=not self._is_spill(leg))
            steps += answer.steps
            if answer.is_possible is None:
                return undecided(question, tag, answer, steps)
            if not answer.is_possible:
                tags = list(dict.fromkeys(map(str, leg.tags())))
                whole = "It can never act" if leg is lock.when else "That part of its cause can never bring it about"
                return Proof(question, tag, "fails", f"{self._why_never(leg)}. {whole}",
                             f"{' and '.join(tags)} at once" if len(tags) > 1 else f"{tags[0]} never", tuple(tags),
                             steps=steps)
        formula = self.world.formulas.of(lock.when)
        always = self.world.can(No(formula))
        if always.is_possible is False and lock.kind != "permissive":
            return Proof(question, tag, "fails", f"{tag} is asked to act in every state that the plant can be in: its "
                         "device can never run", "always true", steps=steps + always.steps)
        if lock.kind == "permissive":
            barring = self._bars_every_start(tag, lock)
            if barring is not None:
                return barring
        return Proof(question, tag, "holds", self.world.can(formula).words, steps=steps + always.steps)

    def _bars_every_start(self, tag: Tag, lock: Interlock) -> Proof | None:
        """For a permissive: an interlock that holds its device back in every state in which it permits the start."""
        permitted = self.world.formulas.of(lock.when)
        for target, state in lock.then.items():
            for other in self.plant.interlocks_of_effect[target]:
                holding = self.plant.interlocks[other]
                held = {driven for device, driven in holding.then.items() if target in (device, *self.plant.members_of(device))}
                if holding.kind == "permissive" or OPPOSITE.get(state, "") not in held:
                    continue
                answer = self.world.can(together(permitted, No(self.world.formulas.of(holding.when))))
                if answer.is_possible is False:
                    return Proof("cause can come true", tag, "fails", f"whenever {tag} permits {target} {state}, {other} "
                                 f"holds it {OPPOSITE[state]}: {target} can never start", f"{other} bars every start",
                                 (other, str(target)), steps=answer.steps)
        return None

    def start_up_ends(self, tag: Tag, lock: Interlock, ends: Condition) -> Proof:
        """Whether what ends a start-up bypass can come about before the cause of the interlock stands."""
        answer = self.world.can(self.world.formulas.of(ends), is_overflow_open=True)
        if answer.is_possible is None:
            return undecided("start-up bypass ends", tag, answer, answer.steps)
        tags = list(dict.fromkeys(map(str, ends.tags())))
        if answer.is_possible:
            before = self.world.can(together(self.world.formulas.of(ends), No(self.world.formulas.of(lock.when))),
                                    is_overflow_open=True)
            steps = answer.steps + before.steps
            if before.is_possible is not False:
                return Proof("start-up bypass ends", tag, "holds", answer.words, steps=steps)
            return Proof("start-up bypass ends", tag, "fails", f"{answer.words}: only then does the bypass of {tag} end, and "
                         f"by then {tag} should have acted already", f"{listed(tags)} ends it only once the cause stands",
                         tuple(tags), steps=steps)
        return Proof("start-up bypass ends", tag, "fails", f"{self._why_never(ends)}. The bypass never ends",
                     f"{listed(tags)} never ends it", tuple(tags), steps=answer.steps)

    def _is_spill(self, leg: Condition) -> bool:
        return any(self.plant.switches[tag].role == "spill detection" for tag in leg.tags() if tag in self.plant.switches)

    def _why_never(self, leg: Condition) -> str:
        said = []
        for cause in level_causes(self.plant, leg):
            band = cause.band(self.world.setpoints.get(cause.tag))
            if band is not None:
                rising = cause.direction(self.plant) == "rising"
                edge, side = (band.low, "up") if rising else (band.high, "down")
                verb = "is clear" if cause.is_negated else "acts"
                said.append(f"{cause.tag} {verb} from {edge:.2f} m {side}")
        tanks = {str(self.plant.tank_of(cause.tag)) for cause in level_causes(self.plant, leg)}
        if not said:
            return "The cause contradicts itself"
        told = ", ".join(said)
        if len(said) == 1:
            cause = level_causes(self.plant, leg)[0]
            tank = str(self.plant.tank_of(cause.tag))
            if (ceiling := value_of(self.world.tanks[tank].ceiling)) is not None \
                    and cause.direction(self.plant) == "rising":
                return f"{told}; by then the liquid has left {tank}, from {ceiling:.2f} m on"
        return f"{told}; the level of {' and '.join(sorted(tanks))} can never stand so that all of it is true"

    def reset_waits(self, tag: Tag, lock: Interlock) -> Proof:
        """Whether the reset can be accepted while the cause stands."""
        question: Question = "reset waits"
        assert lock.reset is not None
        answer = self.world.can(together(self.world.formulas.of(lock.when), self.world.formulas.of(lock.reset.when)))
        if answer.is_possible is None:
            return undecided(question, tag, answer, answer.steps)
        if answer.is_possible:
            causes = set(map(str, lock.when.tags()))
            on = [one for one in answer.acted if one in causes] or sorted(causes)
            return Proof(question, tag, "fails", f"{answer.words}. The cause of {tag} stands, and a reset pushed now is "
                         "accepted", f"accepted with {listed(on)}", tuple(on), steps=answer.steps)
        return Proof(question, tag, "holds", "in no possible state is the reset accepted while the cause stands",
                     steps=answer.steps)

    def every_point_counts(self, tag: Tag, lock: Interlock) -> Iterator[Proof]:
        """For each all-of: whether each of its points can be the one that is still missing."""
        question: Question = "every point counts"
        for part in _all_ofs(lock.when):
            for position, one in enumerate(part.parts()):
                if not any(inner in self.plant.switches for inner in one.tags()):
                    continue
                others = [self.world.formulas.of(other) for place, other in enumerate(part.parts()) if place != position]
                if self.world.can(together(*others)).is_possible is not True:
                    continue
                answer = self.world.can(together(No(self.world.formulas.of(one)), *others))
                tags = list(dict.fromkeys(map(str, one.tags())))
                rest = [inner for other in part.parts() if other is not one for inner in dict.fromkeys(map(str, other.tags()))]
                if answer.is_possible is False:
                    yield Proof(question, tag, "fails", f"by the time that {listed(rest)} asks, {listed(tags)} has asked "
                                f"already: {listed(tags)} changes nothing, wherever the level is",
                                f"{listed(tags)} changes nothing", (*tags, *rest), steps=answer.steps)
                elif answer.is_possible is None:
                    yield undecided(question, tag, answer, answer.steps)

    def stands_once(self, tag: Tag, lock: Interlock) -> Proof:
        """Whether another interlock says the same, or more: the same effects, at least as often, held as firmly."""
        question: Question = "interlock stands once"
        near = dict.fromkeys(other for cause in lock.when.tags() for other in self.plant.interlocks_of_cause[cause])
        steps = 0
        for other in near:
            covering = self.plant.interlocks[other]
            if other == tag or covering.kind == "permissive" or not lock.then.items() <= covering.then.items():
                continue
            if (lock.kind == "trip" and covering.kind != "trip") or _delay(covering) > _delay(lock):
                continue
            if lock.live_in and covering.live_in and not set(lock.live_in) <= set(covering.live_in):
                continue
            forms = Formulas()
            mine, theirs = forms.of(lock.when), forms.of(covering.when)
            answer = _free(forms, together(mine, No(theirs)))
            back = _free(forms, together(theirs, No(mine)))
            steps += 2
            if answer is False:
                is_same = back is False and lock.then == covering.then
                said = "says the same" if is_same else "acts whenever it does, on the same devices"
                evidence = f"same as {other}" if is_same else f"covered by {other}"
                return Proof(question, tag, "fails", f"{other} {said}: without {tag} nothing would change", evidence,
                             (other,), steps=steps)
        return Proof(question, tag, "holds", "no other says the same", steps=steps)


def _legs(condition: Condition) -> tuple[Condition, ...]:
    """The alternatives of a cause."""
    if isinstance(condition, AnyOf):
        return tuple(leg for part in condition.parts() for leg in _legs(part))
    return (condition,)


def _all_ofs(condition: Condition) -> Iterator[Condition]:
    """Parts that need all of several: all-of, and a vote that needs every member."""
    several = len(condition.parts()) > 1
    if several and (isinstance(condition, AllOf) or (
            isinstance(condition, Vote) and condition.needed == len(condition.parts()))):
        yield condition
    for part in condition.parts():
        yield from _all_ofs(part)


def _free(forms: Formulas, formula: Formula) -> bool | None:
    """Whether a formula can be true when nothing ties its tags together; None past the limit."""
    bits = used(formula)
    blocks = [Block(1 << bit, (0, 1 << bit)) for bit in forms.bits.values() if bits >> bit & 1]
    found = search(formula, blocks)
    return found.is_possible if found.is_complete else None


def _delay(lock: Interlock) -> float:
    return lock.on_delay.si if lock.on_delay is not None else 0.0


def undecided(question: Question, subject: str, answer: Answer, steps: int) -> Proof:
    """The proof of a question that cannot be assessed, with the reason and the missing fields of an answer."""
    return Proof(question, subject, "cannot be assessed", answer.why, missing=answer.missing, steps=steps)


def listed(tags: list[str]) -> str:
    """Tags as print lists them: A, B and C; nothing for none."""
    return " and ".join((", ".join(tags[:-1]), tags[-1])) if len(tags) > 1 else "".join(tags)
