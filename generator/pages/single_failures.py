"""What an interlock does when one thing of it fails: a sensor, a wire, a supply, a final element; in short, and each."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from generator.model.failure import FailureEffect
from generator.model.interlock import Interlock
from generator.model.page import Link, Running
from generator.model.scalar import Tag
from generator.pages import amounts, comparisons
from generator.pages.context import Context
from generator.pages.failure_register import PATH as REGISTER
from generator.pages.failures import FailureRow, anchor, focused, rows
from generator.pages.logic_words import GOES, tags
from generator.pages.matrix_losses import state_without_drive
from generator.pages.story import Fact
from generator.pages.tank_failures import path as failures_of_tank

STOPS = ("manual stop", "emergency stop")


def failures(context: Context, tag: str) -> tuple[Fact, ...]:
    """One line for each thing that can fail, in the order sensor, wire, supply, final element."""
    lock = context.plant.interlocks[Tag(tag)]
    elements = dict.fromkeys(
        element for target in lock.then for element in context.plant.members_of(target) or (target,)
    )
    return (
        Fact("A sensor stays where it is", _stuck(context, tag, lock)),
        *_wires(context, lock),
        *(fact for element in elements for fact in _element(context, lock, element)),
    )


class Touching(Struct, frozen=True):
    """Failures by the interlock that they touch."""

    by_lock: Mapping[str, tuple[FailureEffect, ...]]


def touching(context: Context) -> Touching:
    """Every failure under each interlock that it makes act, takes away or weakens."""
    made: dict[str, list[FailureEffect]] = {}
    for effects in context.results.failures.values():
        for effect in effects:
            for tag in dict.fromkeys((*effect.acts, *effect.lost, *effect.weakened, *(lock for lock, _ in effect.reduced),
                                      *(one.interlock for one in effect.later))):
                made.setdefault(tag, []).append(effect)
    return Touching({tag: tuple(effects) for tag, effects in made.items()})


def of_interlock(context: Context, tag: str, found: Touching) -> tuple[FailureRow, ...]:
    """Failures that touch an interlock, cut down to it, to its alarms and to its hazard."""
    lock = context.plant.interlocks[Tag(tag)]
    hazards = {lock.hazard} if lock.hazard else set()
    tanks = set(context.plant.tanks_of_interlock[tag])
    functions = {tag, *context.plant.alarms_of[tag]}
    effects = found.by_lock.get(tag, ())
    shown = rows(context, (focused(effect, hazards.__contains__, functions.__contains__, tanks.__contains__)
                           for effect in effects))
    return tuple(replace(one, elsewhere=_elsewhere(context, effect, hazards, tanks))
                 for one, effect in zip(shown, effects, strict=True))


def _elsewhere(context: Context, effect: FailureEffect, hazards: set[Tag], tanks: set[Tag]) -> Running:
    """What a failure does beyond an interlock's own hazard and tanks, with the way to the whole of it."""
    moved = [f"{tank} {way}" for tank, way in effect.levels if tank not in tanks]
    others = [one.hazard for one in effect.exposures if one.hazard not in hazards]
    if not moved and not others:
        return ()
    where = f"{failures_of_tank(effect.tank)}#{anchor(effect)}" if effect.tank else REGISTER
    own = not any(one.hazard in hazards for one in effect.exposures)
    said: Running = ("not its own hazard; also " if own and hazards else "also ",)
    if others:
        said = (*said, *tags(context, others))
    if moved:
        said = (*said, " (" if others else "", ", ".join(moved), ")" if others else "")
    return (*said, ": see ", Link(f"{effect.device} {effect.mode}", where))


def _stuck(context: Context, tag: str, lock: Interlock) -> Running:
    """Only a comparison tells of a sensor that no longer moves; which alarms and trips do not rest on its body?"""
    points = [one for one in dict.fromkeys(lock.when.tags()) if one in context.plant.switches]
    told = _told(context, dict.fromkeys(str(context.plant.switches[one].in_) for one in points))
    if not points:
        return (*told, "It rests on no point of a tank.")
    left, lost = still_protecting(context, tag, points)
    with_it: Running = (" ", *tags(context, lost), " may fail with it: the same body.") if lost else ()
    if not left:
        nothing = "Nothing on another body protects." if lost else "Nothing else that is recorded protects."
        return (*told, nothing, *with_it)
    return (*told, "What is left: ", *tags(context, left), ".", *with_it)


