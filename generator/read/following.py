"""What follows from another mistake is not said: its cure would be wrong, and the first one gone, it is gone too."""

import re
from collections.abc import Iterable, Iterator, Sequence, Set

from generator.model.definition import Mapping
from generator.model.finding import Mistake
from generator.model.plant import Definitions
from generator.model.scalar import Prose, Text
from generator.read import forms, raw, words
from generator.read.merge import tagged

FIRST = ("tag-twice", "noun-twice")
"""Rules of mistakes that stand before all others: what is wrong besides may be only one of the two definitions."""
SPACE = "space-at-end"
_CIRCLES = ("circular-heights", "circular-supplies", "circular-relays", "circular-staggers")
_LEVEL_RULES = ("unknown-level", "unknown-nozzle", "no-tank")
_LEVEL_NOUNS = {"tanks": ("levels", "marks", "nozzles"), "switches": ("in",), "instruments": ("tank",)}
"""Nouns on which the levels of tanks rest, with the keys of each that say so."""
_TAKES_AWAY = ("wrong-form", "unknown-key", "key", "key-twice", "depth")


def of_their_own(found: Iterable[Mistake], causes: Sequence[Mistake], whole: Mapping) -> Iterator[Mistake]:
    """Links and circles that are wrong by themselves; anything else passes.

    Of a tag that is defined twice nobody knows which definition is meant; what stands under a noun or a key that could
    not be taken in is not there for others to name.
    """
    twice = {one.subject.partition(".")[2] for one in causes if one.rule in ("tag-twice", "key-twice")}
    strange = {noun for noun in whole if noun not in Definitions.model_fields}
    unread = {str(tag) for noun in strange if isinstance(whole[noun], Mapping) for tag in whole[noun]}
    speaks_of_twice, speaks_of_unread = _speaks(twice), _speaks(unread)
    lost = _lost(causes, whole)
    speaks_of_lost = _speaks({tag for _, tag in lost})
    no_levels = any(words.nearest(noun, forms.SINGULAR) in (*_LEVEL_NOUNS, None) for noun in strange)
    for one in found:
        said = f"{one.must} {one.stands}"
        of_levels = one.rule in (*_LEVEL_RULES, *_CIRCLES) or (one.rule == "unknown-tag" and one.subject.endswith(".begins_at"))
        if speaks_of_twice.search(f"{said} {one.subject}" if of_levels else said):
            continue
        if one.rule in ("unknown-tag", "wrong-kind") and speaks_of_unread.search(one.stands):
            continue
        is_taken = no_levels or speaks_of_lost.search(said) or (one.rule == "no-tank" and (lost or twice))
        if of_levels and one.rule not in _CIRCLES and is_taken:
            continue
        yield one


def said_better(found: list[Mistake]) -> list[Mistake]:
    """The same mistakes; of two about one state, the one that knows which element it is for."""
    states = {one.place for one in found if one.rule == "wrong-state"}
    return [one for one in found if one.rule != "unknown-word" or one.place not in states]


def unread_nouns(form: Iterable[Mistake]) -> Set[str]:
    """Nouns with tags of which nothing could be taken in, since all of them has another form."""
    return frozenset(one.subject for one in form if one.rule == "wrong-form" and tagged(one.subject))


def spaces_that_matter(mistakes: list[Mistake], whole: Mapping) -> list[Mistake]:
    """The mistakes without spaces at the ends of free words, where they say nothing and were taken away."""
    if not any(one.rule == SPACE for one in mistakes):
        return mistakes
    free: set[tuple[str, int, int]] = set()
    bound: set[tuple[str, int, int]] = set()
    for noun, at in forms.keys(Definitions).items():
        if noun in whole:
            for spot in forms.spots(whole[noun], at, noun, whole.values_at[noun]):
                of_words = spot.form.kind in (Text, Prose) and spot.form.to is None
                (free if of_words else bound).add((spot.place.file, spot.place.line, spot.place.column))
    return [one for one in mistakes
            if one.rule != SPACE or (one.place.file, one.place.line, one.place.column) not in free - bound]


def _speaks(tags: Set[str]) -> re.Pattern[str]:
    return re.compile("|".join(rf"(?<![\w-]){re.escape(tag)}(?![\w-])" for tag in sorted(tags) if tag) or r"(?!)")


def _lost(causes: Iterable[Mistake], whole: Mapping) -> set[tuple[str, str]]:
    """Tanks whose levels, and points whose tank, a mistake took away: noun and tag."""
    lost: set[tuple[str, str]] = set()
    for one in causes:
        noun, _, rest = one.subject.partition(".")
        members = whole.get(noun)
        if noun not in _LEVEL_NOUNS or not isinstance(members, Mapping):
            continue
        for tag in members:
            if rest == tag and one.rule in _TAKES_AWAY:
                lost.add((noun, str(tag)))
            elif rest.startswith(f"{tag}."):
                key = re.split(r"[.\[]", rest[len(tag) + 1:])[0]
                if one.rule == "unknown-key":
                    key = words.nearest(key, forms.fields(_block(noun))) or key
                is_gone = one.rule in _TAKES_AWAY or (one.rule == "value-missing" and noun != "tanks")
                if is_gone and key in _LEVEL_NOUNS[noun]:
                    lost.add((noun, str(tag)))
    lost |= {("switches", tag) for tag, point in raw.blocks(whole, "switches") if ("instruments", raw.text(point, "in")) in lost}
    return lost


def _block(noun: str) -> type:
    return forms.keys(Definitions)[noun].inner()[-1].models[0]
