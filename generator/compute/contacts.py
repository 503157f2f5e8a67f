"""Contacts in plain sentences: running, acted, wire broken or shorted, supply lost; and the side to which they fail.

A contact that opens when its point acts is closed while the plant runs, so that a broken wire or a dead loop looks as
if the point had acted; a short between its cores hides it. One that closes is open while the plant runs, and there it is
the break that stays hidden unless the line is supervised. What counts is the state that the function asks for: a
permissive is held back by its absence, a function that must start something needs power however its contact stands, and
where the hazard asks for an outflow that runs, stopping a pump is not the safe side.
"""

from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from generator.compute import set_points, two_wire
from generator.compute.book import Book
from generator.compute.duties import Duty, duties
from generator.compute.safe_states import stops_what_must_run
from generator.compute.set_points import sentence
from generator.model.instrument import Contact, Instrument, Switch
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.results import ContactResult, SetpointResult, TankResult
from generator.model.scalar import Tag

NEEDS_NO_POWER = frozenset({"cable float", "tilt float", "side lever float", "top lever float", "guide tube float",
                            "displacer", "site gauge"})
"""Technologies that move their contact by the liquid alone; every other one senses only with a supply."""
OPPOSITE = {"open": "closed", "closed": "open"}


def results(
    plant: Definitions, _knowledge: Knowledge, _tanks: Mapping[str, TankResult],
    _setpoints: Mapping[str, SetpointResult], book: Book,
) -> Mapping[str, ContactResult]:
    """The contact of every switch."""
    return {str(tag): _result(plant, str(tag), point, book) for tag, point in plant.switches.items()}


def _result(plant: Definitions, tag: str, point: Switch, book: Book) -> ContactResult:
    body = plant.instruments[point.in_]
    rests = duties(plant, tag)
    if point.contact is None:
        return set_points.result(plant, tag, point, body, rests)
    made = _Contact(plant, tag, point, point.contact, body, rests).made()
    return replace(made, currents=two_wire.currents(book, tag)) if body.signal == "two-wire sensor" else made


def needs_power(body: Instrument) -> bool | None:
    """Whether a device needs a supply to sense: as recorded, else by its technology; None for one nobody described."""
    if body.powered is not None or body.technology == "other":
        return body.powered
    return body.technology not in NEEDS_NO_POWER


def is_supervised(body: Instrument) -> bool:
    """Whether a broken or shorted wire is told: as recorded, else where a two-wire sensor shows both by its current."""
    if body.wiring is not None and body.wiring.supervised is not None:
        return body.wiring.supervised
    return body.signal == "two-wire sensor"


