"""The page of an interlock: its story, reset and bypass, its logic, its time, and what else belongs to it."""

from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from generator.model.caution import DEFERS
from generator.model.diagram import Diagram
from generator.model.interlock import Interlock
from generator.model.page import Later, Link, Page, Running
from generator.model.scalar import Tag
from generator.pages import amounts, diagrams, findings, links, logic_words, matrix_areas, story
from generator.pages.budgets import BudgetView, budget
from generator.pages.bypass_planner import attachment_path
from generator.pages.cautions import CautionGroups, by_job
from generator.pages.context import Context
from generator.pages.doors import doors
from generator.pages.failures import FailureRow
from generator.pages.findings import FindingRow
from generator.pages.logic_words import Clause
from generator.pages.proofs import ProofRow, proofs
from generator.pages.prose import running
from generator.pages.single_failures import Touching, failures, of_interlock, touching
from generator.pages.spilled import except_while
from generator.pages.story import Fact


class AlarmRow(Struct, frozen=True):
    """An alarm that belongs to the interlock."""

    alarm: Link
    text: str
    priority: str
    first: Running


class InterlockView(Struct, frozen=True):
    """Everything on the page of one interlock."""

    tag: str
    service: Running
    area: Link
    kind: str
    is_latched: bool
    facts: tuple[Fact, ...]
    story: Running
    reset: tuple[Fact, ...]
    bypass: tuple[Fact, ...]
    failures: tuple[Fact, ...]
    each_failure: tuple[FailureRow, ...]
    attachment: Link | None
    diagram: Diagram
    words: tuple[tuple[Running, Clause], ...]
    budgets: tuple[BudgetView, ...]
    rows: tuple[Link, ...]
    alarms: tuple[AlarmRow, ...]
    tests: tuple[ProofRow, ...]
    cautions: CautionGroups
    defers: str
    findings: tuple[FindingRow, ...]
    passed: int
    note: Running
    source: Link
    doors: Mapping[str, str]


def pages(context: Context) -> Iterator[Page]:
    """One page an interlock."""
    rows = matrix_areas.rows_of(context)
    touched = touching(context)
    for tag, lock in context.plant.interlocks.items():
        yield Page(
            context.paths.path(tag) or "",
            f"{tag} {lock.service}",
            "interlock",
            Later(_view, context, tag, rows.get(tag, ()), touched),
            ("Interlocks",),
            nav=str(tag),
            words=("".join(filter(str.isalnum, tag)), *map(str, lock.formerly)),
            source=lock.place,
        )


def _view(context: Context, tag: Tag, rows: tuple[Link, ...], touched: Touching) -> InterlockView:
    plant = context.plant
    lock = plant.interlocks[tag]
    about = {str(tag)}
    found = context.findings_about(*sorted(about))
    sentences = tuple(part for sentence in story.story(context, tag) for part in (*sentence, " "))
    parts = (
        _facts(context, tag),
        sentences,
        story.reset_facts(context, lock),
        story.bypass_facts(context, lock),
        failures(context, tag),
        _words(context, tag),
        tuple(budget(context, one) for one in context.results.trips.get(tag, ())),
        of_interlock(context, tag, touched),
    )
    return InterlockView(
        tag=str(tag),
        service=running(context, lock.service),
        area=context.paths.link(lock.area, f"Area {lock.area} {plant.areas[lock.area].name}"),
        kind=lock.kind,
        is_latched=lock.latch is not None,
        facts=parts[0],
        story=parts[1],
        reset=parts[2],
        bypass=parts[3],
        failures=parts[4],
        each_failure=parts[7],
        attachment=Link("Attachment to a permit", attachment_path(tag)) if lock.bypass else None,
        diagram=diagrams.of_interlock(context, tag),
        words=parts[5],
        budgets=parts[6],
        rows=rows,
        alarms=_alarms(context, tag),
        tests=proofs(context, [tag, *lock.when.tags(), *lock.then]),
        cautions=by_job(context, tag),
        defers=DEFERS,
        findings=findings.shown(context, found),
        passed=sum(one.verdict == "pass" for one in found),
        note=running(context, lock.note),
        source=context.paths.source(lock.place),
        doors=doors(context, *parts),
    )


