"""Links between panels, and what the functions that cross one do when it is lost: rules 4.30 to 4.34."""

from generator.check.conditions import IS_TRIP
from generator.check.logic import can_act_without
from generator.check.rule import Answer, Fail, Missing, Pass, When, rule
from generator.check.subjects import OfInterlock, OfLink
from generator.check.words import listed
from generator.model.scalar import Tag

PRACTICE = "common practice, no source"
SRS = "IEC 61511-1:2016, 10.3 and 11.3 (from memory)"
CARRIES_ORDERS = When("it carries orders", lambda subject: bool(subject.crossing.orders))
CARRIES_SIGNALS = When("it carries signals", lambda subject: bool(subject.crossing.read))


@rule("4.30", "The loss of a link is noticed and seen", scope="link", severity="warning", basis=PRACTICE)
def loss_of_a_link_is_seen(subject: OfLink) -> Answer:
    """Asks for the time after which the link is taken as lost, and for an alarm that tells of it.

    A screen behind a dead link shows the last level, calm and wrong. A signal shows it only where an alarm comes from it.
    Cure: state `watched_for` and `loss_shown_by`, and raise an alarm from that signal.
    """
    link, plant = subject.link, subject.context.plant
    shown = link.loss_shown_by
    if link.watched_for is None:
        return Fail("nothing says after which time without an answer it is taken as lost", "not watched", "state `watched_for`")
    if shown is None:
        return Fail("nothing shows that it is lost", "loss not shown", "state `loss_shown_by`")
    if shown in plant.signals and not plant.alarms_of[shown]:
        return Fail(f"{shown} tells of it, and no alarm comes from {shown}", f"no alarm from {shown}", "raise an alarm",
                    at=link.place_of("loss_shown_by"), also=(str(shown),))
    alarm = shown if shown in plant.alarms else plant.alarms_of[shown][0]
    if alarm in subject.crossing.functions:
        return Fail(f"{alarm}, which shows it, crosses it", "shown across itself", "raise the alarm at the end where people are",
                    at=link.place_of("loss_shown_by"), also=(str(alarm),))
    return Pass(f"taken as lost after {link.watched_for.written}, shown by {alarm}")


@rule("4.31", "What orders do when their link is lost is stated", scope="link", severity="by consequence", basis=SRS,
      conditions=(CARRIES_ORDERS,))
def orders_on_a_lost_link_are_stated(subject: OfLink) -> Answer:
    """Asks whether outputs at the far end hold their last order or drop when the link is lost.

    A pump that holds its last order runs on with nobody in charge of it; a valve that drops goes where it fails to.
    Cure: state `orders`.
    """
    if subject.link.orders is not None:
        return Pass(f"they {subject.link.orders}")
    devices = listed(dict.fromkeys(device for _, device in subject.crossing.orders))
    return Fail(f"not stated; it carries orders to {devices}", "orders not stated", "state `orders`")


@rule("4.32", "What signals count as when their link is lost is stated", scope="link", severity="by consequence", basis=SRS,
      conditions=(CARRIES_SIGNALS,))
def signals_on_a_lost_link_are_stated(subject: OfLink) -> Answer:
    """Asks what signals count as at the receiving end once the link is lost: bad, what they showed last, or open contacts.

    What nobody decides, the programmer does; most often the last value stays and looks alive. Cure: state `received_signals`.
    """
    if subject.link.received_signals is not None:
        return Pass(f"as {subject.link.received_signals}")
    signals = listed(dict.fromkeys(signal for _, signal in subject.crossing.read))
    return Fail(f"not stated; it carries {signals}", "signals not stated", "state `received_signals`")


def _crossed(subject: OfInterlock) -> dict[str, set[str]]:
    """Links that carry points or signals of the cause to the interlock, each with those."""
    made: dict[str, set[str]] = {}
    for name, across in subject.context.results.crossings.items():
        for function, signal in across.read:
            if function == subject.tag:
                made.setdefault(name, set()).add(signal)
    return made


@rule("4.33", "The trip still acts, or trips, when its link is lost", scope="interlock", severity="by consequence", basis=SRS,
      conditions=(IS_TRIP, When("a signal of its cause crosses a link", lambda subject: bool(_crossed(subject)))))
