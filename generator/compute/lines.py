"""Cables as lines: the resistance of both cores, and the voltage that is left for what stands at their end.

A contact far from its panel takes the voltage of its coil through the cable twice; a transmitter has its barrier and the input
in the loop as well. Too little voltage is no broken wire: the relay hums and does not pull in, the signal sticks below full.
"""

from generator.compute import contact_loads
from generator.compute.book import Book, given
from generator.model.instrument import Wiring
from generator.model.load import Line, MaySwitch
from generator.model.plant import Definitions
from generator.model.quantity import Area, Size, Voltage
from generator.model.record import Input, Record
from generator.model.scalar import Tag

PER_METRE = {
    0.5: 39.0e-3, 0.75: 26.0e-3, 1.0: 19.5e-3, 1.5: 13.3e-3, 2.5: 7.98e-3, 4.0: 4.95e-3, 6.0: 3.30e-3, 10.0: 1.91e-3,
    16.0: 1.21e-3,
}
"""Largest resistance of one plain copper core at 20 degC by its cross-section in mm2. [ohm/m] Source: IEC 60228:2004, class 5,
the largest of its classes (found, in public tables)."""
GROWTH = 0.00393
"""Growth of the resistance of copper for one kelvin, referred to 20 degC. [1/K] Source: IEC 60228, 60287 (from memory)."""
WARM = 323.15
"""Temperature at which a cable in sun or on a full tray is reckoned with. [K] Common practice, no source."""
COLD = 293.15
"""Temperature to which the table refers. [K]"""
FULL_SIGNAL = 0.022
"""Largest current of a 4 to 20 mA loop, as it tells of a fault upwards. [A] NAMUR NE 43: at least 21 mA (from memory)."""
DIRECT = ("control voltage", "battery")
"""Supplies whose voltage is that of the loops that they feed."""
TABLE = "IEC 60228, largest resistance of class 5 (found, in public tables)"


def loop_resistance(length: float, cross_section: float, temperature: float = WARM) -> float:
    """Resistance of both copper cores of a cable.

    R = 2 L r_20 (1 + 0.00393 (T - 293.15 K))

    Args:
        length: Length of the cable, L. [m]
        cross_section: Cross-section of one core; one of the table. [m2]
        temperature: Temperature of the copper, T. [K]

    Returns:
        Resistance R. [ohm]

    Raises:
        ValueError: the length is negative, or the table has no such cross-section.

    Valid for direct current, and for alternating current with thin cores. Source: IEC 60228 for r_20 (found, in public tables).

    >>> round(loop_resistance(100, 1.5e-6, 293.15), 6), round(loop_resistance(100, 1.5e-6), 3)
    (2.66, 2.974)
    """
    per_metre = next((one for size, one in PER_METRE.items() if abs(size * 1e-6 - cross_section) < 1e-9), None)
    if length < 0 or per_metre is None:
        raise ValueError(length if length < 0 else cross_section)
    return 2 * length * per_metre * (1 + GROWTH * (temperature - COLD))


def results(plant: Definitions, book: Book) -> dict[str, Line]:
    """A line for every point that switches something, and for every transmitter, whose cable has a length or a cross-section."""
    made: dict[str, Line] = {}
    for tag, point in plant.switches.items():
        wires = plant.instruments[point.in_].wiring
        if point.contact is None or point.contact.drives is None or plant.instruments[point.in_].signal != "contact" \
                or not _is_recorded(wires):
            continue
        load = next(contact_loads.behind(plant, point.contact.drives), None)
        if load is not None and wires is not None:
            draws = max((one for one in (load.current, load.inrush) if one is not None), key=lambda one: one.si, default=None)
            current = given(draws, "I", f"largest current of the {load.words}") if draws is not None else None
            made[str(tag)] = _line(plant, book, str(tag), str(point.in_), wires, load.words, current, load.fields[1],
                                   load.least, load.least_field)
    for tag, body in plant.instruments.items():
        if body.signal == "4-20 mA" and body.wiring is not None and _is_recorded(body.wiring):
            current = Input("I", "largest current of the loop", FULL_SIGNAL, "current", "NAMUR NE 43 (from memory)")
            made[str(tag)] = _line(plant, book, str(tag), str(tag), body.wiring, f"transmitter {tag}", current, "",
                                   body.least_voltage, f"{tag}: least_voltage")
    return made


