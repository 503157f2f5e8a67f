"""Numbers as they stand on a page: unit, decimals, and a time that is never rounded up."""

import math

from generator.model.page import Amount
from generator.model.quantity import Quantity, split
from generator.model.record import Absence, Outcome, Record
from generator.model.units import SI, UNITS

NOT_ASSESSED = "cannot be assessed"
_SHOWN = {
    "length": ("m", 2), "volume": ("m3", 1), "area": ("m2", 2), "flow": ("m3/h", 1), "time": ("min", 1),
    "speed": ("mm/min", 1), "rate": ("per hour", 1), "density": ("kg/m3", 0), "temperature": ("degC", 0),
    "gauge pressure": ("kPa gauge", 1), "absolute pressure": ("kPa abs", 1), "conductivity": ("uS/cm", 1),
    "resistance": ("ohm", 1),
    "voltage": ("V", 1), "current": ("A", 2), "power": ("kW", 1), "angle": ("deg", 0), "mass": ("kg", 3),
    "viscosity": ("mPa s", 1),
}
_SIGNIFICANT = frozenset({"flow", "speed", "rate", "power", "viscosity", "conductivity"})
"""Dimensions of which a small value may be all there is, such as what a dosing pump delivers: never under two digits."""
_PRETTY = {
    "mm2": "mm²",
    "m3": "m³", "m2": "m²", "m3/h": "m³/h", "degC": "°C", "degF": "°F", "uS/cm": "µS/cm", "kg/m3": "kg/m³", "deg": "°",
    "mPa s": "mPa·s", "m3/s": "m³/s", "m/s2": "m/s²", "ft3": "ft³",
}


def pretty(unit: str) -> str:
    """A unit as print sets it: m³, °C, µS/cm."""
    return _PRETTY.get(unit, unit)


def in_unit(si: float, unit: str, decimals: int, record: str = "") -> Amount:
    """An SI value shown in a unit of the definitions, to so many decimals."""
    _, factor, offset = UNITS[unit]
    number = round((si - offset) / factor, decimals) + 0.0
    return Amount(f"{number:.{decimals}f}", pretty(unit), record)


def decimals_of_two(number: float) -> int:
    """Decimals that show two significant digits, six at most; none more than it takes to say the same.

    >>> [decimals_of_two(one) for one in (0.16, 0.1742, 0.05, 0.5, 0.996, 0.00042, 12.0, 0.0)]
    [2, 2, 2, 1, 0, 5, 0, 0]
    """
    if not 0 < abs(number) < 1:
        return 0
    most = min(1 - math.floor(math.log10(abs(number))), 6)
    return len(f"{number:.{most}f}".rstrip("0").partition(".")[2])


def as_written(quantity: Quantity) -> Amount:
    """A given quantity exactly as the engineer wrote it, its unit as print sets it."""
    number, unit = split(quantity.written)
    text = quantity.written.strip().split()[0] if " " in quantity.written.strip() else f"{number:g}"
    return Amount(text, pretty(unit))


def amount(si: float, dimension: str, record: str = "") -> Amount:
    """An SI value in the site's unit for its dimension; a bare number for dimension ""."""
    if dimension == "time":
        return duration(si, record)
    if dimension == "length":
        return length(si, record)
    if dimension not in _SHOWN:
        return Amount(f"{si:.4g}", pretty(SI.get(dimension, "")), record)
    unit, decimals = _SHOWN[dimension]
    if dimension == "speed" and abs(si) >= 0.1:
        unit, decimals = "m/s", 2
    if dimension == "area" and 0 < abs(si) < 1e-3:
        unit = "mm2"
    if dimension == "volume" and abs(si) < 1:
        decimals = 3
    if dimension in _SIGNIFICANT:
        decimals = max(decimals, decimals_of_two(si / UNITS[unit][1]))
    if dimension == "current" and 0 < abs(si) < 1:
        is_whole = abs(si) >= 0.01 and abs(si * 1e3 - round(si * 1e3)) < 5e-3
        return in_unit(si, "mA", 0 if is_whole else 2, record)
    return in_unit(si, unit, decimals, record)


def length(si: float, record: str = "") -> Amount:
    """A length of any size: millimetres under a tenth of a metre, to the tenth under ten; metres from there.

    >>> length(0.045), length(0.0036)
    (Amount(number='45', unit='mm', record='', title=''), Amount(number='3.6', unit='mm', record='', title=''))
    """
    if si == 0 or abs(si) >= 0.1:
        return metres(si, record)
    return in_unit(si, "mm", 1 if abs(si) < 0.01 else 0, record)


