"""Whether a row of cautions.yml holds for a subject, does not, or cannot be decided.

Rows that look at the same parts of a subject (its tanks, its panels, what it drives) are decided together, and once for
all subjects that share those parts: the five points of a tank stand in one place.
"""

from collections.abc import Hashable, Iterable, Iterator, Mapping

from msgspec import Struct, field

from generator.compute.caution_facts import VOCABULARY
from generator.compute.facts import Fact, Part, Subject
from generator.model.caution import Caution, CautionRow


class Decision(Struct, frozen=True):
    """A row that holds, with its caution; or one that cannot be decided, with what it lacks."""

    number: int
    """Place of the row in cautions.yml."""
    row: CautionRow
    caution: Caution | None
    gaps: tuple[tuple[str, str], ...] = ()
    """Pairs of (what is not recorded, in words; the field)."""


class Deciding(Struct):
    """Rows by the parts they look at, and what was decided of each combination of parts."""

    rows: Iterable[CautionRow]
    _groups: dict[tuple[Part, ...], list[tuple[int, CautionRow]]] = field(default_factory=dict)
    _decided: dict[Hashable, tuple[Decision, ...]] = field(default_factory=dict)
    _facts: dict[tuple[str, int], Fact] = field(default_factory=dict)
    _numbers: dict[tuple[Part, Hashable], int] = field(default_factory=dict)
    """A number for each part that was met, so that long parts are hashed once a subject."""

    def __post_init__(self) -> None:
        for number, row in enumerate(self.rows):
            parts = sorted({VOCABULARY[fact].looks_at for alternative in row.when for fact, _ in alternative})
            self._groups.setdefault(tuple(parts), []).append((number, row))

    def of(self, subject: Subject) -> list[Decision]:
        """What was decided of a subject, in the order of the rows; rows that do not hold are left out."""
        found: list[Decision] = []
        numbers = {part: self._numbers.setdefault((part, behind), len(self._numbers))
                   for part, behind in subject.parts.items()}
        for parts, rows in self._groups.items():
            key = (parts, *[numbers[part] for part in parts])
            decided = self._decided.get(key)
            if decided is None:
                decided = self._decided[key] = tuple(self._decide(subject, numbers, rows))
            found += decided
        found.sort(key=_in_order)
        return found

    def _decide(
        self, subject: Subject, numbers: Mapping[Part, int], rows: list[tuple[int, CautionRow]],
    ) -> Iterator[Decision]:
        for number, row in rows:
            said: list[str] = []
            gaps: list[tuple[str, str]] = []
            holds = False
            for alternative in row.when:
                words, lacks = self._look(subject, numbers, alternative)
                if lacks is None:
                    continue
                if lacks:
                    gaps += lacks
                else:
                    holds = True
                    said += words
            if holds:
                because = "; ".join(dict.fromkeys(said)) or f"every {subject.kind}"
                yield Decision(number, row, Caution(row.key, row.word, row.jobs, row.hazard, row.consequence, row.avoid,
                                                    row.defer_to, because))
            elif gaps:
                yield Decision(number, row, None, tuple(dict.fromkeys(gaps)))

    def _look(
        self, subject: Subject, numbers: Mapping[Part, int], alternative: tuple[tuple[str, str], ...],
    ) -> tuple[list[str], list[tuple[str, str]] | None]:
        """The words behind an alternative and what it lacks; None where a fact is known to be otherwise."""
        words: list[str] = []
        lacks: list[tuple[str, str]] = []
        for name, value in alternative:
            fact = self._fact(subject, numbers, name)
            because = fact.values.get(value)
            if because is None:
                if not fact.missing:
                    return words, None
                lacks += fact.missing
            elif because:
                words.append(because)
        return words, lacks

    def _fact(self, subject: Subject, numbers: Mapping[Part, int], name: str) -> Fact:
        entry = VOCABULARY[name]
        key = (name, numbers[entry.looks_at])
        found = self._facts.get(key)
        if found is None:
            found = self._facts[key] = entry.of(subject)
        return found


def _in_order(decision: Decision) -> int:
    return decision.number
