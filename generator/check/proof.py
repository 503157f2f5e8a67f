"""Tests and bypasses: rules 9.1 to 9.19."""

from generator.check.conditions import IS_TRIP
from generator.check.logic import parts_of
from generator.check.proved import proved
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import OfAlarm, OfInterlock, OfTest
from generator.check.words import listed, time
from generator.model.condition import Vote
from generator.model.scalar import Tag

PRACTICE = "common practice, no source"
TESTING = "IEC 61511-1:2016, proof testing (from memory); HSE CRR 428"
BYPASSING = "IEC 61511-1:2016, 16.2 (from memory)"
DAY = 86400.0


def _pieces(subject: OfInterlock) -> list[str]:
    plant = subject.context.plant
    causes = [str(tag) for tag in subject.interlock.when.tags() if tag in plant.switches]
    elements = [str(one) for target in subject.interlock.then for one in (plant.members_of(target) or (target,))]
    return [*causes, *elements]


@rule("9.1", "The trip has a test", scope="interlock", severity="by consequence", basis=TESTING, conditions=(IS_TRIP,))
def trip_has_a_test(subject: OfInterlock) -> Answer:
    """Asks for a test of the trip itself, or of a piece of it.

    A trip that is never needed is never known to work, unless somebody tries it. Cure: a test that covers it.
    """
    tests = subject.context.plant.tests_of
    found = [test for tag in (subject.tag, *_pieces(subject)) for test in tests[tag]]
    return Pass(f"covered by {listed(found)}") if found else Fail("no test covers it", "no test", "add a test")


@rule("9.2", "The tests reach from the liquid to the final element", scope="interlock", severity="warning",
      basis="PSLG, proof testing end to end", conditions=(IS_TRIP, When(
          "some test covers it", lambda subject: any(
              subject.context.plant.tests_of[tag] for tag in (subject.tag, *_pieces(subject))))))
def tests_reach_from_end_to_end(subject: OfInterlock) -> Answer:
    """Asks for one test of the whole interlock by wetting, or for tests of every point and every final element.

    Partial tests that do not overlap leave the piece between them untried. Cure: cover the missing pieces.
    """
    plant = subject.context.plant
    if any(plant.tests[test].method == "wetted" for test in plant.tests_of[subject.tag]):
        return Pass("the whole is tried by wetting")
    bare = [tag for tag in _pieces(subject) if not plant.tests_of[tag]]
    if bare:
        return Fail(f"no test covers {listed(bare)}, and none tries the whole by wetting",
                    f"{listed(bare)} not covered",
                    "cover the missing pieces", also=tuple(bare))
    return Pass("every piece is covered")


@rule("9.3", "A credited alarm has a test", scope="alarm", severity="by consequence", basis=TESTING, conditions=(
    When("the alarm is credited as protection", lambda alarm: alarm.alarm.safety),))
def credited_alarm_has_a_test(alarm: OfAlarm) -> Answer:
    """Asks for a test that covers the alarm or the point that raises it.

    Cure: a test that covers it.
    """
    tests = alarm.context.plant.tests_of
    found = [*tests[alarm.tag], *tests[alarm.alarm.from_]]
    return Pass(f"covered by {listed(found)}") if found else Fail("no test covers it", "no test", "add a test")


@rule("9.4", "The test is not overdue", scope="test", severity="warning", basis=PRACTICE, conditions=(
    When("it was done before, or the document claims to be as built", lambda test: (
        test.test.last is not None or test.context.plant.plant.document.status == "as built")),), needs=("interval",))
def proof_test_is_not_overdue(test: OfTest, interval: float) -> Answer:
    """Counts from the last day by the interval, and compares with the day of the document.

    Cure: do the test and record the day.
    """
    today = test.context.plant.plant.document.as_of
    if test.test.last is None:
        return Fail("it was never done", "never done", "do the test")
    over = (today - test.test.last).days - interval / DAY
    if over <= 0:
        return Pass(f"due in {time(-over * DAY)}")
    return Fail(f"last done {test.test.last.isoformat()}, overdue by {int(over) or 1} days",
                f"last done {test.test.last.isoformat()}", "do the test", at=test.test.place_of("last"))


@rule("9.11", "The last test lies before the day of the document", scope="test", severity="error", basis=PRACTICE,
      conditions=(When("it was done before", lambda test: test.test.last is not None),))
def last_test_lies_before_the_document(test: OfTest) -> Answer:
    """Compares the last day of the test with the day of the document.

    A test that lies in the future was not done, and the day hides how long ago the last one was.
    Cure: correct `last`, or `as_of` of the document.
    """
    last, today = test.test.last, test.context.plant.plant.document.as_of
    if last is None or last <= today:
        return Pass(f"last done {last.isoformat() if last else 'never'}")
    return Fail(f"last done {last.isoformat()}, and the document stands at {today.isoformat()}",
                f"last done {last.isoformat()}", "correct `last`, or `as_of`", at=test.test.place_of("last"))


