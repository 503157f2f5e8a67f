"""The hazards and what protects from each."""

import re
from collections.abc import Iterator

from generator.model.page import Page, Running
from generator.model.scalar import Tag
from generator.pages import register
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.register import Group, Row, cell
from generator.pages.spilled import except_while

COLUMNS = ("Hazard", "What happens", "Harms", "Begins at", "Safe state", "Interlocks", "Alarms", "Tells of a lost supply",
           "Study")
LOST = ("supply lost", "air lost")
"""Signals that tell of a lost supply: what they raise says nothing of the level."""


def pages(context: Context) -> Iterator[Page]:
    """The register of hazards against functions."""
    rows = tuple(_row(context, tag) for tag in context.plant.hazards)
    yield register.page(
        context, "hazards", "Hazards",
        "What can go wrong with a level, whom it harms, and which interlocks and alarms stand against it: alarms "
        "of the points on its side of the tank, of its interlocks, and before them. It does not replace the hazard study.",
        COLUMNS, (Group("Hazards", rows),) if rows else (), ("Review",),
    )


def _locks(context: Context, locks: list[Tag]) -> Running:
    """The interlocks against a hazard, each with what it does not stand up to."""
    parts: Running = ()
    for lock in locks:
        excepted = except_while(context, lock)
        parts = (*parts, *((" ",) if parts else ()), context.paths.link(lock), *((" (", *excepted, ")") if excepted else ()))
    return parts


def begins_at(context: Context, written: str) -> Running:
    """The level at which a hazard begins, by its name: "T-610, level below which the motors are bare"."""
    tank, _, key = str(written).partition(" ")
    levels = context.results.tanks[tank].levels if tank in context.results.tanks else ()
    name = next((level.name for level in levels if key == level.key and level.key not in context.plant.switches), None)
    return running(context, written) if name is None else (*running(context, tank), f", {name}")


def _row(context: Context, tag: str) -> Row:
    plant = context.plant
    hazard = plant.hazards[tag]  # type: ignore[index]  # a tag of the plant
    locks = [lock_tag for lock_tag, lock in plant.interlocks.items() if lock.hazard == tag]
    alarms = list(_alarms(context, tag, locks))
    lost = [alarm for alarm in alarms if _tells_of_loss(context, alarm)]
    study = (context.paths.link(hazard.study), f" {hazard.node or ''}") if hazard.study else ("none recorded",)
    return Row(slug(tag), (
        cell(tag), cell(running(context, hazard.what)), cell(hazard.harms), cell(begins_at(context, hazard.begins_at)),
        cell(running(context, hazard.safe_state)),
        cell(_locks(context, locks) if locks else running(context, hazard.without_protection)),
        cell(register.links(context, [alarm for alarm in alarms if alarm not in lost])),
        cell(register.links(context, lost)), cell(study),
    ))


def _alarms(context: Context, hazard: str, locks: list[Tag]) -> Iterator[Tag]:
    """Alarms against a hazard: of the points on its side of the tank, of its interlocks, before them, or named by it."""
    plant = context.plant
    stands = {layer.tag for layer in context.results.layers.get(hazard, ()) if layer.kind == "alarm"
              and not _is_beyond(context, hazard, layer.points)}
    causes = {cause for lock in locks for cause in plant.interlocks[lock].when.tags()}
    written = plant.hazards[Tag(hazard)]
    named = " ".join(str(text) for text in (written.what, written.safe_state, written.without_protection) if text)
    for tag, alarm in plant.alarms.items():
        if (tag in stands or alarm.from_ in locks or alarm.before in (*locks, *causes)
                or (alarm.from_ in causes and alarm.from_ not in plant.switches)
                or re.search(rf"(?<![\w-]){re.escape(tag)}(?![\w-])", named)):
            yield tag


def _is_beyond(context: Context, hazard: str, points: tuple[str, ...]) -> bool:
    """Whether all points of an alarm stand past the level where the hazard begins: it then warns of nothing any more."""
    tank, _, name = str(context.plant.hazards[Tag(hazard)].begins_at).partition(" ")
    levels = context.results.tanks[tank].levels if tank in context.results.tanks else ()
    begins = next((level.height for level in levels if name in (level.key, level.name)), None)
    if begins is None:
        return False
    return bool(points) and all(_past(context, point, begins) for point in points)


def _past(context: Context, point: str, begins: float) -> bool:
    stands, acts = context.results.setpoints[point].stands, context.plant.switches[Tag(point)].acts
    return stands is not None and (stands > begins if acts == "rising" else stands < begins)


def _tells_of_loss(context: Context, alarm: Tag) -> bool:
    signal = context.plant.signals.get(context.plant.alarms[alarm].from_)
    return signal is not None and signal.kind in LOST
