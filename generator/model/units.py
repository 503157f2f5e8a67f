"""Accepted unit spellings: one table, checked against a units library by the tests.

spelling: (dimension, factor, offset); SI value = written value * factor + offset.
Spellings are case-sensitive where case carries meaning (m, M; mS, MS).
The first spelling of a dimension with factor one is its SI unit.
"""

_GAL_US = 3.785411784e-3
_GAL_UK = 4.54609e-3
_FOOT = 0.3048
_INCH = 0.0254

UNITS: dict[str, tuple[str, float, float]] = {
    # length
    "m": ("length", 1.0, 0.0), "mm": ("length", 1e-3, 0.0), "cm": ("length", 1e-2, 0.0),
    "ft": ("length", _FOOT, 0.0), "in": ("length", _INCH, 0.0),
    # area
    "m2": ("area", 1.0, 0.0), "cm2": ("area", 1e-4, 0.0), "mm2": ("area", 1e-6, 0.0), "ft2": ("area", _FOOT**2, 0.0),
    # volume: a bare "gal" is refused, since two gallons are in use
    "m3": ("volume", 1.0, 0.0), "L": ("volume", 1e-3, 0.0), "ft3": ("volume", _FOOT**3, 0.0),
    "USgal": ("volume", _GAL_US, 0.0), "UKgal": ("volume", _GAL_UK, 0.0),
    # flow
    "m3/s": ("flow", 1.0, 0.0), "m3/h": ("flow", 1 / 3600, 0.0), "m3/min": ("flow", 1 / 60, 0.0),
    "m3/d": ("flow", 1 / 86400, 0.0), "L/s": ("flow", 1e-3, 0.0), "L/min": ("flow", 1e-3 / 60, 0.0),
    "L/h": ("flow", 1e-3 / 3600, 0.0), "USgal/min": ("flow", _GAL_US / 60, 0.0),
    "UKgal/min": ("flow", _GAL_UK / 60, 0.0), "ft3/s": ("flow", _FOOT**3, 0.0),
    # time
    "s": ("time", 1.0, 0.0), "ms": ("time", 1e-3, 0.0), "min": ("time", 60.0, 0.0), "h": ("time", 3600.0, 0.0),
    "d": ("time", 86400.0, 0.0), "weeks": ("time", 604800.0, 0.0), "months": ("time", 2629800.0, 0.0),
    "years": ("time", 31557600.0, 0.0),
    # speed and rate
    "m/s": ("speed", 1.0, 0.0), "mm/min": ("speed", 1e-3 / 60, 0.0), "ft/s": ("speed", _FOOT, 0.0),
    "/s": ("rate", 1.0, 0.0), "/h": ("rate", 1 / 3600, 0.0), "per hour": ("rate", 1 / 3600, 0.0),
    # matter
    "kg/m3": ("density", 1.0, 0.0), "g/cm3": ("density", 1000.0, 0.0), "kg/L": ("density", 1000.0, 0.0),
    "lb/ft3": ("density", 16.018463373960142, 0.0),
    "kg": ("mass", 1.0, 0.0), "g": ("mass", 1e-3, 0.0), "lb": ("mass", 0.45359237, 0.0),
    "Pa s": ("viscosity", 1.0, 0.0), "mPa s": ("viscosity", 1e-3, 0.0), "cP": ("viscosity", 1e-3, 0.0),
    # temperature
    "K": ("temperature", 1.0, 0.0), "degC": ("temperature", 1.0, 273.15),
    "degF": ("temperature", 5 / 9, 273.15 - 32 * 5 / 9),
    # pressure: gauge and absolute are different quantities
    "Pa abs": ("absolute pressure", 1.0, 0.0), "kPa abs": ("absolute pressure", 1e3, 0.0),
    "bar abs": ("absolute pressure", 1e5, 0.0), "psi abs": ("absolute pressure", 6894.757293168361, 0.0),
    "Pa gauge": ("gauge pressure", 1.0, 0.0), "kPa gauge": ("gauge pressure", 1e3, 0.0),
    "mbar gauge": ("gauge pressure", 100.0, 0.0), "bar gauge": ("gauge pressure", 1e5, 0.0),
    "psi gauge": ("gauge pressure", 6894.757293168361, 0.0),
    # electricity
    "S/m": ("conductivity", 1.0, 0.0), "mS/m": ("conductivity", 1e-3, 0.0), "uS/cm": ("conductivity", 1e-4, 0.0),
    "mS/cm": ("conductivity", 0.1, 0.0),
    "V": ("voltage", 1.0, 0.0), "mV": ("voltage", 1e-3, 0.0), "kV": ("voltage", 1e3, 0.0),
    "A": ("current", 1.0, 0.0), "mA": ("current", 1e-3, 0.0),
    "ohm": ("resistance", 1.0, 0.0), "kohm": ("resistance", 1e3, 0.0),
    "W": ("power", 1.0, 0.0), "kW": ("power", 1e3, 0.0), "hp": ("power", 745.6998715822702, 0.0),
    # angle
    "rad": ("angle", 1.0, 0.0), "deg": ("angle", 0.017453292519943295, 0.0),
}

ALIASES: dict[str, str] = {
    "m³": "m3", "m³/h": "m3/h", "m³/s": "m3/s", "l": "L", "l/s": "L/s", "l/min": "L/min", "µS/cm": "uS/cm",
    "°C": "degC", "°F": "degF", "°": "deg", "sec": "s", "minutes": "min", "hours": "h", "days": "d", "month": "months",
    "year": "years", "week": "weeks", "starts/h": "/h", "/hour": "/h", "kg/m³": "kg/m3", "mPa·s": "mPa s",
}

SI: dict[str, str] = {}
for _spelling, (_dimension, _factor, _offset) in UNITS.items():
    if _factor == 1.0 and _offset == 0.0:
        SI.setdefault(_dimension, _spelling)

SI["acceleration"] = "m/s2"  # of the working alone: nobody writes one

REFUSED: dict[str, str] = {
    "gal": "say which gallon: USgal or UKgal", "gpm": "say which gallon: USgal/min or UKgal/min",
    "gal/min": "say which gallon: USgal/min or UKgal/min",
    "bar": "say whether it is gauge or absolute: `bar gauge` or `bar abs`",
    "mbar": "say whether it is gauge or absolute: `mbar gauge`", "psi": "say `psi gauge` or `psi abs`",
    "kPa": "say `kPa gauge` or `kPa abs`", "Pa": "say `Pa gauge` or `Pa abs`",
    "%": "say of what: `% of range`, `% of height` or `% of volume`",
    "C": "write `degC`", "F": "write `degF`", "M": "write `m` for metres", "S": "write `s` for seconds",
}
