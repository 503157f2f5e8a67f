"""Units offered for bare numbers: figures as they stand in the demonstration plant, each with its unit taken away.

What is plausible is common practice; the plant's own figures, which people of the trade would write, are the outside check.
"""

from typing import Any

import pytest

from generator.model.quantity import Quantity, split
from generator.model.units import UNITS
from generator.read import likely
from tests.pages.plants import DEMO, context

FAR = 30.0


def quantities(value: Any, key: str = "") -> Any:
    """Every quantity below a block, with the key it stands under."""
    if isinstance(value, Quantity):
        yield key, value
    elif isinstance(value, dict):
        for name, part in value.items():
            yield from quantities(part, str(name))
    elif isinstance(value, tuple):
        for part in value:
            yield from quantities(part, key)
    elif hasattr(type(value), "model_fields"):
        for name in type(value).model_fields:
            yield from quantities(getattr(value, name), name)


def test_most_figures_of_the_plant_get_their_own_unit_back() -> None:
    """Never a unit of another kind; and hardly ever one that makes the figure thirty times as large or as small."""
    found = list(quantities(context(DEMO).plant))
    assert len(found) > 1000
    wrong = []
    for key, value in found:
        number, unit = split(value.written)
        offered = likely.unit(value.dimension, key, number)
        assert UNITS[offered][0] == value.dimension, (key, value.written, offered)
        ratio = UNITS[offered][1] / UNITS[unit][1]
        if not 1 / FAR < ratio < FAR and number:
            wrong.append((key, value.written, offered))
    assert len(wrong) < len(found) / 40, wrong


@pytest.mark.parametrize(("dimension", "key", "number", "offered"), [
    ("length", "height", 120, "mm"), ("length", "height", 2.4, "m"), ("length", "elevation", 97.8, "m"),
    ("length", "float_diameter", 25, "mm"), ("length", "arm", 0.25, "m"), ("length", "inside_bottom", -400, "mm"),
    ("flow", "highest", 14, "m3/h"), ("flow", "highest", 9000, "L/h"),
    ("time", "on_delay", 5, "s"), ("time", "interval", 12, "months"), ("time", "longest", 8, "h"), ("time", "time", 6, "min"),
    ("time", "go", 2, "min"), ("time", "go", 90, "s"), ("time", "response_time", 500, "ms"),
    ("temperature", "highest", 96, "degC"), ("temperature", "highest", 369, "K"),
    ("density", "lowest", 998, "kg/m3"), ("density", "lowest", 0.82, "g/cm3"), ("mass", "float_mass", 350, "g"),
    ("current", "smallest_current", 5, "mA"), ("current", "full_load_current", 52, "A"), ("power", "power", 5.5, "kW"),
    ("volume", "drains_after_stop", 40, "L"), ("volume", "reserve", 60, "m3"),
    ("area", "cross_section", 1.5, "mm2"), ("resistance", "series_resistance", 250, "ohm"),
    ("rate", "starts", 12, "per hour"),
    ("lumen", "height", 1, ""),
])
def test_by_hand(dimension: str, key: str, number: float, offered: str) -> None:
    assert likely.unit(dimension, key, number) == offered
