"""What a waiver covers, and how it lapses. The cases follow the rules of waiving that the project sets itself."""

from pathlib import Path
from typing import Any

from generator.model.finding import Finding, Review
from tests.check.small_plants import review_of

FAULT = {"interlocks": {"I-10": {"bad_signal": "~"}}}  # an error, since the environment depends on I-10
WAIVER = {"rule": "4.12", "on": "I-10", "accepts": "bad signal not defined", "because": "the supplier is asked",
          "by": "process engineer", "until": "2026-12-01", "instead": "hand dips", "second": "plant manager"}


def reviewed(folder: Path, waiver: dict[str, Any], *more: Any) -> tuple[Finding, Review]:
    review = review_of([FAULT, {"waivers": [waiver]}, *more], folder)
    return next(one for one in review.findings if one.rule == "4.12" and one.subject == "I-10"), review


def about_waivers(review: Review) -> list[str]:
    return [one.rule for one in review.findings if one.verdict == "fail" and one.subject.startswith("waiver")]


def test_a_complete_waiver_covers_its_finding(tmp_path: Path) -> None:
    finding, review = reviewed(tmp_path, WAIVER)
    assert (finding.verdict, finding.waiver, finding.is_open) == ("waived", 1, False)
    assert about_waivers(review) == []


def test_other_evidence_lapses_it(tmp_path: Path) -> None:
    finding, review = reviewed(tmp_path, {**WAIVER, "accepts": "something milder"})
    assert finding.verdict == "fail"
    assert about_waivers(review) == ["10.16"]


def test_a_passed_day_lapses_it(tmp_path: Path) -> None:
    finding, review = reviewed(tmp_path, {**WAIVER, "until": "2026-11-13"})
    assert finding.verdict == "fail"
    assert about_waivers(review) == ["10.17"]


def test_it_holds_on_its_last_day(tmp_path: Path) -> None:
    assert reviewed(tmp_path, {**WAIVER, "until": "2026-11-14"})[0].verdict == "waived"


def test_an_error_needs_an_answer_and_a_second_role(tmp_path: Path) -> None:
    for gone in ("instead", "second"):
        finding, review = reviewed(tmp_path, {key: value for key, value in WAIVER.items() if key != gone})
        assert finding.verdict == "fail"
        assert about_waivers(review) == ["10.18"]


def test_a_warning_needs_neither(tmp_path: Path) -> None:
    waiver = {key: value for key, value in WAIVER.items() if key not in ("instead", "second")}
    finding, _ = reviewed(tmp_path, waiver, {"hazards": {"H-10": {"harms": "equipment"}}})
    assert (finding.severity, finding.verdict) == ("warning", "waived")


def test_a_waiver_for_another_subject_covers_nothing(tmp_path: Path) -> None:
    finding, review = reviewed(tmp_path, {**WAIVER, "on": "I-11"})
    assert finding.verdict == "fail"
    assert about_waivers(review) == ["10.16"]


def test_worse_evidence_lapses_a_shortfall_in_millimetres(tmp_path: Path) -> None:
    waiver = {**WAIVER, "rule": "1.11", "on": "LSHH-10", "accepts": "5 mm above the overflow"}
    for height, verdict in (("3.590 m", "waived"), ("3.600 m", "fail")):
        change = {"switches": {"LSHH-10": {"height": {"issued": height}}}, "waivers": [waiver]}
        review = review_of([change], tmp_path)
        assert next(one for one in review.findings if one.rule == "1.11" and one.subject == "LSHH-10").verdict == verdict


def test_what_cannot_be_assessed_can_be_waived(tmp_path: Path) -> None:
    waiver = {**WAIVER, "rule": "1.1", "on": "T-10", "accepts": "not recorded: T-10: duty"}
    review = review_of([{"tanks": {"T-10": {"duty": "~"}}, "waivers": [waiver]}], tmp_path)
    assert next(one for one in review.findings if one.rule == "1.1" and one.subject == "T-10").verdict == "waived"


def test_what_a_waiver_must_accept_is_printed_with_the_finding(tmp_path: Path) -> None:
    finding, _ = reviewed(tmp_path, {**WAIVER, "accepts": "something milder"})
    shown = str(finding).partition("to waive, accept: ")[2].splitlines()[0]
    waived, review = reviewed(tmp_path, {**WAIVER, "accepts": shown})
    assert (waived.verdict, about_waivers(review)) == ("waived", [])
    assert "to waive" not in str(waived)


def test_a_waiver_of_a_rule_that_is_not_there_says_so(tmp_path: Path) -> None:
    _, review = reviewed(tmp_path, {**WAIVER, "rule": "77.1"})
    said = next(one for one in review.findings if one.rule == "10.16")
    assert said.stands == "there is no rule 77.1"
    _, review = reviewed(tmp_path, {**WAIVER, "rule": "4.012"})
    said = next(one for one in review.findings if one.rule == "10.16")
    assert "did you mean `4.12`?" in said.cure
