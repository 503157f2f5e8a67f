"""The plant, the document and what surrounds the tanks: areas, hazards, panels, tests, waivers, holds."""

from typing import Annotated, Literal

from pydantic import Field

from generator.model.defaults import Defaults
from generator.model.definition import Definition
from generator.model.machine import Load
from generator.model.quantity import AbsolutePressure, Current, Duration, Voltage
from generator.model.scalar import Count, Day, Prose, Tag, Text, To, YesNo

Status = Literal["draft", "for review", "for construction", "as built"]


class Document(Definition):
    """What stands on the cover."""

    number: Text
    """Document number."""
    title: Prose = Prose("Level-control philosophy")
    """Title."""
    status: Status
    """What the document may be used for."""
    as_of: Day
    """The day against which tests, waivers and holds are judged."""
    prepared: Text | None = None
    """Who prepared it, as a role."""
    checked: Text | None = None
    """Who checked it, as a role."""
    approved: Text | None = None
    """Who approved it, as a role; left out while open."""


class RuleInForce(Definition):
    """A published rule that the plant adopts."""

    where: Prose | None = None
    """Where it applies; everywhere where left out."""
    analogy: YesNo = False
    """Whether it is used outside its own scope, as an analogy."""
    because: Prose | None = None
    """Why it is adopted."""


class OutputsOnStop(Definition):
    """What the outputs of a place of logic do when it stops: `drop` leaves what they drive without its drive."""

    controller: Literal["drop", "hold"] | None = None
    """Outputs of the controller."""
    safety_system: Literal["drop", "hold"] | None = None
    """Outputs of the safety system."""


class Plant(Definition):
    """The plant and its document."""

    name: Prose
    """Name of the plant."""
    about: Prose | None = None
    """What it does, in one sentence."""
    document: Document
    """What stands on the cover."""
    datum: Prose = Prose("plant datum")
    """What elevations are counted from."""
    rules_in_force: dict[Annotated[Tag, To("rules")], RuleInForce] = {}
    """Published rules that the plant adopts."""
    atmosphere: AbsolutePressure | None = None
    """Lowest air pressure on site."""
    not_covered: tuple[Prose, ...] = ()
    """What this document leaves to others."""
    touch_voltage: Voltage | None = None
    """Voltage above which the site treats live parts as deadly."""
    starts_rule: Annotated[Tag, To("rules")] | None = None
    """Published table from which limits of pump starts are taken where a motor states none."""
    budget_share: Count | None = None
    """Most of the available time that a trip may use, in percent of that time."""
    outputs_on_stop: OutputsOnStop = OutputsOnStop()
    """What outputs do when their logic stops: they drop, or hold what they did last."""
    defaults: Defaults = Defaults()
    """Shared facts for the whole plant."""
    show_source: YesNo = True
    """Whether the site shows the definitions themselves."""
    show_language: YesNo = False
    """Whether the site carries the reference of the definitions language."""


class Area(Definition):
    """A part of the plant."""

    name: Prose
    """Name."""
    drawings: tuple[Annotated[Tag, To("references")], ...] = ()
    """Drawings."""
    defaults: Defaults = Defaults()
    """Shared facts for the area."""


class Hazard(Definition):
    """What can go wrong with a level, and whom it harms."""

    what: Prose
    """What happens."""
    harms: Literal["people", "environment", "equipment", "production"]
    """Whom or what it harms most.

    A rule that weighs "by consequence" then makes an error of a failure (people, environment), a warning (equipment) or a
    note (production).
    """
    begins_at: Text
    """Where it begins: a tank and one of its levels, as in `T-210 overflow`."""
    safe_state: Prose
    """What must be reached: inflow stopped, outflow running."""
    study: Annotated[Tag, To("references")] | None = None
    """The hazard study."""
    node: Text | None = None
    """Node or line of the study."""
    without_protection: Prose | None = None
    """Why nothing protects from it, where nothing does."""


class Supply(Definition):
    """Something that powers devices: electricity, air, a battery."""

    kind: Literal["mains", "uninterruptible", "battery", "instrument air", "control voltage"]
    """What it is."""
    voltage: Voltage | None = None
    """Voltage."""
    fed_from: Annotated[Tag, To("supplies")] | None = None
    """What feeds it."""
    lasts: Duration | None = None
    """How long it lasts when its feed is lost."""
    carries: Current | None = None
    """Largest current that it gives to motors while they start."""
    loss_shown_by: Annotated[Tag, To("signals", "alarms")] | None = None
    """What tells that it is lost."""


