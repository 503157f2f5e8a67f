"""One printable sheet for each proof test: what is done, what must be seen, what was read, what stays hidden, who signs."""

import re
from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct

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


class PointRow(Struct, frozen=True):
    """One level point to be read: where it may act and let go, what its contact does, what was read last."""

    point: Link
    acts: str
    between: Running
    resets: Running
    contact: str
    as_left: str


class SeenRow(Struct, frozen=True):
    """One thing that must be seen to happen: an element reaching its state, an alarm on the screen, a time kept."""

    what: Link
    must: str
    within: Amount


class Sheet(Struct, frozen=True):
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
    shown = (tuple(_point(context, point) for point in points), tuple(dict.fromkeys(_seen(context, tag))))
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


def _seen(context: Context, tag: Tag) -> Iterator[SeenRow]:
    """States that the covered interlocks drive to and alarms with their text, each with the time that it may take itself."""
    plant, limits = context.plant, context.results.test_limits.get(tag, {})

    def seen(cause: Tag, what: Tag, must: str) -> SeenRow:
        limit = limits.get((str(cause), str(what)))
        return SeenRow(context.paths.link(what), must, Amount("no time worked out") if limit is None else amounts.outcome(
            limit, "taken"))

    for one in plant.tests[tag].covers:
        if one in plant.interlocks:
            for target, state in plant.interlocks[one].then.items():
                for element in plant.members_of(target) or (target,):
                    yield seen(one, element, f"{state}, by {one}")
        source = plant.alarms[one].from_ if one in plant.alarms else one
        for alarm in (one,) if one in plant.alarms else plant.alarms_of[one]:
            yield seen(source, alarm, f"shows {plant.alarms[alarm].text}")


def _hidden(context: Context, tag: Tag, points: Iterable[Tag]) -> Iterator[str]:
    """What stays unproved: by the method, what the interlocks of its points drive that the test does not cover, causes that no
    step tries, and covered machines that no step names."""
    plant = context.plant
    test = plant.tests[tag]
    covered = {element for one in test.covers for element in (one, *plant.members_of(one))}
    for point in points:
        technology = context.knowledge.technologies.get(plant.instruments[plant.switches[point].in_].technology)
        is_wetted = test.method == "wetted" and point not in test.simulated
        if not is_wetted and technology is not None and technology.hidden_by_simulation:
            yield f"{point}, {technology.name}: {technology.hidden_by_simulation}"
        for lock in plant.interlocks_of_cause[point]:
            left_out = [str(target) for target in plant.interlocks[lock].then
                        if target not in covered and not covered.intersection(plant.members_of(target))]
            if left_out:
                yield f"{lock}: it does not say that {', '.join(left_out)} must be seen to move."
    words = frozenset(re.findall(r"[\w-]+", f"{test.steps} {test.passes}"))
    for lock in (one for one in test.covers if one in plant.interlocks):
        causes = [cause for cause in dict.fromkeys(plant.interlocks[lock].when.tags()) if cause not in covered
                  and cause not in words and not words.intersection(plant.alarms_of[cause])
                  and not (cause in plant.switches and plant.switches[cause].in_ in words)]
        if causes:
            yield f"{lock}: no step tries its cause{'s' if len(causes) > 1 else ''} {', '.join(causes)}."
    machines = [one for one in test.covers if (one in plant.pumps or one in plant.valves or one in plant.equipment)
                and one not in words]
    if machines:
        yield f"No step names {', '.join(machines)}: nothing here proves that {'they move' if len(machines) > 1 else 'it moves'}."
    if test.method in ("signal injected", "inspection"):
        yield f"The method is \"{test.method}\": neither sensor nor liquid takes part."
