"""What the levels do: controls, interlocks, the signals beside them, and alarms."""

from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import Field

from generator.model.condition import Condition, Vote, ways
from generator.model.defaults import OperatorTime
from generator.model.definition import Definition
from generator.model.quantity import Duration
from generator.model.scalar import Count, Prose, Tag, Text, To, YesNo

CAUSES = ("switches", "signals")
FINAL_ELEMENTS = ("pumps", "pump_groups", "valves", "equipment")
State = Literal["open", "closed", "stopped", "running", "off", "on", "sounding"]


class Signal(Definition):
    """A cause that is not a level: a push button, a key, a temperature, a lost supply."""

    area: Annotated[Tag, To("areas")]
    """The area it belongs to."""
    service: Prose
    """What it tells."""
    kind: Literal["manual stop", "emergency stop", "reset", "bypass key", "supply lost", "air lost", "bad signal",
                  "communication lost", "controller stopped", "position", "running", "temperature", "pressure", "flow", "other"]
    """What it is."""
    at: Annotated[Tag, To("panels")] | None = None
    """Panel where it sits."""
    condition: Prose | None = None
    """When it is on, in words: "pushed", "above its limit"."""
    state: State | None = None
    """Of a position: the state of what it tells of in which it is on. Courses of events then let it follow; where it is left out
    it stays off in them. A running signal is on while its machine runs."""
    fails: Literal["on", "off"] | None = None
    """What it looks like with a broken wire or without power."""
    of: Annotated[Tag, To("supplies", "links", "instruments", "valves", "pumps", "panels", "equipment")] | None = None
    """What it tells of."""
    formerly: tuple[Tag, ...] = ()
    """Old tags."""


class StartStop(Definition):
    """Ordinary running by contacts: a stop point and one start point a pump or valve."""

    kind: Literal["start and stop"]
    """Form of the control."""
    area: Annotated[Tag, To("areas")]
    """The area it belongs to."""
    tank: Annotated[Tag, To("tanks")]
    """The tank whose level it holds."""
    moves: Annotated[Tag, To("pumps", "pump_groups", "valves", "equipment")]
    """The pump, group or valve that it starts and stops, opens and shuts."""
    starts: tuple[Annotated[Tag, To(*CAUSES)], ...] = Field(min_length=1)
    """The point that starts (opens) each one, duty first."""
    stops: Annotated[Tag, To(*CAUSES)]
    """The point that stops (shuts) all of them."""
    bad_signal: Literal["holds", "starts", "stops"] | None = None
    """What it does when one of its points is bad: leave everything as it is, start (open) every one, or stop (shut) all."""
    live_in: tuple[Annotated[Tag, To("modes")], ...] = ()
    """Modes in which it orders; all of them where left out. In any other what it moves stays as it was last ordered."""
    by: Text | None = None
    """Where the logic runs, in free words: a controller, relays in a panel. Relays
    have no scan; any other logic counts with one."""
    note: Prose | None = None
    """Anything the reader should know."""


class Modulating(Definition):
    """Ordinary running by a loop that moves a valve or a speed."""

    kind: Literal["modulating"]
    """Form of the control."""
    area: Annotated[Tag, To("areas")]
    """The area it belongs to."""
    tank: Annotated[Tag, To("tanks")]
    """The tank whose level it holds."""
    measures: Annotated[Tag, To("instruments")]
    """The transmitter."""
    moves: Annotated[Tag, To("pumps", "pump_groups", "valves", "equipment")]
    """What it moves."""
    rising_level: Literal["opens", "shuts"]
    """What a rising level does to it."""
    bad_signal: Literal["holds", "opens", "shuts"] | None = None
    """What it does when the signal is bad."""
    live_in: tuple[Annotated[Tag, To("modes")], ...] = ()
    """Modes in which it orders; all of them where left out. In any other what it moves stays as it was last ordered."""
    by: Text | None = None
    """Where the loop runs."""
    note: Prose | None = None
    """Anything the reader should know."""


