"""Single failures, layers and bypasses of the small sound plant, worked out by hand from its definitions."""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml

from generator import compute, read
from generator.model.failure import BypassCase, Drive, FailureEffect
from generator.model.record import Record
from generator.model.results import Results
from generator.model.scalar import Prose, Tag
from tests.check.small_plants import base, laid_over
from tests.compute import small
from tests.pages.plants import ROOT


@cache
def results() -> Results:
    plant, mistakes = read.plant(ROOT / "tests/check/base.yml")
    assert plant is not None, mistakes
    return compute.results(plant, read.knowledge())


def bypasses_under(change: dict[str, Any]) -> dict[tuple[str, ...], BypassCase]:
    """The planner of the small sound plant under a change."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "plant.yml"
        file.write_text(yaml.dump(laid_over(base(), change), Dumper=yaml.CSafeDumper, allow_unicode=True, width=10_000), "utf-8")
        plant, mistakes = read.plant(file)
    assert plant is not None, mistakes
    return {case.bypassed: case for case in compute.results(plant, read.knowledge()).bypasses}


def effect(device: str, mode: str) -> FailureEffect:
    found = [one for one in results().failures[device] if one.mode == mode]
    assert len(found) == 1, [one.mode for one in results().failures[device]]
    return found[0]


def remains(one: FailureEffect, hazard: str) -> list[str]:
    exposure = next(each for each in one.exposures if each.hazard == hazard)
    return [layer.tag for layer in exposure.remains if layer.protects]


def test_a_stuck_trip_float_leaves_the_alarm() -> None:
    one = effect("LX-11", "stuck dry")
    assert (one.acts, one.lost, one.sees, one.is_hidden) == ((), ("I-10",), (), True)
    assert one.alarms_lost == ("LAHH-10",)
    assert remains(one, "H-10") == ["LAH-10"]


def test_a_defect_that_stands_counts_as_failed_beside_every_other_failure() -> None:
    plant, _ = read.plant(ROOT / "tests/check/base.yml")
    assert plant is not None
    body = plant.instruments[Tag("LX-13")].model_copy(update={"known_defect": Prose("the cable is cut"),
                                                               "stilling_well": "perforated pipe"})
    hurt = plant.model_copy(update={"instruments": {**plant.instruments, Tag("LX-13"): body}})
    made = compute.results(hurt, read.knowledge())
    found = made.failures
    one = next(each for each in found["LX-11"] if each.mode == "stuck dry")
    assert remains(one, "H-10") == []
    assert all(each.is_standing for each in found["LX-13"] if each.mode.startswith("stuck"))
    layers = {layer.tag: layer for layer in made.layers["H-10"]}
    well = ("stilling well", "perforated pipe of T-10")  # whatever else stood in it would be blocked with it
    assert well in layers["LAH-10"].parts and well not in layers["I-10"].parts


def test_a_stuck_wet_trip_float_trips_and_is_seen() -> None:
    one = effect("LX-11", "stuck wet")
    assert (one.acts, one.lost) == (("I-10",), ())
    assert one.sees == ("LAHH-10",)
    assert ("T-10", "falls") in one.levels


def test_a_stuck_control_float_drives_the_level_and_leaves_alarm_and_trip() -> None:
    dry = effect("LX-10", "stuck dry")  # LS-11 asks to stop, LS-12 and LS-13 cannot start: T-10 fills
    assert dry.controls == (("C-10", "does not run"),)
    assert ("T-10", "rises") in dry.levels
    assert remains(dry, "H-10") == ["LAH-10", "I-10"]
    assert effect("LX-10", "stuck wet").controls == (("C-10", "runs on"),)


@pytest.mark.parametrize(("device", "mode", "acts", "lost"), [
    ("LSHH-10", "wire open", ("I-10",), ()), ("LSHH-10", "wire short", (), ("I-10",)),
    ("LSLL-10", "wire open", ("I-11",), ()), ("LSLL-10", "wire short", (), ("I-11",)),
    # one member of two out of three: neither a trip nor a loss (IEC 61508-6, architecture 2oo3: bears one of each)
    ("LSHH-20A", "wire open", (), ()), ("LSHH-20A", "wire short", (), ()),
    ("P-20", "does not stop (contactor welded)", (), ()), ("E-20", "does not go off", (), ()),
    ("XV-10", "stuck open", (), ("I-10",)), ("XV-10", "stuck shut", (), ()),
])
def test_wires_and_machines(device: str, mode: str, acts: tuple[str, ...], lost: tuple[str, ...]) -> None:
    one = effect(device, mode)
    assert (one.acts, one.lost) == (acts, lost)


def test_an_interlock_that_still_reaches_one_of_two_devices_is_weakened() -> None:
    assert effect("E-20", "does not go off").weakened == ("I-21",)
    assert effect("P-20", "does not stop (contactor welded)").weakened == ("I-21",)


def test_a_lost_supply_takes_what_hangs_on_it() -> None:
    one = effect("UPS-1", "lost")
    assert {"I-10", "I-11"} <= set(one.acts)  # floats whose contact opens to trip
    assert one.lost == ()
    assert "LAH-20" not in one.alarms_lost  # its contact opens when it acts, so a dead loop sounds it
    assert effect("MCC-1", "lost").controls == (("C-10", "does not run"),)


def test_layers_stand_in_their_order_with_their_minutes() -> None:
    layers = results().layers["H-10"]
    assert [(layer.kind, layer.tag) for layer in layers] == [("control", "C-10"), ("alarm", "LAH-10"), ("trip", "I-10")]
    alarm, trip = (layer.minutes for layer in layers[1:])
    assert isinstance(alarm, Record)
    assert isinstance(trip, Record)
    assert alarm.value > trip.value
    assert ("body", "LX-11") in layers[2].parts
    assert ("supply", "UPS-1") in layers[2].parts


def test_the_time_to_the_consequence_is_the_volume_over_the_rate() -> None:
    """By hand: from 2.15 m to 3.60 m in a tank of 2 m across, at 10 m3/h: 3.1416 x 1.45 / (10 / 3600) = 1640 s."""
    one = next(each for each in effect("LX-10", "stuck dry").exposures if each.hazard == "H-10")
    assert isinstance(one.consequence, Record)
    assert one.consequence.value == pytest.approx(1640.0, abs=0.5)


def test_a_bypass_leaves_the_alarm_and_its_substitute() -> None:
    case = next(one for one in results().bypasses if one.bypassed == ("I-10",))
    assert [layer.tag for layer in case.exposures[0].remains if layer.protects] == ["LAH-10"]
    assert [layer.tag for layer in case.exposures[0].lost] == ["I-10"]
    assert case.relies_on == ("LAH-10",)


def test_the_trip_of_the_next_tank_drives_this_one_and_makes_a_pair() -> None:
    """T-10 pumps into T-20 by the wash pumps: an overfill trip of T-20 that stops them makes T-10 rise towards H-10."""
    made = bypasses_under(
        {"streams": {"wash": {"into": "T-20"}}, "interlocks": {"I-20": {"then": {"XV-20": "closed", "G-10": "stopped"}}}})
    assert made["I-10",].driven == (Drive("I-20", "T-10", "rises", "H-10"),)
    assert made["I-20",].driven == ()
    assert {exposure.hazard for exposure in made["I-10", "I-20"].exposures} == {"H-10", "H-20"}
    assert made["I-10", "I-20"].driven == ()


def test_tanks_that_no_stream_joins_make_no_pair() -> None:
    made = bypasses_under({})
    assert made["I-10",].driven == ()
    assert ("I-10", "I-20") not in made


@pytest.mark.parametrize(("on_stop", "levels"), [
    ({}, ()), ({"controller": "hold"}, ()), ({"controller": "drop"}, (("T-10", "falls"),))])
def test_outputs_of_a_stopped_controller(on_stop: dict[str, str], levels: tuple[tuple[str, str], ...]) -> None:
    """I-10 alone runs in it and drives XV-10, which closes without air: outputs that drop stop the feed."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "plant.yml"
        made = laid_over(base(), {"plant": {"outputs_on_stop": on_stop}, "interlocks": {"I-10": {"by": "controller"}}})
        file.write_text(yaml.dump(made, Dumper=yaml.CSafeDumper, allow_unicode=True, width=10_000), "utf-8")
        plant, mistakes = read.plant(file)
    assert plant is not None, mistakes
    (one,) = compute.results(plant, read.knowledge()).failures["controller"]
    assert one.lost == ("I-10",)
    assert one.levels == levels


