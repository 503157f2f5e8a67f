"""Definition files on disk: which they are, how messages name them, and their text."""

from pathlib import Path

from generator.model.finding import Mistake
from generator.model.place import Place

MOST_BYTES = 2_000_000
MOST_FILES = 5_000
ENDINGS = (".yml", ".yaml")


def named(source: Path) -> dict[str, Path]:
    """Each definition file below a folder (or the one file given), by the name that messages use, in sorted order.

    A file below the working folder is named as one would type it there; any other from the folder that holds `source`.
    Hidden files and folders are left alone.
    """
    if source.is_file():
        found = [source]
    else:
        found = [
            path for path in source.rglob("*")
            if path.suffix.lower() in ENDINGS and path.is_file()
            and not any(part.startswith(".") for part in path.relative_to(source).parts)
        ]
    return dict(sorted((_name(path, source), path) for path in found))


def _name(path: Path, source: Path) -> str:
    whole, here, above = path.absolute(), Path.cwd(), source.absolute().parent
    return whole.relative_to(here if whole.is_relative_to(here) else above).as_posix()


def texts(source: Path, mistakes: list[Mistake]) -> dict[str, str]:
    """The text of each definition file; what cannot be taken in joins `mistakes`."""
    if not source.exists():
        mistakes.append(
            Mistake(
                Place(source.as_posix(), 1, 1),
                "no-source",
                "",
                "a folder of definitions must stand here",
                "there is no such file or folder",
                "give the folder that holds the definitions",
            )
        )
        return {}
    inside = (source if source.is_dir() else source.parent).resolve()
    files = named(source)
    if len(files) > MOST_FILES:
        mistakes.append(Mistake(Place(source.as_posix(), 1, 1), "too-many-files", "",
                                f"at most {MOST_FILES} files may hold the definitions", f"{len(files)} were found",
                                "is this the right folder?"))
        return {}
    _links(source, mistakes)
    taken = {}
    for name, path in files.items():
        text = _text(name, path, inside, mistakes)
        if text is not None:
            taken[name] = text
    return taken


def _links(source: Path, mistakes: list[Mistake]) -> None:
    # Neither a link to a folder nor a link to nothing is read: silence would look like an empty file.
    for path in source.rglob("*") if source.is_dir() else ():
        if path.is_symlink() and (path.is_dir() or (path.suffix.lower() in ENDINGS and not path.exists())):
            stands = "it is a link to a folder" if path.is_dir() else "it is a link to nothing"
            place = Place(_name(path, source), 1, 1)
            must = "definitions must lie in their folder"
            mistakes.append(Mistake(place, "outside", "", must, stands, "put the files themselves here"))


def _text(name: str, path: Path, inside: Path, mistakes: list[Mistake]) -> str | None:
    def wrong(rule: str, must: str, stands: str, cure: str, line: int = 1, column: int = 1) -> None:
        mistakes.append(Mistake(Place(name, line, column), rule, "", must, stands, cure))

    if not path.resolve().is_relative_to(inside):
        wrong("outside", "a definition file must lie in the folder of definitions", "it is a link that leads out of it",
              "put the file itself here")
        return None
    try:
        size = path.stat().st_size
        data = path.read_bytes() if size <= MOST_BYTES else b""
    except OSError as error:
        wrong("unreadable", "the file must be readable", (error.strerror or "it is not").lower(),
              "look at the file's permissions")
        return None
    if size > MOST_BYTES:
        wrong(
            "too-large",
            f"a definition file may have {MOST_BYTES / 1e6:.0f} MB at most",
            f"it has {size / 1e6:.1f} MB",
            "split it: one file a tank reads best",
        )
        return None
    try:
        return data.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line, column = before.count(b"\n") + 1, len(before) - (before.rfind(b"\n") + 1) + 1
        wrong(
            "not-utf-8",
            "the file must be UTF-8 text",
            f"byte {data[error.start]:02X} (hexadecimal) cannot be read as such",
            "save it as UTF-8 in the editor",
            line,
            column,
        )
        return None


def nothing_in(name: str) -> Mistake:
    """What is said of an empty file beside others."""
    return Mistake(Place(name, 1, 1), "empty-file", "", "a definition file must define something", "it is empty",
                   "write its definitions, or take the file away")


def empty(source: Path) -> Mistake:
    """What is said of a folder or file that defines nothing."""
    return Mistake(Place(source.as_posix(), 1, 1), "empty", "", "the definitions of a plant must stand here",
                   "nothing is defined", "begin with `plant:`, `areas:` and `tanks:`")
