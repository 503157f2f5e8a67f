"""Links that are lost: what is left of a trip redone by sympy, orders and messages by hand, and a course with its events."""

from collections.abc import Mapping
from functools import cache
from itertools import product
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import sympy  # type: ignore[import-untyped]  # the library has no types
import yaml

from generator import compute, read
from generator.compute import link_failures
from generator.compute.book import Book
from generator.compute.damage import UNHURT, Judge
from generator.compute.layers import Layers
from generator.compute.link_failures import looks_open
from generator.model.failure import FailureEffect
from generator.model.record import Absence, Record
from generator.model.results import Results
from generator.model.scalar import Tag
from generator.pages import matrix_areas
from generator.pages.failures import row
from tests.check.small_plants import base, laid_over
from tests.compute import small
from tests.compute.test_courses import run, scenario, sump, when
from tests.conditions import expression
from tests.pages.plants import DEMO, context

CONDITIONS: tuple[Any, ...] = ("A", {"any_of": ["A", "B"]}, {"all_of": ["A", "B"]}, {"2 of": ["A", "B", "C"]},
                               {"any_of": [{"all_of": ["A", "B"]}, {"held": "5 s", "of": "C"}]})
CARRIED = (("A",), ("A", "B"), ("A", "B", "C"))
CONTACTS = {"A": "opens", "B": "closes", "C": "opens"}
COUNTS: Mapping[tuple[str, str], Mapping[str, bool]] = {
    ("bad", "trips"): dict.fromkeys("ABC", True), ("bad", "holds"): dict.fromkeys("ABC", False),
    ("bad", "ignored"): dict.fromkeys("ABC", False),
    **{("hold", answer): dict.fromkeys("ABC", False) for answer in ("trips", "holds", "ignored")},
    **{("open", answer): {"A": True, "B": False, "C": True} for answer in ("trips", "holds", "ignored")},
}
"""What each carried point counts as, by what the link states and what the trip does on a bad signal: written from the page on
the meaning of the logic. In ordinary running no point of a trip has acted, so what is held is the clear state."""


@pytest.mark.parametrize("serves", [(), ("I-1",), ("I-2",)])
@pytest.mark.parametrize("received", ["bad", "hold", "open"])
@pytest.mark.parametrize("answer", ["trips", "holds", "ignored"])
def test_what_is_left_of_a_trip_is_what_sympy_says(received: str, answer: str, serves: tuple[str, ...]) -> None:
    for condition, carried in product(CONDITIONS, CARRIED):
        lock = {"area": "A", "service": "x", "kind": "trip", "because": "x", "when": condition, "then": {"P-1": "stopped"},
                "bad_signal": answer}
        plant = small.plant(
            panels={tag: {"area": "A", "where": "x"} for tag in ("LP-1", "LP-2")}, pumps={"P-1": small.pump()},
            switches={tag: small.switch("rising", issued="2 m", role="trip", contact={"at_the_point": way})
                      for tag, way in CONTACTS.items()},
            interlocks={"I-1": lock, "I-2": {**lock, "when": {"any_of": ["A", "B", "C"]}}},
            links={"NL": {"area": "A", "service": "x", "between": ["LP-1", "LP-2"], "carries": list(carried),
                          "watched_for": "3 s", "received_signals": received, "serves": list(serves)}})
        (mode,), judge = link_failures.modes(plant), Judge(plant, Layers(plant, {}, {}, {}, Book()))
        one = plant.interlocks[Tag("I-1")]
        counts = COUNTS[received, answer] if not serves or "I-1" in serves else {}
        known = {sympy.Symbol(tag): sympy.true if counts[tag] else sympy.false for tag in carried if tag in counts}
        left = expression(one.when).subs(known)
        rest = left.subs(dict.fromkeys(map(sympy.Symbol, "ABC"), sympy.false))
        assert (judge.reach("I-1", one, mode.damage) == "nothing") == (not sympy.satisfiable(left)), (condition, carried)
        assert judge.acts_for_nothing("I-1", one, mode.damage) == bool(rest), (condition, carried)
        assert judge.reach("I-1", one, UNHURT) == "whole"


