"""The subjects that rules look at: a point, a pair, a tank, an interlock ... each with what belongs to it."""

from dataclasses import dataclass

from generator.check.context import Context, Harm
from generator.model import document, machine
from generator.model.crossing import Crossing
from generator.model.instrument import Instrument, Switch
from generator.model.interlock import Alarm, Interlock, Modulating, Signal, StartStop, State
from generator.model.link import DataLink
from generator.model.place import Place
from generator.model.results import (
    AlarmTime,
    ContactResult,
    CyclingResult,
    PumpResult,
    SetpointResult,
    TankResult,
    TripBudget,
)
from generator.model.tank import Liquid, Tank


@dataclass(frozen=True, slots=True)
class Subject:
    """What is common to all: its name in a finding, the tags it concerns, its place, whom it protects.

    `owners` names the tag behind the first step of a needed path, for the list of what is missing.
    """

    name: str
    tags: tuple[str, ...]
    place: Place
    harm: Harm
    context: Context
    owners: dict[str, str]


@dataclass(frozen=True, slots=True)
class Whole(Subject):
    """The whole plant with its document."""

    document: document.Document


@dataclass(frozen=True, slots=True)
class OfTank(Subject):
    """A tank."""

    tag: str
    tank: Tank
    liquid: Liquid | None
    result: TankResult | None
    waves: object
    """Waves on it, inherited where it states none."""


@dataclass(frozen=True, slots=True)
class Point(Subject):
    """A level point with its body and its tank."""

    tag: str
    switch: Switch
    instrument: Instrument
    tank_tag: str
    tank: Tank
    setpoint: SetpointResult | None
    contact: ContactResult | None
    tank_result: TankResult | None
    waves: object


@dataclass(frozen=True, slots=True)
class Pair(Subject):
    """Two neighbouring points of one tank."""

    lower: Point
    upper: Point
    one_vote: bool
    """Whether they are members of one vote or stand in for each other in one cause."""


@dataclass(frozen=True, slots=True)
class Body(Subject):
    """An instrument with its tank and liquid."""

    tag: str
    instrument: Instrument
    tank: Tank
    liquid: Liquid | None
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class TripTime(Subject):
    """One point of an interlock with its time budget."""

    budget: TripBudget
    setpoint: SetpointResult | None
    tank_result: TankResult | None


@dataclass(frozen=True, slots=True)
class OfInterlock(Subject):
    """An interlock."""

    tag: str
    interlock: Interlock


@dataclass(frozen=True, slots=True)
class Effect(Subject):
    """One final element that an interlock drives to a state."""

    interlock_tag: str
    interlock: Interlock
    element: str
    state: State
    valve: machine.Valve | None
    owner: object


@dataclass(frozen=True, slots=True)
class Cause(Subject):
    """A switch or a signal."""

    tag: str
    signal: Signal | None


@dataclass(frozen=True, slots=True)
class Element(Subject):
    """A pump, a valve or a piece of equipment."""

    tag: str
    noun: str
    element: machine.Pump | machine.Valve | machine.Equipment


@dataclass(frozen=True, slots=True)
class OfControl(Subject):
    """Ordinary running of one tank by one pump, group or valve."""

    tag: str
    control: StartStop | Modulating
    cycling: CyclingResult | None
    stop: SetpointResult | None


@dataclass(frozen=True, slots=True)
class OfAlarm(Subject):
    """An alarm with the point that raises it."""

    tag: str
    alarm: Alarm
    switch: Switch | None
    tank_tag: str | None
    time: AlarmTime | None
    operator_time: object
    """What the person needs, inherited where the alarm states none."""


@dataclass(frozen=True, slots=True)
class OfPump(Subject):
    """A pump, with a control's stop point where a control runs it."""

    tag: str
    pump: machine.Pump
    result: PumpResult | None
    stop_tag: str
    stop: SetpointResult | None
    tank_result: TankResult | None


@dataclass(frozen=True, slots=True)
class Group(Subject):
    """Pumps that share a task."""

    tag: str
    group: machine.PumpGroup
    pumps: tuple[machine.Pump, ...]


@dataclass(frozen=True, slots=True)
class OfRelay(Subject):
    """A relay or contactor."""

    tag: str
    relay: machine.Relay


@dataclass(frozen=True, slots=True)
class OfSupply(Subject):
    """A supply with the machines that restart on it by themselves."""

    tag: str
    supply: document.Supply


@dataclass(frozen=True, slots=True)
class OfLink(Subject):
    """A link between panels, with what crosses it."""

    tag: str
    link: DataLink
    crossing: Crossing


@dataclass(frozen=True, slots=True)
class OfHazard(Subject):
    """A hazard."""

    tag: str
    hazard: document.Hazard


@dataclass(frozen=True, slots=True)
class OfTest(Subject):
    """A proof test."""

    tag: str
    test: document.Test
    interval: object
    """Time between two tests, inherited where it states none."""


@dataclass(frozen=True, slots=True)
class Tagged(Subject):
    """Anything that carries a tag."""

    tag: str
    noun: str


@dataclass(frozen=True, slots=True)
class Sentence(Subject):
    """One piece of free text."""

    text: str


@dataclass(frozen=True, slots=True)
class OfReference(Subject):
    """A drawing, datasheet, study or standard."""

    tag: str
    reference: document.Reference


@dataclass(frozen=True, slots=True)
class OfHold(Subject):
    """Something not settled."""

    tag: str
    hold: document.Hold


@dataclass(frozen=True, slots=True)
class Adopted(Subject):
    """A published rule that the plant adopts."""

    rule: str
    adoption: document.RuleInForce


@dataclass(frozen=True, slots=True)
class OfWaiver(Subject):
    """A waiver, with its number in the order written, counted from one."""

    number: int
    waiver: document.Waiver


@dataclass(frozen=True, slots=True)
class OfLiquid(Subject):
    """A liquid."""

    tag: str
    liquid: Liquid
