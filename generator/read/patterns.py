"""Patterns are written out before anything is given a meaning, so that what they make is checked like anything else."""

import re
from typing import Any

from generator.model.definition import Mapping, Sequence
from generator.model.finding import Mistake
from generator.model.place import Place
from generator.model.scalar import Text
from generator.read import raw, words
from generator.read.merge import join

NOUN = "patterns"
MOST_MADE = 500_000
_BLANK = re.compile(r"<([a-z][a-z0-9_]*)>")
_NAME = re.compile(r"[a-z][a-z0-9_]*\Z")


def write_out(whole: Mapping, mistakes: list[Mistake]) -> frozenset[str]:
    """Add to `whole` what its patterns make; the patterns themselves stay in it as written.

    Returns the nouns that lack members because a row could not be written out.

    A value from a row keeps the row's place, any other the pattern's; both say through which row they came.
    """
    lacking: set[str] = set()
    for name, pattern in raw.blocks(whole, NOUN):
        lacking |= _Pattern(name, pattern, mistakes).write_out(whole)
    return frozenset(lacking)


class _Pattern:
    def __init__(self, name: str, block: Mapping, mistakes: list[Mistake]) -> None:
        self.path = f"{NOUN}.{name}"
        self.name = name
        self.block = block
        self.mistakes = mistakes
        self.used: set[str] = set()

    def wrong(self, place: Place, rule: str, path: str, must: str, stands: str, cure: str = "") -> None:
        mistake = Mistake(place, rule, f"{self.path}.{path}", must, stands, cure)
        if mistake not in self.mistakes:
            self.mistakes.append(mistake)

    def write_out(self, whole: Mapping) -> set[str]:
        """Write out every row; a form that is wrong is left to the validator to name. Returns the nouns left lacking."""
        blanks = self._blanks()
        makes = self.block.get("makes")
        if not isinstance(makes, Mapping) or not blanks:
            return set(makes) if isinstance(makes, Mapping) else set()
        for noun in makes:
            if noun in (NOUN, "plant"):
                self.wrong(makes.keys_at[noun], "pattern-noun", f"makes.{noun}", f"a pattern must not make `{noun}`",
                           "it does", "write it outside the pattern")
        self._look_for(makes, blanks, "makes")
        for blank, place in blanks.items():
            if blank not in self.used:
                self.wrong(place, "blank-unused", "blanks", f"the blank `{blank}` must stand in `makes` as `<{blank}>`",
                           "it stands nowhere", f"write `<{blank}>` where its value belongs, or take it out")
        rows = raw.members(self.block, "rows")
        if len(rows) * _values_in(makes) > MOST_MADE:
            self.wrong(makes.place, "too-large", "makes", f"a pattern may write out {MOST_MADE} values at most",
                       f"{len(rows)} rows of {_values_in(makes)} values stand here", "make several patterns of it")
            return set(makes)
        lacking: set[str] = set()
        for number, row in enumerate(rows, 1):
            values = self._row(row, number, blanks)
            if values is None:
                lacking.update(makes)
                continue
            made = _Filler(f"pattern {self.name}, row {number}", values, self).mapping(makes, "makes")
            self._add(made, whole)
        return lacking

    def _add(self, made: Mapping, whole: Mapping) -> None:
        for noun, members in made.items():
            if noun in (NOUN, "plant"):
                continue
            if noun in whole:
                join(noun, whole[noun], members, self.mistakes)
            else:
                whole[noun] = members
                whole.keys_at[noun], whole.values_at[noun] = made.keys_at[noun], made.values_at[noun]

    def _blanks(self) -> dict[str, Place]:
        blanks: dict[str, Place] = {}
        for blank in raw.members(self.block, "blanks"):
            if not isinstance(blank, Text):
                continue
            if not _NAME.match(blank):
                self.wrong(blank.place, "blank-name", "blanks", "a blank has small letters, digits and _ in its name",
                           f"{words.shown(blank)} stands")
            elif blank in blanks:
                self.wrong(
                    blank.place,
                    "blank-twice",
                    "blanks",
                    "a blank must be named once",
                    f"`{blank}` stands twice",
                    "take one out",
                )
            else:
                blanks[str(blank)] = blank.place
        return blanks

    def _look_for(self, value: Any, blanks: dict[str, Place], path: str) -> None:
        """Note every blank used; name those that are not declared and those inside a longer key."""
        if isinstance(value, Mapping):
            for key, part in value.items():
                self._note(key, value.keys_at[key], blanks, path)
                if _BLANK.search(key) and not _BLANK.fullmatch(key):
                    self.wrong(value.keys_at[key], "blank-in-key", path, "a blank must be the whole of a key",
                               f"{words.shown(key)} stands", "write the tag in full in the rows")
                self._look_for(part, blanks, f"{path}.{key}")
        elif isinstance(value, Sequence):
            for number, part in enumerate(value, 1):
                self._look_for(part, blanks, f"{path}[{number}]")
        elif isinstance(value, Text):
            self._note(value, value.place, blanks, path)

    def _note(self, text: str, place: Place, blanks: dict[str, Place], path: str) -> None:
        for blank in _BLANK.findall(text):
            self.used.add(blank)
            if blank not in blanks:
                self.wrong(place, "blank-unknown", path, "only the blanks of this pattern may stand in it",
                           f"`<{blank}>` is none of them",
                           words.did_you_mean(blank, blanks) or f"add `{blank}` to `blanks`")

    def _row(self, row: Any, number: int, blanks: dict[str, Place]) -> dict[str, Text] | None:
        path = f"rows[{number}]"
        if not isinstance(row, Mapping):
            return None
        for key in row:
            if key not in blanks:
                self.wrong(
                    row.keys_at[key],
                    "blank-unknown",
                    path,
                    "a row must give a value for each blank and no other",
                    f"`{key}` is no blank of this pattern",
                    words.did_you_mean(key, blanks),
                )
        for blank in blanks:
            if blank not in row:
                self.wrong(row.place, "blank-missing", path, f"a row must give a value for each blank: `{blank}`",
                           "it is not given", f"write `{blank}:` in this row")
        values = {blank: row[blank] for blank in blanks if isinstance(row.get(blank), Text)}
        return values if len(values) == len(blanks) else None


