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
    table = _table(order_list, whole, "registers/order-list.html")
    assert _cells(table, "LS-1")["Between it and the load"] == "interposing relay and contactor"
    assert _cells(table, "LS-2")["Between it and the load"] == "cannot be assessed: LS-2: contact.category not given"
    assert _cells(table, "LS-3")["Between it and the load"] == "cannot be assessed: what it drives is not given"
    assert _cells(table, "LS-3")["Rating"] == "category not given, voltage not given, current not given"


def test_a_length_is_the_worked_out_one_or_says_that_it_is_not() -> None:
    whole = context(DEMO)
    table = _table(order_list, whole, "registers/order-list.html")
    assert len([row for group in table.groups for row in group.rows]) == len(whole.plant.switches)
    for tag in whole.plant.switches:
        cells = _cells(table, tag)
        acting = whole.results.actuations.get(str(tag))
        below = acting.below_face if acting else None
        if below is not None and hasattr(below, "value"):
            assert cells["Length below the face"] == f"{below.value * 1000:.0f} mm"
        else:
            assert "mm" not in cells["Length below the face"]
        assert cells["Cable length"].startswith("not worked out")
