"""The worked-out philosophy as data: SI values, the unit in the name of each key, a version, and a page that explains it."""

from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import date
from functools import cache
from typing import Any

from msgspec import Struct
from msgspec.structs import asdict

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Not, Vote
from generator.model.definition import Definition
from generator.model.device import Suitability
from generator.model.finding import Finding
from generator.model.page import Page
from generator.model.place import Place
from generator.model.quantity import Percent, Quantity, Stand, si_unit
from generator.model.record import Absence, Record
from generator.model.results import Band, Vessel
from generator.pages.context import Context

FORMAT = "level-control-philosophy"
VERSION = 1
PATH = "data/philosophy.json"
_SPELLED = {"m3/s": "m3_per_s", "m/s": "m_per_s", "m/s2": "m_per_s2", "/s": "per_s", "kg/m3": "kg_per_m3", "Pa s": "Pa_s",
            "S/m": "S_per_m", "Pa gauge": "Pa_gauge", "Pa abs": "Pa_abs"}


class Key(Struct, frozen=True):
    """One key of the data file and what it holds."""

    key: str
    holds: str


KEYS = (
    Key("format", f"always `{FORMAT}`"),
    Key("version", f"number of this form, now {VERSION}; it rises when a key changes its meaning or goes"),
    Key("document", "number, revision, status, day of the data and fingerprint, as in the status strip"),
    Key("definitions", "the definitions as read, by noun and tag, with inherited values filled in and patterns written out"),
    Key("tanks", "per tank: capacity, rates, levels highest first, times between neighbouring levels"),
    Key("setpoints", "per switch: the height that stands, what it must satisfy, where it acts and lets go"),
    Key("pumps", "per pump: submergence and lowest level"),
    Key("cycling", "per start-and-stop control: effective volume, shortest cycle, starts"),
    Key("trips", "per interlock: time needed against time available, for each of its points"),
    Key("alarms", "per alarm: time to the trip and to the limit, and what a person needs"),
    Key("contacts", "per switch: state of the contact running, acted, with a broken wire, without supply"),
    Key("actuations", "per switch: fixing, rise, fall, differential by its geometry, length below the face and to cut"),
    Key("fittings", "per instrument: counterweight, reference electrode, spacers, room to swing"),
    Key("suitability", "per instrument: verdict, what failed or could not be assessed with its reason, alternatives"),
    Key("records", "every calculation record by its key: value, unit, equation, inputs; or why it could not be worked out"),
    Key("findings", "what the review found: failed, cannot be assessed, waived"),
    Key("passed", "how many subjects passed each rule, by its number"),
)


def pages(_context: Context) -> Iterator[Page]:
    """The page that documents the data file."""
    yield Page("registers/data-file.html", "Data file", "data", KEYS, ("Registers",))


def philosophy(context: Context, document: Mapping[str, str]) -> dict[str, Any]:
    """Everything worked out, as plain data."""
    results = context.results
    return {
        "format": FORMAT,
        "version": VERSION,
        "document": dict(document),
        "definitions": plain(context.plant),
        "tanks": plain(results.tanks),
        "setpoints": plain(results.setpoints),
        "pumps": plain(results.pumps),
        "cycling": plain(results.cycling),
        "trips": plain(results.trips),
        "alarms": plain(results.alarms),
        "contacts": plain(results.contacts),
        "actuations": plain(results.actuations),
        "fittings": plain(results.fittings),
        "suitability": {tag: _suited(one) for tag, one in results.suitability.items()},
        "records": plain(results.records),
        "findings": [_finding(one) for one in context.review.findings if one.verdict not in ("pass", "does not apply")],
        "passed": dict(Counter(one.rule for one in context.review.findings if one.verdict == "pass")),
    }


def _suited(one: Suitability) -> dict[str, Any]:
    """One device: its verdict, and of its criteria those that do not pass."""
    return {"technology": one.technology, "verdict": one.verdict, "judgements": [
        plain(judgement) for judgement in one.judgements if judgement.verdict in ("fail", "cannot be assessed")
    ], "alternatives": plain(one.alternatives)}


def plain(value: Any) -> Any:
    """Any part of the model as mappings, lists, numbers and text; quantities in SI under a key that names the unit."""
    if type(value) in _AS_IS:
        return value
    if isinstance(value, Definition):
        return _named({_yaml_key(type(value), name): getattr(value, name) for name in type(value).model_fields})
    if isinstance(value, Record):
        inputs = [{"symbol": one.symbol, "name": one.name, _keyed("value", one.dimension): one.value, "source": str(one.source)}
                  for one in value.inputs]
        return {"name": value.name, _keyed("value", value.dimension): value.value, "equation": value.equation,
                "inputs": inputs, "validity": value.validity, "reference": value.reference}
    if isinstance(value, Absence):
        return {"name": value.name, "cannot_be_assessed": value.why, "missing": list(value.missing)}
    if isinstance(value, Condition):
        return _condition(value)
    if isinstance(value, Band):
        return {"low_m": value.low, "high_m": value.high}
    if isinstance(value, Struct):
        return _named(asdict(value))
    if isinstance(value, Mapping):
        return _named(value)
    if isinstance(value, list | tuple):
        return [plain(one) for one in value]
    if isinstance(value, date | Place):
        return str(value)
    return str(value) if isinstance(value, str) else value


_AS_IS = frozenset({str, int, float, bool})
_HEIGHTS = frozenset({"height", "issued", "stands", "as_left", "wave", "slack", "bottom", "top"})


def _named(values: Mapping[Any, Any]) -> dict[str, Any]:
    """A mapping whose quantities carry their unit in their key; vessels (functions) and empty values stay out."""
    made: dict[str, Any] = {}
    for key, value in values.items():
        if value is None or isinstance(value, Vessel):
            continue
        name = str(key)
        kind = type(value)
        if kind in _AS_IS:
            made[f"{name}_m" if kind is float and name in _HEIGHTS else name] = value
            continue
        if isinstance(value, Stand):
            value = value.value
        if isinstance(value, Quantity):
            made[_keyed(name, value.dimension)] = value.si
        elif isinstance(value, Percent):
            made[f"{name}_fraction_of_{value.of}"] = value.fraction
        elif isinstance(value, tuple) and len(value) == 2 and isinstance(value[0], float) and isinstance(value[1], str):
            made[_keyed(name, value[1])] = value[0]
        elif name == "volume_table":
            made["volume_table_m_m3_m2"] = [list(row) for row in value]
        else:
            made[name] = plain(value)
    return made


@cache
def _keyed(name: str, dimension: str) -> str:
    """A key that names the SI unit of its value."""
    if not dimension:
        return name
    unit = si_unit(dimension)
    return f"{name}_{_SPELLED.get(unit, unit)}"


def _yaml_key(owner: type[Definition], name: str) -> str:
    return owner.model_fields[name].alias or name


def _condition(value: Condition) -> Any:
    if isinstance(value, Acted):
        return str(value.tag)
    inner = [_condition(part) for part in value.parts()]
    if isinstance(value, Not):
        return {"not": inner[0]}
    if isinstance(value, Held):
        return {"held_s": value.time.si, "of": inner[0]}
    if isinstance(value, Vote):
        return {f"{value.needed} of": inner}
    return {"any_of" if isinstance(value, AnyOf) else "all_of": inner} if isinstance(value, AnyOf | AllOf) else inner


def _finding(one: Finding) -> dict[str, Any]:
    return {key: plain(value) for key, value in asdict(one).items() if value not in ("", (), None)}

