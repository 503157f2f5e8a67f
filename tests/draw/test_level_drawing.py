"""The level drawing: heights to scale, labels apart, nothing dropped."""

import math
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace
from pydantic import TypeAdapter

from generator.compute.geometry import vessel as make_vessel
from generator.draw.drawing import NARROW, ROUND, WIDE, Layout, LevelDrawing, LevelWords, NozzleMark
from generator.draw.level_drawing import level_drawing
from generator.draw.shapes import Frame, outline
from generator.model.place import NOWHERE
from generator.model.quantity import Length
from generator.model.results import Band, Level, Vessel
from generator.model.shape import Shape
from generator.render.environment import environment

SHAPES = {
    "lying": {"kind": "horizontal cylinder", "diameter": "2 m", "length": "5 m", "ends": "2:1 ellipsoidal"},
    "wide": {"kind": "vertical cylinder", "diameter": "12 m", "height": "9 m"},
    "coned": {"kind": "vertical cylinder", "diameter": "2.4 m", "height": "3 m", "bottom": "conical",
              "bottom_depth": "0.8 m"},
    "hopper": {"kind": "rectangular basin", "length": "6 m", "width": "3 m", "height": "4 m", "hopper_depth": "1 m",
               "hopper_length": "1.5 m", "hopper_width": "1 m"},
    "sloped": {"kind": "rectangular basin", "length": "4 m", "width": "3 m", "height": "4 m", "floor_fall": "0.5 m"},
    "sloped round": {"kind": "vertical cylinder", "diameter": "3 m", "height": "4 m", "floor_fall": "0.6 m"},
    "benched": {"kind": "vertical cylinder", "diameter": "3 m", "height": "3 m", "bottom": "conical", "bottom_depth": "1 m",
                "bottom_diameter": "1 m"},
    "sphere": {"kind": "sphere", "diameter": "3 m"},
    "cone": {"kind": "cone", "top_diameter": "3 m", "bottom_diameter": "0 m", "height": "2.5 m"},
    "slim": {"kind": "vertical cylinder", "diameter": "0.2 m", "height": "4 m"},
}
NOZZLES = [NozzleMark("N1", "roof", None), NozzleMark("N2", "floor", None), NozzleMark("N3", "wall", 1.0),
           NozzleMark("N4", "wall", 1.01)]


def _shape(name: str) -> Shape:
    made: Shape = TypeAdapter(Shape).validate_python(SHAPES[name])
    return made


def _vessel(name: str) -> Vessel:
    made = make_vessel(_shape(name))
    assert isinstance(made, Vessel)
    return made


def _draw(name: str, heights: list[float], layout: Layout, says: str = "trip: the inlet valve closes and stays closed",
          vessel: Callable[[str], Vessel] | None = _vessel) -> LevelDrawing:
    levels = [Level(f"LSH-{number}", "a level", "trip", height, Band(height - 0.03, height + 0.03), "rising", NOWHERE)
              for number, height in enumerate(sorted(heights, reverse=True))]
    words = [LevelWords(level.key, says, f"{level.height:.2f} m", "0.00 to 1.00", "switches/x.html", "failed 2.11")
             for level in levels]
    return level_drawing("t-1", "Level drawing of T-1", _shape(name), vessel(name) if vessel else None, levels, words,
                         ["↑ 6.0 min  ↓ 6.7 min"] * (len(levels) - 1), 1.0, NOZZLES, layout)


def _boxes(drawing: LevelDrawing) -> list[tuple[float, float]]:
    return sorted((box.top, box.bottom) for box in (*drawing.labels, *drawing.chips))


@pytest.mark.parametrize("layout", [WIDE, NARROW, *ROUND])
@given(heights=st.lists(st.floats(-0.2, 2.4), min_size=0, max_size=20), name=st.sampled_from(sorted(SHAPES)))
@settings(max_examples=40, deadline=None)
def test_nothing_overlaps_whatever_the_levels(layout: Layout, heights: list[float], name: str) -> None:
    drawing = _draw(name, heights, layout)
    boxes = _boxes(drawing)
    assert len(drawing.labels) == len(heights)
    assert all(above[1] <= below[0] + 1e-6 for above, below in pairwise(boxes))
    assert all(top >= 0 and bottom <= drawing.height for top, bottom in boxes)
    for label in drawing.labels:  # every line of a label stands inside its box
        assert all(label.top < row.y < label.bottom for row in label.rows)


@pytest.mark.parametrize("layout", [WIDE, NARROW])
def test_twelve_levels_at_one_height_keep_their_labels(layout: Layout) -> None:
    drawing = _draw("wide", [4.0] * 12, layout)
    assert len(drawing.labels) == 12 and len(drawing.chips) == 11
    assert len({line.y for line in drawing.lines}) == 1
    boxes = _boxes(drawing)
    assert all(above[1] <= below[0] + 1e-6 for above, below in pairwise(boxes))


