"""Every rule on small plants: the base plant with one thing changed, as the case files in `cases/` say.

A case file names the rule, if wanted what is `given` in all its cases, and the cases: `change` is laid over the base
plant (`~` takes a key out), then the finding of the rule on `subject` must have the `verdict`, and where stated the
`evidence`, the `missing` fields, the `severity`, and words that stand in the `condition` or in what `stands`.
"""

import inspect
from pathlib import Path
from typing import Any

import pytest

from generator import check
from generator.check import sentences
from generator.model.finding import Finding
from tests.check.small_plants import HERE, knowledge, review_of, text_only
from tests.pages.plants import DEMO, context

FILES = sorted((HERE / "cases").glob("*.yml"))
KEYS = {"name", "change", "subject", "verdict", "evidence", "missing", "severity", "condition", "stands", "tags"}


def cases() -> list[Any]:
    made = []
    for file in FILES:
        whole = text_only(file)
        for case in whole["cases"]:
            made.append(pytest.param(whole, case, id=f"{file.stem}: {case.get('name') or case['verdict']}"))
    return made


@pytest.mark.parametrize(("whole", "case"), cases())
def test_rule(whole: Any, case: Any, tmp_path: Path) -> None:
    assert set(case) <= KEYS
    review = review_of([whole.get("given", {}), case.get("change", {})], tmp_path, whole["rule"])
    subject = case.get("subject", whole.get("subject"))
    found = [one for one in review.findings if one.rule == whole["rule"] and one.subject == subject]
    assert len(found) == 1, [one.subject for one in review.findings if one.rule == whole["rule"]]
    finding: Finding = found[0]
    assert finding.verdict == case["verdict"], finding
    if "evidence" in case:
        assert finding.evidence == case["evidence"]
    if "missing" in case:
        assert list(finding.missing) == case["missing"]
    if "severity" in case:
        assert finding.severity == case["severity"]
    if "tags" in case:
        assert set(case["tags"]) <= set(finding.tags)
    assert case.get("condition", "") in finding.condition
    assert case.get("stands", "") in finding.stands
    if finding.verdict == "fail":
        assert finding.evidence
        assert finding.cure
        assert finding.place.line > 0
    if finding.verdict == "cannot be assessed":
        assert finding.missing


@pytest.mark.parametrize("rule", check.CHECKS, ids=lambda rule: rule.number)
def test_every_rule_has_its_cases(rule: check.Check) -> None:
    file = HERE / "cases" / f"{rule.number}-{rule.name}.yml"
    assert file.exists()
    whole = text_only(file)
    assert whole["rule"] == rule.number
    verdicts = {case["verdict"] for case in whole["cases"]}
    assert {"pass", "fail"} <= verdicts
    if rule.needs or "Missing(" in inspect.getsource(rule.function):
        assert "cannot be assessed" in verdicts
    if rule.published or rule.conditions:
        assert "does not apply" in verdicts


@pytest.mark.parametrize("rule", check.CHECKS, ids=lambda rule: rule.number)
def test_every_rule_has_a_page(rule: check.Check) -> None:
    page = rule.as_rule()
    assert len(page.text.split()) >= 15
    assert "Cure:" in page.text
    assert page.basis
    assert page.title
    assert not page.title.endswith(".")


def test_no_case_file_without_a_rule() -> None:
    assert {file.stem for file in FILES} == {f"{rule.number}-{rule.name}" for rule in check.CHECKS}


def test_numbers_and_names_stand_once() -> None:
    assert len({rule.number for rule in check.CHECKS}) == len(check.CHECKS)
    assert len({rule.name for rule in check.CHECKS}) == len(check.CHECKS)


def test_numbers_rise() -> None:
    numbers = [tuple(map(int, rule.number.split("."))) for rule in check.CHECKS]
    assert numbers == sorted(numbers)


def test_published_rules_are_known() -> None:
    assert {rule.published for rule in check.CHECKS if rule.published} <= set(knowledge().rules)


def test_the_base_plant_is_clean(tmp_path: Path) -> None:
    review = review_of([], tmp_path)
    assert [one for one in review.findings if one.verdict not in ("pass", "does not apply")] == []
    assert review.blocks == ()


def test_the_grade_in_a_liquids_name_is_no_typed_quantity() -> None:
    """A label says "32 %": nobody's field holds that number, so nothing can drift from it. Common practice, no source."""
    named = {one.name for one in sentences.sentences(context(DEMO))}
    assert "caustic: name" not in named and "plant: datum" not in named and named
