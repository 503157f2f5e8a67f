"""What the levels of a tank do: what trips what, ordinary running in sentences, what starts when power returns."""

from collections.abc import Iterator

from msgspec import Struct

from generator.model.interlock import Interlock, Modulating, StartStop
from generator.model.page import Link, Running
from generator.model.record import Record
from generator.model.scalar import Prose, Tag
from generator.pages import amounts, delays, logic_words, machine_facts, story
from generator.pages.context import Context
from generator.pages.prose import running


class TripRow(Struct, frozen=True):
    """One interlock: cause, delay, effects, what clears it."""

    interlock: Link
    kind: str
    mark: str
    service: Running
    when: Running
    after: Running
    then: Running
    afterwards: Running
    is_latched: bool


class ControlRow(Struct, frozen=True):
    """One control in sentences, with its starts in an hour where a pump is started by it."""

    control: Link
    sentences: tuple[Running, ...]
    starts: Running
    note: Running


class PowerRow(Struct, frozen=True):
    """What one machine or trip does when power returns. `moves` is True where something starts by itself."""

    subject: Link
    says: Running
    moves: bool | None


def trips(context: Context, tank: str) -> tuple[TripRow, ...]:
    """Interlocks that rest on a point of the tank, as written."""
    plant = context.plant
    return tuple(trip(context, tag) for tag in plant.interlocks if tank in plant.tanks_of_interlock[tag])


def from_elsewhere(context: Context, tank: str) -> tuple[TripRow, ...]:
    """Interlocks that drive this tank's pumps and valves but rest on nothing of this tank."""
    plant = context.plant
    own = set(machines(context, tank))
    return tuple(
        trip(context, tag) for tag, lock in plant.interlocks.items()
        if tank not in plant.tanks_of_interlock[tag]
        and any(element in own for target in lock.then for element in (target, *plant.members_of(target)))
    )


def trip(context: Context, tag: str) -> TripRow:
    """One interlock as a row."""
    lock = context.plant.interlocks[Tag(tag)]
    return TripRow(
        interlock=context.paths.link(tag), kind=lock.kind,
        mark={"trip": "trip", "permissive": "permissive"}.get(lock.kind, "control"),
        service=running(context, lock.service),
        when=(*logic_words.inline(context, lock.when), *_waits(lock)),
        after=delays.of_interlock(context, lock), then=_then(context, lock),
        afterwards=_afterwards(context, lock), is_latched=lock.latch is not None,
    )


def _waits(lock: Interlock) -> Running:
    """The interlock's own delay, beside that of its points."""
    return ("; the interlock waits ", amounts.duration(lock.on_delay.si)) if lock.on_delay else ()


def _then(context: Context, lock: Interlock) -> Running:
    if lock.kind == "permissive":
        return logic_words.sentence_list([(*story.element(context, target), f" may {logic_words.MAY[state]}")
                                          for target, state in lock.then.items()])
    return logic_words.sentence_list([(*story.element(context, target), f" {logic_words.GOES[state][0]}")
                                      for target, state in lock.then.items()])


def _afterwards(context: Context, lock: Interlock) -> Running:
    if lock.kind == "permissive":
        return (story.blocks_only(context, lock).replace("It blocks", "Blocks"),)
    if lock.reset is None:
        if lock.latch is not None:
            return ("Stays. How it is reset is not recorded.",)
        held: Running = (" ", amounts.duration(lock.off_delay.si), " after the cause is gone") if lock.off_delay else (
            " as soon as the cause is gone",)
        return ("Releases by itself", *held, ".")
    reset = lock.reset
    return ("Stays until it is reset at ", *logic_words.tags(context, reset.at, "or"), f" by the {reset.by}, ",
            "accepted once ", *logic_words.inline(context, reset.when), *_after_reset(context, reset.restarts))


def _after_reset(context: Context, restarts: Prose) -> Running:
    """What moves by itself after a reset, as the end of a sentence and one of its own."""
    if story.is_still(str(restarts)):
        return (". Nothing moves by itself after the reset.",)
    return (". Moves by itself after the reset: ", *running(context, restarts), ".")


def controls(context: Context, tank: str) -> tuple[ControlRow, ...]:
    """Ordinary running of the tank."""
    return tuple(_control(context, tag) for tag in context.plant.controls_of_tank[tank])


def _control(context: Context, tag: str) -> ControlRow:
    control = context.plant.controls[Tag(tag)]
    sentences = tuple(_start_stop(context, control) if isinstance(control, StartStop) else _loop(context, control))
    by: list[Running] = [(f"Done by: {control.by}.",)] if control.by else []
    live = [story.modes(context, "It orders", control.live_in)] if control.live_in else []
    return ControlRow(context.paths.link(tag), (*sentences, *live, *by), _starts(context, tag), running(context, control.note))


