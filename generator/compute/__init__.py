"""Definitions in, results out: every value with its working, or its absence with the reason."""

from dataclasses import replace

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
    links,
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
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.results import Results


def results(plant: Definitions, knowledge: Knowledge) -> Results:
    """Everything worked out for one plant. A fault of the definitions never raises: an absence says what is missing."""
    book = Book()
    vessels = {str(tag): tanks.base(plant, tag, book) for tag in plant.tanks}
    vessels = {tag: replace(tank, concerns=concerns(plant, knowledge, tank, book)) for tag, tank in vessels.items()}
    points, circles = setpoints.results(plant, knowledge, vessels, book)
    machines = pumps.results(plant, knowledge, vessels, points, book)
    made = levels.complete(plant, vessels, points, book)
    wiring = contacts.results(plant, knowledge, made, points, book)
    acting, fittings = actuation.results(plant, knowledge, points, book)
    fits, suited = suitability.results(plant, knowledge, made)
    budgets = trips.results(plant, knowledge, made, points, book)
    times = alarms.results(plant, knowledge, made, points, book)
    steps = level_budgets.results(plant, made, points, budgets, book)
    courses = scenarios.results(plant, made, points, wiring, book)
    layers = Layers(plant, made, budgets, times, book)
    failing, planned = failures.results(plant, layers, wiring), bypasses.results(plant, layers)
    return Results(
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
        crossings=links.all_crossings(plant),
        groups=pump_groups.results(plant, book),
        restarts=restarts.results(plant, machines, book),
        actuations=acting,
        fittings=fittings,
        suitability=fits,
        suited=suited,
        courses=courses,
        acting_times={str(tag): logic_times.acting(plant, tag)[0] for tag in plant.interlocks},
        level_budgets=steps,
        headrooms=headroom.results(plant, knowledge, made, points, budgets, times, steps, book),
        rooms=room.results(plant, made, points, machines, book),
        transmitters=transmitters.results(plant, book),
        test_limits=proof_limits.results(plant, budgets, book),
        gravity_flows=gravity.results(plant, made, book),
        dependencies=dependencies(book.outcomes, course_sources.sources(plant, points, courses)),
        explorers=explorer.results(plant, made, points, wiring),
    )
