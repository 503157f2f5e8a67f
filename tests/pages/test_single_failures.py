"""What is left when one thing fails: the sentences of the switch page and of the interlock page say the same."""


import pytest
from msgspec.structs import replace

from generator.model.page import plain
from generator.pages import comparisons, single_failures, switch_backup
from tests.compute import small
from tests.pages.plants import DEMO, context

DEVIATION = {"from": "D", "text": "D", "priority": "low", "means": "x", "first": "x"}


def _stuck(tag: str) -> str:
    return plain(single_failures.failures(context(DEMO), tag)[0].words)


def test_a_permissive_counts_the_trip_on_a_body_of_its_own() -> None:
    """The permission to unload rests on LSH-411; the overfill trip on LSHH-412, in another body of the same tank."""
    plant = context(DEMO).plant
    assert plant.switches["LSH-411"].in_ != plant.switches["LSHH-412"].in_  # type: ignore[index]
    assert "I-410" in _stuck("I-411")
    assert "Nothing" not in _stuck("I-411")


def test_interlock_and_switch_page_agree_on_other_bodies() -> None:
    """An interlock of one point says "nothing" only where its point's page has no alarm or trip on another body."""
    made = context(DEMO)
    for tag, lock in made.plant.interlocks.items():
        causes = [one for one in dict.fromkeys(lock.when.tags()) if one in made.plant.switches]
        if len(causes) != 1:
            continue
        independent = [row.point.text for row in switch_backup.backups(made, causes[0]) if row.is_independent
                       and made.plant.switches[row.point.text].role in ("alarm", "trip")]  # type: ignore[index]
        if independent:
            assert "Nothing" not in _stuck(tag), (tag, independent)


@pytest.mark.parametrize(("failed", "other"), [("LSH-610A", "LSH-610B"), ("LSH-610A", "LSH-610C")])
def test_a_control_point_leaves_the_time_to_the_next_alarm(failed: str, other: str) -> None:
    """Against the volume between the upper edge of the point and the lower edge of the alarm, over the worst inflow."""
    made = context(DEMO)
    row = next(one for one in switch_backup.backups(made, failed) if one.point.text == other)
    assert row.until.startswith("LSH-611")
    tank = made.results.tanks["T-610"]
    start, end = made.results.setpoints[other].act, made.results.setpoints["LSH-611"].act
    assert tank.vessel is not None and start is not None and end is not None
    most = (tank.vessel.volume_at(end.low) - tank.vessel.volume_at(start.high)) / tank.filling.value / 60  # type: ignore[union-attr]
    assert 0 < float(row.leaves.number) <= most


def test_no_row_says_that_nothing_follows_where_a_limit_stands_beyond() -> None:
    made = context(DEMO)
    for tag in made.plant.switches:
        for row in switch_backup.backups(made, tag):
            assert row.leaves.unit or row.leaves.number in ("cannot be assessed", "nothing follows"), (tag, row)
            assert row.leaves.number != "nothing follows" or made.plant.switches[tag].acts == "falling", (tag, row)


def test_a_contact_whose_lost_supply_is_told_of_does_not_say_that_nobody_is_told() -> None:
    for result in context(DEMO).results.contacts.values():
        for _, _, follows in result.sentences:
            assert not ("Nobody is told" in follows and "tells of the lost supply" in follows), (result.tag, follows)


def test_a_failure_that_touches_another_hazard_is_not_said_to_touch_none() -> None:
    """The row on the page of an interlock against the worked-out failure: what is left out is named, with a link."""
    made = context(DEMO)
    found = single_failures.touching(made)
    named = 0
    for tag, lock in made.plant.interlocks.items():
        shown = single_failures.of_interlock(made, tag, found)
        for row, effect in zip(shown, found.by_lock.get(tag, ()), strict=True):
            others = {one.hazard for one in effect.exposures} - {lock.hazard}
            words = plain(row.elsewhere)
            assert all(hazard in words for hazard in others) or "more" in words, (tag, effect)
            assert all(f"{tank} {way}" in words for tank, way in effect.levels
                       if tank not in made.plant.tanks_of_interlock[tag])
            named += bool(words)
    assert named > 10


