"""What the computing room hands on: per tank, setpoint, pump, interlock and alarm. All values SI."""

from collections.abc import Mapping
from typing import Literal

from msgspec import Struct, field

from generator.model.caution import Caution
from generator.model.course import Courses, Explorers
from generator.model.crossing import Crossing
from generator.model.dependencies import Dependencies
from generator.model.device import Actuation, Fit, Fitting, Suitability
from generator.model.failure import BypassCase, FailureEffect, Layer
from generator.model.load import Line, Loads
from generator.model.margin import (
    Concern,
    Headroom,
    LevelBudget,
    RateCase,
    Room,
    Spill,
    SpilledTime,
    TransmitterResult,
)
from generator.model.place import Place
from generator.model.proof import Proof
from generator.model.pumping import CyclingResult as CyclingResult
from generator.model.pumping import GroupResult as GroupResult
from generator.model.pumping import MotorSwitching as MotorSwitching
from generator.model.pumping import PumpResult as PumpResult
from generator.model.pumping import PumpStarts as PumpStarts
from generator.model.pumping import Restarts as Restarts
from generator.model.pumping import RestartStep as RestartStep
from generator.model.pumping import StartLimit as StartLimit
from generator.model.record import Outcome
from generator.model.vessel import Band as Band
from generator.model.vessel import Level as Level
from generator.model.vessel import LevelKind as LevelKind
from generator.model.vessel import Vessel as Vessel


class Interval(Struct, frozen=True):
    """Time between two neighbouring levels: from the latest action of the first to the first possible of the second.

    `spilled` are those of a rising level while another tank overflows into this one, which the worst rate does not count.
    """

    lower: str
    upper: str
    rising: Outcome
    falling: Outcome
    rising_normal: Outcome
    falling_normal: Outcome
    spilled: tuple[SpilledTime, ...] = ()


class TankResult(Struct, frozen=True):
    """What is worked out for one tank.

    `filling` and `emptying` are worst-case net rates (positive), `*_normal` those of ordinary running.
    `filling_case` and `emptying_case` say in words which streams make the worst case.
    `levels` stand highest first. `volume_table` has rows (height, volume, area).
    """

    tag: str
    vessel: Vessel | None
    capacity: Outcome
    working_volume: Outcome
    dead_volume: Outcome
    filling: Outcome
    emptying: Outcome
    filling_normal: Outcome
    emptying_normal: Outcome
    filling_case: str
    emptying_case: str
    levels: tuple[Level, ...]
    intervals: tuple[Interval, ...]
    volume_table: tuple[tuple[float, float, float], ...]
    ceiling: Outcome
    """Lowest height at which liquid leaves: overflow, rim, any opening."""
    cases: tuple[RateCase, ...] = ()
    """Worst and ordinary case, rising and falling."""
    overflow_head: Outcome | None = None
    """Height of liquid over the overflow while the largest inflow leaves by it; None without an overflow. [m]"""
    overflow_capacity: Outcome | None = None
    """What the overflow passes before liquid leaves elsewhere; None without an overflow. [m3/s]"""
    overflow_head_by_size: Outcome | None = None
    """That head as the size of the overflow gives it; None where no size is given. [m]"""
    concerns: tuple[Concern, ...] = ()
    """Levels of concern after the published rules in force, highest first."""
    spills: tuple[Spill, ...] = ()
    """Overflows of other tanks into this one that fill it faster than its worst rate does."""


Sense = Literal["at most", "at least", "exactly"]


class NeedResult(Struct, frozen=True):
    """One need of a setpoint: the height it asks for and the slack of the height that stands.

    `slack` is positive where the need is met with that much to spare, negative where it falls short. [m]
    `is_beyond` where no height inside the tank keeps it; the slack is then that of a tank that goes on.
    """

    words: str
    sense: Sense
    limit: Outcome
    slack: float | None
    place: Place
    tightest: bool
    is_beyond: bool = False


