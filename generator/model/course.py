"""What the scenarios and the level explorer hand on: the level against time, and every state of one tank."""

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Literal

from msgspec import Struct

from generator.model.record import Outcome

EventKind = Literal["given", "level", "point", "alarm", "interlock", "element", "flow", "end"]


class CourseEvent(Struct, frozen=True):
    """One thing that happens: when [s], at which level [m], what in words, and the tags it is about.

    `turned` is the state that the first tag takes: "acted", "clear", "sounds", "quiet", "acts", "lets go", or the state
    of a final element. A level line has the key of its level there. `tank` is the one whose level it tells.
    """

    time: float
    level: float
    kind: EventKind
    what: str
    tags: tuple[str, ...] = ()
    turned: str = ""
    tank: str = ""


class Stretch(Struct, frozen=True):
    """A time in which the net flow does not change: from when [s], volume at its beginning [m3], net inflow [m3/s]."""

    start: float
    volume: float
    flow: float


class Beside(Struct, frozen=True):
    """A further tank of a course: its level against time, as in the course itself."""

    tank: str
    points: tuple[tuple[float, float], ...]
    stretches: tuple[Stretch, ...]


class Course(Struct, frozen=True):
    """One course of events in one tank, or in several of which `tank` is the one that is watched.

    `outcome` is the record of its working, or why it cannot be worked out.

    `points` are (time, level) to draw the curve from; between two of them the level follows the volume at a constant
    flow. `faults` are the tags that fail on the way.
    """

    key: str
    tank: str
    name: str
    says: str
    is_automatic: bool
    outcome: Outcome
    assumptions: tuple[str, ...] = ()
    points: tuple[tuple[float, float], ...] = ()
    stretches: tuple[Stretch, ...] = ()
    events: tuple[CourseEvent, ...] = ()
    lasts: float = 0.0
    ends_because: str = ""
    faults: tuple[str, ...] = ()
    stood: tuple[tuple[str, str], ...] = ()
    """How each interlock and final element stood at the start."""
    beside: tuple[Beside, ...] = ()


class Item(Struct, frozen=True):
    """One thing that the explorer shows: a contact, an alarm, an interlock or a final element."""

    tag: str
    kind: Literal["contact", "alarm", "interlock", "element"]


class SupposedFault(Struct, frozen=True):
    """One device supposed to have failed, how, and in words. The first of all is no fault at all."""

    tag: str
    how: str
    words: str


class RunningTime(Struct, frozen=True):
    """A cause that the level alone does not bring about: a running signal of a machine on, or off, for a time as written."""

    interlock: str
    signal: str
    is_on: bool
    time: str


class Explorer(Struct, frozen=True):
    """Every state of one tank, other tanks standing at normal.

    `edges` are the heights between the bands of levels, lowest first [m]; band 0 lies from the bottom to the first of
    them. `states[fault][way][band]` are the states of all `items`, in their order; ways 0 and 1 are rising and falling
    with resets given once they are accepted, 2 and 3 rising and falling with none given. `running_times` are causes that
    no state shows. `too_large` says why there are none where the table would not fit.
    """

    tank: str
    edges: tuple[float, ...]
    edge_names: tuple[str, ...]
    bottom: float
    top: float
    start: float
    items: tuple[Item, ...]
    faults: tuple[SupposedFault, ...]
    states: tuple[tuple[tuple[tuple[str, ...], ...], ...], ...]
    too_large: str = ""
    running_times: tuple[RunningTime, ...] = ()


class Explorers(Mapping[str, Explorer]):
    """Explorers by tank. Most readers of the results want none of them, and a page only that of its own tank."""

    def __init__(self, makers: Mapping[str, Callable[[], Explorer]] = MappingProxyType({})) -> None:
        self._makers = makers
        self._made: dict[str, Explorer] = {}

    def __getitem__(self, tank: str) -> Explorer:
        if tank not in self._made:
            self._made[tank] = self._makers[tank]()
        return self._made[tank]

    def all(self) -> dict[str, Explorer]:
        """Every explorer, made now where it was not before."""
        return dict(self)

    def keep(self, made: Mapping[str, Explorer]) -> None:
        """Take what was made elsewhere, by `all` of the same results."""
        self._made |= made

    def __iter__(self) -> Iterator[str]:
        return iter(self._makers)

    def __len__(self) -> int:
        return len(self._makers)


Courses = Mapping[str, tuple[Course, ...]]