def _start_stop(context: Context, control: StartStop) -> Iterator[Running]:
    is_valve = control.moves in context.plant.valves
    starts, stops = ("opens", "shuts") if is_valve else ("starts", "stops")
    members = context.plant.members_of(control.moves)
    moved = story.element(context, control.moves)
    for number, point in enumerate(control.starts):
        subject: Running = moved
        if len(control.starts) > 1 and members:
            subject = (f"Pump {number + 1} of ", context.paths.link(control.moves))
        yield (*subject, f" {starts} when ", *logic_words.acts(context, point), ".")
    every = "All of them stop" if len(control.starts) > 1 and members else None
    yield (every, " when ", *logic_words.acts(context, control.stops), ".") if every else (
        context.paths.link(control.moves), f" {stops} when ", *logic_words.acts(context, control.stops), ".")
    group = context.plant.pump_groups.get(control.moves)
    if group:
        duty = "the duty changes by itself from start to start" if group.alternation else "the duty is chosen by hand"
        yield (context.paths.link(control.moves), f" is {group.arrangement}; {duty}.")
    if control.bad_signal:
        does = {"holds": "everything stays as it is", "starts": f"it {starts} by itself", "stops": f"it {stops}"}
        yield ("With a bad point ", does[control.bad_signal], ".")


def _loop(context: Context, control: Modulating) -> Iterator[Running]:
    verb = {"opens": "opens", "shuts": "shuts"}[control.rising_level]
    if control.moves not in context.plant.valves:
        verb = {"opens": "speeds up", "shuts": "slows down"}[control.rising_level]
    yield ("A rising level ", f"{verb} ", context.paths.link(control.moves), ", measured by ",
           context.paths.link(control.measures), ".")
    bad = {"holds": "stays where it is", "opens": "opens", "shuts": "shuts"}
    if control.bad_signal:
        yield ("With a bad signal ", context.paths.link(control.moves), f" {bad[control.bad_signal]}.")
    else:
        yield ("What a bad signal does is not recorded.",)


def _starts(context: Context, tag: str) -> Running:
    cycling = context.results.cycling.get(tag)
    if cycling is None:
        return ()
    is_valve = cycling.pump in context.plant.valves
    control = context.plant.controls[Tag(tag)]
    first = context.plant.switches.get(control.starts[0]) if isinstance(control, StartStop) else None
    flow = "draw" if first is not None and first.acts == "falling" else "inflow"
    allowed: Running = () if is_valve and not isinstance(cycling.allowed, Record) else (
        ", ", amounts.outcome(cycling.allowed), " allowed")
    first_pump = cycling.each[0] if cycling.each else None
    worst, shortest = (first_pump.worst_inflow, first_pump.shortest_cycle) if first_pump else (
        cycling.worst_inflow, cycling.shortest_cycle)
    together = f", with {first_pump.running} pumps running" if first_pump and first_pump.running > 1 else ""
    return ("Openings" if is_valve else "Starts", f" at the {flow} that is worst for it (",
            amounts.outcome(worst), f"{together}): ", amounts.outcome(cycling.starts), " at most", *allowed,
            "; the shortest cycle is ", amounts.outcome(shortest, "minutes"), ".")


def machines(context: Context, tank: str) -> tuple[Tag, ...]:
    """Pumps, valves and equipment that move or hold the liquid of a tank, or that its controls and interlocks drive."""
    plant = context.plant
    found: dict[Tag, None] = dict.fromkeys(plant.pumps_of[tank])
    for stream in (*plant.inflows_of[tank], *plant.outflows_of[tank]):
        mover = plant.streams[stream].moved_by
        targets = [*plant.streams[stream].through, *([mover] if mover else [])]
        found |= dict.fromkeys(element for target in targets for element in (plant.members_of(target) or (target,)))
    for control in plant.controls_of_tank[tank]:
        target = plant.controls[control].moves
        found |= dict.fromkeys(plant.members_of(target) or (target,))
    for tag, lock in plant.interlocks.items():
        if tank in plant.tanks_of_interlock[tag]:
            found |= dict.fromkeys(one for target in lock.then for one in (plant.members_of(target) or (target,)))
    return tuple(found)


def power_returns(context: Context, tank: str) -> tuple[PowerRow, ...]:
    """What each machine of the tank and each latched trip does when power returns."""
    plant = context.plant
    made = []
    for tag in machines(context, tank):
        owner = plant.find(tag)
        if not hasattr(owner, "restart"):
            continue
        made.append(_restart(context, tag))
    for tag, lock in plant.interlocks.items():
        if tank in plant.tanks_of_interlock[tag] and lock.latch is not None:
            kept = lock.latch.survives_power_loss
            says = "the trip is still there and waits for its reset" if kept else (
                "the trip is forgotten: what it held is free again")
            made.append(PowerRow(context.paths.link(tag), (says,), not kept))
    return tuple(made)


def _restart(context: Context, tag: Tag) -> PowerRow:
    restart = context.plant.find(tag).restart
    link = context.paths.link(tag)
    if restart is None:
        return PowerRow(link, ("what it does is not recorded: expect that it starts",), None)
    if not restart.by_itself:
        return PowerRow(link, ("stays stopped until somebody starts it",), False)
    after = machine_facts.restart_after(context, tag, restart)
    asked = " where its control asks for it" if context.plant.controls_of_element[tag] else ""
    return PowerRow(link, (f"starts by itself{asked}", *after), True)
