"""The page of a pump, a valve or other equipment: why it stopped, why it does not start, what it does by itself."""

from collections.abc import Iterator, Mapping

from msgspec import Struct

from generator.model.caution import DEFERS
from generator.model.diagram import Diagram
from generator.model.interlock import Interlock, StartStop, State
from generator.model.page import Later, Link, Page, Running
from generator.model.scalar import Tag
from generator.pages import (
    amounts,
    findings,
    first_cause,
    logic_words,
    machine_diagrams,
    matrix_areas,
    matrix_numbers,
    tank_logic,
)
from generator.pages.cautions import CautionGroups, by_job
from generator.pages.context import Context
from generator.pages.doors import doors
from generator.pages.findings import FindingRow
from generator.pages.logic_words import STANDS
from generator.pages.machine_facts import facts, without_power
from generator.pages.paths import slug
from generator.pages.proofs import ProofRow, proofs
from generator.pages.prose import running
from generator.pages.pump_numbers import PumpNumbers, of_pump
from generator.pages.story import Fact
from generator.pages.tank_logic import ControlRow, TripRow

NOUNS = ("pumps", "valves", "equipment")
_QUESTION = {
    "stopped": "Why did it stop?",
    "closed": "Why did it shut?",
    "open": "Why did it open?",
    "running": "Why did it start, or does it not stop?",
    "off": "Why did it go off?",
    "on": "Why did it go on?",
    "sounding": "Why does it sound?",
}
_MOVING = ("running", "open", "on", "sounding")
_ENDS: dict[str, tuple[State, State]] = {"pumps": ("running", "stopped"), "valves": ("open", "closed"),
                                         "equipment": ("on", "off")}
"""The states between which ordinary running moves each noun."""
_MAY = {"pumps": "Why does it not start?", "valves": "Why does it not open?", "equipment": "Why does it not start?"}


class CauseRow(Struct, frozen=True):
    """One interlock that drives the machine: its row, and the manual stop that does the same."""

    trip: TripRow
    manual: Running
    first: Running
    """Whether and where it is shown which of its causes came first."""


class Question(Struct, frozen=True):
    """A question of the operator and the interlocks that answer it."""

    anchor: str
    title: str
    state: str
    rows: tuple[CauseRow, ...]
    ordinary: tuple[tuple[Link, Running], ...]
    """Controls that bring it there in ordinary running, each with what it waits for."""


class MachineView(Struct, frozen=True):
    """Everything on the page of one machine."""

    tag: str
    service: Running
    area: Link
    facts: tuple[Fact, ...]
    note: Running
    questions: tuple[Question, ...]
    blocked_title: str
    permissives: tuple[CauseRow, ...]
    held_by: tuple[Link, ...]
    releasing: tuple[tuple[Link, Running], ...]
    """Interlocks without a latch that keep it at rest while their cause stands, each with the cause."""
    rest: Running
    controls: tuple[ControlRow, ...]
    power: tuple[Fact, ...]
    numbers: PumpNumbers | None
    diagram: Diagram | None
    matrix: tuple[Link, ...]
    tests: tuple[ProofRow, ...]
    cautions: CautionGroups
    defers: str
    findings: tuple[FindingRow, ...]
    passed: int
    source: Link
    doors: Mapping[str, str]


def pages(context: Context) -> Iterator[Page]:
    """One page a pump, valve and piece of equipment."""
    heads = _columns(context)
    for noun in NOUNS:
        for tag, owner in getattr(context.plant, noun).items():
            yield Page(
                context.paths.path(tag) or "",
                f"{tag} {owner.service}",
                "machine",
                Later(_view, context, noun, tag, heads.get(tag, ())),
                ("Pumps and valves",),
                nav=str(tag),
                words=("".join(filter(str.isalnum, tag)), *map(str, owner.formerly)),
                source=owner.place,
            )


def _columns(context: Context) -> Mapping[str, tuple[Link, ...]]:
    """Links to the columns of each machine, on the sheet of its own area."""
    found: dict[str, list[Link]] = {}
    for area, one in matrix_areas.grids(context).items():
        for number, column in zip(matrix_numbers.columns(context, area, one), one.columns, strict=True):
            if column.tag and context.plant.area_of(column.tag) == area:
                found.setdefault(column.tag, []).append(
                    Link(f"column {number}", f"{matrix_areas.path_of(area)}#effect-{slug(column.key)}")
                )
    return {tag: tuple(links) for tag, links in found.items()}