def _facts(context: Context, tag: Tag) -> tuple[Fact, ...]:
    """Kind, hazard, whom it harms, safe state, study."""
    plant = context.plant
    lock = plant.interlocks[tag]
    held = {
        "trip": "trip, stays until reset" if lock.latch else "trip, not held",
        "permissive": "permissive, for a start only",
        "releasing interlock": "interlock, lets go by itself",
    }[lock.kind]
    facts = [Fact("Kind", (held,))]
    if lock.hazard is not None:
        hazard = plant.hazards[lock.hazard]
        facts += [
            Fact("Against", (context.paths.link(lock.hazard), " ", *running(context, hazard.what),
                             *((", ", *excepted) if (excepted := except_while(context, tag)) else ()))),
            Fact("Harms most", (hazard.harms,)),
            Fact("Safe state", running(context, hazard.safe_state)),
        ]
        if hazard.study:
            facts.append(
                Fact("Study", (context.paths.link(hazard.study), f", node {hazard.node}" if hazard.node else ""))
            )
    elif lock.because:
        facts.append(Fact("Because", running(context, lock.because)))
    facts.append(Fact("Logic in", (str(lock.by or "not recorded"),)))
    facts += links.facts(context, [tag])
    if lock.formerly:
        facts.append(Fact("Formerly", (", ".join(lock.formerly),)))
    return tuple(facts)


def _words(context: Context, tag: Tag) -> tuple[tuple[Running, Clause], ...]:
    """The logic as a nested list: each heading with its condition."""
    lock = context.plant.interlocks[tag]
    trees: list[tuple[Running, Clause]] = [
        (("May be started while" if lock.kind == "permissive" else "Acts when",), demand(context, lock)),
    ]
    if lock.bypass is not None and lock.vote_left is not None:
        with_key: Running = (" (", context.paths.link(lock.bypass.key), ")") if lock.bypass.key else ()
        trees.append((("While one member is out", *with_key),
                      Clause((f"the vote needs {logic_words.remaining(lock)}",))))
    if lock.reset is not None:
        accepted = logic_words.clause(context, lock.reset.when)
        if lock.reset.button:
            accepted = Clause(
                (), logic_words.ALL, None, (Clause(logic_words.acts(context, lock.reset.button)), accepted)
            )
        trees.append((("Stays until reset; the reset is accepted when",), accepted))
    if lock.kind != "permissive":
        trees.append(
            (
                ("Then",),
                Clause(
                    (),
                    "all of these",
                    None,
                    tuple(
                        Clause((*story.element(context, target), f" {logic_words.GOES[state][0]}"))
                        for target, state in lock.then.items()
                    ),
                ),
            )
        )
    return tuple(trees)


def demand(context: Context, lock: Interlock) -> Clause:
    """Everything that makes an interlock act, in the order of its diagram: cause, bypass, delay, modes, manual stop."""
    asked = logic_words.clause(context, logic_words.automatic(lock))
    if lock.bypass is not None and lock.vote_left is None:
        key: Running = (" (", context.paths.link(lock.bypass.key), ")") if lock.bypass.key else ()
        asked = Clause((), logic_words.ALL, None, (asked, Clause(("it is not bypassed", *key))))
    if lock.on_delay is not None:
        delay = amounts.duration(lock.on_delay.si)
        asked = replace(asked, held=delay) if asked.held is None else Clause((), logic_words.ALL, delay, (asked,))
    if lock.live_in and set(lock.live_in) != set(context.plant.modes):
        names = logic_words.sentence_list([(str(context.plant.modes[mode].name),) for mode in lock.live_in], "or")
        asked = Clause((), logic_words.ALL, None, (asked, Clause((*names, " is selected"))))
    stop = logic_words.manual(lock)
    if stop is None:
        return asked
    return Clause((), logic_words.ANY, None, (asked, Clause((*logic_words.acts(context, stop), ", at once"))))


def _alarms(context: Context, tag: Tag) -> tuple[AlarmRow, ...]:
    plant = context.plant
    causes = set(plant.interlocks[tag].when.tags())
    return tuple(
        AlarmRow(context.paths.link(name), str(alarm.text), alarm.priority, running(context, alarm.first))
        for name, alarm in plant.alarms.items()
        if alarm.from_ == tag or alarm.from_ in causes or alarm.before == tag or alarm.before in causes
    )
