"""How the site is built: mistakes stop it before anything is lost; the same definitions give the same bytes."""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest
from mkdocs.exceptions import Abort

from tests.site import building


def test_a_mistake_leaves_the_last_good_site_alone(tmp_path: Path) -> None:
    plant = tmp_path / "plant"
    plant.mkdir()
    (plant / "plant.yml").write_text("plant:\n  nmae: Wrong\n", encoding="utf-8")
    old = tmp_path / "site" / "index.html"
    old.parent.mkdir()
    old.write_text("the last good site", encoding="utf-8")
    notes = tmp_path / "notes"
    notes.mkdir()
    said: list[str] = []
    with pytest.raises(Abort), pytest.MonkeyPatch.context() as patch:
        patch.setattr("generator.plugin.log.error", lambda form, *given: said.append(form % given))
        building.build(plant, old.parent, notes)
    assert old.read_text(encoding="utf-8") == "the last good site"
    assert any("plant.yml:2:" in line and "nmae" in line for line in said)


def test_two_builds_give_the_same_bytes(tmp_path: Path, small_plant: Path) -> None:
    """Whatever the hash seed, the time zone and the folder of the site."""
    (tmp_path / "notes").mkdir()
    (tmp_path / "notes" / "why.md").write_text("# Why\n\nBecause.\n", encoding="utf-8")
    given = (building.ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    (tmp_path / "mkdocs.yml").write_text(
        given.replace("content/pages", "notes").replace("content/plant", str(small_plant)), encoding="utf-8")
    sums = []
    for seed, zone, name in (("1", "UTC", "one"), ("2", "Pacific/Auckland", "other/place")):
        around = {key: value for key, value in os.environ.items() if key != "SOURCE_DATE_EPOCH"}
        command = [sys.executable, "-m", "mkdocs", "build", "-q", "-d", str(tmp_path / name)]
        subprocess.run(command, cwd=tmp_path, check=True,
                       env=around | {"PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": str(building.ROOT)})
        sums.append({file.relative_to(tmp_path / name).as_posix(): hashlib.sha256(file.read_bytes()).hexdigest()
                     for file in (tmp_path / name).rglob("*") if file.is_file()})
    assert sums[0] == sums[1]
    assert "index.html" in sums[0]


def test_another_theme_is_refused_in_words(tmp_path: Path, small_plant: Path) -> None:
    from mkdocs.commands.build import build
    from mkdocs.config import load_config

    (tmp_path / "notes").mkdir()
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: x\ndocs_dir: notes\ntheme: {name: mkdocs}\nplugins:\n  - philosophy:\n"
        f"      definitions: {small_plant}\n", encoding="utf-8")
    with pytest.raises(Abort):
        build(load_config(str(tmp_path / "mkdocs.yml"), site_dir=str(tmp_path / "site")))
    assert not (tmp_path / "site").exists()


_FORKED = """
import sys
from pathlib import Path
from generator import build
from generator.render import articles

site = build.philosophy(Path(sys.argv[1])).site
paths = [page.path for page in site.pages]
with articles.Articles(site) as alone:
    one = [alone.article(path) for path in paths]
articles.FEW = 1
articles.os.cpu_count = lambda: 2
with articles.Articles(site) as many:
    assert many._pool is not None, "nothing was forked"
    assert [many.article(path) for path in paths] == one
"""


@pytest.mark.skipif(sys.platform == "win32", reason="nothing is forked there")
def test_processes_make_the_same_articles_and_leave_no_files_behind(tmp_path: Path, small_plant: Path) -> None:
    subprocess.run([sys.executable, "-c", _FORKED, str(small_plant)], check=True, cwd=building.ROOT,
                   env=os.environ | {"TMPDIR": str(tmp_path), "PYTHONPATH": str(building.ROOT)})
    assert [left.name for left in tmp_path.iterdir() if not left.name.startswith("_jinja2-cache")] == []
