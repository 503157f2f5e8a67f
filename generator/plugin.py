"""The MkDocs plugin: hands finished pages to MkDocs. The only room besides publish.py that knows MkDocs.

Everything that can stop a build happens in `on_config`, before MkDocs empties the folder of the last good site.
"""

import gc
import os
from datetime import UTC, datetime
from pathlib import Path

os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")  # before the theme is imported: its banner is not for our readers

from jinja2 import Environment
from mkdocs.config import base
from mkdocs.config import config_options as option
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, PluginError
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files
from mkdocs.structure.pages import Page as MkPage
from mkdocs.structure.toc import TableOfContents

from generator import build
from generator.build import Philosophy
from generator.errors import GeneratorError
from generator.model.page import Page, Site
from generator.render import assets, links, menu, notes, search, theme_settings
from generator.render.articles import Articles
from generator.render.environment import kept_templates, root_of
from generator.render.links import Marks
from generator.render.theme_menu import ThemeMenu

log = get_plugin_logger("philosophy")
NOTES = "notes/"
_ARTICLE = "<philosophy-article></philosophy-article>"
"""Stands for the article while the theme is printed around it."""


class PhilosophyConfig(base.Config):  # type: ignore[no-untyped-call]  # MkDocs leaves it untyped
    """The plugin's own settings in mkdocs.yml."""

    definitions = option.Type(str, default="content/plant")
    """Folder of the definitions, from the folder of mkdocs.yml."""


class MadePage(MkPage):
    """A page whose article is made elsewhere: there is no Markdown to read or to turn into HTML."""

    def __init__(self, file: File, config: MkDocsConfig, made: Page) -> None:
        super().__init__(notes.escaped(made.nav or made.title), file, config)
        self.made = made

    def read_source(self, config: MkDocsConfig) -> None:
        """Say what the theme must know."""
        self.markdown = ""
        self.meta = {"title": notes.escaped(self.made.title), "kind": self.made.template, "search": {"exclude": True}}

    def render(self, config: MkDocsConfig, files: Files) -> None:
        """Hold a place for the article."""
        self.content, self.toc = _ARTICLE, TableOfContents([])


class PhilosophyPlugin(BasePlugin[PhilosophyConfig]):  # type: ignore[no-untyped-call]  # as above
    """Reads, works out, reviews and lays out in `on_config`; prints in the hooks that follow."""

    def __init__(self) -> None:
        self.philosophy = Philosophy()
        self._articles: Articles | None = None
        self._marks: dict[str, Marks] = {}
        self._files: list[str] = []
        self._entries: list[dict[str, object]] = []
        self._day_is_ours = False
        self.tells_mistakes = True

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
        for mistake in self.philosophy.mistakes if self.tells_mistakes else ():
            log.error("%s", mistake)
        if self.philosophy.site is None or self.philosophy.plant is None:
            if not self.tells_mistakes:
                raise Abort("mistakes in the definitions")  # said by whoever asked, not once more by MkDocs
            count = len(self.philosophy.mistakes)
            raise PluginError(f"{count} mistake{'' if count == 1 else 's'} in the definitions; no site was built")
        gc.freeze()  # a plant is a large heap that stays; looking through it again and again costs a tenth of the build
        self._articles = Articles(self.philosophy.site)  # as early as can be: they are made while MkDocs looks through the theme
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
        config.extra["menu_item"] = ThemeMenu()
        config.extra["once"] = theme_settings.MadeOnce()
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
        for made in site.pages:
            file = File.generated(config, menu.source(made), content="")
            file.dest_uri = made.path
            file.page = MadePage(file, config, made)
            files.append(file)
        for name, content in assets.files().items():
            files.append(File.generated(config, name, content=content))
        for download in site.downloads:
            files.append(File.generated(config, download.path, content=b""))
        config.nav = menu.tree(site, [file.src_uri for file in own if file.is_documentation_page()])
        self._files = [file.dest_uri for file in files if not file.is_documentation_page()]
        self._marks, self._entries = {}, []
        return files

    def on_page_content(self, html: str, *, page: MkPage, config: MkDocsConfig, files: Files) -> str:
        """Finish a page of the engineers' own: values filled in, tags linked."""
        page.meta["hide"] = ["toc"]
        if not isinstance(page, MadePage):
            html, lost = notes.finished(html, build.prose(self.philosophy), root_of(page.file.dest_uri))
            for reference in lost:
                log.warning("%s: %s refers to no value of the plant", page.file.src_uri, reference)
            page.title = page.meta["title"] = notes.escaped(str(page.title))
            self._marks[page.file.dest_uri] = links.marks(html)
        return html

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:
        """Keep the theme's templates compiled from build to build."""
        env.bytecode_cache = kept_templates("theme")
        return env

    @event_priority(100)
    def on_post_page(self, output: str, *, page: MkPage, config: MkDocsConfig) -> str:
        """Put the finished article into its page, before other plugins look at it."""
        if not isinstance(page, MadePage):
            return output
        article = self._made().article(page.made.path)
        before, found, after = output.partition(_ARTICLE)
        if not found:
            raise PluginError(f"the theme left out the article of {page.made.path}")
        self._marks[page.made.path] = article.marks
        self._entries += article.entries
        return f"{before}{article.html}{after}"

    @event_priority(50)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Write the files, check the links of the whole site, give the search its entries before it writes them down."""
        for download in self._site().downloads:
            Path(config.site_dir, download.path).write_bytes(self._made().file(download.path))
        for fault in links.broken(self._marks, self._files, ("sheet", *links.anchors_of(assets.sprite()))):
            log.warning("%s", fault)
        if "material/search" in config.plugins:
            index = config.plugins["material/search"].search_index  # type: ignore[attr-defined]  # the theme's plugin
            index.config["separator"] = search.SEPARATOR
            index.entries[:0] = sorted(self._entries, key=lambda entry: "#" in str(entry["location"]))  # pages before their parts
        self._put_back()

    def on_build_error(self, *, error: Exception) -> None:
        """Leave the environment as it was."""
        self._put_back()

    def _put_back(self) -> None:
        gc.unfreeze()
        if self._articles is not None:
            self._articles.close()
            self._articles = None
        if self._day_is_ours:
            os.environ.pop("SOURCE_DATE_EPOCH", None)
            self._day_is_ours = False

    def _site(self) -> Site:
        if self.philosophy.site is None:
            raise PluginError("no site was laid out")
        return self.philosophy.site

    def _made(self) -> Articles:
        if self._articles is None:
            raise PluginError("no article was begun")
        return self._articles
