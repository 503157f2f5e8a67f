"""The page of a tank: card, drawing, trips, ordinary running, setpoints, volumes, devices, cautions, findings."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.model.caution import DEFERS
from generator.model.page import Amount, Later, Link, Page, Running
from generator.model.quantity import Flow
from generator.model.scalar import Tag
from generator.pages import amounts, findings, maps, screen, tank_failures
from generator.pages.bodies import BodyView, bodies
from generator.pages.cautions import CautionGroups, of_tank
from generator.pages.context import Context
from generator.pages.courses import CourseView
from generator.pages.courses import of_tank as courses_of
from generator.pages.days import day
from generator.pages.doors import doors
from generator.pages.explorers import ExplorerView, explorer
from generator.pages.findings import FindingRow
from generator.pages.hazards import begins_at
from generator.pages.narrative import Narrative
from generator.pages.narrative import of_tank as narrative_of
from generator.pages.proofs import ProofRow, proofs
from generator.pages.prose import running
from generator.pages.register import links
from generator.pages.tank_card import CardRow, card
from generator.pages.tank_levels import TankLevels, levels
from generator.pages.tank_logic import ControlRow, PowerRow, TripRow, controls, from_elsewhere, power_returns, trips
from generator.pages.tank_setpoints import SetpointRow, setpoints
from generator.pages.tank_volumes import TankVolumes, volumes


class StreamRow(Struct, frozen=True):
    """One stream in or out."""

    stream: Link
    name: Running
    other: Running
    lowest: Amount
    normal: Amount
    highest: Amount
    moved_by: Running
    through: tuple[Link, ...]
    overflows: bool


class HazardRow(Struct, frozen=True):
    """One hazard of the tank with what protects from it."""

    hazard: Link
    what: Running
    harms: str
    begins_at: Running
    safe_state: Running
    interlocks: tuple[Link, ...]
    without: Running


class TankView(Struct, frozen=True):
    """Everything on the page of one tank."""

    tag: str
    service: str
    area: Link
    facts: tuple[Running, ...]
    note: Running
    card: tuple[CardRow, ...]
    levels: TankLevels
    trips: tuple[TripRow, ...]
    elsewhere: tuple[TripRow, ...]
    controls: tuple[ControlRow, ...]
    setpoints: tuple[SetpointRow, ...]
    volumes: TankVolumes
    bodies: tuple[BodyView, ...]
    courses: tuple[CourseView, ...]
    explorer: ExplorerView | None
    narrative: Narrative
    power: tuple[PowerRow, ...]
    cautions: CautionGroups
    defers: str
    findings: tuple[FindingRow, ...]
    passed: int
    inflows: tuple[StreamRow, ...]
    outflows: tuple[StreamRow, ...]
    hazards: tuple[HazardRow, ...]
    tests: tuple[ProofRow, ...]
    as_of: str
    calculations: Link
    source: Link
    doors: Mapping[str, str]

    @property
    def has_room_on_sheet(self) -> bool:
        """Whether a short card leaves room on its sheet of paper for what trips what; the drawing fills one by itself.

        Of 260 mm a title takes 44, a row of the card up to 40 with its two times, a row of trips 25 with its heading.
        """
        rows = len(self.trips) + len(self.elsewhere)
        return all(len(row.times) <= 2 for row in self.card) and 44 + 40 * len(self.card) + 25 * rows <= 245


def pages(context: Context) -> Iterator[Page]:
    """One page a tank."""
    for tag, tank in context.plant.tanks.items():
        texts = [str(alarm.text) for name, alarm in context.plant.alarms.items() if context.paths.tank(name) == tag]
        plain_tag = "".join(letter for letter in tag if letter.isalnum())
        yield Page(
            context.paths.path(tag) or "", f"{tag} {tank.service}", "tank", Later(_view, context, tag), ("Tanks",), nav=tag,
            words=(plain_tag, *map(str, tank.formerly),
                   *(str(one).replace("-", " ") for one in tank.formerly if "-" in one), *texts,
                   *map(str, context.plant.instruments_of[tag])),
            source=tank.place,
        )


def _view(context: Context, tag: Tag) -> TankView:
    plant = context.plant
    tank = plant.tanks[tag]
    about = _about(context, tag)
    found = context.findings_about(*sorted(about))
    parts = (
        card(context, tag), levels(context, tag), trips(context, tag), controls(context, tag), setpoints(context, tag),
        volumes(context, tag), _facts(context, tag), courses_of(context, tag),
        narrative_of(context, tag),
    )
    return TankView(
        tag=tag, service=tank.service,
        area=context.paths.link(tank.area, f"Area {tank.area} {plant.areas[tank.area].name}"),
        facts=parts[6], note=running(context, tank.note), card=parts[0], levels=parts[1], trips=parts[2],
        elsewhere=from_elsewhere(context, tag), controls=parts[3], setpoints=parts[4], volumes=parts[5],
        bodies=bodies(context, tag), courses=parts[7], explorer=explorer(context, tag), narrative=parts[8],
        power=power_returns(context, tag), cautions=of_tank(context, tag), defers=DEFERS,
        findings=findings.shown(context, found), passed=sum(one.verdict == "pass" for one in found),
        inflows=tuple(_stream(context, one, is_in=True) for one in plant.inflows_of[tag]),
        outflows=tuple(_stream(context, one, is_in=False) for one in plant.outflows_of[tag]),
        hazards=_hazards(context, tag), tests=proofs(context, _tested(context, tag)),
        as_of=day(plant.plant.document.as_of),
        calculations=Link(f"All calculations of {tag}", context.paths.calculations(tag)),
        source=context.paths.source(tank.place), doors=doors(context, *parts),
    )


def _facts(context: Context, tag: Tag) -> tuple[Running, ...]:
    """Liquid, volume, normal band, panels, drawings: one short phrase each."""
    plant = context.plant
    tank, result = plant.tanks[tag], context.results.tanks[tag]
    liquid = plant.liquids[tank.liquid]
    span = liquid.temperature
    warm: Running = (", ", amounts.as_written(span.lowest), " to ", amounts.as_written(span.highest)) if span else ()
    facts: list[Running] = [
        (context.paths.link(tank.liquid, liquid.name), *warm), (amounts.outcome(result.capacity), " full"),
        _normal_band(context, tag),
    ]
    wirings = (plant.instruments[one].wiring for one in plant.instruments_of[tag])
    panels = dict.fromkeys(wiring.panel for wiring in wirings if wiring)
    if panels:
        facts.append(("Panel ", *links(context, panels)))
    if tank.drawings:
        facts.append(("Drawing ", *links(context, tank.drawings)))
    facts.append((f"Heights above the {tank.datum.at}, which stands at ",
                  amounts.in_unit(tank.datum.elevation.si, "m", 3), f" on the {plant.plant.datum}"))
    if there := maps.link(context, tag):
        facts.append((there,))
    if tank.formerly:
        facts.append((f"Formerly {', '.join(tank.formerly)}",))
    if any(one in context.results.failures for one in (*plant.instruments_of[tag], *plant.pumps_of[tag])):
        facts.append((Link("If one thing fails", tank_failures.path(tag)),))
    return tuple(facts)


def _normal_band(context: Context, tag: Tag) -> Running:
    """The normal band in metres, and as the screen shows it: percent of a transmitter's range; without one, what is read."""
    levels = context.plant.tanks[tag].levels
    if levels.normal_low is None or levels.normal_high is None:
        return ("Normal band not given",)
    edges = (levels.normal_low.si, levels.normal_high.si)
    band: Running = ("Normal band ", amounts.metres(edges[0]), " to ", amounts.metres(edges[1]))
    return (*band, " (", *screen.shown(context, tag, edges), ")")


