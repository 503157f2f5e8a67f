"""Contacts against the truth table of common practice: what opens to act shows its faults, what closes hides them."""

from typing import Any

import pytest

from generator.model.results import ContactResult
from tests.compute import small

UPS = {"UPS-1": {"kind": "uninterruptible", "voltage": "24 V"}}
TOLD = {"UPS-1": {"kind": "uninterruptible", "voltage": "24 V", "loss_shown_by": "UA-9"}}


def lock(then: dict[str, str], **keys: Any) -> dict[str, Any]:
    return {"area": "A", "service": "function", "kind": "trip", "when": "LS-1", "then": then, **keys}


def run(acts: str, at_the_point: str, interlock: dict[str, Any] | None, *, supervised: str = "no",
        supplies: dict[str, Any] = UPS, body: dict[str, Any] | None = None, contact: dict[str, Any] | None = None,
        alarms: dict[str, Any] | None = None, **nouns: Any) -> ContactResult:
    wiring = {"panel": "LP-1", "supply": "UPS-1", "supervised": supervised}
    body = {"wiring": wiring, **(body or {})}
    results = small.worked(
        panels={"LP-1": {"area": "A", "where": "gallery"}}, supplies=supplies,
        signals={"UA-9": {"area": "A", "service": "supply lost", "kind": "supply lost"}},
        instruments={"LX-1": small.body(**body)},
        switches={"LS-1": small.switch(acts, issued="2 m", role="trip",
                                       contact={"at_the_point": at_the_point, **(contact or {})})},
        pumps={"P-1": small.pump()},
        valves={"XV-1": {"area": "A", "service": "inlet", "kind": "on-off"}},
        interlocks={} if interlock is None else {"I-1": interlock}, alarms=alarms or {}, **nouns)
    return results.contacts["LS-1"]


CLOSE, STOP, START = {"XV-1": "closed"}, {"P-1": "stopped"}, {"P-1": "running"}


@pytest.mark.parametrize(("acts", "at_the_point", "then", "running", "acted", "faults_act", "safe"), [
    # rows of the truth table (common practice, no source): trip on high and on low level, either kind of contact
    ("rising", "opens", CLOSE, "closed", "open", True, True),
    ("rising", "closes", CLOSE, "open", "closed", False, False),
    ("falling", "opens", STOP, "closed", "open", True, True),
    ("falling", "closes", STOP, "open", "closed", False, False),
])
def test_truth_table_of_trips(acts: str, at_the_point: str, then: dict[str, str], running: str, acted: str,
                              faults_act: bool, safe: bool) -> None:
    made = run(acts, at_the_point, lock(then))
    assert (made.running, made.acted, made.wire_broken, made.supply_lost) == (running, acted, "open", "open")
    assert made.is_fail_safe is safe
    said = {situation: (state, follows) for situation, state, follows in made.sentences}
    for situation in ("Wire broken or terminal loose", "Supply UPS-1 lost"):
        assert ("I-1 acts" in said[situation][1]) is faults_act
        assert ("Nobody is told" in said[situation][1]) is not faults_act
    away, reached = ("below", "risen") if acts == "rising" else ("above", "fallen")
    assert "I-1 acts" not in said[f"Plant running, liquid {away} the point"][1]
    assert "I-1 acts" in said[f"Liquid has {reached} to the point"][1]
    # a short is the other way round: it hides what opens to act
    state, follows = said["Cores shorted together"]
    assert state == made.wire_shorted == "closed"
    assert ("I-1 acts" in follows) is not faults_act
    assert ("short between its cores" in made.why) is faults_act


def test_start_of_a_drain_pump_is_judged_by_supervision_and_supply_not_by_its_contact() -> None:
    for at_the_point in ("opens", "closes"):
        bare = run("rising", at_the_point, lock(START))
        assert bare.is_fail_safe is False
        assert "needs power" in bare.why and "supervised" in bare.why and "lost supply" in bare.why
        watched = run("rising", at_the_point, lock(START), supervised="yes", supplies=TOLD)
        assert watched.is_fail_safe is True
        half = run("rising", at_the_point, lock(START), supervised="yes")
        assert half.is_fail_safe is False and "lost supply" in half.why


def test_alarm_of_a_sump_that_opens_is_preferred() -> None:
    alarm = {"LAH-1": {"from": "LS-1", "text": "HIGH", "priority": "high", "means": "high", "first": "look"}}
    opening = run("rising", "opens", None, alarms=alarm)
    assert opening.is_fail_safe is True and "LAH-1 sounds" in opening.sentences[2][2]
    assert run("rising", "closes", None, alarms=alarm).is_fail_safe is False
    # a float needs no supply of its own, but its loop does: a break and a dead loop must both be told
    assert run("rising", "closes", None, alarms=alarm, supervised="yes").is_fail_safe is False
    told = run("rising", "closes", None, alarms=alarm, supervised="yes", supplies=TOLD)
    assert told.is_fail_safe is True and "does not stay hidden" in told.why
    assert run("rising", "closes", None, alarms=alarm, supplies=TOLD).is_fail_safe is False
    # a trip is another matter: to be told is not to act
    assert run("rising", "closes", lock(CLOSE), supervised="yes", supplies=TOLD).is_fail_safe is False