Control = Annotated[StartStop | Modulating, Field(discriminator="kind")]


class Latch(Definition):
    """A trip that stays until it is reset."""

    survives_power_loss: YesNo
    """Whether it is still there when power returns."""


class Reset(Definition):
    """How a latched interlock is put back."""

    at: tuple[Annotated[Tag, To("panels")], ...]
    """Where: one or more named places."""
    by: Text
    """Who may, as a role."""
    button: Annotated[Tag, To("signals")] | None = None
    """The button, where it has a tag."""
    when: Condition
    """When it is accepted."""
    restarts: Prose = Prose("nothing")
    """What moves by itself after the reset."""


class FirstCause(Definition):
    """Where an interlock may act from several causes: whether something keeps which of them came first."""

    held: YesNo
    """Whether it is kept until the reset."""
    shown_at: tuple[Annotated[Tag, To("panels", "attendance")], ...] = ()
    """Where it can be read until then."""
    told_apart: Duration | None = None
    """Causes closer together than this cannot be told apart."""


class Bypass(Definition):
    """The one way in which a function may be put out of use for a time."""

    longest: Duration
    """Longest time."""
    needs: Text
    """Whose permission, as a role."""
    meanwhile: Prose
    """What protects instead."""
    relies_on: tuple[Annotated[Tag, To("switches", "instruments", "alarms", "signals")], ...] = ()
    """Tags that the substitute rests on."""
    takes_out: Literal["the whole function", "one member as clear", "one member as acted"] = "the whole function"
    """What it takes out: all of the function, or one member of its vote, which then counts as clear or as acted."""
    key: Annotated[Tag, To("signals")] | None = None
    """The key or selector, where it has a tag."""
    alarmed: YesNo | None = None
    """Whether it is alarmed while it lasts and when its time is over."""
    start_up_only: YesNo = False
    """Whether it is a start-up bypass."""
    ends: Condition | None = None
    """For a start-up bypass: what ends it."""
    ends_after: Duration | None = None
    """For a start-up bypass: the time that ends it."""

    @property
    def member_counts(self) -> bool | None:
        """Whether the one member that it takes out counts as acted; None where it takes out the whole function."""
        return {"one member as clear": False, "one member as acted": True}.get(self.takes_out)


class Interlock(Definition):
    """A forced state: a trip (held until reset), a releasing interlock (lets go by itself), a permissive (start only)."""

    area: Annotated[Tag, To("areas")]
    """The area it belongs to."""
    service: Prose
    """What it does, in words."""
    kind: Literal["trip", "releasing interlock", "permissive"]
    """What it is."""
    hazard: Annotated[Tag, To("hazards")] | None = None
    """The hazard it protects from."""
    because: Prose | None = None
    """The reason, for one that protects from no listed hazard."""
    when: Condition
    """Its cause. For a permissive: what must be true for a start."""
    on_delay: Duration | None = None
    """Time the cause must last before it acts."""
    off_delay: Duration | None = None
    """Time the cause must be gone before it lets go."""
    then: dict[Annotated[Tag, To(*FINAL_ELEMENTS)], State] = Field(min_length=1)
    """Each final element and the state it is driven to; which states each kind can take stands under writing definitions.

    For a permissive: what may start or open.
    """
    live_in: tuple[Annotated[Tag, To("modes")], ...] = ()
    """Modes in which it acts."""
    latch: Latch | None = None
    """For a trip: how it is held."""
    reset: Reset | None = None
    """For a trip: how it is put back."""
    first_cause: FirstCause | None = None
    """Whether something keeps which of its causes came first."""
    bypass: Bypass | None = None
    """How it may be put out of use; left out where it may not."""
    bad_signal: Literal["trips", "holds", "ignored"] | None = None
    """What it does on a detected fault of a sensor. A permissive that `trips` on it permits no start."""
    degraded_vote: Prose | None = None
    """What a vote becomes when one member is out."""
    by: Literal["controller", "relays", "safety system", "device"] | None = None
    """What carries the logic: one of these words, since scans, outputs on a stop and common faults follow from it."""
    logic_time: Duration | None = None
    """Time of the logic; twice the scan where left out."""
    manual_stop: Annotated[Tag, To("signals")] | None = None
    """The manual stop that does the same."""
    wins_over: tuple[Annotated[Tag, To("interlocks", "controls")], ...] = ()
    """What gives way where both want the same device in opposite states."""
    energise_to_act: Prose | None = None
    """For one that must energise to act: the reason."""
    note: Prose | None = None
    """Anything the reader should know; shown under its row."""
    formerly: tuple[Tag, ...] = ()
    """Old tags."""

    @property
    def causes(self) -> tuple[Condition, ...]:
        """What may make it act by itself or as a member of a vote; the manual stop, which does the same, not counted."""
        return ways(self.when)

    @property
    def vote(self) -> Vote | None:
        """The first vote of its cause."""
        return next(_votes(self.when), None)

    @property
    def vote_left(self) -> tuple[int, int] | None:
        """Members needed and members left of the vote while its bypass lasts; None where that takes out everything."""
        counts = self.bypass.member_counts if self.bypass is not None else None
        vote = self.vote
        return None if counts is None or vote is None else (vote.needed - counts, len(vote.inner) - 1)


