"""Contrast of every pair of colours that meet, in all three palettes.

Formula and limits: W3C, Web Content Accessibility Guidelines 2.2, definitions of relative luminance and contrast ratio,
success criteria 1.4.3 (text, 4.5 to 1) and 1.4.11 (shapes, 3 to 1). From memory.
"""

import itertools
import re
from pathlib import Path

import pytest

TOKENS = Path(__file__).parent.parent.parent / "generator/render/assets/00-tokens.css"
SURFACES = ("sheet", "sunk", "raised", "ground", "select")
TEXT = [*itertools.product(("ink", "ink-2", "link"), SURFACES),
        *((name, ground) for name in ("trip", "alarm", "bypass")
          for ground in ("sheet", "sunk", "raised", f"{name}-bg")),
        ("on-solid", "trip"), ("on-solid", "alarm"), ("sheet", "ink"), ("bar-ink", "bar"), ("ink", "trip-bg"),
        ("ink", "alarm-bg"), ("ink", "bypass-bg"), ("ink", "liquid")]
SHAPES = [*itertools.product(("edge", "steel", "surface", "focus"), ("sheet", "sunk", "raised")), ("edge", "select"),
          ("surface", "liquid"), ("trip", "liquid"), ("alarm", "liquid"), ("ink", "liquid")]


def _palettes() -> dict[str, dict[str, str]]:
    text = TOKENS.read_text(encoding="utf-8")
    blocks = [dict(re.findall(r"--([a-z0-9-]+): (#[0-9a-f]{6});", block))
              for block in re.findall(r"\{([^{}]*#[^{}]*)\}", text)]
    return dict(zip(("day", "night", "paper"), blocks, strict=True))


def _luminance(colour: str) -> float:
    parts = [int(colour[place:place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Ratio of two colours, from 1 to 21."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_formula() -> None:
    """Black on white is 21 to 1; #767676 on white is the known edge of 4.5 to 1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("name", ["day", "night", "paper"])
def test_every_pair_can_be_told_apart(name: str) -> None:
    palette = _palettes()[name]
    faint = [(one, other, round(contrast(palette[one], palette[other]), 2))
             for pairs, least in ((TEXT, 4.5), (SHAPES, 3.0)) for one, other in pairs
             if contrast(palette[one], palette[other]) < least]
    assert faint == []


def test_all_three_palettes_name_the_same_colours() -> None:
    day, night, paper = _palettes().values()
    assert set(day) == set(night) == set(paper)