class SetpointResult(Struct, frozen=True):
    """Required, reachable, issued and achieved height of one point, all above the tank's datum. [m]

    `stands` is the height used everywhere: issued, or where there is none, proposed from the needs (rounded).
    `act` is where it can act, `reset` where it lets go again; both follow from `stands`.
    `percent_of_range` and `current` are None where no transmitter carries the point.
    Percents are shares of one (0.62 for 62 %): of the height from inside bottom to top, of the capacity, of the range.
    """

    tag: str
    tank: str
    acts: Literal["rising", "falling"]
    required: Outcome
    proposed: Outcome
    issued: float | None
    stands: float | None
    is_proposed: bool
    reachable: Band | None
    as_left: float | None
    error_own: Outcome
    error_common: Outcome
    wave: float
    differential: Outcome
    act: Band | None
    reset: Band | None
    needs: tuple[NeedResult, ...]
    elevation: Outcome
    volume: Outcome
    percent_of_height: Outcome
    percent_of_volume: Outcome
    percent_of_range: Outcome | None
    current: Outcome | None
    conflict: str = ""
    """Why no height keeps all needs, where one of them fixes it and breaks a limit of another."""
    overshoot: Outcome | None = None
    """How far the level goes past the latest edge until the point has acted, at the worst rate; None where neither response
    nor delay is recorded, or it is not settled where it acts."""
    overshoot_within_body: Outcome | None = None
    """The same without the response, which all points of one body share."""

    @property
    def clear_at(self) -> float | None:
        """Height from which the point is certainly clear on the way back: it has let go whatever its error, and no wave
        reaches it any more. [m]"""
        if self.reset is None:
            return None
        if self.acts == "rising":
            return self.reset.low if self.act is None else min(self.reset.low, self.act.low)
        return self.reset.high if self.act is None else max(self.reset.high, self.act.high)


class Step(Struct, frozen=True):
    """One step of a time budget: sensor, delay, scan, relay, stroke, drain-down. `height` is the travel meanwhile."""

    name: str
    time: Outcome
    height: float | None


class TripBudget(Struct, frozen=True):
    """Time that a trip needs against the time that the process gives, for one tank and one of its points."""

    interlock: str
    point: str
    tank: str
    steps: tuple[Step, ...]
    needed: Outcome
    available: Outcome
    overrun: Outcome
    """Height by which the level runs on after the latest action. [m]"""
    limit: str
    """Name of the level that must not be reached."""
    spilled: tuple[SpilledTime, ...] = ()
    """The available time while another tank overflows into this one."""
    idle_while: tuple[str, ...] = ()
    """Tanks whose overflow into this one the trip does not stop: while they overflow it does not hold the level."""


class AlarmTime(Struct, frozen=True):
    """Minutes that an alarm leaves: from its latest sounding to the earliest trip, and to the consequence."""

    alarm: str
    tank: str
    to_trip: Outcome | None
    trip: str
    to_limit: Outcome
    limit: str
    needed: Outcome
    """What the operator needs: notice + diagnose + go + act + effect."""
    spilled: tuple[SpilledTime, ...] = ()
    """Time to the trip and to the limit while another tank overflows into this one."""


class ContactResult(Struct, frozen=True):
    """A contact in sentences, and whether it fails to the safe side.

    States are "closed" or "open"; empty where the definitions do not decide it. For a set point on a transmitter
    they are "signal in its band" and "signal out of its band".
    """

    tag: str
    running: str
    acted: str
    wire_broken: str
    supply_lost: str
    sentences: tuple[tuple[str, str, str], ...]
    """Rows of (situation, state of the contact, what follows)."""
    is_fail_safe: bool | None
    why: str
    wire_shorted: str = ""
    """What a short between the two cores looks like."""
    currents: tuple[tuple[str, Outcome], ...] = ()
    """For a two-wire sensor: what each current means, and its limit. [A]"""
    shelf: str = ""
    """For a device that needs no power: the state on the shelf that its direction and its contact give."""
    contradiction: str = ""
    """Why the state recorded for the shelf cannot be true; empty where it can."""


