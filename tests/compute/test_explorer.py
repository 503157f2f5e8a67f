"""The table of the explorer against truth tables: sympy judges each state of a sound plant anew from its contacts."""

from functools import cache, lru_cache

import pytest
from sympy import And, Not, Or, Symbol
from sympy.logic.boolalg import Boolean, true

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Vote
from generator.model.condition import Not as Clear
from generator.model.course import Explorer
from generator.model.scalar import Tag
from tests.compute import small
from tests.pages.plants import DEMO, LOGIC, context


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
    falling = [band[place] for band in made.states[0][1]]
    assert "held, reset accepted" in falling
    assert "held, reset accepted" not in [band[place] for band in made.states[0][0]]


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
