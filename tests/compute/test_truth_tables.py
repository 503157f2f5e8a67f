"""The eleven truth tables, worked by hand for the page on the meaning of the logic, held against the logic row by row."""

from collections.abc import Callable
from typing import Any

import pytest

from generator import read
from generator.compute import logic, logic_states
from generator.model.condition import Condition
from generator.model.interlock import Interlock
from generator.model.results import Band

BIT = {"1": True, "0": False, "?": None}
POINT: dict[str, Any] = {"acts": "rising", "act": Band(1.64, 1.66), "reset": Band(1.60, 1.62)}
Row = dict[str, str]


def said(state: bool | None) -> str:
    return "?" if state is None else str(int(state))


def of(condition: Any, cells: Row) -> str:
    acted = {tag for tag, cell in cells.items() if cell == "1"}
    unknown = {tag for tag, cell in cells.items() if cell == "?"}
    return said(logic.evaluate(Condition.read(condition), acted, unknown))


def joining(row: Row) -> list[str]:
    return [of({"any_of": ["A", "B"]}, row), of({"all_of": ["A", "B"]}, row), of({"not": "A"}, row)]


def vote(row: Row) -> list[str]:
    return [of({"2 of": ["A", "B", "C"]}, row)]


def bad_signal(row: Row) -> list[str]:
    answers = []
    for answer in ("trips", "holds", "ignored"):
        member = logic_states.counted(False, True, answer, last=row["C said last"] == "1")  # type: ignore[arg-type]  # one of them
        answers.append(of({"2 of": ["A", "B", "C"]}, {"A": row["A"], "B": row["B"], "C": said(member)}))
    return answers


def bypass(row: Row) -> list[str]:
    lock = Interlock.model_validate({
        "area": "1", "service": "x", "kind": "trip", "because": "x", "when": "CAUSE", "then": {"XV": "closed"},
        "manual_stop": "HS"})
    acted = {tag for tag, cell in (("CAUSE", row["cause"]), ("HS", row["manual stop pushed"])) if cell == "1"}
    unknown = {"CAUSE"} if row["cause"] == "?" else set()
    return [said(logic.demanded(lock, acted, unknown, bypassed=row["bypassed"] == "1"))]


def deadband(row: Row) -> list[str]:
    return [said(logic_states.point_state(BIT[row["had acted"]], float(row["level in m"]), **POINT))]


def on_delay(row: Row) -> list[str]:
    before: Any = row["before"]
    after = logic_states.on_delay(before, row["cause"] == "1", row["time is over"] == "1")
    return [after, said(after == "elapsed")]


def off_delay(row: Row) -> list[str]:
    before: Any = row["before"]
    after = logic_states.off_delay(before, row["cause"] == "1", row["time is over"] == "1")
    return [after, said(after != "elapsed")]


def latch(row: Row) -> list[str]:
    names = ("held before", "demand", "reset pushed", "reset accepted")
    return [said(logic_states.latched(*(row[name] == "1" for name in names)))]


def permissive(row: Row) -> list[str]:
    names = ("ran before", "start pushed", "permitted", "stop asked")
    return [said(logic_states.runs(*(row[name] == "1" for name in names)))]


def power_return(row: Row) -> list[str]:
    point = logic_states.point_after_power_loss(row["had acted"] == "1", row["has a contact"] == "1", 1.63, **POINT)
    held = logic_states.latch_after_power_loss(row["held before"] == "1", row["latch survives"] == "1", demand=False)
    return [said(point), said(held)]


def first_cause(row: Row) -> list[str]:
    before = [] if row["first cause before"] == "none" else row["first cause before"].split(" or ")
    standing = [name for name in "AB" if row[name] == "1"]
    return [" or ".join(logic_states.first_cause(before, standing, row["reset accepted"] == "1")) or "none"]


WORKED: dict[str, Callable[[Row], list[str]]] = {
    "joining": joining, "vote": vote, "bad signal": bad_signal, "bypass": bypass, "deadband": deadband,
    "on-delay": on_delay, "off-delay": off_delay, "latch": latch, "permissive": permissive, "power return": power_return,
    "first cause": first_cause,
}


@pytest.mark.parametrize("table", read.knowledge().truth_tables, ids=lambda table: table.name)
def test_every_row_by_hand_is_what_the_logic_gives(table: Any) -> None:
    assert table.columns[-len(table.results):] == table.results
    for row in table.rows:
        assert len(row) == len(table.columns)
        assert WORKED[table.name](dict(zip(table.columns, row, strict=True))) == list(row[-len(table.results):]), row


def test_there_are_eleven() -> None:
    assert [table.name for table in read.knowledge().truth_tables] == list(WORKED)
