"""What starts when power returns, and what has to ask for it; common practice, no source, told by hand of one small plant."""

from typing import Any

import pytest

from generator.model.page import plain
from generator.pages import equipment_register, tank_logic
from generator.pages.context import Context
from generator.pages.machine_facts import starts_again
from tests.compute import small
from tests.pages.plants import of

AGAIN = {"by_itself": "yes", "after": "5 s"}


def plant(kind: str = "trip", **nouns: Any) -> Context:
    """A trip that sounds a horn and starts P-9; two pumps, duty and standby, that no control starts."""
    lock = {"area": "A", "service": "x", "kind": kind, "because": "x", "when": "H", "then": {"E": "sounding", "P-9": "running"}}
    return of(
        switches={"H": small.switch("rising", issued="3 m"), "S": small.switch("rising", issued="2 m", role="control"),
                  "L": small.switch("falling", issued="1 m", role="control")},
        pumps={tag: small.pump(restart=AGAIN) for tag in ("P-1", "P-2", "P-3", "P-9")},
        pump_groups={"G": {"name": "pair", "pumps": ["P-1", "P-2"], "arrangement": "duty/standby"}},
        equipment={"E": {"area": "A", "service": "horn", "kind": "horn", "restart": {"by_itself": "yes"}},
                   "E-2": {"area": "A", "service": "fan", "kind": "fan", "restart": {"by_itself": "yes"}}},
        interlocks={"I": lock, "J": lock | {"kind": "releasing interlock", "then": {"E-2": "off", "P-1": "stopped"}}}, **nouns)


@pytest.mark.parametrize(("tag", "said"), [
    ("E", "sounds again while I is tripped"), ("E-2", "starts by itself"), ("P-3", "starts by itself after 5 s"),
    ("P-9", "starts by itself after 5 s while I is tripped"),
    ("P-1", "starts by itself after 5 s; G is duty/standby, and what keeps its standby pump stopped is not recorded: expect that "
            "P-2 starts too"),
])
def test_what_starts_says_what_asks_for_it_on_every_page(tag: str, said: str) -> None:
    made = plant()
    noun = made.plant.noun_of[tag]
    restart = getattr(made.plant, noun)[tag].restart
    after = (" after ", restart.after.written) if restart.after else ()
    assert plain(starts_again(made, tag, after)) == said  # type: ignore[arg-type]
    (page,) = (page for page in equipment_register.pages(made) if page.path.endswith("power-return.html"))
    cells = next([plain(cell.parts) for cell in row.cells] for group in page.view.groups for row in group.rows
                 if row.anchor == tag.lower())
    assert said.replace(" after 5 s", "") in cells
    rows = {row.subject.text: plain(row.says) for row in tank_logic.power_returns(made, "T-1")}
    assert rows[tag] == said


def test_a_horn_of_an_interlock_that_is_no_trip_sounds_while_it_asks() -> None:
    assert plain(starts_again(plant("releasing interlock"), "E")) == "sounds again while I asks for it"  # type: ignore[arg-type]


def test_a_control_asks_its_pumps_and_no_standby_is_then_doubted() -> None:
    control = {"C": {"kind": "start and stop", "area": "A", "tank": "T-1", "moves": "G", "starts": ["S"], "stops": "L"}}
    assert plain(starts_again(plant(controls=control), "P-2")) == (  # type: ignore[arg-type]
        "starts by itself where its control asks for it")


def test_a_standby_pump_that_waits_for_a_person_is_not_expected_to_start() -> None:
    waits = {tag: small.pump(restart={"by_itself": "no"} if tag == "P-2" else AGAIN) for tag in ("P-1", "P-2", "P-9")}
    made = of(pumps=waits, pump_groups={"G": {"name": "pair", "pumps": ["P-1", "P-2"], "arrangement": "duty/standby"}})
    assert plain(starts_again(made, "P-1")) == "starts by itself"  # type: ignore[arg-type]
