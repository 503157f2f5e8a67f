"""The fitter's sheet: a fitter can cut the rods and hang the weight from it alone."""

import re
from itertools import pairwise

import pytest

from generator.model.page import plain
from generator.model.record import value_of
from generator.model.scalar import Tag
from generator.pages import fitter, lengths, suited, switches, technologies
from generator.pages.context import Context
from generator.pages.paths import slug
from generator.render.environment import fragment
from tests.pages import plants

MADE = {"cable float", "tilt float", "conductive rods", "side lever float", "top lever float", "guide tube float"}


@pytest.fixture(scope="module")
def demo() -> Context:
    return plants.context(plants.DEMO)


def test_rods_can_be_cut_from_the_page_alone(demo: Context) -> None:
    """By hand: face 4.75 m, issued 3.46, 3.10, 2.20 and 1.30 m, 30 mm in the head, reference 50 mm under the lowest."""
    page = next(one for one in switches.pages(demo) if one.nav == "LSH-220")
    html = fragment(page)
    begin = html.index('id="fitter"')
    table = html[begin:html.index("</table>", begin)]
    numbers = re.findall(r'cutlength">.*?>([0-9]+)<span class="unit">', table)
    assert numbers == ["1320", "1680", "2580", "3480", "3530"]
    assert re.findall(r"\b(LSH-221|LSH-220|LSL-220|LSL-223)\b", re.sub(r'title="[^"]*"|href="[^"]*"', "", table)) == [
        "LSH-221", "LSH-220", "LSL-220", "LSL-223"]
    assert table.count('class="measured"></span>') == 5  # an empty box beside each


def test_every_length_on_every_sheet_is_the_face_less_a_height(demo: Context) -> None:
    seen = 0
    for tag in demo.results.actuations:
        sheet = fitter.sheet(demo, tag)
        assert sheet is not None
        acting = demo.results.actuations[tag]
        if acting.family != "rods":
            continue
        row = next(one for one in sheet.cuts if one.is_own)
        body = demo.plant.instruments[demo.plant.switches[tag].in_]  # type: ignore[index]
        issued = demo.plant.switches[tag].height.issued  # type: ignore[index]
        assert body.mounting_face is not None and issued is not None and body.geometry.above_face is not None
        length = body.mounting_face.si - issued.si + body.geometry.above_face.si
        assert float(row.cut.number) == pytest.approx(length * 1000, abs=0.5)
        seen += 1
    assert seen >= 5


def test_every_float_rod_lever_and_tube_of_the_demo_has_a_full_sheet(demo: Context) -> None:
    for tag, point in demo.plant.switches.items():
        body = demo.plant.instruments[point.in_]
        if body.technology in MADE and body.signal != "4-20 mA":
            sheet = fitter.sheet(demo, tag)
            assert sheet is not None, tag
            assert sheet.sketch is not None, tag
            shown = [row.cut.number for row in sheet.cuts] + [row.rise.number for row in sheet.acts]
            assert "cannot be assessed" not in shown, tag


def test_the_weight_of_a_hung_float(demo: Context) -> None:
    """By hand: fixing 1.15 + 0.12 sin 30 = 1.21 m, weight 0.30 m under it, face 6.70 m."""
    sheet = fitter.sheet(demo, "LSLL-124")
    assert sheet is not None
    weight = sheet.cuts[-1]
    assert weight.what == ("Counterweight",)
    assert (weight.cut.number, weight.height.number) == ("5790", "0.91")


@pytest.mark.parametrize(("tag", "cuts", "cable"), [
    # by hand, from the definitions and a pocket calculator alone
    # face 3.60 m, falls at 0.72 m: fixing 0.72 + 0.12 sin 30 = 0.78 m; 0.12 m of free cable
    ("LSLL-114", ["2820"], "2940"),
    # face 1.60 m, rises at 0.70 m: fixing 0.70 - 0.08 sin 30 = 0.66 m; weight 0.10 m lower; 0.08 m of free cable
    ("LSH-620", ["940", "1040"], "1020"),
    # face 4.60 m, rises at 3.65 m: fixing 3.65 - 0.10 sin 30 = 3.60 m
    ("LSHH-612", ["1000"], "1100"),
    # face 4.75 m, falls at 0.80 m; arm 0.30 sin 4 = 20.9 mm under the pivot; sphere 110 mm, 380 g in 998 kg/m3 carries
    # 380.8 of its 696.9 cm3, 32.3 cm3 over half, so 3.4 mm more than half lies in the liquid: 0.80 + 0.0209 - 0.0034
    ("LSLL-224", ["3932"], None),
    # face 1.10 m; 42 g on 70 cm3 in 845 kg/m3 sit 36.9 of 52 mm deep, magnet at 30 mm: contacts 6.9 mm under the surface
    ("LSL-420", ["407", "507", "807", "887", "967"], None),
])
def test_sheets_worked_out_by_hand(demo: Context, tag: str, cuts: list[str], cable: str | None) -> None:
    sheet = fitter.sheet(demo, tag)
    assert sheet is not None
    assert [row.cut.number for row in sheet.cuts] == cuts
    own = plain(next(row for row in sheet.cuts if row.is_own).which)
    assert (f"cable below the face {cable} mm" in own) if cable else ("cable" not in own)


