"""The setpoint register: every height of the plant in one table."""

from collections.abc import Iterator

from generator.model.page import Amount, Page, Part
from generator.model.results import Band, SetpointResult
from generator.pages import amounts, delays, register
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.register import Cell, Row, cell
from generator.pages.tank_setpoints import slack

COLUMNS = ("Point", "Tank", "Acts", "For", "Height", "Acts from", "Resets from", "On-delay",
           "Off-delay", "Elevation", "Of height",
           "Volume", "Signal", "Tightest need", "Asked for", "Slack", "As left")


def pages(context: Context) -> Iterator[Page]:
    """The setpoint register."""
    yield register.page(
        context, "setpoints", "Setpoints",
        "Heights above each tank's own datum, and the delays that apply before a point counts and an alarm comes. "
        "A height that is not issued is marked proposed. Bands hold every error of the point. Slack is what is left to the "
        "tightest need.",
        COLUMNS, register.by_area(context, context.plant.switches, lambda tag: _row(context, tag)),
    )


def _row(context: Context, tag: str) -> Row:
    result = context.results.setpoints[tag]
    point = context.plant.switches[tag]  # type: ignore[index]  # a tag of the plant
    tightest = next((need for need in result.needs if need.tightest), None)
    return Row(slug(tag), (
        cell(context.paths.link(tag)), cell(context.paths.link(result.tank)), cell(point.acts), cell(point.role),
        stands(result), cell(*band(result.act)), cell(*band(result.reset)),
        cell(*delays.of_point(context, tag)), cell(*delays.leaving_point(context, tag)),
        cell(amounts.outcome(result.elevation)),
        cell(amounts.outcome(result.percent_of_height, "percent")), cell(amounts.outcome(result.volume)),
        _signal(result), cell(result.conflict or (tightest.words if tightest else "none")),
        cell(amounts.outcome(result.required if result.conflict else tightest.limit) if tightest else "none"),
        cell(slack(tightest, "none")),
        cell(amounts.metres(result.as_left) if result.as_left is not None else "not recorded"),
    ))


def stands(result: SetpointResult) -> Cell:
    """The height that stands, marked where it is only proposed."""
    if result.stands is None:
        return cell(amounts.NOT_ASSESSED)
    mark = " proposed" if result.is_proposed else None
    return cell(amounts.metres(result.stands, result.proposed.key if result.is_proposed else ""), mark, number=True)


def band(edges: Band | None) -> tuple[Part, ...]:
    """A band as "1.53 to 1.59 m"."""
    if edges is None:
        return (amounts.NOT_ASSESSED,)
    return (f"{edges.low:.3f} to ", Amount(f"{edges.high:.3f}", "m"))


def _signal(result: SetpointResult) -> Cell:
    if result.percent_of_range is None or result.current is None:
        return cell("contact")
    current = result.current
    shown = Amount(f"{current.value * 1000:.2f}", "mA", current.key) if hasattr(current, "value") else amounts.outcome(current)
    return cell(amounts.outcome(result.percent_of_range, "percent"), ", ", shown, number=True)
