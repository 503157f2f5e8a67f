"""Tanks, what is in them and what flows through them."""

from typing import Annotated, Literal

from pydantic import Field

from generator.model.defaults import Defaults, Waves
from generator.model.definition import Definition
from generator.model.quantity import (
    AbsolutePressure,
    Conductivity,
    Density,
    Flow,
    GaugePressure,
    Length,
    Size,
    Temperature,
    Viscosity,
    Volume,
)
from generator.model.scalar import Number, OneOrSeveral, Prose, Tag, Text, To, YesNo
from generator.model.shape import Shape


class Datum(Definition):
    """Where the tank's heights are counted from."""

    at: Prose = Prose("inside bottom")
    """The point on the tank that is height zero."""
    elevation: Length
    """Elevation of that point on the plant datum."""
    inside_bottom: Length | None = None
    """Height of the lowest inside point above the datum, where the datum is not the inside bottom; often negative."""


class Levels(Definition):
    """Heights that the vessel or the process fixes, above the tank's datum."""

    overflow: Length | None = None
    """Invert of the overflow."""
    rim: Length | None = None
    """Top of the wall or roof seam, as surveyed."""
    lowest_opening: Length | None = None
    """Lowest other opening from which liquid can leave: a vent, a manhole, a cable duct."""
    normal_low: Length | None = None
    """Foot of the normal band."""
    normal_high: Length | None = None
    """Top of the normal band."""
    inlet: Length | None = None
    """Invert of a gravity inlet that must not be surcharged."""


class Mark(Definition):
    """Something fixed in the tank that levels are judged by: a heater, an agitator, a draw-off."""

    height: Length
    """Height above the tank's datum."""
    what: Prose
    """What it is, in words."""


class Displacement(Definition):
    """Something in the tank that takes up room: a coil, a pump, a column, a baffle."""

    volume: Volume
    """Room that it takes up, spread evenly over its height."""
    lowest: Length
    """Height of its underside above the tank's datum."""
    highest: Length
    """Height of its top above the tank's datum."""
    what: Prose
    """What it is, in words."""


class Nozzle(Definition):
    """An opening in the tank."""

    height: Length | None = None
    """Height of its centre above the tank's datum; of its face for a roof nozzle."""
    on: Literal["wall", "roof", "floor"] = "wall"
    """Where it sits."""
    size: Text | None = None
    """Nominal size, as on the drawing."""
    carries: Prose | None = None
    """What it carries, where no instrument or stream says so."""
    isolated_by: Text | None = None
    """What shuts it off so that a device can be taken out under liquid; `none` where nothing does."""


class Overflow(Definition):
    """Where the overflow leads and what it carries."""

    to: Prose
    """Where the liquid goes."""
    carries: Flow | None = None
    """Largest flow it passes."""
    head_at_full_inflow: Size | None = None
    """Height of liquid over the invert when the whole inflow leaves by the overflow."""
    weir_width: Size | None = None
    """Width of a straight overflow edge, for its head and capacity."""
    pipe_diameter: Size | None = None
    """Inside diameter of an upright overflow pipe with an open rim, for its head and capacity."""
    safe: YesNo | None = None
    """Whether that place is declared safe to receive it."""


class Surroundings(Definition):
    """The place of a tank or device, as far as it matters to people and to devices."""

    zone: Literal["none", "0", "1", "2", "20", "21", "22"] | None = None
    """Hazardous-area zone."""
    confined_space: YesNo | None = None
    """Whether entry is entry to a confined space."""
    open_water: YesNo | None = None
    """Whether a person can fall into liquid here."""
    wet_well: YesNo | None = None
    """Whether it is a wet well or sewage pit."""
    below_ground: YesNo | None = None
    """Whether it is a pit, a vault or a dry well."""
    outdoors: YesNo | None = None
    """Whether weather reaches it."""
    height_over_ground: Size | None = None
    """Height of the working place over the ground."""
    gas_blanket: YesNo | None = None
    """Whether an inert gas fills the space over the liquid."""
    lone_work: YesNo | None = None
    """Whether people come here alone."""
    lit: YesNo | None = None
    """Whether the working place is lit in the dark."""
    radiation_source: YesNo | None = None
    """Whether a gauge with a radiation source sits on the tank."""
    freezes: YesNo | None = None
    """Whether ice can form in the tank, on devices or in their lines; taken as no indoors."""
    access: Prose | None = None
    """How one gets there."""


class DensitySpan(Definition):
    """Lowest and highest density."""

    lowest: Density
    """Lowest."""
    highest: Density
    """Highest."""


class TemperatureSpan(Definition):
    """Lowest and highest temperature."""

    lowest: Temperature
    """Lowest."""
    highest: Temperature
    """Highest."""


