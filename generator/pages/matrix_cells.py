"""What a cell of a matrix says: its marks, and one sentence that needs no legend."""


from msgspec import Struct

from generator.model.page import Running, plain
from generator.model.scalar import Tag
from generator.pages import amounts, logic_words
from generator.pages.context import Context
from generator.pages.logic_words import ACTION, GOES, MAY
from generator.pages.matrix_grid import ALARM, Cause, Column, Mark, branches
from generator.pages.matrix_losses import NO_SIGNAL

STYLE = {"X": "drives", "X*": "latched", "P": "permits", "B": "bypasses", "F": "fails", "A": "alarms"}
_LOUDEST = ("X*", "X", "P", "F", "B", "A")
KEY = (
    ("X", "drives, lets go by itself"),
    ("X*", "drives and stays until reset"),
    ("P", "needed for a start, stops nothing"),
    ("F", "goes there by itself when its drive or order is lost"),
    ("B", "takes out the function, or one member of its vote"),
    ("A", "alarm"),
)
"""Each sign and its word."""


class Shown(Struct, frozen=True):
    """One mark in a cell: its sign, its class, the delay under it and the number of its note."""

    sign: str
    style: str
    delay: str
    note: int | None


class Cell(Struct, frozen=True):
    """One cell; an empty one says nothing. `effect` names the column where columns do not show."""

    column: str
    effect: str
    marks: tuple[Shown, ...]
    sentence: str

    @property
    def style(self) -> str:
        """The class of its loudest mark."""
        return self.marks[0].style if self.marks else ""


def cell(context: Context, cause: Cause, column: Column, notes: dict[str, int]) -> Cell:
    """The cell of a cause and a column. `notes` gives the number of the note of an interlock."""
    marks = sorted(cause.marks.get(column.key, ()), key=lambda mark: _LOUDEST.index(mark.sign))
    shown = dict.fromkeys(Shown(mark.sign, STYLE[mark.sign], _delay(mark), notes.get(mark.by)) for mark in marks)
    return Cell(
        column.key, effect(column), tuple(shown), " ".join(sentence(context, cause, column, mark) for mark in marks)
    )


def effect(column: Column) -> str:
    """A column in words: "XV-210 CLOSE", "P-210A MAY START"."""
    return "Alarm" if column.key == ALARM else f"{column.tag} {action(column)}"


def action(column: Column) -> str:
    """What the column's element is told to do, in capitals."""
    if column.state is None:
        return "SOUND"
    return f"MAY {MAY[column.state].upper()}" if column.is_permitted else ACTION[column.state]


def _delay(mark: Mark) -> str:
    return plain((amounts.duration(sum(delay.si for delay in mark.delays)),)) if mark.delays else ""


def _acts(left: tuple[int, int]) -> str:
    return "acts" if left[0] == 1 else "act"


def words(context: Context, cause: Cause) -> Running:
    """A cause in words: "LSHH-210 opens at 1.55 m rising"."""
    if cause.tag in context.plant.supplies or cause.tag in context.plant.links:
        return (context.paths.link(cause.tag), " is lost")
    if cause.key == f"{cause.tag} {NO_SIGNAL}":
        return (context.paths.link(cause.tag), " gives no signal")
    if cause.condition is None or cause.tag:
        return logic_words.acts(context, cause.tag)
    return logic_words.inline(context, cause.condition)


def _after(context: Context, cause: Cause, mark: Mark) -> str:
    """The delays of a mark in its sentence: what the cause's own words already say is not said again."""
    point = context.plant.switches.get(Tag(cause.tag))
    said = point.on_delay if point is not None else None
    left = list(mark.delays)
    if said is not None and said in left:
        left.remove(said)
    if not left:
        return ""
    time = plain((amounts.duration(sum(delay.si for delay in left)),))
    return f", {time} later" if len(left) < len(mark.delays) else f", after {time}"


def sentence(context: Context, cause: Cause, column: Column, mark: Mark) -> str:
    """One mark as a sentence."""
    said, plant = plain(words(context, cause)), context.plant
    after = _after(context, cause, mark)
    if mark.sign == "A":
        alarm = plant.alarms[Tag(mark.by)]
        return f"When {said}{after}, alarm {mark.by} comes: {alarm.text}, priority {alarm.priority}."
    if mark.sign == "F":
        gone = "order" if cause.tag in plant.links else "drive"
        return f"When {said}{after}, {column.tag} {GOES[column.state or 'off'][0]} by itself: its {gone} is gone."
    lock = plant.interlocks[Tag(mark.by)]
    if mark.sign == "B":
        longest = f", {plain((amounts.duration(lock.bypass.longest.si),))} at most" if lock.bypass else ""
        if lock.vote_left is not None:
            return (f"While {said}, one member of {mark.by} is out{longest}: {column.tag} "
                    f"{GOES[column.state or 'off'][0]} when {logic_words.remaining(lock)} {_acts(lock.vote_left)}.")
        return f"While {said}, {mark.by} does not drive {column.tag}{longest}."
    does, goes_on = GOES[column.state or "off"]
    if mark.sign == "P":
        only = "only while" if len(list(branches(lock.when))) == 1 else "while"
        return (
            f"{column.tag} may {MAY[column.state or 'off']} {only} {said}{after} ({mark.by}). "
            f"{'What is open is not shut' if column.tag in plant.valves else 'What runs is not stopped'}."
        )
    if mark.sign == "X":
        return f"When {said}{after}, {column.tag} {does}; it lets go by itself ({mark.by})."
    reset = f" at {' or '.join(lock.reset.at)} by {lock.reset.by}" if lock.reset else ""
    return f"When {said}{after}, {column.tag} {does} and {goes_on} until reset{reset} ({mark.by})."
