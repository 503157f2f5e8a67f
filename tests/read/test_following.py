"""Of one fault one mistake is told: what follows from it has a cure of its own that would be wrong."""

from pathlib import Path

import pytest

from generator import read

CONDENSATE = (Path(__file__).parent.parent / "plants" / "condensate.yml").read_text(encoding="utf-8")


def told(folder: Path, text: str, **others: str) -> list[str]:
    """Rule and subject of each mistake of a plant in one folder, `a.yml` and other files."""
    for name, inner in {"k": text, **others}.items():
        (folder / f"{name}.yml").write_text(inner, encoding="utf-8")
    return [f"{one.rule} {one.subject}" for one in read.plant(folder)[1]]


def changed(old: str, new: str, text: str = CONDENSATE) -> str:
    assert old in text
    return text.replace(old, new, 1)


@pytest.mark.parametrize(("old", "new", "only"), [
    ("      coil: {height: 0.30 m", "      - coil: {height: 0.30 m", "wrong-form tanks.T-210.marks"),
    ("    marks:\n", "    marsk:\n", "unknown-key tanks.T-210.marsk"),
    ("levels: {overflow: 1.86 m", "levels: {overflw: 1.86 m", "unknown-key tanks.T-210.levels.overflw"),
    ("\ntanks:\n", "\ntank:\n", "unknown-key tank"),
    ("\ntanks:\n", "\nvessels:\n", "unknown-key vessels"),
    ("\nswitches:\n", "\nswitch:\n", "unknown-key switch"),
    ("\ntanks:\n  T-210:", "\ntanks:\n- T-210:", "wrong-form tanks"),
])
def test_what_a_mistake_took_away_is_not_called_unknown(tmp_path: Path, old: str, new: str, only: str) -> None:
    assert told(tmp_path, changed(old, new)) == [only]


def test_what_is_wrong_by_itself_is_told_all_the_same(tmp_path: Path) -> None:
    """A liquid that nobody defines has nothing to do with the noun that is misspelt."""
    text = changed("    into: T-210\n", "    into: T-999\n", changed("\ntanks:\n", "\ntank:\n"))
    assert told(tmp_path, text) == ["unknown-key tank", "unknown-tag streams.returns.into"]
    text = changed("levels: {overflow: 1.86 m", "levels: {overflow: 1.86", changed("    into: T-210\n", "    into: T-999\n"))
    assert told(tmp_path, text) == ["unit-missing tanks.T-210.levels.overflow", "unknown-tag streams.returns.into"]


def test_a_tag_that_stands_twice_comes_first_and_alone(tmp_path: Path) -> None:
    """The first of the two is kept, and it lacks what the points of the other rest on."""
    early = ("tanks:\n  T-210: {area: 20, service: x, liquid: condensate, datum: {elevation: 1 m}, "
             "shape: {kind: sphere, diameter: 2 m}, levels: {overflow: 1 m}}\n")
    assert told(tmp_path, CONDENSATE, a=early) == ["tag-twice tanks.T-210"]
    later = changed("    into: T-210\n", "    into: T-999\n")
    (tmp_path / "b.yml").write_text("areas: {X: {nam: x}}\n", encoding="utf-8")
    assert told(tmp_path, later, a=early)[0] == "tag-twice tanks.T-210"


def test_a_plant_that_no_file_defines_is_blamed_on_none(tmp_path: Path) -> None:
    text = CONDENSATE[CONDENSATE.index("\nareas:"):]
    told(tmp_path, text)
    mistake = read.plant(tmp_path)[1][0]
    assert (mistake.subject, mistake.stands) == ("plant", "no file defines it")
    assert str(mistake.place) == f"{tmp_path.as_posix()}:1:1"


def test_of_a_noun_that_holds_nothing_one_mistake_is_told(tmp_path: Path) -> None:
    """More than three places name a tank where no tank is defined at all: the noun is what is missing."""
    start = CONDENSATE.index("\ntanks:")
    text = CONDENSATE[:start] + CONDENSATE[CONDENSATE.index("\nstreams:"):]
    told(tmp_path, text)
    found = [one for one in read.plant(tmp_path)[1] if one.rule == "unknown-tag" and "under `tanks`" in one.stands + one.cure]
    assert len(found) == 1
    places = len([line for line in text.splitlines() if ": T-210" in line and "begins_at" not in line])
    assert f"what {places} places name" in found[0].cure


@pytest.mark.parametrize("line", ['service: "pumped "', 'service: " pumped"', "service: 'pumped '"])
def test_a_space_at_the_end_of_free_words_says_nothing(tmp_path: Path, line: str) -> None:
    assert told(tmp_path, changed("service: Condensate return tank", line)) == []


def test_a_space_at_the_end_is_told_once_and_nothing_follows(tmp_path: Path) -> None:
    text = changed("    liquid: condensate\n", '    liquid: "condensate "\n', changed("\n  T-210:", '\n  "T-210 ":'))
    assert told(tmp_path, text) == ["space-at-end tanks.T-210", "space-at-end tanks.T-210.liquid"]
    for one in read.plant(tmp_path)[1]:
        assert one.stands.startswith("a space stands at the end of `")
        assert one.cure.startswith("take the space away: `")
        assert not one.cure.endswith(" `")
