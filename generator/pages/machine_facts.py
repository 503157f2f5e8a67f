"""What a pump, valve or other machine is, what it does without power."""

from collections.abc import Iterable, Iterator
from typing import Any

from generator.model.interlock import Interlock, State
from generator.model.machine import Restart, Starter
from generator.model.page import Running, plain
from generator.model.record import Record
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.context import Context
from generator.pages.links import facts as over_links
from generator.pages.logic_words import GOES, sentence_list, tags
from generator.pages.matrix_losses import state_without_drive
from generator.pages.prose import running
from generator.pages.register import links
from generator.pages.story import Fact

NOT_RECORDED = "not recorded"
MOVING: tuple[State, ...] = ("running", "open", "on", "sounding")


def facts(context: Context, noun: str, tag: Tag) -> tuple[Fact, ...]:
    """What it is, where it is driven from, how the plant knows what it does."""
    owner = context.plant.find(tag)
    made = list({"pumps": _pump, "valves": _valve, "equipment": _equipment}[noun](context, owner))
    made.append(Fact("Driven from", (context.paths.link(owner.panel),) if owner.panel else (NOT_RECORDED,)))
    made.append(Fact("Powered by", (context.paths.link(owner.supply),) if owner.supply else (NOT_RECORDED,)))
    made += over_links(context, [tag])
    made.append(Fact("Feedback", feedback(context, tag)))
    groups = context.plant.group_of[tag]
    if groups:
        made += [
            Fact(
                "Group",
                (
                    context.paths.link(group),
                    f" {context.plant.pump_groups[group].arrangement}, with ",
                    *tags(context, context.plant.pump_groups[group].pumps),
                ),
            )
            for group in groups
        ]
    streams = [
        name
        for name, one in context.plant.streams.items()
        if tag in one.through or (one.moved_by and tag in (one.moved_by, *context.plant.members_of(one.moved_by)))
    ]
    if streams:
        made.append(Fact("Liquid", _liquid(context, streams)))
    drawings = getattr(owner, "drawings", ())
    if drawings:
        made.append(Fact("Drawings", links(context, drawings)))
    if owner.formerly:
        made.append(Fact("Formerly", (", ".join(owner.formerly),)))
    return tuple(made)


def _liquid(context: Context, streams: Iterable[Tag]) -> Running:
    """The liquid of some streams by its name, each with the streams by theirs; that of the tank it leaves, else enters."""
    plant = context.plant
    by_liquid: dict[str, list[Running]] = {}
    for name in streams:
        stream = plant.streams[name]
        tank = plant.tanks.get(stream.from_) or plant.tanks.get(stream.into)
        by_liquid.setdefault(str(tank.liquid) if tank else "", []).append(
            (context.paths.link(name, plain(running(context, stream.name))),))
    said: list[Running] = [(*((context.paths.link(liquid, str(plant.liquids[Tag(liquid)].name)), ": ") if liquid else ()),
                            *sentence_list(many)) for liquid, many in by_liquid.items()]
    return tuple(part for number, one in enumerate(said) for part in (*(("; ",) if number else ()), *one))


def _pump(context: Context, pump: Any) -> Iterator[Fact]:
    inlet = pump.inlet
    draws = ("draws from outside the plant's tanks",) if inlet is None else (
        f"{inlet.kind} in ", context.paths.link(inlet.tank), " at ", amounts.metres(inlet.height.si))
    yield Fact("What it is", (f"pump, {pump.flow.written}, ", *draws))
    if pump.motor:
        motor = [
            pump.motor.power.written,
            *(one.written for one in (pump.motor.voltage, pump.motor.full_load_current) if one),
        ]
        yield Fact("Motor", (", ".join(motor),))
        if pump.starter is not None:
            yield Fact("Starter", (_starter(pump.starter),))
        if pump.motor.least_off_time:
            yield Fact(
                "Rests at least", (amounts.duration(pump.motor.least_off_time.si), " between a stop and the next start")
            )
    yield Fact("Stops in", (amounts.duration(pump.stop_time.si),) if pump.stop_time else (NOT_RECORDED,))


def _starter(starter: Starter) -> str:
    """What switches the motor, as far as it is recorded."""
    coil = starter.coil
    drawn = [str(one) for one in (coil.voltage and coil.voltage.written, coil.kind, coil.current and coil.current.written)
             if one] if coil else []
    rated = [str(one) for one in (starter.category, starter.rated_current and starter.rated_current.written) if one]
    return f"coil {' '.join(drawn) or NOT_RECORDED}; main contacts {' '.join(rated) or NOT_RECORDED}"


