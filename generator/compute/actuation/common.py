"""What the rules of all families share: the body behind a point, its liquid, and how records of it are written."""

from collections.abc import Iterable, Mapping

from msgspec import Struct

from generator.compute.book import Book, given
from generator.compute.buoyancy import cylinder_immersion, sphere_immersion
from generator.compute.floats import sinks
from generator.model.definition import Definition
from generator.model.instrument import Instrument, Switch
from generator.model.plant import Definitions
from generator.model.quantity import Quantity
from generator.model.record import Absence, Input, Outcome, Record
from generator.model.results import SetpointResult
from generator.model.scalar import Tag
from generator.model.tank import Liquid, Nozzle, Tank


class Device(Struct, frozen=True):
    """One point with its body, tank, liquid and the height that stands."""

    plant: Definitions
    tag: str
    setpoint: SetpointResult
    book: Book

    @property
    def switch(self) -> Switch:
        """The point."""
        return self.plant.switches[Tag(self.tag)]

    @property
    def body_tag(self) -> str:
        """Tag of its body."""
        return str(self.switch.in_)

    @property
    def body(self) -> Instrument:
        """Its body."""
        return self.plant.instruments[self.switch.in_]

    @property
    def tank(self) -> Tank:
        """The tank."""
        return self.plant.tanks[self.body.tank]

    @property
    def liquid(self) -> Liquid:
        """What is in the tank."""
        return self.plant.liquids[self.tank.liquid]

    @property
    def nozzle(self) -> Nozzle | None:
        """The nozzle of the body."""
        return self.tank.nozzles.get(Tag(self.body.nozzle)) if self.body.nozzle else None

    @property
    def is_side(self) -> bool:
        """Whether it sits in the wall or the floor."""
        return self.nozzle is not None and self.nozzle.on != "roof"

    def key(self, part: str) -> str:
        """Key of a record of this point."""
        return f"#{self.tag}/actuation/{part}"

    def standing(self) -> Input | Absence:
        """The height that stands, as an input."""
        if self.setpoint.issued is not None and self.switch.height.issued is not None:
            return given(self.switch.height.issued, "h", f"issued height of {self.tag}")
        if isinstance(self.setpoint.proposed, Record):
            return self.setpoint.proposed.as_input("h")
        return self.setpoint.proposed

    def geometry(self, *names: str) -> tuple[str, ...]:
        """Which fields of the body's geometry are not given, as paths."""
        return tuple(f"instruments/{self.body_tag}/geometry/{name}" for name in names
                     if getattr(self.body.geometry, name) is None)

    def input(self, name: str, symbol: str, words: str) -> Input:
        """A given field of the body's geometry as an input."""
        return given(getattr(self.body.geometry, name), symbol, words)

    def absent(self, part: str, name: str, why: str, missing: Iterable[str]) -> Absence:
        """Enter what cannot be worked out."""
        return self.book.absence(self.key(part), f"{name} of {self.tag}", why, missing)

    def face(self) -> Input | None:
        """Height of the mounting face; None for a body in the wall, or where neither face nor roof nozzle gives it."""
        return mounting_face(self.plant, self.body_tag)


def mounting_face(plant: Definitions, body_tag: str) -> Input | None:
    """Height of the face from which lengths are measured down; None where nothing gives it or the body is in a wall."""
    body = plant.instruments[Tag(body_tag)]
    nozzle = plant.tanks[body.tank].nozzles.get(Tag(body.nozzle)) if body.nozzle else None
    if nozzle is not None and nozzle.on != "roof":
        return None
    if body.mounting_face is not None:
        return given(body.mounting_face, "h_f", "mounting face")
    if nozzle is not None and nozzle.height is not None:
        return given(nozzle.height, "h_f", "face of the roof nozzle")
    return None


class Depth(Struct, frozen=True):
    """How deep a float sits, at a density: the record's parts."""

    value: float
    equation: str
    inputs: tuple[Input, ...]


def density(device: Device, which: str) -> Input | None:
    """Lowest, highest or middle density of the liquid."""
    span = device.liquid.density
    if span is None:
        return None
    if which == "middle":
        return Input(r"\rho", "middle of the liquid's density span", (span.lowest.si + span.highest.si) / 2, "density",
                     span.place)
    return given(getattr(span, which), r"\rho", f"{which} density")