def _is_recorded(wires: Wiring | None) -> bool:
    return wires is not None and (wires.cross_section is not None or (
        wires.cable_length is not None and wires.loop_voltage is not None))


def _line(plant: Definitions, book: Book, tag: str, body: str, wires: Wiring, load: str, current: Input | None, draws: str,
          least: Voltage | None, least_field: str) -> Line:
    feed = _feed(plant, wires)
    missing = [field for field, value in (
        (f"{body}: wiring.cable_length", wires.cable_length), (f"{body}: wiring.cross_section", wires.cross_section),
        (f"{body}: wiring.loop_voltage", feed), (draws, current), (least_field, least)) if value is None]
    resistance = None
    if wires.cable_length is not None and wires.cross_section is not None:
        resistance = _resistance(book, tag, wires.cable_length, wires.cross_section)
        if resistance is None:
            return Line(tag, load, "cannot be assessed", f"no resistance is known of cores of {wires.cross_section.written}",
                        missing=(f"{body}: wiring.cross_section",))
    if missing or resistance is None or feed is None or current is None or least is None:
        return Line(tag, load, "cannot be assessed", "not recorded: " + ", ".join(missing), missing=tuple(missing),
                    resistance=resistance)
    beside = wires.series_resistance.si if wires.series_resistance is not None else 0.0
    left = feed.si - current.value * (resistance.value + beside)
    inputs = [given(feed, "U_0", "lowest voltage that feeds the loop"), current, resistance.as_input("R")]
    if wires.series_resistance is not None:
        inputs.append(given(wires.series_resistance, "R_s", "barrier, isolator and input"))
    equation = "U = U_0 - I (R + R_s)" if beside else "U = U_0 - I R"
    record = book.record(f"#{tag}/line/voltage", f"voltage left for the {load}", left, "voltage", equation, inputs,
                         validity="steady current; for a coil the larger of its two currents", reference="Ohm's law")
    said = f"{left:.1f} V left of {feed.written}, needed {least.written}"
    verdict: MaySwitch = "pass" if left >= least.si else "fail"
    return Line(tag, load, verdict, said, said if verdict == "fail" else "", (), resistance, record, least.written)


def _feed(plant: Definitions, wires: Wiring) -> Voltage | None:
    """The lowest voltage of the loop: as stated, else that of a supply that feeds loops directly."""
    supply = plant.supplies.get(Tag(str(wires.supply)))
    if wires.loop_voltage is not None or supply is None:
        return wires.loop_voltage
    return supply.voltage if supply.kind in DIRECT else None


def _resistance(book: Book, tag: str, length: Size, core: Area) -> Record | None:
    try:
        value = loop_resistance(length.si, core.si)
    except ValueError:
        return None
    return book.record(
        f"#{tag}/line/resistance", f"resistance of both cores of the cable of {tag}", value, "resistance",
        r"R = 2 L r_{20} (1 + 0.00393 (T - T_{20}))",
        (given(length, "L", "length of the cable"), given(core, "A", "cross-section of a core, by which r_20 is looked up"),
         Input("r_{20}", f"resistance of one metre of a core of {core.written}, in ohm", loop_resistance(0.5, core.si, COLD), "",
               TABLE),
         Input("T_{20}", "temperature of the table", COLD, "temperature", TABLE),
         Input("T", "temperature of a warm cable", WARM, "temperature", "common practice, no source")),
        validity="copper, direct current", reference=TABLE)
