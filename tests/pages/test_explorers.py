"""The level explorer works at the height that it shows."""

import pytest

from generator.model.record import value_of
from generator.pages import explorers
from tests.pages import plants

TANKS = ("T-110", "T-240", "T-310", "T-320", "T-420", "T-610", "T-620")


@pytest.mark.parametrize("tank", TANKS)
def test_every_place_is_the_height_that_is_shown(tank: str) -> None:
    context = plants.context(plants.DEMO)
    view = explorers.explorer(context, tank)
    made, vessel = context.results.explorers[tank], context.results.tanks[tank].vessel
    assert view is not None and vessel is not None
    bounds = (made.bottom, *made.edges, made.top)
    positions = view.table["positions"]
    assert [one[0] for one in positions] == sorted(one[0] for one in positions)
    assert {one[0] for one in positions} == set(range(len(bounds) - 1))  # every band can be looked at
    assert [one[1] for one in positions] == sorted({one[1] for one in positions})
    for band, height, shown, *_ in positions:
        assert float(shown.split()[0]) == height
        assert bounds[band] < height < bounds[band + 1]


@pytest.mark.parametrize("tank", TANKS)
def test_minutes_are_those_of_the_shown_height(tank: str) -> None:
    """By hand from what the page shows: the volume between the shown height and the ceiling over the worst rate."""
    context = plants.context(plants.DEMO)
    view, result = explorers.explorer(context, tank), context.results.tanks[tank]
    assert view is not None and result.vessel is not None
    ceiling, rate = value_of(result.ceiling), value_of(result.filling)
    assert ceiling is not None and rate
    said = 0
    for _, _, shown, _, up, _ in view.table["positions"]:
        number, _, unit = up.removeprefix("in ").partition(" ")
        if unit != "min":
            continue
        minutes = (result.vessel.volume_at(ceiling) - result.vessel.volume_at(float(shown.split()[0]))) / rate / 60
        step = 0.1 if "." in number else 1.0  # times that remain are rounded down
        assert -1e-6 <= minutes - float(number.replace(" ", "")) < step
        said += 1
    assert said


def test_a_band_without_a_whole_centimetre_is_shown_finer() -> None:
    inside = [one for one in explorers._places((0.0, 1.002, 1.007, 4.0)) if one[0] == 1]
    assert inside == [(1, 1.004, 3)]
