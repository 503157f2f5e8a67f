"""Plants with everything worked out, for tests of pages."""

from functools import lru_cache
from pathlib import Path

from generator import compute, read
from generator.model.finding import Review
from generator.pages.context import Context

ROOT = Path(__file__).parents[2]
LOGIC = "tests/plants/logic.yml"
DEMO = "content/plant"


@lru_cache(maxsize=4)
def context(source: str) -> Context:
    """The context of a plant, without a review."""
    plant, mistakes = read.plant(ROOT / source)
    assert plant is not None, "\n".join(map(str, mistakes))
    knowledge = read.knowledge()
    return Context(plant, compute.results(plant, knowledge), Review(), knowledge, {})