@rule("9.5", "The interval of the test is stated", scope="test", severity="warning", basis=TESTING)
def interval_of_the_test_is_stated(test: OfTest) -> Answer:
    """Asks for the time between two tests, stated or inherited.

    Cure: state `interval`, or `test_interval` in the defaults.
    """
    interval = getattr(test.interval, "written", None)
    return Pass(str(interval)) if interval else Fail("not stated", "no interval", "state `interval`")


HAS_BYPASS = When("it may be bypassed", lambda subject: subject.interlock.bypass is not None)


@rule("9.6", "The bypass is seen while it lasts", scope="interlock", severity="by consequence", basis=BYPASSING,
      conditions=(HAS_BYPASS,), needs=("interlock.bypass.alarmed",))
def bypass_is_seen(subject: OfInterlock, alarmed: bool) -> Answer:
    """Asks that the bypass is alarmed while it lasts and when its time is over.

    Longest time, permission and substitute are part of the language already. A bypass that nobody sees is forgotten,
    and the next shift trusts the trip. Cure: alarm it.
    """
    bypass = subject.interlock.bypass
    longest = bypass.longest.written if bypass else ""
    if alarmed:
        return Pass(f"{longest}, alarmed")
    return Fail("it is not alarmed", "not alarmed", "alarm it while it lasts",
                at=bypass.place_of("alarmed") if bypass else None)


@rule("9.7", "What protects meanwhile does not rest on what is bypassed", scope="interlock", severity="error",
      basis=BYPASSING, conditions=(When("its substitute rests on something that has a tag", lambda subject: (
          subject.interlock.bypass is not None and bool(subject.interlock.bypass.relies_on))),))
def substitute_stands_by_itself(subject: OfInterlock) -> Answer:
    """Compares what the substitute rests on with the points of the interlock and with their bodies.

    A reading of the float that is bypassed because it is broken protects nobody.
    Cure: another instrument, or a dip by hand.
    """
    plant = subject.context.plant
    relies = subject.interlock.bypass.relies_on if subject.interlock.bypass else ()
    bodies = set(subject.context.bodies_of(subject.interlock))
    causes = set(subject.interlock.when.tags())
    bad = []
    for tag in relies:
        alarm = plant.alarms.get(Tag(tag))
        source = str(alarm.from_) if alarm else tag
        body = plant.switches[Tag(source)].in_ if source in plant.switches else source
        if source in causes or body in bodies or source == subject.tag:
            bad.append(tag)
    if bad:
        return Fail(f"{listed(bad)} rests on the bypassed body", f"relies on {listed(bad)}", "use something else",
                    at=subject.interlock.bypass.place_of("relies_on") if subject.interlock.bypass else None,
                    also=tuple(bad))
    return Pass(listed(relies))


@rule("9.8", "A start-up bypass ends by itself", scope="interlock", severity="by consequence", basis=BYPASSING,
      conditions=(When("it has a start-up bypass", lambda subject: (
          subject.interlock.bypass is not None and subject.interlock.bypass.start_up_only)),))
def start_up_bypass_ends_by_itself(subject: OfInterlock) -> Answer:
    """Asks for a condition or a time that ends it, and that the condition can come about.

    A start-up bypass that a person must take off stays on. Cure: state `ends` or `ends_after`.
    """
    bypass = subject.interlock.bypass
    if bypass is not None and bypass.ends is not None and bypass.ends_after is None:
        answer = proved(subject.context, "start-up bypass ends", subject.tag, "another condition, or `ends_after`",
                        at=bypass.place_of("ends"))
        return Pass("by a condition") if isinstance(answer, Pass) else answer
    if bypass is not None and bypass.ends_after is not None:
        return Pass(f"after {bypass.ends_after.written}")
    return Fail("nothing ends it", "no end", "state `ends` or `ends_after`", at=bypass.place if bypass else None)


@rule("9.9", "A vote with one member out is defined", scope="interlock", severity="warning", basis=BYPASSING,
      conditions=(
    HAS_BYPASS, When("the cause has a vote", lambda subject: bool(list(parts_of(subject.interlock.when, Vote))))))
def degraded_vote_is_defined(subject: OfInterlock) -> Answer:
    """Asks what a vote becomes when one member is bypassed or faulty: two of three becomes one of two, or two of two.

    Cure: state `degraded_vote`.
    """
    return Pass(str(subject.interlock.degraded_vote)) if subject.interlock.degraded_vote else Fail(
        "not stated", "degraded vote not defined", "state `degraded_vote`")


@rule("9.10", "A bypass leaves something against the hazard", scope="interlock", severity="by consequence",
      basis=BYPASSING, conditions=(HAS_BYPASS,))
def bypass_leaves_a_layer(subject: OfInterlock) -> Answer:
    """Takes the interlock out, with every other that the same key takes out, and asks what still stands.

    A trip that still acts, an alarm that still sounds, or a substitute under `relies_on` that rests on a working device
    of its own. Bodies with a known defect count as failed.
    Cure: state in `relies_on` what protects meanwhile, add an alarm, or give each bypass its own key.
    """
    bypass = subject.interlock.bypass
    return proved(subject.context, "bypass leaves a layer", subject.tag, "name a substitute that stands by itself",
                  at=bypass.place if bypass else None)
