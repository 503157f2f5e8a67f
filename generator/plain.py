"""The plain printer: the same pages without a theme, for any browser. It proves that the printer can be replaced."""

import html
from pathlib import Path

from generator.model.page import Site
from generator.render import assets, downloads
from generator.render.environment import fragment, root_of

_SHELL = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
{styles}
</head><body>
{sprite}
<p class="strip"><a href="{root}index.html">{plant}</a> <b>{number}</b> Rev <b>{revision}</b> <b>{status}</b>
 Data of <b>{as_of}</b> Fingerprint <b>{fingerprint}</b> <b>Not live plant data</b></p>
<main class="sheet">
{article}
</main>
{scripts}
</body></html>
"""


def write(site: Site, folder: Path) -> None:
    """Write every page and file of a site below a folder."""
    for name, content in assets.files().items():
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    for page in site.pages:
        target = folder / page.path
        target.parent.mkdir(parents=True, exist_ok=True)
        root = root_of(page.path)
        styles = "\n".join(f'<link rel="stylesheet" href="{root}{name}">' for name in assets.STYLES)
        scripts = "\n".join(f'<script src="{root}{name}"></script>' for name in assets.SCRIPTS)
        strip = {name: html.escape(getattr(site.strip, name))
                 for name in ("plant", "number", "revision", "status", "as_of", "fingerprint")}
        target.write_text(_SHELL.format(title=html.escape(page.title), styles=styles, root=root, sprite=assets.sprite(),
                                        scripts=scripts, article=fragment(page), **strip), encoding="utf-8")
    for download in site.downloads:
        target = folder / download.path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(downloads.content(download))
