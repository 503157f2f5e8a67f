"""Proof tests: rules 9.1 to 9.5 and 9.11."""

from generator.check.conditions import IS_TRIP
from generator.check.rule import Answer, Fail, Pass, When, rule
from generator.check.subjects import OfAlarm, OfInterlock, OfTest
from generator.check.words import listed, time

PRACTICE = "common practice, no source"
TESTING = "IEC 61511-1:2016, proof testing (from memory); HSE CRR 428"
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
