"""The plant's register of single failures: one line each, found by tag; the details stand on the page of its tank."""

from collections.abc import Iterable, Iterator

from msgspec import Struct

from generator.model.failure import FailureEffect
from generator.model.page import Link, Page
from generator.model.scalar import Tag
from generator.pages.context import Context
from generator.pages.failures import FailureRow, anchor, row
from generator.pages.paths import slug
from generator.pages.tank_failures import path

PATH = "registers/single-failures.html"
MOST = 1500
"""Most lines of one page; a larger plant has a page for each area."""


class Line(Struct, frozen=True):
    """One failure: its row, and where it stands with what still protects."""

    row: FailureRow
    more: Link | None


class Part(Struct, frozen=True):
    """Lines under a heading: an area, or what belongs to the whole plant."""

    anchor: str
    title: str
    lines: tuple[Line, ...]


class FailureRegister(Struct, frozen=True):
    """The register, or the share of one area. `elsewhere` are the pages of the other areas."""

    title: str
    total: int
    silent: int
    standing: int
    parts: tuple[Part, ...]
    elsewhere: tuple[Link, ...]


def pages(context: Context) -> Iterator[Page]:
    """The register; by area where it is long."""
    by_area: dict[str, list[FailureEffect]] = {"": []}
    for device, effects in context.results.failures.items():
        is_shared = context.plant.noun_of.get(device) in ("supplies", "panels")
        tank = next((effect.tank for effect in effects), "")
        own = None if is_shared else context.plant.area_of(device) or (context.plant.area_of(tank) if tank else None)
        by_area.setdefault(str(own or ""), []).extend(effects)
    total = sum(map(len, by_area.values()))
    known = [(area, many) for area, many in by_area.items() if many]
    if total <= MOST:
        yield _page(context, PATH, "Single failures", known, ())
        return
    links = tuple(Link(_title(context, area), _path(area)) for area, _ in known if area)
    yield _page(context, PATH, "Single failures", [(area, many) for area, many in known if not area], links)
    for area, many in known:
        if area:
            yield _page(context, _path(area), f"Single failures, {_title(context, area)}", [(area, many)],
                        (Link("Whole plant", PATH),))


def _path(area: str) -> str:
    return f"registers/single-failures-{slug(area)}.html"


def _title(context: Context, area: str) -> str:
    return f"Area {area}  {context.plant.areas[Tag(area)].name}" if area else "Whole plant"


def _page(
    context: Context, where: str, title: str, areas: Iterable[tuple[str, list[FailureEffect]]],
    elsewhere: tuple[Link, ...],
) -> Page:
    parts = tuple(Part(slug(_title(context, area)), _title(context, area), tuple(_line(context, one) for one in effects))
                  for area, effects in areas)
    lines = [line for part in parts for line in part.lines]
    view = FailureRegister(title, len(lines), sum(line.row.mark == "fail" for line in lines),
                           sum(bool(line.row.standing) for line in lines), parts, elsewhere)
    return Page(where, title, "single_failures", view, ("Registers",), words=("stuck", "wire", "welded", "supply lost"))


def _line(context: Context, effect: FailureEffect) -> Line:
    more = Link(f"{effect.tank}, {len(effect.exposures)} hazards" if len(effect.exposures) != 1 else
                f"{effect.tank}, {effect.exposures[0].hazard}", f"{path(effect.tank)}#{anchor(effect)}") if effect.tank else None
    return Line(row(context, effect), more)
