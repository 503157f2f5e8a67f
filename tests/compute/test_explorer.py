"""The table of the explorer against truth tables: sympy judges each state of a sound plant anew from its contacts."""

from functools import cache, lru_cache

import pytest
from sympy import And, Not, Or, Symbol
from sympy.logic.boolalg import Boolean, true

from generator.compute import explorer
from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Vote
from generator.model.condition import Not as Clear
from generator.model.course import Explorer
from generator.model.scalar import Tag
from tests.compute import small
from tests.pages.plants import DEMO, LOGIC, context

RISING, FALLING, RISING_HELD, FALLING_HELD = range(4)


def judged(condition: Condition) -> Boolean:
    """A condition as sympy's own formula; a vote as the disjunction of all its winning pairs, triples and so on."""
    from itertools import combinations

    match condition:
        case Acted(tag=tag):
            return Symbol(str(tag))
        case Clear(part=part):
            return Not(judged(part))
        case Held(part=part):
            return judged(part)
        case AnyOf(inner=parts):
            return Or(*map(judged, parts))
        case AllOf(inner=parts):
            return And(*map(judged, parts))
        case Vote(needed=needed, inner=parts):
            return Or(*(And(*map(judged, some)) for some in combinations(parts, needed)))
    raise TypeError(condition)


@cache
def is_true(condition: Condition, acted: frozenset[str]) -> bool:
    return bool(judged(condition).subs({str(tag): tag in acted for tag in condition.tags()}) == true)


@lru_cache(maxsize=2)
def explorers(source: str) -> tuple[tuple[str, Explorer], ...]:
    one = context(source)
    return tuple(one.results.explorers.items())


@pytest.mark.parametrize("source", [DEMO, LOGIC])
def test_interlocks_follow_their_contacts(source: str) -> None:
    plant = context(source).plant
    looked_at = 0
    for _, made in explorers(source):
        places = {item.tag: place for place, item in enumerate(made.items)}
        for way in made.states[0]:
            for band in way:
                acted = {tag for tag, place in places.items() if band[place] == "acted"}
                for item in made.items:
                    lock = plant.interlocks.get(Tag(item.tag))
                    if lock is None or not set(lock.when.tags()) <= set(places):
                        continue
                    asked = is_true(lock.when, frozenset(acted & set(lock.when.tags())))
                    assert (band[places[item.tag]] in ("acts", "allows")) == asked, (item.tag, band)
                    looked_at += 1
    assert looked_at >= 20


def test_a_stuck_point_stays_and_a_stuck_element_too() -> None:
    for _, made in explorers(DEMO):
        places = {item.tag: place for place, item in enumerate(made.items)}
        for fault, states in list(zip(made.faults, made.states, strict=True))[1:]:
            if fault.how in ("wet", "dry"):
                continue
            seen = {band[places[fault.tag]] for way in states for band in way}
            assert seen == {fault.how} if fault.how in ("acted", "clear") else len(seen) == 1, fault


def test_every_point_acts_in_the_band_beyond_its_height() -> None:
    one = context(DEMO)
    for tag, made in explorers(DEMO):
        for point in one.plant.switches_of[tag]:
            place = next((place for place, item in enumerate(made.items) if item.tag == point), None)
            stands = one.results.setpoints[point].stands
            if place is None or stands is None:
                continue
            rises = one.plant.switches[point].acts == "rising"
            bounds = (made.bottom, *made.edges, made.top)
            for band, low in enumerate(bounds[:-1]):
                beyond = low >= stands - 1e-6 if rises else bounds[band + 1] <= stands + 1e-6
                if beyond:
                    assert made.states[0][0][band][place] == "acted"
                    assert made.states[0][1][band][place] == "acted"


def test_trips_stay_held_on_the_way_back() -> None:
    made = dict(explorers(DEMO))["T-310"]
    place = next(place for place, item in enumerate(made.items) if item.tag == "I-310")
    falling = [band[place] for band in made.states[0][FALLING_HELD]]
    assert "held, reset accepted" in falling
    assert "held, reset accepted" not in [band[place] for band in made.states[0][RISING]]