def _valve(context: Context, valve: Any) -> Iterator[Fact]:
    yield Fact("What it is", (f"{valve.kind} valve, {valve.actuator or 'actuator not recorded'}",))
    for label, time in (("Closes in", valve.closing_time), ("Opens in", valve.opening_time)):
        if time:
            yield Fact(label, (amounts.duration(time.si),))
    if valve.backup:
        yield Fact("Backed up by", running(context, valve.backup))


def _equipment(_context: Context, owner: Any) -> Iterator[Fact]:
    yield Fact("What it is", (str(owner.kind),))


def feedback(context: Context, tag: Tag) -> Running:
    """How the plant knows that the machine did what it was told."""
    told = context.plant.find(tag).feedback
    if told is None:
        return ("none recorded: nobody is told when it does not move",)
    by: Running = (context.paths.link(told.by),) if context.plant.find(told.by) is not None else (str(told.by),)
    return (*by, ", a difference shows after ", amounts.duration(told.within.si)) if told.within else by


def restart_after(context: Context, tag: Tag, restart: Restart) -> Running:
    """How long after power returns a machine starts, as words after `starts by itself`; nothing where it does so at once."""
    record = context.results.records.get(f"#{tag}/restart")
    if isinstance(record, Record):
        return (" after ", amounts.duration(record.value, record.key)) if record.value else ()
    return (" after ", amounts.duration(restart.after.si)) if restart.after else ()


def starts_again(context: Context, tag: Tag, after: Running = ()) -> Running:
    """What a machine that needs nobody at its button does when power returns, and what else has to ask for it.

    `after` says how long after the return. Of a standby pump nothing is claimed that no control and no interlock says.
    """
    plant = context.plant
    if plant.controls_of_element[tag]:
        return ("starts by itself", *after, " where its control asks for it")
    starting = {name: state for name in plant.interlocks_of_effect[tag]
                for state in states_of(context, tag, plant.interlocks[name])
                if plant.interlocks[name].kind != "permissive" and state in MOVING}
    if starting:
        verb = "sounds again" if "sounding" in starting.values() else "starts by itself"
        asks = [(context.paths.link(name), " is tripped" if plant.interlocks[name].kind == "trip" else " asks for it")
                for name in starting]
        return (verb, *after, " while ", *sentence_list(asks, "or"))
    groups = [name for name in plant.group_of[tag] if "standby" in plant.pump_groups[name].arrangement]
    others = [one for name in groups for one in plant.members_of(name)
              if one != tag and (restart := plant.pumps[one].restart) is not None and restart.by_itself]
    if not others:
        return ("starts by itself", *after)
    return ("starts by itself", *after, "; ", context.paths.link(groups[0]),
            f" is {plant.pump_groups[groups[0]].arrangement}, and what keeps its standby pump stopped is not recorded: "
            "expect that ", *tags(context, dict.fromkeys(others)), " starts too" if len(set(others)) == 1 else " start too")


def states_of(context: Context, tag: str, lock: Interlock) -> tuple[State, ...]:
    """The states to which an interlock drives a machine, by itself or as one of a group."""
    return tuple(dict.fromkeys(state for target, state in lock.then.items()
                               if tag in (target, *context.plant.members_of(target))))


def without_power(context: Context, noun: str, tag: Tag) -> tuple[Fact, ...]:
    """What it does when its drive is lost, and when it comes back."""
    goes = state_without_drive(context.plant, tag)
    owner = context.plant.find(tag)
    lost = (
        f"{GOES[goes][0]}, and {GOES[goes][1]} until its drive is back"
        if goes
        else ("stays where it is" if getattr(owner, "fails", None) == "in place" else "what it does is not recorded")
    )
    made = [Fact("When its drive is lost", (f"it {lost}" if goes or lost.startswith("stays") else lost,))]
    if noun == "valves":
        back_again = ("it stays where a hand left it" if owner.actuator == "hand" else
                      "it follows its command again; a trip that is still there keeps it")
        made.append(Fact("When it comes back", (back_again,)))
        return tuple(made)
    restart = owner.restart
    if restart is None:
        back: Running = ("what it does is not recorded: expect that it starts",)
    elif restart.by_itself:
        back = ("it ", *starts_again(context, tag, restart_after(context, tag, restart)))
    else:
        back = ("it stays stopped until somebody starts it",)
    made.append(Fact("When power returns", back))
    return tuple(made)
