"""The page of a switch: setpoint, what it does, its contact, what protects if it fails, its place, its cautions."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.model.caution import DEFERS
from generator.model.instrument import Switch
from generator.model.page import Amount, Later, Link, Page, Running
from generator.model.scalar import Tag
from generator.pages import amounts, failures, findings, matrix_areas
from generator.pages.bodies import BodyView, body, way_of_sensing
from generator.pages.cautions import CautionGroups, by_job
from generator.pages.context import Context
from generator.pages.days import day
from generator.pages.doors import doors
from generator.pages.failures import FailureRow
from generator.pages.findings import FindingRow
from generator.pages.fitter import FitterSheet, sheet
from generator.pages.proofs import ProofRow, proofs
from generator.pages.prose import running
from generator.pages.register import links
from generator.pages.suited import CareView, SuitabilityView, care, own, path_of, suitability
from generator.pages.switch_backup import BackupRow, backups
from generator.pages.switch_budget import BudgetView, HeadroomRow, TransmitterView, budget, headroom, transmitter
from generator.pages.switch_contact import ContactView, contact
from generator.pages.switch_effects import BypassView, EffectView, bypasses, effects
from generator.pages.tank_card import CardRow, row
from generator.pages.tank_setpoints import SetpointRow
from generator.pages.tank_setpoints import row as setpoint_row


class TechnologyView(Struct, frozen=True):
    """How the point senses, and what defeats it."""

    name: str
    principle: str
    needs: tuple[str, ...]
    defeated_by: tuple[str, ...]
    test: str
    page: Link


class SwitchView(Struct, frozen=True):
    """Everything on the page of one switch."""

    tag: str
    service: str
    area: Link
    tank: Link
    facts: tuple[Running, ...]
    purpose: Running
    note: Running
    setpoint: SetpointRow | None
    budget: BudgetView | None
    headroom: tuple[HeadroomRow, ...]
    transmitter: TransmitterView | None
    resets_at: Amount
    as_left: Running
    effects: tuple[EffectView, ...]
    alarms: tuple[CardRow, ...]
    contact: ContactView | None
    rate: Running
    backups: tuple[BackupRow, ...]
    each_failure: tuple[FailureRow, ...]
    body: BodyView
    fitter: FitterSheet | None
    suited: SuitabilityView | None
    care: CareView | None
    siblings: tuple[Link, ...]
    technology: TechnologyView | None
    bypasses: tuple[BypassView, ...]
    tests: tuple[ProofRow, ...]
    as_of: str
    cautions: CautionGroups
    defers: str
    findings: tuple[FindingRow, ...]
    passed: int
    verified: str
    calculations: Link
    source: Link
    doors: Mapping[str, str]


def pages(context: Context) -> Iterator[Page]:
    """One page a switch."""
    lock_rows = matrix_areas.rows_of(context)
    for tag, point in context.plant.switches.items():
        texts = [str(context.plant.alarms[alarm].text) for alarm in context.plant.alarms_of[tag]]
        old = (*point.formerly, *context.plant.instruments[point.in_].formerly)
        yield Page(
            context.paths.path(tag) or "", f"{tag} {_service(point)}", "switch", Later(_view, context, tag, lock_rows),
            ("Switches",), nav=tag,
            words=("".join(letter for letter in tag if letter.isalnum()), str(point.in_), *map(str, old),
                   *(str(one).replace("-", " ") for one in old if "-" in one), *texts),
            source=point.place,
        )


def _view(context: Context, tag: Tag, lock_rows: Mapping[str, tuple[Link, ...]]) -> SwitchView:
    plant = context.plant
    point = plant.switches[tag]
    tank = plant.tank_of(tag)
    result = context.results.setpoints.get(tag)
    setpoint = setpoint_row(context, tag) if result else None
    resets = None if result is None else result.clear_at
    found = context.findings_about(tag, point.in_)
    worst = context.results.tanks[tank].filling if point.acts == "rising" else context.results.tanks[tank].emptying
    shown = (setpoint, effects(context, tag, lock_rows), tuple(row(context, alarm) for alarm in _alarms(context, tag)),
             backups(context, tag), sheet(context, tag), bypasses(context, tag),
             _failures(context, tag),
             ("worst filling rate " if point.acts == "rising" else "worst emptying rate ", amounts.outcome(worst)),
             budget(context, tag), headroom(context, tag), transmitter(context, tag, result))
    tested = [tag, *plant.alarms_of[tag], *plant.interlocks_of_cause[tag]]
    touch = contact(context, tag)
    return SwitchView(
        tag=tag, service=_service(point),
        area=context.paths.link(plant.tanks[tank].area, f"Area {plant.tanks[tank].area}"),
        tank=Link(f"{tank} {plant.tanks[tank].service}", context.paths.path(tank) or ""), facts=_facts(context, tag),
        purpose=running(context, point.purpose or point.without_alarm), note=running(context, point.note),
        setpoint=setpoint, budget=shown[8], headroom=shown[9], transmitter=shown[10],
        resets_at=amounts.metres(resets) if resets is not None else Amount(amounts.NOT_ASSESSED),
        as_left=_as_left(context, tag), effects=shown[1], alarms=shown[2], contact=touch, rate=shown[7],
        backups=shown[3], each_failure=shown[6], body=body(context, point.in_), fitter=shown[4],
        suited=suitability(context, point.in_),
        care=care(context, point.in_),
        siblings=tuple(context.paths.link(other) for other in plant.points_of[point.in_] if other != tag),
        technology=_technology(context, tag), bypasses=shown[5], tests=proofs(context, tested),
        as_of=day(plant.plant.document.as_of), cautions=by_job(context, tag), defers=DEFERS,
        findings=findings.shown(context, found), passed=sum(one.verdict == "pass" for one in found),
        verified=f"{point.verified.by}, {day(point.verified.on)}" if point.verified else "not recorded",
        calculations=Link(f"All calculations of {tank}", context.paths.calculations(tag)),
        source=context.paths.source(point.place), doors=doors(context, *shown, touch),
    )


def _service(point: Switch) -> str:
    return point.service or f"{point.role}, {point.acts}"


def _failures(context: Context, tag: Tag) -> tuple[FailureRow, ...]:
    """What its body and its wires do when they fail."""
    known, body = context.results.failures, context.plant.switches[tag].in_
    return failures.rows(context, (*known.get(body, ()), *known.get(tag, ())))


def _alarms(context: Context, tag: Tag) -> tuple[Tag, ...]:
    """Alarms of the point, and of the interlocks that rest on it."""
    plant = context.plant
    raised = [alarm for source in (tag, *plant.interlocks_of_cause[tag]) for alarm in plant.alarms_of[source]]
    return tuple(dict.fromkeys(raised))


def _facts(context: Context, tag: Tag) -> tuple[Running, ...]:
    """Device, nozzle, panel, relay, liquid, drawings, old tags."""
    plant = context.plant
    point = plant.switches[tag]
    one = plant.instruments[point.in_]
    liquid = plant.tanks[one.tank].liquid
    facts: list[Running] = [
        (way_of_sensing(one), " ", context.paths.link(point.in_), f", {point.rod}" if point.rod else ""),
        (f"Nozzle {one.nozzle}" if one.nozzle else "Hangs free",),
        (context.paths.link(liquid, plant.liquids[liquid].name),),
    ]
    if one.wiring:
        facts.append(("Panel ", context.paths.link(one.wiring.panel)))
    if point.contact and point.contact.drives:
        facts.append(("Drives ", context.paths.link(point.contact.drives)))
    if point.drawings or one.drawings:
        facts.append(("Drawing ", *links(context, dict.fromkeys((*point.drawings, *one.drawings)))))
    old = (*point.formerly, *one.formerly)
    if old:
        facts.append((f"Formerly {', '.join(old)}",))
    return tuple(facts)


def _as_left(context: Context, tag: Tag) -> Running:
    left = context.plant.switches[tag].height.as_left
    if left is None:
        return ("not recorded",)
    return (amounts.as_written(left.height), f", {day(left.on)}, {left.by}")


def _technology(context: Context, tag: Tag) -> TechnologyView | None:
    """How it senses: what the generator knows, with the plant's own words before it."""
    body = context.plant.instruments[context.plant.switches[tag].in_]
    known = context.knowledge.technologies.get(body.technology)
    if known is None:
        return None
    mine = [one for _, one in own(context.plant, body.technology, body.kind)]
    is_other = known.name == "other" and bool(mine)  # what the generator says of one that it does not know helps nobody
    return TechnologyView(
        way_of_sensing(body), next((str(one.principle) for one in mine if one.principle), known.principle),
        (*(str(need) for one in mine for need in one.needs), *(() if is_other else known.needs)),
        (*(str(what) for one in mine for what in one.defeated_by), *(() if is_other else known.defeated_by)),
        next((str(one.wetted_test) for one in mine if one.wetted_test), known.test) if is_other else known.test,
        Link("more of it", path_of(known.name)))
