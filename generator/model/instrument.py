"""Instruments (one body in one nozzle, one failure) and the switches that are points on them."""

from typing import Annotated, Literal

from pydantic import Field

from generator.model.defaults import Error
from generator.model.definition import Definition
from generator.model.need import Height
from generator.model.quantity import (
    AbsolutePressure,
    Angle,
    Area,
    Conductivity,
    Current,
    Density,
    Duration,
    GaugePressure,
    Length,
    Mass,
    Resistance,
    Size,
    Temperature,
    Viscosity,
    Voltage,
    Volume,
)
from generator.model.scalar import Count, Day, Number, Prose, Tag, Text, To, YesNo

Technology = Literal[
    "cable float", "tilt float", "conductive rods", "side lever float", "top lever float", "guide tube float",
    "vibrating fork", "capacitance", "displacer", "ultrasonic gap", "free space radar", "guided radar", "hydrostatic",
    "differential pressure", "bubbler", "optical", "thermal dispersion", "site gauge", "other",
]


class Wiring(Definition):
    """Where the device is wired to."""

    panel: Annotated[Tag, To("panels")]
    """The panel it ends in."""
    terminals: Text | None = None
    """Terminals there."""
    supply: Annotated[Tag, To("supplies")] | None = None
    """What powers the loop."""
    supervised: YesNo | None = None
    """Whether a broken or shorted wire is detected."""
    cable: Text | None = None
    """Cable number."""
    cable_length: Size | None = None
    """Length of that cable as it is laid, for the order and for what it takes of the voltage."""
    cross_section: Area | None = None
    """Cross-section of one of its copper cores, as in 1.5 mm2."""
    loop_voltage: Voltage | None = None
    """Lowest voltage that feeds the loop at the panel; that of its supply where left out and that is a control voltage."""
    series_resistance: Resistance | None = None
    """What else lies in the loop besides cable and device: a barrier, an isolator, the input."""
    card: Text | None = None
    """Input card or barrier, where layers may share one."""


class Reach(Definition):
    """Heights at which the body can be made to act, above the tank's datum."""

    lowest: Length
    """Lowest."""
    highest: Length
    """Highest."""


class MeasuringRange(Definition):
    """What a transmitter's signal means."""

    lower: Length
    """Level at 4 mA, above the tank's datum."""
    upper: Length
    """Level at 20 mA, above the tank's datum; it must be more than `lower`."""


class Taps(Definition):
    """How a pressure transmitter is connected, from which its pressures follow."""

    at: Length | None = None
    """Height of the lower tap above the tank's datum; that of the nozzle where left out."""
    transmitter: Length | None = None
    """Height of the transmitter; that of the lower tap where left out. Below the tap its line holds the tank's liquid, and the
    error of the density counts from the transmitter. Above the tap its line stands full of liquid that keeps the density the
    device is set for, and the error counts from the tap; a bubbler's line holds gas."""
    leg: Literal["open", "dry", "filled"] = "open"
    """The other side: open to the air, a dry line to the space over the liquid, or a line kept full."""
    leg_top: Length | None = None
    """Height to which a filled leg stands."""
    leg_density: Density | None = None
    """Density of what fills the leg."""


class Ratings(Definition):
    """What the device withstands and needs, from its maker's papers."""

    temperature_highest: Temperature | None = None
    """Highest liquid temperature, of the part that withstands least: body, float, seal or cable."""
    temperature_lowest: Temperature | None = None
    """Lowest liquid temperature, of the part that withstands least."""
    pressure_highest: GaugePressure | None = None
    """Highest pressure."""
    density_lowest: Density | None = None
    """Lowest liquid density at which it acts."""
    conductivity_lowest: Conductivity | None = None
    """Lowest liquid conductivity at which it acts."""
    dielectric_lowest: Number | None = None
    """Lowest dielectric constant at which it acts."""
    viscosity_highest: Viscosity | None = None
    """Highest viscosity at which it acts."""
    vacuum: AbsolutePressure | None = None
    """Lowest absolute pressure."""
    zone: Literal["none", "0", "1", "2", "20", "21", "22"] | None = None
    """The most severe zone its marking allows."""
    marking: Text | None = None
    """Its marking for hazardous areas."""
    ingress: Text | None = None
    """Its ingress protection."""
    immersion_depth: Size | None = None
    """Deepest liquid over the body that its seals and cable entry withstand without end."""
    hygienic: YesNo | None = None
    """Whether it is made to be cleaned in place: smooth, drained, with approved materials."""


