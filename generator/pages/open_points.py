"""What is open: findings that stand in the way, holds and waivers, worst first, one line for one cause."""

from collections.abc import Set
from datetime import date

from msgspec import Struct

from generator.model.finding import Finding
from generator.model.page import Link, Running
from generator.pages import findings
from generator.pages.context import Context
from generator.pages.days import day
from generator.pages.paths import slug
from generator.pages.prose import running

_MOST_TAGS = 4


class OpenPoint(Struct, frozen=True):
    """One line. `mark` and `state` are names of the sprite and of the state's class."""

    mark: str
    state: str
    outcome: str
    rule: Link | None
    subject: tuple[Link, ...]
    further: int
    what: Running
    owner: str
    due: str


class Tally(Struct, frozen=True):
    """A count with its mark: "2 failed"."""

    mark: str
    state: str
    text: str


def tally(context: Context, tags: Set[str] | None = None) -> tuple[Tally, ...]:
    """What is open in a set of tags, or in the whole plant; nothing where nothing is."""
    found = _of(context, tags)
    counts = [
        (sum(one.verdict == verdict for one in found), mark, state, words)
        for verdict, mark, state, words in (
            ("fail", "fail", "st-trip", "failed"), ("cannot be assessed", "cannot", "st-alarm", "cannot be assessed"),
            ("waived", "waived", "st-bypass", "waived"),
        )
    ]
    holds = sum(hold.closed is None and (tags is None or any(tag in tags for tag in hold.about))
                for hold in context.plant.holds.values())
    counts.append((holds, "hold", "st-bypass", "hold" if holds == 1 else "holds"))
    return tuple(Tally(mark, state, f"{number} {words}") for number, mark, state, words in counts if number)


def points(context: Context, tags: Set[str] | None = None, by_rule: bool = False) -> tuple[OpenPoint, ...]:
    """Every open point of a set of tags, or of the whole plant; failures one by one, or one line for each rule."""
    grouped: dict[tuple[str, ...], list[Finding]] = {}
    for row in findings.shown(context, _of(context, tags)):
        one = row.finding
        apart = () if by_rule and one.verdict == "fail" else (one.subject, one.stands)
        same = ("missing", *one.missing, one.severity) if one.missing else (one.rule, one.severity, *apart)
        grouped.setdefault((one.verdict, *same), []).append(one)
    made = [_finding(context, group) for group in grouped.values()]
    holds = [_hold(context, tag) for tag, hold in context.plant.holds.items()
             if hold.closed is None and (tags is None or any(about in tags for about in hold.about))]
    waived = [one for one in made if one.mark == "waived"]
    return tuple([one for one in made if one.mark != "waived"] + holds + waived)


def _of(context: Context, tags: Set[str] | None) -> tuple[Finding, ...]:
    """Findings to look at that name one of the tags, each once."""
    if tags is None:
        return tuple(one for one in context.review.findings if one.verdict in findings.TO_LOOK_AT)
    named = {id(one): one for tag in sorted(tags) for one in context.open_findings.get(tag, ())}
    return tuple(named.values())


def _finding(context: Context, group: list[Finding]) -> OpenPoint:
    first = group[0]
    names = list(dict.fromkeys(tag for one in group for tag in one.tags))
    shown = tuple(context.paths.link(tag) for tag in names[:_MOST_TAGS])
    further = len(names) - len(shown)
    if first.verdict == "waived":
        waiver = context.plant.waivers[first.waiver - 1] if first.waiver else None
        return OpenPoint("waived", "st-bypass", "Waived", _rule(first), shown, further,
                         running(context, f"{first.must}: {first.stands}"),
                         waiver.by if waiver else "not named", f"until {day(waiver.until)}" if waiver else "no day")
    if first.verdict == "fail":
        more = f"; and {len(group) - 1} more like it" if len(group) > 1 else ""
        what = running(context, f"{first.must}: {first.stands}{more}")
        return OpenPoint("fail", "st-trip", f"Failed, {first.severity}", _rule(first), shown, further, what,
                         _owner(context), _before_issue(first))
    held_up = f"; {len(group)} checks wait for it" if len(group) > 1 else ""
    missing = f"not recorded: {'; '.join(first.missing)}{held_up}" if first.missing else f"{first.must}: {first.stands}"
    rule = _rule(first) if len(group) == 1 else None
    return OpenPoint("cannot", "st-alarm", f"Cannot be assessed, {first.severity}", rule, shown, further,
                     running(context, missing), _owner(context), _before_issue(first))


def _hold(context: Context, tag: str) -> OpenPoint:
    hold = context.plant.holds[tag]  # type: ignore[index]  # tags of the plant
    links = tuple(context.paths.link(about) for about in hold.about[:_MOST_TAGS])
    late = "overdue since " if hold.due < _today(context) else ""
    rule = Link("hold", f"review/waivers-and-holds.html#{slug(tag)}")
    return OpenPoint("hold", "st-bypass", f"Hold {tag}", rule, links,
                     len(hold.about) - len(links), running(context, hold.what), hold.owner, late + day(hold.due))


def _owner(context: Context) -> str:
    """Findings are answered by whoever prepares the document."""
    return context.plant.plant.document.prepared or "not named"


def _today(context: Context) -> date:
    return context.plant.plant.document.as_of


def _rule(finding: Finding) -> Link:
    return findings.rule_link(finding.rule, finding.name)


def _before_issue(finding: Finding) -> str:
    return "before issue" if finding.is_open and finding.severity == "error" else "no day set"
