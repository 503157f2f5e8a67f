"""The lowest level at which a pump still draws liquid: submergence, cover of the motor, suction head, a stated mark.

The highest of them counts, here and wherever a time runs to the loss of suction.
"""

from generator.compute import liquid_state
from generator.compute import submergence as inlet
from generator.compute.book import Book, given, missing_of
from generator.compute.suction_head import gravity
from generator.model.machine import Inlet, Pump
from generator.model.plant import Definitions
from generator.model.quantity import Length
from generator.model.record import Absence, Input, Outcome, Record
from generator.model.scalar import Tag


def levels_of(plant: Definitions, tag: str, book: Book) -> tuple[Outcome, Outcome]:
    """Submergence and lowest level of a pump, entered in the book on the first call. They rest on no setpoint."""
    key = f"#{tag}/lowest-level"
    if key not in book.outcomes:
        _lowest_level(plant, book, tag, plant.pumps[Tag(tag)])
    return book.outcomes[f"#{tag}/submergence"], book.outcomes[key]


def draws_from_outside(tag: str) -> str:
    """Why nothing that rests on a tank's level is worked out for a pump."""
    return f"does not apply: {tag} draws from outside the plant's tanks"


def _lowest_level(plant: Definitions, book: Book, tag: str, pump: Pump) -> None:
    suction = pump.inlet
    key, name = f"#{tag}/lowest-level", f"lowest level of {tag}"
    if suction is None:
        book.absence(f"#{tag}/submergence", f"submergence of {tag}", draws_from_outside(tag))
        book.absence(key, name, draws_from_outside(tag))
        return
    submergence = _submergence(book, tag, pump, suction)
    candidates: list[tuple[str, Input]] = []
    height = given(suction.height, "z", "height of the inlet")
    if isinstance(submergence, Record):
        candidates.append(("z + S", submergence.as_input("S")))
    if suction.motor_covered_to is not None:
        cover = given(suction.motor_covered_to, "h_{motor}", "height to which the motor is covered")
        candidates.append((cover.symbol, cover))
    mark = _mark(plant, suction)
    if mark is not None:
        candidates.append((mark.symbol, mark))
    head = _suction_head_level(plant, book, tag, pump, suction)
    if isinstance(head, Record):
        candidates.append(("h_{NPSH}", head.as_input("h_{NPSH}")))
    cover_decides = suction.kind == "submersible" and suction.motor_covered_to is not None
    if isinstance(submergence, Absence) and not cover_decides:
        book.absence(key, name, submergence.why, submergence.missing)
        return
    if isinstance(head, Absence):
        book.absence(key, name, f"suction head: {head.why}", head.missing)
        return
    heights = [height.value + one.value if one.symbol == "S" else one.value for _, one in candidates]
    terms = [term for term, _ in candidates]
    equation = terms[0] if len(terms) == 1 else rf"\max({', '.join(terms)})"
    inputs = (height, *(one for _, one in candidates))
    book.record(key, name, max(heights), "length", f"h_{{lowest}} = {equation}", inputs,
                note="" if isinstance(submergence, Record) else
                "Only the cover of the motor counts: without an inlet diameter no submergence is worked out.")


def _mark(plant: Definitions, suction: Inlet) -> Input | None:
    """The level below which the pump is said to draw air."""
    tank, name = plant.tanks[suction.tank], suction.draws_air_below
    if name is None:
        return None
    known: dict[str, Length | None] = {str(key): mark.height for key, mark in tank.marks.items()}
    known |= {str(key): nozzle.height for key, nozzle in tank.nozzles.items()}
    known |= {key: getattr(tank.levels, key) for key in type(tank.levels).model_fields}
    height = known.get(name)
    return None if height is None else given(height, "h_{air}", f"{name.replace('_', ' ')}: below it the pump draws air")


def _submergence(book: Book, tag: str, pump: Pump, suction: Inlet) -> Outcome:
    key, name = f"#{tag}/submergence", f"submergence of {tag}"
    if key in book.outcomes:
        return book.outcomes[key]
    diameter = suction.diameter
    if diameter is None or diameter.si <= 0:
        why = "the diameter of the inlet is " + ("not recorded" if diameter is None else "nothing")
        return book.absence(key, name, why, (f"pumps/{tag}/suction/diameter",))
    return book.record(
        key, name, inlet.minimum_submergence(diameter.si, pump.flow.si), "length",
        inlet.EQUATION,
        (given(diameter, "D", "diameter of the inlet"), given(pump.flow, "Q", "flow of the pump"),
         gravity()),
        validity=inlet.VALIDITY, reference=inlet.REFERENCE,
    )


def _suction_head_level(plant: Definitions, book: Book, tag: str, pump: Pump, suction: Inlet) -> Outcome | None:
    """Level that leaves the pump the suction head it requires; None where no required head is recorded.

    h = z + NPSHr + margin + h_f - (p - p_v) / (rho g), with the pump's datum taken at its inlet.
    """
    if pump.npsh_required is None:
        return None
    key, name = f"#{tag}/suction-head-level", f"level for the NPSH required by {tag}"
    liquid, air = plant.tanks[suction.tank].liquid, plant.plant.atmosphere
    vapour = liquid_state.vapour_pressure(plant, liquid, "hottest", book)
    over = air.si - vapour.value if air is not None and isinstance(vapour, Input) else 0.0
    density, note = liquid_state.density_for_head(plant, liquid, "hottest", over, book)
    missing = [*missing_of([one for one in (vapour, density) if isinstance(one, Absence)]),
               *(["plant/atmosphere"] if air is None else []),
               *([f"pumps/{tag}/suction_loss"] if pump.suction_loss is None else [])]
    if isinstance(vapour, Absence) or isinstance(density, Absence) or air is None or pump.suction_loss is None:
        return book.absence(key, name, "not everything that it needs is recorded", missing)
    margin = pump.npsh_margin.si if pump.npsh_margin else 0.0
    value = (suction.height.si + pump.npsh_required.si + margin + pump.suction_loss.si
             - (air.si - vapour.value) / (density.value * inlet.STANDARD_GRAVITY))
    inputs = [
        given(suction.height, "z", "height of the inlet"),
        given(pump.npsh_required, "NPSH_r", "required suction head"),
        *([given(pump.npsh_margin, "m", "margin")] if pump.npsh_margin else []),
        given(pump.suction_loss, "h_f", "loss in the suction line"), given(air, "p", "lowest air pressure on site"),
        vapour, density, gravity(),
    ]
    equation = (r"h = z + NPSH_r" + (" + m" if pump.npsh_margin else "") + r" + h_f - \frac{p - p_v}{\rho\,g}")
    return book.record(key, name, value, "length", equation, inputs,
                       validity="open tank; the pump's datum is taken at the inlet, duty point",
                       reference="definition of net positive suction head, common practice", note=note)
