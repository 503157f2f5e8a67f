"""Links: every tag that a definition names must be defined, and be of the kind that may stand there.

Works on the data as written, guided by the model's fields, so that an unknown tag is found in the same run as a
misspelt key beside it.
"""

import re
from collections.abc import Iterator, Set
from typing import Any

from msgspec.structs import replace

from generator.model.condition import Condition
from generator.model.definition import Mapping
from generator.model.finding import Mistake
from generator.model.interlock import CAUSES
from generator.model.place import Place
from generator.model.plant import Definitions
from generator.model.scalar import Text, To
from generator.read import forms, raw, words
from generator.read.fitting import state_mistakes
from generator.read.levels import Levels, level_mistakes
from generator.read.merge import tagged
from generator.read.near import near_tag

_CAUSE = To(*CAUSES)
_SAID_EACH = 3
"""So many tags of a noun without members are each called unknown; of more, the noun is what is missing."""
WHOLE = "plant"
"""Stands where a tag could, for what concerns all of the plant."""


class Tags:
    """Every tag of the plant with its noun, and the old tags that it goes by.

    `unsure` are the nouns of which not every member is known: a tag that may be one of them is not called unknown.
    """

    def __init__(self, whole: Mapping, unsure: Set[str] = frozenset()) -> None:
        self.unsure = unsure
        self.noun: dict[str, str] = {}
        self.now: dict[str, str] = {}
        self.of: dict[str, list[str]] = {}
        self.nowhere: dict[tuple[str, ...], list[Mistake]] = {}
        """Mistakes of naming what would stand under nouns that hold nothing at all."""
        for written, members in whole.items():
            # Tags under a misspelt noun count: naming each of them as unknown would hide the one cause.
            noun = written if tagged(written) else words.nearest(written, forms.SINGULAR)
            if noun is None or not isinstance(members, Mapping):
                continue
            for tag, block in members.items():
                self.noun.setdefault(tag, noun)
                self.of.setdefault(noun, []).append(tag)
                old = block.get("formerly") if isinstance(block, Mapping) else None
                for name in old if isinstance(old, list) else ():
                    if isinstance(name, str):
                        self.now.setdefault(name, tag)

    def mistake(self, tag: str, to: To, place: Place, path: str) -> Mistake | None:
        """What is wrong with naming a tag where only some kinds may stand; None where nothing is."""
        if tag in to.also or self.noun.get(tag) in to.nouns:
            return None
        also = "".join(f" or `{word}`" for word in to.also)
        must = f"{forms.a_kind(*to.nouns)}{also} must stand here"
        if tag in self.noun:
            return Mistake(place, "wrong-kind", path, must, f"`{tag}` is {forms.SINGULAR[self.noun[tag]]}",
                           "")
        if self.unsure & set(to.nouns):
            return None
        found = Mistake(place, "unknown-tag", path, must, f"{words.shown(tag)} is not defined", self._cure(tag, to))
        if tag not in self.now and not any(noun in self.of for noun in to.nouns) and not near_tag(tag, to.also):
            self.nowhere.setdefault(to.nouns, []).append(found)
            return None
        return found

    def of_no_noun(self) -> Iterator[Mistake]:
        """Once for all that name something under a noun which holds nothing: at the first of them."""
        for nouns, found in self.nowhere.items():
            first = min(found, key=lambda one: (one.place.file, one.place.line, one.place.column))
            if len(found) <= _SAID_EACH:
                yield from found
            else:
                under = " or ".join(f"`{noun}`" for noun in nouns)
                yield replace(first, stands=f"{first.stands}, and nothing at all is defined under {under}",
                              cure=f"define under {under} what {len(found)} places name, or bring back the file that did")

    def _cure(self, tag: str, to: To) -> str:
        if tag in self.now:
            return f"it is now `{self.now[tag]}`"
        allowed = [one for noun in to.nouns for one in self.of.get(noun, ())]
        return near_tag(tag, [*allowed, *to.also]) or f"define it under `{to.nouns[0]}`, or correct the tag"

    def anywhere(self, tag: str, place: Place, path: str) -> Mistake | None:
        """What is wrong with naming a tag where any kind may stand."""
        if tag in self.noun or self.unsure:
            return None
        first = re.split(r"[,;:/()]", tag)[0].strip()
        cure = f"it is now `{self.now[tag]}`" if tag in self.now else near_tag(first, self.noun)
        return Mistake(place, "unknown-tag", path, "a tag that is defined must stand here",
                       f"{words.shown(tag)} is not defined", cure)


