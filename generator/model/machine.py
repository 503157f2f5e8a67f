"""Machines that move or stop the liquid: pumps, pump groups, valves, and other equipment that a level acts on."""

from typing import Annotated, Literal

from msgspec import Struct

from generator.model.definition import Definition
from generator.model.quantity import Current, Duration, Flow, Length, Power, Rate, Size, Voltage
from generator.model.scalar import Count, Number, Prose, Tag, Text, To, YesNo

InletKind = Literal["bell", "bottom nozzle", "side nozzle", "submersible"]
OUTSIDE = "outside"
"""Stands for everything beyond the plant's own tanks."""


class Inlet(Struct, frozen=True):
    """Where a pump takes liquid of a tank of the plant."""

    tank: Tag
    kind: InletKind
    height: Length
    diameter: Size | None
    motor_covered_to: Length | None
    draws_air_below: Text | None


class Suction(Definition):
    """Where a pump takes its liquid."""

    tank: Annotated[Tag, To("tanks", also=(OUTSIDE,))]
    """The tank it draws from; `outside` for a road tanker, another site or a river."""
    kind: InletKind | None = None
    """Kind of inlet; left out only where it draws from outside."""
    height: Length | None = None
    """Height of the inlet plane (bell mouth, nozzle crown) above the tank's datum; left out only where it draws from outside."""
    diameter: Size | None = None
    """Outside diameter of the bell, or inside diameter of the nozzle."""
    motor_covered_to: Length | None = None
    """For a submersible that the liquid cools: the height that must stay covered."""
    draws_air_below: Text | None = None
    """A level of the tank, such as a mark, below which it is known to draw air: its lowest level is no lower than that."""


class Motor(Definition):
    """The motor of a pump or other machine."""

    power: Power
    """Shaft power."""
    voltage: Voltage | None = None
    """Rated voltage."""
    phases: Literal["1", "3"] | None = None
    """Number of phases."""
    full_load_current: Current | None = None
    """Full-load current, from the nameplate."""
    efficiency: Number | None = None
    """Efficiency at full load, as a share of one: 0.88."""
    power_factor: Number | None = None
    """Power factor at full load, as a share of one."""
    start_current: Current | None = None
    """Current that it draws while it starts, with its starter as fitted."""
    starts: Rate | None = None
    """Most starts in an hour."""
    least_off_time: Duration | None = None
    """Least time between a stop and the next start."""


class Load(Definition):
    """What something draws from the contact that switches it: a solenoid, a lamp, an input of the logic."""

    voltage: Voltage | None = None
    """Voltage."""
    current: Current | None = None
    """Current while it is on."""
    inrush: Current | None = None
    """Current at the moment it is switched on, where it is larger."""
    least_voltage: Voltage | None = None
    """Least voltage with which it works for certain."""
    kind: Literal["ac", "dc"] | None = None
    """Kind of current."""
    suppressed: YesNo | None = None
    """Whether a coil has its suppression."""


class Starter(Definition):
    """The contactor that switches a motor, in the pump's own panel, with the coil by which it is worked."""

    coil: Load | None = None
    """What its coil draws: that, and not the motor, is what a contact or relay switches that acts on it."""
    category: Literal["AC-3"] | None = None
    """Utilisation category of its main contacts."""
    rated_current: Current | None = None
    """Motor current that they may switch in that category."""


class Restart(Definition):
    """What the machine does when power returns."""

    by_itself: YesNo
    """Whether it starts without anybody at the button."""
    after: Duration | None = None
    """How long after power returns, at the earliest. A pump of a group with a `stagger` also waits for its turn."""


class Feedback(Definition):
    """How the plant knows that the machine did what it was told."""

    by: Text
    """The signal: run contact, limit switch, flow."""
    within: Duration | None = None
    """Time after which a difference is alarmed."""


class Pump(Definition):
    """A pump."""

    area: Annotated[Tag, To("areas")]
    """The area it belongs to."""
    service: Prose
    """What it is for."""
    flow: Flow
    """Flow it delivers at its duty point."""
    suction: Suction
    """Where it takes its liquid."""
    motor: Motor | None = None
    """Its motor."""
    starter: Starter | None = None
    """What switches the motor. Contacts and relays that drive the pump then switch its coil."""
    panel: Annotated[Tag, To("panels")] | None = None
    """Panel or motor control centre."""
    supply: Annotated[Tag, To("supplies")] | None = None
    """What powers it."""
    restart: Restart | None = None
    """What it does when power returns."""
    feedback: Feedback | None = None
    """How the plant knows that it runs or stands."""
    stop_time: Duration | None = None
    """From stop command to no flow."""
    start_time: Duration | None = None
    """From start command to full flow, where a point or a protective function starts it."""
    npsh_required: Length | None = None
    """Net positive suction head it requires at its duty point."""
    npsh_margin: Length | None = None
    """Margin over that head."""
    suction_loss: Length | None = None
    """Head lost between tank and pump at its duty point."""
    check_valve: YesNo | None = None
    """Whether a check valve stops the liquid from running back."""
    heavy: YesNo | None = None
    """Whether it needs lifting gear."""
    drawings: tuple[Annotated[Tag, To("references")], ...] = ()
    """Drawings."""
    formerly: tuple[Tag, ...] = ()
    """Old tags."""
    note: Prose | None = None
    """Anything the reader should know."""

    @property
    def inlet(self) -> Inlet | None:
        """Its inlet in a tank of the plant; None where it draws from outside."""
        one = self.suction
        if one.tank == OUTSIDE or one.kind is None or one.height is None:
            return None
        return Inlet(one.tank, one.kind, one.height, one.diameter, one.motor_covered_to, one.draws_air_below)


