"""Patterns: one writing, several rows; what a row gave points at the row, everything else at the pattern."""

from pathlib import Path

from generator import read
from generator.model.plant import Definitions

TEXT = """\
plant: {name: Test, document: {number: 1, status: draft, as_of: 2026-01-01}}
areas: {A: {name: Area}}
liquids: {water: {name: water}}
tanks:
  T-1:
    area: A
    service: tank
    liquid: water
    datum: {elevation: 1 m}
    shape: {kind: sphere, diameter: 2 m}
switches:
  LSL-1: {in: LX-1, acts: falling, role: alarm, height: {issued: 0.5 m}}
patterns:
  float:
    about: one float on its own body
    blanks: [body, tag, height]
    makes:
      instruments:
        <body>: {tank: T-1, technology: cable float}
      switches:
        <tag>:
          in: <body>
          acts: rising
          role: alarm
          service: Float <tag> at <height>
          height: {issued: <height>}
    rows:
      - {body: LX-1, tag: LSH-1, height: 1.2 m}
      - {body: LX-2, tag: LSH-2, height: 1.3 m}
"""


def plant(tmp_path: Path, text: str = TEXT) -> Definitions:
    file = tmp_path / "plant.yml"
    file.write_text(text, encoding="utf-8")
    made, mistakes = read.plant(file)
    assert not mistakes
    assert made is not None
    return made


def test_each_row_is_written_out(tmp_path: Path) -> None:
    made = plant(tmp_path)
    assert list(made.instruments) == ["LX-1", "LX-2"]
    assert list(made.switches) == ["LSL-1", "LSH-1", "LSH-2"]
    assert made.switches["LSH-2"].service == "Float LSH-2 at 1.3 m"


def test_places(tmp_path: Path) -> None:
    point = plant(tmp_path).switches["LSH-2"]
    via = "pattern float, row 2"
    issued = point.height.issued
    assert issued is not None
    assert (issued.place.line, issued.place.column, issued.place.via) == (29, 42, via)
    assert (point.in_.place.line, point.in_.place.via) == (29, via)
    assert (point.place_of("acts").line, point.place_of("acts").via) == (23, via)
    assert point.service is not None
    assert (point.service.place.line, point.service.place.via) == (25, via)
    assert point.place.via == via


def test_the_same_as_written_by_hand(tmp_path: Path) -> None:
    by_hand = TEXT.split("patterns:")[0] + """\
  LSH-1: {in: LX-1, acts: rising, role: alarm, service: Float LSH-1 at 1.2 m, height: {issued: 1.2 m}}
  LSH-2: {in: LX-2, acts: rising, role: alarm, service: Float LSH-2 at 1.3 m, height: {issued: 1.3 m}}
instruments:
  LX-1: {tank: T-1, technology: cable float}
  LX-2: {tank: T-1, technology: cable float}
"""
    def seen(made: Definitions) -> list[tuple[str, float | None, str]]:
        return [(tag, one.height.issued.si if one.height.issued else None, str(one.service))
                for tag, one in made.switches.items()]

    assert seen(plant(tmp_path, by_hand)) == seen(plant(tmp_path))


def test_the_pattern_stays_as_data(tmp_path: Path) -> None:
    pattern = plant(tmp_path).patterns["float"]
    assert pattern.blanks == ("body", "tag", "height")
    assert pattern.rows[1]["height"] == "1.3 m"
    assert "Pattern" in Definitions.model_json_schema()["$defs"]


def test_two_blanks_that_fill_one_key(tmp_path: Path) -> None:
    text = TEXT.replace("        <tag>:\n", "        <body>: {}\n        <tag>:\n").replace("tag: LSH-2", "tag: LX-2")
    file = tmp_path / "plant.yml"
    file.write_text(text, encoding="utf-8")
    rules = {one.rule for one in read.plant(file)[1]}
    assert "key-twice" in rules


def test_a_pattern_cannot_flood(tmp_path: Path) -> None:
    rows = "\n".join(f"      - {{body: LX-{n}, tag: LSH-{n}, height: 1 m}}" for n in range(9_000))
    many = "".join(f"          note{n}: x\n" for n in range(60))
    text = TEXT.split("    rows:")[0].replace("          acts: rising\n", "          acts: rising\n" + many)
    file = tmp_path / "plant.yml"
    file.write_text(f"{text}    rows:\n{rows}\n", encoding="utf-8")
    assert "too-large" in {one.rule for one in read.plant(file)[1]}