def test_supervision_that_trips_and_a_shown_supply_make_up_for_a_closing_contact() -> None:
    whole = run("rising", "closes", lock(CLOSE, bad_signal="trips"), supervised="yes", supplies=TOLD)
    assert whole.is_fail_safe is True and "by itself" in whole.why
    for interlock, supervised, supplies in ((lock(CLOSE, bad_signal="holds"), "yes", TOLD),
                                            (lock(CLOSE, bad_signal="trips"), "no", TOLD),
                                            (lock(CLOSE, bad_signal="trips"), "yes", UPS)):
        assert run("rising", "closes", interlock, supervised=supervised, supplies=supplies).is_fail_safe is False


@pytest.mark.parametrize(("condition", "at_the_point", "safe"), [
    ({"not": "LS-1"}, "opens", True), ({"not": "LS-1"}, "closes", False),
    ("LS-1", "closes", True), ("LS-1", "opens", False)])
def test_a_permissive_is_safe_where_faults_withhold_the_start(condition: Any, at_the_point: str, safe: bool) -> None:
    made = run("falling", at_the_point, lock(START, kind="permissive", when=condition))
    assert made.is_fail_safe is safe


@pytest.mark.parametrize(("shelf", "safe"), [("open", True), ("closed", False), (None, None)])
def test_a_powered_device_that_dies_alone_shows_its_shelf_state(shelf: str | None, safe: bool | None) -> None:
    contact = {} if shelf is None else {"on_the_shelf": shelf}
    made = run("rising", "opens", lock(CLOSE), body={"technology": "vibrating fork"}, contact=contact)
    assert made.supply_lost == (shelf or "")
    assert made.is_fail_safe is safe


@pytest.mark.parametrize(("acts", "at_the_point", "shelf", "fits"), [
    ("rising", "opens", "closed", True), ("rising", "opens", "open", False),
    ("falling", "opens", "open", True), ("falling", "closes", "open", False)])
def test_a_dry_float_on_the_shelf_must_fit_what_it_does_at_the_point(
    acts: str, at_the_point: str, shelf: str, fits: bool,
) -> None:
    made = run(acts, at_the_point, lock(CLOSE), contact={"on_the_shelf": shelf})
    assert (made.is_fail_safe is None) is not fits
    assert ("contradict" in made.why) is not fits
    assert (f"is {'below' if acts == 'rising' else 'past'} its point" in made.why) is not fits


def test_ordinary_control_has_no_safe_side() -> None:
    made = run("falling", "opens", None, controls={
        "LC-1": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "P-1", "starts": ["LS-1"],
                 "stops": "LS-1"}})
    assert made.is_fail_safe is None
    assert "LC-1 stops P-1" in made.sentences[1][2]


@pytest.mark.parametrize(("answer", "safe"), [("trips", True), ("holds", False), ("ignored", False), (None, None)])
def test_a_set_point_on_a_transmitter_is_judged_by_its_answer_to_a_bad_signal(
    answer: str | None, safe: bool | None,
) -> None:
    keys = {} if answer is None else {"bad_signal": answer}
    results = small.worked(
        instruments={"LX-1": small.body(technology="guided radar", signal="4-20 mA",
                                        range={"lower": "0 m", "upper": "4 m"})},
        switches={"LS-1": small.switch("rising", issued="2 m", role="trip")},
        valves={"XV-1": {"area": "A", "service": "inlet", "kind": "on-off"}}, interlocks={"I-1": lock(CLOSE, **keys)})
    made = results.contacts["LS-1"]
    assert made.is_fail_safe is safe
    assert made.wire_broken == "signal out of its band" and len(made.sentences) == 5


def test_a_device_of_a_technology_of_its_own_says_itself_whether_it_needs_power() -> None:
    unknown = run("rising", "opens", lock(CLOSE), body={"technology": "other"})
    assert unknown.supply_lost == "" and unknown.is_fail_safe is None
    assert "needs power" in unknown.sentences[4][2]
    assert run("rising", "opens", lock(CLOSE), body={"technology": "other", "powered": "no"}).is_fail_safe is True


@pytest.mark.parametrize(("written", "told"), [("yes", True), ("no", False), (None, True)])
def test_what_is_written_of_supervision_wins_over_what_a_two_wire_sensor_could_show(written: str | None, told: bool) -> None:
    wiring = {"panel": "LP-1", "supply": "UPS-1"} | ({} if written is None else {"supervised": written})
    made = run("rising", "opens", lock(CLOSE), body={"signal": "two-wire sensor", "wiring": wiring})
    assert ("shown" in made.sentences[3][2]) is told
    assert len(made.currents) == 5


@pytest.mark.parametrize(("state", "then", "safe"), [
    # stopping a pump is not always safe (common practice, no source): a wet well floods when its drain pump stands
    ("outflow running", STOP, False), ("drain pumps running and inflow stopped", STOP, False),
    ("inflow stopped", STOP, True), ("outflow running", {"XV-1": "closed"}, True)])
