"""The loss of a link as a damage: which signals are bad or stand still, which orders no longer come, what is not stated.

What a link does not state is never guessed: the functions that rest on it are named as not assessed, with the missing field.
"""

from collections.abc import Iterator

from generator.compute.damage import Damage
from generator.compute.failure_modes import Mode, without_drive
from generator.model.crossing import Crossing
from generator.model.link import DataLink
from generator.model.plant import Definitions
from generator.model.scalar import Tag

UNTIL = "until then what it carries stays as it was"


def modes(plant: Definitions) -> Iterator[Mode]:
    """Each link lost."""
    for tag, across in plant.crossings.items():
        yield _lost(plant, Tag(tag), plant.links[Tag(tag)], across)


def _lost(plant: Definitions, tag: Tag, link: DataLink, across: Crossing) -> Mode:
    forced, bad, still = _signals(plant, link, across)
    states, unreached, dead, open_orders = _orders(plant, link, across)
    gaps: dict[str, str] = {}
    if link.received_signals is None:
        gaps |= dict.fromkeys((one for one, _ in across.read), f"{tag} does not state `received_signals`")
    for function, signal in across.read:
        lock = plant.interlocks.get(Tag(function))
        if signal in bad and lock is not None and lock.bad_signal is None:
            gaps[function] = f"{function} does not state `bad_signal`"
    gaps |= open_orders
    told = [one for one, signal in plant.signals.items() if signal.kind == "communication lost" and signal.of == tag]
    shown = link.loss_shown_by
    signals = dict.fromkeys((*told, *([plant.alarms[shown].from_ if shown in plant.alarms else shown] if shown else [])))
    forced |= {str(one): True for one in signals if one in plant.signals}
    noticed = f"noticed after {link.watched_for.written}; {UNTIL}" if link.watched_for else (
        f"how soon it is noticed is not recorded; {UNTIL}")
    damage = Damage(forced, frozenset(bad), frozenset(still), states, frozenset(dead), frozenset(unreached),
                    frozenset(across.unread), frozenset(across.messages))
    return Mode(str(tag), "lost", "", damage, tuple(str(one) for one in signals if one in plant.signals), note=noticed,
                unassessed=tuple(gaps.items()))


def _signals(plant: Definitions, link: DataLink, across: Crossing) -> tuple[dict[str, bool], set[str], set[str]]:
    """Signals that show a state, that are bad, and that stand still."""
    read = {signal for _, signal in across.read}
    if link.received_signals == "bad":
        return {}, read, set()
    if link.received_signals == "hold":
        return {}, set(), read
    forced: dict[str, bool] = {}
    if link.received_signals == "open":
        forced = {tag: state for tag in sorted(read) if (state := looks_open(plant, tag)) is not None}
        return forced, read - set(forced), set()
    return forced, set(), set()


def looks_open(plant: Definitions, tag: str) -> bool | None:
    """Whether a point or signal looks acted when its contact shows open; None for what has no contact or does not say."""
    switch, signal = plant.switches.get(Tag(tag)), plant.signals.get(Tag(tag))
    if switch is not None:
        return None if switch.contact is None else switch.contact.at_the_point == "opens"
    return None if signal is None or signal.fails is None else signal.fails == "on"


def _orders(
    plant: Definitions, link: DataLink, across: Crossing,
) -> tuple[dict[str, str], set[tuple[str, str]], set[str], dict[str, str]]:
    """States of devices, orders that do not come, controls that no longer move theirs, and functions that are not assessed."""
    states: dict[str, str] = {}
    unreached: set[tuple[str, str]] = set()
    dead: set[str] = set()
    gaps: dict[str, str] = {}
    for function, device in across.orders:
        if link.orders is None:
            gaps[function] = f"{across.link} does not state `orders`"
            continue
        state = without_drive(plant, Tag(device)) if link.orders == "drop" else None
        if state is not None:
            states[device] = state
        elif link.orders == "drop" and getattr(plant.find(device), "fails", None) is None:
            gaps[function] = f"{device} does not state `fails`"
        elif function in plant.interlocks:
            unreached.add((function, device))
        else:
            dead.add(function)
    return states, unreached, dead, gaps