def _told(context: Context, bodies: Iterable[str]) -> Running:
    """Who is told of a body that stays where it is, and of which bodies nobody is."""
    bodies = tuple(bodies)
    compared = comparisons.told(context, bodies)
    if not compared:
        return ("Nobody is told until the next test. ",)
    alone = [one for one in bodies if not comparisons.alarms(context, [one])]
    rest: Running = (". Of ", *tags(context, alone), " nobody is told until the next test. ") if alone else (
        "; until then, or until the next test, nobody is told. ",)
    return (*compared, *rest)


def still_protecting(context: Context, tag: str, points: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Alarms and trips against the interlock's hazard and against those of the same side of its tanks.

    Returns:
        Those that share no body with its points, and those that do.
    """
    plant = context.plant
    sides = {(plant.tank_of(one), plant.switches[Tag(one)].acts) for one in points}
    bodies = {plant.switches[Tag(one)].in_ for one in points}
    hazard = plant.interlocks[Tag(tag)].hazard
    left: dict[str, None] = {}
    lost: dict[str, None] = {}
    for name, layers in context.results.layers.items():
        for layer in layers:
            rests = [plant.switches[Tag(one)] for one in layer.points if one in plant.switches]
            is_near = name == hazard or any((plant.instruments[one.in_].tank, one.acts) in sides for one in rests)
            if layer.protects and layer.tag != tag and is_near and rests:
                (lost if any(one.in_ in bodies for one in rests) else left)[layer.tag] = None
    return tuple(left), tuple(lost)


def _wires(context: Context, lock: Interlock) -> Iterator[Fact]:
    """Wire broken and supply lost of each point, as its contact decides it; the same answer once."""
    said: dict[tuple[str, str], list[str]] = {}
    for cause in dict.fromkeys(lock.when.tags()):
        contact = context.results.contacts.get(cause)
        for situation, _, follows in contact.sentences if contact else ():
            if situation.startswith(("Wire broken", "Supply lost")):
                said.setdefault((situation, follows), []).append(cause)
    for (situation, follows), causes in said.items():
        yield Fact(situation, (*tags(context, causes), f": {follows}"))
    for cause in dict.fromkeys((*lock.when.tags(), *([lock.manual_stop] if lock.manual_stop else []))):
        signal = context.plant.signals.get(cause)
        if signal is not None:
            looks = {"on": "looks as if it were on", "off": "looks as if it were off"}.get(
                signal.fails or "", "what that looks like is not recorded"
            )
            yield Fact("Wire broken", (context.paths.link(cause), f": {looks}."))
            if signal.kind in STOPS and signal.fails == "on":
                yield Fact("Wire shorted", (context.paths.link(cause), ": pushing it does nothing, and nobody is told until "
                                            "it is tried."))
    if lock.bad_signal:
        acts = "it acts" if lock.vote is None else "that member counts as acted"
        does = {"trips": acts, "holds": "it holds its last state", "ignored": "it goes on as if nothing were"}[
            lock.bad_signal
        ]
        yield Fact("Fault detected", (f"On a detected fault of a sensor {does}.",))


def _element(context: Context, lock: Interlock, tag: str) -> Iterator[Fact]:
    owner, plant = context.plant.find(tag), context.plant
    link = context.paths.link(tag)
    wanted = next(state for target, state in lock.then.items() if tag in (target, *plant.members_of(target)))
    goes = state_without_drive(plant, tag)
    drive: Running = (" (", context.paths.link(owner.supply), ")") if owner.supply else ()
    if lock.kind != "permissive":
        if goes is None:
            stays = getattr(owner, "fails", None) == "in place"
            words: Running = (link, ": stays where it is." if stays else ": where it goes is not recorded.")
        else:
            side = "to its safe side" if goes == wanted else "and not to the side this interlock asks for"
            words = (link, f": {GOES[goes][0]}, {side}.")
        yield Fact("Drive lost", (*words[:1], *drive, *words[1:]))
    if owner.feedback is None:
        yield Fact("Does not move", (link, ": nobody is told; no feedback is recorded."))
        return
    within: Running = (" after ", amounts.duration(owner.feedback.within.si)) if owner.feedback.within else ()
    by = owner.feedback.by
    shown: Running = (context.paths.link(by),) if plant.find(by) is not None else (str(by),)
    yield Fact("Does not move", (link, ": ", *shown, " shows it", *within, "."))
