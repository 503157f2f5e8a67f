"""Quantities: a unit at the door, SI inside, as written at the window."""

import math
import re
from typing import Any, ClassVar, Self

from msgspec import Struct
from msgspec.structs import replace
from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from generator.model.place import NOWHERE, Place
from generator.model.scalar import Text
from generator.model.units import ALIASES, REFUSED, SI, UNITS

_WRITTEN = re.compile(r"([-+]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?)\s*(.*)\Z")


def split(text: str) -> tuple[float, str]:
    """Number and unit of a written quantity; the unit is empty where none stands.

    Raises:
        ValueError: no finite number opens the text.
    """
    match = _WRITTEN.match(text.strip())
    if match is None or not math.isfinite(float(match[1])):
        raise ValueError(text)
    unit = " ".join(match[2].split())
    return float(match[1]), ALIASES.get(unit, unit)


def example_units(dimension: str) -> str:
    """Units of one dimension in words, for a message: `m, mm, cm, ft or in`."""
    names = [name for name, (owner, _, _) in UNITS.items() if owner == dimension]
    return ", ".join(names[:-1]) + (f" or {names[-1]}" if len(names) > 1 else names[0])


class Quantity(Struct, frozen=True):
    """A value with a unit: `si` in the SI unit of its dimension, `written` as the engineer wrote it."""

    si: float
    written: str
    place: Place = NOWHERE

    dimension: ClassVar[str] = ""
    minimum: ClassVar[float] = -math.inf

    @property
    def unit(self) -> str:
        """The unit as written."""
        return split(self.written)[1]

    def reached(self, via: str) -> Self:
        """The same value, reached by inheritance."""
        return replace(self, place=self.place.through(via))

    @classmethod
    def read(cls, value: Any) -> Self:
        """Read `2.4 m`; refuse a bare number, an unknown unit and a wrong dimension, each with its cure."""
        if isinstance(value, cls):
            return value
        text = Text.read(value)
        try:
            number, unit = split(text)
        except ValueError:
            raise PydanticCustomError("quantity", "a {dimension} with its unit must stand here, in {units}",
                                      cls._words()) from None
        if not unit:
            raise PydanticCustomError("unit_missing", "a unit must follow the number: {units}", cls._words())
        if unit in REFUSED:
            raise PydanticCustomError("unit_refused", "{cure}", {"cure": REFUSED[unit], **cls._words()})
        if unit not in UNITS:
            raise PydanticCustomError("unit_unknown", "the unit must be {units}", {"unit": unit, **cls._words()})
        dimension, factor, offset = UNITS[unit]
        if dimension != cls.dimension:
            raise PydanticCustomError("dimension", "a {dimension} must stand here, in {units}; `{unit}` is a {found}",
                                      {"unit": unit, "found": dimension, **cls._words()})
        si = number * factor + offset
        if not math.isfinite(si):
            raise PydanticCustomError("too_large", "this {dimension} is too large to be meant", cls._words())
        if si < cls.minimum:
            raise PydanticCustomError("below_minimum", "this {dimension} must not be negative", cls._words())
        return cls(si, str(text), text.place)

    @classmethod
    def _words(cls) -> dict[str, str]:
        return {"dimension": cls.dimension, "units": example_units(cls.dimension)}

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(cls.read)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": "string", "description": f"{cls.dimension}: {example_units(cls.dimension)}"}


class Length(Quantity, frozen=True):
    """Any length, height or elevation. [m]"""

    dimension = "length"


class Size(Quantity, frozen=True):
    """A length that cannot be negative. [m]"""

    dimension, minimum = "length", 0.0


class Area(Quantity, frozen=True):
    """Area. [m2]"""

    dimension, minimum = "area", 0.0


class Volume(Quantity, frozen=True):
    """Volume. [m3]"""

    dimension, minimum = "volume", 0.0


