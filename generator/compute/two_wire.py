"""Two-wire sensors: what the current of the loop means, and where a broken or shorted line begins.

The sensor is fed with 8.2 V behind 1 kilohm. It draws little in one state and much in the other; a broken line draws
nothing and a shorted one more than any sensor.
"""

from typing import Literal

from generator.compute.book import Book
from generator.model.record import Input, Outcome

SUPPLY, SOURCE = 8.2, 1000.0
LOW, HIGH = 0.0012, 0.0021
BREAK_SURE, BREAK_POSSIBLE = 0.00005, 0.00035
SHORT_SURE, SHORT_POSSIBLE = 100.0, 360.0
REFERENCE = "IEC 60947-5-6: states at 1.2 mA and 2.1 mA (found); source, break and short (from memory)"
Meaning = Literal["broken", "broken or low", "low", "undefined", "high", "high or shorted", "shorted"]


def short_current(resistance: float) -> float:
    """Current of the loop through a resistance in place of the sensor.

    I = U / (R_s + R)

    Args:
        resistance: Resistance of the line where the sensor should be, R; not negative. [ohm]

    Returns:
        Current. [A]

    Raises:
        ValueError: the resistance is negative.

    Valid for the nominal source of the standard, 8.2 V behind 1 kilohm. Source: Ohm's law; IEC 60947-5-6 (from memory).

    >>> round(short_current(360.0) * 1000, 2)
    6.03
    """
    if resistance < 0:
        raise ValueError(resistance)
    return SUPPLY / (SOURCE + resistance)


def meaning_of_current(current: float) -> Meaning:
    """What a current in the loop of a two-wire sensor means.

    Args:
        current: Current. [A]

    Source: IEC 60947-5-6 (from memory): broken for certain up to 0.05 mA, perhaps up to 0.35 mA; low under 1.2 mA; high
    over 2.1 mA; shorted for certain where less than 100 ohm is left, perhaps where less than 360 ohm is.

    >>> meaning_of_current(0.0016)
    'undefined'
    """
    limits: tuple[tuple[float, Meaning], ...] = (
        (BREAK_SURE, "broken"), (BREAK_POSSIBLE, "broken or low"), (LOW, "low"), (HIGH, "undefined"),
        (short_current(SHORT_POSSIBLE), "high"), (short_current(SHORT_SURE), "high or shorted"))
    return next((meaning for limit, meaning in limits if current <= limit), "shorted")


def currents(book: Book, tag: str) -> tuple[tuple[str, Outcome], ...]:
    """The limits of one point's loop, each with what lies beyond it."""
    def stated(part: str, name: str, value: float) -> Outcome:
        return book.record(f"#{tag}/two-wire/{part}", name, value, "current", "I",
                           (Input("I", name, value, "current", REFERENCE),), reference=REFERENCE)

    def shorted(part: str, name: str, resistance: float) -> Outcome:
        return book.record(
            f"#{tag}/two-wire/{part}", name, short_current(resistance), "current", r"I = \frac{U}{R_s + R}",
            (Input("U", "voltage of the source", SUPPLY, "voltage", REFERENCE),
             Input("R_s", "resistance of the source, in ohms", SOURCE, "", REFERENCE),
             Input("R", "resistance left in the line, in ohms", resistance, "", REFERENCE)), reference=REFERENCE)

    return (
        ("line broken for certain, up to", stated("break", "largest current of a broken line", BREAK_SURE)),
        ("contact open, up to", stated("low", "largest current of the low state", LOW)),
        ("contact closed, from", stated("high", "smallest current of the high state", HIGH)),
        ("line perhaps shorted, from", shorted("short-possible", "current from which the line can be shorted", SHORT_POSSIBLE)),
        ("line shorted for certain, from", shorted("short", "current from which the line is shorted", SHORT_SURE)),
    )
