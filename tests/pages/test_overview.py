"""Sections begin with a page that names all of theirs, and the home page leads to the registers that readers ask for."""

import pytest

from generator.pages import home, overview
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
