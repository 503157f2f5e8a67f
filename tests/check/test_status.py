"""What the document may claim: errors, holds and points without an issued height stand in the way."""

from pathlib import Path
from typing import Any

import pytest

from tests.check.small_plants import review_of

ERROR = {"interlocks": {"I-10": {"bad_signal": "~"}}}
UNKNOWN = {"tanks": {"T-10": {"duty": "~"}}}
WARNING = {"interlocks": {"I-10": {"manual_stop": "~"}}}
HOLD = {"holds": {"HOLD-1": {"what": "pump curve", "owner": "process engineer", "due": "2026-12-01"}}}
PROPOSED = {"switches": {"LSHH-10": {"height": {"issued": "~"}}}}
STATUSES = ("draft", "for review", "for construction", "as built")


@pytest.mark.parametrize(("change", "refused", "says"), [
    ({}, (), ""),
    (WARNING, (), ""),
    (ERROR, ("for construction", "as built"), "1 error-rated rule failed: 4.12 on I-10"),
    (UNKNOWN, ("for construction", "as built"), "1 error-rated rule could not be assessed: 1.1 on T-10"),
    (HOLD, ("as built",), "HOLD-1 is on hold"),
    ({"holds": {"HOLD-1": {**HOLD["holds"]["HOLD-1"], "closed": "2026-11-01"}}}, (), ""),
    (PROPOSED, ("for review", "for construction", "as built"), "LSHH-10 has no issued height"),
], ids=["clean", "warning", "error", "cannot be assessed", "hold", "closed hold", "proposed height"])
def test_blocks(change: Any, refused: tuple[str, ...], says: str, tmp_path: Path) -> None:
    found = []
    for status in STATUSES:
        blocks = review_of([change, {"plant": {"document": {"status": status}}}], tmp_path).blocks
        if blocks:
            found.append(status)
            assert says in " ".join(blocks)
    assert tuple(found) == refused
