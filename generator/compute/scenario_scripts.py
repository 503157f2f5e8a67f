"""What happens in a course: the scripts of the set that every tank gets, and of those that the definitions ask for."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from generator.compute.course_machines import relevant, rest_states
from generator.compute.courses import Given, Run
from generator.compute.rates import most_together
from generator.model.document import Scenario
from generator.model.interlock import StartStop
from generator.model.plant import Definitions
from generator.model.quantity import Flow
from generator.model.scalar import Tag

BEGINS = 60.0
"""The set lets the tank run as it does for so long before anything happens. [s]"""
POWER_BACK = 600.0
"""Power stays away so long in the set. [s]"""


@dataclass(frozen=True)
class Script:
    """One course before it is worked out."""

    key: str
    name: str
    says: str
    starts_at: str
    events: tuple[Given, ...]


def of_tank(plant: Definitions, tank: str) -> Iterator[Script]:
    """The set: filling with a failed control, drawing without inflow, the largest pump out, power off and back."""
    into, out_of = _streams(plant, plant.inflows_of[tank]), _streams(plant, plant.outflows_of[tank])
    controls = plant.controls_of_tank[tank]
    if into:
        failed = [Given(BEGINS, f"{tag} fails: it no longer stops the filling", (str(tag),),
                        _fault(tag, "on" if _fills(plant, tag) else "off")) for tag in controls]
        yield Script("filling", "Control failed while filling", "Every inflow at its highest, nothing drawn but what "
                     "pumps take, and the control does not answer.", "normal_high",
                     (*_peak(plant, tank, into), *_none(plant, tank, out_of), *failed))
    if out_of:
        drawn = [_flow_event(plant, tag, plant.streams[tag].flow.highest.si, "at its highest")
                 for tag in out_of if not _is_driven(plant, tank, tag)]
        yield Script("drawing", "No inflow while drawing", "Every inflow has ceased, what is drawn goes on.",
                     "normal_high", (*_none(plant, tank, into), *drawn))
    largest = _largest_pump(plant, tank)
    if largest is not None and into:
        yield Script("pump-out", "Largest pump out at peak inflow", "The largest pump does not run, every inflow is at "
                     "its highest.", "normal_low",
                     (Given(0.0, f"{largest} is out of order", (str(largest),), _fault(largest, "out")),
                      *_peak(plant, tank, into)))
    if _is_powered(plant, tank):
        yield Script("power", "Power off and back", "Every mains supply fails and comes back; what hangs on it goes "
                     "with it, batteries last as long as they do.", "normal_high", tuple(_power(plant)))


def of_scenario(plant: Definitions, scenario: Scenario) -> Script:
    """A course that the definitions ask for."""
    events: list[Given] = []
    for event in scenario.events:
        events.append(Given(event.at.si, str(event.what), (), lambda _run: None))
        for tag, flow in event.streams.items():
            events.append(_flow_event(plant, tag, _flow(plant, tag, str(flow)), str(flow), event.at.si))
        if event.fails:
            events += _failing(plant, Tag(event.fails), event.at.si)
    return Script(str(scenario.name), str(scenario.name), "", str(scenario.starts_at), tuple(events))


def ordinary_flows(plant: Definitions, tank: str) -> dict[Tag, float | None]:
    """What each stream of a tank carries in ordinary running; None leaves it to the machines and its ordinary flow."""
    streams = _streams(plant, (*plant.inflows_of[tank], *plant.outflows_of[tank]))
    normal = {tag for case in plant.cases.values() if case.normal for tag in case.streams}
    rest = rest_states(plant, relevant(plant, tank), tank)
    if not normal & set(streams):
        return dict.fromkeys(streams)
    made: dict[Tag, float | None] = {}
    for tag in streams:
        is_shut = any(rest.get(valve) == "closed" for valve in plant.streams[tag].through)
        is_called = tag in normal or is_shut or _is_driven(plant, tank, tag)
        made[tag] = None if is_called else 0.0
    return made


# ---- parts of a script -------------------------------------------------------------------------------------------


def _streams(plant: Definitions, tags: tuple[Tag, ...]) -> tuple[Tag, ...]:
    return tuple(tag for tag in tags
                 if not plant.streams[tag].by_overflow and plant.streams[tag].from_ != plant.streams[tag].into)


def _is_driven(plant: Definitions, tank: str, stream: Tag) -> bool:
    """Whether a control of the tank moves a stream."""
    return any(stream in plant.streams_of[plant.controls[tag].moves] for tag in plant.controls_of_tank[tank])


def _fills(plant: Definitions, tag: Tag) -> bool:
    """Whether a control fills its tank."""
    control = plant.controls[tag]
    if isinstance(control, StartStop):
        start = plant.switches.get(control.starts[0])
        return start is not None and start.acts == "falling"
    return control.rising_level == "shuts"


def _fault(tag: str, how: str) -> Callable[[Run], None]:
    def does(run: Run) -> None:
        run.causes.faults[str(tag)] = how

    return does


def _flow_event(plant: Definitions, tag: Tag, flow: float, words: str, time: float = BEGINS) -> Given:
    def does(run: Run) -> None:
        if tag in run.stated:
            run.stated[tag] = flow
            run.flows.tails.pop(tag, None)

    return Given(time, f"{plant.streams[tag].name}: {words}", (str(tag),), does)


def _peak(plant: Definitions, tank: str, into: tuple[Tag, ...]) -> Iterator[Given]:
    """Every inflow that can run with the others at its highest; one that a control of the tank moves is left to it."""
    together = most_together(plant, into, lambda tag: plant.streams[tag].flow.highest.si)
    for tag in into:
        if tag in together and not _is_driven(plant, tank, tag):
            yield _flow_event(plant, tag, plant.streams[tag].flow.highest.si, "at its highest")


def _none(plant: Definitions, tank: str, streams: tuple[Tag, ...]) -> Iterator[Given]:
    for tag in streams:
        if not _is_driven(plant, tank, tag) or tag in plant.inflows_of[tank]:
            yield _flow_event(plant, tag, 0.0, "none")


def _largest_pump(plant: Definitions, tank: str) -> Tag | None:
    """The largest pump that a control of the tank starts to draw it down."""
    pumps = {pump for tag in plant.controls_of_tank[tank] for pump in (
        plant.members_of(plant.controls[tag].moves) or (plant.controls[tag].moves,))
        if pump in plant.pumps and plant.pumps[pump].suction.tank == tank}
    return max((pump for pump in plant.pumps_of[tank] if pump in pumps),
               key=lambda pump: plant.pumps[pump].flow.si, default=None)


def _is_powered(plant: Definitions, tank: str) -> bool:
    mains = {tag for tag, supply in plant.supplies.items() if supply.kind == "mains"}
    return any(_feeder(plant, getattr(plant.find(tag), "supply", None)) in mains for tag in relevant(plant, tank))


def _feeder(plant: Definitions, supply: Tag | None) -> Tag | None:
    """The supply at the head of a chain."""
    passed: set[Tag] = set()
    while supply is not None and supply not in passed and plant.supplies[supply].fed_from is not None:
        passed.add(supply)
        supply = plant.supplies[supply].fed_from
    return supply


def _power(plant: Definitions) -> Iterator[Given]:
    back = BEGINS + POWER_BACK
    for tag, supply in plant.supplies.items():
        if supply.kind == "mains" and supply.fed_from is None:
            yield from (one for one in _failing(plant, tag, BEGINS) if one.time < back)

    def does(run: Run) -> None:
        run.causes.lost.clear()
        run.causes.forget(run.level)
        run.logic.forget()
        run.machines.power_back(run.now)

    yield Given(back, "power is back", (), does)


def _failing(plant: Definitions, tag: Tag, time: float) -> Iterator[Given]:
    """Something that fails, and everything that hangs on it when it is a supply."""
    noun = plant.noun_of.get(tag, "")
    if noun != "supplies":
        how = {"pumps": "out", "signals": "acted"}.get(noun, "stays")
        yield Given(time, f"{tag} {'is out of order' if how == 'out' else 'stays as it is' if how == 'stays' else 'is on'}",
                    (str(tag),), _fault(tag, how))
        return
    lost: dict[Tag, float] = {tag: time}
    for _ in plant.supplies:
        for child, supply in plant.supplies.items():
            if child not in lost and supply.fed_from in lost:
                lost[child] = lost[supply.fed_from] + (supply.lasts.si if supply.lasts else 0.0)
    for supply_tag, when in lost.items():
        yield Given(when, f"{supply_tag} is lost", (str(supply_tag),), _loss(supply_tag))


def _loss(tag: str) -> Callable[[Run], None]:
    def does(run: Run) -> None:
        run.causes.lost.add(str(tag))

    return does


def _flow(plant: Definitions, stream: Tag, word: str) -> float:
    flow = plant.streams[stream].flow
    if word == "none":
        return 0.0
    if word in ("lowest", "normal", "highest"):
        stated = getattr(flow, word)
        return float((stated or flow.normal or flow.highest).si)
    return Flow.read(word).si
