"""Registers of pumps, valves and equipment: what they are, and what each does when power goes and comes back."""

from collections.abc import Iterator
from typing import Any

from generator.model.machine import Restart
from generator.model.page import Amount, Page, Running
from generator.model.scalar import Tag
from generator.pages import amounts, register
from generator.pages.context import Context
from generator.pages.machine_facts import restart_after, starts_again
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.register import Row, cell

_NOUNS = ("pumps", "valves", "equipment")


def pages(context: Context) -> Iterator[Page]:
    """The equipment register, and what happens when power returns."""
    tags = [tag for noun in _NOUNS for tag in getattr(context.plant, noun)]
    yield register.page(
        context, "equipment", "Equipment", "Every pump, valve and other machine that a level acts on.",
        ("Tag", "Service", "Kind", "Interlocks", "Controls", "Panel", "Supply", "Drive lost", "Drawings"),
        register.by_area(context, tags, lambda tag: _machine(context, tag)),
    )
    moving = [tag for tag in tags if not _is_by_hand(context.plant.find(tag))]
    latched = [tag for tag, lock in context.plant.interlocks.items() if lock.latch is not None]
    yield register.page(
        context, "power-return", "When power returns",
        "What starts by itself, what stays where it is, and which trips are still there. A machine that starts by itself "
        "does so without anybody at the button.",
        ("Tag", "Service", "When its drive is lost", "When power returns", "After", "Fed from"),
        register.by_area(context, [*moving, *latched], lambda tag: _return(context, tag)),
    )


def _is_by_hand(owner: Any) -> bool:
    return getattr(owner, "kind", "") in ("hand", "check", "self-acting")


def _machine(context: Context, tag: str) -> Row:
    plant = context.plant
    owner = plant.find(tag)
    kind = "pump" if tag in plant.pumps else f"{owner.kind} valve" if tag in plant.valves else owner.kind
    return Row(slug(tag), (
        cell(context.paths.link(tag)), cell(running(context, owner.service)), cell(kind),
        cell(register.links(context, plant.interlocks_of_effect[tag])),
        cell(register.links(context, plant.controls_of_element[tag])),
        cell(*_one(context, getattr(owner, "panel", None))), cell(*_one(context, getattr(owner, "supply", None))),
        cell(_lost(context, tag)), cell(register.links(context, getattr(owner, "drawings", ()))),
    ))


def _return(context: Context, tag: str) -> Row:
    plant = context.plant
    owner = plant.find(tag)
    if tag in plant.interlocks:
        stays = owner.latch.survives_power_loss
        return Row(slug(tag), (
            cell(context.paths.link(tag)), cell(running(context, owner.service)), cell("the trip's memory"),
            cell("still tripped, waits for its reset" if stays else "forgotten: what it held is free again"),
            cell("at once"), cell("not given" if owner.by is None else f"carried by {owner.by}"),
        ))
    restart: Restart | None = getattr(owner, "restart", None)
    if restart is None:
        said, after = (_valve_returns(owner) if tag in plant.valves else None), None
    elif restart.by_itself:
        return Row(slug(tag), (
            cell(context.paths.link(tag)), cell(running(context, owner.service)), cell(_lost(context, tag)),
            cell(starts_again(context, Tag(tag))), cell(*_when(context, tag, restart)),
            cell(*_one(context, getattr(owner, "supply", None))),
        ))
    else:
        said, after = "stays stopped until somebody starts it", "never by itself"
    return Row(slug(tag), (
        cell(context.paths.link(tag)), cell(running(context, owner.service)), cell(_lost(context, tag)), cell(said),
        cell(after or ("at once" if said else None)), cell(*_one(context, getattr(owner, "supply", None))),
    ))


def _when(context: Context, tag: str, restart: Restart) -> Running:
    """The delay with which a machine starts, and its place among those that start on the same supply."""
    supply = getattr(context.plant.find(tag), "supply", None)
    line = context.results.restarts.get(supply) if supply else None
    step = next((one for one in line.steps if one.tag == tag), None) if line else None
    if line is None or step is None:
        return restart_after(context, Tag(tag), restart)[1:] or (Amount("at once"),)
    after = amounts.duration(step.after.value, step.after.key) if step.after.value else Amount("at once", record=step.after.key)
    if len(line.steps) == 1:
        return (after, f", the only one on {supply}")
    first = 1 + sum(one.after.value < step.after.value for one in line.steps)
    others: Running = (" together with ", *register.links(context, step.together)) if step.together else ()
    return (after, f", number {first} of {len(line.steps)} on {supply}", *others)


def _lost(context: Context, tag: str) -> str | None:
    if tag not in context.plant.valves:
        return "stops"
    fails = context.plant.find(tag).fails
    return {"open": "goes open", "closed": "goes shut", "in place": "stays where it is", None: None}[fails]


def _valve_returns(valve: Any) -> str | None:
    if valve.fails is None:
        return None
    return "goes where the logic then wants it"


def _one(context: Context, tag: str | None) -> tuple[Any, ...]:
    return (context.paths.link(tag),) if tag else (None,)
