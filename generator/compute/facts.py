"""What a caution can be decided by: a subject, and facts of it that are known, known not to apply, or not recorded."""

from collections.abc import Hashable, Iterable, Iterator, Mapping
from functools import cached_property
from typing import Literal

from msgspec import Struct, field

from generator.compute.duties import Duty, duties
from generator.compute.final_elements import elements
from generator.compute.survey import Survey
from generator.model.instrument import Instrument, Switch
from generator.model.interlock import Interlock, StartStop
from generator.model.plant import Definitions
from generator.model.results import ContactResult, SetpointResult, TankResult
from generator.model.scalar import Tag
from generator.model.tank import Liquid, Tank

Part = Literal["kind", "liquids", "places", "body", "panels", "driven", "functions", "itself"]
"""What a fact looks at of a subject; two subjects that share it share the fact."""
SubjectKind = Literal["switch", "tank", "interlock", "pump", "valve"]
SUBJECTS: Mapping[str, SubjectKind] = {
    "switches": "switch", "tanks": "tank", "interlocks": "interlock", "pumps": "pump", "valves": "valve",
}


class Fact(Struct, frozen=True):
    """Values of one fact of a subject, each with the recorded words that say so, and what is not recorded.

    Several values hold where several tanks, panels or machines stand behind the subject. A fact without values and
    without gaps does not apply.
    """

    values: Mapping[str, str] = field(default_factory=dict)
    missing: tuple[tuple[str, str], ...] = ()
    """Pairs of (what is not recorded, in words; the field)."""


NOTHING = Fact()


def joined(facts: Iterable[Fact]) -> Fact:
    """Facts of several tanks, panels or machines as one."""
    values: dict[str, str] = {}
    missing: dict[tuple[str, str], None] = {}
    for fact in facts:
        for value, because in fact.values.items():
            said = [one for one in (values.get(value, ""), because) if one]
            values[value] = "; ".join(dict.fromkeys(said))
        missing |= dict.fromkeys(fact.missing)
    return Fact(values, tuple(missing))


def yes_no(value: bool | None, because: str, words: str, where: str) -> Fact:
    """A fact that is yes, no or not recorded. `because` holds for yes; for no it is said to be recorded as no."""
    if value is None:
        return Fact(missing=((words, where),))
    return Fact({"yes": because} if value else {"no": f"not so: {because}"})


