"""All definitions of one plant, linked: what stands in the files, and who belongs to whom."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import Any

from pydantic import ConfigDict

from generator.model import crossing, document, instrument, interlock, link, machine, pattern, tank, technology
from generator.model.defaults import Defaults
from generator.model.definition import Definition
from generator.model.scalar import Tag


class Definitions(Definition):
    """The nouns of the language. Any file may hold any of them; a tag is defined once."""

    model_config = ConfigDict(ignored_types=(cached_property,))

    plant: document.Plant
    """The plant and its document."""
    areas: dict[Tag, document.Area] = {}
    """Parts of the plant."""
    liquids: dict[Tag, tank.Liquid] = {}
    """What is in the tanks."""
    tanks: dict[Tag, tank.Tank] = {}
    """Tanks, basins, sumps, wet wells."""
    streams: dict[Tag, tank.Stream] = {}
    """Liquid that moves, each written once."""
    cases: dict[Tag, tank.OperatingCase] = {}
    """Which streams run together. Without any, every inflow is taken to run at its highest while nothing leaves, and the
    other way round; with some, a stream that no case names runs in all of them."""
    never_together: tuple[tank.NeverTogether, ...] = ()
    """Streams that cannot run at the same time."""
    technologies: dict[Tag, technology.OwnTechnology] = {}
    """Technologies as this plant uses them, where they are not as the generator knows them."""
    instruments: dict[Tag, instrument.Instrument] = {}
    """Devices: one body in one nozzle, one failure."""
    switches: dict[Tag, instrument.Switch] = {}
    """Level points: contacts on a body, or set points on a transmitter."""
    pumps: dict[Tag, machine.Pump] = {}
    """Pumps."""
    pump_groups: dict[Tag, machine.PumpGroup] = {}
    """Pumps that share a task."""
    valves: dict[Tag, machine.Valve] = {}
    """Valves."""
    equipment: dict[Tag, machine.Equipment] = {}
    """Anything else a level acts on."""
    relays: dict[Tag, machine.Relay] = {}
    """Relays and contactors."""
    signals: dict[Tag, interlock.Signal] = {}
    """Causes that are not levels."""
    controls: dict[Tag, interlock.Control] = {}
    """Ordinary running."""
    interlocks: dict[Tag, interlock.Interlock] = {}
    """Trips, releasing interlocks, permissives."""
    alarms: dict[Tag, interlock.Alarm] = {}
    """Alarms."""
    hazards: dict[Tag, document.Hazard] = {}
    """What can go wrong and whom it harms."""
    modes: dict[Tag, interlock.Mode] = {}
    """Ways of running."""
    supplies: dict[Tag, document.Supply] = {}
    """What powers devices."""
    panels: dict[Tag, document.Panel] = {}
    """Panels."""
    links: dict[Tag, link.DataLink] = {}
    """Links between panels that carry signals or orders."""
    attendance: dict[Tag, document.Attendance] = {}
    """Where people are, and when."""
    tests: dict[Tag, document.Test] = {}
    """Proof tests."""
    references: dict[Tag, document.Reference] = {}
    """Drawings, datasheets, studies."""
    revisions: tuple[document.Revision, ...] = ()
    """Issues of this document, oldest first."""
    waivers: tuple[document.Waiver, ...] = ()
    """Findings that somebody decided to live with."""
    holds: dict[Tag, document.Hold] = {}
    """What is not settled yet."""
    scenarios: dict[Tag, document.Scenario] = {}
    """Courses of events to run the logic through."""
    patterns: dict[Tag, pattern.Pattern] = {}
    """Definitions that repeat. What they make stands under its own nouns; these are kept as written."""

    # ---- who belongs to whom -------------------------------------------------------------------------------------

    def tank_of(self, switch_tag: str) -> Tag:
        """The tank that a switch watches."""
        return self.instruments[Tag(self.switches[Tag(switch_tag)].in_)].tank

    @cached_property
    def switches_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Switch tags of each tank, as written."""
        return _grouped((self.tank_of(tag), tag) for tag in self.switches)

    @cached_property
    def points_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Switch tags of each instrument."""
        return _grouped((point.in_, tag) for tag, point in self.switches.items())

    @cached_property
    def instruments_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Instrument tags of each tank."""
        return _grouped((body.tank, tag) for tag, body in self.instruments.items())

    @cached_property
    def inflows_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Streams into each tank, overflow paths included."""
        return _grouped((stream.into, tag) for tag, stream in self.streams.items())

    @cached_property
    def outflows_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Streams out of each tank, overflow paths included."""
        return _grouped((stream.from_, tag) for tag, stream in self.streams.items())

    @cached_property
    def streams_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Streams that pass each valve, or that each pump or group moves; a group's streams count for its pumps."""
        return _grouped(
            (element, tag)
            for tag, stream in self.streams.items()
            for part in (*stream.through, *((stream.moved_by,) if stream.moved_by else ()))
            for element in (part, *self.members_of(part))
        )

    @cached_property
    def pumps_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Pumps that draw from each tank."""
        return _grouped((pump.inlet.tank, tag) for tag, pump in self.pumps.items() if pump.inlet is not None)

    @cached_property
    def logic_signals_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Signals that tell of each thing, of those that an interlock, its manual stop or reset, or a control reads."""
        return _grouped((signal.of, tag) for tag, signal in self.signals.items() if signal.of is not None and (
            self.interlocks_reset_at[tag] or self.interlocks_of_cause[tag] or self.controls_of_point[tag]))

    @cached_property
    def interlocks_reset_at(self) -> Mapping[str, tuple[Tag, ...]]:
        """Interlocks whose reset rests on each switch or signal."""
        return _grouped((cause, tag) for tag, lock in self.interlocks.items() if lock.reset is not None
                        for cause in lock.reset.when.tags())

    @cached_property
    def interlocks_of_cause(self) -> Mapping[str, tuple[Tag, ...]]:
        """Interlocks that rest on each switch or signal, its manual stop counted."""
        return _grouped(
            (cause, tag)
            for tag, lock in self.interlocks.items()
            for cause in dict.fromkeys([*lock.when.tags(), *([lock.manual_stop] if lock.manual_stop else [])])
        )

    @cached_property
    def interlocks_of_effect(self) -> Mapping[str, tuple[Tag, ...]]:
        """Interlocks that drive each pump, valve or piece of equipment; a group's interlocks count for its pumps."""
        return _grouped(
            (element, tag)
            for tag, lock in self.interlocks.items()
            for target in lock.then
            for element in (target, *self.members_of(target))
        )

    @cached_property
    def controls_of_tank(self) -> Mapping[str, tuple[Tag, ...]]:
        """Controls that hold each tank's level."""
        return _grouped((control.tank, tag) for tag, control in self.controls.items())

    @cached_property
    def controls_of_point(self) -> Mapping[str, tuple[Tag, ...]]:
        """Controls that each switch or signal starts or stops."""
        return _grouped(
            (point, tag)
            for tag, control in self.controls.items()
            if isinstance(control, interlock.StartStop)
            for point in dict.fromkeys((*control.starts, control.stops))
        )

    @cached_property
    def controls_of_element(self) -> Mapping[str, tuple[Tag, ...]]:
        """Controls that move each pump, valve or piece of equipment; a group's controls count for its pumps."""
        return _grouped(
            (element, tag)
            for tag, control in self.controls.items()
            for element in (control.moves, *self.members_of(control.moves))
        )

    @cached_property
    def alarms_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Alarms that each switch, signal, interlock or instrument raises."""
        return _grouped((alarm.from_, tag) for tag, alarm in self.alarms.items())

    @cached_property
    def tests_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Tests that cover each tag."""
        return _grouped((covered, tag) for tag, test in self.tests.items() for covered in test.covers)

    @cached_property
    def group_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Groups that each pump belongs to."""
        return _grouped((pump, tag) for tag, group in self.pump_groups.items() for pump in group.pumps)

    @cached_property
    def crossings(self) -> Mapping[str, crossing.Crossing]:
        """What crosses each link."""
        return {str(tag): crossing.crossing(self, tag) for tag in self.links}

    @cached_property
    def relays_of(self) -> Mapping[str, tuple[Tag, ...]]:
        """Relays that switch each pump, valve or machine."""
        return _grouped((driven, tag) for tag, relay in self.relays.items() for driven in relay.drives)

    @cached_property
    def tanks_of_interlock(self) -> Mapping[str, tuple[Tag, ...]]:
        """Tanks whose points each interlock rests on."""
        return _grouped(
            (tag, self.tank_of(cause))
            for tag, lock in self.interlocks.items()
            for cause in lock.when.tags()
            if cause in self.switches
        )

    @cached_property
    def interlocks_of_tank(self) -> Mapping[str, tuple[Tag, ...]]:
        """Interlocks that rest on a point of each tank."""
        return _grouped((tank, tag) for tag, tanks in self.tanks_of_interlock.items() for tank in tanks)

    def members_of(self, tag: str) -> tuple[Tag, ...]:
        """The pumps of a group; nothing for any other tag."""
        group = self.pump_groups.get(Tag(tag))
        return group.pumps if group else ()

    def feeds_of(self, supply: str | None) -> tuple[Tag, ...]:
        """A supply and what feeds it, as far as a loss comes through at once: a store on the way rides it out."""
        found: dict[Tag, None] = {}
        while supply is not None and supply in self.supplies and supply not in found:
            found[Tag(supply)] = None
            if self.supplies[Tag(supply)].lasts is not None:
                break
            supply = self.supplies[Tag(supply)].fed_from
        return tuple(found)

    def area_of(self, tag: str) -> Tag | None:
        """The area of anything tagged; none for what belongs to the whole plant."""
        owner = self.find(tag)
        area = getattr(owner, "area", None)
        if area is not None:
            return Tag(area)
        if tag in self.switches:
            return self.tanks[self.tank_of(tag)].area
        if tag in self.instruments:
            return self.tanks[self.instruments[Tag(tag)].tank].area
        if tag in self.pump_groups:
            return self.pumps[self.pump_groups[Tag(tag)].pumps[0]].area
        if tag in self.alarms:
            return self.area_of(self.alarms[Tag(tag)].from_)
        return None

    def default(self, tag: str, name: str) -> Any:
        """A shared fact (a key of `defaults`) for anything tagged: its tank's, else its area's, else the plant's.

        A block of several values is put together one by one: what the nearest leaves out, the next one gives.
        None where none of them states it. The value's place says through which block it came.
        """
        found: Any = None
        for block, via in self.shared_facts(tag):
            value = getattr(block, name)
            if value is None:
                continue
            found = value.reached(via) if found is None else found.completed(value.reached(via))
            if not isinstance(found, Definition):
                break
        return found

    def shared_facts(self, tag: str) -> Iterator[tuple[Defaults, str]]:
        """The blocks of shared facts that reach anything tagged, nearest first, each with its name in words."""
        tank_tag = self._tank_about(tag)
        if tank_tag is not None:
            yield self.tanks[tank_tag].defaults, f"tank {tank_tag} defaults"
        area_tag = tag if tag in self.areas else self.area_of(tag)
        if area_tag is not None:
            yield self.areas[Tag(area_tag)].defaults, f"area {area_tag} defaults"
        yield self.plant.defaults, "plant defaults"

    def _tank_about(self, tag: str) -> Tag | None:
        if tag in self.tanks:
            return Tag(tag)
        if tag in self.switches:
            return self.tank_of(tag)
        if tag in self.instruments:
            return self.instruments[Tag(tag)].tank
        if tag in self.controls:
            return self.controls[Tag(tag)].tank
        if tag in self.alarms:
            return self._tank_about(self.alarms[Tag(tag)].from_)
        return None

    @cached_property
    def noun_of(self) -> Mapping[str, str]:
        """The noun under which each tag is defined: "tanks", "switches"."""
        return {tag: noun for noun, tags in self.nouns() for tag in tags}

    def nouns(self) -> Iterator[tuple[str, Mapping[Tag, Any]]]:
        """Each noun whose members have tags, with its members."""
        for name in type(self).model_fields:
            members = getattr(self, name)
            if isinstance(members, dict):
                yield name, members

    def find(self, tag: str) -> Any:
        """The definition under a tag, whatever its noun; None where there is none."""
        noun = self.noun_of.get(tag)
        return None if noun is None else getattr(self, noun)[tag]


def _grouped(pairs: Any) -> Mapping[str, tuple[Tag, ...]]:
    groups: defaultdict[str, list[Tag]] = defaultdict(list)
    for key, value in pairs:
        if value not in groups[key]:
            groups[key].append(value)
    return _Groups({key: tuple(values) for key, values in groups.items()})


class _Groups(dict[str, tuple[Tag, ...]]):
    """Groups by key; a key without members has none."""

    def __missing__(self, key: str) -> tuple[Tag, ...]:
        return ()


