"""The committed demonstration site is what the sources give: facts and article text always, bytes where versions match."""

import re
import tomllib
from html.parser import HTMLParser
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import pytest

from tests.site import building

COMMITTED = building.ROOT / "site_demo"
AGAIN = "the sources give another site than site_demo/ holds: run `philosophy build` and commit it"


def files(folder: Path) -> set[str]:
    """Every file below a folder, by its path there."""
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


class _Words(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []

    def handle_data(self, data: str) -> None:
        self.words += data.split()


def article(page: Path) -> str:
    """The markup of a page's article."""
    found = re.search(r"<article.*</article>", page.read_text(encoding="utf-8"), re.DOTALL)
    return found[0] if found else ""


def words(markup: str) -> list[str]:
    """The words of an article."""
    parser = _Words()
    parser.feed(markup)
    return parser.words


def pinned() -> bool:
    """Whether every package that the project pins is installed in the pinned version."""
    project = tomllib.loads((building.ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    exact = (line.split(";")[0].split("==") for line in project["dependencies"] if "==" in line)
    try:
        return all(version(name.strip()) == wanted.strip() for name, wanted in exact)
    except PackageNotFoundError:
        return False


def test_the_same_files_stand_there(demo: building.Built) -> None:
    assert files(COMMITTED) == files(demo.folder), AGAIN


def test_every_article_says_the_same(demo: building.Built) -> None:
    pages = [name for name in sorted(files(demo.folder)) if name.endswith(".html")]
    assert len(pages) > 150
    there, here = ({name: article(folder / name) for name in pages} for folder in (COMMITTED, demo.folder))
    other = [name for name in pages if there[name] != here[name] and words(there[name]) != words(here[name])]
    assert other == [], AGAIN


def test_every_file_of_data_holds_the_same(demo: building.Built) -> None:
    data = [name for name in sorted(files(demo.folder)) if name.startswith("data/")]
    assert "data/philosophy.json" in data
    assert [name for name in data if (COMMITTED / name).read_bytes() != (demo.folder / name).read_bytes()] == [], AGAIN


def test_every_byte_is_the_same_where_the_pinned_versions_are_installed(demo: building.Built) -> None:
    if not pinned():
        pytest.skip("other versions than the pinned ones are installed")
    other = [name for name in sorted(files(demo.folder)) if (COMMITTED / name).read_bytes() != (demo.folder / name).read_bytes()]
    assert other == [], AGAIN