def trip_outlives_its_link(subject: OfInterlock) -> Answer:
    """Takes each link that carries signals of the cause as lost: the trip then acts, or what comes another way can still bring
    it about. It asks what a bad signal does where the link makes its signals bad.

    A trip that waits for a signal which no longer comes is out of use, and its page says that it is in use.
    Cure: trip on a bad signal, let the received signals be bad, or wire the point.
    """
    lock, plant = subject.interlock, subject.context.plant
    for name, signals in _crossed(subject).items():
        link = plant.links[Tag(name)]
        if link.received_signals is None:
            return Missing((f"{name}: received_signals",))
        if link.received_signals == "bad" and lock.bad_signal is None:
            return Missing((f"{subject.tag}: bad_signal",))
        if link.received_signals == "bad" and lock.bad_signal == "trips":
            continue
        effects = subject.context.results.failures.get(str(name), ())
        if link.received_signals == "open" and any(subject.tag in effect.acts for effect in effects):
            continue
        if not can_act_without(lock.when, signals):
            ignores = "ignores them" if lock.bad_signal == "ignored" else "holds what they showed last"
            does = {"hold": "they show what they showed last", "open": "they look like open contacts"}.get(
                link.received_signals, f"they are bad and {subject.tag} {ignores}")
            return Fail(f"{listed(sorted(signals))} reach it over {name}; when that is lost {does}, and it cannot act however "
                        "the level goes", f"silent with {name} lost", "trip on a bad signal, or wire the point",
                        also=(str(name),), at=lock.place_of("bad_signal"))
    return Pass(f"it acts, or can still act, without {listed(map(str, _crossed(subject)))}")


def _end(subject: OfLink, tag: str) -> tuple[str | None, str]:
    """The panel in which a carried signal or device ends, and the field that would say it."""
    plant = subject.context.plant
    if tag in plant.signals:
        return plant.signals[Tag(tag)].at, f"{tag}: at"
    if tag in plant.switches or tag in plant.instruments:
        body = str(plant.switches[Tag(tag)].in_) if tag in plant.switches else tag
        wiring = plant.instruments[Tag(body)].wiring
        return (wiring.panel if wiring else None), f"{body}: wiring.panel"
    return getattr(plant.find(tag), "panel", None), f"{tag}: panel"


def _reaches(subject: OfLink, tag: str, panel: str) -> bool:
    """Whether a link starts where something ends, or another link brings it from there."""
    plant = subject.context.plant
    return panel in subject.link.between or any(
        panel in link.between and set(link.between) & set(subject.link.between)
        and tag in (*across.signals, *across.devices)
        for name, across in subject.context.results.crossings.items() if (link := plant.links[Tag(name)]) is not subject.link)


@rule("4.34", "What a link serves uses it", scope="link", severity="warning", basis=PRACTICE, conditions=(
    When("it names what it serves", lambda subject: bool(subject.link.serves)),))
def served_functions_use_the_link(subject: OfLink) -> Answer:
    """Asks of each function under `serves` that the link carries something which it reads, gives or sends, and that this ends in
    one of the panels that the link joins.

    A function that is named and uses nothing of the link counts as cut off with it in no failure table, while who reads the list
    takes it for looked after. Cure: take it out of `serves`, or add to `carries` what it uses, or to `between` where that ends.
    """
    across, missing = subject.crossing, []
    for function in map(str, subject.link.serves):
        used = [thing for one, thing in (*across.read, *across.orders) if one == function]
        if not used and function not in across.messages:
            return Fail(f"it serves {function}, which uses nothing that it carries", f"{function} uses nothing of it",
                        f"take {function} out of `serves`, or add to `carries` what it uses",
                        at=subject.link.place_of("serves"), also=(function,))
        for tag in used:
            panel, field = _end(subject, tag)
            if panel is None:
                missing.append(field)
            elif not _reaches(subject, tag, str(panel)):
                joins = listed(map(str, subject.link.between))
                return Fail(f"{function} uses {tag}, which ends in {panel}; the link joins {joins}",
                            f"{tag} ends in {panel}", "add that panel to `between`, or take out what does not cross the link",
                            at=subject.link.place_of("between"), also=(function, tag, str(panel)))
    if missing:
        return Missing(tuple(dict.fromkeys(missing)))
    return Pass(f"{listed(map(str, subject.link.serves))} use it")