class ConductivitySpan(Definition):
    """Lowest and highest conductivity."""

    lowest: Conductivity
    """Lowest."""
    highest: Conductivity
    """Highest."""
    at: Temperature | None = None
    """Temperature at which both were measured, or to which the meter refers them; left out, they hold for the liquid's own
    temperatures, the lowest at the coldest."""
    per_kelvin: Number | None = None
    """Growth for one kelvin referred to 25 degC, as in 0.02; used with `at`, and 0.02 is assumed where left out."""


Chemistry = Literal[
    "pure water", "clean water", "salt water", "sewage", "hydrocarbon", "solvent", "caustic", "mineral acid",
    "organic acid", "hypochlorite", "peroxide", "food", "other",
]
Solid = Literal["none", "fine", "rags", "settling", "crystallising"]
CleaningAgent = Literal[
    "none", "water", "hot water", "steam", "caustic", "mineral acid", "organic acid", "hypochlorite", "peroxide",
    "solvent",
]


class Liquid(Definition):
    """What is in the tank. What is left out cannot be assessed."""

    name: Prose
    """Name in words."""
    density: DensitySpan | None = None
    """Lowest and highest density."""
    temperature: TemperatureSpan | None = None
    """Lowest and highest temperature in the tank, once what flows in has mixed."""
    conductivity: ConductivitySpan | None = None
    """Lowest and highest conductivity; the lowest is that of the coldest, purest case, or of the purest where `at` is given."""
    expansion: Number | None = None
    """Growth of its volume for one kelvin, as in 0.00083; water is looked up where `chemistry` says that it is water."""
    viscosity: Viscosity | None = None
    """Highest dynamic viscosity."""
    vapour_pressure: AbsolutePressure | None = None
    """Vapour pressure at the highest temperature."""
    like_water: YesNo | None = None
    """Whether vapour pressure and density may be taken as those of water; so for pure and clean water where left out. A vapour
    pressure that is given counts; of a density that is given and that of water at its temperature, a pump's suction head
    takes the one that leaves less."""
    dielectric_constant: Number | None = None
    """Relative dielectric constant."""
    hazards: tuple[Literal["flammable", "hot", "toxic", "caustic", "acid", "oxidiser", "biological", "flashing",
                           "static accumulator", "harmful to water", "none"], ...] | None = None
    """What it can do to people and water; `[none]` where it was looked at and nothing was found."""
    sewage: YesNo | None = None
    """Whether it is sewage or carries it."""
    coating: YesNo | None = None
    """Whether it leaves a coating or scale."""
    conductive_coating: YesNo | None = None
    """Whether that coating conducts; nobody asks where there is none."""
    foam: YesNo | None = None
    """Whether it foams."""
    second_liquid: Literal["none", "apart", "emulsion"] | None = None
    """Whether another liquid is in it: none, one that stands apart over or under it, or one that mixes with it to an emulsion;
    none for pure, clean and salt water where left out."""
    condenses: YesNo | None = None
    """Whether its vapour condenses on what is colder over it; yes for hot and flashing ones, no up to 40 degC where left out."""
    solids: Annotated[tuple[Solid, ...], OneOrSeveral()] | None = None
    """Solids it carries, several as a list: fine ones, rags and fibres, what settles, what crystallises or sets."""
    magnetic_particles: YesNo | None = None
    """Whether it carries iron or rust that a magnet collects."""
    chemistry: Chemistry | None = None
    """What it is to materials, and which figures are usual for it."""
    duty: Literal["clean", "sewage", "food", "fuel", "chemical"] | None = None
    """What the plant does with it; food asks for devices that can be cleaned in place."""
    resisted_by: tuple[Text, ...] = ()
    """Materials that are known to withstand it at its strength and temperature."""
    attacks: tuple[Text, ...] = ()
    """Materials that it is known to attack."""