class Subject(Struct, frozen=True, dict=True):
    """One switch, tank, interlock, pump or valve, with everything that its facts are taken from."""

    plant: Definitions
    tanks: Mapping[str, TankResult]
    setpoints: Mapping[str, SetpointResult]
    contacts: Mapping[str, ContactResult]
    kind: SubjectKind
    tag: str
    survey: Survey
    look_alikes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """For each tag of its kind those side by side with it that are easily taken for it."""
    in_panels_of: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """For each tank pairs of tags in one panel that are easily taken for each other, in words."""

    @cached_property
    def switch(self) -> Switch | None:
        """The switch, where the subject is one."""
        return self.plant.switches[Tag(self.tag)] if self.kind == "switch" else None

    @cached_property
    def body_tag(self) -> Tag | None:
        """Tag of the instrument of the switch."""
        return self.switch.in_ if self.switch is not None else None

    @cached_property
    def body(self) -> Instrument | None:
        """The instrument of the switch."""
        return self.plant.instruments[self.body_tag] if self.body_tag is not None else None

    @cached_property
    def interlock(self) -> Interlock | None:
        """The interlock, where the subject is one."""
        return self.plant.interlocks[Tag(self.tag)] if self.kind == "interlock" else None

    @cached_property
    def interlocks(self) -> tuple[tuple[Tag, Interlock], ...]:
        """The interlock itself, or those that rest on the switch."""
        if self.kind == "interlock":
            return ((Tag(self.tag), self.plant.interlocks[Tag(self.tag)]),)
        if self.kind != "switch":
            return ()
        return tuple((tag, self.plant.interlocks[tag]) for tag in self.plant.interlocks_of_cause[self.tag])

    @cached_property
    def liquid_tanks(self) -> tuple[Tag, ...]:
        """Tanks whose liquid is behind the subject."""
        if self.kind == "tank":
            return (Tag(self.tag),)
        if self.kind == "switch":
            return (self.plant.tank_of(self.tag),)
        if self.kind == "pump":
            pump = self.plant.pumps[Tag(self.tag)]
            return (pump.inlet.tank,) if pump.inlet else self._ends_of_streams
        return self._ends_of_streams if self.kind == "valve" else ()

    @property
    def _ends_of_streams(self) -> tuple[Tag, ...]:
        """Tanks between which the subject moves or stops liquid."""
        ends = (end for stream in self.plant.streams_of[self.tag]
                for end in (self.plant.streams[stream].from_, self.plant.streams[stream].into))
        return tuple(dict.fromkeys(end for end in ends if end in self.plant.tanks))

    @cached_property
    def place_tanks(self) -> tuple[Tag, ...]:
        """Tanks whose surroundings are the subject's own: not those of a pump or valve that stands elsewhere."""
        if self.kind == "pump":
            inlet = self.plant.pumps[Tag(self.tag)].inlet
            return (inlet.tank,) if inlet is not None and inlet.kind in ("submersible", "bell") else ()
        return self.liquid_tanks if self.kind in ("switch", "tank") else ()

    def liquids(self) -> Iterator[tuple[Tag, Liquid]]:
        """Liquids behind the subject, each once."""
        for tag in dict.fromkeys(self.plant.tanks[tank].liquid for tank in self.liquid_tanks):
            yield tag, self.plant.liquids[tag]

    def places(self) -> Iterator[tuple[Tag, Tank]]:
        """Tanks at which the subject stands."""
        for tag in self.place_tanks:
            yield tag, self.plant.tanks[tag]

    @cached_property
    def duties(self) -> tuple[Duty, ...]:
        """Functions that rest on the switch."""
        return duties(self.plant, self.tag) if self.kind == "switch" else ()

    @cached_property
    def driven(self) -> tuple[tuple[Tag, str, str], ...]:
        """Pumps, valves and equipment behind the subject, with the state they are driven to and by what."""
        return tuple(self._driven())

    def _driven(self) -> Iterator[tuple[Tag, str, str]]:
        if self.kind in ("pump", "valve"):
            yield Tag(self.tag), "", self.tag
        for name, lock in self.interlocks:
            for element, state in elements(self.plant, lock):
                yield element, state, str(name)
        if self.kind == "switch":
            for name in self.plant.controls_of_point[self.tag]:
                control = self.plant.controls[name]
                assert isinstance(control, StartStop)
                for element in self.plant.members_of(control.moves) or (control.moves,):
                    if self.tag in control.starts:
                        yield element, "running", str(name)
                    if self.tag == control.stops:
                        yield element, "stopped", str(name)

    @cached_property
    def panels(self) -> tuple[Tag, ...]:
        """Panels that have to be opened to work on the subject."""
        if self.kind == "switch" and self.body is not None:
            return (self.body.wiring.panel,) if self.body.wiring is not None else ()
        machine = self.plant.pumps.get(Tag(self.tag)) or self.plant.valves.get(Tag(self.tag))
        return (machine.panel,) if machine is not None and machine.panel is not None else ()

    @cached_property
    def beside(self) -> tuple[tuple[str, ...], ...]:
        """What makes two subjects of a kind stand side by side: one area, and one tank with things of the same type.

        Nobody takes a rod for a float, or an upright tank for a basin; tanks stand side by side that have one kind of shape.
        """
        area = self.plant.area_of(self.tag) or ""
        if self.kind == "tank":
            return ((area, self.plant.tanks[Tag(self.tag)].shape.kind),)
        looks = str((self.body.kind or self.body.technology) if self.body is not None
                    else getattr(self.plant.find(self.tag), "kind", ""))
        return tuple((area, tank, looks) for tank in self.liquid_tanks)

    @cached_property
    def in_panels(self) -> tuple[tuple[str, ...], ...]:
        """What makes terminals of two subjects of a kind stand side by side: a panel, in the same area.

        A panel may serve several areas; whoever comes for a device of one does not take it for a device of another.
        """
        return tuple((self.plant.area_of(self.tag) or "", panel) for panel in self.panels)

    @cached_property
    def parts(self) -> Mapping[Part, Hashable]:
        """What stands behind the subject, for each part that a fact can look at."""
        wiring = self.body.wiring if self.body is not None else None
        itself = (self.kind, self.tag)
        is_function = bool(self.interlocks) or self.kind == "pump"
        return {
            "kind": self.kind,
            "liquids": tuple(dict.fromkeys(self.plant.tanks[tag].liquid for tag in self.liquid_tanks)),
            "places": (self.liquid_tanks, self.place_tanks),
            "body": self.body_tag,
            "panels": (self.panels, wiring.supply if wiring is not None else self.body_tag),
            "driven": (self.kind, self.driven),
            "functions": itself if is_function else self.kind,
            "itself": itself,
        }
