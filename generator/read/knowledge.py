"""The generator's own data files: cautions, published rules, words, technologies."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints

from msgspec import Struct

from generator.errors import KnowledgeError
from generator.model.caution import JOBS, SIGNAL_WORDS, CautionRow
from generator.model.definition import Mapping, Sequence
from generator.model.finding import Mistake
from generator.model.knowledge import (
    Criterion,
    Knowledge,
    Material,
    PublishedRule,
    Technology,
    TruthTable,
    Usual,
    Word,
)
from generator.model.quantity import split
from generator.model.units import UNITS
from generator.read.yaml_text import parse

FOLDER = Path(__file__).parent.parent / "knowledge"


@cache
def knowledge(folder: Path = FOLDER) -> Knowledge:
    """Read cautions, rules, words, criteria, materials, usual figures, truth tables, and the folder of technologies.

    A file that is not there is empty. Each holds a list of rows, or rows under their key, name or word; a file of a technology
    is one row. Keys are those of the model's data classes.
    Numbers may carry a unit and are then turned into SI.

    Raises:
        KnowledgeError: a file cannot be read, or a row does not have the form of its data class.
    """
    cautions = tuple(_made(CautionRow, row, file) for row, file in _rows(folder, "cautions", "key"))
    for row in cautions:
        if row.word not in SIGNAL_WORDS or not row.jobs or not set(row.jobs) <= set(JOBS):
            raise KnowledgeError(f"cautions.yml: {row.key}: signal word or jobs are none of the known ones")
    rules = tuple(_made(PublishedRule, row, file) for row, file in _rows(folder, "rules", "name"))
    words = tuple(_made(Word, row, file) for row, file in _rows(folder, "words", "word"))
    technologies = tuple(_made(Technology, row, file) for row, file in _files(folder / "technologies"))
    criteria = tuple(_made(Criterion, row, file) for row, file in _rows(folder, "criteria", "name"))
    materials = tuple(_made(Material, row, file) for row, file in _rows(folder, "materials", "material"))
    usual = tuple(_made(Usual, row, file) for row, file in _rows(folder, "usual", "property"))
    tables = tuple(_made(TruthTable, row, file) for row, file in _rows(folder, "truth_tables", "name"))
    for name, keys in (("cautions", [row.key for row in cautions]), ("rules", [rule.name for rule in rules]),
                       ("words", [word.word for word in words]), ("technologies", [one.name for one in technologies]),
                       ("truth_tables", [table.name for table in tables])):
        twice = {key for key in keys if keys.count(key) > 1}
        if twice:
            raise KnowledgeError(f"{name}.yml: defined twice: {', '.join(sorted(twice))}")
    return Knowledge(cautions, {rule.name: rule for rule in rules}, words, {one.name: one for one in technologies},
                     {one.name: one for one in criteria}, materials, usual, truth_tables=tables)


def _parsed(path: Path) -> Any:
    mistakes: list[Mistake] = []
    try:
        root = parse(path.name, path.read_text(encoding="utf-8"), mistakes)
    except (OSError, UnicodeDecodeError) as error:
        raise KnowledgeError(f"{path.name}: {error}") from error
    if mistakes or root is None:
        raise KnowledgeError("; ".join(map(str, mistakes)))
    return root


def _files(folder: Path) -> Iterator[tuple[Mapping, str]]:
    """The files of a folder, each of them one row."""
    for path in sorted(folder.glob("*.yml")):
        row = _parsed(path)
        if not isinstance(row, Mapping):
            raise KnowledgeError(f"{path.name}: a row of keys must stand here")
        yield row, path.name


def _rows(folder: Path, noun: str, key: str) -> Iterator[tuple[Mapping, str]]:
    path = folder / f"{noun}.yml"
    if not path.exists():
        return
    root = _parsed(path)
    if isinstance(root, Mapping) and set(root) == {noun}:
        root = root[noun]
    if isinstance(root, Mapping):
        for name, row in root.items():
            if not isinstance(row, Mapping):
                raise KnowledgeError(f"{root.keys_at[name]}: a row of keys must stand under `{name}`")
            row.setdefault(key, name)
            yield row, path.name
    elif isinstance(root, Sequence):
        for row in root:
            if not isinstance(row, Mapping):
                raise KnowledgeError(f"{row.place}: a row of keys must stand here")
            yield row, path.name
    elif root:
        raise KnowledgeError(f"{path.name}: a list of rows must stand here")


def _made(kind: type[Any], row: Mapping, file: str) -> Any:
    hints = get_type_hints(kind)
    unknown = set(row) - set(hints)
    if unknown:
        raise KnowledgeError(f"{row.place}: unknown keys in {file}: {', '.join(sorted(unknown))}")
    values = {}
    for name, value in row.items():
        if value == "" and "None" in str(hints[name]):
            continue
        try:
            values[str(name)] = _conditions(value) if name == "when" else _value(hints[name], value)
        except (TypeError, ValueError) as error:
            raise KnowledgeError(f"{row.values_at.get(name, row.place)}: {name}: {error}") from error
    try:
        return kind(**values)
    except TypeError as error:
        given = set(kind.__struct_fields__)
        raise KnowledgeError(
            f"{row.place}: a row of {file} lacks some of {', '.join(sorted(given - set(values)))}"
        ) from error


def _conditions(value: Any) -> tuple[tuple[tuple[str, str], ...], ...]:
    alternatives = value if isinstance(value, list) else [value]
    if not all(isinstance(one, dict) and all(isinstance(part, str) for part in one.values()) for one in alternatives):
        raise TypeError("a list of mappings from a fact to its value must stand here")
    return tuple(tuple((str(fact), str(must)) for fact, must in one.items()) for one in alternatives)


def _value(hint: Any, value: Any) -> Any:
    if get_origin(hint) is tuple:
        if isinstance(value, str):
            value = [value] if value else []
        if not isinstance(value, list):
            raise TypeError("a list must stand here")
        inner = get_args(hint)
        kinds = [inner[0]] * len(value) if inner[-1] is Ellipsis else list(inner)
        if len(kinds) != len(value):
            raise TypeError(f"{len(kinds)} values must stand here")
        return tuple(_value(one, part) for one, part in zip(kinds, value, strict=True))
    if isinstance(hint, type) and issubclass(hint, Struct) and isinstance(value, Mapping):
        return _made(hint, value, value.place.file)
    if not isinstance(value, str):
        raise TypeError("one value must stand here")
    if hint is bool:
        if value not in ("yes", "no"):
            raise ValueError("yes or no must stand here")
        return value == "yes"
    if float in (hint, *get_args(hint)):
        number, unit = split(value)
        if not unit:
            return number
        if unit not in UNITS:
            raise ValueError(f"unknown unit {unit}")
        return number * UNITS[unit][1] + UNITS[unit][2]
    return str(value)
