"""Conditions and what they drive, in plain words: the text alternative of every diagram and matrix cell."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Not, Vote
from generator.model.interlock import Interlock
from generator.model.page import Amount, Part, Running, plain
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.context import Context

ANY, ALL, UNLESS = "any of these", "every one of these", "this does not stand"
LASTS = " for "
"""What stands before the delay of a point."""
PUSHED = ("manual stop", "emergency stop", "reset")
"""Signals that a person gives by pushing."""
GOES = {
    "closed": ("closes", "stays closed"),
    "open": ("opens", "stays open"),
    "stopped": ("stops", "stays stopped"),
    "running": ("starts", "keeps running"),
    "off": ("goes off", "stays off"),
    "on": ("goes on", "stays on"),
    "sounding": ("sounds", "keeps sounding"),
}
"""Each state a final element is driven to: what it does, and what it goes on doing while the trip is held."""
ACTION = {
    "closed": "CLOSE",
    "open": "OPEN",
    "stopped": "STOP",
    "running": "START",
    "off": "SWITCH OFF",
    "on": "SWITCH ON",
    "sounding": "SOUND",
}
"""The same as a command, for the head of a column."""
STANDS = {
    "closed": "SHUT",
    "open": "OPEN",
    "stopped": "STOPPED",
    "running": "RUNNING",
    "off": "OFF",
    "on": "ON",
    "sounding": "SOUNDING",
}
"""The same as a state."""
MAY = {
    "running": "start",
    "open": "open",
    "on": "be switched on",
    "closed": "close",
    "stopped": "stop",
    "off": "be switched off",
    "sounding": "sound",
}
"""What a permissive allows."""


FAULT: Mapping[tuple[str, str | None], str | None] = {
    ("permissive", "trips"): "permits no start", ("releasing interlock", "trips"): "acts",
}
"""What an interlock does on a detected fault of a sensor, where the word of the definitions is not what its kind does."""


class Clause(Struct, frozen=True):
    """A condition as a nested list: its own words, how its parts are joined, the parts.

    A clause with parts has no words of its own but `joined` and, where it must last, `held`. `items` are its parts as a
    sentence lists them: points that say the same of one height stand together, "A, B and C open at 0.70 m falling".
    """

    words: Running = ()
    joined: str = ""
    held: Amount | None = None
    parts: "tuple[Clause, ...]" = ()
    items: tuple[Running, ...] = ()

    @property
    def lasting(self) -> Running:
        """How long a single point must stand: its own delay is among its words already, and another one follows it."""
        if self.held is None:
            return ()
        return (", then ", self.held, " more") if LASTS in self.words else (LASTS, self.held)


def clause(context: Context, condition: Condition, negated: bool = False) -> Clause:
    """A condition as a nested list. A `not` is carried down to the points: "clear" says more than "not"."""
    match condition:
        case Acted(tag=tag):
            return Clause(clear(context, tag) if negated else acts(context, tag))
        case Not(part=part):
            return clause(context, part, not negated)
        case Held(time=time, part=part):
            inner = clause(context, part)
            lasting = Clause(inner.words, inner.joined, amounts.duration(time.si), inner.parts, inner.items)
            return Clause((), UNLESS, None, (lasting,)) if negated else lasting
        case AnyOf(inner=inner_parts) | AllOf(inner=inner_parts) | Vote(inner=inner_parts):
            parts = tuple(clause(context, part, negated) for part in inner_parts)
            if len(parts) == 1 and getattr(condition, "needed", 1) == 1:
                return parts[0]
            joined = _joined(condition, len(parts), negated)
            return Clause((), joined, None, parts, _items(context, condition.parts(), joined, parts))
        case _:
            raise TypeError(f"unknown form of condition: {type(condition).__name__}")


def _items(context: Context, conditions: Sequence[Condition], joined: str,
           parts: Sequence[Clause]) -> tuple[Running, ...]:
    """The parts of a clause in a sentence, points of one height and direction together."""
    alike: dict[object, tuple[Running, list[str]]] = {}
    for number, (one, part) in enumerate(zip(conditions, parts, strict=True)):
        point = one.part if isinstance(one, Not) else one
        if isinstance(point, Acted) and point.tag in context.plant.switches and not part.held:
            alike.setdefault(plain(part.words[1:]), (part.words[1:], []))[1].append(str(point.tag))
        else:
            alike[number] = (_said(part), [])
    if joined not in (ANY, ALL) and len(alike) > 1:
        return ()
    made: list[Running] = []
    for words, many in alike.values():
        if len(many) > 1 and joined != ANY:
            verb, _, rest = str(words[0]).lstrip().partition(" ")
            words = (f" {_PLURAL.get(verb, verb)} {rest}", *words[1:])
        made.append((*tags(context, many, "or" if joined == ANY else "and"), *words))
    return tuple(made)


_PLURAL = {"opens": "open", "closes": "close", "reaches": "reach", "is": "are", "has": "have"}


def leaves(one: Clause) -> Iterator[Running]:
    """The words of the points that a clause rests on, each as it is asked for."""
    if not one.parts:
        yield _said(one)
    for part in one.parts:
        yield from leaves(part)


def automatic(lock: Interlock) -> Condition:
    """The cause of an interlock without its manual stop, which works at once and is told apart from the rest."""
    if lock.manual_stop is None or not isinstance(lock.when, AnyOf):
        return lock.when
    rest = tuple(part for part in lock.when.inner if part != Acted(part.place, lock.manual_stop))
    return AnyOf(lock.when.place, rest) if rest else lock.when


def manual(lock: Interlock) -> Tag | None:
    """The manual stop of an interlock that has another cause as well."""
    return None if isinstance(lock.when, Acted) and lock.when.tag == lock.manual_stop else lock.manual_stop


def remaining(lock: Interlock) -> str:
    """What must act while the bypass has one member of a vote out; empty where it takes out the whole function.

    "both members that remain", "1 of the 2 members that remain"
    """
    if lock.vote_left is None:
        return ""
    needed, left = lock.vote_left
    if left == 1:
        return "the one member that remains"
    if needed == left:
        return "both members that remain" if left == 2 else f"all {left} members that remain"
    return f"{needed} of the {left} members that remain"


def _joined(condition: Condition, many: int, negated: bool) -> str:
    """How parts are joined. Not (k of n acted) is: n - k + 1 of n clear."""
    needed = {AnyOf: 1, AllOf: many}.get(type(condition), getattr(condition, "needed", many))
    if negated:
        needed = max(0, many - needed + 1)
    if needed == 1:
        return ANY
    return ALL if needed == many else f"at least {needed} of these {many}"


def inline(context: Context, condition: Condition) -> Running:
    """A condition as part of a sentence."""
    return _said(clause(context, condition), outermost=True)


def _said(one: Clause, outermost: bool = False) -> Running:
    if not one.parts:
        return (*one.words, *one.lasting)
    held: Running = (" for ", one.held) if one.held else ()
    if one.joined == UNLESS:
        return ("not true: ", *_said(one.parts[0]))
    opening, word = {ANY: ("", "or"), ALL: ("", "and")}.get(one.joined, (one.joined.split(" these ")[0] + " ", "and"))
    inner = sentence_list(one.items or [_said(part) for part in one.parts], word)
    brackets = (not outermost or bool(held)) and len(one.items) != 1
    return ("(" if brackets else "", opening, *inner, ")" if brackets else "", *held)


def on_fault(lock: Interlock) -> str:
    """What an interlock does on a detected fault of a sensor, as words after that; empty where it is not recorded."""
    if lock.bad_signal is None:
        return ""
    is_permissive = lock.kind == "permissive"
    acts = "it permits no start" if is_permissive else "it acts"
    member = "that member counts as not given" if is_permissive else "that member counts as acted"
    return {"trips": acts if lock.vote is None else member, "holds": "it holds its last state",
            "ignored": "it goes on as if nothing were"}[lock.bad_signal]


def sentence_list(items: Sequence[Running], word: str = "and") -> Running:
    """Items as print lists them: a, b and c."""
    parts: list[Part] = []
    for number, item in enumerate(items):
        if number:
            parts.append(f" {word} " if number == len(items) - 1 else ", ")
        parts += item
    return tuple(parts)


def tags(context: Context, many: Iterable[str], word: str = "and") -> Running:
    """Tags as links in a sentence."""
    return sentence_list([(context.paths.link(tag),) for tag in many], word)


def height(context: Context, tag: str) -> Amount:
    """The height at which a point stands; a proposed one opens its working, an issued one was decided."""
    point = context.results.setpoints.get(tag)
    if point is None or point.stands is None:
        return Amount(amounts.NOT_ASSESSED)
    return amounts.metres(point.stands, point.proposed.key if point.is_proposed else "")


def acts(context: Context, tag: str) -> Running:
    """That a point acts, or a signal is on: "LSHH-210 opens at 1.55 m rising"."""
    link = context.paths.link(tag)
    if tag in context.plant.switches:
        point = context.plant.switches[Tag(tag)]
        verb = f"{point.contact.at_the_point} at" if point.contact else "reaches"
        own: Running = (LASTS, amounts.duration(point.on_delay.si)) if point.on_delay else ()
        return (link, f" {verb} ", height(context, tag), f" {point.acts}", *own)
    if tag in context.plant.signals:
        signal = context.plant.signals[Tag(tag)]
        if signal.kind in PUSHED:
            return (link, f" is {signal.condition or 'pushed'}")
        return (link, f" is on ({signal.condition or signal.service})")
    return (link, " acts")


def clear(context: Context, tag: str) -> Running:
    """That a point is clear, past the far edge of its deadband: "LSHH-210 is clear (below 1.50 m)"."""
    link = context.paths.link(tag)
    if tag in context.plant.switches:
        point = context.results.setpoints.get(tag)
        side = "below" if context.plant.switches[Tag(tag)].acts == "rising" else "above"
        if point is None or point.clear_at is None:
            return (link, " is clear")
        return (link, f" is clear ({side} ", amounts.metres(point.clear_at, point.differential.key), ")")
    if tag in context.plant.signals:
        signal = context.plant.signals[Tag(tag)]
        return (link, f" is not {signal.condition or 'pushed'}" if signal.kind in PUSHED else " is off")
    return (link, " has not acted")
