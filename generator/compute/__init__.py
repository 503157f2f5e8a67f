"""Definitions in, results out: every value with its working, or its absence with the reason."""

from generator.compute import (
    actuation,
    alarms,
    cautions,
    contacts,
    cycling,
    levels,
    pumps,
    setpoints,
    suitability,
    tanks,
    trips,
)
from generator.compute.book import Book
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.results import Results


def results(plant: Definitions, knowledge: Knowledge) -> Results:
    """Everything worked out for one plant. A fault of the definitions never raises: an absence says what is missing."""
    book = Book()
    vessels = {str(tag): tanks.base(plant, tag, book) for tag in plant.tanks}
    points, circles = setpoints.results(plant, knowledge, vessels, book)
    machines = pumps.results(plant, knowledge, vessels, points, book)
    made = levels.complete(plant, vessels, points, book)
    wiring = contacts.results(plant, knowledge, made, points, book)
    acting, fittings = actuation.results(plant, knowledge, points, book)
    fits, suited = suitability.results(plant, knowledge, made)
    return Results(
        tanks=made,
        setpoints=points,
        pumps=machines,
        cycling=cycling.results(plant, knowledge, made, points, book),
        trips=trips.results(plant, knowledge, made, points, book),
        alarms=alarms.results(plant, knowledge, made, points, book),
        contacts=wiring,
        cautions=cautions.results(plant, knowledge, made, points, book, wiring),
        records=book.outcomes,
        circles=circles,
        actuations=acting,
        fittings=fittings,
        suitability=fits,
        suited=suited,
    )
