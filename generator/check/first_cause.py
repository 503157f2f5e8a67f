"""Which cause of a trip came first: rule 2.16."""

from generator.check.conditions import IS_TRIP
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import OfInterlock
from generator.check.words import listed
from generator.model.condition import in_short

SEVERAL = When("it is held, and more than one cause makes it act", lambda subject: (
    subject.interlock.latch is not None and len(subject.interlock.causes) > 1))


@rule("2.16", "The trip with several causes says whether the first is kept", scope="interlock", severity="warning",
      basis="common practice, no source", conditions=(IS_TRIP, SEVERAL))
def trip_says_whether_the_first_cause_is_kept(subject: OfInterlock) -> Answer:
    """Asks of a held trip that several points or signals can bring about: whether which came first is kept until the reset; where
    it is, also where a person reads it and how close together two causes can still be told apart.

    When somebody comes to look, the level has often gone back and every point is clear. Members of a vote count as causes, the
    manual stop does not: who pushed it knows. Cure: state `first_cause`, also where nothing keeps it: `held: no`.
    """
    first = subject.interlock.first_cause
    causes = listed([in_short(way) for way in subject.interlock.causes])
    if first is None:
        return Fail(f"not stated; its causes are {causes}", "first cause not stated", "state `first_cause`")
    if not first.held:
        return Pass("nothing keeps it, and the page says so")
    if not first.shown_at:
        return Fail("it is kept, and no place is named where it can be read", "first cause shown nowhere", "state `shown_at`",
                    at=first.place)
    if first.told_apart is None:
        return Missing((f"{subject.tag}: first_cause.told_apart",))
    return Pass(f"kept, shown at {listed(map(str, first.shown_at))}, told apart from {first.told_apart.written} on")
