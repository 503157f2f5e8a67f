"""What fails, comes back, or is handled by a person in a scenario: supplies, panels, relays, bypasses, modes, resets."""

from collections.abc import Callable, Iterator

from generator.compute.course_logic import member_out
from generator.compute.courses import Given, Run
from generator.model.document import ScenarioEvent
from generator.model.plant import Definitions
from generator.model.scalar import Tag

DEAD = ("supplies", "panels", "relays")
"""Nouns that take with them what hangs on them."""
TAKEN_AS_LOST = "is taken as lost"


def of_event(plant: Definitions, event: ScenarioEvent) -> Iterator[Given]:
    """What an event of a scenario does besides its flows."""
    at = event.at.si
    if event.fails:
        yield from failing(plant, Tag(event.fails), at)
    if event.returns:
        yield Given(at, f"{event.returns} is back", (str(event.returns),), _back(plant, Tag(event.returns)))
    for tag in event.bypasses:
        yield Given(at, f"{_taken_out(plant, tag)} is bypassed", (str(tag),), _bypass(tag, True))
    for tag in event.restores:
        yield Given(at, f"the bypass of {_taken_out(plant, tag)} is over", (str(tag),), _bypass(tag, False))
    if event.mode is not None:
        asleep = _asleep(plant, event.mode)
        yield Given(at, f"the selector stands at {plant.modes[event.mode].name}", asleep, _mode(asleep))
    for tag in event.resets:
        yield Given(at, f"somebody resets {tag}", (str(tag),), _reset(tag))


def fault(tag: str, how: str) -> Callable[[Run], None]:
    """A device that from now on shows or does the same: "acted", "clear", "stays", "on", "off", "out"."""
    def does(run: Run) -> None:
        run.causes.faults[str(tag)] = how

    return does


def failing(plant: Definitions, tag: Tag, time: float) -> Iterator[Given]:
    """Something that fails; and everything that hangs on it when it is a supply, a panel or a relay."""
    noun = plant.noun_of.get(tag, "")
    if noun == "links":
        yield Given(time, f"{tag} is lost, and nobody knows yet", (str(tag),), _cut(tag, time))
        watched = plant.links[tag].watched_for
        if watched is not None:
            yield Given(time + watched.si, f"{tag} {TAKEN_AS_LOST}", (str(tag),), _noticed(tag, time))
        return
    if noun not in DEAD:
        how = {"pumps": "out", "signals": "acted"}.get(noun, "stays")
        words = {"out": "is out of order", "acted": "is on"}.get(how, "stays as it is")
        yield Given(time, f"{tag} {words}", (str(tag),), fault(tag, how))
        return
    lost: dict[Tag, float] = {tag: time}
    if noun == "supplies":
        for _ in plant.supplies:
            for child, supply in plant.supplies.items():
                if child not in lost and supply.fed_from in lost:
                    lost[child] = lost[supply.fed_from] + (supply.lasts.si if supply.lasts else 0.0)
    for one, when in lost.items():
        words = {"panels": "is dead", "relays": "drops out"}.get(noun, "is lost")
        yield Given(when, f"{one} {words}", (str(one),), _loss(one))


def noticed_only(plant: Definitions, events: tuple[Given, ...]) -> tuple[Given, ...]:
    """The same events without those in which a link is taken as lost that works again by then."""
    def is_over(one: Given) -> bool:
        tag = one.tags[0] if one.tags else ""
        if tag not in plant.links or not one.words.endswith(TAKEN_AS_LOST):
            return False
        before = [other for other in events if other.tags[:1] == (tag,) and other.time <= one.time and other is not one]
        return bool(before) and max(before, key=lambda other: other.time).words.endswith("is back")

    return tuple(one for one in events if not is_over(one))


def _cut(tag: str, time: float) -> Callable[[Run], None]:
    def does(run: Run) -> None:
        run.causes.links.lose(str(tag), time)

    return does


def _noticed(tag: str, since: float) -> Callable[[Run], None]:
    def does(run: Run) -> None:
        if run.causes.links.notice(str(tag), since):
            run.causes.lost.add(str(tag))
            run.blind.update(run.causes.links.blind())

    return does


def _loss(tag: str) -> Callable[[Run], None]:
    def does(run: Run) -> None:
        run.causes.lost.add(str(tag))

    return does


def _back(plant: Definitions, tag: Tag) -> Callable[[Run], None]:
    """Something that failed works again; a supply brings back what it feeds, and machines restart as they may."""
    def does(run: Run) -> None:
        run.causes.faults.pop(str(tag), None)
        run.causes.frozen.pop(str(tag), None)
        run.causes.links.mend(str(tag))
        run.machines.known_out.discard(str(tag))
        back = {str(tag)}
        for _ in plant.supplies:
            back |= {str(child) for child, supply in plant.supplies.items() if str(supply.fed_from) in back}
        before = {one for one in run.machines.moving if run.machines.is_unpowered(one)}
        run.causes.lost -= back
        run.machines.power_back(run.now, {one for one in before if not run.machines.is_unpowered(one)})

    return does


def _taken_out(plant: Definitions, tag: Tag) -> str:
    """The interlock, or the one member of its vote that its bypass takes out."""
    out = member_out(plant.interlocks[tag])
    return str(tag) if out is None else f"{out[0]} in the vote of {tag}"


def _bypass(tag: Tag, is_on: bool) -> Callable[[Run], None]:
    def does(run: Run) -> None:
        run.is_handled = True
        run.logic.bypass(tag, is_on, run.now)

    return does


def _asleep(plant: Definitions, mode: Tag) -> tuple[str, ...]:
    """Interlocks, controls and alarms that are not live in a mode."""
    functions: dict[Tag, tuple[Tag, ...]] = {tag: one.live_in for nouns in (plant.interlocks, plant.controls, plant.alarms)
                                             for tag, one in nouns.items()}
    return tuple(str(tag) for tag, live_in in functions.items() if live_in and mode not in live_in)


def _mode(asleep: tuple[str, ...]) -> Callable[[Run], None]:
    def does(run: Run) -> None:
        run.is_moded = True
        run.logic.asleep = run.flows.asleep = frozenset(asleep)

    return does


def _reset(tag: Tag) -> Callable[[Run], None]:
    def does(run: Run) -> None:
        run.is_handled = True
        is_taken = run.logic.reset(tag, run.now)
        words = f"the reset of {tag} is {'accepted' if is_taken else 'refused'}"
        run.log.given(run.now, run.levels, words, (str(tag),))

    return does