class Panel(Definition):
    """A panel, cabinet or motor control centre."""

    area: Annotated[Tag, To("areas")]
    """The area it stands in."""
    where: Prose
    """Where it stands."""
    supplies: tuple[Annotated[Tag, To("supplies")], ...] = ()
    """Everything that is live inside it."""
    sees: tuple[Annotated[Tag, To("tanks")], ...] = ()
    """Tanks that can be seen from it."""
    battery: YesNo = False
    """Whether a battery stands in it."""
    input: Load | None = None
    """What one input of the logic in it draws from a contact."""


class Attendance(Definition):
    """A place where people are, and when."""

    name: Prose
    """Name of the place."""
    present: Prose
    """When somebody is there."""
    always: YesNo
    """Whether somebody is there at all times."""


class Test(Definition):
    """A proof test."""

    covers: tuple[Annotated[Tag, To("switches", "alarms", "interlocks", "valves", "pumps", "equipment")], ...] = Field(
        min_length=1)
    """What it proves."""
    method: Literal["wetted", "simulated", "signal injected", "inspection"]
    """How."""
    simulated: tuple[Annotated[Tag, To("switches")], ...] = ()
    """Points that are moved by hand in a test that is otherwise wetted: their heights and bodies stay unproved."""
    steps: Prose
    """What is done."""
    passes: Prose
    """What must be seen."""
    interval: Duration | None = None
    """Time between two tests; inherited where left out."""
    last: Day | None = None
    """Last day it was done; left out where it never was."""
    restores: Prose | None = None
    """What must be put back afterwards."""
    by: Text | None = None
    """Who does it, as a role."""


class Reference(Definition):
    """A drawing, a datasheet, a study, a standard."""

    title: Prose
    """Title."""
    revision: Text | None = None
    """Revision that this document was written against."""
    latest: Text | None = None
    """Latest revision known."""
    kind: Literal["drawing", "datasheet", "study", "standard", "certificate", "procedure", "alarm philosophy", "other"] = "other"
    """What it is."""


class Revision(Definition):
    """One issue of the document."""

    revision: Text
    """Its letter or number."""
    on: Day
    """The day."""
    status: Status
    """What it was issued for."""
    why: Prose
    """What changed and why."""
    change_order: Text | None = None
    """Number of the change request."""


class Waiver(Definition):
    """A finding that somebody decided to live with, for a time, with an answer."""

    rule: Text
    """Number of the rule, in quotes."""
    on: Text
    """Subject of the finding: the tags as the finding names them."""
    accepts: Text
    """What is accepted: the words that the finding shows after "to waive, accept"."""
    because: Prose
    """Why."""
    instead: Prose | None = None
    """What is done instead; an error needs one."""
    by: Text
    """Who decided, as a role."""
    second: Text | None = None
    """Second role; an error needs one."""
    until: Day
    """Last day it holds."""


class Hold(Definition):
    """Something that is not settled yet."""

    what: Prose
    """What is open."""
    about: tuple[Text, ...] = ()
    """Tags it touches."""
    owner: Text
    """Who settles it, as a role."""
    due: Day
    """By when."""
    closed: Day | None = None
    """The day it was settled."""


class ScenarioEvent(Definition):
    """Something that happens in a scenario."""

    at: Duration
    """When, from its start."""
    what: Prose
    """What happens, in words."""
    fails: Text | None = None
    """A tag that fails from now on; a supply or panel takes with it what hangs on it, a relay drops out and is to its functions
    the open contact of what works it."""
    returns: Text | None = None
    """A tag that failed before and works again."""
    bypasses: tuple[Annotated[Tag, To("interlocks")], ...] = ()
    """Interlocks that are bypassed from now on."""
    restores: tuple[Annotated[Tag, To("interlocks")], ...] = ()
    """Interlocks whose bypass is over."""
    mode: Annotated[Tag, To("modes")] | None = None
    """The mode that is chosen: interlocks, controls and alarms that are not live in it are silent."""
    resets: tuple[Annotated[Tag, To("interlocks")], ...] = ()
    """Interlocks that somebody resets now."""
    streams: dict[Annotated[Tag, To("streams")], Text] = {}
    """Flows from now on: lowest, normal, highest, none, or a flow."""


class Scenario(Definition):
    """A course of events to run the logic through."""

    name: Prose
    """Name in words."""
    tank: Annotated[Tag, To("tanks")]
    """The tank to watch."""
    starts_at: Text
    """Level at the start: a height or the name of a level."""
    beside: dict[Annotated[Tag, To("tanks")], Text] = {}
    """Further tanks whose levels move with it, each with its level at the start; the others stand at normal."""
    events: tuple[ScenarioEvent, ...] = Field(min_length=1)
    """What happens."""
    lasts: Duration
    """How long to watch."""
