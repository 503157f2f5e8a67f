"""Layers against each hazard, and what one failure or one bypass does to them."""

from typing import Literal

from msgspec import Struct

from generator.model.margin import SpilledTime
from generator.model.record import Outcome

LayerKind = Literal["control", "alarm", "trip", "permissive"]
Part = Literal["body", "nozzle", "stilling well", "card", "cable", "panel", "supply", "relay", "link", "logic", "final element"]


class Layer(Struct, frozen=True):
    """One thing that stands against a hazard, in the order in which the level meets it.

    `parts` are what it is made of, as (kind, tag or name). `minutes` is the time from its latest action to where the
    hazard begins; `needs` what a person needs after an alarm, or a trip from its point to its end.
    """

    hazard: str
    kind: LayerKind
    tag: str
    points: tuple[str, ...]
    elements: tuple[str, ...]
    parts: tuple[tuple[Part, str], ...]
    minutes: Outcome | None = None
    needs: Outcome | None = None
    spilled: tuple[SpilledTime, ...] = ()
    """`minutes` while another tank overflows into the one of the hazard."""
    idle_while: tuple[str, ...] = ()
    """Tanks whose overflow into the tank of the hazard it does not stop: while they overflow it does not hold the level."""

    @property
    def protects(self) -> bool:
        """Whether it counts as protection: control and permissive hold the level, they do not protect."""
        return self.kind in ("alarm", "trip")


class Exposure(Struct, frozen=True):
    """A hazard that a failure or a bypass touches.

    `is_demanded` where the failure itself drives the level towards it. `remains` are the layers that still act,
    `lost` those that no longer do, `weakened` those that still reach a part of what they drive. `consequence` is the
    time from the edge of the normal band to where the hazard begins, at the worst rate.
    """

    hazard: str
    is_demanded: bool
    remains: tuple[Layer, ...]
    lost: tuple[Layer, ...]
    weakened: tuple[Layer, ...]
    consequence: Outcome | None
    unassessed: tuple[Layer, ...] = ()
    """Layers of which it cannot be said whether they still act."""
    spilled: tuple[SpilledTime, ...] = ()
    """`consequence` while another tank overflows into the one of the hazard."""


class Blind(Struct, frozen=True):
    """An interlock that a level of `tank`, going `direction`, no longer brings about. `by` is what still does."""

    interlock: str
    tank: str
    direction: Literal["rising", "falling"]
    by: tuple[str, ...]


class Cut(Struct, frozen=True):
    """An interlock that its cause still brings about, and that no longer moves all of its devices.

    `missed` are (device, state that it should take), `reached` those that it still moves; neither is empty.
    """

    interlock: str
    missed: tuple[tuple[str, str], ...]
    reached: tuple[tuple[str, str], ...]


class Fewer(Struct, frozen=True):
    """A control of which some starts no longer come: `starts` are the points by which its pumps still start, duty first."""

    control: str
    starts: tuple[str, ...]
    without: int
    """How many pumps fewer it starts."""


class Later(Struct, frozen=True):
    """An interlock that acts for nothing once a running signal has been on, or off, for a time, as written."""

    interlock: str
    signal: str
    is_on: bool
    time: str


class FailureEffect(Struct, frozen=True):
    """What one failure of one device does.

    `acts` are interlocks that act for nothing, `lost` those that no longer can, `alarms_lost` alarms that no longer
    can sound. `controls` are (control, what it does); `levels` (tank, "rises" or "falls"). `sees` are the alarms that
    sound at once, in their order of urgency; `shown` says in words what else tells of it. Where both are empty nobody
    is told. `is_standing` where it is recorded as a defect that stands. `blind` says of lost interlocks that something
    else than the level still brings them about. `reduced` are (interlock, cause) that no longer counts, though others
    still bring the interlock about. `later` are interlocks that act after a running time, `sees_later` their alarms.
    `is_unknown` where the definitions do not say what the failure does; `note` says what is missing.
    """

    device: str
    noun: str
    mode: str
    tank: str
    acts: tuple[str, ...] = ()
    lost: tuple[str, ...] = ()
    weakened: tuple[str, ...] = ()
    alarms_lost: tuple[str, ...] = ()
    controls: tuple[tuple[str, str], ...] = ()
    levels: tuple[tuple[str, str], ...] = ()
    sees: tuple[str, ...] = ()
    shown: str = ""
    exposures: tuple[Exposure, ...] = ()
    is_standing: bool = False
    note: str = ""
    blind: tuple[Blind, ...] = ()
    reduced: tuple[tuple[str, str], ...] = ()
    later: tuple[Later, ...] = ()
    sees_later: tuple[str, ...] = ()
    is_unknown: bool = False
    unassessed: tuple[tuple[str, str], ...] = ()
    """Functions of which nothing can be said, each with what is not stated."""
    cut: tuple[Cut, ...] = ()
    fewer: tuple[Fewer, ...] = ()
    """Controls that start their pumps later, and not all of them."""
    met: tuple[str, ...] = ()
    """The first alarm that each level meets which the failure drives towards a hazard, and no control holds back."""

    @property
    def is_hidden(self) -> bool:
        """Whether nothing tells of it, and it takes something away."""
        return not self.sees and not self.sees_later and not self.shown and bool(
            self.lost or self.alarms_lost or self.reduced or self.fewer or (self.weakened and not self.met))


class Drive(Struct, frozen=True):
    """An interlock of another tank whose action makes the level of `tank` go ("rises", "falls") towards a hazard."""

    interlock: str
    tank: str
    goes: str
    hazard: str


class BypassCase(Struct, frozen=True):
    """One bypass, or two that last at the same time: interlocks out of use, and what still stands against each hazard.

    `together` are further interlocks that the same key takes out. `relies_on` is what the substitutes rest on that is
    not itself taken away. `driven` are interlocks of other tanks that still act and drive a level towards one of these
    hazards: the trip of the next tank stops what leaves this one. `reduced` are those of the interlocks that lose one member
    of their vote only: they stay among what remains.
    """

    bypassed: tuple[str, ...]
    together: tuple[str, ...]
    exposures: tuple[Exposure, ...]
    relies_on: tuple[str, ...] = ()
    driven: tuple[Drive, ...] = ()
    reduced: tuple[str, ...] = ()
