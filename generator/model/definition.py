"""The base of every definition: frozen, no unknown key, and knowing where each of its values was written."""

from typing import Any, Self

from pydantic import BaseModel, ConfigDict, PrivateAttr, model_validator
from pydantic.functional_validators import ModelWrapValidatorHandler

from generator.model.place import NOWHERE, Place, Traced


class Mapping(dict[str, Any]):
    """A YAML mapping that remembers its place, the places of its keys and of its values."""

    place: Place = NOWHERE
    keys_at: dict[str, Place]
    values_at: dict[str, Place]

    def __init__(self, *args: Any, place: Place = NOWHERE) -> None:
        super().__init__(*args)
        self.place = place
        self.keys_at = {}
        self.values_at = {}


class Sequence(list[Any]):
    """A YAML sequence that remembers its place."""

    place: Place = NOWHERE


class Definition(BaseModel):
    """One block of the definitions. Attribute docstrings are the published reference of the language."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", use_attribute_docstrings=True, arbitrary_types_allowed=True,
        populate_by_name=True, protected_namespaces=(),
    )
    _place: Place = PrivateAttr(default_factory=lambda: NOWHERE)  # a default itself would be copied for each block
    _values_at: dict[str, Place] = PrivateAttr(default_factory=dict)

    @model_validator(mode="wrap")
    @classmethod
    def _keep_places(cls, data: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        made = handler(data)
        if isinstance(data, Mapping):
            made._place = data.place
            made._values_at = data.values_at
        return made

    @property
    def place(self) -> Place:
        """Where this block begins."""
        return self._place

    def place_of(self, key: str) -> Place:
        """Where the value of a key was written (the YAML key); the block's own place where it was not."""
        return self._values_at.get(key, self._place)

    def filled(self, values: dict[str, tuple[Any, Place]]) -> Self:
        """The same block with fields set anew, each with the place where its value was written.

        Field names and YAML keys must be the same word, as they are for every fact that flows down.
        """
        made = self.model_copy(update={name: value for name, (value, _) in values.items()})
        made._values_at = self._values_at | {name: place for name, (_, place) in values.items()}
        return made

    def completed(self, other: Self | None) -> Self:
        """The same block; each field that it leaves out is taken from another, with the place where that was written."""
        if other is None:
            return self
        left_out = {name: (value, other.place_of(name)) for name, value in other
                    if value is not None and getattr(self, name) is None}
        return self.filled(left_out) if left_out else self

    def reached(self, via: str) -> Self:
        """The same block, every value of it reached by inheritance."""
        made = self.model_copy(update={
            name: value.reached(via) for name, value in self if isinstance(value, Traced)
        })
        made._place = self._place.through(via)
        made._values_at = {key: place.through(via) for key, place in self._values_at.items()}
        return made