def test_times_that_do_not_fit_one_line_stand_on_more() -> None:
    """One line takes 17 units (13 px text): a box grows by one for each further line, and loses no time."""
    text = "↑ 6.0 min  ↑↑ 3.1 min  ↓ 6.7 min"
    level = Level("LSH-1", "a level", "trip", 2.0, None, "rising", NOWHERE)
    words = [LevelWords("LSH-1", "trip", "2.00 m")] * 2
    for layout, lines in ((WIDE, (text,)), (NARROW, ("↑ 6.0 min  ↑↑ 3.1 min", "↓ 6.7 min"))):
        made = level_drawing("t", "T-1", _shape("wide"), _vessel("wide"), [level, replace(level, height=1.0)], words, [text],
                             None, (), layout)
        assert made.chips[0].lines == lines
        assert made.chips[0].bottom - made.chips[0].top == 18 + 17 * (len(lines) - 1)


def test_leaders_keep_their_order_so_none_crosses() -> None:
    drawing = _draw("sphere", [2.9, 2.85, 2.84, 1.5, 0.2, 0.19], WIDE)
    ends = [(line.leader[1][1], line.leader[2][1]) for line in drawing.lines]
    assert ends == sorted(ends)


@pytest.mark.parametrize("name", sorted(SHAPES))
def test_heights_are_to_scale(name: str) -> None:
    """Distances between lines are in the ratio of the heights: a plain check of proportion."""
    drawing = _draw(name, [2.0, 1.0, 0.5], WIDE)
    ys = [line.y for line in drawing.lines]
    assert (ys[1] - ys[0]) / (ys[2] - ys[1]) == pytest.approx(2.0, rel=1e-6)


def test_a_sphere_is_drawn_round() -> None:
    """Wall at a quarter of the height: r sqrt(3)/2 from the centre line (circle geometry)."""
    frame = Frame(0.0, 400.0, 0.0, 400.0, 3.0, 0.0)
    drawn = outline(_shape("sphere"), _vessel("sphere"), frame)
    assert drawn.is_to_scale and not drawn.is_broken
    assert drawn.wall(0.75) == pytest.approx(200.0 * math.sqrt(3) / 2, rel=1e-6)


@pytest.mark.parametrize("layout", ROUND)
@pytest.mark.parametrize("nozzle", [[], [NozzleMark("N9", "wall", 2.3)]])
def test_a_lying_cylinder_is_a_circle_to_scale_however_long_its_labels(layout: Layout, nozzle: list[NozzleMark]) -> None:
    """Seen from its end, 2 m across: every point of the wall lies one radius from the middle, a line at 0.5 m is the chord
    2 sqrt(R^2 - 0.5^2) = 1.732 m long (plane geometry), and heights keep the scale of the widths."""
    heights = [1.9, 1.8, 1.7, 1.6, 1.5, 1.2, 1.0, 0.9, 0.8, 0.5, 0.2, 0.1]
    levels = [Level(f"LSH-{number}", "a level", "trip", height, None, "rising", NOWHERE) for number, height in enumerate(heights)]
    words = [LevelWords(level.key, "trip: the inlet valve closes", "0.00 m") for level in levels]
    made = level_drawing("t", "T-1", _shape("lying"), _vessel("lying"), levels, words, [""] * 11, 1.0, nozzle, layout)
    (wall,) = made.walls
    middle = (layout.left + layout.right) / 2
    lower, upper = max(y for _, y in wall), min(y for _, y in wall)
    radius = (lower - upper) / 2
    assert all(math.hypot(x - middle, y - (upper + lower) / 2) == pytest.approx(radius, abs=0.2) for x, y in wall)
    assert 2 * radius <= layout.right - layout.left + 0.2
    line = made.lines[heights.index(0.5)]
    assert (line.right - line.left) / radius == pytest.approx(math.sqrt(3), abs=5e-3)
    assert (lower - line.y) / radius == pytest.approx(0.5, abs=5e-3)
    assert made.notes == ("Seen from one end: a lying cylinder 5.00 m long, 2:1 ellipsoidal ends not counted.", "Drawn to scale.")
    ticks = [y for y, _ in made.ticks]
    assert all(above - below >= 15 - 1e-6 for above, below in pairwise(ticks))  # 13 px figures do not touch
    boxes = _boxes(made)
    assert all(above[1] <= below[0] + 1e-6 for above, below in pairwise(boxes))


def test_nozzles_of_a_lying_cylinder_sit_on_its_wall() -> None:
    """Along the crown one stands behind the other, on the middle line; one in the end wall touches the circle at its height."""
    nozzles = [NozzleMark("N1", "roof", None), NozzleMark("N2", "roof", 2.0), NozzleMark("N3", "floor", None),
               NozzleMark("N4", "wall", 0.5)]
    made = level_drawing("t", "T-1", _shape("lying"), _vessel("lying"), [], [], [], 1.0, nozzles, ROUND[0])
    (wall,) = made.walls
    middle, top, foot = (ROUND[0].left + ROUND[0].right) / 2, min(y for _, y in wall), max(y for _, y in wall)
    at = {stub.name: stub.points[-1] for stub in made.stubs}
    assert at["N1 N2"] == pytest.approx((middle, top), abs=0.2)
    assert at["N3"] == pytest.approx((middle, foot), abs=0.2)
    assert at["N4"] == pytest.approx((middle - math.sqrt(3) / 2 * (foot - top) / 2, foot - (foot - top) / 4), abs=0.2)