def _view(context: Context, noun: str, tag: Tag, columns: tuple[Link, ...]) -> MachineView:
    plant, owner = context.plant, context.plant.find(tag)
    found = context.findings_about(tag)
    locks = [(name, plant.interlocks[name]) for name in plant.interlocks_of_effect[tag]]
    driving = [(name, lock) for name, lock in locks if lock.kind != "permissive"]
    resting = [(name, lock) for name, lock in driving
               if any(state not in _MOVING for state in states_of(context, tag, lock))]
    parts = (
        facts(context, noun, tag),
        tuple(_questions(context, tag, driving)),
        tuple(_cause(context, name, lock) for name, lock in locks if lock.kind == "permissive"),
        _controls(context, tag),
        without_power(context, noun, tag),
        of_pump(context, tag),
        tuple((context.paths.link(name), _held(context, lock)) for name, lock in resting if lock.latch is None),
    )
    return MachineView(
        tag=str(tag),
        service=running(context, owner.service),
        area=context.paths.link(owner.area, f"Area {owner.area} {plant.areas[owner.area].name}"),
        facts=parts[0],
        note=running(context, getattr(owner, "note", None)),
        questions=parts[1],
        blocked_title=_MAY[noun],
        permissives=parts[2],
        held_by=tuple(context.paths.link(name) for name, lock in resting if lock.latch is not None),
        releasing=parts[6],
        rest=_rest(context, tag),
        controls=parts[3],
        power=parts[4],
        numbers=parts[5],
        diagram=machine_diagrams.of_machine(context, tag),
        matrix=columns,
        tests=proofs(context, [tag, *(name for name, _ in locks)]),
        cautions=by_job(context, tag),
        defers=DEFERS,
        findings=findings.shown(context, found),
        passed=sum(one.verdict == "pass" for one in found),
        source=context.paths.source(owner.place),
        doors=doors(context, *parts),
    )


def states_of(context: Context, tag: str, lock: Interlock) -> tuple[State, ...]:
    """The states to which an interlock drives a machine, by itself or as one of a group."""
    return tuple(
        dict.fromkeys(
            state for target, state in lock.then.items() if tag in (target, *context.plant.members_of(target))
        )
    )


def _questions(context: Context, tag: str, locks: list[tuple[Tag, Interlock]]) -> Iterator[Question]:
    by_state: dict[State, list[CauseRow]] = {}
    for name, lock in locks:
        for state in states_of(context, tag, lock):
            by_state.setdefault(state, []).append(_cause(context, name, lock))
    ordinary = _ordinary(context, tag)
    for state in dict.fromkeys((*by_state, *ordinary)):
        yield Question(f"why-{slug(state)}", _QUESTION[state], STANDS[state], tuple(by_state.get(state, ())),
                       tuple(ordinary.get(state, ())))


def _ordinary(context: Context, tag: str) -> dict[State, list[tuple[Link, Running]]]:
    """What ordinary running by contacts waits for, under the state to which it brings a machine."""
    made: dict[State, list[tuple[Link, Running]]] = {}
    moves, rests = _ENDS[context.plant.noun_of[Tag(tag)]]
    for name in context.plant.controls_of_element[tag]:
        control = context.plant.controls[name]
        if not isinstance(control, StartStop):
            continue
        link = context.paths.link(name)
        made.setdefault(rests, []).append((link, logic_words.acts(context, control.stops)))
        starts: list[Running] = [logic_words.acts(context, point) for point in control.starts]
        made.setdefault(moves, []).append((link, logic_words.sentence_list(starts, "or")))
    return made


def _rest(context: Context, tag: Tag) -> Running:
    """How long a machine stands at least before it may start again."""
    pump = context.plant.pumps.get(tag)
    motor = pump.motor if pump is not None else None
    if motor is None or motor.least_off_time is None:
        return ()
    return ("After a stop it rests ", amounts.duration(motor.least_off_time.si), " at least before it may start again.")


def _cause(context: Context, name: Tag, lock: Interlock) -> CauseRow:
    stop = logic_words.manual(lock)
    return CauseRow(tank_logic.trip(context, name), logic_words.acts(context, stop) if stop else (),
                    first_cause.kept(context, lock))


def _held(context: Context, lock: Interlock) -> Running:
    """The cause that keeps a machine at rest, its stop with it, and how long it lasts after the cause is gone."""
    stop = logic_words.manual(lock)
    words = logic_words.inline(context, lock.when)
    words = (*words, "; or ", *logic_words.acts(context, stop)) if stop else words
    return (*words, "; it lets go ", amounts.duration(lock.off_delay.si), " after that") if lock.off_delay else words


def _controls(context: Context, tag: str) -> tuple[ControlRow, ...]:
    plant = context.plant
    return tuple(
        row
        for name in plant.controls_of_element[tag]
        for row in tank_logic.controls(context, plant.controls[name].tank)
        if row.control.text == name
    )
