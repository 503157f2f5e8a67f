"""Pumps that take turns: what must hold before that counts, and the starts of each while it does."""

from generator.compute.book import Book
from generator.compute.cycling_flows import Draw
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


def starts_in_turn(book: Book, tag: str, starts: Outcome, count: int) -> Outcome:
    """Starts of each pump while all of them are in service and take turns."""
    key, name = f"#{tag}/starts-alternating", f"most starts of each pump of {tag} in turn"
    if not isinstance(starts, Record):
        return book.absence(key, name, starts.why, starts.missing)
    return book.record(
        key, name, starts.value / count, "rate", r"n = \frac{n_{all}}{N}",
        (starts.as_input("n_{all}"), Input("N", "pumps that take turns", count, "", "the pump group")),
        validity="identical pumps of constant speed, one running at a time, all of them in service",
        reference="USACE EI 11C201, chapter 7 (two pumps, small stations)")
