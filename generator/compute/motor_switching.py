"""Which contacts switch a motor, and whether they may: only a contact that is rated for motors may do it directly."""

from collections.abc import Iterator

from generator.compute.book import Book, given
from generator.model.machine import Relay, Starter
from generator.model.plant import Definitions
from generator.model.quantity import Current
from generator.model.record import Outcome, Record
from generator.model.results import MotorSwitching
from generator.model.scalar import Tag

FOR_MOTORS = "AC-3"
REFERENCE = "IEC 60947-4-1, utilisation category AC-3: starting cage motors and switching them off while they run"


def switched_by(plant: Definitions, book: Book, tag: str, current: Outcome | None) -> Iterator[MotorSwitching]:
    """Each contact of a level point and each relay that is said to switch the pump's motor."""
    starter = plant.pumps[Tag(tag)].starter
    if starter is not None:
        yield from _by_starter(plant, book, tag, starter, current)
        return
    for name, point in plant.switches.items():
        if point.contact is not None and point.contact.drives == tag:
            yield _judged(book, tag, str(name), point.contact.category, point.contact.current, current,
                          f"switches/{name}/contact", "relay and contactor")
    for by, relay in _relays(plant, tag):
        panel = plant.pumps[Tag(tag)].panel
        if relay.kind != "contactor" and relay.category != FOR_MOTORS and panel is not None:
            yield _through(book, tag, by, f"the starter in {panel}")
        else:
            yield _judged(book, tag, by, relay.category, relay.rated_current, current, f"relays/{by}",
                              "contactor")


def _relays(plant: Definitions, tag: str) -> list[tuple[str, Relay]]:
    return [(str(name), relay) for name, relay in plant.relays.items()
            if tag in {one for target in relay.drives for one in (target, *plant.members_of(target))}]


def _by_starter(plant: Definitions, book: Book, tag: str, starter: Starter, current: Outcome | None
                ) -> Iterator[MotorSwitching]:
    """The starter itself, and what works its coil: the coil's own load is judged with the contact that switches it."""
    yield _judged(book, tag, tag, starter.category, starter.rated_current, current, f"pumps/{tag}/starter",
                  "a larger starter")
    points = [str(name) for name, point in plant.switches.items() if point.contact and point.contact.drives == tag]
    for name in (*points, *(name for name, _ in _relays(plant, tag))):
        yield _through(book, tag, name, "the starter")


def _through(book: Book, tag: str, by: str, starter: str) -> MotorSwitching:
    key, name = f"#{tag}/switched-by/{by}", f"largest motor current that {by} may switch"
    limit = book.absence(key, name, f"it acts on {starter}, not on the motor")
    return MotorSwitching(by, limit, True, f"it switches the coil; {starter} switches the motor")


def _judged(
    book: Book, tag: str, by: str, category: str | None, rated: Current | None, current: Outcome | None, field: str,
    needed: str,
) -> MotorSwitching:
    whose, rating = (f"the starter of {by}", "rated_current") if by == tag else (
        by, "rated_current" if field.startswith("relays") else "current")
    key, name = f"#{tag}/switched-by/{by}", f"largest motor current that {whose} may switch"
    if category is None:
        limit: Outcome = book.absence(key, name, "the category of its contact is not recorded", (f"{field}/category",))
        return MotorSwitching(by, limit, None, "its contact's category is not recorded")
    if category != FOR_MOTORS:
        limit = book.absence(key, name, f"category {category} is not for motors, at any current")
        return MotorSwitching(by, limit, False, f"its contact is {category}, which is not for motors: {needed} needed")
    if rated is None:
        limit = book.absence(key, name, "the rating of its contact is not recorded", (f"{field}/{rating}",))
        return MotorSwitching(by, limit, None, "its contact's rating is not recorded")
    limit = book.record(key, name, rated.si, "current", r"I_{\max} = I_{AC-3}",
                        (given(rated, "I_{AC-3}", "rated current for motors"),),
                        validity="cage motor, switched off while it runs; inching needs another category",
                        reference=REFERENCE)
    if not isinstance(current, Record):
        return MotorSwitching(by, limit, None, "the motor's full-load current is not known")
    if current.value <= rated.si:
        return MotorSwitching(by, limit, True, "rated for the motor's full-load current")
    return MotorSwitching(by, limit, False, f"rated for less than the motor's current: {needed} needed")