class Tank(Definition):
    """A tank, basin, sump or wet well."""

    area: Annotated[Tag, To("areas")]
    """The area it belongs to."""
    service: Prose
    """What it is for."""
    liquid: Annotated[Tag, To("liquids")]
    """What is in it."""
    datum: Datum
    """Where its heights are counted from."""
    shape: Shape
    """Its inside shape."""
    duty: Literal["filled", "emptied", "both", "gravity", "modulating"] | None = None
    """How its level is run: filled and stopped, emptied and stopped, both, by gravity, or held by a loop."""
    levels: Levels = Levels()
    """Heights that vessel and process fix."""
    marks: dict[Tag, Mark] = {}
    """Other heights with a name: heater, agitator, draw-off."""
    nozzles: dict[Tag, Nozzle] = {}
    """Its nozzles."""
    overflow: Overflow | None = None
    """Where the overflow leads."""
    waves: Waves | None = None
    """Waves on the liquid; inherited where left out."""
    design_pressure: GaugePressure | None = None
    """Highest pressure over the liquid."""
    lowest_pressure: AbsolutePressure | None = None
    """Lowest absolute pressure over the liquid, where it can be under that of the air: steamed out, drained shut."""
    surroundings: Surroundings = Surroundings()
    """Its place."""
    displaces: dict[Tag, Displacement] = {}
    """What stands inside and takes up room; it is taken off the volumes."""
    wall_expansion: Number | None = None
    """Growth of the wall's length for one kelvin, as in 0.000012 for steel; nothing where left out."""
    internals: Prose | None = None
    """What stands inside: ladders, coils, baffles, agitators."""
    heated: YesNo | None = None
    """Whether heating or tracing is on it."""
    agitated: YesNo | None = None
    """Whether something stirs it."""
    wall_conducts: YesNo | None = None
    """Whether its wall is bare metal in touch with the liquid; no for plastic, lined or coated walls."""
    cleaned_with: tuple[CleaningAgent, ...] | None = None
    """What it is cleaned with; `[none]` where nothing but its own liquid ever enters."""
    cleaning_resisted_by: tuple[Text, ...] = ()
    """Materials that are known to withstand what it is cleaned with, at its strength and temperature."""
    cleaning_temperature: Temperature | None = None
    """Highest temperature while it is cleaned or steamed."""
    shared_with: tuple[Annotated[Tag, To("tanks")], ...] = ()
    """Tanks that share its overflow or vent."""
    categories: dict[Tag, Text] = {}
    """Categories under published rules, by the rule's name. The response time of `overfill-response-category-2` counts for a
    tank whose category is `category 2`, and so for 1 and 3; the other rules know no categories."""
    drawings: tuple[Annotated[Tag, To("references")], ...] = ()
    """Drawings it stands on."""
    defaults: Defaults = Defaults()
    """Shared facts for everything on this tank."""
    formerly: tuple[Tag, ...] = ()
    """Old tags."""
    note: Prose | None = None
    """Anything the reader should know."""


class StreamFlow(Definition):
    """Flows of a stream."""

    lowest: Flow | None = None
    """Lowest flow while it runs."""
    normal: Flow | None = None
    """Ordinary flow."""
    highest: Flow
    """Highest flow, as the worst case takes it."""


class Gravity(Definition):
    """The opening through which gravity moves a stream: the flow grows with the level over it. Its largest flow is counted with
    the tank full to the lowest height at which liquid leaves: the overflow, else another opening, the rim or its top."""

    opening: Size
    """Inside diameter of the narrowest place."""
    outlet: Length
    """Height above the tank's datum at which it runs out freely, or of the level against which it runs."""
    coefficient: Number = 0.62
    """Share of the frictionless flow that passes; 0.62 for a sharp opening, less with a line behind it."""


class Stream(Definition):
    """Liquid that moves, written once: from where, into where, how fast."""

    name: Prose
    """Name in words."""
    from_: Annotated[Tag, To("tanks", also=("outside",))] = Field(alias="from")
    """The tank it leaves, or `outside`."""
    into: Annotated[Tag, To("tanks", also=("outside",))]
    """The tank it enters, or `outside`."""
    flow: StreamFlow
    """Its flows."""
    temperature: TemperatureSpan | None = None
    """Lowest and highest temperature with which it arrives; left out, that of the liquid in the tank it leaves, and from outside
    that of the liquid in the tank it enters."""
    through: tuple[Annotated[Tag, To("valves")], ...] = ()
    """Valves in its way, in the order of flow."""
    moved_by: Annotated[Tag, To("pumps", "pump_groups")] | None = None
    """The pump or group that moves it; left out where gravity or another site does."""
    used_by: tuple[Annotated[Tag, To("equipment")], ...] = ()
    """Machines that use it up, such as burners: courses of events let it cease once all of them are off."""
    gravity: Gravity | None = None
    """For a stream that gravity moves: what its highest flow can be checked with."""
    by_overflow: YesNo = False
    """Whether it is an overflow path; it then runs only when the tank it leaves overflows. Name it in a case to count it as an
    inflow of the tank it enters."""
    drains_after_stop: Volume | None = None
    """What still runs out of the line after its valve has shut or its pump has stopped."""
    nozzle: Text | None = None
    """The nozzle by which it enters or leaves: of the tank it enters, else of the tank it leaves."""
    because: Prose | None = None
    """Where the flows come from."""


class OperatingCase(Definition):
    """Streams that run together."""

    name: Prose
    """Name in words."""
    streams: tuple[Annotated[Tag, To("streams")], ...]
    """The streams that run."""
    normal: YesNo = False
    """Whether this is the ordinary way of running."""
    because: Prose | None = None
    """Why this case exists."""


class NeverTogether(Definition):
    """Streams that cannot run at the same time."""

    streams: tuple[Annotated[Tag, To("streams")], ...] = Field(min_length=2)
    """The streams."""
    because: Prose
    """What prevents it."""