def mistakes(whole: Mapping, rules: Set[str], unsure: Set[str] = frozenset()) -> Iterator[Mistake]:
    """Every name in the definitions that leads nowhere, and every state that does not fit what is named.

    `rules` are the names of the published rules, `unsure` the nouns that a pattern could not write out in full.
    """
    tags = Tags(whole, unsure)
    levels = Levels(whole)
    for noun, at in forms.keys(Definitions).items():
        if noun in whole:
            for spot in forms.spots(whole[noun], at, noun, whole.values_at[noun]):
                yield from _spot_mistakes(spot, tags, rules)
    yield from level_mistakes(whole, levels) if not unsure else ()
    yield from state_mistakes(whole, tags.noun)
    yield from _loose_tags(whole, tags)
    yield from tags.of_no_noun()


def _spot_mistakes(spot: forms.Spot, tags: Tags, rules: Set[str]) -> Iterator[Mistake]:
    found: Mistake | None
    if spot.form.kind is Condition:
        for tag in _tags_in(spot.value):
            found = tags.mistake(tag, _CAUSE, tag.place, spot.path)
            joined = _joined(tag) if found and found.rule == "unknown-tag" else ""
            if found:
                yield replace(found, rule="condition", must="one tag must stand here, or a block of conditions",
                              stands=f"{words.shown(tag)} stands", cure=f"write `{joined}`") if joined else found
        return
    to = spot.form.to
    if to is None or not spot.value or not isinstance(spot.value, str) or to.nouns == ("level",):
        return
    if to.nouns == ("rules",):
        if spot.value not in rules:
            yield Mistake(spot.place, "unknown-rule", spot.path, "the name of a published rule must stand here",
                          f"{words.shown(spot.value)} is none that is known",
                          words.did_you_mean(spot.value, rules) or f"known: {', '.join(sorted(rules)) or 'none'}")
        return
    found = tags.mistake(spot.value, to, spot.place, spot.path)
    if found:
        yield found


def _tags_in(value: Any) -> Iterator[Text]:
    """The tags of a condition as written, whether or not all of it has a meaning."""
    if isinstance(value, Text):
        if value:
            yield value
    elif isinstance(value, Mapping):
        for key, part in value.items():
            if key != "held":
                yield from _tags_in(part)
    elif isinstance(value, list):
        for part in value:
            yield from _tags_in(part)


def _joined(text: str) -> str:
    """Tags joined by words, as the language writes them; nothing where no such word joins them.

    >>> _joined("LSLL-3 or LSL-3"), _joined("LSHH-1 AND NOT HS-1"), _joined("LSHH-1")
    ('{any_of: [LSLL-3, LSL-3]}', '{all_of: [LSHH-1, {not: HS-1}]}', '')
    """
    for key, word in (("any_of", "or"), ("all_of", "and")):  # what is joined by `and` holds together more closely
        parts = re.split(rf"\s+{word}\s+", text, flags=re.IGNORECASE)
        if len(parts) > 1:
            return f"{{{key}: [{', '.join(_joined(part) or part for part in parts)}]}}"
    name = re.fullmatch(r"not\s+(.+)", text.strip(), re.IGNORECASE)
    return f"{{not: {name[1]}}}" if name else ""


def _loose_tags(whole: Mapping, tags: Tags) -> Iterator[Mistake]:
    """Tags that stand in free words: what a hold is about, what a scenario fails, what a waiver is for."""
    named: list[tuple[Text | None, str]] = []
    for tag, hold in raw.blocks(whole, "holds"):
        named += [(about if isinstance(about, Text) else None, f"holds.{tag}.about[{number}]")
                  for number, about in enumerate(raw.members(hold, "about"), 1) if about != WHOLE]
    for tag, scenario in raw.blocks(whole, "scenarios"):
        named += [(raw.text(event, key), f"scenarios.{tag}.events[{number}].{key}") for key in ("fails", "returns")
                  for number, event in enumerate(raw.members(scenario, "events"), 1)]
    for number, waiver in enumerate(raw.members(whole, "waivers"), 1):
        on = raw.text(waiver, "on")
        if on is not None and on != WHOLE and not _names_any(on, tags):
            named.append((on, f"waivers[{number}].on"))
    for name, path in named:
        found = tags.anywhere(name, name.place, path) if name else None
        if found:
            yield found


def _names_any(text: str, tags: Tags) -> bool:
    loose = f" {text} "
    for sign in ",;:/()":
        loose = loose.replace(sign, f" {sign} ")
    return any(tag in text and (f" {tag} " in loose or f" {tag} " in f" {text} ") for tag in tags.noun)

