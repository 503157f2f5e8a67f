"""What happens in a course: the scripts of the set that every tank gets, and of those that the definitions ask for."""

from collections.abc import Iterator

from msgspec import Struct

from generator.compute import scenario_handling as handling
from generator.compute.course_machines import STOPS, relevant, rest_states
from generator.compute.courses import Given, Run
from generator.compute.liquid_effects import LiquidEffects
from generator.compute.rates import most_together
from generator.model.document import Scenario
from generator.model.interlock import StartStop
from generator.model.plant import Definitions
from generator.model.quantity import Flow
from generator.model.scalar import Tag

BEGINS = 60.0
"""The set lets the tank run as it does for so long before anything happens. [s]"""
FIRST = "One minute of ordinary flow comes first."
"""What is said of that."""
POWER_BACK = 600.0
"""Power stays away so long in the set. [s]"""


class Script(Struct, frozen=True):
    """One course before it is worked out."""

    key: str
    name: str
    says: str
    starts_at: str
    events: tuple[Given, ...]
    beside: tuple[tuple[str, str], ...] = ()
    """Further tanks whose levels move with it, each with its level at the start."""


def of_tank(plant: Definitions, tank: str) -> Iterator[Script]:
    """The set: filling with a failed control, drawing without inflow, the largest pump out, power off and back."""
    into, out_of = _streams(plant, plant.inflows_of[tank]), _streams(plant, plant.outflows_of[tank])
    if into:
        yield Script("filling", "Control failed while filling", "Every inflow at its highest, nothing drawn but what "
                     "pumps take, and the control does not answer.", "normal_high",
                     (*_peak(plant, tank, into), *_none(plant, tank, out_of), *_failed_controls(plant, tank)))
    if out_of:
        drawn = [_flow_event(plant, tag, plant.streams[tag].flow.highest.si, "at its highest")
                 for tag in out_of if not _is_driven(plant, tank, tag)]
        yield Script("drawing", "No inflow while drawing", "Every inflow has ceased, what is drawn goes on.",
                     "normal_high", (*_none(plant, tank, into), *drawn))
    largest = _largest_pump(plant, tank)
    if largest is not None and into:
        yield Script("pump-out", "Largest pump out at peak inflow", "The largest pump does not run, every inflow is at "
                     "its highest.", "normal_low",
                     (Given(0.0, f"{largest} is out of order", (str(largest),), handling.fault(largest, "out")),
                      *_peak(plant, tank, into)))
    if _is_powered(plant, tank):
        yield Script("power", "Power off and back", "Every mains supply fails and comes back; what hangs on it goes "
                     "with it, batteries last as long as they do.", "normal_high", tuple(_power(plant)))


def of_neighbours(plant: Definitions, tank: str) -> Iterator[Script]:
    """Courses of two tanks: the trip of a tank that this one feeds stops what leaves here, while this one goes on filling."""
    into = _streams(plant, plant.inflows_of[tank])
    liquid = LiquidEffects(plant)
    fed = dict.fromkeys(str(plant.streams[tag].into) for tag in _streams(plant, plant.outflows_of[tank])
                        if plant.streams[tag].into in plant.tanks)
    for below in fed if into else ():
        stopping = [tag for tag in plant.interlocks_of_tank[below] if plant.interlocks[tag].kind != "permissive" and any(
            state in STOPS and liquid.change(target, state, tank) > 0 and liquid.change(target, state, below) < 0
            for target, state in plant.interlocks[tag].then.items())]
        if not stopping:
            continue
        shared = {tag for tag in plant.inflows_of[below] if plant.streams[tag].from_ == tank}
        drawn = [tag for tag in plant.outflows_of[below] if not _is_driven(plant, below, tag)]
        says = (f"{below} is filled until its trip stops what comes from {tank}: its control does not answer, nothing is drawn "
                f"from it but what its pumps take, and every inflow of {tank} is at its highest.")
        yield Script(
            f"trip-of-{below.lower()}", f"{below} trips while {tank} fills", says, "normal_high",
            (*_peak(plant, tank, into), *_peak(plant, below, tuple(shared & set(_streams(plant, plant.inflows_of[below])))),
             *(_flow_event(plant, tag, 0.0, "none") for tag in drawn if tag in _streams(plant, plant.outflows_of[below])),
             *_failed_controls(plant, below)),
            ((below, "normal_high"),))