def _about(context: Context, tag: Tag) -> set[str]:
    """The tags whose findings belong on the page of a tank."""
    plant = context.plant
    return {str(tag), *map(str, (*plant.switches_of[tag], *plant.instruments_of[tag]))}


def _tested(context: Context, tag: Tag) -> list[str]:
    plant = context.plant
    locks = [lock for lock in plant.interlocks if tag in plant.tanks_of_interlock[lock]]
    alarms = [name for name in plant.alarms if context.paths.tank(name) == tag]
    return [*plant.switches_of[tag], *alarms, *locks]


def _stream(context: Context, tag: Tag, is_in: bool) -> StreamRow:
    stream = context.plant.streams[tag]
    other = stream.from_ if is_in else stream.into
    flow = stream.flow
    return StreamRow(
        context.paths.link(tag), running(context, stream.name),
        (context.paths.link(other),) if other in context.plant.tanks else (str(other),),
        _flow(flow.lowest), _flow(flow.normal), _flow(flow.highest),
        (context.paths.link(stream.moved_by),) if stream.moved_by else ("gravity or another site",),
        tuple(context.paths.link(valve) for valve in stream.through), stream.by_overflow,
    )


def _flow(flow: Flow | None) -> Amount:
    return amounts.as_written(flow) if flow else Amount("not given")


def _hazards(context: Context, tag: Tag) -> tuple[HazardRow, ...]:
    plant = context.plant
    used = {lock.hazard for name, lock in plant.interlocks.items() if tag in plant.tanks_of_interlock[name]}
    return tuple(
        HazardRow(context.paths.link(name), running(context, one.what), one.harms, begins_at(context, one.begins_at),
                  running(context, one.safe_state),
                  tuple(context.paths.link(lock) for lock, made in plant.interlocks.items() if made.hazard == name),
                  running(context, one.without_protection))
        for name, one in plant.hazards.items() if name in used or one.begins_at.startswith(f"{tag} ")
    )
