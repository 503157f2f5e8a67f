"""The whole journey: definitions in, philosophy out. Data goes down once; nothing goes back up."""

from dataclasses import dataclass, field
from pathlib import Path

from generator import check, compute, pages, read
from generator.model.finding import Mistake, Review
from generator.model.knowledge import Knowledge
from generator.model.page import Site
from generator.model.plant import Definitions
from generator.model.results import Results


@dataclass(frozen=True)
class Philosophy:
    """What one set of definitions gives: either mistakes, or the plant with its results, review and site."""

    mistakes: tuple[Mistake, ...] = ()
    plant: Definitions | None = None
    knowledge: Knowledge = field(default_factory=Knowledge)
    results: Results | None = None
    review: Review = field(default_factory=Review)
    site: Site | None = None
