"""What the generator knows of the trade: read from its own data files, never from the plant's."""

from collections.abc import Mapping

from msgspec import Struct, field

from generator.model.caution import CautionRow
from generator.model.language import Language


class PublishedRule(Struct, frozen=True):
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
    rests: tuple[tuple[float, float], ...] = ()
    """Rows of (motor power up to, least time between a stop and the next start). [W, s]"""
    flow: float | None = None
    """Flow below which the rule holds. [m3/s]"""
    currents: tuple[tuple[float, float, float, float], ...] = ()
    """Rows of (phases, voltage, motor power up to, full-load current). [-, V, W, A]"""


class Word(Struct, frozen=True):
    """An entry of the glossary."""

    word: str
    meaning: str
    source: str = ""
    see: tuple[str, ...] = ()


class Unfit(Struct, frozen=True):
    """Something that defeats a technology.

    `only` and `unless` hold places of the device from a closed vocabulary (compute/suitability_facts.py): `only` where
    one of them must hold for the trouble to count, `unless` where one of them takes it away.
    """

    what: str
    because: str
    unless: tuple[str, ...] = ()
    only: tuple[str, ...] = ()


class Care(Struct, frozen=True):
    """How often a device is cleaned where the liquid does something to it. Common practice. [s]"""

    where: str
    every: float
    do: str


class Plausible(Struct, frozen=True):
    """What is usual for a field of a device (`ratings.density_lowest`), in SI. Never reckoned with.

    `most` is where most devices stand, for a rating of which only special ones reach further.
    """

    field: str
    lowest: float
    highest: float
    most: float | None = None


class Technology(Struct, frozen=True):
    """A way of sensing a level. `accuracy` and `differential` are what is usual, for show alone. [m]"""

    name: str
    principle: str
    needs: tuple[str, ...]
    defeated_by: tuple[str, ...]
    test: str
    actuation: str = "none"
    """Family of rules by which it acts: cable, rods, lever, tube, displacer, point, range, none."""
    mounts: tuple[str, ...] = ()
    """Where it can sit: wall, roof, floor, free."""
    immersed: bool = False
    """Whether its whole body hangs in the liquid."""
    judged_by: tuple[str, ...] = ()
    """Criteria of its own, beside those that hold for every device."""
    unfit_for: tuple[Unfit, ...] = ()
    accuracy: tuple[float, float] = (0.0, 0.0)
    differential: tuple[float, float] = (0.0, 0.0)
    must_give: tuple[str, ...] = ()
    plausible: tuple[Plausible, ...] = ()
    cautions: tuple[str, ...] = ()
    care: tuple[Care, ...] = ()
    wetted_test: str = ""
    hidden_by_simulation: str = ""
    restore: tuple[str, ...] = ()
    references: tuple[str, ...] = ()


class Criterion(Struct, frozen=True):
    """A figure of liquid or place that a rating of the device must match: what it must be relative to the rating."""

    name: str
    title: str
    rating: str
    sense: str
    because: str
    basis: str


class Material(Struct, frozen=True):
    """What a material withstands and what attacks it, by chemistry. Common practice."""

    material: str
    resists: tuple[str, ...]
    attacked_by: tuple[str, ...]
    cleaned_with: tuple[str, ...] = ()
    """Agents that it withstands as thin and as short as tanks are cleaned with them, beside what it resists."""


class Usual(Struct, frozen=True):
    """Range in which a property of a liquid usually lies, in SI. `of` is a chemistry, or "any"."""

    property: str
    of: str
    lowest: float
    highest: float
    mark: str


class TruthTable(Struct, frozen=True):
    """A table worked by hand: columns, the last of which are what the logic must give, and rows of 1, 0 and ?."""

    name: str
    title: str
    says: str
    columns: tuple[str, ...]
    results: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class Knowledge(Struct, frozen=True):
    """All of it."""

    cautions: tuple[CautionRow, ...] = ()
    rules: Mapping[str, PublishedRule] = field(default_factory=dict)
    words: tuple[Word, ...] = ()
    technologies: Mapping[str, Technology] = field(default_factory=dict)
    criteria: Mapping[str, Criterion] = field(default_factory=dict)
    materials: tuple[Material, ...] = ()
    usual: tuple[Usual, ...] = ()
    language: Language = field(default_factory=Language)
    truth_tables: tuple[TruthTable, ...] = ()
