"""Model and results to findings: every rule on every subject, then waivers, then what the document may claim."""

from collections.abc import Container
from types import ModuleType

from msgspec.structs import replace

from generator.check import (
    alarm_list,
    alarms,
    bypasses,
    contacts,
    document,
    dry_run,
    effects,
    failing,
    first_cause,
    independence,
    installation,
    instruments,
    interlocks,
    lengths,
    links,
    loads,
    overflows,
    places,
    proof,
    pump_motors,
    pumps,
    purposes,
    scenarios,
    setpoints,
    streams,
    tags,
    tanks,
    trips,
    votes,
    waivers,
)
from generator.check.context import Context
from generator.check.grouping import grouped
from generator.check.rule import Check
from generator.check.runner import run
from generator.check.status import blocks
from generator.model.finding import Review
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.results import Results

MODULES: tuple[ModuleType, ...] = (
    tanks, overflows, setpoints, trips, alarms, alarm_list, first_cause, independence, votes, contacts, loads, failing, links,
    interlocks, effects, purposes, scenarios, streams, pumps, pump_motors, dry_run, instruments, places, installation,
    lengths, proof, bypasses, document, tags, waivers,
)
"""Where the rules stand."""


def _in_order(check: Check) -> tuple[int, ...]:
    return tuple(int(part) for part in check.number.split("."))


CHECKS: tuple[Check, ...] = tuple(sorted(
    (value for module in MODULES for value in vars(module).values() if isinstance(value, Check)), key=_in_order
))
"""Every rule, in the order of their numbers."""
_NAMES = frozenset(name for check in CHECKS for name in (check.number, check.name))


def review(plant: Definitions, results: Results, knowledge: Knowledge, only: Container[str] | None = None) -> Review:
    """Every finding of a plant, the catalogue of rules, and why the claimed status may not stand.

    `only` are the numbers of the rules that somebody asks about; what waivers cover then rests on their findings alone.
    """
    context = Context(plant, results, knowledge)
    asked = [check for check in CHECKS if only is None or check.number in only]
    of_plant = run((check for check in asked if check.scope != "waiver"), context)
    covered = waivers.apply(grouped(waivers.apply(of_plant, plant)), plant)
    standing = tuple(finding for finding in covered if finding.verdict in waivers.STANDING)
    of_waivers = run((check for check in asked if check.scope == "waiver"), replace(context, findings=standing, rules=_NAMES))
    findings = (*covered, *of_waivers)
    return Review(findings, tuple(check.as_rule() for check in CHECKS), blocks(plant, findings))
