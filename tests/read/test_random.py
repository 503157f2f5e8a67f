"""Whatever happens to the text of a plant, reading it ends in a plant or in mistakes, never in an exception."""

from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as draw

from generator import read

TEXT = (Path(__file__).parent.parent / "plants" / "condensate.yml").read_text(encoding="utf-8")
LINES = TEXT.splitlines()
PATTERNED = (Path(__file__).parent / "test_patterns.py").read_text(encoding="utf-8").split('"""')[3].lstrip("\\\n")
SIGNS = draw.sampled_from([*"{}[]:,-#&*!|>'\"%@`<~ \n\t0xé\x07", ": ", "- ", "null", "<tag>", "<<", "?", "1e9", "---"])
QUIET = settings(max_examples=60, deadline=None, derandomize=True,
                 suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])


def reads(folder: Path, text: str) -> None:
    file = folder / "plant.yml"
    file.write_text(text, encoding="utf-8", newline="")
    plant, mistakes = read.plant(file)
    assert (plant is None) == bool(mistakes)
    for mistake in mistakes:
        assert mistake.place.line > 0
        assert mistake.place.column > 0
        assert str(mistake)


@QUIET
@given(start=draw.integers(0, len(LINES) - 1), count=draw.integers(1, 3))
def test_lines_left_out(tmp_path: Path, start: int, count: int) -> None:
    reads(tmp_path, "\n".join(LINES[:start] + LINES[start + count:]) + "\n")


@QUIET
@given(one=draw.integers(0, len(LINES) - 1), other=draw.integers(0, len(LINES) - 1))
def test_lines_exchanged(tmp_path: Path, one: int, other: int) -> None:
    lines = list(LINES)
    lines[one], lines[other] = lines[other], lines[one]
    reads(tmp_path, "\n".join(lines) + "\n")


@QUIET
@given(at=draw.integers(0, len(TEXT) - 2))
def test_characters_exchanged(tmp_path: Path, at: int) -> None:
    reads(tmp_path, TEXT[:at] + TEXT[at + 1] + TEXT[at] + TEXT[at + 2:])


@QUIET
@given(data=draw.data())
def test_signs_put_in(tmp_path: Path, data: draw.DataObject) -> None:
    text = data.draw(draw.sampled_from([TEXT, PATTERNED]))
    for _ in range(data.draw(draw.integers(1, 3))):
        at = data.draw(draw.integers(0, len(text)))
        text = text[:at] + data.draw(SIGNS) + text[at:]
    reads(tmp_path, text)


@QUIET
@given(data=draw.data())
def test_values_exchanged(tmp_path: Path, data: draw.DataObject) -> None:
    """A value where another kind of value stood: the form of the file is whole, its meaning is not."""
    text = data.draw(draw.sampled_from([TEXT, PATTERNED]))
    lines = text.splitlines()
    with_value = [number for number, line in enumerate(lines) if ": " in line]
    number = data.draw(draw.sampled_from(with_value))
    value = data.draw(draw.sampled_from([
        "", "{}", "[]", "[[x]]", "{a: {b: c}}", "x", "1 m", "{kind: sphere}", "{not: {not: x}}", "T-210", "[T-210, 5]",
    ]))
    lines[number] = lines[number].split(": ")[0] + ": " + value
    reads(tmp_path, "\n".join(lines) + "\n")


@QUIET
@given(text=draw.text(max_size=200))
def test_any_text_at_all(tmp_path: Path, text: str) -> None:
    reads(tmp_path, text.encode("utf-8", "ignore").decode())