def _votes(condition: Condition) -> Iterator[Vote]:
    if isinstance(condition, Vote):
        yield condition
    for part in condition.parts():
        yield from _votes(part)


class Alarm(Definition):
    """An alarm: what the screen says and what a person does."""

    from_: Annotated[Tag, To("switches", "signals", "interlocks", "instruments")] = Field(alias="from")
    """What raises it."""
    text: Text
    """The text exactly as on the screen."""
    priority: Literal["highest", "high", "medium", "low"]
    """Its priority."""
    means: Prose
    """What it means."""
    consequence: Prose | None = None
    """What happens if nobody acts."""
    first: Prose
    """What to do first."""
    uses: tuple[Annotated[Tag, To("pumps", "valves", "equipment", "signals", "instruments")], ...] = ()
    """Devices that the first action uses."""
    then: Prose | None = None
    """What to do if that does not help."""
    confirm: Prose | None = None
    """How to see that it worked."""
    do_not: Prose | None = None
    """What must not be done."""
    shown_at: tuple[Annotated[Tag, To("attendance")], ...] = ()
    """Where it is shown."""
    live_in: tuple[Annotated[Tag, To("modes")], ...] = ()
    """Modes in which it sounds; all of them where left out."""
    operator_time: OperatorTime | None = None
    """What a person needs; inherited where left out."""
    before: Annotated[Tag, To("interlocks", "switches")] | None = None
    """The trip or point that follows if nobody acts."""
    time_to: Text | None = None
    """The level of the tank at which it is too late, where it is not the point in `before`."""
    on_delay: Duration | None = None
    """Time the cause must last before it sounds."""
    off_delay: Duration | None = None
    """Time the cause must be gone before it clears."""
    safety: YesNo = False
    """Whether it is credited as protection of people or environment.

    It then answers for the hazards of its tank where no interlock does, stands among the layers against them, and its
    minutes, device, test and independence from the control are judged by the harm of the hazard.
    """
    deviation_of: tuple[Annotated[Tag, To("instruments")], ...] = ()
    """For a deviation alarm: the two instruments it compares."""
    count: Count | None = None
    """Order of this alarm on the tank's card, where it is not by height."""
    formerly: tuple[Tag, ...] = ()
    """Old tags."""


class Mode(Definition):
    """A way of running in which functions may be live or not."""

    name: Prose
    """Name on the selector."""
    means: Prose
    """What it means."""
