"""What stands in for a level, and what does not: an interlock whose float is dead, though a signal still brings it about.

Laid over the small sound plant; what must follow is told by hand. Whoever stands under a shower, or a pump that runs for
long, sees no level: they trip on what they see, and a float that is stuck stays a float that is stuck.
"""

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import yaml

from generator import compute, read
from generator.model.failure import Blind, Cut, FailureEffect, Fewer
from generator.model.results import Results
from tests.check.small_plants import base, laid_over
from tests.compute import small

SHOWER = {"signals": {"FS-10": {"area": "10", "service": "Shower in use", "kind": "flow", "fails": "on"}}}


def made(change: dict[str, Any]) -> Results:
    with TemporaryDirectory() as folder:
        file = Path(folder) / "plant.yml"
        file.write_text(yaml.dump(laid_over(base(), change), Dumper=yaml.CSafeDumper, allow_unicode=True, width=10_000), "utf-8")
        plant, mistakes = read.plant(file)
    assert plant is not None, mistakes
    return compute.results(plant, read.knowledge())


def effect(results: Results, device: str, mode: str) -> FailureEffect:
    (found,) = (one for one in results.failures[device] if one.mode == mode)
    return found


def caused_by(*parts: Any) -> Results:
    return made({**SHOWER, "interlocks": {"I-10": {"when": {"any_of": list(parts)}}}})


@pytest.mark.parametrize(("device", "mode"), [("LX-11", "stuck dry"), ("LSHH-10", "wire short")])
@pytest.mark.parametrize("other", ["FS-10", {"held": "10 min", "of": "FS-10"}, {"not": "FS-10"}])
def test_a_signal_stands_in_for_no_level(device: str, mode: str, other: Any) -> None:
    one = effect(caused_by("LSHH-10", other), device, mode)
    assert (one.lost, one.alarms_lost, one.is_hidden) == (("I-10",), ("LAHH-10",), True)
    (exposure,) = (each for each in one.exposures if each.hazard == "H-10")
    assert [layer.tag for layer in exposure.remains if layer.protects] == ["LAH-10"]
    by = () if other == {"not": "FS-10"} else ("FS-10",)
    assert one.blind == ((Blind("I-10", "T-10", "rising", by),) if by else ())


def test_a_point_of_the_other_direction_stands_in_for_no_level() -> None:
    one = effect(caused_by("LSHH-10", "LSLL-10"), "LX-11", "stuck dry")
    assert (one.lost, one.blind) == (("I-10",), (Blind("I-10", "T-10", "rising", ("LSLL-10",)),))


def test_a_second_point_of_the_same_direction_does() -> None:
    one = effect(caused_by("LSHH-10", "LSH-10"), "LX-11", "stuck dry")
    assert (one.lost, one.blind) == ((), ())


def test_a_dead_signal_leaves_the_level() -> None:
    one = effect(caused_by("LSHH-10", "FS-10"), "FS-10", "wire short")
    assert (one.lost, one.blind) == ((), ())


def test_a_signal_that_must_stand_with_the_level_still_must() -> None:
    both = made({**SHOWER, "interlocks": {"I-10": {"when": {"all_of": ["LSHH-10", "FS-10"]}}}})
    assert effect(both, "FS-10", "wire short").lost == ("I-10",)
    assert effect(both, "LX-11", "stuck dry").blind == ()


def test_an_interlock_without_a_level_acts_by_its_signals() -> None:
    only = made({**SHOWER, "interlocks": {"I-10": {"when": "FS-10"}}})
    assert effect(only, "FS-10", "wire short").lost == ("I-10",)
    assert effect(only, "FS-10", "wire open").acts == ("I-10",)


@pytest.mark.parametrize(("answer", "lost"), [("trips", ("I-9",)), ("holds", ()), ("ignored", ())])
def test_a_permissive_permits_no_start_on_a_signal_that_it_knows_to_be_bad(answer: str, lost: tuple[str, ...]) -> None:
    """The transmitter's own fault is detected; it stands in its normal band, so that what it showed last permits."""
    results = small.worked(
        instruments={"LT": small.body(technology="guided radar", signal="4-20 mA", range={"lower": "0 m", "upper": "4 m"})},
        switches={"S": small.switch("rising", issued="3 m", **{"in": "LT"})}, pumps={"P-1": small.pump()},
        interlocks={"I-9": {"area": "A", "service": "x", "kind": "permissive", "because": "x", "when": {"not": "S"},
                            "then": {"P-1": "running"}, "bad_signal": answer}})
    one = effect(results, "LT", "wire open")
    assert (one.acts, one.lost) == ((), lost)


