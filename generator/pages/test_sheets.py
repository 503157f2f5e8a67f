"""One printable sheet for each proof test: what is done, what must be seen, what was read, what stays hidden, who signs."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from generator.model.caution import DEFERS
from generator.model.page import Amount, Link, Page, Running
from generator.model.scalar import Tag
from generator.pages import amounts
from generator.pages.cautions import CautionGroups, for_jobs
from generator.pages.context import Context
from generator.pages.days import day
from generator.pages.doors import doors
from generator.pages.proofs import ProofRow, row

SECTION = ("Registers", "Test sheets")
SIGNED_BY = ("Tested by", "Second person", "Put back and seen by", "Released by")


@dataclass(frozen=True, slots=True)
class PointRow:
    """One level point to be read: where it may act and let go, what its contact does, what was read last."""

    point: Link
    acts: str
    between: Running
    resets: Running
    contact: str
    as_left: str


@dataclass(frozen=True, slots=True)
class SeenRow:
    """One thing that must be seen to happen: an element reaching its state, an alarm on the screen, a time kept."""

    what: Link
    must: str
    within: Amount


@dataclass(frozen=True, slots=True)
class Sheet:
    """A test sheet."""

    proof: ProofRow
    by: str
    tanks: tuple[Link, ...]
    points: tuple[PointRow, ...]
    seen: tuple[SeenRow, ...]
    needs: tuple[str, ...]
    """What a wetted test of each technology needs."""
    hidden: tuple[str, ...]
    """What stays hidden after this test."""
    restore: tuple[str, ...]
    cautions: CautionGroups
    defers: str
    signed_by: tuple[str, ...]
    as_of: str
    source: Link
    doors: Mapping[str, str]


def pages(context: Context) -> Iterator[Page]:
    """One page a test."""
    for tag, test in context.plant.tests.items():
        path = context.paths.path(tag)
        assert path is not None
        yield Page(path, f"Test sheet {tag}", "test_sheet", _sheet(context, tag), SECTION, nav=str(tag),
                   words=tuple(map(str, test.covers)), source=test.place)


def _sheet(context: Context, tag: Tag) -> Sheet:
    plant = context.plant
    test = plant.tests[tag]
    points = tuple(dict.fromkeys(point for covered in test.covers for point in _points(context, covered)))
    tanks = dict.fromkeys(tank for covered in test.covers if (tank := context.paths.tank(covered)))
    shown = (tuple(_point(context, point) for point in points), tuple(_seen(context, test.covers)))
    known = [technology for point in points
             if (technology := context.knowledge.technologies.get(plant.instruments[plant.switches[point].in_].technology))]
    return Sheet(
        proof=row(context, tag), by=str(test.by or "not recorded"), tanks=tuple(context.paths.link(tank) for tank in tanks),
        points=shown[0], seen=shown[1],
        needs=tuple(dict.fromkeys(f"{one.name}: {one.wetted_test}" for one in known if one.wetted_test)),
        hidden=tuple(dict.fromkeys(_hidden(context, tag, points))),
        restore=tuple(dict.fromkeys(f"{one.name}: {what}" for one in known for what in one.restore)),
        cautions=for_jobs(context, test.covers, ("every job", "test")), defers=DEFERS, signed_by=SIGNED_BY,
        as_of=day(plant.plant.document.as_of), source=context.paths.source(test.place), doors=doors(context, *shown),
    )


def _points(context: Context, covered: Tag) -> Iterator[Tag]:
    """The level points behind something that a test covers: itself, or what an alarm sounds on."""
    plant = context.plant
    if covered in plant.switches:
        yield covered
    elif covered in plant.alarms and plant.alarms[covered].from_ in plant.switches:
        yield Tag(plant.alarms[covered].from_)


def _point(context: Context, tag: Tag) -> PointRow:
    point, result = context.plant.switches[tag], context.results.setpoints.get(tag)
    contact, left = context.results.contacts.get(tag), point.height.as_left
    state = f"{contact.running} to {contact.acted}" if contact is not None and point.contact is not None else "set point"
    return PointRow(
        context.paths.link(tag), str(point.acts),
        _band(result.act.low, result.act.high) if result and result.act else (amounts.NOT_ASSESSED,),
        _band(result.reset.low, result.reset.high) if result and result.reset else (amounts.NOT_ASSESSED,),
        state, f"{left.height.written}, {day(left.on)}" if left else "not recorded",
    )


def _band(low: float, high: float) -> Running:
    return (amounts.metres(low), " to ", amounts.metres(high))


def _seen(context: Context, covers: Iterable[Tag]) -> Iterator[SeenRow]:
    """States that the covered interlocks drive to, with the time that they may take, and alarms with their text."""
    plant = context.plant
    for tag in covers:
        if tag in plant.interlocks:
            lock = plant.interlocks[tag]
            budgets = context.results.trips.get(str(tag), ())
            within = amounts.outcome(budgets[0].needed) if budgets else Amount("no time worked out")
            for target, state in lock.then.items():
                yield SeenRow(context.paths.link(target), f"{state}, by {tag}", within)
            for alarm in plant.alarms_of[tag]:
                yield SeenRow(context.paths.link(alarm), f"shows {plant.alarms[alarm].text}", Amount("at once"))
        elif tag in plant.alarms:
            yield SeenRow(context.paths.link(tag), f"shows {plant.alarms[tag].text}", Amount("at once"))
        elif tag in plant.switches:
            for alarm in plant.alarms_of[tag]:
                yield SeenRow(context.paths.link(alarm), f"shows {plant.alarms[alarm].text}", Amount("at once"))


def _hidden(context: Context, tag: Tag, points: Iterable[Tag]) -> Iterator[str]:
    """What stays unproved: by the method, and what the interlocks of its points drive that the test does not cover."""
    plant = context.plant
    test = plant.tests[tag]
    covered = {element for one in test.covers for element in (one, *plant.members_of(one))}
    for point in points:
        technology = context.knowledge.technologies.get(plant.instruments[plant.switches[point].in_].technology)
        if test.method != "wetted" and technology is not None and technology.hidden_by_simulation:
            yield f"{point}, {technology.name}: {technology.hidden_by_simulation}"
        for lock in plant.interlocks_of_cause[point]:
            left_out = [str(target) for target in plant.interlocks[lock].then
                        if target not in covered and not covered.intersection(plant.members_of(target))]
            if left_out:
                yield f"{lock}: it does not say that {', '.join(left_out)} must be seen to move."
    if test.method in ("signal injected", "inspection"):
        yield f"The method is \"{test.method}\": neither sensor nor liquid takes part."