def test_a_tank_without_a_normal_band_starts_half_full() -> None:
    made = dict(small.worked(switches={"LSH-1": small.switch("rising", issued="3 m")}).explorers)["T-1"]
    assert made.start == pytest.approx(2.0)  # half of 4 m


def test_a_stuck_body_holds_all_its_points() -> None:
    """A float that stays up has passed each of its points: those that act on rising stand, those on falling are clear."""
    plant = context(DEMO).plant
    made = dict(explorers(DEMO))["T-420"]
    places = {item.tag: place for place, item in enumerate(made.items)}
    points = plant.points_of[Tag("LX-420")]
    assert len(points) == 5
    for how in ("wet", "dry"):
        (number,) = (number for number, fault in enumerate(made.faults) if (fault.tag, fault.how) == ("LX-420", how))
        for point in points:
            seen = {band[places[point]] for way in made.states[number] for band in way}
            assert seen == {"acted" if (plant.switches[point].acts == "rising") == (how == "wet") else "clear"}, point


def test_a_duty_pump_that_does_not_run_brings_in_the_standby() -> None:
    """As in the scenario and in the narrative: the group counts out what did not show running in time."""
    made = dict(explorers(DEMO))["T-310"]
    places = {item.tag: place for place, item in enumerate(made.items)}
    (number,) = (number for number, fault in enumerate(made.faults) if fault.tag == "P-310A")
    assert made.faults[number].words == "P-310A stays stopped"
    sound, hurt = made.states[0], made.states[number]
    asked = [(way, band) for way in (0, 1) for band, state in enumerate(sound[way])
             if "running" in (state[places["P-310A"]], state[places["P-310B"]])]
    assert asked
    for way, band in asked:
        assert hurt[way][band][places["P-310A"]] == "stopped"
        assert hurt[way][band][places["P-310B"]] == "running", (way, band)


def _places(made: Explorer) -> dict[str, int]:
    return {item.tag: place for place, item in enumerate(made.items)}


@pytest.mark.parametrize("source", [DEMO, LOGIC])
def test_what_is_held_stays_held_on_the_whole_way_back_while_nobody_resets(source: str) -> None:
    """A latch, by its definition, lets go by a reset alone: from the first band where it acts it never rests again."""
    plant = context(source).plant
    looked_at = 0
    for _, made in explorers(source):
        for tag, place in _places(made).items():
            lock = plant.interlocks.get(Tag(tag))
            if lock is None or lock.latch is None:
                continue
            for states in made.states:
                for way, bands in ((RISING_HELD, states[RISING_HELD]), (FALLING_HELD, states[FALLING_HELD][::-1])):
                    said = [band[place] for band in bands]
                    first = next((number for number, one in enumerate(said) if one != "rests"), len(said))
                    assert "rests" not in said[first:], (tag, way, said)
                    looked_at += first < len(said)
    assert looked_at > 5


@pytest.mark.parametrize("source", [DEMO, LOGIC])
def test_a_reset_that_is_accepted_is_given_unless_nobody_resets(source: str) -> None:
    held = 0
    for _, made in explorers(source):
        for states in made.states:
            said = [{state for band in states[way] for state in band} for way in range(4)]
            assert "held, reset accepted" not in said[RISING] | said[FALLING]
            held += "held, reset accepted" in said[RISING_HELD] | said[FALLING_HELD]
    assert held > 5


def test_a_trip_of_the_hot_sump_is_held_down_through_the_normal_band() -> None:
    """T-340: normal up to 1.00 m, the deadband of the control ends over it. I-340 is held in every band below its point."""
    made = dict(explorers(DEMO))["T-340"]
    place = _places(made)["I-340"]
    assert {band[place] for band in made.states[0][FALLING_HELD]} == {"acts", "held, reset accepted"}
    assert made.states[0][FALLING_HELD][0][place] == "held, reset accepted"
    assert made.states[0][FALLING][0][place] == "rests"