# ---- by hand on the small sound plant -----------------------------------------------------------------------------------

LINK = {"area": "10", "service": "To the control room", "between": ["LP-1", "LP-2"], "watched_for": "3 s",
        "received_signals": "bad", "orders": "hold", "carries_within": "200 ms", "loss_shown_by": "XA-9"}
BESIDE = {
    "panels": {"LP-2": {"area": "10", "where": "Control room"}},
    "signals": {"XA-9": {"area": "10", "service": "Link lost", "kind": "communication lost", "of": "NL-1"}},
    "alarms": {"XAL-9": {"from": "XA-9", "text": "LINK LOST", "priority": "high", "means": "it is", "first": "go there"}},
}


@cache
def _results(text: str) -> Results:
    with TemporaryDirectory() as folder:
        file = Path(folder) / "plant.yml"
        file.write_text(text, "utf-8")
        plant, mistakes = read.plant(file)
    assert plant is not None, mistakes
    return compute.results(plant, read.knowledge())


def results(link: dict[str, Any], **more: Any) -> Results:
    """The small plant with a link; a key that is None is left out."""
    stated = {key: value for key, value in (LINK | link).items() if value is not None}
    made = laid_over(laid_over(base(), BESIDE), {"links": {"NL-1": stated}, **more})
    return _results(yaml.dump(made, Dumper=yaml.CSafeDumper, allow_unicode=True, width=10_000))


def lost(link: dict[str, Any], **more: Any) -> FailureEffect:
    (effect,) = results(link, **more).failures["NL-1"]
    return effect


def test_a_carried_trip_point_trips_for_nothing_and_the_alarm_behind_the_link_is_lost() -> None:
    one = lost({"carries": ["LSHH-10", "LSH-10"], "serves": ["I-10", "LAH-10"]})
    assert (one.acts, one.lost, one.alarms_lost) == (("I-10",), (), ("LAH-10",))
    assert one.sees == ("XAL-9", "LAHH-10")
    assert (one.note, one.unassessed) == ("noticed after 3 s; until then what it carries stays as it was", ())


def test_a_point_that_only_the_alarm_gets_by_the_link_leaves_the_trip_alone() -> None:
    one = lost({"carries": ["LSHH-10", "LSH-10"], "serves": ["LAH-10"]})
    assert (one.acts, one.lost, one.weakened, one.alarms_lost) == ((), (), (), ("LAH-10",))
    assert [layer.tag for layer in one.exposures[0].remains if layer.protects] == ["I-10"]


def test_held_orders_take_the_trip_away_and_leave_the_control_to_chance() -> None:
    one = lost({"carries": ["XV-10", "G-10"], "serves": ["I-10", "C-10"]})
    assert (one.lost, one.controls) == (("I-10",), (("C-10", "either"),))
    assert [layer.tag for exposure in one.exposures if exposure.hazard == "H-10" for layer in exposure.lost] == ["C-10", "I-10"]


def test_dropped_orders_send_what_they_drive_where_it_fails_to() -> None:
    one = lost({"carries": ["G-10"], "serves": ["C-10"], "orders": "drop"})
    assert (one.lost, one.controls, one.levels) == ((), (("C-10", "does not run"),), (("T-10", "rises"),))
    both = lost({"carries": ["XV-10", "G-10"], "serves": ["I-10", "C-10"], "orders": "drop"})
    assert (both.lost, both.levels) == ((), ())  # the feed has shut too


def test_messages_alone_silence_alarms() -> None:
    one = lost({"carries": ["I-10"]})
    assert (one.acts, one.lost, one.alarms_lost, one.sees) == ((), (), ("LAHH-10",), ("XAL-9",))