class Flow(Quantity, frozen=True):
    """Volume flow. [m3/s]"""

    dimension, minimum = "flow", 0.0


class Duration(Quantity, frozen=True):
    """Time. [s]"""

    dimension, minimum = "time", 0.0


class Rate(Quantity, frozen=True):
    """Events in a time, such as starts per hour. [1/s]"""

    dimension, minimum = "rate", 0.0


class Density(Quantity, frozen=True):
    """Density. [kg/m3]"""

    dimension, minimum = "density", 0.0


class Mass(Quantity, frozen=True):
    """Mass. [kg]"""

    dimension, minimum = "mass", 0.0


class Viscosity(Quantity, frozen=True):
    """Dynamic viscosity. [Pa s]"""

    dimension, minimum = "viscosity", 0.0


class Temperature(Quantity, frozen=True):
    """Temperature. [K]"""

    dimension, minimum = "temperature", 0.0


class GaugePressure(Quantity, frozen=True):
    """Pressure over the atmosphere's. [Pa]"""

    dimension = "gauge pressure"


class AbsolutePressure(Quantity, frozen=True):
    """Pressure over vacuum. [Pa]"""

    dimension, minimum = "absolute pressure", 0.0


class Conductivity(Quantity, frozen=True):
    """Electrical conductivity. [S/m]"""

    dimension, minimum = "conductivity", 0.0


class Voltage(Quantity, frozen=True):
    """Voltage. [V]"""

    dimension, minimum = "voltage", 0.0


class Current(Quantity, frozen=True):
    """Current. [A]"""

    dimension, minimum = "current", 0.0


class Resistance(Quantity, frozen=True):
    """Electrical resistance. [ohm]"""

    dimension, minimum = "resistance", 0.0


class Power(Quantity, frozen=True):
    """Power. [W]"""

    dimension, minimum = "power", 0.0


class Angle(Quantity, frozen=True):
    """Angle. [rad]"""

    dimension = "angle"


PERCENT_OF = ("range", "height", "volume")


class Percent(Struct, frozen=True):
    """A share with its whole: `62 % of height`. Percent of range, of height and of volume never mix."""

    fraction: float
    of: str
    written: str
    place: Place = NOWHERE

    @classmethod
    def read(cls, value: Any) -> Self:
        """Read `62 % of range`, `62 % of height` or `62 % of volume`."""
        text = Text.read(value)
        try:
            number, unit = split(text)
        except ValueError:
            unit = ""
        words = unit.split()
        if len(words) != 3 or words[:2] != ["%", "of"] or words[2] not in PERCENT_OF:
            raise PydanticCustomError("percent", "a share must say of what: `% of range`, `% of height` or `% of volume`")
        return cls(number / 100, words[2], str(text), text.place)

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(cls.read)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": "string", "description": "a share: % of range, % of height or % of volume"}


class Stand(Struct, frozen=True):
    """Where a level stands: a height, a volume held, or a share of range, height or volume."""

    value: Length | Volume | Percent

    @classmethod
    def read(cls, value: Any) -> Self:
        """Read `1.55 m`, `12 m3` or `62 % of volume`, told apart by the unit."""
        text = Text.read(value)
        try:
            _, unit = split(text)
        except ValueError:
            unit = ""
        if unit.startswith("%"):
            return cls(Percent.read(text))
        if UNITS.get(unit, ("",))[0] == "volume":
            return cls(Volume.read(text))
        return cls(Length.read(text))

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(cls.read)

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": "string", "description": "a height, a volume, or a share (% of range, of height, of volume)"}


def written(si: float, unit: str) -> float:
    """An SI value in another unit of its dimension.

    >>> round(written(0.02, "m3/h"), 6)
    72.0
    """
    _, factor, offset = UNITS[unit]
    return (si - offset) / factor


def si_unit(dimension: str) -> str:
    """The SI unit of a dimension, as spelled in the definitions."""
    return SI[dimension]
