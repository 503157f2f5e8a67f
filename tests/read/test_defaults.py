"""Shared facts flow from plant to area to tank to item, and say which way they came."""

from pathlib import Path

import pytest

from generator import read
from generator.model.plant import Definitions

CONDENSATE = Path(__file__).parent.parent / "plants" / "condensate.yml"


def plant(tmp_path: Path, *edits: tuple[str, str]) -> Definitions:
    text = CONDENSATE.read_text(encoding="utf-8")
    for old, new in edits:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    file = tmp_path / "plant.yml"
    file.write_text(text, encoding="utf-8")
    made, mistakes = read.plant(file)
    assert not mistakes
    assert made is not None
    return made


AREA = "defaults: {supply: UPS-1}"
TANK = "    duty: filled\n"


@pytest.mark.parametrize(("edits", "own", "via"), [
    ((), 0.015, "plant defaults"),
    (((AREA, "defaults: {accuracy: {own: 12 mm}}"),), 0.012, "area 20 defaults"),
    (((AREA, "defaults: {accuracy: {own: 12 mm}}"), (TANK, TANK + "    defaults: {accuracy: {own: 8 mm}}\n")), 0.008,
     "tank T-210 defaults"),
    ((("geometry: {arm: 250 mm}", "accuracy: {own: 6 mm}"), (TANK, TANK + "    defaults: {accuracy: {own: 8 mm}}\n")),
     0.006, "instrument LX-210"),
    ((("    role: trip\n    contact: {at_the_point: opens, on", "    role: trip\n    accuracy: {own: 4 mm}\n"
       "    contact: {at_the_point: opens, on"),), 0.004, ""),
], ids=["plant", "area", "tank", "instrument", "switch"])
def test_the_nearest_accuracy_counts(tmp_path: Path, edits: tuple[tuple[str, str], ...], own: float, via: str) -> None:
    point = plant(tmp_path, *edits).switches["LSHH-210"]
    assert point.accuracy is not None
    assert point.accuracy.own.si == pytest.approx(own)
    assert point.accuracy.own.place.via == via
    assert point.place_of("accuracy").via == via
    assert point.place_of("accuracy").line > 0


def test_what_the_item_says_itself_stays(tmp_path: Path) -> None:
    made = plant(tmp_path)
    body, point = made.instruments["LX-211"], made.switches["LSH-211"]
    assert body.accuracy is not None
    assert (body.accuracy.own.written, body.accuracy.own.place.via) == ("10 mm", "")
    assert body.accuracy.common is not None  # what the block leaves out is inherited by itself
    assert (body.accuracy.common.written, body.accuracy.common.place.via) == ("5 mm", "plant defaults")
    assert point.accuracy is not None
    assert point.accuracy.own.place.via == "instrument LX-211"
    assert point.accuracy.own.place.line == body.accuracy.own.place.line


def test_each_value_of_an_error_comes_down_by_itself(tmp_path: Path) -> None:
    """The plant's common error stays where an area or an instrument states its own alone; `0 mm` takes it away."""
    own = "accuracy: {own: 6 mm}"
    made = plant(tmp_path, ("geometry: {arm: 250 mm}", own), (AREA, "defaults: {accuracy: {own: 12 mm}}"))
    for error, way in ((made.instruments["LX-210"].accuracy, ""), (made.switches["LSHH-210"].accuracy, "instrument LX-210")):
        assert error is not None and error.common is not None
        assert (error.own.written, error.own.place.via) == ("6 mm", way)
        assert (error.common.written, error.common.place.via) == ("5 mm", "plant defaults")
        assert error.place_of("common").via == "plant defaults"
    none = plant(tmp_path, ("geometry: {arm: 250 mm}", "accuracy: {own: 6 mm, common: 0 mm}")).switches["LSHH-210"].accuracy
    assert none is not None and none.common is not None and none.common.si == 0.0


def test_waves_come_down_value_by_value(tmp_path: Path) -> None:
    waves = plant(tmp_path, ("    waves: {peak_to_peak: 40 mm, period: 2 s}\n", "    waves: {peak_to_peak: 40 mm}\n"),
                  ("    setpoint_step: 10 mm\n", "    setpoint_step: 10 mm\n    waves: {peak_to_peak: 60 mm, period: 3 s}\n")
                  ).tanks["T-210"].waves
    assert waves is not None and waves.period is not None
    assert (waves.peak_to_peak.written, waves.peak_to_peak.place.via) == ("40 mm", "")
    assert (waves.period.written, waves.period.place.via) == ("3 s", "plant defaults")


def test_differential_comes_from_the_body(tmp_path: Path) -> None:
    point = plant(tmp_path).switches["LSHH-210"]
    assert point.differential is not None
    assert (point.differential.written, point.differential.place.via) == ("30 mm", "instrument LX-210")


def test_supply_operator_time_and_interval(tmp_path: Path) -> None:
    made = plant(tmp_path)
    wiring = made.instruments["LX-210"].wiring
    assert wiring is not None
    assert (wiring.supply, wiring.place_of("supply").via) == ("UPS-1", "area 20 defaults")
    stated = made.instruments["LX-211"].wiring
    assert stated is not None
    assert (stated.supply, stated.place_of("supply").via) == ("MAINS", "")
    time = made.alarms["LAH-211"].operator_time
    assert time is not None
    assert (time.go.si, time.go.place.via) == (180.0, "plant defaults")
    interval = made.tests["TEST-210"].interval
    assert interval is not None
    assert (interval.written, interval.place.via) == ("12 months", "plant defaults")


def test_the_shortest_interval_that_reaches_a_test_counts(tmp_path: Path) -> None:
    made = plant(tmp_path, (TANK, TANK + "    defaults: {test_interval: 3 months}\n"))
    interval = made.tests["TEST-210"].interval
    assert interval is not None
    assert (interval.written, interval.place.via) == ("3 months", "tank T-210 defaults")


def test_waves_come_down_to_a_tank_without_its_own(tmp_path: Path) -> None:
    made = plant(tmp_path, ("    waves: {peak_to_peak: 40 mm, period: 2 s}\n", ""),
                 ("    setpoint_step: 10 mm\n", "    setpoint_step: 10 mm\n    waves: {peak_to_peak: 60 mm}\n"))
    waves = made.tanks["T-210"].waves
    assert waves is not None
    assert (waves.peak_to_peak.written, waves.peak_to_peak.place.via) == ("60 mm", "plant defaults")


def test_what_is_looked_up_rather_than_filled_in(tmp_path: Path) -> None:
    made = plant(tmp_path, (AREA, "defaults: {scan_time: 100 ms}"))
    assert (made.default("LSHH-210", "scan_time").written, made.default("T-210", "scan_time").place.via) == (
        "100 ms", "area 20 defaults")
    assert made.default("I-210", "scan_time").written == "100 ms"
    assert made.default("MAINS", "relay_time").written == "100 ms"
    assert made.default("T-210", "waves") is None


def test_nothing_of_consequence_flows() -> None:
    from generator.model.defaults import Defaults

    assert set(Defaults.model_fields) == {
        "accuracy", "waves", "operator_time", "test_interval", "setpoint_step", "scan_time", "relay_time", "supply",
            "volume_step"}


def test_the_day_can_be_given_for_one_run() -> None:
    from datetime import date

    made, _ = read.plant(CONDENSATE, as_of=date(2027, 1, 2))
    assert made is not None
    document = made.plant.document
    assert document.as_of == date(2027, 1, 2)
    assert document.place_of("as_of").via == "given for this run"
