"""Links: what carries signals and orders between panels, and what each end does when it is lost."""

from typing import Annotated, Literal

from pydantic import Field

from generator.model.definition import Definition
from generator.model.quantity import Duration
from generator.model.scalar import Prose, Tag, To


class DataLink(Definition):
    """A bus, a radio or a fibre between panels that carries level signals or orders."""

    area: Annotated[Tag, To("areas")]
    """The area it belongs to."""
    service: Prose
    """What it is for."""
    kind: Literal["bus", "network", "fibre", "radio", "telephone line"] | None = None
    """What it is."""
    between: tuple[Annotated[Tag, To("panels")], ...] = Field(min_length=2)
    """The panels that it joins."""
    carries: tuple[Annotated[Tag, To("switches", "instruments", "signals", "interlocks", "pumps", "pump_groups", "valves",
                                     "equipment")], ...] = Field(min_length=1)
    """What crosses it: the state of a point or signal, the reading of an instrument with its set points, the message that an
    interlock has acted, the order to a pump, valve or machine."""
    serves: tuple[Annotated[Tag, To("interlocks", "controls", "alarms")], ...] = ()
    """Functions that get these signals, or give these orders, by it; everything that uses what it carries where left out."""
    carries_within: Duration | None = None
    """Longest time that a signal or order takes on it."""
    watched_for: Duration | None = None
    """Time without an answer after which both ends take it as lost; until then everything stays as it was."""
    received_signals: Literal["bad", "hold", "open"] | None = None
    """What signals count as once it is taken as lost: as bad signals, as what they showed last, or as open contacts."""
    orders: Literal["hold", "drop"] | None = None
    """What outputs do then: hold their last order, or drop, which leaves what they drive without its drive."""
    loss_shown_by: Annotated[Tag, To("signals", "alarms")] | None = None
    """What tells that it is lost."""
    formerly: tuple[Tag, ...] = ()
    """Old tags."""
    note: Prose | None = None
    """Anything the reader should know."""
