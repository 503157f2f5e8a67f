"""What is on the disk: folders, links, sizes, encodings, and how messages name it."""

from pathlib import Path

import pytest

from generator import read
from generator.model.finding import Mistake

CONDENSATE = Path(__file__).parent.parent / "plants" / "condensate.yml"
HEAD = "plant: {name: Test, document: {number: 1, status: draft, as_of: 2026-01-01}}\n"


def rules(mistakes: tuple[Mistake, ...]) -> list[str]:
    return [mistake.rule for mistake in mistakes]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    plant = tmp_path / "plant"
    plant.mkdir()
    (plant / "a.yml").write_text(HEAD, encoding="utf-8")
    return plant


def split(folder: Path) -> None:
    """The condensate plant with each noun in a file of its own, two of them in a folder below."""
    (folder / "a.yml").unlink()
    (folder / "below").mkdir()
    noun, lines = "", list[str]()
    for line in [*CONDENSATE.read_text(encoding="utf-8").splitlines(), "end:"]:
        if line[:1].isalpha():
            if noun:
                where = folder / "below" if noun in ("tanks", "switches") else folder
                (where / f"{noun}.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
            noun, lines = line.partition(":")[0], []
        lines.append(line)


def test_a_folder_of_files_is_one_plant(folder: Path) -> None:
    split(folder)
    made, mistakes = read.plant(folder)
    whole, _ = read.plant(CONDENSATE)
    assert not mistakes
    assert made is not None
    assert whole is not None
    assert made.model_dump(exclude={"plant"}).keys() == whole.model_dump(exclude={"plant"}).keys()
    assert {noun: list(tags) for noun, tags in made.nouns()} == {noun: list(tags) for noun, tags in whole.nouns()}
    assert str(made.tanks["T-210"].shape.place) == "plant/below/tanks.yaml:7:12"


def test_files_below_the_working_folder_are_named_as_typed(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert list(read.sources(folder)) == ["plant/a.yml"]
    monkeypatch.chdir(folder.parent)
    assert list(read.sources(Path("plant"))) == ["plant/a.yml"]
    monkeypatch.chdir(folder)
    assert list(read.sources(Path())) == ["a.yml"]
    monkeypatch.chdir(folder.parent.parent)
    assert list(read.sources(folder)) == [f"{folder.parent.name}/plant/a.yml"]


def test_places_name_files_as_sources_do(folder: Path) -> None:
    made, _ = read.plant(folder)
    assert made is not None
    assert made.plant.place.file in read.sources(folder)


def test_a_tag_in_two_files_names_both_places(folder: Path) -> None:
    (folder / "b.yml").write_text("areas: {A: {name: one}}\n", encoding="utf-8")
    (folder / "c.yml").write_text("areas:\n  A: {name: two}\n", encoding="utf-8")
    _, (mistake,) = read.plant(folder)
    assert (mistake.rule, str(mistake.place)) == ("tag-twice", "plant/c.yml:2:3")
    assert "plant/b.yml:1:9" in mistake.stands


def test_the_plant_stands_once(folder: Path) -> None:
    (folder / "b.yml").write_text(HEAD, encoding="utf-8")
    _, (mistake,) = read.plant(folder)
    assert (mistake.rule, str(mistake.place)) == ("noun-twice", "plant/b.yml:1:1")
    assert "plant/a.yml:1:1" in mistake.stands


def test_lists_of_several_files_are_joined(folder: Path) -> None:
    for name in ("b", "c"):
        (folder / f"{name}.yml").write_text(
            f"revisions: [{{revision: {name}, on: 2026-01-01, status: draft, why: x}}]\n", encoding="utf-8")
    made, mistakes = read.plant(folder)
    assert not mistakes
    assert made is not None
    assert [one.revision for one in made.revisions] == ["b", "c"]
    assert [one.place.file for one in made.revisions] == ["plant/b.yml", "plant/c.yml"]


def test_one_noun_has_one_form(folder: Path) -> None:
    (folder / "b.yml").write_text("areas: {A: {name: one}}\n", encoding="utf-8")
    (folder / "c.yml").write_text("areas: [A]\n", encoding="utf-8")
    assert rules(read.plant(folder)[1]) == ["wrong-form"]


def test_nothing_is_there(tmp_path: Path) -> None:
    assert rules(read.plant(tmp_path / "nowhere")[1]) == ["no-source"]
    assert rules(read.plant(tmp_path)[1]) == ["empty"]


def test_nouns_without_members_and_comments_add_nothing(folder: Path) -> None:
    (folder / "b.yml").write_text("# later\n", encoding="utf-8")
    (folder / "c.yml").write_text("tanks:\nwaivers:\n", encoding="utf-8")
    assert read.plant(folder)[1] == ()


def test_an_empty_file_beside_others_is_not_passed_over(folder: Path) -> None:
    (folder / "b.yml").write_text(" \n", encoding="utf-8")
    assert rules(read.plant(folder)[1]) == ["empty-file"]


def test_bytes_that_are_not_utf_8(folder: Path) -> None:
    (folder / "b.yml").write_bytes("areas:\n  A: {name: Größe}\n".encode("latin-1"))
    _, (mistake,) = read.plant(folder)
    assert (mistake.rule, str(mistake.place)) == ("not-utf-8", "plant/b.yml:2:15")


def test_a_mark_at_the_start_and_other_line_ends_are_taken(folder: Path) -> None:
    (folder / "b.yml").write_bytes(b"\xef\xbb\xbfareas:\r\n  A: {name: one}\r\n")
    made, mistakes = read.plant(folder)
    assert not mistakes
    assert made is not None
    assert str(made.areas["A"].name.place) == "plant/b.yml:2:13"


def test_a_file_too_large(folder: Path) -> None:
    (folder / "b.yml").write_text("# " + "x" * 2_000_001, encoding="utf-8")
    assert rules(read.plant(folder)[1]) == ["too-large"]


def test_links_out_of_the_folder(folder: Path, tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "b.yml").write_text("areas: {A: {name: one}}\n", encoding="utf-8")
    (folder / "b.yml").symlink_to(elsewhere / "b.yml")
    (folder / "c").symlink_to(elsewhere)
    (folder / "d.yml").symlink_to(elsewhere / "nothing.yml")
    _, mistakes = read.plant(folder)
    assert [(one.rule, one.place.file) for one in mistakes] == [
        ("outside", "plant/b.yml"), ("outside", "plant/c"), ("outside", "plant/d.yml")]


def test_a_file_that_cannot_be_read_hides_no_other_mistake_and_makes_none(folder: Path) -> None:
    """What the broken file may define is not called unknown, and the plant not missing."""
    (folder / "a.yml").write_text(HEAD + "areas: {A: {name: 'one}}\n", encoding="utf-8")
    (folder / "b.yml").write_text("liquids: {water: {nme: water}}\nnever_together: [{streams: [a, b], because: x}]\n",
                                  encoding="utf-8")
    assert rules(read.plant(folder)[1]) == ["quote", "unknown-key"]


def test_an_alias_bomb_is_named_and_not_set_off(folder: Path) -> None:
    lines = ["a0: &a0 [x, x]"] + [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 30)]
    (folder / "b.yml").write_text("\n".join(lines), encoding="utf-8")
    _, mistakes = read.plant(folder)
    assert set(rules(mistakes)) == {"alias"}
    assert str(mistakes[0].place) == "plant/b.yml:2:10"


def test_hidden_files_are_left_alone(folder: Path) -> None:
    (folder / ".old").mkdir()
    (folder / ".old" / "b.yml").write_text(HEAD, encoding="utf-8")
    (folder / ".b.yml").write_text(HEAD, encoding="utf-8")
    assert list(read.sources(folder)) == ["plant/a.yml"]
