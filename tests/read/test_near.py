"""Which tags are offered for a misspelt one: worked by hand, slip by slip."""

import pytest

from generator.read.near import edits, near_nozzle, near_tag

KNOWN = ["T-701", "LT-701", "LSHH-701", "LSL-701", "HS-710", "P-70A", "control_room", "LSHH-1203"]


@pytest.mark.parametrize(("written", "offered"), [
    ("LSH-701", "LSHH-701"), ("lshh701", "LSHH-701"), ("LSHH-710", "LSHH-701"), ("T-7O1", ""), ("LSHH-702", "LSHH-701"),
    ("LSLL-701", "LSL-701"), ("LSHL-703", ""), ("LSHH-850", ""), ("FS-999", ""), ("contrl_rom", "control_room"),
    ("kitchen", ""), ("LSHH-1230", "LSHH-1203"),
])
def test_one_slip_is_offered_and_more_are_not(written: str, offered: str) -> None:
    assert near_tag(written, KNOWN) == (f"did you mean `{offered}`?" if offered else "")


@pytest.mark.parametrize(("written", "offered"), [
    ("n3", "N3"), ("N-3", "N3"), ("M3", "N3"), ("N7", ""), ("K4", ""), ("N21", "N12"), ("manway", "")])
def test_a_nozzle_of_another_digit_is_another_nozzle(written: str, offered: str) -> None:
    assert near_nozzle(written, ["N1", "N3", "N12", "MH1"]) == (f"did you mean `{offered}`?" if offered else "")


@pytest.mark.parametrize(("one", "other", "number"), [
    # Levenshtein's textbook pair; then one exchange of neighbours, which counts once (Damerau)
    ("kitten", "sitting", 3), ("abcd", "abdc", 1), ("", "abc", 3), ("same", "same", 0),
])
def test_edits(one: str, other: str, number: int) -> None:
    assert edits(one, other) == edits(other, one) == number
