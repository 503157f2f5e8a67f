"""What the generator knows of the trade: read from its own data files, never from the plant's."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from generator.model.caution import CautionRow
from generator.model.language import Language


@dataclass(frozen=True, slots=True)
class PublishedRule:
    """A rule that an authority or standard publishes, which a plant may adopt."""

    name: str
    title: str
    standard: str
    """Standard, edition, clause."""
    says: str
    """What it asks for, in own words."""
    scope: str
    mark: str
    """"found", "from memory" or "common practice"."""
    time: float | None = None
    """Time that a gap rule asks for. [s]"""
    height: float | None = None
    """Height that a gap rule asks for. [m]"""
    cycles: tuple[tuple[float, float], ...] = ()
    """Rows of (motor power up to, shortest cycle). [W, s]"""


@dataclass(frozen=True, slots=True)
class Word:
    """An entry of the glossary."""

    word: str
    meaning: str
    source: str = ""
    see: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Technology:
    """A way of sensing a level."""

    name: str
    principle: str
    needs: tuple[str, ...]
    defeated_by: tuple[str, ...]
    test: str


@dataclass(frozen=True, slots=True)
class Knowledge:
    """All of it."""

    cautions: tuple[CautionRow, ...] = ()
    rules: Mapping[str, PublishedRule] = field(default_factory=dict)
    words: tuple[Word, ...] = ()
    technologies: Mapping[str, Technology] = field(default_factory=dict)
    language: Language = field(default_factory=Language)
