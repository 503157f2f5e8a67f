"""Transmitters of 4 to 20 mA: what each current means, the pressures behind the range, the error of the density."""

from collections.abc import Iterator

from generator.compute import signals
from generator.compute.book import Book, given
from generator.compute.overflows import gravity_input
from generator.model.instrument import Instrument
from generator.model.margin import SignalRow, TransmitterResult
from generator.model.plant import Definitions
from generator.model.quantity import Length
from generator.model.record import Absence, Input, Outcome
from generator.model.scalar import Tag

PRESSURES = ("hydrostatic", "differential pressure", "bubbler")
"""Technologies that measure the weight of the liquid over them."""
LIMITS = (
    ("failure, upscale", 0.021), ("highest that is still a measurement", 0.0205), ("top of the range", 0.020),
    ("bottom of the range", 0.004), ("lowest that is still a measurement", 0.0038), ("failure, downscale", 0.0036),
)
"""Currents that part the bands of the signal, with the live zero. [A]"""


def results(plant: Definitions, book: Book) -> dict[str, TransmitterResult]:
    """Every instrument that sends 4 to 20 mA over a range."""
    return {
        str(tag): _result(plant, str(tag), body, book) for tag, body in plant.instruments.items()
        if body.signal == "4-20 mA" and body.range is not None and body.range.lower.si != body.range.upper.si
    }


def _result(plant: Definitions, tag: str, body: Instrument, book: Book) -> TransmitterResult:
    rows = tuple(_rows(body))
    if body.technology not in PRESSURES:
        return TransmitterResult(tag, rows, signals.NE43)
    low, high = _range_values(plant, tag, body, book)
    light, heavy = (_reading(plant, tag, body, end, book) for end in ("lowest", "highest"))
    begins = foot(plant, body)
    return TransmitterResult(tag, rows, signals.NE43, low, high, light, heavy, _hung(plant, tag, body, book),
                             begins.si if begins else None)


def _hung(plant: Definitions, tag: str, body: Instrument, book: Book) -> Outcome | None:
    """Length at which a probe hangs below its mounting face; None for one that sits in a wall or floor.

    d = h_f - z
    """
    nozzle = plant.tanks[body.tank].nozzles.get(Tag(body.nozzle)) if body.nozzle else None
    if body.technology != "hydrostatic" or (nozzle is not None and nozzle.on != "roof"):
        return None
    face = body.mounting_face or (nozzle.height if nozzle is not None else None)
    membrane = body.taps.at if body.taps is not None else None
    key, name = f"#{tag}/hung", f"Length at which {tag} hangs below its mounting face"
    if face is None and nozzle is None:
        return None
    if face is None or membrane is None:
        missing = [f"instruments/{tag}/{field}" for field, value in (("mounting_face", face), ("taps/at", membrane))
                   if value is None]
        return book.absence(key, name, "the height of its face or of its membrane is not given", missing)
    if face.si <= membrane.si:
        return book.absence(key, name, f"the mounting face, at {face.si:.3f} m, does not stand over the membrane, at "
                            f"{membrane.si:.3f} m")
    return book.record(key, name, face.si - membrane.si, "length", "d = h_f - z",
                       [given(face, "h_f", "mounting face"), given(membrane, "z", "height of the membrane")],
                       validity="straight down; the cable above the face is not counted")


def _rows(body: Instrument) -> Iterator[SignalRow]:
    assert body.range is not None
    low, high = body.range.lower.si, body.range.upper.si
    for name, current in LIMITS:
        share = signals.share_of_current(current)
        yield SignalRow(name, current, share, low + share * (high - low), signals.meaning_of_current(current))


def tap(plant: Definitions, body: Instrument) -> Length | None:
    """Height of the lower tap: as stated, else of a nozzle in wall or floor; None where neither is known."""
    if body.taps is not None and body.taps.at is not None:
        return body.taps.at
    nozzle = plant.tanks[body.tank].nozzles.get(Tag(body.nozzle)) if body.nozzle else None
    return nozzle.height if nozzle is not None and nozzle.on != "roof" else None


def foot(plant: Definitions, body: Instrument) -> Length | None:
    """Where the column begins whose density counts: the tap, or a transmitter below it, whose line holds the tank's liquid.

    A line that rises from the tap to the transmitter stands still and keeps the density that the device is set for, so that it
    shifts the range and adds nothing to the error. The line of a bubbler holds gas, so its column begins where the gas leaves.
    """
    at = tap(plant, body)
    below = body.taps.transmitter if body.taps is not None and body.technology != "bubbler" else None
    return below if at is not None and below is not None and below.si < at.si else at


