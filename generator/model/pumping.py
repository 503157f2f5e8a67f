"""What is worked out for pumps: levels, suction, motors, groups, restarts and cycles. All values SI."""


from msgspec import Struct

from generator.model.record import Outcome, Record


class PumpResult(Struct, frozen=True):
    """What is worked out for one pump.

    `submergence` is the depth needed over its inlet, `lowest_level` the height that gives it.
    """

    tag: str
    submergence: Outcome
    lowest_level: Outcome
    air_time: Outcome
    """From a failed stop to air at the inlet, worst emptying rate."""
    suction_head_level: Outcome | None = None
    """Level that gives the suction head it requires; None where no required head is recorded."""
    run_down_level: Outcome | None = None
    """Lowest level in ordinary running: lower edge of its stop, less what is drawn until it stands."""
    stopped_by: str = ""
    """The point of that stop, from which `air_time` counts too: the lowest of its controls, else of its interlocks; empty
    where it is not settled."""
    inlet_velocity: Outcome | None = None
    head_available: Outcome | None = None
    """Suction head at that level with the hottest liquid (its smallest, where the density does not go by heat); None where
    no required head is recorded."""
    head_available_cold: Outcome | None = None
    """The same with the coldest liquid."""
    head_spare: Outcome | None = None
    """Suction head left over what it requires and its margin, hottest liquid."""
    start_limits: "tuple[StartLimit, ...]" = ()
    """What its motor and each published table allow; they need not agree."""
    least_rest: Outcome | None = None
    """Least time between a stop and the next start: of its motor, else of the plant's table."""
    full_load_current: Outcome | None = None
    worked_current: Outcome | None = None
    """Current worked out from power, voltage, efficiency and power factor, where these are all stated."""
    tabled_current: Outcome | None = None
    """Full-load current of a published table for its power, to check the other by; None where no table has a row."""
    switched_by: "tuple[MotorSwitching, ...]" = ()
    """Contacts and relays that switch its motor."""


class StartLimit(Struct, frozen=True):
    """Starts that one source allows a motor. `rule` is the name of a published rule; empty for the motor's papers."""

    rule: str
    title: str
    allowed: Outcome
    counts: bool
    """Whether this is the limit by which the plant judges the pump."""


class MotorSwitching(Struct, frozen=True):
    """A contact that switches a motor, and whether it may: directly, through a relay, or only through a contactor."""

    by: str
    """The point or the relay whose contact it is; the pump itself for its own starter."""
    limit: Outcome
    """Largest motor current that the contact may switch. [A]"""
    may: bool | None
    why: str


class GroupResult(Struct, frozen=True):
    """What is left of a group with its largest pump out of service, against the largest inflow."""

    tag: str
    tank: str
    capacity: Outcome
    one_out: Outcome
    largest_inflow: Outcome
    spare: Outcome
    """Flow left over; negative where the inflow is larger."""


class RestartStep(Struct, frozen=True):
    """A machine that starts by itself after power returns: when, together with what, and the supply's current then."""

    tag: str
    after: Record
    together: tuple[str, ...]
    current: Outcome
    """Current of the motors that run and start at this moment."""


class Restarts(Struct, frozen=True):
    """What starts by itself on one supply, in the order of time."""

    supply: str
    steps: tuple[RestartStep, ...]
    largest: Outcome
    waits: tuple[str, ...]
    """Machines on the supply that wait for a person."""
    unknown: tuple[str, ...]
    """Machines for which nobody says what they do."""


class PumpStarts(Struct, frozen=True):
    """Most starts of one pump of a control, over every cycle in which it takes part, whatever the flow against it.

    `running` is how many pumps run in the cycle that is worst for it, nothing where there is none.
    """

    pump: str
    starts: Outcome
    allowed: Outcome
    leads: bool
    """Whether the first start can start it."""
    joining: Outcome | None
    """Its starts by a further start, in the cycles of more than one pump and in those in which a pump before it is out; None
    where it has none."""
    running: int
    worst_inflow: Outcome
    shortest_cycle: Outcome
    out: str = ""
    """The pump that is out of service in that cycle and leaves its start without one; empty where none is."""


class CyclingResult(Struct, frozen=True):
    """Starts of the pump or group that a control runs.

    `effective_volume` is that between the edges, not the nominal heights; it, `shortest_cycle` and `worst_inflow` are those of
    the cycle with the pumps up to this one, `starts` are the most of this pump over all cycles in which it takes part.
    """

    control: str
    pump: str
    effective_volume: Outcome
    shortest_cycle: Outcome
    starts: Outcome
    worst_inflow: Outcome
    allowed: Outcome
    alternation_counts: bool
    starts_alternating: Outcome | None = None
    """Starts of each pump while all of them take turns, over every cycle; None where they do not."""
    shortest_off: Outcome | None = None
    """Time at rest between a stop and the next start at the largest inflow."""
    stages: "tuple[CyclingResult, ...]" = ()
    """The pumps that join at further starts, each at the inflow that makes the whole group start most often."""
    at_any_inflow: Outcome | None = None
    """Shortest cycle if the flow against it could be any: four times the volume over the pump's flow."""
    alternation: tuple[tuple[str, bool], ...] = ()
    """What must hold before alternation counts, in words, and whether it does; empty where nothing takes turns."""
    each: tuple[PumpStarts, ...] = ()
    """Every pump that the control runs, in the order of starting."""
