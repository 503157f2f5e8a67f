"""The scalars of the definitions language: text that knows its place, and what is read from it.

Every YAML scalar arrives as `Text`. A field's type then says what the text must mean.
"""

import re
from collections.abc import Callable
from datetime import date
from typing import Annotated, Any, Self

from pydantic import BeforeValidator, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from generator.model.place import NOWHERE, Place


class Text(str):
    """A scalar as written, with its place."""

    place: Place = NOWHERE
    expects = "text"

    def __new__(cls, value: str, place: Place = NOWHERE) -> Self:
        made = super().__new__(cls, value)
        if place is not NOWHERE:  # one of thousands that are only looked up needs no room for what it is born with
            made.place = place
        return made

    def reached(self, via: str) -> Self:
        """The same text, reached by inheritance or a pattern."""
        return type(self)(self, self.place.through(via))

    @classmethod
    def read(cls, value: Any) -> Self:
        """Take a scalar from the definitions; refuse a list or a mapping."""
        if not isinstance(value, str):
            raise PydanticCustomError("scalar_expected", "one value must stand here, not a list or a mapping")
        return cls(value, getattr(value, "place", NOWHERE))

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(cls.read)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": ["string", "number", "boolean"], "description": cls.expects}


class Prose(Text):
    """Free text. Values stand in it as references: `{LSHH-210 height}`, `{T-210 volume to overflow in m3}`."""

    expects = "free text; a value stands in it as a reference such as {LSHH-210 height}"


class Tag(Text):
    """A tag, written in full."""

    expects = "a tag"
    SHAPE = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ._/-]{0,38}[A-Za-z0-9])?\Z")

    @classmethod
    def read(cls, value: Any) -> Self:
        """Take a tag from the definitions; refuse what has not a tag's form."""
        tag = super().read(value)
        if not cls.SHAPE.match(tag):
            raise PydanticCustomError(
                "tag_shape", "a tag has letters, digits, and - . _ / or a space between them, 40 at most"
            )
        return tag


class To:
    """Metadata of a field that names something defined elsewhere: the kinds it may name."""

    def __init__(self, *nouns: str, also: tuple[str, ...] = ()) -> None:
        self.nouns = nouns
        self.also = also  # plain words that may stand instead of a tag


_PLAIN = re.compile(r"[-+]?(?:[0-9]{1,30}(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]{1,2})?\Z")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_YES, _NO = ("yes", "true"), ("no", "false")


def _yes_no(value: Any) -> bool:
    text = Text.read(value)
    if text in _YES:
        return True
    if text in _NO:
        return False
    raise PydanticCustomError("yes_no", "`yes` or `no` must stand here")


def _number(value: Any) -> float:
    text = Text.read(value)
    if not _PLAIN.match(text):
        raise PydanticCustomError("number", "a plain number must stand here")
    return float(text)


def _count(value: Any) -> int:
    text = Text.read(value)
    if not text.isascii() or not text.isdigit() or len(text) > 9:
        raise PydanticCustomError("count", "a whole number must stand here")
    return int(text)


def _day(value: Any) -> date:
    text = Text.read(value)
    try:
        return date.fromisoformat(text if _DAY.match(text) else "")
    except ValueError:
        if _DAY.match(text):
            raise PydanticCustomError("day_unknown", "a day of the calendar must stand here") from None
        raise PydanticCustomError("day", "a day must stand here, written year-month-day as in 2026-11-14") from None


def _reader(function: Callable[[Any], Any]) -> BeforeValidator:
    return BeforeValidator(function)


class OneOrSeveral:
    """Metadata of a list field: a single word may stand instead of a list of one."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_before_validator_function(_listed, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        made = handler(schema)
        return {"anyOf": [made["items"], made]}


def _listed(value: Any) -> Any:
    return (value,) if isinstance(value, str) else value


YesNo = Annotated[bool, _reader(_yes_no)]
Number = Annotated[float, _reader(_number)]
Count = Annotated[int, _reader(_count)]
Day = Annotated[date, _reader(_day)]