@pytest.mark.parametrize(("link", "lock", "function", "why"), [
    ({"carries": ["XV-10"], "orders": None}, {}, "I-10", "NL-1 does not state `orders`"),
    ({"carries": ["LSHH-10"], "received_signals": None}, {}, "I-10", "NL-1 does not state `received_signals`"),
    ({"carries": ["LSHH-10"]}, {"bad_signal": "~"}, "I-10", "I-10 does not state `bad_signal`"),
])
def test_what_is_not_stated_cannot_be_assessed(link: dict[str, Any], lock: dict[str, Any], function: str, why: str) -> None:
    one = lost(link, interlocks={"I-10": lock})
    assert (function, why) in one.unassessed
    assert function not in (*one.acts, *one.lost, *one.weakened)
    exposure = next(each for each in one.exposures if each.hazard == "H-10")
    assert function in [layer.tag for layer in exposure.unassessed]
    assert function not in [layer.tag for layer in (*exposure.remains, *exposure.lost)]


def test_a_row_that_cannot_be_assessed_says_so_and_does_not_look_calm() -> None:
    demo = context(DEMO)
    (known,) = demo.results.failures["NL-1"]
    one = lost({"carries": ["XV-10"], "orders": None})
    shown = row(demo, FailureEffect(known.device, known.noun, known.mode, "", sees=known.sees, unassessed=(("I-610", "x"),)))
    assert one.unassessed
    assert (shown.mark, "cannot be assessed" in str(shown.lost)) == ("cannot", True)


# ---- time, layers, matrix ---------------------------------------------------------------------------------------------


def test_the_time_of_a_trip_counts_the_link_on_both_ways() -> None:
    link = {"carries": ["LSHH-10", "XV-10"], "serves": ["I-10"]}
    without, across = (results(one).trips["I-10"][0].needed for one in ({"carries": ["LSH-10"]}, link))
    assert isinstance(without, Record)
    assert isinstance(across, Record)
    assert across.value == pytest.approx(without.value + 2 * 0.2)
    steps = [step.name for step in results(link).trips["I-10"][0].steps]
    assert steps.index("signal over NL-1") == 1
    assert steps.index("order over NL-1") == steps.index("relay") + 1


def test_a_link_without_its_time_leaves_the_budget_open() -> None:
    needed = results({"carries": ["LSHH-10"], "carries_within": None}).trips["I-10"][0].needed
    assert isinstance(needed, Absence)
    assert "links/NL-1/carries_within" in needed.missing


def test_an_alarm_sounds_as_much_later_as_the_link_takes() -> None:
    """200 ms of the link are lost to the person; the limit of a test that tries the point grows by them."""
    without, across = (results(one) for one in ({"carries": ["LSHH-10"]}, {"carries": ["LSH-10"]}))
    times = [made.alarms["LAH-10"].to_limit for made in (without, across)]
    assert isinstance(times[0], Record) and isinstance(times[1], Record)
    assert times[0].value - times[1].value == pytest.approx(0.2)
    unknown = results({"carries": ["LSH-10"], "carries_within": None}).alarms["LAH-10"].to_limit
    assert isinstance(unknown, Record) and unknown.value == times[0].value
    assert "What NL-1 takes to carry the signal is not recorded and not counted." in unknown.note
    pieces = [piece.name for piece in across.level_budgets["LSH-10"].pieces]
    assert "travel: signal over NL-1" in pieces and "travel: order over NL-1" not in pieces


def test_the_limit_of_a_test_counts_the_link_to_the_alarm() -> None:
    tried = {"tests": {"TT-1": {"covers": ["LSH-10"], "method": "wetted", "steps": "fill it", "passes": "it sounds"}}}
    limits = [results({"carries": ["LSH-10"], "carries_within": time}, **tried).test_limits["TT-1"]["LSH-10", "LAH-10"]
              for time in ("200 ms", "700 ms", None)]
    assert isinstance(limits[0], Record) and isinstance(limits[1], Record) and isinstance(limits[2], Absence)
    assert limits[1].value - limits[0].value == pytest.approx(0.5)
    assert limits[2].missing == ("links/NL-1/carries_within",)


def test_layers_share_the_link_that_carries_both() -> None:
    layers = results({"carries": ["LSHH-10", "LSH-10"]}).layers["H-10"]
    assert {layer.tag for layer in layers if ("link", "NL-1") in layer.parts} == {"I-10", "LAH-10"}


