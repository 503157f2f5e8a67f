"""What a contact is rated for, and what the thing behind it draws: both as recorded, with the fields that are missing."""

from collections.abc import Iterator
from typing import Literal

from msgspec import Struct

from generator.compute.utilisation import Nature
from generator.model.instrument import Contact
from generator.model.machine import Load, Relay
from generator.model.plant import Definitions
from generator.model.quantity import Current, Voltage
from generator.model.scalar import Tag


class Rating(Struct, frozen=True):
    """A contact's category, voltage and current; `fields` names where each is written, as "tag: field"."""

    tag: str
    category: str | None
    voltage: Voltage | None
    current: Current | None
    smallest: Current | None
    fields: tuple[str, str, str]

    def missing(self) -> tuple[str, ...]:
        """Fields of the rating that are not recorded."""
        values = (self.voltage, self.current, self.category)
        return tuple(field for field, value in zip(self.fields, values, strict=True) if value is None)


def of_point(tag: str, contact: Contact) -> Rating:
    """The rating of a level contact."""
    fields = (f"{tag}: contact.voltage", f"{tag}: contact.current", f"{tag}: contact.category")
    return Rating(tag, contact.category, contact.voltage, contact.current, contact.smallest_current, fields)


def of_relay(tag: str, relay: Relay) -> Rating:
    """The rating of a relay's own contacts."""
    fields = (f"{tag}: rated_voltage", f"{tag}: rated_current", f"{tag}: category")
    return Rating(tag, relay.category, relay.rated_voltage, relay.rated_current, None, fields)


class Behind(Struct, frozen=True):
    """What stands behind a contact. `kind` is that of its current; `fields` as in a rating: voltage, current, kind."""

    tag: str
    words: str
    nature: Nature
    what: Literal["coil", "input", "solenoid", "load"]
    voltage: Voltage | None
    current: Current | None
    inrush: Current | None
    kind: Literal["ac", "dc"] | None
    suppressed: bool | None
    fields: tuple[str, str, str]
    least: Voltage | None = None
    """Least voltage with which it works for certain."""
    least_field: str = ""

    def missing(self) -> tuple[str, ...]:
        """Fields of the load that are not recorded."""
        values = (self.voltage, self.current, self.kind)
        return tuple(field for field, value in zip(self.fields, values, strict=True) if value is None)


def behind(plant: Definitions, tag: Tag) -> Iterator[Behind]:
    """What a contact switches under one tag; nothing for a pump without a starter, which is judged by its motor."""
    relay = plant.relays.get(tag)
    if relay is not None:
        yield Behind(tag, f"coil of {relay.kind} {tag}", "coil", "coil", relay.coil_voltage, relay.coil_current,
                     relay.coil_inrush, relay.coil_type, relay.suppressed,
                     (f"{tag}: coil_voltage", f"{tag}: coil_current", f"{tag}: coil_type"),
                     relay.coil_least_voltage, f"{tag}: coil_least_voltage")
    elif tag in plant.pumps:
        starter = plant.pumps[tag].starter
        if starter is not None:
            yield _drawn(tag, f"coil of the starter of {tag}", "coil", "coil", starter.coil, "starter.coil")
    elif tag in plant.valves:
        yield _drawn(tag, f"solenoid of {tag}", "coil", "solenoid", plant.valves[tag].load, "load")
    elif tag in plant.panels:
        yield _drawn(tag, f"input in {tag}", "resistive", "input", plant.panels[tag].input, "input")
    elif tag in plant.equipment:
        machine = plant.equipment[tag]
        nature: Nature = "resistive" if machine.kind == "heater" else "coil"
        yield _drawn(tag, f"{machine.kind} {tag}", nature, "load", machine.load, "load")


def _drawn(tag: str, words: str, nature: Nature, what: Literal["coil", "input", "solenoid", "load"], load: Load | None,
           key: str) -> Behind:
    fields = (f"{tag}: {key}.voltage", f"{tag}: {key}.current", f"{tag}: {key}.kind")
    if load is None:
        return Behind(tag, words, nature, what, None, None, None, None, None, fields, None, f"{tag}: {key}.least_voltage")
    suppressed = load.suppressed if nature == "coil" else None
    return Behind(tag, words, nature, what, load.voltage, load.current, load.inrush, load.kind, suppressed, fields,
                  load.least_voltage, f"{tag}: {key}.least_voltage")
