"""The subjects that rules look at: a point, a pair, a tank, an interlock ... each with what belongs to it."""


from msgspec import Struct

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


class Subject(Struct, frozen=True):
    """What is common to all: its name in a finding, the tags it concerns, its place, whom it protects.

    `owners` names the tag behind the first step of a needed path, for the list of what is missing.
    """

    name: str
    tags: tuple[str, ...]
    place: Place
    harm: Harm
    context: Context
    owners: dict[str, str]


class Whole(Subject, frozen=True):
    """The whole plant with its document."""

    document: document.Document


class OfTank(Subject, frozen=True):
    """A tank."""

    tag: str
    tank: Tank
    liquid: Liquid | None
    result: TankResult | None
    waves: object
    """Waves on it, inherited where it states none."""


class Point(Subject, frozen=True):
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


class Pair(Subject, frozen=True):
    """Two neighbouring points of one tank."""

    lower: Point
    upper: Point
    one_vote: bool
    """Whether they are members of one vote or stand in for each other in one cause."""


class Body(Subject, frozen=True):
    """An instrument with its tank and liquid."""

    tag: str
    instrument: Instrument
    tank: Tank
    liquid: Liquid | None
    points: tuple[Point, ...]


class TripTime(Subject, frozen=True):
    """One point of an interlock with its time budget."""

    budget: TripBudget
    setpoint: SetpointResult | None
    tank_result: TankResult | None


class OfInterlock(Subject, frozen=True):
    """An interlock."""

    tag: str
    interlock: Interlock


class Effect(Subject, frozen=True):
    """One final element that an interlock drives to a state."""

    interlock_tag: str
    interlock: Interlock
    element: str
    state: State
    valve: machine.Valve | None
    owner: object


class Cause(Subject, frozen=True):
    """A switch or a signal."""

    tag: str
    signal: Signal | None


class Element(Subject, frozen=True):
    """A pump, a valve or a piece of equipment."""

    tag: str
    noun: str
    element: machine.Pump | machine.Valve | machine.Equipment


class OfControl(Subject, frozen=True):
    """Ordinary running of one tank by one pump, group or valve."""

    tag: str
    control: StartStop | Modulating
    cycling: CyclingResult | None
    stop: SetpointResult | None


class OfAlarm(Subject, frozen=True):
    """An alarm with the point that raises it."""

    tag: str
    alarm: Alarm
    switch: Switch | None
    tank_tag: str | None
    time: AlarmTime | None
    operator_time: object
    """What the person needs, inherited where the alarm states none."""


class OfPump(Subject, frozen=True):
    """A pump, with a control's stop point where a control runs it."""

    tag: str
    pump: machine.Pump
    result: PumpResult | None
    stop_tag: str
    stop: SetpointResult | None
    tank_result: TankResult | None


class Group(Subject, frozen=True):
    """Pumps that share a task."""

    tag: str
    group: machine.PumpGroup
    pumps: tuple[machine.Pump, ...]


class OfRelay(Subject, frozen=True):
    """A relay or contactor."""

    tag: str
    relay: machine.Relay


class OfSupply(Subject, frozen=True):
    """A supply with the machines that restart on it by themselves."""

    tag: str
    supply: document.Supply


class OfLink(Subject, frozen=True):
    """A link between panels, with what crosses it."""

    tag: str
    link: DataLink
    crossing: Crossing


class OfHazard(Subject, frozen=True):
    """A hazard."""

    tag: str
    hazard: document.Hazard


class OfTest(Subject, frozen=True):
    """A proof test."""

    tag: str
    test: document.Test
    interval: object
    """Time between two tests, inherited where it states none."""


class Tagged(Subject, frozen=True):
    """Anything that carries a tag."""

    tag: str
    noun: str


class Sentence(Subject, frozen=True):
    """One piece of free text."""

    text: str


class OfReference(Subject, frozen=True):
    """A drawing, datasheet, study or standard."""

    tag: str
    reference: document.Reference


class OfHold(Subject, frozen=True):
    """Something not settled."""

    tag: str
    hold: document.Hold


class Adopted(Subject, frozen=True):
    """A published rule that the plant adopts."""

    rule: str
    adoption: document.RuleInForce


class OfWaiver(Subject, frozen=True):
    """A waiver, with its number in the order written, counted from one."""

    number: int
    waiver: document.Waiver


class OfLiquid(Subject, frozen=True):
    """A liquid."""

    tag: str
    liquid: Liquid
