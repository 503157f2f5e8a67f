"""Cautions by the job in hand: the strongest stand open, the rest under a fold; printed, everything is unfolded.

A caution that holds for several jobs is written out under the first of them; under each later job its word and hazard
are named again, and are never folded away. Where a tank or a test joins several tags, equal cautions are one, with the tags that
it is about.
"""

from collections.abc import Iterable

from msgspec import Struct

from generator.model.caution import JOBS, SIGNAL_WORDS, Caution, Job, SignalWord
from generator.model.page import Link
from generator.pages.context import Context
from generator.pages.fields import said
from generator.pages.suited import tidy

STRONGEST = 5
WHAT_IT_IS = {
    "every job": "Every job",
    "enter": "Enter: tank, well, pit, room below ground",
    "open": "Open: a head, a hatch, a panel; dip, sample",
    "lift": "Lift: take out, clean, replace",
    "test": "Test: with liquid or without",
    "bypass": "Bypass: bridge, force, take out of use",
    "adjust": "Adjust: a height, a delay, a range",
}
"""The jobs, with what each of them covers."""


class CautionRow(Struct, frozen=True):
    """One caution on a page. `of` are the tags it is about where the page joins several; `again` where it stood before."""

    key: str
    word: SignalWord
    hazard: str
    consequence: str
    avoid: str
    because: str
    defer_to: str
    of: tuple[Link, ...] = ()
    again: str = ""
    """The job under which it is written out, where that is an earlier one."""


class CautionGroup(Struct, frozen=True):
    """The cautions of one job, strongest first: those that stand open, the rest, and those that an earlier job wrote out."""

    job: str
    strongest: tuple[CautionRow, ...]
    more: tuple[CautionRow, ...]
    again: tuple[CautionRow, ...]
    words: str
    """How many of each signal word are among the rest: "2 WARNING, 1 NOTICE"."""


CautionGroups = tuple[CautionGroup, ...]


def by_job(context: Context, tag: str) -> CautionGroups:
    """The cautions of one tag."""
    return _grouped((caution, ()) for caution in context.results.cautions.get(tag, ()))


def of_tank(context: Context, tag: str) -> CautionGroups:
    """The cautions of a tank and of all its points, equal ones merged."""
    return _grouped(_merged(context, (tag, *context.plant.switches_of[tag]), tag))


def for_jobs(context: Context, tags: Iterable[str], jobs: Iterable[str]) -> CautionGroups:
    """The cautions of several tags for some jobs only, equal ones merged."""
    return _grouped(_merged(context, tags, ""), tuple(job for job in JOBS if job in frozenset(jobs)))


def _merged(context: Context, tags: Iterable[str], whole: str) -> list[tuple[Caution, tuple[Link, ...]]]:
    """Equal cautions of several tags once; a caution of the whole needs no tags beside it."""
    found: dict[str, Caution] = {}
    about: dict[str, list[str]] = {}
    for tag in dict.fromkeys(tags):
        for caution in context.results.cautions.get(tag, ()):
            if caution.key in found:
                found[caution.key] = _stronger(found[caution.key], caution)
            else:
                found[caution.key] = caution
            about.setdefault(caution.key, []).append(str(tag))
    links = {key: () if whole in tags_of else tuple(context.paths.link(one) for one in tags_of)
             for key, tags_of in about.items()}
    ordered = sorted(found.values(), key=lambda one: (JOBS.index(one.jobs[0]), SIGNAL_WORDS.index(one.word)))
    return [(caution, links[caution.key]) for caution in ordered]


def _stronger(one: Caution, other: Caution) -> Caution:
    """One of two equal cautions: the stronger word, all jobs, both reasons."""
    first, _ = sorted((one, other), key=lambda caution: SIGNAL_WORDS.index(caution.word))
    jobs = tuple(sorted({*one.jobs, *other.jobs}, key=JOBS.index))
    parts: list[str] = []
    for part in (*one.because.split("; "), *other.because.split("; ")):
        if not any(part.endswith(before) or before.endswith(part) for before in parts):
            parts.append(part)
    return Caution(first.key, first.word, jobs, first.hazard, first.consequence, first.avoid, first.defer_to,
                   "; ".join(parts))


def _grouped(cautions: Iterable[tuple[Caution, tuple[Link, ...]]], jobs: tuple[Job, ...] = JOBS) -> CautionGroups:
    mine = list(cautions)
    groups: list[CautionGroup] = []
    written: dict[str, str] = {}
    for job in jobs:
        rows = []
        here = sorted((one for one in mine if job in one[0].jobs), key=lambda one: SIGNAL_WORDS.index(one[0].word))
        for caution, of in here:
            rows.append(CautionRow(caution.key, caution.word, caution.hazard, caution.consequence, caution.avoid,
                                   tidy(said(caution.because.rstrip("."))), caution.defer_to, of, written.get(caution.key, "")))
            written.setdefault(caution.key, job)
        if rows:
            new = [row for row in rows if not row.again]
            groups.append(CautionGroup(WHAT_IT_IS[job], tuple(new[:STRONGEST]), tuple(new[STRONGEST:]),
                                       tuple(row for row in rows if row.again), _counted(new[STRONGEST:])))
    return tuple(groups)


def _counted(rows: list[CautionRow]) -> str:
    words = [row.word for row in rows]
    return ", ".join(f"{words.count(word)} {word}" for word in SIGNAL_WORDS if word in words)
