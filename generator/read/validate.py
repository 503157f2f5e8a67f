"""Plain data to typed definitions; every fault of form becomes a mistake in our own words."""

from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from generator.model.definition import Mapping, Sequence
from generator.model.finding import Mistake
from generator.model.place import NOWHERE, Place
from generator.model.plant import Definitions
from generator.read import words


def definitions(whole: Mapping, mistakes: list[Mistake]) -> Definitions | None:
    """The typed definitions, or None with a mistake for every value that has no meaning."""
    try:
        return Definitions.model_validate(whole)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            mistakes.append(_mistake(whole, detail))
        return None


def _mistake(whole: Mapping, detail: ErrorDetails) -> Mistake:
    spot = _Spot(whole, detail["loc"])
    said = words.sentence(detail, spot.value)
    return Mistake(spot.place_of_key if said.at_key else spot.place, said.rule, spot.path, said.must, said.stands, said.cure)


class _Spot:
    """Where in the data a location of the validator lies: the value there, its place, its path in YAML keys."""

    def __init__(self, whole: Mapping, location: tuple[int | str, ...]) -> None:
        self.value: Any = whole
        self.place: Place = whole.place
        self.place_of_key: Place = whole.place
        parts: list[str] = []
        for part in location:
            if part == "[key]":
                self.value, self.place = parts[-1] if parts else "", self.place_of_key
            elif isinstance(part, int):
                if isinstance(self.value, Sequence) and part < len(self.value):
                    self.value = self.value[part]
                    self.place = self.place_of_key = self.value.place
                parts.append(f"[{part + 1}]")
            elif isinstance(self.value, Mapping) and part in self.value:
                self.place_of_key, self.place = self.value.keys_at[part], self.value.values_at[part]
                self.value = self.value[part]
                parts.append(part)
            elif _is_form(part, self.value):
                continue  # the name of the form that a block has, not a key
            else:
                self.value = None
                parts.append(part)
        self.path = ".".join(parts).replace(".[", "[")
        if self.place == NOWHERE:
            self.place = self.place_of_key = first_place(whole)


def _is_form(part: str, block: Any) -> bool:
    return isinstance(block, Mapping) and part == block.get("kind")


def first_place(whole: Mapping) -> Place:
    """The first place that anything in the definitions has."""
    return min(whole.keys_at.values(), key=lambda at: (at.file, at.line), default=Place("", 1, 1))
