"""Needs: what a setpoint must satisfy. Told apart by their first key; several at once, the tightest named.

The action of a point comes after the response of its body and the delays that stand before it: its own `on_delay`, that of its
alarm, or that of its interlock with the time held. Where a need judges the latest edge, the level moves on meanwhile.
"""

from typing import Annotated, Any, Literal

from pydantic import Discriminator
from pydantic import Tag as Case

from generator.model.definition import Definition
from generator.model.quantity import Duration, Length, Rate, Size, Stand, Volume
from generator.model.scalar import Day, Prose, Tag, Text, To

LevelName = Annotated[Text, To("level")]
"""A level of the point's own tank: overflow, rim, bottom, a name from its levels or marks, a nozzle, or a point's tag."""


class At(Definition):
    """The point stands at a height, a volume held, or a share of range, height or volume: exactly there.

    It is met within half a setpoint step. A height off it falls short on either side, also where it stands lower for a
    high point or higher for a low one: for a limit that may be kept with room to spare write `below` or `above`. Where
    another need cannot be kept at this height, the needs conflict, and no height is required or proposed.
    """

    at: Stand
    """Where the point must stand, exactly."""
    because: Prose | None = None
    """Why there."""


class Before(Definition):
    """The point acts so early that a time remains before the liquid reaches a level."""

    before: LevelName
    """The level that must not be reached."""
    time: Duration
    """The time that must remain, from the latest action: after the response of the body and the delays before it. Times of
    links, logic, relay and final element, or of a person, are part of the time that must remain."""
    rate: Literal["worst", "normal"] = "worst"
    """At which rate of filling or emptying the time is counted."""
    because: Prose | None = None
    """What the time is for."""


class Above(Definition):
    """The point stands above a level, edges apart by a margin."""

    above: LevelName
    """The level below it."""
    by: Length | None = None
    """Margin between the upper edge of the lower and the lower edge of the upper; nothing where left out."""
    because: Prose | None = None
    """What the margin is for."""


class Below(Definition):
    """The point stands below a level, edges apart by a margin."""

    below: LevelName
    """The level above it."""
    by: Length | None = None
    """Margin between the upper edge of the lower and the lower edge of the upper; nothing where left out."""
    because: Prose | None = None
    """What the margin is for."""


class Reserve(Definition):
    """When the point acts, a reserve still stands above a level: a volume, or minutes of a demand.

    One of two ways must be given: `{reserve: 2 m3, above: drawoff}`, or `lasts` with `of`, as in
    `{lasts: 20 min, of: draw, above: drawoff}`.
    """

    reserve: Volume | None = None
    """The volume kept."""
    lasts: Duration | None = None
    """How long the reserve lasts at the highest flow of a stream, instead of a volume."""
    of: Annotated[Tag, To("streams")] | None = None
    """The stream that draws on the reserve, with `lasts`."""
    above: LevelName
    """The level below which the liquid cannot be drawn."""
    because: Prose | None = None
    """What the reserve is for."""


class Cycling(Definition):
    """A pump's start stands so far above its stop that the pump does not start too often.

    The first start of a control is judged by the cycle of its pump alone, a further start by the cycle of all pumps up to its
    own, with the other starts where they stand. The starts of every pump over all cycles are judged beside the needs.
    """

    cycling: Annotated[Tag, To("pumps", "pump_groups")]
    """The pump or group that this point starts."""
    above: LevelName
    """The point that stops it."""
    starts: Rate | None = None
    """Most starts in an hour; the pump's own limit where left out."""
    because: Prose | None = None
    """Where the limit comes from."""


class Submerges(Definition):
    """The liquid still covers a pump's inlet by the submergence it needs, when all that draws on the tank has stopped.

    Between the point's latest action and the standstill every pump draws that its interlock or control stops or that runs in
    the worst emptying; the times are those of the interlock's time budget.
    """

    submerges: Annotated[Tag, To("pumps")]
    """The pump."""
    by: Size | None = None
    """Margin over the submergence."""
    because: Prose | None = None
    """What the margin is for."""


class Covers(Definition):
    """The liquid still covers something in the tank: a heater, an element, an agitator, a motor that it cools."""

    covers: LevelName
    """The mark to keep covered."""
    by: Size | None = None
    """Depth of liquid over it."""
    because: Prose | None = None
    """What happens when it is bare."""


class GapOf(Definition):
    """The gap that a published rule asks for below a level; the rule must be in force for this plant."""

    gap_of: Annotated[Tag, To("rules")]
    """The published rule, by its name in `rules_in_force`."""
    below: LevelName
    """The level it is counted from."""
    because: Prose | None = None
    """Why the rule is applied here, where it is used as an analogy."""


class RoomFor(Definition):
    """Above the point there is room for the liquid to grow when it warms from its coldest to its hottest."""

    room_for: Literal["thermal growth"]
    """What the room is for."""
    below: LevelName
    """The level that the grown liquid must not reach."""
    because: Prose | None = None
    """When the liquid stands full and cold."""


OPENERS = ("room_for", "at", "before", "reserve", "lasts", "cycling", "submerges", "covers", "gap_of", "above", "below")


def which(value: Any) -> str | None:
    """The key that tells which need a block is; None where none of them stands."""
    if isinstance(value, dict):
        return next((("reserve" if key == "lasts" else key) for key in OPENERS if key in value), None)
    return next((key for key in OPENERS if hasattr(value, key)), None)


Need = Annotated[
    Annotated[At, Case("at")] | Annotated[Before, Case("before")] | Annotated[Above, Case("above")]
    | Annotated[Below, Case("below")] | Annotated[Reserve, Case("reserve")] | Annotated[Cycling, Case("cycling")]
    | Annotated[Submerges, Case("submerges")] | Annotated[Covers, Case("covers")] | Annotated[GapOf, Case("gap_of")]
    | Annotated[RoomFor, Case("room_for")],
    Discriminator(which, custom_error_type="need_form",
                  custom_error_message="a need opens with one of at, before, above, below, reserve, lasts, cycling, "
                                       "submerges, covers, gap_of, room_for"),
]
AnyNeed = At | Before | Above | Below | Reserve | Cycling | Submerges | Covers | GapOf | RoomFor


class AsLeft(Definition):
    """The height at which the point was seen to act."""

    height: Length
    """Measured height."""
    on: Day
    """The day, written year-month-day."""
    by: Text
    """Who measured it, as a role."""


class Height(Definition):
    """The height of a point: what it must satisfy, what is issued, and what the field measured."""

    issued: Length | None = None
    """The height people cut rods to and configure. Never changed by the generator. Without it the height is proposed."""
    needs: tuple[Need, ...] = ()
    """What the height must satisfy; each is worked out and the tightest is named."""
    because: Prose | None = None
    """Why this height, where the needs alone do not say it."""
    as_left: AsLeft | None = None
    """What the field measured."""
