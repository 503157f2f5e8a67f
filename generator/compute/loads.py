"""Whether each contact may switch what is behind it: category, voltage, current, inrush, least current, suppression.

A motor asks for a motor category, so that a float contact alone never switches one; then the relay and the contactor
that have to stand between are named. Where a rating is not recorded nothing is said to pass.
"""

from collections.abc import Iterator

from generator.compute import contact_loads
from generator.compute.book import Book, given
from generator.compute.contact_loads import Behind, Rating, behind
from generator.compute.contacts_needed import multiplied, several_places
from generator.compute.utilisation import CATEGORIES, FOR_MOTORS, SMALL_COIL, apparent_power, current_of_power
from generator.model.load import Loads, MaySwitch, Switching
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record
from generator.model.scalar import Tag

REFERENCE = "IEC 60947-5-1, utilisation categories (from memory); AC-3: IEC 60947-4-1 (from memory)"
NEAR = 1 + 1e-9


def results(plant: Definitions, book: Book) -> Loads:
    """What every contact of a point and of a relay switches. Motor currents have to stand in the book already."""
    switching: dict[str, tuple[Switching, ...]] = {}
    for tag, point in plant.switches.items():
        if point.contact is not None and point.contact.drives is not None:
            rating = contact_loads.of_point(tag, point.contact)
            signal = plant.instruments[point.in_].signal
            switching[str(tag)] = tuple(_switched(plant, book, rating, point.contact.drives, signal))
    for tag, relay in plant.relays.items():
        rating = contact_loads.of_relay(tag, relay)
        switching[str(tag)] = tuple(one for target in relay.drives for one in _by_relay(plant, book, rating, target))
    return Loads(switching, multiplied(plant), several_places(plant))


def _switched(plant: Definitions, book: Book, rating: Rating, target: Tag, signal: str) -> Iterator[Switching]:
    """What a point's own contact switches."""
    if signal == "two-wire sensor":
        yield Switching(rating.tag, target, f"input of the amplifier before {target}", "does not apply",
                        "a two-wire sensor carries milliamperes to its amplifier, whose own contact switches the rest")
    elif target in plant.relays and plant.relays[target].kind == "electrode relay":
        yield Switching(rating.tag, target, f"measuring circuit of {target}", "does not apply",
                        "rods carry the measuring current of their relay, whose own contact switches the rest")
    elif target in plant.pumps and plant.pumps[target].starter is None:
        yield _motor(plant, book, rating, target)
    else:
        for load in behind(plant, target):
            yield _judged(book, rating, load)


def _by_relay(plant: Definitions, book: Book, rating: Rating, target: Tag) -> Iterator[Switching]:
    """What a relay's contact switches; a motor through the starter in the motor's panel where there is one."""
    if target in plant.pumps and plant.pumps[target].starter is None:
        panel, relay = plant.pumps[target].panel, plant.relays[Tag(rating.tag)]
        if relay.kind != "contactor" and panel is not None:
            yield Switching(rating.tag, target, f"coil of the starter of {target} in {panel}", "cannot be assessed",
                            f"the starter in {panel} switches the motor; what its coil draws is not recorded",
                            missing=(f"{target}: starter.coil",))
            return
        yield _motor(plant, book, rating, target)
        return
    for load in behind(plant, target):
        yield _judged(book, rating, load)


def _motor(plant: Definitions, book: Book, rating: Rating, target: Tag) -> Switching:
    """A motor: only AC-3 may, at its full-load current and its starting current."""
    words, between = f"motor of {target}", _between(rating)
    if rating.category is None:
        return Switching(rating.tag, target, words, "cannot be assessed", "the category of the contact is not recorded",
                         missing=(rating.fields[2],), is_motor=True)
    if rating.category != FOR_MOTORS:
        meant = CATEGORIES[rating.category].meant_for
        return Switching(rating.tag, target, words, "fail", f"its contact is {rating.category}, meant for {meant}; a motor "
                         f"asks for {FOR_MOTORS}", f"{rating.category} for a motor", needed=between, is_motor=True)
    full = book.outcomes.get(f"#{target}/full-load-current")
    gone = [*([rating.fields[1]] if rating.current is None else []),
            *([f"{target}: motor.full_load_current"] if not isinstance(full, Record) else [])]
    if rating.current is None or not isinstance(full, Record):
        return Switching(rating.tag, target, words, "cannot be assessed", "a rating is not recorded", missing=tuple(gone),
                         is_motor=True)
    key = f"#{rating.tag}/switches/{target}"
    limit = book.record(f"{key}/limit", f"largest motor current for the contact of {rating.tag}", rating.current.si,
                        "current", r"I_{\max} = I_e", (given(rating.current, "I_e", "rated current in AC-3"),),
                        validity="cage motor, switched off while it runs", reference=REFERENCE)
    spare = _spare(book, key, limit, full.as_input("I"))
    making = _making(book, key, rating)
    motor = plant.pumps[target].motor
    starting = motor.start_current if motor else None
    wrong = []
    if full.value > limit.value * NEAR:
        wrong.append(f"motor {full.value:g} A, rated {rating.current.written} in {FOR_MOTORS}")
    if starting is not None and isinstance(making, Record) and starting.si > making.value * NEAR:
        wrong.append(f"starting current {starting.written}, may make {making.value:g} A")
    said = f"{full.value:g} A at full load, rated {rating.current.written} in {FOR_MOTORS}"
    return Switching(rating.tag, target, words, "fail" if wrong else "pass", "; ".join(wrong) or said, "; ".join(wrong),
                     needed=("contactor",) if wrong else (), limit=limit, spare=spare, making=making,
                     is_motor=True)