class Geometry(Definition):
    """Lengths and angles that decide where the device acts."""

    arm: Size | None = None
    """Length of a lever arm, pivot to float."""
    arm_outer: Size | None = None
    """Outer part of a bent arm, from the bend to the float; `arm` is then the part from the pivot to the bend."""
    bend: Angle | None = None
    """Angle by which the outer part of a bent arm is turned down from the inner part."""
    dirt_guard: Literal["boot", "bellows", "shield", "none"] | None = None
    """What keeps dirt and iron from the pivot of a lever float; `none` where nothing does."""
    hung_by: Literal["clamp", "weight", "bracket", "guide"] | None = None
    """What holds a float on a cable: a clamp on its own cable, a weight below it, a bracket or rail, or a guide."""
    weight_below: Size | None = None
    """Distance from the lowest fixing of a hung float down to its counterweight."""
    tether: Size | None = None
    """Free cable between its fixing and a tilting float."""
    angle_up: Angle | None = None
    """Angle over the horizontal at which it acts rising."""
    angle_down: Angle | None = None
    """Angle under the horizontal at which it returns."""
    float_shape: Literal["upright cylinder", "sphere", "other"] | None = None
    """Shape of the float, from which its depth in the liquid follows."""
    float_diameter: Size | None = None
    """Diameter of the float."""
    float_height: Size | None = None
    """Height of the float."""
    float_mass: Mass | None = None
    """Mass of the float."""
    float_volume: Volume | None = None
    """Volume of the float."""
    lift_mass: Mass | None = None
    """Mass that the liquid must carry before a displacer moves its contact."""
    magnet_height: Size | None = None
    """Height over the float's underside at which it works a contact on its guide."""
    tube_length: Size | None = None
    """Length of a guide tube from the mounting face."""
    rods: Count | None = None
    """Number of rods in the head, the reference electrode counted."""
    reference_below: Size | None = None
    """How far the reference electrode reaches below the lowest of the other rods."""
    rod_diameter: Size | None = None
    """Diameter of a rod."""
    rod_spacing: Size | None = None
    """Distance between the axes of two neighbouring rods."""
    spacer_every: Size | None = None
    """Longest stretch of rod, tube or cable without a spacer or a guide."""
    above_face: Size | None = None
    """Length of rod, cable or tube that the head takes up over the mounting face."""
    clearance: Size | None = None
    """Free distance all round its axis, to the nearest wall, ladder, pump, cable or float."""
    least_spacing: Size | None = None
    """Least distance between two points of the body."""
    dead_band: Size | None = None
    """Distance from the mounting face in which the device sees nothing."""
    antenna: Literal["plain", "sheds drops", "purged"] | None = None
    """Of a radar over the liquid: whether its antenna sheds drops by its shape or coat, is purged, or neither."""


