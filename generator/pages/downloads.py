"""Files that leave the site: the data file, and the registers as spreadsheet rows."""

from collections.abc import Iterator

from msgspec.structs import asdict

from generator.model.page import Download, Later, Page, Strip
from generator.pages import data, language, register
from generator.pages.context import Context


def files(context: Context, strip: Strip, made: tuple[Page, ...]) -> Iterator[Download]:
    """Every file of the site that is not a page."""
    yield Download(data.PATH, "json", Later(data.philosophy, context, asdict(strip)))
    for page in made:
        if isinstance(page.shows, register.Table):
            yield Download(page.shows.download, "csv", Later(register.rows, page.shows))
    if context.plant.plant.show_language:
        yield Download(language.SCHEMA, "json", Later(context.knowledge.language.schema))
