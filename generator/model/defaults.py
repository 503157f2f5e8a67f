"""Facts that flow down: from the plant to an area, to a tank, to an item. The item keeps where each came from."""

from typing import Annotated

from generator.model.definition import Definition
from generator.model.quantity import Duration, Length, Size
from generator.model.scalar import Tag, To


class Error(Definition):
    """How far from its height a point can act, either way."""

    own: Size
    """Of the point alone: repeatability, reading."""
    common: Size | None = None
    """Of the whole body: range, density, datum. It cancels between two points of one body. Inherited by itself where left
    out; `0 mm` says that there is none."""


class Waves(Definition):
    """Waves on the liquid."""

    peak_to_peak: Size
    """From trough to crest."""
    period: Duration | None = None
    """From crest to crest."""


class OperatorTime(Definition):
    """What a person needs between the alarm and the effect, itemised."""

    notice: Duration
    """Until somebody notices."""
    diagnose: Duration
    """Until the cause is known."""
    go: Duration
    """Until somebody stands where the action is."""
    act: Duration
    """Until the action is done."""
    effect: Duration
    """Until the liquid answers."""


class Defaults(Definition):
    """Shared facts. What has consequences (direction, contact, safe state, issued height, hazard) is never shared."""

    accuracy: Error | None = None
    """Error of a point."""
    waves: Waves | None = None
    """Waves on the liquid."""
    operator_time: OperatorTime | None = None
    """What a person needs from alarm to effect."""
    test_interval: Duration | None = None
    """Time between two tests."""
    setpoint_step: Length | None = None
    """Heights are rounded to this step, in the safe direction."""
    volume_step: Size | None = None
    """Step of height in the volume tables; a round one is chosen where left out."""
    scan_time: Duration | None = None
    """Scan of the logic; it counts twice."""
    relay_time: Duration | None = None
    """Time of an output or interposing relay."""
    supply: Annotated[Tag, To("supplies")] | None = None
    """The supply of powered devices."""
