"""Files that leave the site: the data file, and the registers as spreadsheet rows."""

from collections.abc import Iterator
from dataclasses import asdict

from generator.model.page import Download, Page, Strip
from generator.pages import data, language, register
from generator.pages.context import Context


def files(context: Context, strip: Strip, made: tuple[Page, ...]) -> Iterator[Download]:
    """Every file of the site that is not a page."""
    yield Download(data.PATH, "json", data.philosophy(context, asdict(strip)))
    for page in made:
        if isinstance(page.view, register.Table):
            yield Download(page.view.download, "csv", register.rows(page.view))
    if context.plant.plant.show_language:
        yield Download(language.SCHEMA, "json", context.knowledge.language.schema)