def _values_in(value: Any) -> int:
    if isinstance(value, dict):
        return 1 + sum(_values_in(part) for part in value.values())
    return 1 + sum(_values_in(part) for part in value) if isinstance(value, list) else 1


class _Filler:
    """One row's copy of what a pattern makes."""

    def __init__(self, via: str, values: dict[str, Text], owner: _Pattern) -> None:
        self.via = via
        self.values = values
        self.owner = owner

    def mapping(self, block: Mapping, path: str) -> Mapping:
        made = Mapping(place=block.place.through(self.via))
        for key, part in block.items():
            filled_key = self.text(Text(key, block.keys_at[key]))
            if filled_key in made:
                self.owner.wrong(filled_key.place, "key-twice", path, "a key must stand once in its block",
                                 f"`{filled_key}` fills two keys of it", "give the blanks different values in this row")
                continue
            value = self.value(part, f"{path}.{key}")
            made[filled_key] = value
            made.keys_at[filled_key], made.values_at[filled_key] = filled_key.place, value.place
        return made

    def value(self, value: Any, path: str) -> Any:
        if isinstance(value, Mapping):
            return self.mapping(value, path)
        if isinstance(value, Sequence):
            made = Sequence(self.value(part, f"{path}[{number}]") for number, part in enumerate(value, 1))
            made.place = value.place.through(self.via)
            return made
        return self.text(value)

    def text(self, text: Text) -> Text:
        whole = _BLANK.fullmatch(text)
        if whole is not None and whole[1] in self.values:
            return self.values[whole[1]].reached(self.via)
        filled = _BLANK.sub(lambda found: str(self.values.get(found[1], found[0])), text)
        return Text(filled, text.place.through(self.via))