def test_a_running_time_is_named_and_never_shown_as_over() -> None:
    """A pump that runs moves its signal; ten minutes of it are no matter of the level."""
    run = {"signals": {"YS": {"area": "A", "service": "runs", "kind": "running", "of": "P-1"},
                       "RS": {"area": "A", "service": "reset", "kind": "reset"}},
           "pumps": {"P-1": small.pump()}, "streams": {"out": small.stream("T-1", "outside", "36 m3/h", moved_by="P-1")},
           "switches": {"GO": small.switch("rising", issued="2 m", role="control"),
                        "NO": small.switch("falling", issued="1 m", role="control"),
                        "HH": small.switch("rising", issued="3 m", role="trip")},
           "valves": {"XV": {"area": "A", "service": "inlet", "kind": "on-off"}},
           "controls": {"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["GO"],
                              "stops": "NO"}},
           "interlocks": {"I": {"area": "A", "service": "x", "kind": "trip", "because": "x", "then": {"XV": "closed"},
                                "when": {"any_of": ["HH", {"held": "10 min", "of": "YS"}]}}}}
    made = dict(small.worked(**run).explorers)["T-1"]
    assert [(one.interlock, one.signal, one.is_on, one.time) for one in made.running_times] == [("I", "YS", True, "10 min")]
    lock, pump, high = (_places(made)[tag] for tag in ("I", "P-1", "HH"))
    rising = made.states[0][RISING]
    assert any(band[pump] == "running" and band[lock] == "rests" for band in rising)
    assert all((band[lock] == "acts") == (band[high] == "acted") for band in rising)


@pytest.mark.parametrize("source", [DEMO, LOGIC])
def test_what_follows_from_the_sound_states_is_what_walking_gives(source: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Faults that only alarms rest on, and elements that never move, need no walk of their own."""
    monkeypatch.setattr(explorer, "_alone", lambda *_: None)
    one = context(source)
    walked = explorer.results(one.plant, one.results.tanks, one.results.setpoints, one.results.contacts)
    for tag, made in explorers(source):
        assert [fault for fault, ours, theirs in zip(made.faults, made.states, walked[tag].states, strict=True)
                if ours != theirs] == []


@pytest.mark.parametrize(("arrangement", "runs"), [("duty/standby", True), ("duty/assist", False)])
def test_a_pump_that_is_found_out_has_its_place_taken_though_nothing_moved(arrangement: str, runs: bool) -> None:
    """P-1 stays stopped when it is told to run; its run contact says so, and only a standby starts instead.

    The normal band lies under the start, so that the level meets it once and nothing has been found out before.
    """
    pump = small.pump(feedback={"by": "run contact", "within": "5 s"})
    made = dict(small.worked(
        tanks={"T-1": small.tank(levels={"overflow": "3.5 m", "normal_low": "1.2 m", "normal_high": "1.5 m"})},
        pumps={"P-1": pump, "P-2": pump}, streams={"out": small.stream("T-1", "outside", "36 m3/h", moved_by="G")},
        pump_groups={"G": {"name": "x", "pumps": ["P-1", "P-2"], "arrangement": arrangement}},
        switches={"GO": small.switch("rising", issued="2 m", role="control"),
                  "NO": small.switch("falling", issued="1 m", role="control")},
        controls={"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G", "starts": ["GO"],
                        "stops": "NO"}}).explorers)["T-1"]
    place, number = _places(made), next(n for n, one in enumerate(made.faults) if (one.tag, one.how) == ("P-1", "stays"))
    high = [band for band in made.states[number][RISING] if band[place["GO"]] == "acted"]
    assert high
    assert {(band[place["P-1"]], band[place["P-2"]]) for band in high} == {("stopped", "running" if runs else "stopped")}