def test_a_bypass_of_one_member_leaves_the_vote_that_remains() -> None:
    vote = {"interlocks": {"I-20": {"bypass": {"takes_out": "one member as clear"}}}}
    whole = {"interlocks": {"I-20": {"bypass": {"takes_out": "the whole function"}}}}
    (exposure,) = (one for one in bypasses_under(vote)[("I-20",)].exposures if one.hazard == "H-20")
    assert "I-20" in [layer.tag for layer in exposure.remains] and bypasses_under(vote)[("I-20",)].reduced == ("I-20",)
    (bare,) = (one for one in bypasses_under(whole)[("I-20",)].exposures if one.hazard == "H-20")
    assert "I-20" in [layer.tag for layer in bare.lost] and bypasses_under(whole)[("I-20",)].reduced == ()


def test_a_second_member_that_is_defective_leaves_a_bypassed_vote_with_nothing() -> None:
    """Two of three, one out as clear and one stuck: the third alone never makes two (counted by hand)."""
    stuck = {"interlocks": {"I-20": {"bypass": {"takes_out": "one member as clear"}}},
             "instruments": {str(base()["switches"]["LSHH-20A"]["in"]): {"known_defect": "it sticks"}}}
    (exposure,) = (one for one in bypasses_under(stuck)[("I-20",)].exposures if one.hazard == "H-20")
    assert "I-20" in [layer.tag for layer in exposure.lost]


