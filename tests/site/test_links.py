"""Every link of the built sites leads somewhere; nothing stands twice; nothing is fetched from elsewhere.

The walker is the standard library's parser, not the check that the generator runs on itself.
"""

import posixpath
import re
from pathlib import Path
from urllib.parse import unquote

from tests.site import building

RESOURCES = {"link", "script", "img", "iframe", "source", "use", "image", "object", "form"}


def _faults(folder: Path) -> list[str]:
    pages = building.site(folder)
    standing = list(folder.rglob("*"))
    files = {path.relative_to(folder).as_posix() for path in standing if path.is_file()}
    folders = {".", *(path.relative_to(folder).as_posix() for path in standing if path.is_dir())}
    faults = []
    for path, page in pages.items():
        faults += [f"{path}: id {name} stands {times} times" for name, times in page.ids.items() if times > 1]
        for tag, name, link in page.links:
            where = f"{path}: {tag} {name}={link}"
            if re.match(r"[a-z]+:", link):
                if tag in RESOURCES or not link.startswith(("https://", "http://", "mailto:")):
                    faults.append(f"{where} is fetched from elsewhere")
                continue
            address, _, anchor = link.partition("#")
            target = path if not address else posixpath.normpath(
                posixpath.join(posixpath.dirname(path), unquote(address.partition("?")[0])))
            if target in folders and tag != "form":
                faults.append(f"{where} needs a server to find its page")
            elif target not in files:
                faults.append(f"{where} leads nowhere")
            elif anchor and target in pages and unquote(anchor) not in pages[target].ids:
                faults.append(f"{where} leads to no anchor")
    return faults


def test_demo_builds_without_a_warning(demo: building.Built) -> None:
    assert demo.said == []


def test_every_link_of_the_demo_leads_somewhere(demo: building.Built) -> None:
    assert _faults(demo.folder) == []


def test_every_link_of_the_plain_printer_leads_somewhere(plain_site: Path) -> None:
    assert _faults(plain_site) == []


def test_walker_finds_faults(tmp_path: Path) -> None:
    """The tests above can fail."""
    (tmp_path / "a.html").write_text(
        '<a id="one" href="#none"></a><b id="one"></b><svg><a xlink:href="gone.html"></a></svg>'
        '<script src="https://elsewhere.example/x.js"></script><a href="javascript:1"></a>', encoding="utf-8")
    (tmp_path / "b.html").write_text(
        '<p id="two"></p><main class="sheet">\n<a href="gone.html"></a><i id="two"></i>\n</main>', encoding="utf-8")
    assert len(_faults(tmp_path)) == 7


def test_styles_and_own_scripts_fetch_nothing(demo: building.Built) -> None:
    from generator.render import assets

    for name in [*assets.STYLES, *assets.SCRIPTS, "assets/theme.css", "assets/iframe-worker.js"]:
        text = (demo.folder / name).read_text(encoding="utf-8")
        assert not re.search(r"https?:|@import|//[a-z]+\.[a-z]+", re.sub(r"http://www\.w3\.org/\S+", "", text)), name


def test_both_printers_say_the_same(demo: building.Built, plain_site: Path) -> None:
    """Article for article: the theme adds a frame and changes no word."""
    for path in building.one_of_each_kind(building.site(demo.folder)):
        if not path.startswith("notes/"):
            article = re.compile(r'<article class="[^"]*sheet[^"]*"[^>]*>(.*)</article>', re.DOTALL)
            themed = article.search((demo.folder / path).read_text(encoding="utf-8"))
            printed = (plain_site / path).read_text(encoding="utf-8")
            plainly = re.search(r'<main class="sheet">(.*)</main>', printed, re.DOTALL)
            assert themed and plainly
            assert _words(themed[1]) == _words(plainly[1]), path


def _words(markup: str) -> list[str]:
    return re.sub(r"<[^>]*>", " ", markup).split()