def test_the_matrix_has_a_row_where_the_loss_moves_something() -> None:
    grids = matrix_areas.grids(context(DEMO))
    marks = {area: {column: [mark.sign for mark in marks] for column, marks in cause.marks.items()}
             for area, grid in grids.items() for cause in grid.causes if cause.key.startswith("NL-")}
    assert marks == {"10": {"XV-110 closed": ["F"], "alarm": ["A"]}}


# ---- courses ------------------------------------------------------------------------------------------------------------

PARTS = {"panels": {tag: {"area": "A", "where": "x"} for tag in ("LP-1", "LP-2")},
         "signals": {"XA": {"area": "A", "service": "lost", "kind": "communication lost", "of": "NL"}},
         "alarms": {"XAL": {"from": "XA", "text": "LOST", "priority": "high", "means": "x", "first": "x"}}}


def crossed(*events: dict[str, Any], **link: Any) -> Any:
    """An upright tank that fills, with the inlet trip over a link: at most 20 L still run after the valve."""
    stated = {"area": "A", "service": "x", "between": ["LP-1", "LP-2"], "watched_for": "3 s", "received_signals": "bad",
              "orders": "hold", "carries": ["LSHH-1"]} | link
    lock = {"area": "A", "service": "Overfill", "kind": "trip", "because": "test", "when": "LSHH-1", "then": {"XV-1": "closed"},
            "latch": {"survives_power_loss": "no"}, "bad_signal": "trips"}
    script = ({"at": "0 s", "what": "control out", "fails": "LSH-1", "streams": {"in": "highest"}}, *events)
    plant = sump(small.UPRIGHT, scenarios=scenario(*script, starts_at="1.1 m", lasts="10 min"), interlocks={"I-1": lock},
                 links={"NL": {key: value for key, value in stated.items() if value is not None}}, **PARTS)
    return run(plant, "one")[0]


CUT, MENDED = {"at": "10 s", "what": "cut", "fails": "NL"}, {"at": "5 min", "what": "mended", "returns": "NL"}


def test_a_bad_signal_trips_once_the_loss_is_taken_as_one() -> None:
    course = crossed(CUT)
    assert when(course, "I-1", "acts") == pytest.approx(13.0)
    assert when(course, "XAL", "sounds") == pytest.approx(13.0)
    assert when(course, "XV-1", "closed") == pytest.approx(13.0 + 8)


def test_a_signal_that_is_held_keeps_the_trip_away_until_the_link_is_back() -> None:
    course = crossed(CUT, MENDED, received_signals="hold")
    assert when(course, "LSHH-1", "acted") < 300
    assert when(course, "I-1", "acts") == pytest.approx(300.0)
    assert when(course, "XAL", "quiet") == pytest.approx(300.0)


def test_a_loss_that_is_over_before_it_is_noticed_trips_nothing() -> None:
    course = crossed(CUT, {"at": "12 s", "what": "mended", "returns": "NL"})
    assert when(course, "I-1", "acts") > 60
    assert "NL is taken as lost" not in [event.what for event in course.events]


def test_held_orders_leave_the_valve_open_and_dropped_ones_shut_it() -> None:
    held, dropped = (crossed(CUT, carries=["XV-1"], received_signals=None, orders=orders) for orders in ("hold", "drop"))
    assert when(held, "I-1", "acts") > 60
    assert not [event for event in held.events if event.tags == ("XV-1",)]
    assert when(dropped, "XV-1", "closed") == pytest.approx(13.0 + 8)


def test_what_a_link_does_not_state_leaves_the_course_open() -> None:
    course = crossed(CUT, received_signals=None)
    assert isinstance(course.outcome, Absence)
    assert course.outcome.missing == ("links/NL/received_signals",)


def test_open_contacts_look_acted_where_they_open_at_the_point() -> None:
    plant = context(DEMO).plant
    assert (looks_open(plant, "LSHH-612"), looks_open(plant, "LSH-611"), looks_open(plant, "HS-611")) == (True, None, False)
