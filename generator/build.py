"""The whole journey: definitions in, philosophy out. Data goes down once; nothing goes back up."""

from collections.abc import Callable
from datetime import date
from functools import partial
from pathlib import Path

from msgspec import Struct, field
from msgspec.structs import replace

from generator import check, compute, pages, read
from generator.meanwhile import may_fork, meanwhile
from generator.memory import collector_held_back
from generator.model.finding import Mistake, Review
from generator.model.page import Running, Site
from generator.model.plant import Definitions
from generator.model.results import Results
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.prose import running


class Philosophy(Struct, frozen=True):
    """What one set of definitions gives: mistakes and nothing else, or the plant with its results, review and site."""

    mistakes: tuple[Mistake, ...] = ()
    plant: Definitions | None = None
    results: Results | None = None
    review: Review = field(default_factory=Review)
    site: Site | None = None

    def __repr__(self) -> str:
        """Mistakes alone: a plant has no end when it is printed."""
        return f"Philosophy(mistakes={self.mistakes!r})"


@collector_held_back()
def reviewed(source: Path, as_of: date | None = None) -> Philosophy:
    """Read, work out and review one plant, without laying out its pages."""
    plant, mistakes = read.plant(source, as_of)
    if plant is None:
        return Philosophy(mistakes)
    knowledge = read.knowledge()
    results = compute.results(plant, knowledge)
    if results.circles:
        return Philosophy(tuple(circle_mistake(plant, circle) for circle in results.circles))
    return Philosophy((), plant, results, check.review(plant, results, knowledge))


@collector_held_back()
def philosophy(source: Path, as_of: date | None = None) -> Philosophy:
    """The whole journey for one plant. `source` is the folder of its definitions."""
    made = reviewed(source, as_of)
    if made.plant is None or made.results is None:
        return made
    explorers = made.results.explorers
    explored = meanwhile(explorers.all) if len(explorers) >= compute.MANY and may_fork() else None
    knowledge = read.knowledge()
    if made.plant.plant.show_language:
        knowledge = replace(knowledge, language=read.language())
    numbers, faults = read.numbers(source)
    if faults:
        return Philosophy(faults)
    site = pages.site(made.plant, made.results, made.review, knowledge, read.sources(source), numbers)
    if explored is not None:
        explorers.keep(explored())
    return replace(made, site=site)


def prose(made: Philosophy) -> Callable[[str], Running]:
    """What turns an engineer's own text into running text: tags linked, references to values filled in."""
    if made.plant is None or made.results is None:
        return lambda text: (text,)
    return partial(running, Context(made.plant, made.results, made.review, read.knowledge(), {}))


def circle_mistake(plant: Definitions, circle: tuple[str, ...]) -> Mistake:
    """Heights that wait for each other cannot be given a meaning."""
    first = plant.switches[Tag(circle[0])]
    return Mistake(first.height.place, "circular-heights", circle[0], "heights must follow from each other in some order",
                   "they wait for each other: " + " -> ".join((*circle, circle[0])),
                   "give one of them an `issued` height or a need that names no other point of the circle")