def of_scenario(plant: Definitions, scenario: Scenario) -> Script:
    """A course that the definitions ask for."""
    events: list[Given] = []
    for event in scenario.events:
        events.append(Given(event.at.si, str(event.what), (), lambda _run: None))
        for tag, flow in event.streams.items():
            events.append(_flow_event(plant, tag, _flow(plant, tag, str(flow)), str(flow), event.at.si))
        events += handling.of_event(plant, event)
    beside = tuple((str(tag), str(level)) for tag, level in scenario.beside.items())
    happens = handling.noticed_only(plant, tuple(events))
    return Script(str(scenario.name), str(scenario.name), "", str(scenario.starts_at), happens, beside)


def ordinary_flows(plant: Definitions, tanks: tuple[str, ...]) -> dict[Tag, float | None]:
    """What each stream of the tanks carries in ordinary running; None leaves it to the machines and its ordinary flow."""
    streams = _streams(plant, tuple(dict.fromkeys(
        tag for tank in tanks for tag in (*plant.inflows_of[tank], *plant.outflows_of[tank]))))
    normal = {tag for case in plant.cases.values() if case.normal for tag in case.streams}
    rest = rest_states(plant, relevant(plant, tanks), tanks)
    if not normal & set(streams):
        return dict.fromkeys(streams)
    made: dict[Tag, float | None] = {}
    for tag in streams:
        is_shut = any(rest.get(valve) == "closed" for valve in plant.streams[tag].through)
        is_called = tag in normal or is_shut or any(_is_driven(plant, tank, tag) for tank in tanks)
        made[tag] = None if is_called else 0.0
    return made


# ---- parts of a script -------------------------------------------------------------------------------------------


def _streams(plant: Definitions, tags: tuple[Tag, ...]) -> tuple[Tag, ...]:
    return tuple(tag for tag in tags
                 if not plant.streams[tag].by_overflow and plant.streams[tag].from_ != plant.streams[tag].into)


def _failed_controls(plant: Definitions, tank: str) -> Iterator[Given]:
    """Every control of a tank fails so that the level rises."""
    for tag in plant.controls_of_tank[tank]:
        yield Given(BEGINS, f"{tag} fails: it no longer stops the filling", (str(tag),),
                    handling.fault(tag, "on" if _fills(plant, tag) else "off"))


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


def _flow_event(plant: Definitions, tag: Tag, flow: float, words: str, time: float = BEGINS) -> Given:
    def does(run: Run) -> None:
        if tag in run.stated:
            run.stated[tag] = flow
            run.flows.tails.pop(tag, None)

    return Given(time, f"{plant.streams[tag].name}: {words}", (str(tag),), does)


def _peak(plant: Definitions, tank: str, into: tuple[Tag, ...]) -> Iterator[Given]:
    """Every inflow that can run with the others at its highest, one that cannot at none; what a control moves is left to it."""
    together = most_together(plant, into, lambda tag: plant.streams[tag].flow.highest.si)
    for tag in into:
        if tag in together and not _is_driven(plant, tank, tag):
            yield _flow_event(plant, tag, plant.streams[tag].flow.highest.si, "at its highest")
        elif tag not in together and not _is_driven(plant, tank, tag):
            yield _flow_event(plant, tag, 0.0, "none, since it never runs with the others")


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
    return any(_feeder(plant, getattr(plant.find(tag), "supply", None)) in mains for tag in relevant(plant, (tank,)))


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
            yield from (one for one in handling.failing(plant, tag, BEGINS) if one.time < back)

    def does(run: Run) -> None:
        run.causes.lost.clear()
        run.forget()
        run.machines.power_back(run.now)

    yield Given(back, "power is back", (), does)


def _flow(plant: Definitions, stream: Tag, word: str) -> float:
    flow = plant.streams[stream].flow
    if word == "none":
        return 0.0
    if word in ("lowest", "normal", "highest"):
        stated = getattr(flow, word)
        return float((stated or flow.normal or flow.highest).si)
    return Flow.read(word).si