def _two_tanks(stream: dict[str, Any], **more: Any) -> dict[tuple[str, ...], BypassCase]:
    """T-10 gives into T-20 by a stream that no interlock of the other tank moves; both overfill trips may be bypassed."""
    return bypasses_under({"streams": {"spill": {"name": "spill", "from": "T-10", "into": "T-20",
                                                 "flow": {"highest": "5 m3/h"}, **stream}}, **more})


def test_two_trips_of_tanks_that_an_overflow_joins_are_a_pair() -> None:
    """Without its trip T-10 spills into T-20; without its trip nothing but alarms stands against H-20 either."""
    made = _two_tanks({"by_overflow": "yes"})
    assert ("I-10", "I-20") in made
    assert {one.hazard: [layer.tag for layer in one.remains if layer.protects] for one in made["I-10", "I-20"].exposures} == {
        "H-10": ["LAH-10"], "H-20": ["LAH-20"]}


def test_an_overflow_makes_no_pair_while_a_trip_is_left_against_each_hazard() -> None:
    second = {f"I-{tank}B": {"area": "10", "kind": "trip", "service": "second trip", "live_in": ["auto"], "hazard": f"H-{tank}",
                             "when": f"LSH-{tank}", "then": {f"XV-{tank}": "closed"}} for tank in ("10", "20")}
    assert ("I-10", "I-20") not in _two_tanks({"by_overflow": "yes"}, interlocks=second)


def test_a_pumped_stream_makes_no_pair_of_two_overfill_trips() -> None:
    """What fills T-10 has no way over its rim into T-20 by a pump that draws from the foot."""
    assert ("I-10", "I-20") not in _two_tanks({})


def test_a_stream_makes_a_pair_of_the_dry_trip_above_and_the_overfill_trip_below() -> None:
    """Left running, the stream empties T-10 and fills T-20 at the same time."""
    bypass = {"longest": "8 h", "needs": "shift lead", "meanwhile": "a person watches"}
    made = _two_tanks({}, interlocks={"I-11": {"bypass": bypass}})
    assert ("I-11", "I-20") in made or ("I-20", "I-11") in made


@pytest.mark.parametrize(("fails", "deaf"), [("on", "wire short"), ("off", "wire open")])
def test_a_stop_that_cannot_be_pushed_has_its_row(fails: str, deaf: str) -> None:
    """A stop that opens its circuit is silenced by a short across it, one that closes its circuit by a break."""
    pump = {"P-1": small.pump()}
    lock = {"area": "A", "service": "x", "kind": "releasing interlock", "because": "x", "when": "HH", "then": {"P-1": "stopped"},
            "bad_signal": "trips"}
    stop = {"HS": {"area": "A", "service": "x", "kind": "manual stop", "condition": "pushed", "fails": fails}}
    switches = {"HH": small.switch("rising", issued="3 m", role="trip")}
    made = small.worked(pumps=pump, signals=stop, switches=switches, interlocks={"I": lock | {"manual_stop": "HS"}})
    rows = {one.mode: one for one in made.failures["HS"]}
    other = ({"wire open", "wire short"} - {deaf}).pop()
    assert (rows[deaf].reduced, rows[deaf].acts, rows[deaf].is_hidden) == ((("I", "HS"),), (), True)
    assert (rows[other].reduced, rows[other].acts) == ((), ("I",))
    beside = small.worked(pumps=pump, signals=stop, switches=switches,
                          interlocks={"I": lock | {"when": {"any_of": ["HH", "HS"]}}})
    assert {one.mode: one.reduced for one in beside.failures["HS"]} == {deaf: (("I", "HS"),), other: ()}
