"""The unit that a bare number most likely lacks in its place: only ever offered with an "if", never taken.

The figures that divide one unit from the next are common practice, no source: a tank of 30 m is high, a float of 30 mm is
small, a delay of ten minutes is long.
"""

_SMALL = frozenset((
    "own", "common", "accuracy", "float_diameter", "float_height", "magnet_height", "rod_diameter", "rod_spacing", "tether",
    "least_spacing", "dead_band", "differential", "clearance", "weight_below", "reference_below", "arm", "arm_outer",
    "peak_to_peak", "setpoint_step", "head_at_full_inflow", "opening", "pipe_diameter", "by", "floor_fall",
))
"""Lengths that are said in millimetres."""
_TALL = frozenset(("elevation", "height_over_ground", "npsh_required", "npsh_margin", "suction_loss", "immersion_depth"))
"""Lengths that are said in metres, however large."""
_TIMES = {
    **dict.fromkeys(("interval", "test_interval", "every"), "months"), "longest": "h", "period": "s",
    **dict.fromkeys(("time", "at", "ends_after"), "min"),
}
"""Times by the unit in which they are said while the number is small."""
_OPERATOR = frozenset(("notice", "diagnose", "go", "act", "effect"))
_QUICK = frozenset(("told_apart", "scan_time", "relay_time", "logic_time", "carries_within", "response_time"))
"""Times of electronics and of sensors."""
_PLAIN = {
    "viscosity": "mPa s", "conductivity": "uS/cm", "voltage": "V", "rate": "per hour", "angle": "deg",
    "absolute pressure": "kPa abs", "resistance": "ohm", "area": "mm2", "speed": "m/s",
}
_AMPERES = frozenset(("carries", "full_load_current", "start_current", "rated_current"))
_MILLIAMPERES = frozenset(("smallest_current", "coil_current", "coil_inrush"))


def unit(dimension: str, key: str, number: float) -> str:
    """The unit with which a number is plausible under a key; empty where nothing is known of the dimension.

    >>> unit("length", "height", 120), unit("length", "height", 2.4), unit("length", "float_diameter", 25)
    ('mm', 'm', 'mm')
    >>> unit("time", "on_delay", 5), unit("time", "interval", 12), unit("flow", "highest", 14)
    ('s', 'months', 'm3/h')
    """
    size = abs(number)
    if dimension == "length":
        return "mm" if key not in _TALL and size >= (1 if key in _SMALL else 30) else "m"
    if dimension == "time":
        return _time(key, size)
    if dimension == "current":
        return "mA" if key in _MILLIAMPERES or (size > 30 and key not in _AMPERES) else "A"
    if dimension == "volume":
        return "L" if size >= (0.1 if key == "float_volume" else 5 if key == "drains_after_stop" else 1000) else "m3"
    steps = {
        "flow": ((5000, "m3/h"), (None, "L/h")), "temperature": ((250, "degC"), (None, "K")),
        "density": ((30, "g/cm3"), (None, "kg/m3")), "mass": ((20, "kg"), (None, "g")),
        "power": ((1000, "kW"), (None, "W")), "gauge pressure": ((100, "bar gauge"), (None, "kPa gauge")),
    }.get(dimension, ())
    return next((name for end, name in steps if end is None or size < end), _PLAIN.get(dimension, ""))


def _time(key: str, size: float) -> str:
    if key in _QUICK:
        return "ms" if size >= 20 else "s"
    if key == "lasts":
        return "h" if size <= 24 else "min"
    if key in _OPERATOR:
        return "s" if size >= 15 else "min"
    usual = _TIMES.get(key, "s")
    return "s" if usual == "min" and size > 180 else usual
