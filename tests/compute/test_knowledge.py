"""The generator's own data against the sources that it names."""

import re
from typing import get_args

import pytest

from generator import read
from generator.model.instrument import Technology

RULES = read.knowledge().rules
KILOWATT, HORSEPOWER = 1e3, 550 * 0.3048 * 0.45359237 * 9.80665


def cycle(rule: str, power: float) -> float:
    """Shortest cycle of a table for a motor of a power, in minutes."""
    return next(time for limit, time in RULES[rule].cycles if power <= limit) / 60


def test_every_rule_names_its_source_and_how_sure_it_is() -> None:
    for rule in RULES.values():
        assert rule.mark in ("found", "from memory", "common practice"), rule.name
        assert all((rule.title, rule.standard, rule.says, rule.scope)), rule.name
        assert re.fullmatch(r"[a-z0-9-]+", rule.name)
        assert list(rule.cycles) == sorted(rule.cycles) and sorted(time for _, time in rule.cycles) == [
            time for _, time in rule.cycles], rule.name


def test_gap_rules() -> None:
    # API Std 2350 levels of concern (found in a trade article); N.H. Admin. Code Env-Or 302.04 (found)
    assert (RULES["overfill-gap"].time, RULES["overfill-gap"].height) == (300, pytest.approx(0.075))
    assert RULES["two-minute-rule"].time == 120
    # API Std 2350 default response times of categories 1 to 3 (from memory)
    assert [RULES[f"overfill-response-category-{number}"].time for number in (1, 2, 3)] == [2700, 1800, 900]


@pytest.mark.parametrize(("rule", "power", "minutes"), [
    # USACE EI 11C201 Table 7-1 (found): shorter ends of 10-15, 15-20 and 20-30 min
    ("pumping-station-cycles", 11 * KILOWATT, 10), ("pumping-station-cycles", 30 * KILOWATT, 15),
    ("pumping-station-cycles", 110 * KILOWATT, 20),
    ("handbook-cycles", 40 * HORSEPOWER, 6),  # MIL-HDBK-1005/9A 2.5.3.6 (found)
    ("lift-station-cycles", 40 * HORSEPOWER, 6), ("lift-station-cycles", 75 * HORSEPOWER, 10),  # 30 TAC 217.60, memory
    ("lift-station-cycles", 150 * HORSEPOWER, 15),
    # the shortest cycle holds below 15 kW and below 50 hp, so that motors of just these sizes belong to the next row
    ("pumping-station-cycles", 15 * KILOWATT, 15), ("lift-station-cycles", 50 * HORSEPOWER, 10),
    ("pumping-station-cycles", 75 * KILOWATT, 15), ("lift-station-cycles", 100 * HORSEPOWER, 10),
])
def test_cycle_tables(rule: str, power: float, minutes: float) -> None:
    assert cycle(rule, power) == pytest.approx(minutes)


@pytest.mark.parametrize(("horsepower", "starts"), [
    # NEMA MG 10 Table 2-3, four poles, column A (found in two copies)
    (1, 30), (2, 23), (5, 16.3), (10, 12.5), (25, 8.8), (50, 6.8), (100, 5.2), (250, 3.7)])
def test_starts_table_of_motors(horsepower: float, starts: float) -> None:
    assert 60 / cycle("motor-starts", horsepower * 745.69) == pytest.approx(starts, rel=1e-4)


def test_a_motor_beyond_a_table_has_no_row() -> None:
    assert not [row for row in RULES["pumping-station-cycles"].cycles if row[0] >= 200 * KILOWATT]
    assert not [row for row in RULES["handbook-cycles"].cycles if row[0] >= 50 * HORSEPOWER]  # MIL-HDBK: below 50 hp


def test_every_technology_is_described_in_three_sentences() -> None:
    technologies = read.knowledge().technologies
    assert set(technologies) == set(get_args(Technology))
    for one in technologies.values():
        assert len(re.findall(r"\.(?:\s|$)", one.principle)) == 3, one.name
        assert one.needs and one.defeated_by and one.test, one.name
