"""What `follow` says of a tag: every page that carries it, what its values go into, in the plant's units."""

import re
from functools import cache
from pathlib import Path

import pytest

from generator import build
from generator.build import Philosophy
from generator.render.environment import fragment
from generator.report import MOST, follow, pages_with

SOURCE = Path(__file__).parents[1] / "plants" / "condensate.yml"


@cache
def _made() -> Philosophy:
    return build.philosophy(SOURCE)


def _said(tag: str) -> dict[str, list[str]]:
    made = _made()
    assert made.plant is not None and made.results is not None and made.site is not None
    parts = re.split(r"^([a-z ]+):$", follow(tag, made.plant, made.results, made.review, made.site), flags=re.M)
    return {head: [line.strip() for line in body.strip().splitlines()]
            for head, body in zip(parts[1::2], parts[2::2], strict=True)}


@pytest.mark.parametrize("tag", ["LSHH-210", "LAH-211", "T-210"])
def test_no_page_that_shows_a_tag_is_left_out(tag: str) -> None:
    """The second look is at the finished HTML, where the tag stands between two ends of words."""
    made = _made()
    assert made.plant is not None and made.site is not None
    shown = {page.path for page in made.site.pages if re.search(
        rf"(?<![\w./-]){tag}(?![\w/-])", re.sub(r"<script.*?</script>|<[^>]*>", " ", fragment(page), flags=re.S))}
    found = {page.path for page in pages_with(tag, made.plant, made.site)}
    assert shown - found == set()
    lines = _said(tag)["pages"]
    assert len(lines) == min(len(found), MOST + 1)
    assert len(found) <= MOST or lines[-1] == f"and {len(found) - MOST} more"


def test_a_stream_says_what_its_flow_goes_into() -> None:
    made = _made()
    assert made.plant is not None
    for tag in made.plant.streams:
        into = _said(tag)["goes into"]
        assert any("filling" in line or "emptying" in line for line in into), tag
        assert not any("m3/s" in line or "/s " in line for line in into)


def test_an_area_says_its_tanks_its_open_findings_and_its_page() -> None:
    made = _made()
    assert made.plant is not None
    for tag in made.plant.areas:
        said = _said(tag)
        assert said["tanks in it"] == [tank for tank, one in made.plant.tanks.items() if one.area == tag]
        assert said["pages"][0].startswith(f"areas/{tag.lower()}.html")
        open_here = [one for one in made.review.findings if one.is_open and any(made.plant.area_of(of) == tag for of in one.tags)]
        assert len(said["review"]) >= min(len(open_here), MOST) or said["review"] == ["nothing"]
