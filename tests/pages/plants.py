"""Plants with everything worked out, for tests of pages."""

from functools import lru_cache
from pathlib import Path
from typing import Any

from generator import compute, read
from generator.model.finding import Review
from generator.model.plant import Definitions
from generator.pages.context import Context
from tests.compute import small

ROOT = Path(__file__).parents[2]
LOGIC = "tests/plants/logic.yml"
DEMO = "content/plant"


@lru_cache(maxsize=8)
def definitions(source: str) -> Definitions:
    """A plant as it is written."""
    made, mistakes = read.plant(ROOT / source)
    assert made is not None, "\n".join(map(str, mistakes))
    return made


@lru_cache(maxsize=8)
def context(source: str) -> Context:
    """The context of a plant, without a review."""
    knowledge = read.knowledge()
    return Context(definitions(source), compute.results(definitions(source), knowledge), Review(), knowledge, {})


def of(**nouns: Any) -> Context:
    """The context of a small plant, as `tests.compute.small.plant` fills it in."""
    plant, knowledge = small.plant(**nouns), read.knowledge()
    return Context(plant, compute.results(plant, knowledge), Review(), knowledge, {})
