"""Needs of a setpoint: each one's limit with its working, and by how much the height that stands keeps it."""


from msgspec.structs import replace

from generator.compute import growth, needs_of_heights, needs_of_starts, needs_of_volumes
from generator.compute.asked import About, Asked, before_acting
from generator.compute.bands import Side
from generator.compute.book import absences, missing_of
from generator.compute.heights import Unknown
from generator.model.knowledge import Knowledge
from generator.model.need import Above, AnyNeed, At, Before, Below, Covers, Cycling, GapOf, Reserve, RoomFor, Submerges
from generator.model.quantity import Length
from generator.model.record import Outcome, Record
from generator.model.results import NeedResult, Sense, Vessel
from generator.model.scalar import Tag

HAIR = 5e-4
"""Heights that differ by less than this are the same where no rounding step is given. [m]"""


def sense(need: AnyNeed, rises: bool) -> Sense:
    """Which way a need binds a point that acts on a rising (or falling) level."""
    if isinstance(need, At):
        return "exactly"
    if isinstance(need, Below | GapOf | RoomFor):
        return "at most"
    if isinstance(need, Before):
        return "at most" if rises else "at least"
    if isinstance(need, Cycling):
        return "at least" if rises else "at most"
    return "at least"


def words(need: AnyNeed, knowledge: Knowledge | None = None) -> str:
    """A need in words: `6 min before overflow, at the worst rate`."""
    if isinstance(need, At):
        return f"at {need.at.value.written}"
    if isinstance(need, Before):
        return f"{need.time.written} before {spelled(need.before)}, at the {need.rate} rate"
    if isinstance(need, Above):
        return f"{need.by.written} above {spelled(need.above)}" if need.by else f"above {spelled(need.above)}"
    if isinstance(need, Below):
        return f"{need.by.written} below {spelled(need.below)}" if need.by else f"below {spelled(need.below)}"
    if isinstance(need, Reserve):
        lasting = f"{need.lasts.written if need.lasts else 'a time'} of {spelled(need.of or 'a stream')}"
        return f"{need.reserve.written if need.reserve else lasting} in reserve above {spelled(need.above)}"
    if isinstance(need, Cycling):
        limit = need.starts.written if need.starts else "what it bears"
        return f"{need.cycling} starts no more often than {limit}, stopped by {spelled(need.above)}"
    if isinstance(need, Submerges):
        return f"{need.submerges} submerged" + (f", and {need.by.written} over that" if need.by else "")
    if isinstance(need, Covers):
        return f"{need.covers} covered" + (f" by {need.by.written}" if need.by else "")
    if isinstance(need, RoomFor):
        return f"room for {spelled(need.room_for)} below {spelled(need.below)}"
    rule = knowledge.rules.get(need.gap_of) if knowledge is not None else None
    return f"{rule.title if rule else spelled(str(need.gap_of).replace('-', ' '))}, below {spelled(need.below)}"


def spelled(key: str) -> str:
    """A key of the definitions as words: vortex_plate reads "vortex plate"; a tag stays as it is."""
    return str(key).replace("_", " ")


def results(about: About) -> tuple[NeedResult, ...]:
    """The limit of each need of a point; slack and tightest are still to come."""
    stated = about.plant.switches[Tag(about.point.tag)].height.needs
    return tuple(_result(number, need, about) for number, need in enumerate(stated, 1))


def judged(found: tuple[NeedResult, ...], stands: float | None, step: Length | None) -> tuple[NeedResult, ...]:
    """The same needs with the slack of the height that stands, the one with the least named the tightest."""
    if stands is None:
        return found
    slacks = [_slack(need, stands, step) for need in found]
    least = min((slack for slack in slacks if slack is not None), default=None)
    first = slacks.index(least) if least is not None else -1
    return tuple(replace(need, slack=slack, tightest=number == first)
                 for number, (need, slack) in enumerate(zip(found, slacks, strict=True)))


def met_within(step: Length | None) -> float:
    """How far off a fixed height may stand and still be met: half a setpoint step, a hair without one. [m]"""
    return step.si / 2 + 1e-9 if step and step.si else HAIR


def _slack(need: NeedResult, stands: float, step: Length | None) -> float | None:
    if not isinstance(need.limit, Record):
        return None
    if need.sense == "at most":
        return need.limit.value - stands
    if need.sense == "at least":
        return stands - need.limit.value
    away = abs(stands - need.limit.value)
    return 0.0 if away <= met_within(step) else -away


def _result(number: int, need: AnyNeed, about: About) -> NeedResult:
    key, said = f"#{about.point.tag}/needs/{number}", words(need, about.knowledge)
    side, limit = sense(need, about.rises), _limit(key, said, need, about)
    return NeedResult(said, side, limit, None, need.place, False, _is_beyond(side, limit, about.tank.vessel))


def _is_beyond(side: Sense, limit: Outcome, vessel: Vessel | None) -> bool:
    """Whether no height inside the vessel keeps a limit."""
    if not isinstance(limit, Record) or vessel is None:
        return False
    return (side != "at most" and limit.value > vessel.top + HAIR) or (side != "at least" and limit.value < vessel.bottom - HAIR)


def _limit(key: str, said: str, need: AnyNeed, about: About) -> Outcome:
    """The height of the point that the need allows: what its edge must keep, less the edge's distance."""
    asked = _asked(need, about, key)
    if isinstance(asked, Unknown):
        return about.book.absence(key, said, asked.why, asked.missing)
    way = sense(need, about.rises)
    if way == "exactly":
        return about.book.record(key, said, asked.height, "length", f"h = {asked.expression}", asked.inputs,
                                 validity=asked.validity, reference=asked.reference, note=asked.note)
    side: Side = "high" if way == "at most" else "low"
    if not isinstance(need, Submerges):  # its run-down counts from the same edge, with all that follows the action
        asked = before_acting(asked, about, side)
    if isinstance(asked, Unknown):
        return about.book.absence(key, said, asked.why, asked.missing)
    spread = about.point.spread(side, same_body=asked.same_body)
    if spread is None:
        return about.book.absence(key, said, "no accuracy is given", missing_of(absences([about.point.own])))
    sign, mark, relation = (-1, "-", r"\le") if side == "high" else (1, "+", r"\ge")
    # a volume's working may follow the height after a comma: the edge's terms belong to the height
    height, comma, working = asked.expression.partition(r", \quad ")
    equation = f"h {relation} " + f" {mark} ".join((height, *(term.symbol for term in spread))) + comma + working
    inputs = tuple({term.symbol: term for term in (*asked.inputs, *spread)}.values())
    return about.book.record(key, said, asked.height + sign * sum(term.value for term in spread), "length", equation,
                             inputs, validity=asked.validity, reference=asked.reference, note=asked.note)


def _asked(need: AnyNeed, about: About, key: str) -> Asked | Unknown:
    match need:
        case At():
            return needs_of_heights.at(need, about)
        case Above():
            return needs_of_heights.above(need, about)
        case Below():
            return needs_of_heights.below(need, about)
        case Covers():
            return needs_of_heights.covers(need, about)
        case Before():
            return needs_of_volumes.before(need, about)
        case RoomFor():
            return growth.room_for(need, about)
        case GapOf():
            return needs_of_volumes.gap_of(need, about)
        case Reserve():
            return needs_of_volumes.reserve(need, about)
        case Cycling():
            return needs_of_starts.cycling(need, about, key)
        case Submerges():
            return needs_of_volumes.submerges(need, about)