def _range_values(plant: Definitions, tag: str, body: Instrument, book: Book) -> tuple[Outcome, Outcome]:
    """Lower and upper range value, signed. [Pa]

    p = rho g (h - z) - rho_l g (H - z), with the transmitter at z and a filled leg up to H.
    """
    keys = ((f"#{tag}/lower-range-value", f"Lower range value of {tag}"),
            (f"#{tag}/upper-range-value", f"Upper range value of {tag}"))
    base = _base(plant, tag, body)
    if isinstance(base, Absence):
        first, second = (book.absence(key, name, base.why, base.missing) for key, name in keys)
        return first, second
    density, inputs, leg, equation = base
    assert body.range is not None
    stands = inputs[1].value
    ends = (given(body.range.lower, "h", "level at 4 mA"), given(body.range.upper, "h", "level at 20 mA"))
    made = [book.record(key, name, signals.hydrostatic_pressure(density.value, end.value - stands) - leg, "gauge pressure",
                        equation, [end, *inputs, gravity_input()], reference="hydrostatics",
                        validity="signed difference of the two sides; the weight of gas is left out",
                        note="suppression and elevation are used both ways in the trade; the sign is not")
            for (key, name), end in zip(keys, ends, strict=True)]
    return made[0], made[1]


def _base(plant: Definitions, tag: str, body: Instrument) -> tuple[Input, list[Input], float, str] | Absence:
    """Density, the other inputs (density and height of the transmitter first), pressure of the leg, equation."""
    at, taps = tap(plant, body), body.taps
    where = taps.transmitter if taps is not None and taps.transmitter is not None else at
    missing = [f"instruments/{tag}/{field}" for field, value in (
        ("calibration_density", body.calibration_density), ("taps/at", where)) if value is None]
    filled = taps is not None and taps.leg == "filled"
    if taps is not None and filled:
        missing += [f"instruments/{tag}/taps/{field}" for field, value in (
            ("leg_top", taps.leg_top), ("leg_density", taps.leg_density)) if value is None]
    if missing or body.calibration_density is None or where is None:
        return Absence("", "", "its density or the heights of its taps are not given", tuple(missing))
    density = given(body.calibration_density, r"\rho", "density that it is set for")
    inputs = [density, given(where, "z", "height of the transmitter")]
    equation = r"p = \rho g \left( h - z \right)"
    if taps is None or not filled or taps.leg_top is None or taps.leg_density is None:
        return density, inputs, 0.0, equation
    fill, top = given(taps.leg_density, r"\rho_l", "density in the filled leg"), given(taps.leg_top, "H", "top of the filled leg")
    leg = signals.hydrostatic_pressure(fill.value, top.value - where.si)
    return density, [*inputs, fill, top], leg, equation + r" - \rho_l g \left( H - z \right)"


def _reading(plant: Definitions, tag: str, body: Instrument, end: str, book: Book) -> Outcome:
    """How far the reading is off at the top of the range with the lightest or heaviest liquid. [m]"""
    word = "lightest" if end == "lowest" else "heaviest"
    key, name = f"#{tag}/reading-{word}", f"Error of {tag} at the top of its range with the {word} liquid"
    liquid = plant.tanks[body.tank].liquid
    span, at = plant.liquids[liquid].density, foot(plant, body)
    missing = [field for field, value in (
        (f"liquids/{liquid}/density", span), (f"instruments/{tag}/calibration_density", body.calibration_density),
        (f"instruments/{tag}/taps/at", at)) if value is None]
    if missing or span is None or body.calibration_density is None or at is None or body.calibration_density.si <= 0:
        return book.absence(key, name, "densities or the height of the tap are not given", missing)
    assert body.range is not None
    actual = given(getattr(span, end), r"\rho", f"{end} density of the liquid")
    set_for = given(body.calibration_density, r"\rho_0", "density that it is set for")
    is_tap = at is tap(plant, body)
    top = given(body.range.upper, "h", "level at 20 mA")
    begins = given(at, "h_t", "height of the tap" if is_tap else "height of the transmitter, below its tap")
    return book.record(
        key, name, (top.value - begins.value) * (actual.value / set_for.value - 1), "length",
        r"\Delta h = \left( h - h_t \right) \left( \frac{\rho}{\rho_0} - 1 \right)", [top, begins, actual, set_for],
        validity="liquid of one density over the tap, and in the line to a transmitter below it; a line up to a transmitter "
                 "above it keeps the density that it is set for; a column that is warm above and cold below lies between",
        reference="hydrostatics")
