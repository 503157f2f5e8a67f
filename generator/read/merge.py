"""One plant from many files: nouns of the same name are put together, tags stay unique over all of them."""

from collections.abc import Iterable

from generator.model.definition import Mapping, Sequence
from generator.model.finding import Mistake
from generator.model.place import Place
from generator.model.plant import Definitions
from generator.model.scalar import Text

ONCE = ("plant",)


def merge(files: Iterable[Mapping], mistakes: list[Mistake]) -> Mapping:
    """All nouns of all files in one mapping that keeps their places.

    Lists are joined in the order of the files. A tag defined twice under one noun and a second `plant` are mistakes;
    the first is kept. A noun with nothing under it is left out.
    """
    whole = Mapping()
    for nouns in files:
        for noun, value in nouns.items():
            at = nouns.keys_at[noun]
            if isinstance(value, Text) and not value:
                continue
            if noun not in whole:
                whole[noun] = _copy(value)
                whole.keys_at[noun], whole.values_at[noun] = at, value.place
            elif noun in ONCE:
                mistakes.append(
                    Mistake(
                        at,
                        "noun-twice",
                        noun,
                        "the plant must stand in one file only",
                        f"it also stands at {whole.keys_at[noun]}",
                        "move the keys of this one to the other",
                    )
                )
            else:
                join(noun, whole[noun], value, mistakes)
    return whole


def tagged(noun: str) -> bool:
    """Whether the members of a noun have tags."""
    field = Definitions.model_fields.get(noun)
    return field is not None and field.default == {}


def _copy(value: Text | Mapping | Sequence) -> Text | Mapping | Sequence:
    if isinstance(value, Mapping):
        made = Mapping(value, place=value.place)
        made.keys_at, made.values_at = dict(value.keys_at), dict(value.values_at)
        return made
    if isinstance(value, Sequence):
        joined = Sequence(value)
        joined.place = value.place
        return joined
    return value


def join(noun: str, into: Text | Mapping | Sequence, value: Text | Mapping | Sequence, mistakes: list[Mistake]) -> None:
    """Put more members of a noun to those that are there; a tag that is there already is a mistake."""
    if isinstance(into, Mapping) and isinstance(value, Mapping):
        for tag, block in value.items():
            if tag in into:
                mistakes.append(_twice(f"{noun}.{tag}", value.keys_at[tag], into.keys_at[tag]))
            else:
                into[tag] = block
                into.keys_at[tag], into.values_at[tag] = value.keys_at[tag], value.values_at[tag]
    elif isinstance(into, Sequence) and isinstance(value, Sequence):
        into.extend(value)
    else:
        mistakes.append(
            Mistake(
                value.place,
                "wrong-form",
                noun,
                "one noun must have one form in all files",
                f"it has another form at {into.place}",
                "write tags with their blocks in both, or lists in both",
            )
        )


def _twice(subject: str, second: Place, first: Place) -> Mistake:
    return Mistake(second, "tag-twice", subject, "a tag must be defined once", f"it is also defined at {first}",
                   "give one of the two another tag, or take it out")


def tags_once(whole: Mapping, mistakes: list[Mistake]) -> None:
    """Name every tag that stands under two nouns."""
    first: dict[str, Place] = {}
    for noun, members in whole.items():
        if not tagged(noun) or not isinstance(members, Mapping):
            continue
        for tag in members:
            if tag in first:
                mistakes.append(_twice(f"{noun}.{tag}", members.keys_at[tag], first[tag]))
            else:
                first[tag] = members.keys_at[tag]
