"""Definitions in, results out: every value with its working, or its absence with the reason."""

from functools import partial
from itertools import chain

from msgspec.structs import replace

from generator.compute import (
    actuation,
    alarms,
    bypasses,
    cautions,
    contacts,
    course_sources,
    cycling,
    explorer,
    failures,
    gravity,
    headroom,
    level_budgets,
    levels,
    lines,
    loads,
    logic_times,
    proof_limits,
    proofs,
    pump_groups,
    pumps,
    restarts,
    room,
    scenarios,
    setpoints,
    suitability,
    tanks,
    transmitters,
    trips,
    values,
)
from generator.compute.book import Book
from generator.compute.concerns import concerns
from generator.compute.dependencies import dependencies
from generator.compute.layers import Layers
from generator.meanwhile import meanwhile
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.results import Results

MANY = 6
"""From so many tanks on it is worth a second process to follow their courses of events while the rest is worked out."""


def results(plant: Definitions, knowledge: Knowledge) -> Results:
    """Everything worked out for one plant. A fault of the definitions never raises: an absence says what is missing."""
    book = Book()
    vessels = {str(tag): tanks.base(plant, tag, book) for tag in plant.tanks}
    vessels = {tag: replace(tank, concerns=concerns(plant, knowledge, tank, book)) for tag, tank in vessels.items()}
    points, circles = setpoints.results(plant, knowledge, vessels, book)
    machines = pumps.results(plant, knowledge, vessels, points, book)
    made = levels.complete(plant, vessels, points, book)
    wiring = contacts.results(plant, knowledge, made, points, book)
    follow = partial(scenarios.results, plant, made, points, wiring)
    courses_made = meanwhile(follow) if len(made) >= MANY else follow
    acting, fittings = actuation.results(plant, knowledge, points, book)
    fits, suited = suitability.results(plant, knowledge, made)
    budgets = trips.results(plant, knowledge, made, points, book)
    times = alarms.results(plant, knowledge, made, points, book)
    steps = level_budgets.results(plant, made, points, budgets, book)
    layers = Layers(plant, made, budgets, times, book)
    failing, planned = failures.results(plant, layers, wiring), bypasses.results(plant, layers)
    whole = Results(
        tanks=made,
        setpoints=points,
        pumps=machines,
        cycling=cycling.results(plant, knowledge, made, points, book),
        trips=budgets,
        alarms=times,
        contacts=wiring,
        cautions=cautions.results(plant, knowledge, made, points, book, wiring, layers.by_hazard),
        records=book.outcomes,
        values=values.named(plant, made, points),
        circles=circles,
        proofs=proofs.results(plant, made, points, layers, failing, planned),
        layers=layers.by_hazard,
        failures=failing,
        bypasses=planned,
        loads=loads.results(plant, book),
        lines=lines.results(plant, book),
        crossings=plant.crossings,
        groups=pump_groups.results(plant, book),
        restarts=restarts.results(plant, machines, book),
        actuations=acting,
        fittings=fittings,
        suitability=fits,
        suited=suited,
        acting_times={str(tag): logic_times.acting(plant, tag)[0] for tag in plant.interlocks},
        level_budgets=steps,
        headrooms=headroom.results(plant, knowledge, made, points, budgets, times, steps, book),
        rooms=room.results(plant, made, points, machines, book),
        transmitters=transmitters.results(plant, book),
        test_limits=proof_limits.results(plant, budgets, book),
        gravity_flows=gravity.results(plant, made, book),
        explorers=explorer.results(plant, made, points, wiring),
    )
    courses = courses_made()
    book.outcomes |= {course.outcome.key: course.outcome for course in chain.from_iterable(courses.values())}
    after = dependencies(book.outcomes, course_sources.sources(plant, points, courses))
    return replace(whole, courses=courses, dependencies=after)