def test_a_detected_fault_of_one_member_is_not_said_to_trip_a_vote() -> None:
    """Two of three with one bad signal is one of the two that are left, not a trip (counted by hand)."""
    facts = {fact.label: plain(fact.words) for fact in single_failures.failures(context(DEMO), "I-321")}
    assert facts["Fault detected"] == "On a detected fault of a sensor that member counts as acted."
    others = {fact.label: plain(fact.words) for fact in single_failures.failures(context(DEMO), "I-320")}
    assert others["Fault detected"] == "On a detected fault of a sensor it acts."


def test_members_that_a_deviation_alarm_compares_say_who_is_told_and_by_what() -> None:
    """LDA-324B compares A with B, LDA-324C A with C, both shown at CR-1; floats, so they differ only at their points."""
    said = _stuck("I-321")
    assert said.startswith("LDA-324B and LDA-324C tell of it at CR-1, once the level has come to the point of one that still")
    assert "until then, or until the next test, nobody is told" in said


def test_bodies_that_nothing_compares_are_named() -> None:
    made = context(DEMO)
    plain_words = [_stuck(tag) for tag, lock in made.plant.interlocks.items()
                   if not {made.plant.switches[one].in_ for one in lock.when.tags() if one in made.plant.switches}
                   & {body for alarm in made.plant.alarms.values() for body in alarm.deviation_of}]
    assert len(plain_words) > 10
    assert all(words.startswith("Nobody is told until the next test.") for words in plain_words)


def test_of_a_pair_that_is_compared_and_one_that_is_not_the_one_is_named() -> None:
    plant = small.plant(
        signals={"D": {"area": "A", "service": "differ", "kind": "other"}},
        instruments={f"LX-{one}": small.body() for one in "ABC"},
        switches={one: small.switch("rising", issued="3 m", role="trip", **{"in": f"LX-{one}"}) for one in "AC"},
        interlocks={"I": {"area": "A", "service": "x", "kind": "releasing interlock", "because": "x",
                          "when": {"any_of": ["A", "C"]}, "then": {"P-1": "stopped"}}}, pumps={"P-1": small.pump()},
        alarms={"LDA": DEVIATION | {"deviation_of": ["LX-A", "LX-B"]}})
    made = replace(context(DEMO), plant=plant)
    words = plain(single_failures._told(made, ("LX-A", "LX-C")))
    assert words.startswith("LDA tells of it, once the level has come")
    assert words.endswith("Of LX-C nobody is told until the next test. ")


def test_transmitters_that_are_compared_differ_as_soon_as_the_level_moves() -> None:
    span = {"range": {"lower": "0 m", "upper": "3 m"}, "signal": "4-20 mA"}
    plant = small.plant(
        instruments={"LT-A": small.body(**span), "LT-B": small.body(**span)},
        signals={"D": {"area": "A", "service": "differ", "kind": "other"}},
        alarms={"LDA": DEVIATION | {"deviation_of": ["LT-A", "LT-B"]}})
    words = plain(comparisons.told(replace(context(DEMO), plant=plant), ("LT-B",)))
    assert words == "LDA tells of it, as soon as the level moves"


def test_a_shorted_stop_says_that_pushing_it_does_nothing() -> None:
    """HS-340 breaks its circuit to stop: a break looks pushed, a short across its contact keeps it closed for good."""
    facts = [plain((fact.label, ": ", *fact.words)) for fact in single_failures.failures(context(DEMO), "I-340")]
    assert "Wire broken: HS-340: looks as if it were on." in facts
    assert "Wire shorted: HS-340: pushing it does nothing, and nobody is told until it is tried." in facts
