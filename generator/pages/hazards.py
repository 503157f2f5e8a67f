"""The hazards and what protects from each."""

from collections.abc import Iterator

from generator.model.page import Page
from generator.pages import register
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.register import Group, Row, cell

COLUMNS = ("Hazard", "What happens", "Harms", "Begins at", "Safe state", "Interlocks", "Alarms", "Study")


def pages(context: Context) -> Iterator[Page]:
    """The register of hazards against functions."""
    rows = tuple(_row(context, tag) for tag in context.plant.hazards)
    yield register.page(
        context, "hazards", "Hazards",
        "What can go wrong with a level, whom it harms, and which interlocks and alarms stand against it. It does not "
        "replace the hazard study.",
        COLUMNS, (Group("Hazards", rows),) if rows else (), ("Review",),
    )


def _row(context: Context, tag: str) -> Row:
    plant = context.plant
    hazard = plant.hazards[tag]  # type: ignore[index]  # a tag of the plant
    locks = [lock_tag for lock_tag, lock in plant.interlocks.items() if lock.hazard == tag]
    causes = {cause for lock in locks for cause in plant.interlocks[lock].when.tags()}
    alarms = [alarm for alarm, one in plant.alarms.items() if one.from_ in causes or one.before in (*locks, *causes)]
    study = (context.paths.link(hazard.study), f" {hazard.node or ''}") if hazard.study else ("none recorded",)
    return Row(slug(tag), (
        cell(tag), cell(running(context, hazard.what)), cell(hazard.harms), cell(running(context, hazard.begins_at)),
        cell(running(context, hazard.safe_state)),
        cell(register.links(context, locks, "nothing") if locks else running(context, hazard.without_protection)),
        cell(register.links(context, alarms)), cell(study),
    ))
