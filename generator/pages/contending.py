"""Interlocks that want one device in opposite states: who wins, as stated, and what each of the two protects from."""

from collections.abc import Iterator
from itertools import combinations

from generator.model.page import Page, Running
from generator.model.scalar import Tag
from generator.pages import register
from generator.pages.context import Context
from generator.pages.logic_words import STANDS
from generator.pages.machine_facts import states_of
from generator.pages.paths import slug
from generator.pages.register import Group, Row, cell

NAME = "contending"
COLUMNS = ("Device", "One", "wants it", "The other", "wants it", "Who wins", "What the winner protects from",
           "What gives way protects from", "Can both ask at once")
_PROVED = {"holds": "no: in no possible state, latches counted", "fails": "yes, of this device: see the review",
           "cannot be assessed": "cannot be assessed"}


def pages(context: Context) -> Iterator[Page]:
    """The register of contending pairs, by device."""
    rows = tuple(_row(context, *pair) for pair in pairs(context))
    yield register.page(
        context, NAME, "Interlocks that want the same device in opposite states",
        "Each pair that drives one device to two states, and which of them wins as the definitions state it. Where nothing is "
        "stated nobody may count on either. Every interlock wins over ordinary running; permissives force nothing and are "
        "left out.", COLUMNS, (Group("Pairs", rows),) if rows else ())


def pairs(context: Context) -> Iterator[tuple[Tag, Tag, str, Tag, str]]:
    """Device, first interlock and the state it wants, second interlock and the state it wants."""
    plant = context.plant
    for device in (*plant.pumps, *plant.valves, *plant.equipment):
        wants = [(tag, str(state)) for tag in plant.interlocks_of_effect[device]
                 if plant.interlocks[tag].kind != "permissive" for state in states_of(context, device, plant.interlocks[tag])]
        for (one, first), (other, second) in combinations(wants, 2):
            if first != second and one != other:
                yield device, one, first, other, second


def winner(context: Context, one: Tag, other: Tag) -> Tag | None:
    """Which of two interlocks wins as stated; None where neither or each of them does."""
    locks = context.plant.interlocks
    over, under = other in locks[one].wins_over, one in locks[other].wins_over
    return None if over == under else one if over else other


def _row(context: Context, device: Tag, one: Tag, first: str, other: Tag, second: str) -> Row:
    wins = winner(context, one, other)
    loses = None if wins is None else other if wins == one else one
    link = context.paths.link
    won: Running = (link(wins),) if wins is not None else ("not stated",)
    proof = next((proof for many in context.results.proofs.values() for proof in many
                  if proof.question == "effects do not conflict" and proof.subject == device), None)
    both = "they may; the order is stated" if wins is not None else "not looked at" if proof is None else _PROVED[proof.verdict]
    return Row(slug(f"{device} {one} {other}"), (
        cell(link(device)), cell(link(one)), cell(STANDS[first]), cell(link(other)), cell(STANDS[second]), cell(*won),
        cell(*_against(context, wins)) if wins is not None else cell(*_against(context, one), "; ", *_against(context, other)),
        cell(*_against(context, loses)) if loses is not None else cell("not stated"), cell(both)))


def _against(context: Context, tag: Tag) -> Running:
    lock = context.plant.interlocks[tag]
    if lock.hazard is None:
        return (str(lock.because or "not recorded"),)
    hazard = context.plant.hazards[lock.hazard]
    return (context.paths.link(lock.hazard), f" {hazard.what}, harms {hazard.harms}")
