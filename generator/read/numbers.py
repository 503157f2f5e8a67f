"""The ledger of row and column numbers, a file beside the folder of definitions."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from generator.model.definition import Mapping
from generator.model.finding import Mistake
from generator.model.numbers import Numbers, SheetNumbers
from generator.model.place import NOWHERE, Place
from generator.read.yaml_text import load

NAME = "numbers.yml"
_KINDS = ("rows", "columns")


def path_of(source: Path) -> Path:
    """Where the ledger of a folder of definitions stands: beside it."""
    return source.parent / NAME


def numbers(source: Path) -> tuple[Numbers, tuple[Mistake, ...]]:
    """The ledger; an empty one where there is none. A file that cannot be read gives mistakes and no number."""
    path = path_of(source)
    if not path.is_file():
        return Numbers(), ()
    name, mistakes = path.as_posix(), list[Mistake]()
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        return Numbers(), (_mistake(Place(name, 1, 1), "", f"it cannot be read: {error}"),)
    whole = load(name, text, mistakes)
    if mistakes or whole is None:
        return Numbers(), tuple(mistakes)
    made = {str(area): SheetNumbers(*(dict(_numbered(area, kind, sheet, mistakes)) for kind in _KINDS))
            for area, sheet in whole.items()}
    return (Numbers(), tuple(mistakes)) if mistakes else (Numbers(made), ())


def _numbered(area: str, kind: str, sheet: Any, mistakes: list[Mistake]) -> Iterator[tuple[int, str]]:
    place = getattr(sheet, "place", NOWHERE)
    if not isinstance(sheet, dict) or set(sheet) - set(_KINDS):
        mistakes.append(_mistake(place, area, "something else stands"))
        return
    block = sheet.get(kind, Mapping())
    if not isinstance(block, dict):
        mistakes.append(_mistake(getattr(block, "place", place), f"{area} {kind}", "something else stands"))
        return
    taken: dict[str, str] = {}
    for number, key in block.items():
        where = getattr(number, "place", place)
        if not str(number).isascii() or not str(number).isdigit() or int(number) < 1 or not isinstance(key, str):
            mistakes.append(_mistake(where, f"{area} {kind}", f"{number!s} does"))
        elif key in taken:
            mistakes.append(Mistake(where, "number-twice", f"{area} {kind} {key}", "a row or column has one number",
                                    f"it has {taken[key]} and {number}", "keep the older number; the other stays unused"))
        else:
            taken[str(key)] = str(number)
            yield int(number), str(key)


def _mistake(place: Place, subject: str, stands: str) -> Mistake:
    return Mistake(place, "ledger-form", subject, "a sheet holds `rows` and `columns`, each number once with what it "
                   "stands for", stands, "let `philosophy number` write the file, and edit nothing in it by hand")