def test_stopping_is_judged_against_the_safe_state_of_the_hazard(state: str, then: dict[str, str], safe: bool) -> None:
    hazard = {"H-1": {"what": "flood", "harms": "people", "begins_at": "T-1 overflow", "safe_state": state}}
    made = run("rising", "opens", lock(then, hazard="H-1"), hazards=hazard)
    assert made.is_fail_safe is safe
    assert ("opposite" in made.why) is not safe


def test_every_sentence_of_an_opening_trip_contact() -> None:
    """By hand, for a float that needs no power, on a line that is not supervised and on one that is."""
    act = "Looks as if the liquid had reached the point. I-1 acts"
    for supervised, shown in (("no", ""), ("yes", "The line is supervised, so the {} is shown. ")):
        made = run("rising", "opens", lock(CLOSE), supervised=supervised, supplies=TOLD)
        said = {situation: (state, words) for situation, state, words in made.sentences}
        assert list(said) == ["Plant running, liquid below the point", "Liquid has risen to the point",
                              "Wire broken or terminal loose", "Cores shorted together", "Supply UPS-1 lost"]
        assert said["Plant running, liquid below the point"] == ("closed", "Nothing follows.")
        assert said["Liquid has risen to the point"][0] == "open"
        assert said["Wire broken or terminal loose"][1].startswith(shown.format("break") + act)
        assert said["Supply UPS-1 lost"][1].startswith(shown.format("loss") + act)
        assert said["Supply UPS-1 lost"][1].endswith("UA-9 tells of the lost supply.")
        state, words = said["Cores shorted together"]
        assert state == "closed" and words == (
            shown.format("short") + "Looks as if all were well." if supervised == "yes" else
            "Looks as if all were well. Nobody is told, and the point cannot act.")
        assert ("A short between its cores would stay hidden" in made.why) is (supervised == "no")


def test_a_closing_contact_hides_a_break_but_a_supervised_line_shows_it() -> None:
    for supervised, words in (("no", "Looks as if all were well. Nobody is told, and the point cannot act."),
                              ("yes", "The line is supervised, so the break is shown. Looks as if all were well.")):
        made = run("falling", "closes", lock(STOP), supervised=supervised)
        assert made.sentences[2] == ("Wire broken or terminal loose", "open", words)
        assert made.sentences[0][0] == "Plant running, liquid above the point" and made.sentences[0][1] == "open"
        assert made.sentences[1][0] == "Liquid has fallen to the point" and made.sentences[1][1] == "closed"
        rest = "The line is supervised, so a break is shown but does not act."
        assert made.is_fail_safe is False and (rest in made.why) is (supervised == "yes")
        assert "a broken wire and a lost supply would stay hidden" in made.why
    assert run("falling", "closes", lock(STOP), supplies=TOLD).sentences[4] == (
        "Supply UPS-1 lost", "open", "Looks as if all were well. The point cannot act. UA-9 tells of the lost supply.")


@pytest.mark.parametrize(("acts", "at_the_point", "keeps", "shelf"), [
    # without liquid a float lies below every point: a high point is away from its action, a low one has acted
    ("rising", "opens", False, "closed"), ("rising", "closes", False, "open"), ("falling", "opens", False, "open"),
    ("falling", "closes", False, "closed"), ("rising", "opens", True, ""),
])
def test_the_state_on_the_shelf(acts: str, at_the_point: str, keeps: bool, shelf: str) -> None:
    made = run(acts, at_the_point, lock(CLOSE), contact={"keeps_state": "yes"} if keeps else {})
    assert made.shelf == shelf
    assert ("keeps this state" in made.sentences[1][2]) is keeps and "keeps this state" not in made.sentences[0][2]
    assert run(acts, at_the_point, lock(CLOSE), body={"powered": "yes"}).shelf == ""


@pytest.mark.parametrize(("supervised", "supplies", "safe"), [("yes", TOLD, None), ("no", UPS, False)])
def test_one_duty_that_cannot_be_judged_leaves_the_contact_open_and_one_that_fails_fails_it(
    supervised: str, supplies: dict[str, Any], safe: bool | None,
) -> None:
    """A fork of which no shelf state is recorded: of its trip the lost supply is open, its start is judged by its line alone."""
    wiring = {"panel": "LP-1", "supply": "UPS-1", "supervised": supervised}
    judged = [small.worked(
        panels={"LP-1": {"area": "A", "where": "gallery"}}, supplies=supplies,
        signals={"UA-9": {"area": "A", "service": "supply lost", "kind": "supply lost"}},
        instruments={"LX-1": small.body(technology="vibrating fork", wiring=wiring)},
        switches={"LS-1": small.switch("rising", issued="2 m", role="trip", contact={"at_the_point": "opens"})},
        pumps={"P-1": small.pump()}, valves={"XV-1": {"area": "A", "service": "inlet", "kind": "on-off"}},
        interlocks=locks).contacts["LS-1"].is_fail_safe
        for locks in ({"I-1": lock(CLOSE)}, {"I-1": lock(CLOSE), "I-2": lock(START)})]
    assert judged == [None, safe]
