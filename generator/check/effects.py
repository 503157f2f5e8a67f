"""What the effects do to the liquid, and whether a cause can come true: rules 5.12 to 5.19."""

from generator.check.conditions import FORCES_A_STATE, RESTS_ON_LEVEL
from generator.check.context import Context
from generator.check.logic import parts_of
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import OfInterlock
from generator.check.words import height, listed
from generator.model.condition import AllOf
from generator.model.scalar import Tag

STOPPED, STARTED = ("stopped", "closed", "off"), ("running", "open", "on")


def moved(context: Context, tank: str, element: str) -> tuple[bool, bool]:
    """Whether an element moves liquid into a tank, and out of it."""
    plant = context.plant
    members = {element, *plant.members_of(element)}
    into = any(plant.streams[tag].moved_by in members or members & set(plant.streams[tag].through)
               for tag in plant.inflows_of[tank])
    out = any(plant.streams[tag].moved_by in members or members & set(plant.streams[tag].through)
              for tag in plant.outflows_of[tank] if not plant.streams[tag].by_overflow)
    out |= any(pump.suction.tank == tank for one in members if (pump := plant.pumps.get(Tag(one))) is not None)
    return into, out


def _helps(context: Context, tank: str, rising: bool, element: str, state: str) -> int:
    """+1 where the effect works against the cause, -1 where it feeds it, 0 where it does neither."""
    into, out = moved(context, tank, element)
    if into == out or state not in (*STOPPED, *STARTED):
        return 0
    raises = (into and state in STARTED) or (out and state in STOPPED)
    return -1 if raises == rising else 1


def _sides(subject: OfInterlock) -> list[tuple[str, bool]]:
    plant = subject.context.plant
    return list(dict.fromkeys((str(plant.tank_of(tag)), plant.switches[tag].acts == "rising")
                              for tag in subject.interlock.when.tags() if tag in plant.switches))


@rule("5.12", "The effect does not feed its own cause", scope="interlock", severity="error",
      basis="common practice, no source", conditions=(FORCES_A_STATE, RESTS_ON_LEVEL))
def effect_does_not_feed_its_cause(subject: OfInterlock) -> Answer:
    """Follows the streams: a rising cause must not stop what empties its tank, nor start what fills it; and mirrored.

    Where another effect of the same interlock works against the cause, it is a warning, since the reason may be good.
    Cure: act on the inflow, not on the outflow.
    """
    sides = _sides(subject)
    for tank, rising in sides:
        signs = {one: _helps(subject.context, tank, rising, one, state) for one,
                 state in subject.interlock.then.items()}
        feeding = [one for one, sign in signs.items() if sign < 0]
        if not feeding or (len(sides) > 1 and any(
                _helps(subject.context, other, side, one, subject.interlock.then[Tag(one)]) > 0
                for other, side in sides for one in feeding)):
            continue
        helped = any(sign > 0 for sign in signs.values())
        said = listed(f"{one} {subject.interlock.then[Tag(one)]}" for one in feeding)
        if helped and subject.interlock.note:
            continue
        return Fail(f"{said} lets {tank} {'rise' if rising else 'fall'} further", f"{said} feeds {tank}",
                    "act on the other side of the tank", at=subject.interlock.place_of("then"),
                    severity="warning" if helped else None, also=tuple(feeding))
    return Pass("no effect makes its cause worse")


@rule("5.13", "Stopping the inflow here floods nothing upstream", scope="interlock", severity="warning",
      basis="common practice, no source", conditions=(FORCES_A_STATE, RESTS_ON_LEVEL))
def stopped_inflow_floods_nothing(subject: OfInterlock) -> Answer:
    """Asks that a tank whose outflow the interlock stops has a point of its own that acts on a rising level.

    The liquid that no longer comes here stays where it came from.
    Cure: an alarm or a trip on the tank upstream.
    """
    plant = subject.context.plant
    own = set(plant.tanks_of_interlock[subject.tag])
    bare: list[str] = []
    for tag, state in subject.interlock.then.items():
        members = {tag, *plant.members_of(tag)}
        for stream in (plant.streams[one] for tank in own for one in plant.inflows_of[tank]):
            stops = stream.moved_by in members or members & set(stream.through)
            if stops and state in STOPPED and stream.from_ in plant.tanks and not any(
                    plant.switches[point].acts == "rising" and plant.switches[point].role in ("alarm", "trip")
                    for point in plant.switches_of[stream.from_]):
                bare.append(str(stream.from_))
    if bare:
        return Fail(f"{listed(bare)} has no point that acts when it rises", f"{listed(bare)} unprotected",
                    "add an alarm or a trip upstream", also=tuple(bare))
    return Pass("tanks upstream have points of their own, or none is stopped")


@rule("5.14", "Points that must agree stand at one height", scope="interlock", severity="warning",
      basis="common practice, no source; it follows from the meaning of all-of", conditions=(
          FORCES_A_STATE, When("the cause asks for several at once",
                               lambda subject: bool(list(parts_of(subject.interlock.when, AllOf))))))
def points_that_must_agree_stand_level(subject: OfInterlock) -> Answer:
    """Compares the heights of points of one tank and direction that an all-of joins.

    The cause comes true only at the last of them; the others earn no credit and mislead whoever reads their height.
    Cure: one height, or a vote.
    """
    plant, results = subject.context.plant, subject.context.results.setpoints
    for part in parts_of(subject.interlock.when, AllOf):
        seen: dict[tuple[str, str], tuple[str, float]] = {}
        for tag in part.tags():
            own = results.get(tag)
            if tag not in plant.switches or own is None:
                continue
            if own.stands is None:
                return Missing((f"{tag}: height.issued",))
            key = (own.tank, own.acts)
            other = seen.setdefault(key, (tag, own.stands))
            if abs(other[1] - own.stands) > 1e-3:
                return Fail(f"{other[0]} at {height(other[1])} and {tag} at {height(own.stands)} must both act",
                            f"{other[0]} {height(other[1])}, {tag} {height(own.stands)}", "use one height",
                            at=part.place)
    return Pass("no two heights")


@rule("5.15", "The cause can come true", scope="interlock", severity="error", basis="common practice, no source",
      conditions=(When("the cause asks for several at once",
                       lambda subject: bool(list(parts_of(subject.interlock.when, AllOf)))),))
def cause_can_come_true(subject: OfInterlock) -> Answer:
    """Looks for an all-of that wants a tank high and low at once: a rising point over a falling one, edges apart.

    Such an interlock never acts. Cure: any_of, or the right tags.
    """
    results = subject.context.results.setpoints
    for part in parts_of(subject.interlock.when, AllOf):
        points = [results[str(inner.tag)] for inner in part.parts()
                  if hasattr(inner, "tag") and inner.tag in results]
        for high in points:
            for low in points:
                if high.tank != low.tank or (high.acts, low.acts) != ("rising", "falling"):
                    continue
                if high.act is None or low.act is None:
                    return Missing((f"{(high if high.act is None else low).tag}: height.issued",))
                if low.act.high < high.act.low:
                    return Fail(f"{high.tag} acts from {height(high.act.low)} up, {low.tag} from "
                                f"{height(low.act.high)} down",
                                f"{high.tag} and {low.tag} at once", "correct the cause", at=part.place)
    return Pass("the levels that it asks for can stand together")
