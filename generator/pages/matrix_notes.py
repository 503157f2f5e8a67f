"""Notes of a matrix: what a mark cannot say, numbered once a sheet, under the row where it first matters."""

from generator.model.interlock import Interlock
from generator.model.page import Part, Running, plain
from generator.model.scalar import Tag
from generator.pages import first_cause, logic_words, story
from generator.pages.context import Context
from generator.pages.logic_words import tags
from generator.pages.matrix_grid import Grid
from generator.pages.prose import running


def notes_of(context: Context, one: Grid) -> dict[str, tuple[int, Running]]:
    """The note of each interlock that has one, with its number. Interlocks of which the same is to be said share it."""
    locks = dict.fromkeys(lock for cause in one.causes for lock in cause.locks)
    shared: dict[Running, list[str]] = {}
    for lock in locks:
        said = note(context, lock)
        if said:
            shared.setdefault(said, []).append(lock)
    return {
        lock: (number, (*tags(context, members), ":", *said))
        for number, (said, members) in enumerate(shared.items(), 1)
        for lock in members
    }


def note(context: Context, tag: str) -> Running:
    """Everything about an interlock that its marks leave out; empty where they say it all."""
    parts: list[Part] = []
    for sentence in _sentences(context, context.plant.interlocks[Tag(tag)]):
        parts += [" ", *ended(sentence)]
    return tuple(parts)


def ended(sentence: Running) -> Running:
    """A sentence with its full stop."""
    return sentence if plain(sentence).endswith((".", "!", "?")) else (*sentence, ".")


def _sentences(context: Context, lock: Interlock) -> list[Running]:
    found: list[Running] = []
    if lock.note:
        found.append(running(context, lock.note))
    if lock.degraded_vote:
        found.append(("With one member out: ", *running(context, lock.degraded_vote)))
    if lock.bad_signal:
        found.append((f"On a detected fault of a sensor {logic_words.on_fault(lock)}.",))
    if lock.off_delay:
        found.append((f"It lets go {lock.off_delay.written} after its cause is gone.",))
    if lock.live_in and set(lock.live_in) != set(context.plant.modes):
        found.append(story.live(context, lock))
    if lock.wins_over:
        found.append(("It wins over ", *tags(context, lock.wins_over), "."))
    if lock.energise_to_act:
        found.append(("It must energise to act: ", *running(context, lock.energise_to_act)))
    kept = first_cause.kept(context, lock)
    if kept:
        found.append(kept)
    return found
