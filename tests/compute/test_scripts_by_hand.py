"""What happens in a course, event for event, as the definitions say it: times, tags, flows and faults told by hand.

T-1 is filled by XV-1 and by a free inflow, and emptied by two pumps of a control into T-2; T-2 is drawn from outside.
"""

from types import SimpleNamespace
from typing import Any

import pytest

from generator.compute import scenario_handling as handling
from generator.compute import scenario_scripts as scripts
from generator.compute.courses import Given
from generator.model.plant import Definitions
from generator.model.scalar import Tag
from tests.check.small_plants import laid_over
from tests.compute import small
from tests.compute.test_proofs_by_hand import lock

H = 1 / 3600
CONTROL = {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G", "starts": ["A"], "stops": "B"}
NOUNS: dict[str, Any] = {
    "tanks": {"T-1": small.tank(), "T-2": small.tank()},
    "instruments": {"LX-1": small.body(), "LX-2": small.body("T-2")},
    "switches": {"A": small.switch("rising", issued="2 m", role="control"), "B": small.switch("falling", issued="1 m",
     role="control"),
                 "HH2": small.switch("rising", issued="3 m", role="trip", **{"in": "LX-2"})},
    "pumps": {"P-1": small.pump("20 m3/h", supply="M2"), "P-2": small.pump("30 m3/h"), "P-3": small.pump("90 m3/h")},
    "pump_groups": {"G": {"name": "both", "pumps": ["P-1", "P-2"], "arrangement": "duty/assist"}},
    "valves": {"XV-1": {"area": "A", "service": "x", "kind": "on-off"}, "XV-2": {"area": "A", "service": "x", "kind": "on-off"}},
    "supplies": {"M": {"kind": "mains"}, "M2": {"kind": "mains", "fed_from": "M"},
                 "U": {"kind": "uninterruptible", "fed_from": "M2", "lasts": "300 s"},
                 "C": {"kind": "control voltage", "fed_from": "U"}, "D": {"kind": "battery", "fed_from": "M", "lasts": "20 min"}},
    "streams": {"feed": small.stream("outside", "T-1", "36 m3/h", through=["XV-1"], flow={"normal": "18 m3/h",
     "lowest": "9 m3/h"}),
                "rain": small.stream("outside", "T-1", "12 m3/h"),
                "over": small.stream("T-1", "T-2", "40 m3/h", moved_by="G", through=["XV-2"]),
                "tap": small.stream("T-1", "outside", "6 m3/h"), "spill": small.stream("T-1", "T-2", "50 m3/h",
                 by_overflow="yes"),
                "away": small.stream("T-2", "outside", "7 m3/h")},
    "controls": {"C-1": CONTROL},
    "interlocks": {"I-2": lock("HH2", {"G": "stopped"})},
}


def plant(**change: Any) -> Definitions:
    return small.plant(**laid_over(NOUNS, change))


def effect(event: Given, made: Definitions) -> Any:
    """What an event does to a run: the flow of a stream that it states, or the fault of a device, or what is lost."""
    run = SimpleNamespace(stated=dict.fromkeys(made.streams, "as it was"), flows=SimpleNamespace(tails={}),
                          causes=SimpleNamespace(faults={}, lost=set()))
    event.does(run)  # type: ignore[arg-type]
    flows = {str(tag): round(flow / H, 6) for tag, flow in run.stated.items() if flow != "as it was"}
    return flows or run.causes.faults or run.causes.lost


def script(key: str, tank: str = "T-1", **change: Any) -> tuple[str, list[tuple[float, Any]]] | None:
    """Where it starts, and its events as (time, effect)."""
    made = plant(**change)
    for one in scripts.of_tank(made, tank):
        if one.key == key:
            return one.starts_at, [(event.time, effect(event, made)) for event in one.events if event.words != "power is back"]
    return None


@pytest.mark.parametrize(("change", "events"), [
    # 36 and 12 come in, the tap is shut; the pumps are left to their control, which no longer starts them
    ({}, [{"feed": 36}, {"rain": 12}, {"tap": 0}, {"C-1": "off"}]),
    # one that fills
    ({"controls": {"C-1": {"starts": ["B"], "stops": "A"}}}, [{"feed": 36}, {"rain": 12}, {"tap": 0}, {"C-1": "on"}]),
    ({"controls": {"C-1": "~"}}, [{"feed": 36}, {"rain": 12}, {"over": 0}, {"tap": 0}]),
    ({"never_together": [{"streams": ["feed", "rain"], "because": "x"}]},
     [{"feed": 36}, {"rain": 0}, {"tap": 0}, {"C-1": "off"}]),  # the larger of two that exclude each other
    ({"never_together": [{"streams": ["feed", "rain"], "because": "x"}], "streams": {"rain": {"moved_by": "G"}}},
     [{"feed": 36}, {"tap": 0}, {"C-1": "off"}]),  # what the control moves is left to it, even where it is excluded
])
def test_filling_with_a_control_that_does_not_answer(change: dict[str, Any], events: list[Any]) -> None:
    found = script("filling", **change)
    assert found == ("normal_high", [(60.0, one) for one in events])


def test_drawing_with_no_inflow() -> None:
    assert script("drawing") == ("normal_high", [(60.0, {"feed": 0}), (60.0, {"rain": 0}), (60.0, {"tap": 6})])
    moved = {"streams": {"feed": {"moved_by": "G"}}}  # an inflow ceases, whatever moves it
    assert script("drawing", **moved) == ("normal_high", [(60.0, {"feed": 0}), (60.0, {"rain": 0}), (60.0, {"tap": 6})])


def test_the_largest_pump_that_is_asked_to_draw_the_tank_down() -> None:
    """P-3 is larger, yet nothing starts it by a level."""
    assert script("pump-out") == ("normal_low", [(0.0, {"P-2": "out"}), (60.0, {"feed": 36}), (60.0, {"rain": 12})])
    assert script("pump-out", controls={"C-1": "~"}) is None
    assert script("pump-out", streams={"feed": "~", "rain": "~"}) is None
    away = {"suction": {"tank": "T-2"}}
    found = script("pump-out", pumps={"P-2": away})
    assert found is not None and found[1][0] == (0.0, {"P-1": "out"})  # P-2 draws from the other tank


def test_a_tank_without_inflow_or_outflow_has_no_such_course() -> None:
    assert script("filling", streams={"feed": "~", "rain": "~"}) is None
    assert script("drawing", streams={"over": "~", "tap": "~"}) is None  # what only runs over is not drawn


def test_power_goes_with_what_hangs_on_it_and_a_battery_later() -> None:
    """M at 60 s takes M2 at once; U lasts 300 s longer, and C as long as U; D would last beyond 660 s, when power is back."""
    assert script("power") == ("normal_high", [(60.0, {"M"}), (60.0, {"M2"}), (360.0, {"U"}), (360.0, {"C"})])
    assert script("power", "T-2") is not None  # P-1 pumps into it
    assert script("power", pumps={"P-1": {"supply": "~"}}) is None
    other = {"supplies": {"M": {"kind": "battery"}}}
    assert script("power", **other) is None
    assert script("power", pumps={"P-1": {"supply": "D"}}) is not None  # fed from the mains in the end
    made = plant()
    (power,) = [one for one in scripts.of_tank(made, "T-1") if one.key == "power"]
    assert (power.events[-1].time, power.events[-1].words) == (660.0, "power is back")


def test_power_is_back_for_everything() -> None:
    made, seen = plant(), []
    (power,) = [one for one in scripts.of_tank(made, "T-1") if one.key == "power"]
    run = SimpleNamespace(causes=SimpleNamespace(lost={"M"}), forget=lambda: seen.append("forgot"), now=660.0,
                          machines=SimpleNamespace(power_back=seen.append))
    power.events[-1].does(run)  # type: ignore[arg-type]
    assert run.causes.lost == set() and seen == ["forgot", 660.0]


def test_the_trip_of_the_next_tank_while_this_one_fills() -> None:
    made = plant()
    (found,) = scripts.of_neighbours(made, "T-1")
    assert (found.key, found.starts_at, found.beside) == ("trip-of-t-2", "normal_high", (("T-2", "normal_high"),))
    # what comes from T-1 is left to its pumps there; in T-2 it is at its highest, and nothing is drawn
    assert [effect(event, made) for event in found.events] == [{"feed": 36}, {"rain": 12}, {"over": 40}, {"away": 0}]
    assert list(scripts.of_neighbours(made, "T-2")) == []


@pytest.mark.parametrize("change", [
    {"streams": {"feed": "~", "rain": "~"}},  # nothing fills this one
    {"interlocks": {"I-2": {"kind": "permissive"}}}, {"interlocks": {"I-2": {"then": {"G": "running"}}}},
    {"interlocks": {"I-2": {"then": {"G": "~", "XV-1": "closed"}}}}, {"interlocks": {"I-2": "~"}},
    {"streams": {"over": {"into": "outside"}}},  # the two are not joined but by the overflow
])
def test_where_no_trip_of_a_neighbour_matters(change: dict[str, Any]) -> None:
    assert list(scripts.of_neighbours(plant(**change), "T-1")) == []


@pytest.mark.parametrize(("cases", "flows"), [
    ({}, dict.fromkeys(("feed", "rain", "over", "tap"))),
    # in the ordinary case rain and tap do not run; what the control moves is left to it
    ({"usual": {"name": "usual", "streams": ["feed"], "normal": "yes"}}, {"feed": None, "rain": 0.0, "over": None, "tap": 0.0}),
    ({"usual": {"name": "usual", "streams": ["feed"]}}, dict.fromkeys(("feed", "rain", "over", "tap"))),
    ({"usual": {"name": "usual", "streams": ["away"], "normal": "yes"}}, dict.fromkeys(("feed", "rain", "over", "tap"))),
    ({"usual": {"name": "usual", "streams": ["rain", "tap"], "normal": "yes"}},
     {"feed": 0.0, "rain": None, "over": None, "tap": None}),
])
def test_what_runs_in_ordinary_running(cases: dict[str, Any], flows: dict[str, float | None]) -> None:
    assert scripts.ordinary_flows(plant(cases=cases), ("T-1",)) == flows


@pytest.mark.parametrize(("word", "flow"), [
    ("none", 0.0), ("lowest", 9.0), ("normal", 18.0), ("highest", 36.0), ("5 m3/h", 5.0)])
def test_a_flow_by_its_word(word: str, flow: float) -> None:
    assert scripts._flow(plant(), Tag("feed"), word) == pytest.approx(flow * H)


def test_a_flow_that_is_not_stated_is_the_normal_one_or_the_highest() -> None:
    made = plant(streams={"feed": {"flow": {"lowest": "~"}}})
    assert scripts._flow(made, Tag("feed"), "lowest") == pytest.approx(18 * H)
    assert scripts._flow(made, Tag("rain"), "normal") == pytest.approx(12 * H)


# ---- what fails, and what a person does ------------------------------------------------------------------------------


@pytest.mark.parametrize(("tag", "told"), [
    ("P-1", [(5.0, "P-1 is out of order", {"P-1": "out"})]), ("XV-1", [(5.0, "XV-1 stays as it is", {"XV-1": "stays"})]),
    ("S", [(5.0, "S is on", {"S": "acted"})]), ("LP", [(5.0, "LP is dead", {"LP"})]), ("K", [(5.0, "K drops out", {"K"})]),
    ("U", [(5.0, "U is lost", {"U"}), (5.0, "C is lost", {"C"})]),
    ("M2", [(5.0, "M2 is lost", {"M2"}), (305.0, "U is lost", {"U"}), (305.0, "C is lost", {"C"})]),
])
def test_what_a_failure_takes_with_it(tag: str, told: list[Any]) -> None:
    made = plant(signals={"S": {"area": "A", "service": "x", "kind": "temperature"}}, panels={"LP": {"area": "A", "where": "x"}},
                 relays={"K": {"panel": "LP", "kind": "interposing relay"}})
    assert [(one.time, one.words, effect(one, made)) for one in handling.failing(made, Tag(tag), 5.0)] == told


LINK = {"panels": {tag: {"area": "A", "where": "x"} for tag in ("LP", "LQ")},
        "links": {"NL": {"area": "A", "service": "x", "between": ["LP", "LQ"], "carries": ["A"], "watched_for": "10 s"}}}


def test_a_link_is_lost_before_anybody_knows() -> None:
    made = plant(**LINK)
    assert [(one.time, one.words) for one in handling.failing(made, Tag("NL"), 5.0)] == [
        (5.0, "NL is lost, and nobody knows yet"), (15.0, "NL is taken as lost")]
    unwatched = plant(**laid_over(LINK, {"links": {"NL": {"watched_for": "~"}}}))
    assert len(list(handling.failing(unwatched, Tag("NL"), 5.0))) == 1


@pytest.mark.parametrize(("back", "known"), [(4.0, True), (14.0, False), (15.0, False), (16.0, True), (None, True)])
def test_a_link_that_works_again_is_not_taken_as_lost(back: float | None, known: bool) -> None:
    made = plant(**LINK)
    events = [*handling.failing(made, Tag("NL"), 5.0)]
    if back is not None:
        events.append(Given(back, "NL is back", ("NL",), lambda _run: None))
    left = [one.words for one in handling.noticed_only(made, tuple(events))]
    assert ("NL is taken as lost" in left) is known and "NL is lost, and nobody knows yet" in left


@pytest.mark.parametrize(("tag", "still_lost"), [
    ("M", set()), ("M2", {"M"}), ("U", {"M", "M2"}), ("C", {"M", "M2", "U"})])
def test_what_comes_back_with_a_supply(tag: str, still_lost: set[str]) -> None:
    made, seen = plant(), []
    links = SimpleNamespace(mend=lambda one: seen.append(one))
    lost = {"M", "M2", "U", "C"}
    causes = SimpleNamespace(faults={tag: "stays", "P-9": "out"}, frozen={tag: True}, links=links, lost=lost)
    machines = SimpleNamespace(known_out={tag, "P-9"}, moving={"P-1": "", "P-2": ""},
     is_unpowered=lambda one: one == "P-1" and bool(
        lost & {"M2"}), power_back=lambda now, which: seen.append((now, which)))
    handling._back(made, Tag(tag))(SimpleNamespace(causes=causes, machines=machines, now=9.0))  # type: ignore[arg-type]
    assert causes.lost == still_lost
    assert causes.faults == {"P-9": "out"} and causes.frozen == {} and machines.known_out == {"P-9"}
    assert seen == [tag, (9.0, {"P-1"} if "M2" not in still_lost else set())]


@pytest.mark.parametrize(("live", "asleep"), [([], ()), (["auto"], ("I-2",)), (["auto", "hand"], ())])
def test_what_sleeps_in_a_mode(live: list[str], asleep: tuple[str, ...]) -> None:
    made = plant(modes={tag: {"name": tag, "means": "x"} for tag in ("auto", "hand")}, interlocks={"I-2": {"live_in": live}})
    assert handling._asleep(made, Tag("hand")) == asleep


def test_what_a_person_does_is_marked_as_handled() -> None:
    seen: list[Any] = []
    logic = SimpleNamespace(bypass=lambda *told: seen.append(told), asleep=frozenset(),
                            reset=lambda tag, now: (tag, now) == ("I-2", 7.0))
    log = SimpleNamespace(given=lambda now, levels, words, tags: seen.append(words))
    run = SimpleNamespace(is_handled=False, is_moded=False, logic=logic, flows=SimpleNamespace(asleep=frozenset()), log=log,
                          now=7.0, levels={})
    for is_on in (True, False):
        run.is_handled = False
        handling._bypass(Tag("I-2"), is_on)(run)  # type: ignore[arg-type]
        assert run.is_handled and seen.pop() == ("I-2", is_on, 7.0)
    handling._mode(("I-2",))(run)  # type: ignore[arg-type]
    assert run.is_moded and run.logic.asleep == run.flows.asleep == frozenset({"I-2"})
    for tag, words in (("I-2", "the reset of I-2 is accepted"), ("I-9", "the reset of I-9 is refused")):
        run.is_handled = False
        handling._reset(Tag(tag))(run)  # type: ignore[arg-type]
        assert run.is_handled and seen.pop() == words