class Results(Struct, frozen=True):
    """Everything worked out for one plant."""

    tanks: Mapping[str, TankResult]
    setpoints: Mapping[str, SetpointResult]
    pumps: Mapping[str, PumpResult]
    cycling: Mapping[str, CyclingResult]
    trips: Mapping[str, tuple[TripBudget, ...]]
    alarms: Mapping[str, AlarmTime]
    contacts: Mapping[str, ContactResult]
    cautions: Mapping[str, tuple[Caution, ...]]
    """Per tag of a switch, tank, interlock, pump or valve; strongest first within each job."""
    records: Mapping[str, Outcome]
    circles: tuple[tuple[str, ...], ...]
    """Points whose heights wait for each other, each circle once."""
    groups: Mapping[str, GroupResult] = field(default_factory=dict)
    """Per pump group that empties a tank."""
    restarts: Mapping[str, Restarts] = field(default_factory=dict)
    """Per supply on which motors hang."""
    courses: Courses = field(default_factory=dict)
    """Level against time, per tank."""
    acting_times: Mapping[str, float] = field(default_factory=dict)
    """Per interlock, the time from its cause to its order at the devices, as the courses count it. [s]"""
    explorers: Explorers = field(default_factory=Explorers)
    """Every state of the logic, per tank."""
    actuations: Mapping[str, Actuation] = field(default_factory=dict)
    """Where each point acts by its device's geometry; none for set points on transmitters."""
    fittings: Mapping[str, Fitting] = field(default_factory=dict)
    """What the fitter needs, per instrument."""
    suitability: Mapping[str, Suitability] = field(default_factory=dict)
    """How each instrument suits its liquid, place and duty."""
    suited: Mapping[str, Mapping[str, tuple[Fit, str]]] = field(default_factory=dict)
    """For each technology and each liquid of the plant: what speaks for or against it, and why."""
    level_budgets: Mapping[str, LevelBudget] = field(default_factory=dict)
    """Per switch."""
    headrooms: Mapping[str, tuple[Headroom, ...]] = field(default_factory=dict)
    """Per switch."""
    crossings: Mapping[str, Crossing] = field(default_factory=dict)
    """What crosses each link."""
    rooms: Mapping[str, tuple[Room, ...]] = field(default_factory=dict)
    """Per tank."""
    transmitters: Mapping[str, TransmitterResult] = field(default_factory=dict)
    """Per instrument that sends 4 to 20 mA over a range."""
    gravity_flows: Mapping[str, Outcome] = field(default_factory=dict)
    """Per stream that states how gravity moves it: its largest flow, the tank full to its ceiling. [m3/s]"""
    dependencies: Dependencies = field(default_factory=Dependencies)
    """What depends on what."""
    proofs: Mapping[str, tuple[Proof, ...]] = field(default_factory=dict)
    """What was proved of each interlock, each driven device and each hazard."""
    layers: Mapping[str, tuple[Layer, ...]] = field(default_factory=dict)
    """Layers against each hazard: control, alarms, permissives, trips."""
    failures: Mapping[str, tuple[FailureEffect, ...]] = field(default_factory=dict)
    """Per device, what each of its failures does."""
    loads: Loads = field(default_factory=lambda: Loads({}, {}, {}))
    """What each contact switches, and whether it may."""
    lines: Mapping[str, Line] = field(default_factory=dict)
    """Per point that switches something, and per transmitter, of which a cable is recorded: the voltage at its end."""
    test_limits: Mapping[str, Mapping[tuple[str, str], Outcome]] = field(default_factory=dict)
    """What each proof test may take, for each (interlock or point, element or alarm) that must be seen. [s]"""
    values: Mapping[str, Outcome] = field(default_factory=dict)
    """Values that free text may refer to, by their names: "LSHH-210 height", "T-210 volume to overflow"."""
    bypasses: tuple[BypassCase, ...] = ()
    """Each bypass by itself, then each pair that stands against one hazard."""