def sounding(*parts: Any) -> Results:
    """The overfill trip with a horn beside its valve, brought about by the shower too."""
    horn = {"E-11": {"area": "10", "service": "Horn", "kind": "horn", "restart": {"by_itself": "yes"}}}
    then = {"XV-10": "closed", "E-11": "sounding"}
    return made({**SHOWER, "equipment": horn, "interlocks": {"I-10": {"when": {"any_of": list(parts)}, "then": then}}})


def test_a_stuck_valve_is_shut_by_no_cause_and_the_horn_still_sounds() -> None:
    """No cause shuts a valve that is stuck: the trip is lost against the level, whatever still brings it about."""
    one = effect(sounding("LSHH-10", "FS-10"), "XV-10", "stuck open")
    assert (one.lost, one.weakened, one.blind) == (("I-10",), (), ())
    assert one.cut == (Cut("I-10", (("XV-10", "closed"),), (("E-11", "sounding"),)),)


def test_a_dead_float_beside_a_sound_valve_still_counts_the_shower() -> None:
    one = effect(sounding("LSHH-10", "FS-10"), "LX-11", "stuck dry")
    assert (one.lost, one.cut) == (("I-10",), ())
    assert one.blind == (Blind("I-10", "T-10", "rising", ("FS-10",)),)


def test_a_horn_that_does_not_stop_takes_nothing_from_the_trip_that_wants_it_to_sound() -> None:
    results = sounding("LSHH-10", "FS-10")
    on, off = effect(results, "E-11", "does not go off"), effect(results, "E-11", "does not go on")
    assert (on.lost, on.weakened, on.cut, on.exposures) == ((), (), (), ())
    assert (off.lost, off.weakened) == ((), ("I-10",))
    assert off.cut == (Cut("I-10", (("E-11", "sounding"),), (("XV-10", "closed"),)),)


@pytest.mark.parametrize(("dead", "fewer"), [
    ("A", Fewer("C-1", ("B", "C"), 1)), ("B", Fewer("C-1", ("A", "C"), 1)), ("C", Fewer("C-1", ("A", "B"), 1)),
])
def test_a_dead_start_of_several_is_one_pump_fewer_and_the_next_start_takes_its_place(dead: str, fewer: Fewer) -> None:
    """Three pumps, each asked for by a point of its own: as many run as points have acted (counted by hand)."""
    results = small.worked(
        instruments={f"LX-{one}": small.body() for one in "ABCS"},
        switches={**{one: small.switch("rising", issued=height, role="control", **{"in": f"LX-{one}"})
                     for one, height in (("A", "2 m"), ("B", "2.4 m"), ("C", "2.8 m"))},
                  "S": small.switch("falling", issued="1 m", role="control", **{"in": "LX-S"})},
        pumps={tag: small.pump() for tag in ("P-1", "P-2", "P-3")},
        pump_groups={"G": {"name": "g", "pumps": ["P-1", "P-2", "P-3"], "arrangement": "duty/assist"}},
        controls={"C-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G", "starts": ["A", "B", "C"],
                          "stops": "S"}})
    one = effect(results, f"LX-{dead}", "stuck dry")
    assert (one.fewer, one.controls, one.levels, one.is_hidden) == ((fewer,), (), (), True)
    assert effect(results, f"LX-{dead}", "stuck wet").fewer == ()  # a false start keeps them running


def test_the_alarm_that_the_level_meets_is_named_where_nothing_holds_the_level_back() -> None:
    """By hand: with LX-10 stuck dry C-10 no longer holds T-10, which rises, and its first alarm is LAH-10."""
    results = made({})
    assert effect(results, "LX-10", "stuck dry").met == ("LAH-10",)
    assert effect(results, "LX-11", "stuck dry").met == ()  # it drives no level
