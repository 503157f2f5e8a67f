"""Pages: model, results and findings to view data, strings and rows ready to place. No HTML, no disk."""

from collections.abc import Mapping

from generator.model.finding import Review
from generator.model.knowledge import Knowledge
from generator.model.numbers import Numbers
from generator.model.page import Site
from generator.model.plant import Definitions
from generator.model.results import Results
from generator.pages import (
    alarms,
    areas,
    bypass_planner,
    calculations,
    contacts,
    contending,
    courses,
    data,
    downloads,
    equipment_register,
    failure_register,
    findings,
    glossary,
    hazards,
    home,
    how_to_read,
    independence,
    interlock_register,
    interlocks,
    language,
    lengths,
    links,
    logic_meaning,
    machines,
    maps,
    matrices,
    narrative,
    navigation,
    order_list,
    overview,
    rules,
    setpoints,
    sources,
    strip,
    surroundings,
    switches,
    tags,
    tank_failures,
    tanks,
    technologies,
    test_sheets,
    waivers,
    wiring,
)
from generator.pages.context import Context

SUBJECTS = (
    home,
    areas,
    tanks,
    courses,
    switches,
    setpoints,
    lengths,
    alarms,
    contending,
    interlock_register,
    contacts,
    wiring,
    order_list,
    surroundings,
    links,
    data,
    language,
    findings,
    waivers,
    hazards,
    independence,
    bypass_planner,
    tank_failures,
    interlocks,
    machines,
    matrices,
    narrative,
    maps,
    equipment_register,
    failure_register,
    tags,
    test_sheets,
    rules,
    how_to_read,
    logic_meaning,
    glossary,
    calculations,
    technologies,
    sources,
)


def site(
    plant: Definitions, results: Results, review: Review, knowledge: Knowledge, sources: Mapping[str, str],
    numbers: Numbers | None = None,
) -> Site:
    """Which pages exist and what they say."""
    context = Context(plant, results, review, knowledge, sources, numbers or Numbers())
    status = strip.strip(context)
    pages = [page for subject in SUBJECTS for page in subject.pages(context)]
    made = navigation.arranged(context, [*pages, *overview.pages(pages)])
    return Site(status, made, tuple(downloads.files(context, status, made)), navigation.sections(context, made))
