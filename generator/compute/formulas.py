"""Questions to the logic as formulas over tags, and the search for a possible state that answers them.

A formula is a number of parts that must hold at least: any-of, all-of and votes are one form. The search takes the
tanks and signals one after the other, each in every state it can have, and turns back as soon as the formula can no
longer come true (three-valued, as in `compute/logic.py`). It is complete; where it would look at more partial states
than the limit, it says so instead.
"""

from collections.abc import Mapping, Sequence

from msgspec import Struct, field

from generator.compute.reachable import LIMIT
from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Not, Vote


class Is(Struct, frozen=True):
    """That a bit is true."""

    bit: int


class No(Struct, frozen=True):
    """The opposite of a formula."""

    part: "Formula"


class Count(Struct, frozen=True):
    """That at least so many of some formulas hold."""

    needed: int
    parts: "tuple[Formula, ...]"


Formula = Is | No | Count
TRUE, FALSE = Count(0, ()), Count(1, ())


class Formulas(Struct):
    """Formulas that share their tags: each tag is one bit, and so is each time that a condition must be held."""

    bits: dict[str, int] = field(default_factory=dict)
    held: dict[int, str] = field(default_factory=dict)
    _names: list[str] = field(default_factory=list)

    def tag(self, tag: str) -> Is:
        """That a tag has acted."""
        return Is(1 << self.bits.setdefault(str(tag), len(self.bits)))

    def named(self, mask: int) -> list[str]:
        """Names of the bits of a mask, in the order in which they were first met."""
        if len(self._names) < len(self.bits):
            self._names = list(self.bits)
        found = []
        while mask:
            lowest = mask & -mask
            found.append(self._names[lowest.bit_length() - 1])
            mask ^= lowest
        return found

    def of(self, condition: Condition, forced: Mapping[str, bool] | None = None) -> Formula:
        """The formula of a condition; tags in `forced` have a fixed state.

        A condition that must be held is its part together with one more bit: its time is over.

        Raises:
            TypeError: a form of condition that this module does not know.
        """
        match condition:
            case Acted(tag=tag):
                if forced and tag in forced:
                    return TRUE if forced[tag] else FALSE
                return self.tag(tag)
            case Not(part=part):
                return No(self.of(part, forced))
            case Held(time=time, part=part):
                inner = self.of(part, forced)
                over = self.tag(f"held {time.si} s: {inner}")
                self.held[over.bit] = time.written
                return together(inner, over)
            case AnyOf(inner=parts):
                return Count(1, tuple(self.of(one, forced) for one in parts))
            case AllOf(inner=parts):
                return Count(len(parts), tuple(self.of(one, forced) for one in parts))
            case Vote(needed=needed, inner=parts):
                return Count(needed, tuple(self.of(one, forced) for one in parts))
            case _:
                raise TypeError(f"unknown form of condition: {type(condition).__name__}")


def together(*formulas: Formula) -> Formula:
    """All of some formulas."""
    return Count(len(formulas), formulas)


def used(formula: Formula) -> int:
    """Bits on which a formula rests."""
    if isinstance(formula, Is):
        return formula.bit
    if isinstance(formula, No):
        return used(formula.part)
    made = 0
    for part in formula.parts:
        made |= used(part)
    return made


def value(formula: Formula, true: int, known: int) -> bool | None:
    """Whether a formula holds where the bits in `known` are decided, those in `true` being true; None where open.

    >>> vote = Count(2, (Is(1), Is(2), Is(4)))
    >>> value(vote, 0b011, 0b111), value(vote, 0b001, 0b111), value(vote, 0b001, 0b011)
    (True, False, None)
    """
    if isinstance(formula, Is):
        return bool(true & formula.bit) if known & formula.bit else None
    if isinstance(formula, No):
        inner = value(formula.part, true, known)
        return None if inner is None else not inner
    holds = fails = 0
    for part in formula.parts:
        answer = value(part, true, known)
        holds += answer is True
        fails += answer is False
        if holds >= formula.needed:
            return True
    if holds >= formula.needed:
        return True
    return False if len(formula.parts) - fails < formula.needed else None


class Block(Struct, frozen=True):
    """Bits that are decided together: those of one tank, or one signal. `choices` are the patterns they can show."""

    bits: int
    choices: tuple[int, ...]


class Found(Struct, frozen=True):
    """What a search found: the true bits and the decided bits of a state, or none; how many partial states it took."""

    true: int
    known: int
    is_possible: bool
    steps: int
    is_complete: bool = True


def search(formula: Formula, blocks: Sequence[Block]) -> Found:
    """A state of the blocks in which a formula holds, the fewest tanks and signals first."""
    steps = 0
    waiting: list[tuple[int, int, int]] = [(0, 0, 0)]
    while waiting:
        depth, true, known = waiting.pop()
        steps += 1
        if steps > LIMIT:
            return Found(0, 0, False, steps, is_complete=False)
        answer = value(formula, true, known)
        if answer is True:
            return Found(true, known, True, steps)
        if answer is False or depth == len(blocks):
            continue
        block = blocks[depth]
        for choice in reversed(block.choices):
            waiting.append((depth + 1, true | choice, known | block.bits))
    return Found(0, 0, False, steps)


def smallest(formula: Formula, blocks: Sequence[Block], found: Found) -> Found:
    """The same state without the tanks and signals that do not matter for it."""
    true, known = found.true, found.known
    for block in blocks:
        without = known & ~block.bits
        if known & block.bits and value(formula, true & without, without) is True:
            true, known = true & without, without
    return Found(true, known, found.is_possible, found.steps)
