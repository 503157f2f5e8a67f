"""The pages of machines and interlocks: what drives a machine answers its question; every page prints."""

import pytest

from generator.model.page import Link, plain
from generator.model.scalar import Tag
from generator.pages import interlocks, machine_facts, machines
from generator.pages.pump_numbers import PumpNumbers
from generator.render.environment import fragment
from tests.compute import small
from tests.pages.plants import DEMO, LOGIC, context, of

PLANTS = (LOGIC, DEMO)


@pytest.mark.parametrize("source", PLANTS)
def test_each_machine_lists_what_drives_it_and_nothing_else(source: str) -> None:
    one = context(source)
    for page in machines.pages(one):
        view, plant = page.view, one.plant
        named = {(row.trip.interlock.text, question.state) for question in view.questions for row in question.rows}
        states = {"stopped": "STOPPED", "closed": "SHUT", "open": "OPEN", "running": "RUNNING", "off": "OFF",
                  "on": "ON", "sounding": "SOUNDING"}
        meant = {
            (str(tag), states[state]) for tag, lock in plant.interlocks.items() for target, state in lock.then.items()
            if lock.kind != "permissive"
            and view.tag in (target, *(plant.pump_groups[target].pumps if target in plant.pump_groups else ()))
        }
        assert named == meant, view.tag
        permitted = {row.trip.interlock.text for row in view.permissives}
        assert permitted == {str(tag) for tag in plant.interlocks_of_effect[view.tag]
                             if plant.interlocks[tag].kind == "permissive"}
        assert {control.control.text for control in view.controls} == set(plant.controls_of_element[view.tag])


@pytest.mark.parametrize("source", PLANTS)
def test_every_page_prints_and_says_where_it_is_written(source: str) -> None:
    one = context(source)
    for page in (*machines.pages(one), *interlocks.pages(one)):
        text = fragment(page)
        assert page.view.source.text in text
        assert "None" not in text.replace("None of", "")
        assert page.source is not None


@pytest.mark.parametrize("source", PLANTS)
def test_every_number_with_a_record_is_a_door(source: str) -> None:
    one = context(source)
    for page in (*machines.pages(one), *interlocks.pages(one)):
        assert set(page.view.doors) <= set(one.results.records)
        for path in page.view.doors.values():
            assert path.startswith("calculations/") and "#" in path


def test_an_interlock_page_answers_reset_bypass_and_failures() -> None:
    view = next(page.view for page in interlocks.pages(context(LOGIC)) if page.view.tag == "I-101")
    reset = {fact.label: plain(fact.words) for fact in view.reset}
    assert reset["Where"] == "LP-1, button HR-101"
    assert reset["Who"] == "shift operator"
    assert reset["Accepted"].startswith("once LSHH-101 is clear (below ")
    assert reset["Power returns"] == "the trip is still there"
    bypass = {fact.label: plain(fact.words) for fact in view.bypass}
    assert (bypass["Allowed"], bypass["Longest"], bypass["Instead"]) == ("yes, key HB-101", "8 h", "hand dips")
    failures = [(fact.label, plain(fact.words)) for fact in view.failures]
    assert ("Drive lost", "XV-101 (IA-1): closes, to its safe side.") in failures
    assert ("Drive lost", "HA-1 (UPS-1): goes off, and not to the side this interlock asks for.") in failures
    assert ("Does not move", "XV-101: ZSC-101 shows it after 10 s.") in failures
    assert ("Does not move", "HA-1: nobody is told; no feedback is recorded.") in failures


def test_an_interlock_that_may_not_be_bypassed_says_so() -> None:
    view = next(page.view for page in interlocks.pages(context(LOGIC)) if page.view.tag == "I-201")
    assert [plain(fact.words) for fact in view.bypass] == ["no: it may not be bypassed"]
    assert [plain(fact.words) for fact in view.reset] == ["nothing to reset: it lets go by itself"]


@pytest.mark.parametrize("source", PLANTS)
def test_a_budget_adds_up_and_says_what_is_missing(source: str) -> None:
    for page in interlocks.pages(context(source)):
        for budget in page.view.budgets:
            if budget.needed.unit:
                together = sum(float(step.time.number) for step in budget.steps)
                assert abs(together - float(budget.needed.number)) <= 0.05 * (len(budget.steps) + 1)
            else:
                assert budget.share is None and budget.missing


@pytest.mark.parametrize("source", PLANTS)
def test_matrix_links_lead_to_anchors_that_stand(source: str) -> None:
    from generator.pages import matrices
    one = context(source)
    text = {page.path: fragment(page) for page in matrices.pages(one)}
    links: list[Link] = [link for page in interlocks.pages(one) for link in page.view.rows]
    links += [link for page in machines.pages(one) for link in page.view.matrix]
    assert links
    for link in links:
        path, anchor = link.path.split("#")
        assert f'id="{anchor}"' in text[path], link


def numbers_of(tag: str) -> PumpNumbers:
    one = context(DEMO)
    return next(page.view.numbers for page in machines.pages(one) if page.view.tag == tag)


def test_a_pump_page_sets_every_source_of_a_start_limit_side_by_side() -> None:
    one = context(DEMO)
    made = numbers_of("P-610A")
    tables = [rule for rule in one.knowledge.rules.values() if rule.cycles]
    assert len(made.limits) == len(tables) + 1
    assert [row.counts for row in made.limits] == [True] + [False] * len(tables)
    assert len({plain(row.allowed) for row in made.limits}) > 2
    assert "do not agree" in made.limits_say


