"""A small plant to begin with, written by `philosophy new`."""

from importlib.resources import files
from pathlib import Path

_MKDOCS = """\
site_name: Level-control philosophy
docs_dir: content/pages
site_dir: site
theme:
  name: material
plugins:
  - search
  - offline
  - philosophy:
      definitions: content/plant
"""
_NOTES = """\
# Notes

Why the levels are what they are, in your own words. A value stands in such a text as a reference, never as typed
digits: the trip acts at {LSHH-101 height}.
"""


def write(folder: Path) -> list[Path]:
    """Write the starter plant below an empty folder; the paths written, in order."""
    made = {Path("mkdocs.yml"): _MKDOCS, Path("content/pages/notes.md"): _NOTES}
    for entry in sorted(files("generator").joinpath("knowledge/starter").iterdir(), key=lambda one: one.name):
        made[Path("content/plant", entry.name)] = entry.read_text(encoding="utf-8")
    for path, text in made.items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8")
    return [folder / path for path in made]
