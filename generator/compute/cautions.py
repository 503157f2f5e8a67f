"""Cautions of every switch, tank, interlock, pump and valve: the rows that its recorded facts bring up.

A row shows where one of its alternatives holds in full. Where no alternative holds but one cannot be decided, what it
lacks joins one merged line of the subject, so that nothing stays silent for want of data.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence

from msgspec.structs import replace

from generator.compute.book import Book
from generator.compute.causes import level_causes
from generator.compute.caution_facts import VOCABULARY
from generator.compute.decisions import Deciding, Decision
from generator.compute.facts import SUBJECTS, Subject
from generator.compute.facts_of_devices import look_alikes
from generator.compute.survey import Survey
from generator.errors import KnowledgeError
from generator.model.caution import JOBS, SIGNAL_WORDS, Caution, CautionRow, SignalWord
from generator.model.failure import Layer
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.results import ContactResult, SetpointResult, TankResult
from generator.model.scalar import Tag

NOT_RECORDED = "not-recorded"
STRONGEST_UNKNOWN: SignalWord = "WARNING"
OF_POINTS = ("test", "bypass", "adjust")  # jobs on an interlock: nobody opens or lifts one


def results(
    plant: Definitions, knowledge: Knowledge, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    _book: Book, contacts: Mapping[str, ContactResult], layers: Mapping[str, tuple[Layer, ...]],
) -> Mapping[str, tuple[Caution, ...]]:
    """Cautions by tag, in the order of jobs and in each the strongest first.

    Raises:
        KnowledgeError: a row of cautions.yml asks for a fact or a value that is none of the vocabulary.
    """
    for row in knowledge.cautions:
        _known(row)
    survey, own = Survey(plant, layers), dict[str, list[Caution]]()
    deciding = Deciding([replace(row, jobs=tuple(sorted(row.jobs, key=JOBS.index))) for row in knowledge.cautions])
    alike: dict[str, tuple[str, ...]] = {}
    in_panels: dict[str, tuple[str, ...]] = {}
    subjects = {kind: [Subject(plant, tanks, setpoints, contacts, kind, str(tag), survey, alike, in_panels)
                       for tag in getattr(plant, noun)] for noun, kind in SUBJECTS.items()}
    for of_kind in subjects.values():
        alike |= _look_alikes(of_kind, lambda subject: subject.beside)
        for tank, pairs in _pairs_in_panels(of_kind).items():
            in_panels[tank] = (*in_panels.get(tank, ()), *pairs)
    for of_kind in subjects.values():
        for subject in of_kind:
            own[subject.tag] = _cautions(deciding, subject)
    for lock in plant.interlocks:
        own[str(lock)] = _with_points(plant, lock, own)
    return {tag: _sorted(cautions) for tag, cautions in own.items()}


def _cautions(deciding: Deciding, subject: Subject) -> list[Caution]:
    """Cautions of the rows that hold for one subject, with one line for those that cannot be decided."""
    decisions = deciding.of(subject)
    shown = [decision.caution for decision in decisions if decision.caution is not None]
    return [*shown, *_not_recorded([decision for decision in decisions if decision.gaps])]


def _look_alikes(subjects: Iterable[Subject], where: Callable[[Subject], tuple[tuple[str, ...], ...]]
                 ) -> dict[str, tuple[str, ...]]:
    """For each subject those of its kind in one place with it whose tags are easily taken for its own."""
    near: dict[tuple[str, ...], list[str]] = {}
    for subject in subjects:
        for place in where(subject):
            near.setdefault(place, []).append(subject.tag)
    alike: dict[str, tuple[str, ...]] = {}
    for tags in near.values():
        for tag, others in look_alikes(tags).items():
            alike[tag] = tuple(dict.fromkeys((*alike.get(tag, ()), *others)))
    return alike


def _pairs_in_panels(subjects: Sequence[Subject]) -> dict[str, list[str]]:
    """For each tank the tags on it, each with those in its panel that are easily taken for it, in words."""
    alike = _look_alikes(subjects, lambda subject: subject.in_panels)
    bodies = {subject.tag: subject.body_tag for subject in subjects}
    made: dict[str, list[str]] = {}
    said: set[tuple[str, frozenset[str]]] = set()
    for subject in subjects:
        others = [one for one in alike.get(subject.tag, ()) if subject.body_tag is None or bodies[one] != subject.body_tag]
        for tank in map(str, subject.liquid_tanks if others else ()):
            new = [one for one in others if (tank, frozenset((subject.tag, one))) not in said]
            said |= {(tank, frozenset((subject.tag, one))) for one in new}
            if new:
                made.setdefault(tank, []).append(f"{subject.tag} and {', '.join(new)} in {', '.join(subject.panels)}")
    return made


def _known(row: CautionRow) -> None:
    for alternative in row.when:
        for fact, value in alternative:
            if fact not in VOCABULARY or value not in VOCABULARY[fact].values:
                raise KnowledgeError(f"cautions.yml: {row.key}: `{fact}: {value}` is no fact of the vocabulary")


def _not_recorded(undecided: list[Decision]) -> list[Caution]:
    """One merged line for everything that is not recorded; as strong as the strongest it could hide, up to WARNING."""
    if not undecided:
        return []
    gaps = dict.fromkeys(gap for decision in undecided for gap in decision.gaps)
    words = ", ".join(dict.fromkeys(words for words, _ in gaps))
    fields = ", ".join(dict.fromkeys(where for _, where in gaps))
    strongest = min((decision.row.word for decision in undecided), key=SIGNAL_WORDS.index)
    word = max(strongest, STRONGEST_UNKNOWN, key=SIGNAL_WORDS.index)
    return [Caution(
        NOT_RECORDED, word, ("every job",), f"Not recorded: {words}",
        "What the definitions do not say can be there.", "Treat each as present until it was checked.",
        "whoever issues the permit", f"missing: {fields}",
    )]


def _with_points(plant: Definitions, tag: Tag, own: Mapping[str, list[Caution]]) -> list[Caution]:
    """The cautions of an interlock for testing, bypassing and adjusting, with those that its points have for them."""
    merged = {
        caution.key: replace(caution, jobs=jobs) for caution in own[str(tag)]
        if (jobs := tuple(job for job in caution.jobs if job in (*OF_POINTS, "every job")))
    }
    for cause in level_causes(plant, plant.interlocks[tag].when):
        for caution in own[str(cause.tag)]:
            jobs = tuple(job for job in caution.jobs if job in OF_POINTS)
            if not jobs:
                continue
            because = f"{cause.tag}: {caution.because}"
            before = merged.get(caution.key)
            if before is None:
                merged[caution.key] = replace(caution, jobs=jobs, because=because)
            elif caution.because not in before.because:
                both = tuple(sorted({*before.jobs, *jobs}, key=JOBS.index))
                merged[caution.key] = replace(before, jobs=both, because=f"{before.because}; {because}")
    return list(merged.values())


def _sorted(cautions: list[Caution]) -> tuple[Caution, ...]:
    """By the first job, then by strength; as written where both are equal."""
    return tuple(sorted(cautions, key=lambda one: (JOBS.index(one.jobs[0]), SIGNAL_WORDS.index(one.word))))