def _between(rating: Rating) -> tuple[str, ...]:
    is_relay = rating.fields[2].endswith(": category")
    return ("contactor",) if is_relay else ("interposing relay", "contactor")


def _judged(book: Book, rating: Rating, load: Behind) -> Switching:
    """A coil, a solenoid, an input, another load."""
    missing = (*rating.missing(), *load.missing())
    key = f"#{rating.tag}/switches/{load.tag}"
    clean = _clean(book, key, rating, load)
    if rating.category is None or rating.voltage is None or rating.current is None or load.voltage is None \
            or load.current is None or load.kind is None:
        return Switching(rating.tag, load.tag, load.words, "cannot be assessed", "a rating is not recorded",
                         missing=missing, clean=clean, suppressed=load.suppressed)
    category = CATEGORIES[rating.category]
    limit = _limit(book, key, rating, load)
    making = _making(book, key, rating)
    spare = _spare(book, key, limit, given(load.current, "I", f"current of the {load.words}"))
    wrong = list(_wrong(rating, load, limit, making))
    verdict: MaySwitch = "fail" if wrong else "pass"
    said = f"{load.current.written} at {load.voltage.written}, rated {rating.current.written} in {rating.category}"
    unsafe = load.nature not in category.suits or load.kind != category.kind or bool(wrong)
    return Switching(rating.tag, load.tag, load.words, verdict, "; ".join(wrong) or said, "; ".join(wrong),
                     needed=("interposing relay",) if unsafe and wrong else (), limit=limit, spare=spare, making=making,
                     clean=clean, suppressed=load.suppressed)


def _wrong(rating: Rating, load: Behind, limit: Record, making: Record) -> Iterator[str]:
    assert rating.current and rating.voltage and rating.category and load.current and load.voltage
    if load.current.si > rating.current.si * NEAR:
        yield f"{load.what} {load.current.written}, rated {rating.current.si:g} A"
    elif load.current.si > limit.value * NEAR:
        power = apparent_power(load.voltage.si, load.current.si)
        yield f"{load.what} {power:.4g} VA, {rating.category} is for up to {SMALL_COIL:g} VA"
    if load.inrush is not None and load.inrush.si > making.value * NEAR:
        yield f"inrush {load.inrush.written}, may make {making.value:g} A"
    if load.voltage.si > rating.voltage.si * NEAR:
        yield f"{load.what} {load.voltage.written}, rated {rating.voltage.si:g} V"
    category = CATEGORIES[rating.category]
    if load.nature not in category.suits or load.kind != category.kind:
        plural = {"coil": "coils", "input": "inputs", "solenoid": "solenoids", "load": "loads"}[load.what]
        yield f"category {rating.category} is not for {load.kind} {plural}"


def _limit(book: Book, key: str, rating: Rating, load: Behind) -> Record:
    """The rated current; for AC-14 and a coil no more than makes its apparent power the small coil's."""
    assert rating.current and load.voltage
    name = f"largest current for the contact of {rating.tag} in {rating.category}"
    rated = given(rating.current, "I_e", "rated current")
    if rating.category == "AC-14" and load.nature == "coil" and load.voltage.si > 0:
        small = current_of_power(SMALL_COIL, load.voltage.si)
        return book.record(f"{key}/limit", name, min(rating.current.si, small), "current",
                           r"I_{\max} = \min\left(I_e, \frac{S}{U}\right)",
                           (rated, Input("S", "apparent power of a small electromagnet, in volt-amperes", SMALL_COIL, "",
                                         REFERENCE),
                            given(load.voltage, "U", "voltage of the coil")), reference=REFERENCE)
    return book.record(f"{key}/limit", name, rating.current.si, "current", r"I_{\max} = I_e", (rated,),
                       reference=REFERENCE)


def _making(book: Book, key: str, rating: Rating) -> Record:
    assert rating.current and rating.category
    factor = CATEGORIES[rating.category].makes
    return book.record(f"{key}/making", f"largest current that the contact of {rating.tag} may make",
                       factor * rating.current.si, "current", "I_{make} = k I_e",
                       (Input("k", f"multiple of the category {rating.category}", factor, "", REFERENCE),
                        given(rating.current, "I_e", "rated current")), reference=REFERENCE)


def _spare(book: Book, key: str, limit: Record, load: Input) -> Record:
    return book.record(f"{key}/spare", "current left to the contact's limit", limit.value - load.value, "current",
                       r"\Delta I = I_{\max} - I", (limit.as_input(r"I_{\max}"), load))


def _clean(book: Book, key: str, rating: Rating, load: Behind) -> Outcome | None:
    """Current over the least that keeps the contact clean; nothing where the contact states no least."""
    if rating.smallest is None:
        return None
    name = "current over the least that keeps the contact clean"
    if load.current is None:
        return book.absence(f"{key}/clean", name, f"what the {load.words} draws is not recorded", (load.fields[1],))
    return book.record(f"{key}/clean", name, load.current.si - rating.smallest.si, "current", r"\Delta I = I - I_{\min}",
                       (given(load.current, "I", f"current of the {load.words}"),
                        given(rating.smallest, r"I_{\min}", "least current, from its papers")),
                       reference="the contact's papers; film on contacts at small currents: common practice, no source")