def metres(si: float, record: str = "") -> Amount:
    """A height: metres to the centimetre; to the millimetre where the centimetre would not say it."""
    decimals = 2 if abs(round(si, 2) - si) < 5e-5 else 3
    return in_unit(si, "m", decimals, record)


def millimetres(si: float, record: str = "") -> Amount:
    """A small distance in whole millimetres."""
    return in_unit(si, "mm", 0, record)


def minutes(si: float, record: str = "") -> Amount:
    """Time left, cut off and never rounded up: minutes to a tenth, whole ones from a hundred; hours and minutes from two
    hours, whole hours from two days.

    >>> minutes(7530).number, minutes(7530).unit, minutes(7200).number, minutes(200000).number
    ('2 h 5', 'min', '2', '55')
    """
    if si >= TWO_DAYS:
        return Amount(f"{math.floor(si / 3600 + 1e-9)}", "h", record)
    if si >= TWO_HOURS:
        return _hours(si, record)
    value = si / 60 + 1e-9
    return Amount(f"{math.floor(value)}" if value >= 100 else f"{math.floor(value * 10) / 10:.1f}", "min", record)


def minutes_needed(si: float, record: str = "") -> Amount:
    """Time that somebody or something needs: minutes to a tenth, rounded up, as time left is cut off.

    >>> minutes_needed(250.0).number, minutes_needed(300.0).number
    ('4.2', '5.0')
    """
    return Amount(f"{math.ceil(si / 6 - 1e-9) / 10:.1f}", "min", record)


def taken(si: float, record: str = "") -> Amount:
    """Time that a machine or a trip takes, rounded up: seconds to a tenth, whole ones from 100, from five minutes on minutes.

    >>> taken(28.15).number, taken(10.95).number, taken(2.0).number, taken(124.2).number, taken(310.0).number
    ('28.2', '11.0', '2.0', '125', '5.2')
    """
    if si >= FIVE_MINUTES:
        return minutes_needed(si, record)
    if si >= 100.0:
        return Amount(f"{math.ceil(si - 1e-6)}", "s", record)
    return Amount(f"{math.ceil(si * 10 - 1e-6) / 10:.1f}", "s", record)


def duration(si: float, record: str = "") -> Amount:
    """A time, cut off at a tenth and never rounded up: milliseconds under a second, seconds under five minutes, and so on.

    >>> duration(803.95).number, duration(803.95).unit, duration(0.05).number, duration(0.05).unit, duration(0.0).unit
    ('13.3', 'min', '50', 'ms', 's')
    >>> duration(125.0).number, duration(299.9).number, duration(299.9).unit, duration(300.0).unit
    ('125', '299.9', 's', 'min')
    """
    if TWO_HOURS <= abs(si) < TWO_DAYS:
        return _hours(si, record)
    factor, unit = next((UNITS[unit][1], unit) for limit, unit in _TIMES if abs(si) < limit and (si or unit != "ms"))
    tenths = math.copysign(math.floor(abs(si) / factor * 10 + 1e-9), si)
    return Amount(f"{tenths / 10 + 0.0:.1f}".removesuffix(".0"), pretty(unit), record)


def _hours(si: float, record: str) -> Amount:
    """Hours and minutes, cut off; whole hours by themselves."""
    hours, left = divmod(math.floor(abs(si) / 60 + 1e-9), 60)
    sign = "-" if si < 0 else ""
    return Amount(f"{sign}{hours} h {left}", "min", record) if left else Amount(f"{sign}{hours}", "h", record)


FIVE_MINUTES, TWO_HOURS, TWO_DAYS = 300.0, 7200.0, 172800.0
"""Times of machines under the first are shown in seconds, so that 100 s and 125 s can be compared as they stand. [s]"""
_TIMES = ((1.0 - 1e-9, "ms"), (FIVE_MINUTES, "s"), (TWO_HOURS, "min"), (TWO_DAYS, "h"), (math.inf, "d"))


def outcome(result: Outcome | None, show: str = "") -> Amount:
    """A record as an amount that opens it; an absence in words. `show` is "minutes", "needed", "taken", "metres", "mm" or
    empty."""
    if result is None:
        return Amount("none")
    if isinstance(result, Absence):
        return Amount(NOT_ASSESSED, "", result.key, result.why)
    return _shown(result, show)


def _shown(result: Record, show: str) -> Amount:
    if show == "minutes":
        return minutes(result.value, result.key)
    if show == "needed":
        return minutes_needed(result.value, result.key)
    if show == "taken":
        return taken(result.value, result.key)
    if show == "mm":
        return millimetres(result.value, result.key)
    if show == "metres" or (not show and result.dimension == "length"):
        return metres(result.value, result.key)
    if show == "percent":
        return Amount(f"{result.value * 100:.1f}", "%", result.key)
    return amount(result.value, result.dimension, result.key)
