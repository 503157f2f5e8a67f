"""Faults planted one at a time, then all at once, in a plant on which every rule holds: each is found, and told in words."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from generator.model.finding import Finding, Review
from tests.check.small_plants import laid_over, review_of, text_only

HOSTILE = text_only(Path(__file__).parents[1] / "plants" / "hostile.yml")
FAULTS: list[Any] = HOSTILE["faults"]


def leaves(change: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Places that a change writes to; what an interlock asks for, does and is held by counts as one place."""
    if not isinstance(change, dict) or (path[:1] in (("interlocks",), ("switches",), ("alarms",)) and len(path) == 2):
        yield path
        return
    for key, value in change.items():
        yield from leaves(value, (*path, key))


def apart() -> list[Any]:
    """As many faults as do not write to the same place, in the order written."""
    taken: set[tuple[str, ...]] = set()
    made = []
    for fault in FAULTS:
        places = set(leaves(fault["change"]))
        if not places & taken:
            taken |= places
            made.append(fault)
    return made


def open_findings(review: Review) -> dict[tuple[str, str], Finding]:
    return {(one.rule, one.subject): one for one in review.findings if one.verdict not in ("pass", "does not apply")}


def test_the_plant_without_them_is_clean(tmp_path: Path) -> None:
    assert open_findings(review_of([HOSTILE["clean"]], tmp_path)) == {}


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: str(fault["name"]))
def test_a_planted_fault_is_found(fault: Any, tmp_path: Path) -> None:
    found = open_findings(review_of([HOSTILE["clean"], fault["change"]], tmp_path)).get((fault["rule"], fault["subject"]))
    assert found is not None
    assert found.verdict == "fail"
    assert fault["says"] in found.stands
    assert found.cure
    assert found.place.line > 0


def test_none_hides_another(tmp_path: Path) -> None:
    together = apart()
    assert len(together) >= 15
    changes: Any = {}
    for fault in together:
        changes = laid_over(changes, fault["change"])
    found = open_findings(review_of([HOSTILE["clean"], changes], tmp_path))
    assert [fault["name"] for fault in together if (fault["rule"], fault["subject"]) not in found] == []