def test_a_pump_page_draws_the_restart_of_its_supply_in_the_order_of_time() -> None:
    one = context(DEMO)
    made = numbers_of("P-610A")
    line = one.results.restarts["MS-1"]
    assert [row.machine.text for row in made.restarts] == [step.tag for step in line.steps]
    assert [step.after.value for step in line.steps] == sorted(step.after.value for step in line.steps)
    assert [row.machine.text for row in made.restarts if row.is_here] == ["P-610A"]


def test_a_pump_page_says_why_alternation_does_not_count() -> None:
    facts = {fact.label: plain(fact.words) for block in numbers_of("P-610A").blocks for fact in block.facts}
    assert "two pumps share the work" in facts["Starts of each in turn"]
    assert facts["With the largest out"].startswith("120")  # two of three pumps of 60 m3/h
    assert [block.anchor for block in numbers_of("P-310A").blocks] == ["suction", "starts", "one-out", "motor"]


def test_a_pump_page_names_the_stop_from_which_its_levels_count() -> None:
    """The stop of its control, not the trip on dry running below it."""
    facts = {fact.label: plain(fact.words) for block in numbers_of("P-610A").blocks for fact in block.facts}
    assert facts["Level at which it has come to rest"].endswith("after the stop of LSL-610")
    assert facts["From a failed stop to air at the inlet"].endswith(", when LSL-610 does not stop it")


def test_only_pumps_have_pump_numbers() -> None:
    assert all((page.view.numbers is None) == (page.view.tag not in context(LOGIC).plant.pumps)
               for page in machines.pages(context(LOGIC)))


def test_what_makes_a_pump_run_is_no_answer_to_why_it_does_not_start() -> None:
    made = context(DEMO)
    for page in machines.pages(made):
        view = page.view
        for link in view.held_by:
            lock = made.plant.interlocks[link.text]
            assert {"stopped", "closed", "off"} & set(machines.states_of(made, view.tag, lock)), (view.tag, link.text)


def test_the_ordinary_stop_by_level_answers_why_it_stopped() -> None:
    """Every pump that a control by contacts moves, against the definitions of the control."""
    made = context(DEMO)
    looked_at = 0
    for page in machines.pages(made):
        view = page.view
        for name in made.plant.controls_of_element[view.tag]:
            control = made.plant.controls[name]
            if not hasattr(control, "stops"):
                continue
            rests = {"pumps": "STOPPED", "valves": "SHUT", "equipment": "OFF"}[made.plant.noun_of[view.tag]]
            (question,) = (one for one in view.questions if one.state == rests)
            assert any(link.text == name and control.stops in plain(words) for link, words in question.ordinary)
            looked_at += 1
    assert looked_at > 5


def test_an_interlock_that_lets_go_by_itself_holds_a_machine_back_while_its_cause_stands() -> None:
    """Every interlock of the definitions that brings a machine to rest answers why it does not start, with its cause."""
    made = context(DEMO)
    held: dict[str, set[str]] = {}
    for page in machines.pages(made):
        view = page.view
        said = {link.text: plain(cause) for link, cause in view.releasing}
        held[view.tag] = set(said)
        for name in made.plant.interlocks_of_effect[view.tag]:
            lock = made.plant.interlocks[name]
            rests = {"stopped", "closed", "off"} & set(machines.states_of(made, view.tag, lock))
            answers = {*said, *(link.text for link in view.held_by), *(row.trip.interlock.text for row in view.permissives)}
            assert (name in answers) == bool(rests or lock.kind == "permissive"), (view.tag, name)
            assert name not in said or all(tag in said[name] for tag in lock.when.tags())
    assert {"I-241"} <= held["P-240A"]
    assert {tag: held[tag] for tag in ("P-510", "P-520", "P-220A", "P-220B", "P-340A", "XV-420")} == {
        "P-510": {"I-512"}, "P-520": {"I-521"}, "P-220A": {"I-222"}, "P-220B": {"I-222"}, "P-340A": {"I-610"},
        "XV-420": {"I-422"}}


def test_a_machine_names_its_liquid_and_its_streams_in_words_and_shows_no_key() -> None:
    made = of(
        liquids={"water": {"name": "Water"}, "lye_32": {"name": "Caustic soda"}},
        tanks={"T-1": small.tank(liquid="lye_32"), "T-2": small.tank()},
        streams={"lye_out": small.stream("T-1", "outside", "1 m3/h", name="lye to the works", moved_by="P-1"),
                 "lye_back": small.stream("T-1", "T-2", "1 m3/h", name="lye to the sump", moved_by="P-1"),
                 "water_in": small.stream("outside", "T-2", "1 m3/h", name="town water", through=["XV-1"])},
        pumps={"P-1": small.pump()}, valves={"XV-1": {"area": "A", "service": "inlet", "kind": "on-off"}})

    def liquid(noun: str, tag: str) -> str:
        return next(plain(fact.words) for fact in machine_facts.facts(made, noun, Tag(tag)) if fact.label == "Liquid")

    assert liquid("pumps", "P-1") == "Caustic soda: lye to the works and lye to the sump"
    assert liquid("valves", "XV-1") == "Water: town water"  # from outside: the liquid of the tank that it fills
