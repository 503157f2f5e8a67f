"""YAML text to the model: files in, linked definitions out, every value knowing where it was written."""

from collections.abc import Set
from datetime import date
from pathlib import Path

from msgspec.structs import replace

from generator.memory import collector_held_back
from generator.model.definition import Mapping
from generator.model.finding import Mistake
from generator.model.place import Place
from generator.model.plant import Definitions
from generator.read import files, fitting, following, links, patterns, sense, validate
from generator.read.defaults import flow_down
from generator.read.formatter import formatted
from generator.read.knowledge import knowledge
from generator.read.language import language
from generator.read.merge import merge, tags_once
from generator.read.numbers import numbers
from generator.read.numbers import path_of as numbers_path
from generator.read.yaml_text import load

__all__ = ["formatted", "knowledge", "language", "numbers", "numbers_path", "plant", "sources"]


def plant(
    source: Path, as_of: date | None = None, rules: Set[str] | None = None,
) -> tuple[Definitions | None, tuple[Mistake, ...]]:
    """Read a folder of definitions, or one file.

    Returns the plant, or None with every mistake found in one run, in the order of files and lines; a tag that stands
    twice comes before them.
    `as_of` takes the place of the day that stands in the document. `rules` are the names of the published rules that a
    plant may adopt; those of the generator's own knowledge where left out.
    """
    with collector_held_back():
        return _read(source, as_of, knowledge().rules.keys() if rules is None else rules)


def sources(source: Path) -> dict[str, str]:
    """The text of each definition file by the name that places give it; files that cannot be read are left out."""
    return files.texts(source, [])


def _read(source: Path, as_of: date | None, rules: Set[str]) -> tuple[Definitions | None, tuple[Mistake, ...]]:
    mistakes: list[Mistake] = []
    texts = files.texts(source, mistakes)
    loaded = [load(name, text, mistakes) for name, text in texts.items()]
    mistakes.extend(files.nothing_in(name) for name, text in texts.items() if len(texts) > 1 and not text.strip())
    whole = merge([nouns for nouns in loaded if nouns is not None], mistakes)
    is_whole = None not in loaded and len(texts) == len(files.named(source))
    if not whole:
        return None, _sorted(mistakes or [files.empty(source)])
    made = _made(whole, is_whole, rules, mistakes)
    if source.is_dir():
        mistakes = [_of_no_file(one, source) for one in mistakes]
    if mistakes or made is None:
        return None, _sorted(mistakes)
    if as_of is not None:
        made = _judged_on(made, as_of)
    return flow_down(made), ()


def _made(whole: Mapping, is_whole: bool, rules: Set[str], mistakes: list[Mistake]) -> Definitions | None:
    lacking = patterns.write_out(whole, mistakes)
    tags_once(whole, mistakes)
    form: list[Mistake] = []
    made, items = validate.definitions(whole, form)
    named = {one.place for one in form}
    form.extend(one for one in fitting.empty_texts(whole) if one.place not in named)
    mistakes[:] = following.spaces_that_matter(mistakes, whole)
    if is_whole:
        found = links.mistakes(whole, rules, lacking | following.unread_nouns([*mistakes, *form]))
        form.extend(following.of_their_own(found, [*mistakes, *form], whole))
        form = following.said_better(form)
    else:  # a file that could not be read may hold the plant, and what seems unknown elsewhere
        form = [one for one in form if (one.rule, one.subject) != ("value-missing", "plant")]
    mistakes.extend(following.of_their_own(sense.mistakes(items), tuple(mistakes), whole))
    mistakes.extend(form)
    return made


def _of_no_file(mistake: Mistake, source: Path) -> Mistake:
    """What all files of a folder lack is blamed on none of them."""
    if (mistake.rule, mistake.subject) != ("value-missing", "plant"):
        return mistake
    return replace(mistake, place=Place(source.as_posix(), 1, 1), must="one file must define `plant`",
                   stands="no file defines it",
                   cure="bring back the file that did, or write `plant:` with its `name` and its `document` in one")


def _judged_on(plant: Definitions, day: date) -> Definitions:
    document = plant.plant.document
    document = document.filled({"as_of": (day, document.place_of("as_of").through("given for this run"))})
    head = plant.plant.filled({"document": (document, document.place)})
    return plant.filled({"plant": (head, head.place)})


def _sorted(mistakes: list[Mistake]) -> tuple[Mistake, ...]:
    # What a pattern's line gets wrong it gets wrong in every row: the same words of the same spot are said once.
    once: dict[tuple[str, ...], Mistake] = {}
    for one in mistakes:
        once.setdefault((str(one.place), one.rule, one.must, one.stands), one)
    return tuple(sorted(once.values(), key=lambda one: (
        one.rule not in following.FIRST, one.place.file, one.place.line, one.place.column, one.rule)))
