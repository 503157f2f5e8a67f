"""Interlocks, pumps and valves as logic diagrams: causes at the left, what they drive at the right.

Every box says in words what it is; the sign above the words (&, ≥1) is that of IEC 60617-12 (from memory). What is not,
stands in words alone: a sign for it is read as a number. A reset that waits until each cause is clear is one box that says so.
"""

from collections.abc import Iterable
from textwrap import wrap

from generator.model.condition import Acted, AllOf, AnyOf, Condition, Held, Not, Vote
from generator.model.diagram import BoxKind, Diagram, Edge, Node
from generator.model.interlock import Interlock
from generator.model.page import Amount, plain
from generator.model.quantity import Duration
from generator.model.scalar import Tag
from generator.pages import amounts, logic_words, story
from generator.pages.context import Context
from generator.pages.logic_words import MAY, PUSHED, STANDS
from generator.pages.paths import slug

WIDE = 24
"""Letters in a line of a box."""
NOT = ("clear", "not pushed", "not on", "not bypassed", "not")
"""First lines of boxes that turn what leads to them round."""


class Drawing:
    """Boxes and lines while they are gathered; a tag has one box however often it is named."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.nodes: dict[str, Node] = {}
        self.edges: dict[Edge, None] = {}
        self.votes: dict[int, str] = {}
        """The gate of each vote, under the identity of its condition."""

    def made(self, key: str, title: str) -> Diagram:
        """The diagram drawn so far."""
        return Diagram(f"logic-{slug(key)}", title, tuple(self.nodes.values()), tuple(self.edges))

    def add(self, key: str, lines: Iterable[str], kind: BoxKind, path: str = "", title: str = "") -> str:
        """A box under a key of its own; the one that stands there already stays. Returns the key."""
        self.nodes.setdefault(key, Node(key, tuple(lines), kind, path, title))
        return key

    def box(self, lines: Iterable[str], kind: BoxKind, *sources: str) -> str:
        """A new box that its sources lead to."""
        key = self.add(f"box {len(self.nodes)}", lines, kind)
        for source in sources:
            self.line(source, key)
        return key

    def line(self, source: str, target: str) -> None:
        """A line from one box to another, once."""
        self.edges[Edge(source, target)] = None

    # ---- causes --------------------------------------------------------------------------------------------------

    def cause(self, tag: str) -> str:
        """The box of a point or signal, at the left."""
        plant, context = self.context.plant, self.context
        title = plain(logic_words.acts(context, tag))
        path = context.paths.path(tag) or ""
        if tag in plant.switches:
            point = plant.switches[Tag(tag)]
            verb = point.contact.at_the_point if point.contact else "reached"
            key = self.add(
                tag,
                (f"{tag} {verb}", f"{_amount(logic_words.height(context, tag))} {point.acts}"),
                "cause",
                path,
                title,
            )
            return self.delay(key, point.on_delay, f"delay {tag}") if point.on_delay else key
        signal = plant.signals[Tag(tag)]
        kind: BoxKind = "manual" if signal.kind in PUSHED else "bypass" if signal.kind == "bypass key" else "cause"
        return self.add(
            tag,
            (
                f"{tag} {signal.condition or 'pushed'}" if signal.kind in PUSHED else f"{tag} on",
                *wrap(signal.service, WIDE),
            ),
            kind,
            path,
            title,
        )

    def delay(self, source: str, time: Duration, key: str = "", word: str = "on-delay") -> str:
        """A delay behind a box."""
        said = _amount(amounts.duration(time.si))
        if not key:
            return self.box((said, word), "delay", source)
        self.add(key, (said, word), "delay")
        self.line(source, key)
        return key

    def condition(self, condition: Condition) -> str:
        """The boxes of a condition; the key of the last of them."""
        match condition:
            case Acted(tag=tag):
                return self.cause(tag)
            case Not(part=Acted(tag=tag)):
                return self.box(self.turned(tag), "gate", self.cause(tag))
            case Not(part=part):
                return self.box(("not",), "gate", self.condition(part))
            case Held(time=time, part=part):
                return self.delay(self.condition(part), time)
            case AnyOf(inner=parts) | AllOf(inner=parts) | Vote(needed=1, inner=parts) if len(parts) == 1:
                return self.condition(parts[0])
            case AnyOf(inner=parts):
                return self.box(("≥1", "any of"), "gate", *map(self.condition, parts))
            case AllOf(inner=parts):
                return self.box(("&", "all of"), "gate", *map(self.condition, parts))
            case Vote(needed=needed, inner=parts):
                gate = self.box((f"≥{needed}", f"{needed} of {len(parts)}"), "gate", *map(self.condition, parts))
                self.votes[id(condition)] = gate
                return gate
            case _:
                raise TypeError(f"unknown form of condition: {type(condition).__name__}")

    def turned(self, tag: str) -> tuple[str, ...]:
        """The lines of a box that stands for a point being clear, a button not pushed, a signal not on."""
        signal = self.context.plant.signals.get(Tag(tag))
        if signal is None:
            return ("clear", *_clear(self.context, tag))
        return ("not pushed",) if signal.kind in PUSHED and not signal.condition else (
            "not", *wrap(str(signal.condition or "on"), WIDE))

    # ---- one interlock -------------------------------------------------------------------------------------------

    def demand(self, tag: str, lock: Interlock) -> str:
        """The boxes of everything that makes an interlock act; the key of the last of them."""
        key = self.condition(logic_words.automatic(lock))
        if lock.bypass is not None and lock.vote_left is not None:
            self.line(self.bypass(tag, lock), self.votes[id(lock.vote)])
        elif lock.bypass is not None:
            key = self.box(("&", "both"), "gate", key, self.box(("not bypassed",), "gate", self.bypass(tag, lock)))
        if lock.on_delay is not None:
            key = self.delay(key, lock.on_delay)
        modes = self.context.plant.modes
        if lock.live_in and set(lock.live_in) != set(modes):
            names = [str(modes[mode].name) for mode in lock.live_in]
            key = self.box(
                ("&", "both"),
                "gate",
                key,
                self.add(
                    f"mode of {tag}",
                    [*wrap(" or ".join(names), WIDE), "selected"],
                    "mode",
                    self.context.paths.path(lock.live_in[0]) or "",
                ),
            )
        stop = logic_words.manual(lock)
        if stop is not None and self.nodes[key].lines[0] == "≥1":
            self.line(self.cause(stop), key)
        elif stop is not None:
            key = self.box(("≥1", "any of"), "gate", key, self.cause(stop))
        if lock.off_delay is not None:
            key = self.delay(key, lock.off_delay, word="off-delay")
        return key

    def bypass(self, tag: str, lock: Interlock) -> str:
        """The bypass of an interlock as a cause of its own."""
        if lock.bypass is None:
            raise AssertionError(tag)
        said = f"{_amount(amounts.duration(lock.bypass.longest.si))} at most"
        name, path = lock.bypass.key or f"Bypass of {tag}", "registers/bypasses.html#" + slug(tag)
        left = ("one member out:", f"then {lock.vote_left[0]} of {lock.vote_left[1]}") if lock.vote_left else ()
        return self.add(f"bypass of {tag}", (str(name), *left, f"bypass, {said}"), "bypass", path)

    def latch(self, lock: Interlock, demand: str) -> str:
        """The box that holds a trip, and what puts it back."""
        held = self.box(("S R", "stays until reset"), "latch", demand)
        if lock.reset is not None:
            button = self.cause(lock.reset.button) if lock.reset.button else self.add(
                "reset", ("Reset", *wrap("at " + " or ".join(lock.reset.at), WIDE)), "manual",
                self.context.paths.path(lock.reset.at[0]) or "" if lock.reset.at else "")
            cleared = _each_clear(lock)
            if len(cleared) == 1:
                said = ("resets while", f"{cleared[0]} is clear", *_clear(self.context, cleared[0]))
                accepted = self.box(said, "gate", button)
            elif cleared:
                accepted = self.box(("resets while", "every cause is clear"), "gate", button)
            else:
                accepted = self.box(("&", "resets when both"), "gate", button, self.condition(lock.reset.when))
            self.line(accepted, held)
        return held

    def effects(self, lock: Interlock, source: str) -> None:
        """The final elements at the right, a group as its pumps."""
        for target, state in lock.then.items():
            for element in self.context.plant.members_of(target) or (target,):
                owner = self.context.plant.find(element)
                if lock.kind == "permissive":
                    key = self.add(
                        f"{element} may",
                        (f"{element} may {MAY[state]}", *wrap(owner.service, WIDE)),
                        "permitted",
                        self.context.paths.path(element) or "",
                    )
                else:
                    key = self.add(
                        f"{element} {state}",
                        (f"{element} {STANDS[state]}", *wrap(owner.service, WIDE)),
                        "effect",
                        self.context.paths.path(element) or "",
                    )
                self.line(source, key)

    def alarms(self, origin: str, source: str) -> None:
        """The alarms that something raises, at the right."""
        for alarm in self.context.plant.alarms_of[origin]:
            text = self.context.plant.alarms[alarm].text
            self.line(
                source,
                self.add(
                    alarm,
                    (str(alarm), *wrap(text, WIDE)),
                    "alarm",
                    self.context.paths.path(alarm) or "",
                    f"alarm {alarm}: {text}",
                ),
            )


def of_interlock(context: Context, tag: str) -> Diagram:
    """Everything about one interlock: causes, bypass, delay, manual stop, latch and reset, effects, alarms."""
    lock = context.plant.interlocks[Tag(tag)]
    drawing = Drawing(context)
    last = drawing.demand(tag, lock)
    if lock.latch is not None:
        last = drawing.latch(lock, last)
    drawing.effects(lock, last)
    drawing.alarms(tag, last)
    for cause in dict.fromkeys(lock.when.tags()):
        drawing.alarms(cause, cause)
    return drawing.made(tag, f"Logic of {tag}: {plain(story.main(context, lock))}")


def _each_clear(lock: Interlock) -> tuple[str, ...]:
    """Tags that the reset waits for to be clear, where it asks just that of every cause; else nothing."""
    assert lock.reset is not None
    match lock.reset.when:
        case AllOf(inner=parts):
            wanted = [part.part.tag if isinstance(part, Not) and isinstance(part.part, Acted) else None for part in parts]
        case Not(part=Acted(tag=tag)):
            wanted = [tag]
        case Not(part=AnyOf(inner=parts)):
            wanted = [part.tag if isinstance(part, Acted) else None for part in parts]
        case _:
            wanted = [None]
    causes = set(lock.when.tags())
    tags = tuple(str(one) for one in wanted if one is not None)
    is_whole = len(tags) == len(wanted) and causes <= set(tags) <= causes | {lock.manual_stop}
    return tags if is_whole else ()


def _clear(context: Context, tag: str) -> tuple[str, ...]:
    """Where a point is clear, as a line of its box."""
    words = plain(logic_words.clear(context, tag))
    return (words[words.index("(") + 1 : -1],) if "(" in words else ()


def _amount(amount: Amount) -> str:
    return plain((amount,))
