"""The doors of the home page lead to what the plant has."""

from types import SimpleNamespace
from typing import Any

import pytest
from msgspec.structs import replace

from generator.pages import home, tags
from tests.pages.plants import LOGIC, context


@pytest.mark.parametrize(("without", "asked"), [
    ((), {"pumps", "switches"}), (("pumps",), {"valves", "switches"}), (("pumps", "valves"), {"switches"}),
    (("switches",), {"pumps"}),
])
def test_a_door_leads_to_no_kind_of_tag_that_the_plant_has_not(without: tuple[str, ...], asked: set[str]) -> None:
    whole = context(LOGIC)
    plant: Any = SimpleNamespace(**{noun: {} if noun in without else getattr(whole.plant, noun) for noun, _ in tags.GROUPS})
    doors = home._doors(replace(whole, plant=plant))
    anchors = {link.path.partition("#")[2] for _, rows in doors for link in rows if link.path.startswith("tags.html#")}
    assert anchors == asked
    assert all(getattr(plant, anchor) for anchor in anchors)
