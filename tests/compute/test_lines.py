"""Voltage at the end of a cable: a chain of resistances solved by numpy, and figures worked by hand."""

from typing import Any

import numpy as np
import pytest

from generator.compute.lines import loop_resistance
from generator.model.load import Line
from generator.model.record import Absence, Record, value_of
from tests.compute import small

CABLE = {"panel": "LP", "supply": "CV", "cable_length": "250 m", "cross_section": "0.75 mm2"}


def line(tag: str, wiring: dict[str, Any], relay: dict[str, Any] | None = None, **body: Any) -> Line | None:
    coil = {"panel": "LP", "kind": "interposing relay", "coil_voltage": "24 V", "coil_current": "150 mA", "coil_type": "dc",
            "coil_least_voltage": "19.2 V"} | (relay or {})
    made = small.worked(
        panels={"LP": {"area": "A", "where": "hall"}},
        supplies={"CV": {"kind": "control voltage", "voltage": "24 V"}, "UPS": {"kind": "uninterruptible", "voltage": "230 V"}},
        instruments={"LX-1": small.body(wiring=wiring, **body)}, relays={"K": coil},
        switches={"HH": small.switch("rising", issued="3 m", role="trip", contact={"at_the_point": "opens", "drives": "K"})})
    return made.lines.get(tag)


def ladder(feed: float, parts: list[float], load: float) -> float:
    """Voltage over a load of a resistance behind others in series, by the nodes of the circuit."""
    chain = [*parts, load]
    matrix, source = np.zeros((len(parts), len(parts))), np.zeros(len(parts))
    for node in range(len(parts)):
        before, behind = 1 / chain[node], 1 / chain[node + 1]
        matrix[node, node] = before + behind
        if node:
            matrix[node, node - 1] = -before
        else:
            source[0] = feed * before
        if node + 1 < len(parts):
            matrix[node, node + 1] = -behind
    return float(np.linalg.solve(matrix, source)[-1])


def test_a_coil_at_the_end_of_a_long_cable_by_hand() -> None:
    """2 x 250 m x 0.0260 ohm/m x (1 + 0.00393 x 30) = 14.53 ohm; 150 mA take 2.18 V of 24 V."""
    made = line("HH", CABLE)
    assert made is not None
    assert made.verdict == "pass"
    assert value_of(made.resistance) == pytest.approx(14.5327, abs=1e-3)
    assert value_of(made.left) == pytest.approx(21.82, abs=5e-3)


@pytest.mark.parametrize("current", [0.02, 0.15, 0.4])
def test_against_the_nodes_of_the_circuit(current: float) -> None:
    """The circuit with the coil as a resistance that draws its current at the voltage that is left gives just that voltage."""
    made = line("HH", CABLE, {"coil_current": f"{current} A"})
    assert made is not None and isinstance(made.left, Record)
    core = loop_resistance(250, 0.75e-6) / 2
    assert ladder(24.0, [core, core], made.left.value / current) == pytest.approx(made.left.value, rel=1e-9)


def test_what_a_coil_draws_as_it_pulls_in_counts() -> None:
    made = line("HH", CABLE, {"coil_inrush": "400 mA"})
    assert made is not None and made.verdict == "fail"
    assert made.evidence == "18.2 V left of 24 V, needed 19.2 V"


def test_a_transmitter_with_its_barrier_at_the_largest_current() -> None:
    """22 mA through 14.53 ohm of cable and 300 ohm take 6.92 V."""
    body = {"signal": "4-20 mA", "least_voltage": "12 V", "range": {"lower": "0 m", "upper": "3 m"}}
    made = line("LX-1", CABLE | {"series_resistance": "300 ohm"}, **body)
    assert made is not None and made.verdict == "pass"
    assert value_of(made.left) == pytest.approx(24 - 0.022 * 314.5327, abs=1e-4)
    short = line("LX-1", CABLE | {"series_resistance": "0.56 kohm"}, **body)
    assert short is not None and short.verdict == "fail"


@pytest.mark.parametrize(("change", "missing"), [
    ({"cable_length": None}, "LX-1: wiring.cable_length"), ({"supply": "UPS"}, "LX-1: wiring.loop_voltage"),
    ({"cross_section": "1.2 mm2"}, "LX-1: wiring.cross_section"),
])
def test_what_a_line_lacks_is_named(change: dict[str, Any], missing: str) -> None:
    made = line("HH", {key: value for key, value in (CABLE | change).items() if value is not None})
    assert made is not None and made.verdict == "cannot be assessed"
    assert made.missing == (missing,)


def test_a_cable_of_which_nothing_is_recorded_is_no_line() -> None:
    assert line("HH", {"panel": "LP", "supply": "CV"}) is None
    assert line("HH", {"panel": "LP", "supply": "CV", "cable_length": "40 m"}) is None  # for the order alone


@pytest.mark.parametrize(("length", "core"), [(-1.0, 1.5e-6), (10.0, 3e-6), (10.0, 1.5)])
def test_a_core_that_the_table_does_not_hold_is_refused(length: float, core: float) -> None:
    with pytest.raises(ValueError):
        loop_resistance(length, core)


def test_the_working_stands_in_the_book() -> None:
    made = small.worked(
        panels={"LP": {"area": "A", "where": "hall"}}, supplies={"CV": {"kind": "control voltage", "voltage": "24 V"}},
        instruments={"LX-1": small.body(wiring=CABLE)}, relays={"K": {
            "panel": "LP", "kind": "interposing relay", "coil_current": "35 mA", "coil_least_voltage": "18 V"}},
        switches={"HH": small.switch("rising", issued="3 m", contact={"at_the_point": "opens", "drives": "K"})})
    records = [made.records[f"#HH/line/{one}"] for one in ("resistance", "voltage")]
    assert not any(isinstance(one, Absence) for one in records)
    assert records[1].inputs[2].source == "#HH/line/resistance"  # type: ignore[union-attr]
