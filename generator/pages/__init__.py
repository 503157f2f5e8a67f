"""Pages: model, results and findings to view data, strings and rows ready to place. No HTML, no disk."""

from collections.abc import Iterator, Mapping

from generator.model.finding import Review
from generator.model.knowledge import Knowledge
from generator.model.page import Page, Site
from generator.model.plant import Definitions
from generator.model.results import Results
from generator.pages.context import Context


def site(plant: Definitions, results: Results, review: Review, knowledge: Knowledge, sources: Mapping[str, str]) -> Site:
    """Which pages exist and what they say."""
    context = Context(plant, results, review, knowledge, sources)
    return Site(strip=strip.strip(context), pages=tuple(_pages(context)), downloads=tuple(downloads.files(context)))


def _pages(context: Context) -> Iterator[Page]:
    for subject in SUBJECTS:
        yield from subject.pages(context)