def immersion(device: Device, which: str, mass_field: str = "float_mass", bound: bool = False
              ) -> Depth | tuple[str, ...]:
    """Depth of the float's underside below the surface; the missing fields where it cannot be told.

    Volume and height of an upright cylinder, where both are given, count a bore or rounded ends in. `bound` takes any
    float for an upright cylinder of its diameter. Whether it floats at all is asked before: see floats.py.
    """
    shape = device.body.geometry
    missing = list(device.geometry(mass_field, "float_diameter"))
    if mass_field == "float_mass" and shape.float_shape is None and not bound:
        missing += device.geometry("float_shape")
    rho = density(device, which)
    if rho is None:
        missing.append(f"liquids/{device.tank.liquid}/density")
    if missing or rho is None:
        return tuple(missing)
    mass = device.input(mass_field, "m", "mass that the liquid carries")
    diameter = device.input("float_diameter", "D", "diameter of the float")
    if rho.value <= 0 or diameter.value <= 0:
        return (f"instruments/{device.body_tag}/geometry/float_diameter",)
    if shape.float_shape == "sphere":
        return Depth(sphere_immersion(mass.value, rho.value, diameter.value),
                     r"\frac{\pi d^2 \left( 3 R - d \right)}{3} = \frac{m}{\rho}, \quad R = \frac{D}{2}",
                     (mass, diameter, rho))
    if not bound and mass_field == "float_mass" and shape.float_volume and shape.float_height:
        volume = device.input("float_volume", "V", "volume of the float")
        height = device.input("float_height", "H", "height of the float")
        share = min(1.0, mass.value / (rho.value * volume.value)) if volume.value > 0 else 1.0
        return Depth(height.value * share, r"d = \frac{m H}{\rho V}", (mass, volume, height, rho))
    depth = cylinder_immersion(mass.value, rho.value, diameter.value)
    if shape.float_height is not None:
        depth = min(depth, shape.float_height.si)
    return Depth(depth, r"d = \frac{4 m}{\pi \rho D^2}", (mass, diameter, rho))


def immersion_record(device: Device, mass_field: str = "float_mass") -> Outcome:
    """Depth of the float at the middle of the liquid's density span, in the book; an absence where it sinks."""
    if why := sinks(device.body.geometry, mass_field, device.liquid):
        return device.absent("immersion", "Immersion of the float", why, ())
    depth = immersion(device, "middle", mass_field)
    if not isinstance(depth, Depth):
        return device.absent("immersion", "Immersion of the float", "float or liquid is not known well enough", depth)
    return device.book.record(device.key("immersion"), f"Immersion of the float of {device.tag}", depth.value, "length",
                              depth.equation, depth.inputs, validity="floats upright, no lift from the arm or cable",
                              reference="Archimedes' principle")


def shift_record(device: Device, mass_field: str = "float_mass", note: str = "", bound: bool = False) -> Outcome:
    """How much lower a point acts in the densest liquid than in the lightest, in the book."""
    if why := sinks(device.body.geometry, mass_field, device.liquid):
        return device.absent("shift", "Shift by density", why, ())
    light, heavy = (immersion(device, which, mass_field, bound) for which in ("lowest", "highest"))
    if not isinstance(light, Depth) or not isinstance(heavy, Depth):
        missing = light if not isinstance(light, Depth) else heavy if not isinstance(heavy, Depth) else ()
        return device.absent("shift", "Shift by density", "float or liquid is not known well enough", missing)
    inputs = [Input("d_1", "immersion in the lightest liquid", light.value, "length", "as for the immersion"),
              Input("d_2", "immersion in the densest liquid", heavy.value, "length", "as for the immersion"),
              *light.inputs[:-1], given_as(light.inputs[-1], r"\rho_1"), given_as(heavy.inputs[-1], r"\rho_2")]
    return device.book.record(device.key("shift"), f"Shift of {device.tag} over the span of density",
                              light.value - heavy.value, "length", "s = d_1 - d_2", inputs,
                              reference="Archimedes' principle", note=note)


def given_as(one: Input, symbol: str) -> Input:
    """The same input under another symbol."""
    return Input(symbol, one.name, one.value, one.dimension, one.source)


def moved(device: Device, part: str, name: str, start: Outcome | Input | Absence, terms: Mapping[str, Input],
          symbol: str, *, validity: str = "", reference: str = "") -> Outcome:
    """A height made of another by adding or taking away terms; keys of `terms` open with + or - and are unique."""
    full = f"{name} of {device.tag}"
    if isinstance(start, Absence):
        return device.book.absence(device.key(part), full, start.why, start.missing)
    first = start.as_input(symbol) if isinstance(start, Record) else given_as(start, symbol)
    value, equation = first.value, first.symbol
    for sign, term in terms.items():
        value += term.value if sign[0] == "+" else -term.value
        equation += f" {sign[0]} {term.symbol}"
    return device.book.record(device.key(part), full, value, "length", f"h = {equation}", [first, *terms.values()],
                              validity=validity, reference=reference)


def stated(owner: Definition, name: str, symbol: str, words: str) -> Input | None:
    """A quantity of a block as an input; None where it is not given."""
    value = getattr(owner, name)
    return given(value, symbol, words) if isinstance(value, Quantity) else None
