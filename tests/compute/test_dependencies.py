"""What depends on what, held against what really moves when one written figure is changed."""

import re
from functools import lru_cache
from pathlib import Path

import pytest

from generator import compute, read
from generator.model.dependencies import Dependencies
from generator.model.place import Place
from generator.model.quantity import split
from generator.model.record import Record
from generator.model.results import Results

PLANT = Path(__file__).parents[1] / "plants" / "condensate.yml"
TEXT = PLANT.read_text(encoding="utf-8")
FIGURE = re.compile(r"(?<![\w.-])\d+(?:\.\d+)? (?:mm|m|m3/h|m3|s|ms|min|L|kg/m3|degC|kW|per hour|kPa abs)(?![\w/])")


@lru_cache(maxsize=2)
def worked(folder: Path, text: str) -> Results:
    source = folder / "plant.yml"
    source.write_text(text, encoding="utf-8")
    plant, mistakes = read.plant(source)
    assert plant is not None, mistakes
    return compute.results(plant, read.knowledge())


def values(results: Results) -> dict[str, float]:
    """Values by key."""
    return {key: one.value for key, one in results.records.items() if isinstance(one, Record)}


def figures() -> list[tuple[int, int, str]]:
    """Line, column and text of every written figure with a unit."""
    return [(number, found.start() + 1, found[0]) for number, line in enumerate(TEXT.splitlines(), 1)
            for found in FIGURE.finditer(line.split(" #")[0])]


def changed(line: int, column: int, written: str) -> str:
    """The plant with one figure a thousandth larger."""
    lines = TEXT.splitlines()
    number, _ = split(written)
    other = f"{number * 1.001:.9g} {written.split(' ', 1)[1]}"
    lines[line - 1] = lines[line - 1][:column - 1] + other + lines[line - 1][column - 1 + len(written):]
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("plant")


@pytest.mark.parametrize("figure", figures(), ids=lambda one: f"line {one[0]}: {one[2]}")
def test_nothing_moves_that_is_not_said_to_depend(folder: Path, figure: tuple[int, int, str]) -> None:
    before = worked(folder, TEXT)
    after = values(worked(folder, changed(*figure)))
    moved = {key for key, value in values(before).items() if abs(after.get(key, value) - value) > 1e-12}
    place = Place("plant.yml", figure[0], figure[1])
    assert moved <= set(before.dependencies.of(place))


def test_a_datum_moves_the_elevations_of_its_tank_and_nothing_else(folder: Path) -> None:
    line, column, written = next(one for one in figures() if "elevation" in TEXT.splitlines()[one[0] - 1])
    before = worked(folder, TEXT)
    after = values(worked(folder, changed(line, column, written)))
    moved = {key for key, value in values(before).items() if after[key] != value}
    assert moved == {f"#{tag}/elevation" for tag in before.setpoints}
    assert moved == set(before.dependencies.of_line("plant.yml", line))


@pytest.mark.parametrize(("under", "key", "points"), [
    ("LX-210:", "response_time", {"LSHH-210"}), ("I-210:", "on_delay", {"LSHH-210"})])
def test_heights_depend_on_what_passes_until_their_point_has_acted(folder: Path, under: str, key: str, points: set[str]) -> None:
    # the trip waits for its float and for 2 s of its interlock
    lines = TEXT.splitlines()
    start = next(number for number, line in enumerate(lines) if line.strip() == under)
    line = next(number for number, one in enumerate(lines[start:], start + 1) if one.strip().startswith(f"{key}:"))
    reached = worked(folder, TEXT).dependencies.of_line("plant.yml", line)
    assert {f"#{point}/needs/1" for point in points} <= set(reached)
    assert {one[1:].partition("/")[0] for one in reached if "/needs/" in one} == points


def test_both_directions_agree(folder: Path) -> None:
    results = worked(folder, TEXT)
    assert all(key in results.dependencies.of(str(one.source)) for key, record in results.records.items()
               if isinstance(record, Record) for one in record.inputs if one.is_record)


def test_what_depends_on_a_chain_comes_nearest_first() -> None:
    graph = Dependencies({"plant.yml:3:9": ("#a",), "#a": ("#b", "#c"), "#b": ("#c",), "plant.yml:3:20": ("#d",)})
    assert graph.of(Place("plant.yml", 3, 9)) == ("#a", "#b", "#c")
    assert graph.of_line("plant.yml", 3) == ("#a", "#d", "#b", "#c")
    assert graph.of("#c") == ()
