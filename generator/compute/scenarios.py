"""Courses of events: a set that every tank gets, and those that the definitions ask for."""

from collections.abc import Iterator, Mapping

from generator.compute import scenario_scripts as scripts
from generator.compute.book import Book
from generator.compute.course_basins import Basin
from generator.compute.course_links import gaps
from generator.compute.courses import Run
from generator.compute.limits import level_named
from generator.model.course import Beside, Course
from generator.model.document import Scenario
from generator.model.plant import Definitions
from generator.model.quantity import Length
from generator.model.record import Input, Outcome
from generator.model.results import ContactResult, SetpointResult, TankResult
from generator.model.scalar import Tag

EQUATION = r"t_{k+1} = t_k + \frac{V(h_{k+1}) - V(h_k)}{Q_k}"
LONGEST = 24 * 3600.0
"""A course of the set is watched no longer than this. [s]"""
LONGEST_BESIDE = 2 * 3600.0
"""A course of the set with two tanks is watched no longer than this. [s]"""


def results(
    plant: Definitions, tanks: Mapping[str, TankResult], setpoints: Mapping[str, SetpointResult],
    contacts: Mapping[str, ContactResult],
) -> dict[str, tuple[Course, ...]]:
    """Every course of every tank: those of the set first, then those asked for, as written. Each holds its record."""
    book = Book()
    made: dict[str, list[Course]] = {tag: [] for tag in tanks}
    for tag, result in tanks.items():
        for script in (*scripts.of_tank(plant, tag), *scripts.of_neighbours(plant, tag)):
            key = f"{tag}/{script.key}"
            made[tag].append(_course(plant, tanks, result, setpoints, contacts, book, key, script, None))
    for name, scenario in plant.scenarios.items():
        script = scripts.of_scenario(plant, scenario)
        made[scenario.tank].append(
            _course(plant, tanks, tanks[scenario.tank], setpoints, contacts, book, str(name), script, scenario))
    return {tag: tuple(courses) for tag, courses in made.items()}


def _course(
    plant: Definitions, tanks: Mapping[str, TankResult], result: TankResult, setpoints: Mapping[str, SetpointResult],
    contacts: Mapping[str, ContactResult], book: Book, key: str, script: scripts.Script, scenario: Scenario | None,
) -> Course:
    tank = result.tag
    record_key, name = f"#{tank}/courses/{key.rpartition('/')[2]}", f"Course of {tank}: {script.name}"
    open_links = tuple(gap for event in (scenario.events if scenario else ()) if event.fails in plant.links
                       for gap in gaps(plant, Tag(event.fails or "")))
    if open_links:
        absence = book.absence(record_key, name, "what a link does when it is lost is not stated", open_links)
        return Course(key, tank, script.name, script.says, scenario is None, absence)
    basins: list[Basin] = []
    says = script.says if scenario else f"{script.says} {scripts.FIRST}"
    for moving, starts_at in ((tank, script.starts_at), *script.beside):
        one = tanks[moving]
        level, missing = _start(one, starts_at, scenario)
        if one.vessel is None or level is None:
            whose = "the tank's shape" if moving == tank else f"the shape of {moving}"
            why = f"{whose} does not give a volume" if one.vessel is None else "the level at its start is not known"
            absence = book.absence(record_key, name, why, (f"tanks/{moving}/shape",) if one.vessel is None else missing)
            return Course(key, tank, script.name, says, scenario is None, absence)
        basins.append(Basin(plant, one, one.vessel, level))
    flows = scripts.ordinary_flows(plant, tuple(basin.tag for basin in basins))
    run, level = Run(plant, tuple(basins), setpoints, contacts, flows), basins[0].level
    lasts = scenario.lasts.si if scenario else LONGEST_BESIDE if script.beside else LONGEST
    because = run.until(lasts, script.events, stops_when_steady=scenario is None)
    outcome = _record(book, record_key, name, run, level)
    faults = tuple(tag for given in script.events for tag in given.tags)
    return Course(
        key, tank, script.name, says, scenario is None, outcome, tuple(_assumptions(plant, run)),
        tuple(_thinned(run.main.points)), tuple(run.main.stretches), tuple(run.log.events), run.main.points[-1][0], because,
        faults, run.stood, tuple(Beside(one.tag, tuple(_thinned(one.points)), tuple(one.stretches)) for one in basins[1:]),
    )


def _start(
    result: TankResult, name: str, scenario: Scenario | None,
) -> tuple[float | None, tuple[str, ...]]:
    level = level_named(result, name)
    if level is not None:
        return level.height, ()
    if scenario is None:
        return None, (f"tanks/{result.tag}/levels/{name}",)
    try:
        return Length.read(name).si, ()
    except ValueError:
        return None, (f"scenarios/{scenario.name}/starts_at",)


def _record(book: Book, key: str, name: str, run: Run, level: float) -> Outcome:
    ends = run.main.points[-1]
    inputs = [Input("h_0", "level at the start", level, "length", "as the course begins"),
              Input("V_0", "volume at the start", run.main.vessel.volume_at(level), "volume", f"#{run.main.tag}/capacity"),
              Input("h_{end}", "level at the end", ends[1], "length", "as the course ends")]
    return book.record(key, name, ends[0], "time", EQUATION, inputs,
                       validity="flows are constant between two events; a stroke is a step at its end",
                       note=f"from event k to the next, row by row of the event list: {len(run.log.events)} events, "
                            f"{len(run.main.stretches)} stretches of constant flow")


def _assumptions(plant: Definitions, run: Run) -> Iterator[str]:
    yield "Points act at the heights that stand; the earliest and the latest action belong to the time budgets."
    others = "tanks other than " + " and ".join(run.tanks) if len(run.tanks) > 1 else "other tanks"
    told = "anything but as told" if run.is_handled else "anything"
    yield f"Nobody resets, pushes or bypasses {told}; {others} stand in the middle of their normal bands."
    if run.is_moded:
        yield ("The mode silences what states `live_in` without it; a control that it silences leaves what it moves as last "
               "ordered, and goes on from there afterwards. Everything else goes on as in AUTO.")
    yield "A valve's stroke, a pump's start and its run-down count as a step at their end."
    yield ("Links, logic (two scans where no time is stated) and output relays take their times as in the time budgets, to act "
           "and to let go; what is not recorded counts as none.")
    if run.flows.loops:
        yield "A loop takes what holds the level inside the normal band, as far as its stream can."
    for tag, *locks in sorted(run.logic.undecided):
        yield (f"{' and '.join(locks)} want {tag} in different states and no order between them is stated; "
               "the one that stops it was taken.")
    for control, link in sorted(run.blind):
        yield (f"While {link} is lost {control} has no good signal; what it does then is not stated, and it keeps what it saw "
               "last.")
    lacking = [str(tag) for tag in run.machines.moving if tag in plant.valves
               and plant.valves[Tag(tag)].closing_time is None and plant.valves[Tag(tag)].kind == "on-off"]
    if lacking:
        yield f"The stroke of {', '.join(lacking)} is not recorded and counts as none."


def _thinned(points: list[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """The curve without points that say the same twice."""
    before: tuple[float, float] | None = None
    for time, level in points:
        if before is None or (time, level) != before:
            yield time, level
        before = (time, level)


