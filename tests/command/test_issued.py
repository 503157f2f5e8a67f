"""The frozen issues of the demo: each could be issued today, and what stands in its values is what its definitions say."""

import json
from pathlib import Path
from typing import Any

import pytest

from generator import build, freeze
from generator.build import Philosophy

ISSUED = Path(__file__).parent.parent.parent / "content" / "issued"
REVISIONS = sorted(folder.name for folder in ISSUED.iterdir())


def kept(revision: str) -> dict[str, Any]:
    made: dict[str, Any] = json.loads((ISSUED / revision / freeze.VALUES).read_text(encoding="utf-8"))
    return made


@pytest.fixture(scope="module", params=REVISIONS)
def issue(request: pytest.FixtureRequest) -> tuple[str, Philosophy]:
    return request.param, build.philosophy(ISSUED / request.param / freeze.DEFINITIONS)


def test_an_issue_may_still_be_issued(issue: tuple[str, Philosophy]) -> None:
    revision, made = issue
    assert made.mistakes == ()
    assert made.review.blocks == ()
    assert freeze.revision(made) == revision


def test_its_values_compare_like_with_like(issue: tuple[str, Philosophy]) -> None:
    """Freeze it anew (`philosophy issue --definitions content/issued/A/plant`) where the working of a value has changed."""
    revision, made = issue
    there, here = kept(revision), freeze.values(made)
    assert there["document"] == here["document"]
    assert there["records"].keys() == here["records"].keys()
    for key, one in here["records"].items():
        for name, value in one.items():
            frozen = there["records"][key][name]
            assert frozen == (pytest.approx(value, rel=1e-9, abs=1e-12) if isinstance(value, float) else value), key


def test_the_issues_differ_as_a_plant_does_that_was_changed() -> None:
    older, newer = (kept(revision) for revision in ("A", "B"))
    moved = [tag for tag, one in newer["heights"].items() if older["heights"].get(tag, {}).get("stands_m") != one["stands_m"]]
    assert moved == ["LSL-413"]  # the second boiler burns more: a day's reserve stands higher
    both = older["records"].keys() & newer["records"].keys()
    assert sum(older["records"][key] != newer["records"][key] for key in both) > 100
