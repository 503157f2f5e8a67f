"""The states that the points and signals of a plant can show together, put to questions of the logic.

Levels of different tanks and signals move independently of each other, so what can stand together is every combination
of what each tank can show by itself. A tank takes part with those of its points alone that the question names.
"""

from collections.abc import Iterator, Mapping

from msgspec import Struct, field

from generator.compute.formulas import Block, Formula, Formulas, search, smallest, used
from generator.compute.reachable import LIMIT, Point, Tank, TankState, point, unsettled
from generator.model.plant import Definitions
from generator.model.record import value_of
from generator.model.results import SetpointResult, TankResult
from generator.model.scalar import Tag


class Answer(Struct, frozen=True):
    """Whether a formula can come true; `words` tell how, `missing` and `why` what keeps it from being decided."""

    is_possible: bool | None
    words: str = ""
    acted: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    why: str = ""
    steps: int = 0


class World(Struct):
    """The plant as far as the logic sees it."""

    plant: Definitions
    setpoints: Mapping[str, SetpointResult]
    tanks: Mapping[str, TankResult]
    formulas: Formulas = field(default_factory=Formulas)
    _states: dict[tuple[str, ...], tuple[TankState, ...] | None] = field(default_factory=dict)

    def can(self, formula: Formula, is_overflow_open: bool = False) -> Answer:
        """Whether a formula can come true in a physically possible state.

        `is_overflow_open` keeps each level below the opening by which liquid leaves its tank.
        """
        tags = self.formulas.named(used(formula))
        points = [tag for tag in tags if tag in self.plant.switches]
        vague = unsettled(self.plant, self.setpoints, points)
        blocks, states = [], {}
        by_tank: dict[str, list[str]] = {}
        for tag in points:
            by_tank.setdefault(str(self.plant.tank_of(tag)), []).append(tag)
        for tank, many in by_tank.items():
            shown = None if any(tag in vague for tag in many) else self.states_of(tank, tuple(many), is_overflow_open)
            if shown is None:
                blocks += [self._free(tag) for tag in many]
                continue
            bits = {tag: 1 << self.formulas.bits[tag] for tag in many}
            patterns = {sum(bits[tag] for tag in state.counted): state for state in reversed(shown)}
            blocks.append(Block(sum(bits.values()), tuple(sorted(patterns, key=int.bit_count))))
            states[tank] = patterns
        blocks.sort(key=lambda block: len(block.choices))
        blocks += [self._free(tag) for tag in tags if tag not in self.plant.switches]
        found = search(formula, blocks)
        if not found.is_complete:
            return Answer(None, why=f"more than {LIMIT} states would have to be looked at", steps=found.steps)
        if vague and found.is_possible:
            missing = tuple(field for tag in vague for field in self._behind(tag))
            return Answer(None, why="it is not settled where " + ", ".join(vague) + " act", missing=missing,
                          steps=found.steps)
        if not found.is_possible:
            return Answer(False, steps=found.steps)
        found = smallest(formula, blocks, found)
        acted = tuple(tag for tag in tags if found.true >> self.formulas.bits[tag] & 1 and tag in self.plant.noun_of)
        return Answer(True, self._words(found.true, found.known, tags, states), acted, steps=found.steps)

    def states_of(self, tank: str, tags: tuple[str, ...], is_overflow_open: bool = False) -> tuple[TankState, ...] | None:
        """What some points of a tank can show together; None where a single point is not settled, or past the limit."""
        key = (tank, *sorted(tags), "open" if is_overflow_open else "")
        if key not in self._states:
            points = [point(self.plant, self.setpoints[tag]) for tag in sorted(tags) if tag in self.setpoints]
            known = tuple(one for one in points if one is not None)
            made = self._tank(tank, known, is_overflow_open).states() if len(known) == len(tags) else None
            self._states[key] = made
        return self._states[key]

    def _tank(self, tank: str, points: tuple[Point, ...], is_overflow_open: bool) -> Tank:
        result = self.tanks.get(tank)
        bottom, top = float("-inf"), float("inf")
        if result is not None and result.vessel is not None:
            bottom, top = result.vessel.bottom, result.vessel.top
        ceiling = value_of(result.ceiling) if result is not None else None
        if is_overflow_open and ceiling is not None:
            overflow = self.plant.tanks[Tag(tank)].overflow
            head = overflow.head_at_full_inflow if overflow is not None else None
            top = min(top, ceiling + (head.si if head is not None else 0.0))
        return Tank(points, bottom, max(top, bottom))

    def _free(self, tag: str) -> Block:
        bit = 1 << self.formulas.bits[tag]
        return Block(bit, (0, bit))

    def _behind(self, tag: str) -> Iterator[str]:
        setpoint = self.setpoints.get(tag)
        if setpoint is None or setpoint.stands is None:
            yield f"{tag}: height.issued"
        else:
            yield f"{tag}: accuracy"

    # ---- words ---------------------------------------------------------------------------------------------------

    def _words(
        self, true: int, known: int, tags: list[str], states: Mapping[str, Mapping[int, TankState]],
    ) -> str:
        """A state as a sentence: levels first, then signals."""
        said = []
        for tank, patterns in states.items():
            bits = sum(1 << self.formulas.bits[tag] for tag in self._of(tank, tags))
            if known & bits == bits:
                said.append(told(tank, patterns[true & bits], self._of(tank, tags)))
        for tag in tags:
            bit = 1 << self.formulas.bits[tag]
            if known & bit and tag in self.plant.signals and true & bit:
                said.append(f"{tag} is on ({self.plant.signals[Tag(tag)].service})")
            elif known & bit and bit in self.formulas.held and true & bit:
                said.append(f"it has lasted for {self.formulas.held[bit]}")
        free = [tag for tag in tags if tag in self.plant.switches and str(self.plant.tank_of(tag)) not in states]
        said += [f"{tag} has acted" for tag in free if true >> self.formulas.bits[tag] & 1]
        return "; ".join(said) or "whatever the levels and signals are"

    def _of(self, tank: str, tags: list[str]) -> list[str]:
        return [tag for tag in tags if tag in self.plant.switches and self.plant.tank_of(tag) == tank]


def told(tank: str, state: TankState, tags: list[str]) -> str:
    """A state of a tank in words: how the level went, and what its points show."""
    turns = [_stretch(low, high) for low, high in state.way]
    went, low_before = f"{tank} stands {turns[0]}", state.way[0][0]
    for (low, _), words in zip(state.way[1:], turns[1:], strict=True):
        went += f", then {'rises' if low > low_before else 'falls'} to {words}"
        low_before = low
    shown = [f"{tag} {_shows(tag, state)}" for tag in tags]
    return f"{went}: {', '.join(shown)}"


def _shows(tag: str, state: TankState) -> str:
    if tag in state.counted:
        return "has acted"
    return "has acted, its delay still running" if tag in state.acted else "is clear"


def _stretch(low: float, high: float) -> str:
    if low == float("-inf"):
        return "anywhere" if high == float("inf") else f"under {high:.2f} m"
    if high == float("inf"):
        return f"over {low:.2f} m"
    decimals = 2 if round(high - low, 2) > 0 else 3
    return f"between {low:.{decimals}f} m and {high:.{decimals}f} m"
