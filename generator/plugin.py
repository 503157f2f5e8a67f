"""The MkDocs plugin: hands finished pages to MkDocs. The only room besides publish.py that knows MkDocs.

Everything that can stop a build happens in `on_config`, before MkDocs empties the folder of the last good site.
"""

import gc
import os
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path

os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")  # before the theme is imported: its banner is not for our readers

from mkdocs.config import base
from mkdocs.config import config_options as option
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page as MkPage

from generator import build
from generator.build import Philosophy
from generator.errors import GeneratorError
from generator.model.page import Page, Site
from generator.render import assets, downloads, links, menu, notes, search, theme_settings
from generator.render.articles import articles
from generator.render.environment import root_of

log = get_plugin_logger("philosophy")
NOTES = "notes/"


class PhilosophyConfig(base.Config):  # type: ignore[no-untyped-call]  # MkDocs leaves it untyped
    """The plugin's own settings in mkdocs.yml."""

    definitions = option.Type(str, default="content/plant")
    """Folder of the definitions, from the folder of mkdocs.yml."""


class PhilosophyPlugin(BasePlugin[PhilosophyConfig]):  # type: ignore[no-untyped-call]  # as above
    """Reads, works out, reviews and lays out in `on_config`; prints in the hooks that follow."""

    def __init__(self) -> None:
        self.philosophy = Philosophy()
        self._pages: dict[str, Page] = {}
        self._made: Mapping[str, str] = {}
        self._articles: dict[str, str] = {}
        self._files: list[str] = []
        self._entries: list[dict[str, object]] = []
        self._day_is_ours = False

    def on_startup(self, *, command: str, dirty: bool) -> None:
        """Being defined is what keeps this one instance alive while `serve` rebuilds."""
        if dirty:
            raise PluginError("a partial build would leave pages that say different things; build the whole site")

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Make the philosophy; a mistake in the definitions ends here, with the last good site untouched."""
        if config.theme.name != "material":
            raise PluginError(f"`theme: name: material` must stand in mkdocs.yml, not `{config.theme.name}`")
        definitions = Path(config.config_file_path or ".").parent / self.config.definitions
        config.watch.append(str(definitions))
        try:
            self.philosophy = build.philosophy(definitions)
        except GeneratorError as error:
            raise PluginError(str(error)) from error
        for mistake in self.philosophy.mistakes:
            log.error("%s", mistake)
        if self.philosophy.site is None or self.philosophy.plant is None:
            count = len(self.philosophy.mistakes)
            raise PluginError(f"{count} mistake{'' if count == 1 else 's'} in the definitions; no site was built")
        gc.freeze()  # a plant is a large heap that stays; looking through it again and again costs a tenth of the build
        self._dress(config, self.philosophy.site)
        self._day_is_ours = "SOURCE_DATE_EPOCH" not in os.environ
        if self._day_is_ours:
            day = self.philosophy.plant.plant.document.as_of
            os.environ["SOURCE_DATE_EPOCH"] = str(int(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp()))
        return config

    def _dress(self, config: MkDocsConfig, site: Site) -> None:
        config.site_name = notes.escaped(f"{site.strip.plant} · {site.strip.title}")
        config.use_directory_urls = False
        config.theme.dirs.insert(0, str(theme_settings.FOLDER))
        for name, value in theme_settings.SETTINGS.items():
            config.theme[name] = value
        if not config.site_url:
            config.theme.static_templates -= {"404.html", "sitemap.xml"}  # both need the address of a server
        config.extra["generator"] = False
        config.extra["sheet"] = theme_settings.sheet(site.strip)
        config.extra["polyfills"] = [theme_settings.SHIM]
        config.extra_css[:0] = [*assets.STYLES, theme_settings.STYLE]
        config.extra_javascript[:0] = assets.SCRIPTS
        config.markdown_extensions.append(notes.PlainHtml())  # type: ignore[arg-type]  # Markdown takes instances too

    @event_priority(-50)
    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Hand over pages, assets and downloads; lay out the menu; move the engineers' own files below notes/."""
        site = self._site()
        for file in [file for file in files if theme_settings.is_unused(file.src_uri)]:
            files.remove(file)
        own = [file for file in files if file.src_dir == config.docs_dir]
        for file in own:
            file.dest_uri = NOTES + file.dest_uri
        self._pages = {menu.source(page): page for page in site.pages}
        try:
            self._made = articles(site.pages)
        except GeneratorError as error:
            raise PluginError(str(error)) from error
        for source, page in self._pages.items():
            file = File.generated(config, source, content="")
            file.dest_uri = page.path
            files.append(file)
        for name, content in self._attachments(site):
            files.append(File.generated(config, name, content=content))
        config.nav = menu.tree(site, [file.src_uri for file in own if file.is_documentation_page()])
        self._files = [file.dest_uri for file in files if not file.is_documentation_page()]
        self._articles, self._entries = {}, []
        return files

    def _attachments(self, site: Site) -> Iterator[tuple[str, bytes]]:
        yield from assets.files().items()
        for download in site.downloads:
            yield download.path, downloads.content(download)

    def on_page_markdown(self, markdown: str, *, page: MkPage, config: MkDocsConfig, files: Files) -> str:
        """Say what the theme must know of a page."""
        made = self._pages.get(page.file.src_uri)
        page.meta["hide"] = ["toc"]
        if made is not None:
            page.meta.update(title=notes.escaped(made.title), kind=made.template, search={"exclude": True})
        return markdown

    def on_page_content(self, html: str, *, page: MkPage, config: MkDocsConfig, files: Files) -> str:
        """Put in the finished article."""
        made = self._pages.get(page.file.src_uri)
        if made is None:
            html, lost = notes.finished(html, build.prose(self.philosophy), root_of(page.file.dest_uri))
            for reference in lost:
                log.warning("%s: %s refers to no value of the plant", page.file.src_uri, reference)
            page.title = page.meta["title"] = notes.escaped(str(page.title))
        else:
            html = self._made[made.path]
            self._entries += search.entries(made, html)
        self._articles[page.file.dest_uri] = html
        return html

    @event_priority(50)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Check the links of the whole site, and give the search its entries before it writes them down."""
        for fault in links.broken(self._articles, self._files, ("sheet", *links.anchors_of(assets.sprite()))):
            log.warning("%s", fault)
        if "material/search" in config.plugins:
            index = config.plugins["material/search"].search_index  # type: ignore[attr-defined]  # the theme's plugin
            index.config["separator"] = search.SEPARATOR
            index.entries[:0] = self._entries
        self._forget_day()

    def on_build_error(self, *, error: Exception) -> None:
        """Leave the environment as it was."""
        self._forget_day()

    def _forget_day(self) -> None:
        gc.unfreeze()
        if self._day_is_ours:
            os.environ.pop("SOURCE_DATE_EPOCH", None)
            self._day_is_ours = False

    def _site(self) -> Site:
        if self.philosophy.site is None:
            raise PluginError("no site was laid out")
        return self.philosophy.site