def test_a_wide_vessel_is_broken_and_says_so() -> None:
    drawing = _draw("wide", [4.0], WIDE)
    assert drawing.breaks and drawing.notes == ("Width broken, heights to scale.",)
    middle = (WIDE.left + WIDE.right) / 2
    assert all(abs(x - middle) >= 7.0 for wall in drawing.walls for x, _ in wall)


def test_without_a_shape_the_levels_are_still_to_scale() -> None:
    drawing = _draw("wide", [4.0, 1.0], WIDE, vessel=None)
    assert "could not be worked out" in drawing.notes[0]
    assert len(drawing.lines) == 2


def test_ids_differ_between_two_drawings_of_a_page() -> None:
    template = environment().from_string(
        '{% import "level_drawing.html.j2" as levels with context %}{{ levels.drawing(d) }}')
    text = template.render(d=_draw("wide", [4.0, 1.0], WIDE), root="../")
    ids = [part.split('"')[0] for part in text.split(' id="')[1:]]
    assert len(ids) == len(set(ids)) and all(one.startswith("t-1-") for one in ids)
    assert "<title" in text and "LSH-0 4.00 m" in text
    assert 'href="../switches/x.html"' in text


def _area(ring: tuple[tuple[float, float], ...]) -> float:
    """Shoelace formula."""
    return abs(sum(x * v - u * y for (x, y), (u, v) in zip(ring, (*ring[1:], ring[0]), strict=True))) / 2


@pytest.mark.parametrize(("name", "square_metres"), [
    ("sloped", 4.0 - 0.5 * 4.0 / 2), ("sloped round", 3.0 - 0.6 * 3.0 / 2), ("benched", (1.0 + 3.0) / 2)])
def test_liquid_over_a_sloped_or_benched_floor_covers_its_share_of_the_side_view(name: str, square_metres: float) -> None:
    """Liquid 1 m deep: the side view less the triangle under the slope, or the trapezium of the benching."""
    frame = Frame(0.0, 2000.0, 0.0, 400.0, _vessel(name).top, 0.0)
    drawn = outline(_shape(name), _vessel(name), frame)
    assert drawn.is_to_scale
    assert _area(drawn.ring(1.0)) / frame.scale**2 == pytest.approx(square_metres, rel=2e-3)
    (walls,) = drawn.walls()
    assert max(y for _, y in walls) == pytest.approx(400.0, abs=0.11)


def test_a_sloped_floor_runs_from_the_left_wall_at_its_lowest_to_the_right_one() -> None:
    frame = Frame(0.0, 2000.0, 0.0, 400.0, 4.0, 0.0)
    drawn = outline(_shape("sloped"), _vessel("sloped"), frame)
    left, right = drawn.edges(0.25)
    assert (right - left) / frame.scale == pytest.approx(2.0)  # half the floor's fall: half its length
    (walls,) = drawn.walls()
    assert (1200.0, 350.0) in walls and (800.0, 400.0) in walls  # 0.5 m up at the right wall, the lowest at the left


@pytest.mark.parametrize("below", ["100 mm", "700 mm", "33 mm", "0.1 m"])
@pytest.mark.parametrize("name", SHAPES)
def test_a_bottom_below_the_datum_is_drawn(name: str, below: str) -> None:
    """Lengths as -0.1 m are not exact in binary: a height may lie a hair under the bottom that it was taken from."""
    made = make_vessel(_shape(name), -Length.read(below).si)
    assert isinstance(made, Vessel)
    drawn = _draw(name, [made.bottom, made.bottom + 0.2, 0.5], WIDE, vessel=lambda _: made)
    assert drawn.lines


@pytest.mark.parametrize(("nozzles", "said"), [
    ([NozzleMark("N1", "roof", 9.0), NozzleMark("N2", "roof", None)], ["N1", "N2"]),
    ([NozzleMark("N1", "roof", 9.35), NozzleMark("N2", "roof", 9.0)], ["N1 N2 up to 9.35 m"]),
    ([NozzleMark("N1", "roof", 9.35)], ["N1 up to 9.35 m"]),
    ([*(NozzleMark(f"N{number}", "roof", 9.0 + number / 10) for number in range(1, 6))], ["N1 N2 N3 N4 N5 up to 9.50 m"]),
    ([*(NozzleMark(f"N{number}", "roof", 9.0) for number in range(1, 16))],
     [" ".join(f"N{number}" for number in range(1, 16))]),
])
def test_a_roof_nozzle_that_stands_over_the_roof_says_its_height(nozzles: list[NozzleMark], said: list[str]) -> None:
    """The wide tank ends at 9 m; its roof is drawn there, and the pipe is no longer than the row of names allows."""
    made = level_drawing("t-1", "Level drawing of T-1", _shape("wide"), _vessel("wide"), [], [], [], 1.0, nozzles, WIDE)
    assert [stub.name for stub in made.stubs] == said
