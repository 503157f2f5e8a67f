"""Diagrams hold every cause and effect with a link, and work as circuits: simulated gate by gate against sympy."""

import random

import pytest
import sympy

from generator.model.diagram import Diagram
from generator.pages import diagrams, logic_words, machine_diagrams
from tests.conditions import expression
from tests.pages.plants import DEMO, LOGIC, context, definitions

EVERY = [(source, tag) for source in (LOGIC, DEMO) for tag in definitions(source).interlocks]


@pytest.mark.parametrize(("source", "tag"), EVERY)
def test_every_cause_and_effect_is_a_box_with_a_link(source: str, tag: str) -> None:
    one = context(source)
    lock, plant = one.plant.interlocks[tag], one.plant
    made = diagrams.of_interlock(one, tag)
    boxes = {node.lines[0].split(" ")[0]: node for node in made.nodes}
    elements = [element for target in lock.then for element in plant.members_of(target) or (target,)]
    for named in (*lock.when.tags(), *elements, *([lock.manual_stop] if lock.manual_stop else [])):
        assert boxes[named].path == one.paths.path(named), named


@pytest.mark.parametrize(("source", "tag"), EVERY)
def test_keys_are_unique_and_lines_lead_somewhere(source: str, tag: str) -> None:
    made = diagrams.of_interlock(context(source), tag)
    keys = [node.key for node in made.nodes]
    assert len(keys) == len(set(keys))
    assert {end for edge in made.edges for end in (edge.source, edge.target)} <= set(keys)
    lonely = set(keys) - {end for edge in made.edges for end in (edge.source, edge.target)}
    assert not lonely


def simulate(diagram: Diagram, state: dict[str, bool], key: str) -> bool:
    """A circuit of gates, from the box back to its causes. A latch lets its set side through."""
    node = next(node for node in diagram.nodes if node.key == key)
    bypasses = {node.key for node in diagram.nodes if node.kind == "bypass"} if node.lines[0].startswith("≥") else set()
    sources = [edge.source for edge in diagram.edges if edge.target == key and edge.source not in bypasses]
    if not sources:
        return state[node.key]
    if node.kind == "latch":
        return simulate(diagram, state, sources[0])
    values = [simulate(diagram, state, source) for source in sources]
    sign = node.lines[0]
    if node.kind != "gate":
        return values[0]
    if sign in diagrams.NOT:
        return not values[0]
    return all(values) if sign == "&" else sum(values) >= int(sign.removeprefix("≥"))


@pytest.mark.parametrize(("source", "tag"), EVERY)
def test_a_diagram_works_as_the_interlock_does(source: str, tag: str) -> None:
    one = context(source)
    lock, plant = one.plant.interlocks[tag], one.plant
    made = diagrams.of_interlock(one, tag)
    effect = next(node.key for node in made.nodes if node.kind in ("effect", "permitted"))
    inputs = [node.key for node in made.nodes if not any(edge.target == node.key for edge in made.edges)]
    chance = random.Random(tag)
    automatic, manual = expression(logic_words.automatic(lock)), logic_words.manual(lock)
    for _ in range(60):
        state = {key: chance.random() < 0.5 for key in inputs}
        asked = bool(automatic.subs({sympy.Symbol(str(cause)): state[cause] for cause in lock.when.tags()}))
        if lock.bypass and lock.vote_left is None:
            asked = asked and not state[f"bypass of {tag}"]
        if lock.live_in and set(lock.live_in) != set(plant.modes):
            asked = asked and state[f"mode of {tag}"]
        assert simulate(made, state, effect) == (asked or bool(manual and state[manual]))


@pytest.mark.parametrize("source", [LOGIC, DEMO])
def test_a_machine_shows_every_interlock_and_control_that_moves_it(source: str) -> None:
    one = context(source)
    for tag in (*one.plant.pumps, *one.plant.valves, *one.plant.equipment):
        moving = {*one.plant.interlocks_of_effect[tag]}
        made = machine_diagrams.of_machine(one, tag)
        shown = {node.lines[0] for node in made.nodes if node.kind == "function"} if made else set()
        assert moving <= shown
        starts = {name for name in one.plant.controls_of_element[tag] if hasattr(one.plant.controls[name], "starts")}
        assert shown == moving | starts