def test_labels_of_a_sketch_stand_apart_and_leaders_touch_no_other_rod(demo: Context) -> None:
    for tag in demo.results.actuations:
        sheet = fitter.sheet(demo, tag)
        if sheet is None or sheet.sketch is None:
            continue
        names = [word.y for word in sheet.sketch.words if word.style in ("name", "name-own")]
        assert all(low - high >= 30 for high, low in pairwise(sorted(names))), tag
        assert all(0 <= word.y <= sheet.sketch.height for word in sheet.sketch.words), tag
        assert all(len(word.text) * 7.6 + word.x <= sheet.sketch.width + 60 for word in sheet.sketch.words), tag


def test_care_follows_the_liquid(demo: Context) -> None:
    rags = suited.care(demo, "LX-612")
    assert rags is not None
    assert {row.where for row in rags.care} == {"coating", "rags"}
    clean = suited.care(demo, "LX-124")
    assert clean is not None and {row.where for row in clean.care} == {"clean liquid"}
    assert clean.hidden and clean.restore and clean.wetted


def test_technologies_are_compared_with_every_liquid_of_the_plant(demo: Context) -> None:
    pages = {page.path: page for page in technologies.pages(demo)}
    table = pages["technologies/index.html"].view
    assert sum(len(liquids) for liquids, _ in table.parts) == len(demo.plant.liquids)
    assert all(len(rows) >= 17 and len(row.cells) == len(liquids) for liquids, rows in table.parts for row in rows)
    rods = [cell for _, rows in table.parts for row in rows if row.technology.text == "conductive rods"
            for cell in row.cells]
    by_liquid = dict(zip(demo.plant.liquids, rods, strict=True))
    assert by_liquid["town_water"].verdict == "can suit"  # type: ignore[index]
    assert by_liquid["fuel_oil"].verdict == by_liquid["polished_water"].verdict == "does not suit"  # type: ignore[index]
    assert "10 µS/cm (common practice)" in by_liquid["condensate"].why  # type: ignore[index]
    for page in pages.values():
        assert fragment(page)


def test_what_the_sheet_says_of_density_is_the_record(demo: Context) -> None:
    sheet = fitter.sheet(demo, "LSHH-312")
    assert sheet is not None
    shift = value_of(demo.results.actuations["LSHH-312"].shift)
    assert shift is not None
    assert sheet.acts[0].shift.number == f"{shift * 1000:.1f}"


def test_an_entry_of_the_plant_stands_where_its_links_lead() -> None:
    context = plants.context("generator/knowledge/reference")
    pages = {page.path: fragment(page) for page in technologies.pages(context)}
    path, _, anchor = str(context.paths.path("site-lever")).partition("#")
    assert f'id="{anchor}"' in pages[path]
    assert "a guard against the filling stream" in pages["technologies/top-lever-float.html"]


def test_the_register_of_lengths_holds_every_reference_electrode(demo: Context) -> None:
    """It is cut like the rods. By hand, as above: 4.75 - 1.30 + 0.05 m below the face, and 30 mm in the head."""
    referred = [tag for tag, one in demo.results.fittings.items() if one.reference is not None]
    rows = {row.anchor: [plain(one.parts) for one in row.cells] for group in next(lengths.pages(demo)).view.groups
            for row in group.rows}
    assert all(rows[slug(tag)][0] == f"{tag} reference" for tag in referred)
    body = slug(demo.plant.switches[Tag("LSH-220")].in_)
    assert [one.replace("\u202f", " ") for one in rows[body][4:6]] == ["3530 mm", "3500 mm"]
