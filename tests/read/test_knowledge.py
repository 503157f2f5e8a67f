"""The generator's own data files: read into the model, refused where they are wrong."""

from pathlib import Path

import pytest

from generator import read
from generator.errors import KnowledgeError
from generator.model.knowledge import Knowledge

REST = ", hazard: a, consequence: a, avoid: a, defer_to: a, basis: a}"


def written(folder: Path, name: str, text: str) -> Path:
    (folder / f"{name}.yml").write_text(text, encoding="utf-8")
    return folder


def test_what_the_generator_carries_can_be_read() -> None:
    known = read.knowledge()
    assert known.rules
    assert known.technologies


def test_no_files_are_no_knowledge(tmp_path: Path) -> None:
    assert read.knowledge(tmp_path) == Knowledge()


def test_rows_by_name_or_in_a_list(tmp_path: Path) -> None:
    written(tmp_path, "rules", "gap: {title: Gap, standard: S, says: x, scope: y, mark: found, time: 5 min,\n"
            "  height: 75 mm, cycles: [[15 kW, 10 min], [50 kW, 900]]}\n")
    written(tmp_path, "words", "words:\n  - {word: trip, meaning: held until reset, see: [reset]}\n")
    known = read.knowledge(tmp_path)
    rule = known.rules["gap"]
    assert (rule.time, rule.height) == (300.0, pytest.approx(0.075))
    assert rule.cycles == ((15000.0, 600.0), (50000.0, 900.0))
    assert known.words[0].see == ("reset",)


def test_cautions_keep_their_alternatives(tmp_path: Path) -> None:
    written(tmp_path, "cautions", """\
- key: hot
  word: WARNING
  jobs: [open, lift]
  when:
    - {hazard hot: yes}
    - {temperature: over the limit, zone: "1"}
  hazard: Hot liquid.
  consequence: Burns.
  avoid: Let it cool.
  defer_to: The permit.
  basis: common practice
""")
    row, = read.knowledge(tmp_path).cautions
    assert row.when == ((("hazard hot", "yes"),), (("temperature", "over the limit"), ("zone", "1")))
    assert row.jobs == ("open", "lift")


@pytest.mark.parametrize(("name", "text"), [
    ("rules", "gap: {title: Gap}"),
    ("rules", "gap: {titel: Gap}"),
    ("rules", "gap: 5"),
    ("rules", "gap: {title: Gap, standard: S, says: x, scope: y, mark: found, time: 5 fortnights}"),
    ("rules", "gap: {title: Gap, standard: S, says: x, scope: y, mark: found, time: soon}"),
    ("words", "just words"),
    ("words", "- {word: a, meaning: b}\n- {word: a, meaning: c}"),
    ("words", "- {word: a, meaning: [b]}"),
    ("words", "- ["),
    ("cautions", "- {key: a, word: ALERT, jobs: [open], when: []" + REST),
    ("cautions", "- {key: a, word: DANGER, jobs: [swim], when: []" + REST),
    ("cautions", "- {key: a, word: DANGER, jobs: [open], when: [x]" + REST),
])
def test_a_wrong_file_is_our_fault_and_stops_us(tmp_path: Path, name: str, text: str) -> None:
    with pytest.raises(KnowledgeError):
        read.knowledge(written(tmp_path, name, text))


def test_bytes_that_are_no_text(tmp_path: Path) -> None:
    (tmp_path / "words.yml").write_bytes(b"- {word: \xff}")
    with pytest.raises(KnowledgeError):
        read.knowledge(tmp_path)
