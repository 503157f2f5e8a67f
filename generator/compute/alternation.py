"""Pumps that take turns: what must hold before that counts, and the starts of each while it does."""

from collections.abc import Sequence

from generator.compute.book import Book, absences, missing_of
from generator.compute.cycling_flows import Draw
from generator.compute.pump_starts import Cycle
from generator.model.interlock import StartStop
from generator.model.knowledge import Knowledge
from generator.model.plant import Definitions
from generator.model.record import Input, Outcome, Record

RULE = "alternation-credit"


def conditions(
    plant: Definitions, knowledge: Knowledge, control: StartStop, pumps: tuple[Draw, ...],
) -> tuple[tuple[str, bool], ...]:
    """What the published rule asks for before alternation counts, and whether it holds; empty where nothing takes turns."""
    group = plant.pump_groups.get(control.moves)
    if group is None or not group.alternation or len(pumps) < 2:
        return ()
    machines = [plant.pumps[pump.tag] for pump in pumps]
    flows = [machine.flow.si for machine in machines]
    powers = [machine.motor.power.si if machine.motor else None for machine in machines]
    rule = knowledge.rules.get(RULE)
    station = max(flows) * len(control.starts)
    small = rule is not None and rule.flow is not None and station < rule.flow
    below = f"below {rule.flow * 1000:g} L/s" if rule is not None and rule.flow is not None else "small"
    return (
        ("two pumps share the work", len(pumps) == 2),
        ("they are alike in flow and power", len(set(flows)) == 1 and len(set(powers)) == 1 and None not in powers),
        (f"the station is {below}", small),
        ("one of them runs at a time", len(control.starts) == 1),
        ("the plant has adopted the rule", RULE in plant.plant.rules_in_force),
    )


def starts_in_turn(
    plant: Definitions, book: Book, tag: str, cycles: Sequence[Cycle], pumps: tuple[Draw, ...],
) -> Outcome:
    """Starts of each pump while all of them are in service and take turns, over every flow against them.

    In a cycle with k of N pumps each starts in k of N cycles: n = max of k / (N T_k).
    """
    key, name = f"#{tag}/starts-alternating", f"most starts of each pump of {tag} in turn"
    motors = [plant.pumps[pump.tag].motor for pump in pumps]
    powers = {motor.power.si for motor in motors if motor is not None}
    if len({pump.flow.value for pump in pumps}) > 1 or len(powers) > 1:
        return book.absence(key, name, "its pumps are not alike, so they do not share the starts evenly")
    gaps = absences(one.shortest for one in cycles if not one.is_idle)
    known = [(one.running, one.shortest) for one in cycles if isinstance(one.shortest, Record)]
    if gaps or not known:
        first = gaps or absences(one.shortest for one in cycles)
        return book.absence(key, name, first[0].why, missing_of(first))
    count = Input("N", "pumps that take turns", len(pumps), "", "the pump group")
    terms = [rf"\frac{{{running}}}{{N T_{{{running}}}}}" for running, _ in known]
    return book.record(
        key, name, max(running / (len(pumps) * shortest.value) for running, shortest in known), "rate",
        f"n = {terms[0]}" if len(terms) == 1 else rf"n = \max\left( {', '.join(terms)} \right)",
        (*(shortest.as_input(f"T_{{{running}}}") for running, shortest in known), count),
        validity="identical pumps of constant speed, all of them in service; at any flow that occurs",
        reference="USACE EI 11C201, chapter 7 (two pumps, small stations); more pumps running: volume balance")
