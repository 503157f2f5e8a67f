"""The base plant of these tests under changes, and its review."""

import json
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from generator import check, compute, read
from generator.memory import collector_held_back
from generator.model.finding import Review
from generator.model.plant import Definitions
from generator.model.results import Results

HERE = Path(__file__).parent
MOST = 16
"""Plants that are kept once they are worked out."""


def text_only(path: Path) -> Any:
    """YAML in which every scalar is text, as the definitions language reads it."""
    return yaml.load(path.read_text(encoding="utf-8"), yaml.CBaseLoader)


def laid_over(base: Any, change: Any) -> Any:
    """A mapping with a change laid over it; `~` takes a key out, lists are replaced."""
    if not isinstance(base, dict) or not isinstance(change, dict):
        return change
    made = dict(base)
    for key, value in change.items():
        if value == "~":
            made.pop(key, None)
        else:
            made[key] = laid_over(made[key], value) if key in made else value
    return made


@cache
def base() -> Any:
    return text_only(HERE / "base.yml")


@cache
def knowledge() -> Any:
    return read.knowledge()


def review_of(changes: list[Any], folder: Path, rule: str = "") -> Review:
    """The review of the base plant under changes; of one rule alone, where it needs no findings of others."""
    made = base()
    for change in changes:
        made = laid_over(made, change)
    needs_others = any(one.number == rule and one.scope == "waiver" for one in check.CHECKS)
    with collector_held_back():
        plant, results = _worked_out(json.dumps(made, ensure_ascii=False, separators=(",\n", ": ")), folder)
        return check.review(plant, results, knowledge(), {rule} if rule and not needs_others else None)


_KEPT: dict[str, tuple[Definitions, Results]] = {}
"""Plants worked out, by their text: many rules have a case on the same one. The last one asked for is the last."""


def _worked_out(text: str, folder: Path) -> tuple[Definitions, Results]:
    """A plant and its results, which nothing changes any more. The text is JSON, which is YAML and quickly written."""
    made = _KEPT.pop(text, None)
    if made is None:
        file = folder / "plant.yml"
        file.write_text(text, encoding="utf-8")
        plant, mistakes = read.plant(file)
        assert plant is not None, "\n".join(map(str, mistakes))
        made = plant, compute.results(plant, knowledge())
    _KEPT[text] = made
    while len(_KEPT) > MOST:
        del _KEPT[next(iter(_KEPT))]  # the one that was asked for longest ago
    return made
