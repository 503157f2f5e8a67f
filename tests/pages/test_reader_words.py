"""Words for readers: names, not keys of the definitions; the field's terms. Common practice, no source."""

import re

import pytest

from generator.model.page import plain
from generator.model.scalar import Tag
from generator.pages import explorers, hazards, machines, point_words, tank_levels
from generator.render.environment import fragment
from tests.pages.plants import DEMO, context


def test_calculations_and_cautions_name_streams_and_liquids() -> None:
    made = context(DEMO)
    keys = {str(key) for noun in (made.plant.streams, made.plant.liquids) for key in noun if "_" in key}
    assert len(keys) > 20
    names = [one.name for outcome in made.results.records.values() for one in getattr(outcome, "inputs", ())]
    names += [caution.because for many in made.results.cautions.values() for caution in many]
    names += [getattr(one, "name", "") for one in made.results.records.values()]
    names += [one.breaks for many in made.results.headrooms.values() for one in many]
    # what is missing names the key to write: there the key is what is wanted
    said = {word for name in names for word in re.findall(r"[a-z]+(?:_[a-z]+)+", name.partition("missing: ")[0])}
    assert said & (keys | {"budget_share"}) == set()


def test_a_hazard_begins_at_a_level_with_its_name() -> None:
    made = context(DEMO)
    assert plain(hazards.begins_at(made, "T-610 motor_bare")) == \
        "T-610, level below which the motors of the drain pumps are bare"
    assert plain(hazards.begins_at(made, "T-510")) == "T-510"


def test_pumps_of_a_group_start_by_their_name() -> None:
    made = context(DEMO)
    assert "Condensate pumps start" in plain(point_words.does(made, Tag("LSH-310")))


def test_the_rim_of_a_closed_tank_is_its_seam() -> None:
    shown = tank_levels.levels(context(DEMO), "T-320").wide
    assert any("top of the wall or roof seam" in str(one) for one in shown.labels)


@pytest.mark.parametrize(("tank", "ceiling", "floor"), [("T-320", "overflow", "lowest pump level")])
def test_the_explorer_names_what_is_reached(tank: str, ceiling: str, floor: str) -> None:
    view = explorers.explorer(context(DEMO), tank)
    assert view is not None and (view.ceiling, view.floor) == (ceiling, floor)
    shown = {words for _, _, _, _, up, down in view.table["positions"] for words in (up, down)}
    assert "reached" in shown and all(words.startswith("in ") for words in shown - {"reached"})


def test_a_pump_page_speaks_of_npsh_and_of_the_coil() -> None:
    page = next(page for page in machines.pages(context(DEMO)) if page.path == "pumps/p-310a.html")
    text = " ".join(re.sub(r"<[^>]+>", " ", fragment(page)).split())
    assert "NPSH available where it comes to rest" in text and "NPSH margin left" in text
    assert "it switches the coil; the starter switches the motor" in text
    assert "not counted unless" in text and "does not count" not in text
