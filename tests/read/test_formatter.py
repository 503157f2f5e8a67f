"""The formatter: order changes, meaning and comments do not."""

from pathlib import Path

import pytest

from generator import read
from generator.read.formatter import in_order
from generator.read.yaml_text import load

CONTENT = sorted(Path("content/plant").glob("*.yml")) + sorted(Path("generator/knowledge/reference").glob("*.yml"))


def test_comments_travel_with_their_key() -> None:
    text = ("tanks:\n  T-1:\n    # what it is for\n    service: water   # from the river\n    area: 10\n"
            "    datum: {elevation: 1 m, at: floor}\n")
    assert in_order(text) == ("tanks:\n  T-1:\n    area: 10\n    # what it is for\n    service: water   # from the river\n"
                              "    datum: {at: floor, elevation: 1 m}\n")


def test_list_items_keep_their_dash() -> None:
    text = "waivers:\n  - on: A\n    rule: 1.01\n  - rule: 1.02\n    on: B\n"
    assert in_order(text) == "waivers:\n  - rule: 1.01\n    on: A\n  - rule: 1.02\n    on: B\n"


def test_tags_and_rows_keep_their_order() -> None:
    text = "areas:\n  b: {name: B}\n  a: {name: A}\n"
    assert in_order(text) == text


@pytest.mark.parametrize("path", CONTENT, ids=lambda path: path.name)
def test_real_files_keep_their_meaning_and_settle(path: Path) -> None:
    once = in_order(path.read_text())
    assert in_order(once) == once
    assert load("x", once, []) == load("x", path.read_text(), [])
    assert once.count("#") == path.read_text().count("#")


def test_only_checking_writes_nothing(tmp_path: Path) -> None:
    file = tmp_path / "a.yml"
    file.write_text("tanks: {}\nplant: {}\n")
    assert read.formatted(tmp_path, write=False) == [file]
    assert file.read_text() == "tanks: {}\nplant: {}\n"
    assert read.formatted(tmp_path, write=True) == [file]
    assert file.read_text() == "plant: {}\ntanks: {}\n"
