"""Sections begin with a page that names all of theirs, and the home page leads to the registers that readers ask for."""

import pytest

from generator.model.page import plain
from generator.model.scalar import Tag
from generator.pages import answers, home, machine_facts, overview, pump_numbers, strip, tank_volumes
from generator.pages import site as made_site
from tests.pages.plants import DEMO, context


@pytest.mark.parametrize("section", overview.SECTIONS)
def test_a_section_opens_with_all_of_its_pages(section: str) -> None:
    made = context(DEMO)
    site = made_site(made.plant, made.results, made.review, made.knowledge, {})
    leader = next(page for page in site.pages if page.leads and page.section == (section,))
    shown = {link.path for link, _ in (*leader.view.rows, *leader.view.below)}
    own = {page.path for page in site.pages if page.section == (section,) and page is not leader}
    assert own and own <= shown
    runs = {page.section[1] for page in site.pages if page.section[:1] == (section,) and len(page.section) > 1}
    assert runs <= {link.text for link, _ in leader.view.below}


def test_the_home_page_leads_to_lengths_failures_independence_and_rules() -> None:
    (page,) = home.pages(context(DEMO))
    paths = {link.path for _, links in page.view.doors for link in links}
    assert {"registers/lengths.html", "registers/single-failures.html", "review/independence.html", "review/rules.html"} <= paths


def test_the_home_page_says_what_stands_in_the_field_and_that_nothing_is_released() -> None:
    """The as-left heights are counted from the definitions' text."""
    made = context(DEMO)
    said = strip.standing(made)
    read = sum(point.as_left is not None for point in made.results.setpoints.values())
    assert "not released for building" in said and f"known at {read} of {len(made.plant.switches)} points" in said
    assert "nothing is built" not in said


def test_every_answer_of_the_field_says_more_than_its_tag() -> None:
    assert [tag for tag, what, *_ in answers.answers(context(DEMO)) if what.split(",")[0] == tag] == []


def test_a_pump_that_serves_users_is_not_measured_by_what_fills_its_tank() -> None:
    made = context(DEMO)
    labels = {tag: [one.label for one in pump_numbers._one_out(made, Tag(tag))] for tag in ("P-220B", "P-610A")}
    assert "Left over" not in labels["P-220B"] and "Left over" in labels["P-610A"]


def test_an_ordinary_rate_of_one_side_alone_is_not_called_net() -> None:
    rows = {row.name: row.says for row in tank_volumes.volumes(context(DEMO), "T-220").rows}
    assert rows["Filling, ordinary"] == "net rate of ordinary running"
    assert rows["Emptying, ordinary"] == "ordinary outflow alone, while nothing enters"


def test_a_hand_valve_follows_no_command() -> None:
    said = {tag: " ".join(plain(one.words) for one in machine_facts.without_power(context(DEMO), "valves", Tag(tag)))
            for tag in ("HV-619", "XV-620")}
    assert "command" not in said["HV-619"] and "follows its command" in said["XV-620"]