class _Contact(Struct, frozen=True):
    """The working of one contact."""

    plant: Definitions
    tag: str
    point: Switch
    contact: Contact
    body: Instrument
    duties: tuple[Duty, ...]

    def made(self) -> ContactResult:
        """The contact with its sentences and its verdict."""
        is_safe, why = self.verdict()
        return ContactResult(self.tag, self.running, self.acted, "open", self.supply_lost, tuple(self.sentences()),
                             is_safe, why, "closed", shelf=self.shelf, contradiction=self.contradicts)

    # ---- states --------------------------------------------------------------------------------------------------

    @property
    def acted(self) -> str:
        """State when the point has acted."""
        return "open" if self.contact.at_the_point == "opens" else "closed"

    @property
    def running(self) -> str:
        """State while the plant runs and the liquid is away from the point."""
        return OPPOSITE[self.acted]

    @property
    def is_supervised(self) -> bool:
        """Whether a broken or shorted wire is detected."""
        return is_supervised(self.body)

    @property
    def supply(self) -> str:
        """Tag of the supply of the loop; empty where none is recorded."""
        wiring = self.body.wiring
        return str(wiring.supply) if wiring is not None and wiring.supply is not None else ""

    @property
    def supply_lost(self) -> str:
        """What the logic sees when the device or its loop is without power; empty where that is not decided.

        A dead loop looks open. A powered device that dies alone shows its contact's state on the shelf, which may
        differ; the worse of the two counts, and that is a contact that stays as it is while the plant runs.
        """
        if needs_power(self.body) is None:
            return ""
        if not needs_power(self.body):
            return "open"
        return self.contact.on_the_shelf or ""

    @property
    def shelf(self) -> str:
        """State on the shelf, where it follows: a device without power of its own lies there dry."""
        if needs_power(self.body) is not False or self.contact.keeps_state:
            return ""
        return self.running if self.point.acts == "rising" else self.acted

    @property
    def contradicts(self) -> str:
        """Why contact and shelf state cannot both be true, for a device without power of its own."""
        dry = self.shelf
        if not dry or self.contact.on_the_shelf in (None, dry):
            return ""
        side = "below" if self.point.acts == "rising" else "past"
        return (f"The definitions contradict each other: a dry {self.body.technology} is {side} its point, so the "
                f"contact would be {dry} on the shelf, and {self.contact.on_the_shelf} is recorded.")

    # ---- sentences -----------------------------------------------------------------------------------------------

    def sentences(self) -> Iterator[tuple[str, str, str]]:
        """Rows of (situation, state, what follows)."""
        away = "below" if self.point.acts == "rising" else "above"
        reached = "risen" if self.point.acts == "rising" else "fallen"
        yield f"Plant running, liquid {away} the point", self.running, self.follows(acts=False)
        yield f"Liquid has {reached} to the point", self.acted, self.follows(acts=True)
        shown = "The line is supervised, so the break is shown. "
        yield "Wire broken or terminal loose", "open", self.seen_as("open", shown)
        yield "Cores shorted together", "closed", self.seen_as(
            "closed", "The line is supervised, so the short is shown. ", is_line=True)
        name = f"Supply {self.supply} lost" if self.supply else "Supply lost"
        state = self.supply_lost
        if not state:
            lacks = "whether it needs power" if needs_power(self.body) is None else "the contact's state without power"
            yield name, "not decided", f"Not recorded: {lacks}."
            return
        yield name, state, self.seen_as(
            state, "The line is supervised, so the loss is shown. ", told=self.shown_by())

    def follows(self, acts: bool) -> str:
        """What rests on the contact in a state, in words."""
        words = [duty.words for duty in self.duties if duty.on_act == acts]
        return (sentence(words) if words else "Nothing follows.") + (
            " The contact keeps this state until the float passes back." if self.contact.keeps_state and acts else "")

    def seen_as(self, state: str, supervised: str, *, is_line: bool = False, told: str = "") -> str:
        """What a fault looks like to the logic, in words.

        `is_line` for one of the line whatever its state; `told` is what else tells of it.
        """
        start = supervised if self.is_supervised and (is_line or state == "open") else ""
        if state == self.acted:
            return f"{start}Looks as if the liquid had reached the point. {self.follows(acts=True)}{told}"
        if start or told:
            hidden = "" if start else " The point cannot act."
            return f"{start}Looks as if all were well.{hidden}{told}"
        return "Looks as if all were well. Nobody is told, and the point cannot act."

    def shown_by(self) -> str:
        """What tells of the lost supply, in words; empty where nothing does."""
        supply = self.plant.supplies.get(Tag(self.supply)) if self.supply else None
        return f" {supply.loss_shown_by} tells of the lost supply." if supply and supply.loss_shown_by else ""

    # ---- verdict -------------------------------------------------------------------------------------------------

    def verdict(self) -> tuple[bool | None, str]:
        """Whether every function on the contact fails to the safe side, and why."""
        if self.contradicts:
            return None, self.contradicts
        verdicts = [self.verdict_of(duty) for duty in self.duties]
        judged = [(safe, why) for safe, why in verdicts if why]
        if not judged:
            return None, "No protective function and no alarm rests on it, so there is no safe side to judge."
        why = " ".join(dict.fromkeys(why for _, why in judged))
        if self.running == "closed" and not self.is_supervised:
            why += " A short between its cores would stay hidden; only a supervised line shows one."
        if any(safe is False for safe, _ in judged):
            return False, why
        return (None if any(safe is None for safe, _ in judged) else True), why

    def verdict_of(self, duty: Duty) -> tuple[bool | None, str]:
        """The verdict for one function; without words where there is no safe side."""
        if duty.kind == "control":
            return None, ""
        if duty.kind == "starts to protect":
            return self.verdict_of_start(duty)
        against = stops_what_must_run(self.plant, duty)
        if against:
            return False, against
        demand = self.acted if duty.on_act else self.running
        gaps = self.gaps(demand)
        if not gaps:
            unknown = self.supply_lost == ""
            what = "sounds" if duty.kind == "alarm" else "acts"
            if unknown:
                return None, f"{duty.tag}: a broken wire {what} on the safe side; a lost supply is not decided."
            return True, f"{duty.tag}: a broken wire and a lost supply both look like the demand, so it {what}."
        if self.covers(duty):
            return True, (f"{duty.tag}: the contact does not fail to the safe side by itself, but the line is "
                          "supervised, the lost supply is shown and a detected fault trips.")
        if duty.kind == "alarm" and self.tells(gaps):
            return True, (f"{duty.tag}: {' and '.join(gaps)} would not sound it, but is told by itself, so it does not stay "
                          "hidden.")
        rest = " The line is supervised, so a break is shown but does not act." if self.is_supervised else ""
        return False, f"{duty.tag}: {' and '.join(gaps)} would stay hidden and stop it from acting.{rest}"

    def gaps(self, demand: str) -> list[str]:
        """Faults that do not look like the demand."""
        gaps = [] if demand == "open" else ["a broken wire"]
        if self.supply_lost and self.supply_lost != demand:
            gaps.append("a lost supply")
        return gaps

    def covers(self, duty: Duty) -> bool:
        """Whether supervision makes up for the contact: faults are detected, and the interlock trips on them."""
        lock = self.plant.interlocks.get(Tag(duty.tag))
        return lock is not None and lock.bad_signal == "trips" and self.is_supervised and bool(self.shown_by())

    def tells(self, gaps: list[str]) -> bool:
        """Whether each fault is told by something else: enough for an alarm, which only has to bring somebody."""
        return all(self.is_supervised if gap == "a broken wire" else bool(self.shown_by()) for gap in gaps)

    def verdict_of_start(self, duty: Duty) -> tuple[bool, str]:
        """A function that must start something: no contact makes it safe, but its faults must show."""
        told = self.is_supervised and bool(self.shown_by())
        start = f"{duty.tag} must start something to protect, which needs power: no contact makes that fail-safe."
        if told:
            return True, f"{start} Its line is supervised and a lost supply is shown, so a fault does not stay hidden."
        wanting = [words for words, there in (("its line is not known to be supervised", self.is_supervised),
                                              ("nothing tells of a lost supply", bool(self.shown_by()))) if not there]
        return False, f"{start} A fault can stay hidden: {' and '.join(wanting)}."
