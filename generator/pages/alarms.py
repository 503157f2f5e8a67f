"""The alarm register: what the screen says, what to do, how long there is."""

from collections.abc import Iterator

from generator.model.interlock import Alarm
from generator.model.page import Page, Running
from generator.model.scalar import Tag
from generator.pages import amounts, delays, logic_words, register, screen
from generator.pages.alarm_words import meaning
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.pages.prose import running
from generator.pages.register import Cell, Row, cell
from generator.pages.spilled import beside
from generator.pages.story import modes
from generator.pages.tank_card import after_trip

COLUMNS = ("Alarm", "The screen says", "From", "Priority", "Height", "The level then shows", "Sounds after", "Clears after",
           "Means", "If nobody acts", "First action", "If that does not help", "Worked when", "Must not", "Time to the trip",
           "Time to the limit", "A person needs", "Shown at")


def pages(context: Context) -> Iterator[Page]:
    """The alarm register."""
    yield register.page(
        context, "alarms", "Alarms",
        "Times are the shortest: worst rate, from the latest the alarm can come. They are cut off, never rounded up. "
        "Delays say whose they are; those that follow one another add up.",
        COLUMNS, register.by_area(context, context.plant.alarms, lambda tag: _row(context, Tag(tag))),
    )


def _times(context: Context, tag: Tag) -> tuple[Cell, Cell]:
    """Time to the trip and to the limit; for an alarm that a trip raises, what would be left if the trip did nothing."""
    alarm, times = context.plant.alarms[tag], context.results.alarms.get(tag)
    if times is not None and times.limit:
        follows = amounts.outcome(times.to_trip, "minutes") if times.to_trip else "no trip follows"
        return (cell(follows, beside(context, times.spilled, 0) if times.to_trip else None),
                cell(amounts.outcome(times.to_limit, "minutes"), beside(context, times.spilled, 1)))
    left = after_trip(context, alarm)
    if left:
        return cell("it has tripped"), cell((left[0].time, " if the trip did nothing"), *(
            ("; ", one.time, " ", *one.until[1:]) for one in left[1:]))
    return cell("no level"), cell("no level")


def _heights(context: Context, alarm: Alarm) -> tuple[Cell, Cell]:
    """The height at which it comes, and the same as the screen shows it; for an alarm of an interlock those of its points."""
    plant = context.plant
    lock = plant.interlocks.get(alarm.from_)
    points = [tag for tag in dict.fromkeys(lock.when.tags() if lock else (alarm.from_,)) if tag in plant.switches]
    if not points:
        return cell("no level"), cell("no level")
    if len(points) == 1:
        return cell(logic_words.height(context, points[0])), cell(screen.of_point(context, points[0]))
    heights = [(context.paths.link(tag), " at ", logic_words.height(context, tag)) for tag in points]
    # Points of one height on one tank, as in a vote, show the same: it is said once.
    shown = [screen.of_point(context, tag) for tag in points]
    return cell(logic_words.sentence_list(heights, "or")), cell(logic_words.sentence_list(list(dict.fromkeys(shown)), "or"))


def _meaning(context: Context, alarm: Alarm) -> Running:
    """What it means, and the modes in which it sounds where it does not in all of them."""
    means = meaning(context, alarm)
    return (*means, "; ", *modes(context, "it sounds", alarm.live_in)) if alarm.live_in else means


def _row(context: Context, tag: Tag) -> Row:
    alarm = context.plant.alarms[tag]
    times = context.results.alarms.get(tag)
    return Row(slug(tag), (
        cell(tag), cell(alarm.text), cell(context.paths.link(alarm.from_)), cell(alarm.priority),
        *_heights(context, alarm),
        cell(delays.before_alarm(context, alarm)), cell(delays.after_alarm(context, alarm)),
        cell(_meaning(context, alarm)), cell(running(context, alarm.consequence)),
        cell(running(context, alarm.first)), cell(running(context, alarm.then)),
        cell(running(context, alarm.confirm)), cell(running(context, alarm.do_not)),
        *_times(context, tag),
        cell(amounts.outcome(times.needed, "needed") if times else "no level"),
        cell(register.links(context, alarm.shown_at, "not given")),
    ))
