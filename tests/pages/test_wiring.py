"""Wiring table and order list: every device once in the order of its terminals, what else is live, nothing made up."""

from typing import Any

from generator import compute, read
from generator.model.finding import Review
from generator.model.page import plain
from generator.pages import order_list, wiring
from generator.pages.context import Context
from generator.pages.register import Table, rows
from tests.compute import small
from tests.pages.plants import DEMO, context

GALLERY = {"area": "A", "where": "gallery", "supplies": ["MS", "CV"]}
SUPPLIES = {"MS": {"kind": "mains", "voltage": "400 V"}, "CV": {"kind": "control voltage", "voltage": "24 V"},
            "FAR": {"kind": "battery", "voltage": "110 V"}}


def _table(module: Any, whole: Context, path: str) -> Table:
    view = next(page.view for page in module.pages(whole) if page.path == path)
    assert isinstance(view, Table)
    return view


def _small(**nouns: Any) -> Context:
    plant = small.plant(**nouns)
    knowledge = read.knowledge()
    return Context(plant, compute.results(plant, knowledge), Review(), knowledge, {})


def _cells(table: Table, tag: str) -> dict[str, str]:
    row = next(row for group in table.groups for row in group.rows if row.anchor == tag.lower())
    return {column: plain(one.parts) for column, one in zip(table.columns, row.cells, strict=True)}


def test_every_wired_device_stands_once_in_the_order_of_its_terminals() -> None:
    whole = context(DEMO)
    table = _table(wiring, whole, "registers/wiring.html")
    anchors = [row.anchor for group in table.groups for row in group.rows]
    assert sorted(anchors) == sorted(tag.lower() for tag, body in whole.plant.instruments.items() if body.wiring)
    for group in table.groups:
        first = [int(plain(row.cells[0].parts).split("-")[0]) for row in group.rows]
        assert first == sorted(first)
    assert len(rows(table)) == len(anchors) + 1  # the spreadsheet has the same rows under a heading


def test_what_else_is_live_and_what_comes_from_elsewhere_is_said() -> None:
    whole = _small(panels={"LP-1": GALLERY}, supplies=SUPPLIES, instruments={
        "LX-1": small.body(wiring={"panel": "LP-1", "terminals": "2-3", "supply": "CV"}),
        "LX-2": small.body(wiring={"panel": "LP-1", "terminals": "11-12", "supply": "FAR"}),
        "LX-3": small.body(wiring={"panel": "LP-1"})})
    table = _table(wiring, whole, "registers/wiring.html")
    assert [row.anchor for row in table.groups[0].rows] == ["lx-1", "lx-2", "lx-3"]
    assert _cells(table, "LX-1")["Also live in the panel"] == "MS 400 V"
    assert _cells(table, "LX-2")["Loop fed from"] == "FAR 110 V, from outside this panel"
    assert _cells(table, "LX-2")["Also live in the panel"] == "MS 400 V, CV 24 V"
    assert _cells(table, "LX-3")["Loop fed from"] == "not given"


def test_the_order_list_names_the_relay_and_the_contactor_that_a_motor_asks_for() -> None:
    # common practice, no source: a small float contact that may switch 1.1 kW directly needs a relay above it
    motor = {"power": "1.1 kW", "voltage": "400 V", "phases": "3", "full_load_current": "2.7 A"}
    whole = _small(pumps={"P-1": small.pump(motor=motor)}, switches={
        "LS-1": small.switch("rising", issued="2 m", contact={
            "at_the_point": "closes", "category": "AC-15", "voltage": "230 V", "current": "3 A", "drives": "P-1"}),
        "LS-2": small.switch("rising", issued="2.5 m", contact={"at_the_point": "closes", "drives": "P-1"}),
        "LS-3": small.switch("rising", issued="3 m", contact={"at_the_point": "closes"})})
    cells = _cells(_table(order_list, whole, "registers/order-list.html"), "LX-1")
    assert cells["Points"] == "LS-1 LS-2 LS-3"
    said = cells["Switches, and what must stand between"].split("; ")
    assert said == ["LS-1 motor of P-1", "between: interposing relay and contactor",
                    "LS-2 motor of P-1", "between: cannot be assessed: LS-2: contact.category not given",
                    "LS-3 not given", "between: cannot be assessed: what it drives is not given"]
    assert "LS-3 closes at the point; state on the shelf not given; category not given" in cells["Contact and rating"]


def test_a_length_is_the_worked_out_one_or_says_that_it_is_not() -> None:
    whole = context(DEMO)
    table = _table(order_list, whole, "registers/order-list.html")
    assert len([row for group in table.groups for row in group.rows]) == len(whole.plant.instruments)
    for body in whole.plant.instruments:
        said = _cells(table, body)["Below the face, to cut"]
        probe = whole.results.transmitters.get(str(body))
        if probe is not None and probe.hung is not None:
            assert said == f"{probe.hung.value * 1000:.0f} mm, cable from the face to the membrane"  # type: ignore[union-attr]  # worked out, else red
            continue
        for tag in whole.plant.points_of[body]:
            acting = whole.results.actuations.get(str(tag))
            below = acting.below_face if acting else None
            if below is not None and hasattr(below, "value"):
                assert f"{below.value * 1000:.0f} mm" in said
            else:
                assert "mm" not in said


def test_a_device_is_ordered_once_with_its_reference_electrode_and_its_cable() -> None:
    table = _table(order_list, context(DEMO), "registers/order-list.html")
    rods = _cells(table, "LX-220")
    # by hand: face at 4.75 m, head takes 30 mm; tips at 1.30, 2.20, 3.10, 3.46 m; the reference 50 mm under the lowest
    assert rods["Below the face, to cut"] == (
        "LSL-220 2550 mm, cut 2580 mm; LSH-220 1650 mm, cut 1680 mm; LSH-221 1290 mm, cut 1320 mm; "
        "LSL-223 3450 mm, cut 3480 mm; reference electrode 3500 mm, cut 3530 mm")
    assert rods["Cable"] == "C-2201, 5 cores, 40 m"
    assert _cells(table, "LT-110")["Contact and rating"] == "a set point, no contact of its own"
    assert _cells(table, "LX-222")["Cable"].endswith("length not given")