class Instrument(Definition):
    """A device: one body in one nozzle, and so one failure."""

    tank: Annotated[Tag, To("tanks")]
    """The tank it sits on."""
    technology: Technology
    """How it senses. What each technology must be given stands on its page under Technologies."""
    kind: Annotated[Tag, To("technologies")] | None = None
    """The plant's own entry under `technologies` that it follows."""
    nozzle: Text | None = None
    """The nozzle it sits in, by its name on the tank; left out where it hangs free."""
    mounting_face: Length | None = None
    """Height above the tank's datum of the face that its rods, cable or tube hang from and are measured from.

    The `height` of its nozzle where left out: state it where a neck, a flange or an adapter lifts the device over that.
    """
    reach: Reach | None = None
    """Heights at which it can be made to act. A point on it with an issued height cannot be judged without (rule 1.13, an
    error), unless the reach follows from its geometry or range."""
    range: MeasuringRange | None = None
    """For a transmitter: what its signal means."""
    taps: Taps | None = None
    """For a hydrostatic or differential-pressure transmitter: how it is connected."""
    geometry: Geometry = Geometry()
    """What decides where it acts."""
    ratings: Ratings = Ratings()
    """What it withstands and needs."""
    wetted: tuple[Text, ...] = ()
    """Wetted materials."""
    powered: YesNo | None = None
    """Whether it needs a supply to sense."""
    signal: Literal["contact", "4-20 mA", "two-wire sensor"] = "contact"
    """What it gives."""
    wiring: Wiring | None = None
    """Where it is wired to."""
    accuracy: Error | None = None
    """Error of its points; each of its two values is inherited where left out."""
    differential: Size | None = None
    """Distance between acting and returning, for all its points."""
    differential_by: Literal["make", "setting"] | None = None
    """Whether that distance is fixed by its make or set at the device, and so can be set wrongly."""
    least_voltage: Voltage | None = None
    """For a transmitter: least voltage at its terminals with which it works."""
    response_time: Duration | None = None
    """From liquid at the point to contact moved, damping counted."""
    calibration_density: Density | None = None
    """For a hydrostatic device: the density it is set for."""
    chamber: YesNo = False
    """Whether it sits in a chamber or side volume rather than in the tank."""
    stilling_well: Text | None = None
    """The stilling well, bridle or guide rod that it hangs on, where others may share it."""
    in_inlet_stream: YesNo | None = None
    """Whether an inlet pours on it or past it."""
    traced: YesNo | None = None
    """Whether it and its lines are kept from freezing: traced, insulated, or wholly under liquid that does not freeze."""
    orientation: Prose | None = None
    """Which way a mark, an arm or a cable entry must face."""
    test_means: Literal["lever", "magnet", "lift", "fill", "plug", "none"] | None = None
    """How its points are tried without moving the tank's level."""
    purpose: Prose | None = None
    """What it is for, where the points do not say it."""
    known_defect: Prose | None = None
    """A defect that stands; the device then counts as failed."""
    drawings: tuple[Annotated[Tag, To("references")], ...] = ()
    """Drawings and datasheets."""
    formerly: tuple[Tag, ...] = ()
    """Old tags."""


class Contact(Definition):
    """The contact of a point: what it does when liquid reaches the point, dry and without power."""

    at_the_point: Literal["opens", "closes"]
    """What it does when the point acts."""
    on_the_shelf: Literal["open", "closed"] | None = None
    """Its state dry and without power."""
    keeps_state: YesNo = False
    """Whether it holds its last state until the float passes back."""
    category: Literal["AC-12", "AC-13", "AC-14", "AC-15", "DC-12", "DC-13", "AC-3"] | None = None
    """Utilisation category of its rating."""
    voltage: Voltage | None = None
    """Rated voltage."""
    current: Current | None = None
    """Rated current in that category."""
    smallest_current: Current | None = None
    """Least current that keeps it clean."""
    drives: Annotated[Tag, To("relays", "pumps", "valves", "panels", "equipment")] | None = None
    """What it switches directly."""


class Verified(Definition):
    """Who saw the point as built."""

    by: Text
    """A role."""
    on: Day
    """The day."""


class Switch(Definition):
    """A level point: a contact on a body, or a set point on a transmitter."""

    service: Prose | None = None
    """What it is for, in words."""
    in_: Annotated[Tag, To("instruments")] = Field(alias="in")
    """The instrument it is a point of."""
    acts: Literal["rising", "falling"]
    """In which direction of the level it acts."""
    role: Literal["control", "alarm", "trip", "permissive", "spill detection"]
    """What its action is for."""
    contact: Contact | None = None
    """Its contact; left out for a set point on a transmitter."""
    height: Height
    """Where it acts."""
    differential: Size | None = None
    """Distance between acting and returning, where it is not the body's."""
    accuracy: Error | None = None
    """Error, where it is not the body's."""
    on_delay: Duration | None = None
    """Time the level must have stayed past the point before it counts."""
    rod: Text | None = None
    """Which rod, float or contact of the body."""
    below_face: Size | None = None
    """Distance from the mounting face down to its rod tip, cable fixing or contact, as ordered or cut."""
    purpose: Prose | None = None
    """Why it stands where one would not expect it."""
    without_alarm: Prose | None = None
    """For a trip without an alarm before it: why there is none."""
    verified: Verified | None = None
    """As-built confirmation."""
    drawings: tuple[Annotated[Tag, To("references")], ...] = ()
    """Drawings it stands on."""
    formerly: tuple[Tag, ...] = ()
    """Old tags."""
    note: Prose | None = None
    """Anything the reader should know."""
