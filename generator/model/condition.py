"""Conditions: the one form in which a cause is written, wherever one stands.

    LSHH-210                          the point has acted (a signal is on, a stop is pushed)
    {not: LSHH-210}                   it has not acted; for a level point: clear, past the far edge of its deadband
    {any_of: [LSHH-210, HS-210]}      one is enough
    {all_of: [LSL-402, LSL-403]}      every one is needed
    {2 of: [LSLL-251A, LSLL-251B, LSLL-251C]}   a vote
    {held: 10 s, of: TSHH-212}        true without a break for that long
"""

import re
from collections.abc import Iterator
from typing import Any

from msgspec import Struct
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from generator.model.place import NOWHERE, Place
from generator.model.quantity import Duration
from generator.model.scalar import Tag

_VOTE = re.compile(r"([1-9][0-9]?) of\Z")
FORMS = "a tag, or one of any_of, all_of, not, `2 of`, held"


class Condition(Struct, frozen=True):
    """Base of all conditions; read from YAML with `Condition.read`."""

    place: Place

    def tags(self) -> Iterator[Tag]:
        """Every tag the condition rests on, in the order written."""
        for part in self.parts():
            yield from part.tags()

    def parts(self) -> "tuple[Condition, ...]":
        """The conditions directly below this one."""
        return ()

    def senses(self, tag: str) -> frozenset[bool]:
        """Whether the tag helps the condition by having acted (True), by being clear (False), or both."""
        return frozenset(sense for part in self.parts() for sense in part.senses(tag))

    @classmethod
    def read(cls, value: Any) -> "Condition":
        """Read a condition in any of its forms."""
        if isinstance(value, Condition):
            return value
        place = getattr(value, "place", NOWHERE)
        if isinstance(value, str):
            return Acted(place, Tag.read(value))
        if not isinstance(value, dict):
            raise PydanticCustomError("condition_form", "a condition must stand here: " + FORMS)
        if set(value) == {"held", "of"}:
            return Held(place, Duration.read(value["held"]), cls.read(value["of"]))
        if len(value) != 1:
            raise PydanticCustomError("condition_form", "a condition has one form at a time: " + FORMS)
        (key, inner), = value.items()
        if key == "not":
            return Not(place, cls.read(inner))
        vote = _VOTE.match(key)
        if key not in ("any_of", "all_of") and vote is None:
            raise PydanticCustomError("condition_form", "a condition must stand here: " + FORMS)
        if not isinstance(inner, list) or not inner:
            raise PydanticCustomError("condition_list", "a list of conditions must follow `{key}`", {"key": str(key)})
        parts = tuple(cls.read(part) for part in inner)
        if vote is not None:
            return Vote(place, int(vote[1]), parts)
        return AnyOf(place, parts) if key == "any_of" else AllOf(place, parts)

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(cls.read)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": ["string", "object"], "description": "a condition: " + FORMS}


class Acted(Condition, frozen=True):
    """A point has acted, a signal is on."""

    tag: Tag

    def tags(self) -> Iterator[Tag]:
        yield self.tag

    def senses(self, tag: str) -> frozenset[bool]:
        return frozenset({True}) if tag == self.tag else frozenset()


class Not(Condition, frozen=True):
    """The inner condition is clear."""

    part: Condition

    def parts(self) -> tuple[Condition, ...]:
        return (self.part,)

    def senses(self, tag: str) -> frozenset[bool]:
        return frozenset(not sense for sense in self.part.senses(tag))


class AnyOf(Condition, frozen=True):
    """One part is enough."""

    inner: tuple[Condition, ...]

    def parts(self) -> tuple[Condition, ...]:
        return self.inner


class AllOf(Condition, frozen=True):
    """Every part is needed."""

    inner: tuple[Condition, ...]

    def parts(self) -> tuple[Condition, ...]:
        return self.inner


class Vote(Condition, frozen=True):
    """At least `needed` of the parts."""

    needed: int
    inner: tuple[Condition, ...]

    def parts(self) -> tuple[Condition, ...]:
        return self.inner


class Held(Condition, frozen=True):
    """The part true without a break for a time."""

    time: Duration
    part: Condition

    def parts(self) -> tuple[Condition, ...]:
        return (self.part,)


def ways(condition: Condition) -> tuple[Condition, ...]:
    """The causes of a condition that can be told apart: each part of `any_of`, each member of a vote; else the whole.

    >>> [list(way.tags()) for way in ways(Condition.read({"any_of": ["A", {"all_of": ["B", "C"]}, {"2 of": ["D", "E"]}]}))]
    [['A'], ['B', 'C'], ['D'], ['E']]
    """
    if isinstance(condition, AnyOf | Vote):
        return tuple({in_short(way): way for part in condition.inner for way in ways(part)}.values())
    if isinstance(condition, Held) and len(inner := ways(condition.part)) > 1:
        return inner
    return (condition,)


def in_short(condition: Condition) -> str:
    """A cause in few words for a list of events: its tags, and which of them are clear.

    >>> in_short(Condition.read({"all_of": [{"held": "10 s", "of": "A"}, {"not": "B"}]}))
    'A with B clear'
    """
    match condition:
        case Acted(tag=tag):
            return str(tag)
        case Not(part=part):
            return f"{in_short(part)} clear"
        case Held(part=part):
            return in_short(part)
        case Vote(needed=needed):
            return f"{needed} of {', '.join(map(in_short, condition.parts()))}"
    return (" with " if isinstance(condition, AllOf) else " or ").join(map(in_short, condition.parts()))