class PumpGroup(Definition):
    """Pumps that share a task."""

    name: Prose
    """Name in words."""
    pumps: tuple[Annotated[Tag, To("pumps")], ...]
    """The pumps, duty first."""
    arrangement: Literal["duty/standby", "duty/assist", "duty/assist/standby", "duty/duty"]
    """How they share it."""
    alternation: YesNo = False
    """Whether the duty changes from start to start by itself."""
    stagger: Duration | None = None
    """Least time between two starts after power returns, in the order of the group. The first pump that starts by itself
    waits for its own `after`; each next one for its own too, and for the stagger after the one before it."""


class Valve(Definition):
    """A valve."""

    area: Annotated[Tag, To("areas")]
    """The area it belongs to."""
    service: Prose
    """What it is for."""
    kind: Literal["on-off", "control", "hand", "check", "self-acting"]
    """What moves it."""
    actuator: Literal["spring and air", "double acting air", "motor", "solenoid", "float", "hand"] | None = None
    """What drives it."""
    fails: Literal["open", "closed", "in place"] | None = None
    """Where it goes when its drive is lost."""
    backup: Prose | None = None
    """For a valve that stays where it is: what does its work then."""
    closing_time: Duration | None = None
    """Full stroke, opening to shut."""
    opening_time: Duration | None = None
    """Full stroke, shut to open."""
    panel: Annotated[Tag, To("panels")] | None = None
    """Panel it is driven from."""
    supply: Annotated[Tag, To("supplies")] | None = None
    """Air or electricity that drives it."""
    load: Load | None = None
    """What its solenoid or actuator draws."""
    feedback: Feedback | None = None
    """How the plant knows where it stands."""
    drawings: tuple[Annotated[Tag, To("references")], ...] = ()
    """Drawings."""
    formerly: tuple[Tag, ...] = ()
    """Old tags."""
    note: Prose | None = None
    """Anything the reader should know."""


class Equipment(Definition):
    """Anything else a level acts on: a heater, an agitator, a blower, a horn, a beacon, a burner."""

    area: Annotated[Tag, To("areas")]
    """The area it belongs to."""
    service: Prose
    """What it is for."""
    kind: Literal["heater", "agitator", "blower", "burner", "horn", "beacon", "call-out", "fan"]
    """What it is."""
    panel: Annotated[Tag, To("panels")] | None = None
    """Panel it is driven from."""
    supply: Annotated[Tag, To("supplies")] | None = None
    """What powers it."""
    load: Load | None = None
    """What it draws, where a contact or relay switches it directly."""
    restart: Restart | None = None
    """What it does when power returns."""
    feedback: Feedback | None = None
    """How the plant knows what it does."""
    formerly: tuple[Tag, ...] = ()
    """Old tags."""


class Relay(Definition):
    """A relay or contactor between a contact and what it drives."""

    panel: Annotated[Tag, To("panels")]
    """Where it sits."""
    kind: Literal["interposing relay", "contactor", "electrode relay", "safety relay"]
    """What it is."""
    coil_voltage: Voltage | None = None
    """Coil voltage."""
    coil_current: Current | None = None
    """Current that the coil draws."""
    coil_inrush: Current | None = None
    """Current that the coil draws as it pulls in, where it is larger."""
    coil_least_voltage: Voltage | None = None
    """Least voltage with which the coil pulls in for certain."""
    coil_type: Literal["ac", "dc"] | None = None
    """Kind of current."""
    suppressed: YesNo | None = None
    """Whether the coil has its suppression."""
    category: Literal["AC-12", "AC-13", "AC-14", "AC-15", "DC-12", "DC-13", "AC-3"] | None = None
    """Utilisation category of its own contacts."""
    rated_current: Current | None = None
    """What its own contacts may switch in that category."""
    rated_voltage: Voltage | None = None
    """Voltage at which they may."""
    contacts: Count | None = None
    """Number of its own contacts."""
    supply: Annotated[Tag, To("supplies")] | None = None
    """What powers it."""
    drives: tuple[Annotated[Tag, To("pumps", "valves", "equipment", "relays")], ...] = ()
    """What it switches."""
    resistance: Text | None = None
    """For an electrode relay: the resistance it is set to."""
